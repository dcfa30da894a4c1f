package tickets

import (
	"fmt"
	"strings"
)

// columnNote says what a column is for. An owner needs those marked; the
// others are for operators and for finer weighings.
type columnNote struct {
	name  string
	owner bool
	note  string
}

// blankForm is a form to fill in: its columns, a worked example, and lines
// that wait for their figures.
type blankForm struct {
	name    string
	what    string
	owner   bool // an owner needs it
	columns []columnNote
	example []map[string]string
}

// usualRating is a rating that an outfit of a region usually has, in a word
// that stands on its plate or document.
type usualRating struct{ word, on string }

// usualRatings lists what the plates and documents of a region usually give:
// what each axle, the vehicle, the trailer and the two together may weigh, what
// may be towed, what the coupling may bear. Without a region a towing rating
// would have no meaning.
func usualRatings(r Region) []usualRating {
	axles := []usualRating{{"axle", "front"}, {"axle", "rear"}, {"axle", "trailer"}}
	switch r {
	case Australia:
		return append([]usualRating{{"gvm", ""}, {"gcm", ""}, {"atm", ""}}, append(axles, usualRating{"towing", ""}, usualRating{"download_max", "towbar"})...)
	case NewZealand:
		return append([]usualRating{{"gvm", ""}, {"gcm", ""}, {"gvm_trailer", ""}}, append(axles, usualRating{"towing", ""}, usualRating{"download_max", "towbar"})...)
	case UnitedKingdom:
		return append([]usualRating{{"mam_vehicle", ""}, {"gtw", ""}, {"mtplm", ""}}, append(axles, usualRating{"towing", ""}, usualRating{"noseweight", "towbar"})...)
	case Europe:
		return append([]usualRating{{"f.1", ""}, {"f.3", ""}, {"mam_trailer", ""}}, append(axles, usualRating{"o.1", ""}, usualRating{"s", "towbar"})...)
	case UnitedStates:
		return []usualRating{{"gvwr", ""}, {"gcwr", ""}, {"gvwr_trailer", ""}, {"gawr", "front"}, {"gawr", "rear"}, {"gawr", "trailer"}, {"towing", ""}, {"tongue", "towbar"}}
	}
	return append([]usualRating{{"gvm", ""}, {"atm", ""}}, append(axles[:2:2], usualRating{"download_max", "towbar"})...)
}

// usualWeighings are the lines of tickets.csv that most outfits need.
var usualWeighings = []map[string]string{
	{"setup": "coupled", "on_deck": "front"},
	{"setup": "coupled", "on_deck": "rear"},
	{"setup": "coupled", "on_deck": "trailer"},
	{"setup": "vehicle_alone", "on_deck": "vehicle"},
	{"setup": "trailer_alone", "on_deck": "all"},
}

// Blank gives the forms to fill in, with notes and a worked example in lines
// that begin with "# ". The plain ones have the columns that an owner needs,
// the full ones all forms and all columns. The region's usual ratings and the
// usual weighings stand there as lines to complete: until then Read refuses
// them. The bytes are UTF-8 with commas and line feeds.
func Blank(region Region, full bool) []Form {
	var forms []Form
	for _, b := range blankForms {
		if full || b.owner {
			forms = append(forms, Form{Name: b.name, Bytes: []byte(b.text(region, full))})
		}
	}
	return forms
}

func (b *blankForm) text(region Region, full bool) string {
	var s strings.Builder
	fmt.Fprintf(&s, "# %s\n", b.what)
	s.WriteString("# Lines that begin with # and a space are not read: leave them or delete them.\n#\n")
	var names []string
	for _, c := range b.columns {
		if full || c.owner {
			names = append(names, c.name)
			fmt.Fprintf(&s, "# %s: %s\n", c.name, strings.ReplaceAll(c.note, "\n", "\n#   "))
		}
	}
	s.WriteString("#\n# Example:\n# " + strings.Join(names, ",") + "\n")
	for _, e := range b.example {
		s.WriteString("# " + csvLine(names, e) + "\n")
	}
	s.WriteString("#\n" + strings.Join(names, ",") + "\n")
	for _, l := range b.waiting(region) {
		s.WriteString(csvLine(names, l) + "\n")
	}
	return s.String()
}

// waiting gives the lines to complete.
func (b *blankForm) waiting(region Region) []map[string]string {
	unit := "kg"
	if region == UnitedStates {
		unit = "lb"
	}
	var lines []map[string]string
	switch b.name {
	case "tickets.csv":
		for _, w := range usualWeighings {
			lines = append(lines, map[string]string{"setup": w["setup"], "on_deck": w["on_deck"], "unit": unit})
		}
	case "ratings.csv":
		for _, u := range usualRatings(region) {
			lines = append(lines, map[string]string{"rating": u.word, "on": u.on, "unit": unit})
		}
	case "outfit.csv":
		if region != NoRegion {
			lines = append(lines, map[string]string{"region": string(region)})
		}
	}
	return lines
}

// csvLine writes cells in the order of the columns. No cell of ours needs
// quotes but one with a comma.
func csvLine(columns []string, cells map[string]string) string {
	line := make([]string, len(columns))
	for i, c := range columns {
		line[i] = cells[c]
		if strings.Contains(line[i], ",") {
			line[i] = `"` + line[i] + `"`
		}
	}
	return strings.Join(line, ",")
}
