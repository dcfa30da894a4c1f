package tickets

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"reconcile/internal/regions"
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

// usualWeighings are the lines of tickets.csv that most outfits need.
var usualWeighings = []map[string]string{
	{"setup": "coupled", "on_deck": "front"},
	{"setup": "coupled", "on_deck": "rear"},
	{"setup": "coupled", "on_deck": "trailer"},
	{"setup": "vehicle_alone", "on_deck": "vehicle"},
	{"setup": "trailer_alone", "on_deck": "all"},
}

// Blank gives the forms to fill in, tickets.csv first, with notes and a worked
// example in lines that begin with "# ". The plain ones have the columns that an
// owner needs, the full ones all forms and all columns. The region's usual ratings
// and the usual weighings are lines to complete, or those of a plan in the order of
// driving, of whose readings it writes setup, hitch if it is stated, on_deck and scale: until then
// they are refused. No form has the column job, so that the full ones work for one
// job as they are. The bytes are UTF-8 with commas and line feeds.
func Blank(region string, full bool, planned []Reading) []Form {
	var forms []Form
	for _, b := range blankForms {
		text := b.text(region, full)
		if b.name == "tickets.csv" && planned != nil {
			text = b.planned(region, planned)
		}
		if full || b.owner {
			forms = append(forms, Form{Name: b.name, Bytes: []byte(text)})
		}
	}
	return forms
}

// planned is tickets.csv with the lines of a plan.
func (b blankForm) planned(region string, lines []Reading) string {
	b.what = "The weighings of the plan, one line for each figure in the order of driving. Fill in what your tickets say; delete those that were not weighed."
	scale := slices.ContainsFunc(lines, func(l Reading) bool { return l.Scale != "" })
	columns := slices.Clone(b.columns)
	for i := range columns {
		columns[i].owner = columns[i].owner || scale && columns[i].name == "scale"
	}
	b.columns = columns
	var waiting []map[string]string
	for _, l := range lines {
		setup, hitch := l.State.Cells()
		if !l.HitchStated {
			hitch = ""
		}
		waiting = append(waiting, map[string]string{"setup": setup, "hitch": hitch, "on_deck": l.OnDeck, "unit": regions.Of(region).PrintIn, "scale": l.Scale})
	}
	return b.with(waiting, false)
}

// isBlank says whether a form is just what Blank gives, for whatever region: so
// nobody has typed anything into it.
func isBlank(form Form) bool {
	for i := range blankForms {
		b := &blankForms[i]
		if b.name != form.Name || !bytes.HasPrefix(form.Bytes, []byte(b.head())) {
			continue // as most forms that are filled in: without the notes
		}
		for j := range regions.Table {
			for _, full := range []bool{false, true} {
				if (full || b.owner) && b.text(regions.Table[j].Region, full) == string(form.Bytes) {
					return true
				}
			}
		}
	}
	return false
}

// head is the first line of the form.
func (b *blankForm) head() string { return "# " + b.what + "\n" }

func (b *blankForm) text(region string, full bool) string {
	return b.with(b.waiting(region), full)
}

// with writes the form with lines that wait for their figures.
func (b *blankForm) with(lines []map[string]string, full bool) string {
	var s strings.Builder
	s.WriteString(b.head())
	s.WriteString("# Lines that begin with # and a space are not read: leave them or delete them.\n#\n")
	var names []string
	for _, c := range b.columns {
		if c.name == "job" {
			continue // job is noted below, without a column
		}
		if full || c.owner {
			names = append(names, c.name)
			fmt.Fprintf(&s, "# %s: %s\n", c.name, strings.ReplaceAll(c.note, "\n", "\n#   "))
		}
	}
	if full {
		fmt.Fprintf(&s, "# job: %s\n", b.columns[0].note)
	}
	s.WriteString("#\n# Example:\n# " + strings.Join(names, ",") + "\n")
	for _, e := range b.example {
		s.WriteString("# " + csvLine(names, e) + "\n")
	}
	s.WriteString("#\n" + strings.Join(names, ",") + "\n")
	for _, l := range lines {
		s.WriteString(csvLine(names, l) + "\n")
	}
	return s.String()
}

// waiting gives the lines to complete.
func (b *blankForm) waiting(region string) []map[string]string {
	unit := regions.Of(region).PrintIn
	var lines []map[string]string
	switch b.name {
	case "tickets.csv":
		for _, w := range usualWeighings {
			lines = append(lines, map[string]string{"setup": w["setup"], "on_deck": w["on_deck"], "unit": unit})
		}
	case "ratings.csv":
		for _, u := range regions.Of(region).Plated {
			lines = append(lines, map[string]string{"rating": u.Rating, "on": u.On, "unit": unit})
		}
	case "outfit.csv":
		if region != "" {
			lines = append(lines, map[string]string{"region": region})
		}
	}
	return lines
}

// csvLine writes cells in the order of the columns, in quotes where a comma or
// a quote is in them.
func csvLine(columns []string, cells map[string]string) string {
	line := make([]string, len(columns))
	for i, c := range columns {
		line[i] = cells[c]
		if strings.ContainsAny(line[i], `,"`) {
			line[i] = `"` + strings.ReplaceAll(line[i], `"`, `""`) + `"`
		}
	}
	return strings.Join(line, ",")
}
