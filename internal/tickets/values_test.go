package tickets

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// readOne reads forms of one job without a fault.
func readOne(t *testing.T, archive string, o Options) Job {
	t.Helper()
	o.NeedTickets = true
	res := readFolder(formsOf(archive), o)
	if len(res.Jobs) != 1 || len(res.Faults) > 0 {
		t.Fatalf("%s\n%s", archive, showFaults(res.Faults))
	}
	return res.Jobs[0]
}

// TestUnits converts readings, intervals, ratings and loads: 1 t is 1000 kg,
// 1 lb 0.45359237 kg (International Yard and Pound Agreement, 1959), exactly.
func TestUnits(t *testing.T) {
	for _, tt := range []struct{ reading, unit, interval, kg, e string }{
		{"3240", "", "20", "3240", "20"},
		{"3.24", "t", "0.02", "3240", "20"},
		{"7140", "lb", "20", "3238.6495218", "9.0718474"},
		{"3240.5", "kg", "0.5", "3240.5", "0.5"},
		{"3,240", "t", "0,02", "3240", "20"}, // a decimal comma where it does not separate cells
	} {
		j := readOne(t, fmt.Sprintf("-- tickets.csv --\nticket;setup;on_deck;reading;unit;interval\n1;vehicle_alone;vehicle;%s;%s;%s\n", tt.reading, tt.unit, tt.interval), Options{})
		r := j.Readings[0]
		equal(t, tt.reading+tt.unit, r.Kg.String(), tt.kg)
		equal(t, "interval of "+tt.reading+tt.unit, r.IntervalKg.String(), tt.e)
		equal(t, "as typed", r.Typed, strings.ReplaceAll(tt.reading, ",", "."))
	}
	j := readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading,scale\n1,vehicle_alone,vehicle,3240,b\n-- scales.csv --\nscale,interval,unit,max\nb,0.02,t,60\n-- loads.csv --\nload,mass,unit,uncertainty\ndriver,180,lb,10\nbox,8,kg,\nwater,120,,\n", Options{})
	equal(t, "interval of the scale", j.Readings[0].IntervalKg.String(), "20")
	equal(t, "max of the scale", j.Scales[0].MaxKg.Decimal.String(), "60000")
	equal(t, "load in pounds", j.Loads[0].Kg.String(), "81.6466266")
	equal(t, "its uncertainty", j.Loads[0].UKg, 4.5359237)
	equal(t, "uncertainty of 8 kg, at least 1 kg", j.Loads[1].UKg, 1)
	equal(t, "uncertainty of 120 kg, 5 %", j.Loads[2].UKg, 6)
}

// TestDeck spells out what stood on the deck.
func TestDeck(t *testing.T) {
	for _, tt := range []struct {
		state State
		text  string
		want  string
	}{
		{CoupledSlack, "front", "front"},
		{CoupledSlack, "rear + front", "front rear"},
		{CoupledSlack, "vehicle", "front rear"},
		{CoupledSlack, "all", "front rear trailer"},
		{CoupledSlack, "all.left", "front.left rear.left trailer.left"},
		{CoupledSlack, "vehicle.right+trailer", "front.right rear.right trailer"},
		{CoupledSlack, "trailer.2.left+trailer.1", "trailer.1 trailer.2.left"},
		{CoupledSlack, "rear.1.left+rear.1.right", "rear.1.left rear.1.right"},
		{CoupledSlack, "FRONT.Left", "front.left"},
		{CoupledSlack, "front.1", "front.1"},
		{VehicleAlone, "all", "front rear"},
		{TrailerAlone, "all", "trailer nose"},
		{TrailerAlone, "nose+trailer.left", "trailer.left nose"},
		{TrailerAlone, "coupling", "coupling"},
	} {
		terms, bad := parseDeck(nil, tt.text, tt.state, false, axleCounts{rear: 1, trailer: 2})
		var words []string
		for _, term := range terms {
			words = append(words, Spell(term))
		}
		if got := strings.Join(words, " "); got != tt.want || len(bad) > 0 {
			t.Errorf("%s on %s is %s (%v), want %s", tt.text, tt.state, got, bad, tt.want)
		}
	}
}

// TestDates reads the dates that spreadsheets and people write. The order of
// day and month is that of the region.
func TestDates(t *testing.T) {
	for _, tt := range []struct {
		region  string
		text    string
		want    string
		hasTime bool
	}{
		{"", "2026-03-14 09:20", "2026-03-14T09:20:00Z", true},
		{"", "2026-03-14", "2026-03-14T00:00:00Z", false},
		{"", "2026-03-14T09:20:30+10:00", "2026-03-14T09:20:30+10:00", true},
		{"", "2026-03-14t09:20:30z", "2026-03-14T09:20:30Z", true},
		{"au", "04/03/2026 09:20", "2026-03-04T09:20:00Z", true},
		{"nz", "4/3/2026 9:20", "2026-03-04T09:20:00Z", true},
		{"uk", "04/03/2026", "2026-03-04T00:00:00Z", false},
		{"eu", "04.03.2026 09:20:15", "2026-03-04T09:20:15Z", true},
		{"us", "04/03/2026 09:20", "2026-04-03T09:20:00Z", true},
		{"us", "4/3/2026 9:20 pm", "2026-04-03T21:20:00Z", true},
	} {
		j := readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading,unit,weighed_at\n1,vehicle_alone,vehicle,7140,lb,"+tt.text+"\n", Options{Region: tt.region})
		m := j.Readings[0].WeighedAt
		equal(t, tt.text, m.Time.Format(time.RFC3339), tt.want)
		equal(t, tt.text+" has a time", m.HasTime, tt.hasTime)
		equal(t, tt.text+" as typed", m.Typed, tt.text)
	}
}

// TestLengths converts the lengths of an outfit and of its places, by the
// definitions of the units (1 in is 25.4 mm).
func TestLengths(t *testing.T) {
	for _, tt := range []struct {
		wheelbase, unit, at, uncertainty string
		mm, atMm, u                      float64
	}{
		{"3220", "", "-150", "", 3220, -150, 10},
		{"3220", "mm", "12", "0", 3220, 12, 0},
		{"322", "cm", "15.5", "0.5", 322 * 10, 155, 5},
		{"3.22", "m", "1.25", "0.005", 3220, 1250, 5},
		{"130", "in", "10", "1", 3302, 254, 25.4},
	} {
		j := readOne(t, fmt.Sprintf("-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n-- outfit.csv --\nwheelbase,length_unit,length_uncertainty\n%s,%s,%s\n-- places.csv --\nplace,on,at,capacity\ntray,vehicle,%s,400\n", tt.wheelbase, tt.unit, tt.uncertainty, tt.at), Options{})
		equal(t, "wheelbase "+tt.wheelbase+tt.unit, j.Outfit.Wheelbase, Length{true, tt.mm})
		equal(t, "uncertainty", j.Outfit.LengthUncertaintyMm, tt.u)
		equal(t, "place", j.Places[0].AtMm, tt.atMm)
	}
	j := readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n-- places.csv --\nplace,on\ntray,vehicle\n", Options{})
	equal(t, "no distance", j.Places[0].HasAt, false)
	equal(t, "no wheelbase", j.Outfit.Wheelbase.Known, false)
}

// TestScaleDefaults resolves class, deck and interval where they are blank.
func TestScaleDefaults(t *testing.T) {
	for _, tt := range []struct {
		class, deck string
		wantClass   string
		wantDeck    string
	}{
		{"", "", "III", "single"},
		{"", "multi", "III", "multi"},
		{"", "pads", "IIII", "pads"},
		{"", "pads_in_turn", "IIII", "pads_in_turn"},
		{"III", "pads", "III", "pads"},
		{"3", "", "III", "single"},
		{"4", "", "IIII", "single"},
		{"iiii", "", "IIII", "single"},
		{"III L", "", "III L", "single"},
		{"iiil", "", "III L", "single"},
		{"None", "", "none", "single"},
	} {
		j := readOne(t, fmt.Sprintf("-- tickets.csv --\nticket,setup,on_deck,reading,scale\n1,vehicle_alone,vehicle,3240,b\n-- scales.csv --\nscale,class,deck,expanded_uncertainty,stated_at,split_uncertainty\nb,%s,%s,12,3000,6\n", tt.class, tt.deck), Options{})
		s := j.Scales[0]
		if is := (Scale{Multi: tt.wantDeck == "multi", Pads: strings.HasPrefix(tt.wantDeck, "pads"), InTurn: tt.wantDeck == "pads_in_turn"}); s.Class != tt.wantClass ||
			s.Multi != is.Multi || s.Pads != is.Pads || s.InTurn != is.InTurn || s.Gauge {
			t.Errorf("class %q deck %q is %+v", tt.class, tt.deck, s)
		}
		equal(t, "uncertainty, its load and the split", fmt.Sprint(s.ExpandedKg.Decimal, s.StatedAtKg.Decimal, s.SplitKg.Decimal), "12 3000 6")
		equal(t, "assumed interval", j.Readings[0].IntervalKg.String(), "20")
		equal(t, "cells of the scale", len(s.Typed), 14)
	}
	j := readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading,scale,interval\n1,vehicle_alone,front,1500,b,\n2,vehicle_alone,rear,1700,b,10\n3,trailer_alone,all,2680,,\n-- scales.csv --\nscale,interval\nb,50\nc,5\n", Options{})
	equal(t, "interval of the scale", j.Readings[0].IntervalKg.String(), "50")
	equal(t, "interval of the line", j.Readings[1].IntervalKg.String(), "10")
	equal(t, "interval of the scale without a name", fmt.Sprint(j.Readings[2].IntervalKg, j.Readings[2].IntervalAssumed), "20 true")
	equal(t, "scales named", len(j.Scales), 2)
	equal(t, "line of the scale without a name", j.Scale("").Line, 0)
}

// TestRatingWords reads every word of every region as its rating.
func TestRatingWords(t *testing.T) {
	want := map[string]string{
		"gvm":           "gvm gvwr gvw dgvw mam_vehicle f.1 f.2",
		"gcm":           "gcm gcwr gtw dgcw mc f.3",
		"atm":           "atm gvwr_trailer gvm_trailer mtplm mam_trailer",
		"gtm":           "gtm",
		"axle":          "axle gawr",
		"towing":        "towing o.1 o.2 tm",
		"download_max":  "download_max noseweight tongue ball_weight s",
		"download_min":  "download_min",
		"d_value":       "d_value",
		"tyre":          "tyre",
		"wheel":         "wheel",
		"kerb":          "kerb",
		"tare":          "tare",
		"running_order": "running_order",
	}
	n := 0
	for word, typed := range want {
		for _, w := range strings.Fields(typed) {
			for _, spelt := range []string{w, strings.ToUpper(w)} {
				on := map[string]string{"axle": "front", "tyre": "front", "wheel": "rear.1", "kerb": "vehicle", "tare": "trailer", "running_order": "vehicle"}[word]
				j := readOne(t, fmt.Sprintf("-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n-- ratings.csv --\nrating,on,value\n%s,%s,120\n", spelt, on), Options{Region: "au"})
				r := j.Ratings[0]
				equal(t, spelt, r.Word, word)
				equal(t, spelt+" as typed", r.Typed, spelt)
				n++
			}
		}
	}
	equal(t, "words, labels aside", n, 2*(len(ratingWords())-len(labelWords)))
}

// TestRatings reads what a rating holds, in kilograms, kilonewtons or as an
// index, and what it goes with.
func TestRatings(t *testing.T) {
	j := readOne(t, `-- tickets.csv --
ticket,setup,on_deck,reading,unit
1,vehicle_alone,vehicle,3240,kg
-- outfit.csv --
rear_axles,trailer_axles,trailer_brakes,region
1,2,overrun,eu
-- ratings.csv --
rating,on,value,unit,fitted,kind,when,set,source,certificate,certified_on,replaced,copy,note
O.1,,3.5,t,,,,,,,,,,
o.2,,750,kg,,,,,,,,,,
d_value,towbar,14.3,,,,,,,,,,,
tyre,rear,121/118,,4,commercial,,,,,,,,
tyre,trailer.1.left,850,kg,1,,,,,,,,,
wheel,trailer,900,kg,4,,,,,,,,,
gcm,,none,,,,,,looked in the handbook,,,,,
axle,Rear.1,2300,kg,,,Coupled,,,,,,,
gvm,,3700,kg,,,,lift,,C-12,2026-03-01,,ticket.jpg,planned
gvm,,3300,kg,,,,,,,,yes,,old plate
download_min,,0,kg,,,,,,,,,,
tyre,front,112,,2,,,,,,,,,
`, Options{CopySize: onlyPhoto})
	r := j.Ratings
	equal(t, "O.1", fmt.Sprint(r[0].Word, r[0].Kind, r[0].LimitKg.Decimal, r[0].Value, r[0].Unit), "towingbraked35003.5t")
	equal(t, "o.2", r[1].Kind, "unbraked")
	equal(t, "d_value", fmt.Sprint(r[2].LimitKN.Decimal, r[2].Unit, r[2].LimitKg.Valid), "14.3kNfalse")
	equal(t, "tyre with an index", fmt.Sprintf("%v %d %s %s", r[3].Index, r[3].Fitted, r[3].Kind, Spell(r[3].Terms...)), "[121 118] 4 commercial rear")
	equal(t, "tyre with a mass", fmt.Sprint(r[4].LimitKg.Decimal, r[4].Index == nil, " ", Spell(r[4].Terms...)), "850 true trailer.1.left")
	equal(t, "wheel", r[5].Fitted, 4)
	equal(t, "none", fmt.Sprint(r[6].None, r[6].Value, r[6].Unit, r[6].LimitKg.Valid), "truenonefalse")
	equal(t, "axle", fmt.Sprint(r[7].On, " ", Spell(r[7].Terms...), " ", r[7].When), "rear.1 rear.1 coupled")
	equal(t, "planned", fmt.Sprint(r[8].Set, r[8].Certificate, r[8].CertifiedOn.Typed, r[8].Copy, r[8].Note), "liftC-122026-03-01ticket.jpgplanned")
	equal(t, "replaced", r[9].Replaced, true)
	equal(t, "least download", r[10].LimitKg.Decimal.String(), "0")
	equal(t, "single index", fmt.Sprint(r[11].Index), "[112]")
	equal(t, "copies", strings.Join(j.Copies, " "), "ticket.jpg")
}

// TestAccepted holds forms near a refusal that are not refused.
func TestAccepted(t *testing.T) {
	ticket := "-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n"
	for _, tt := range []struct{ name, archive string }{
		{"an assumed interval larger than what the nose carries", "-- tickets.csv --\nticket,setup,on_deck,reading\n1,trailer_alone,nose,15\n"},
		{"a reading of nothing that is not used", "-- tickets.csv --\nticket,setup,on_deck,reading,use,note\n1,vehicle_alone,vehicle,0,no,misread\n"},
		{"a difference below nothing that nobody weighed", "-- tickets.csv --\nticket,setup,on_deck,reading,use\n1,vehicle_alone,,-20,calculated\n"},
		{"other people on a line that names a load", "-- tickets.csv --\nticket,setup,on_deck,reading,people,without\n1,vehicle_alone,vehicle,3240,1,driver\n-- outfit.csv --\npeople\n2\n-- loads.csv --\nload,mass,on\ndriver,82,vehicle\n"},
		{"no people with a trailer alone", "-- tickets.csv --\nticket,setup,on_deck,reading,people\n1,trailer_alone,all,3240,0\n-- outfit.csv --\npeople\n2\n"},
		{"a line weighed again", "-- tickets.csv --\nticket,setup,on_deck,reading,weighed_at\n1,vehicle_alone,vehicle,3240,2026-03-14 09:20\n1,vehicle_alone,vehicle,3220,2026-03-14 09:30\n"},
		{"two calculated figures of one ticket", "-- tickets.csv --\nticket,setup,on_deck,reading,use\n1,vehicle_alone,vehicle,3240,yes\n1,vehicle_alone,,2000,calculated\n1,vehicle_alone,,1240,calculated\n"},
		{"any scale name without scales.csv", "-- tickets.csv --\nticket,setup,on_deck,reading,scale\n1,vehicle_alone,vehicle,3240,anything\n"},
		{"a scales.csv without a line", ticket + "-- scales.csv --\nscale,interval\n"},
		{"a letter among the ticket's figures", "-- tickets.csv --\nticket,setup,on_deck,reading\n12E5,vehicle_alone,vehicle,3240\n"},
		{"two empty masses, one replaced", ticket + "-- ratings.csv --\nrating,on,value,replaced\nkerb,vehicle,2100,yes\ntare,vehicle,2050,\nkerb,trailer,900,\n"},
		{"two kinds of towing with brakes stated", ticket + "-- outfit.csv --\ntrailer_brakes,region\noverrun,au\n-- ratings.csv --\nrating,value,kind\ntowing,3500,braked\ntowing,750,unbraked\n"},
		{"a towing rating looked for without a region", ticket + "-- ratings.csv --\nrating,value,source\ntowing,none,handbook\n"},
		{"two tyres on axles that nobody counted", ticket + "-- ratings.csv --\nrating,on,value,fitted\ntyre,rear,121,2\n"},
		{"the region asked for in the form too", ticket + "-- outfit.csv --\nregion\nAU\n"},
		{"a hitch plate of an outfit that travels plain", ticket + "-- ratings.csv --\nrating,on,value,when\ndownload_max,ball,350,\ndownload_max,ball,500,tensioned\n"},
	} {
		res := readFolder(formsOf(tt.archive), Options{NeedTickets: true, Region: map[bool]string{true: "au"}[strings.Contains(tt.name, "asked")]})
		if len(res.Faults) > 0 {
			t.Errorf("%s: %s", tt.name, showFaults(res.Faults))
		}
	}
}

// TestNamesEqualButForCase: a name listed in capitals and in small letters is listed
// twice, whichever letter it is that differs.
func TestNamesEqualButForCase(t *testing.T) {
	for _, letter := range "ABCDEFGHIJKLMNOPQRSTUVWXYZÅ" {
		for _, names := range [][2]string{{"2" + string(letter), "2" + strings.ToLower(string(letter))}, {strings.ToLower(string(letter)) + "2", string(letter) + "2"}} {
			res := readFolder(formsOf("-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n-- scales.csv --\nscale,interval\n"+names[0]+",20\n"+names[1]+",20\n"), Options{NeedTickets: true})
			equal(t, names[0], showFaults(res.Faults), fmt.Sprintf("scales.csv:3:1: scale %q is listed twice (each name once)", names[1]))
		}
	}
}

// TestControlCharacters: no name of a job, of a copy or of anything else has one (contract,
// section 1); those are U+0000 to U+001F and U+007F to U+009F.
func TestControlCharacters(t *testing.T) {
	for r := range rune(0x100) {
		name, want := "a"+string(r)+"b", r < ' ' || r >= 0x7f && r <= 0x9f
		equal(t, fmt.Sprintf("%q in a text", name), hasControl(name), want)
		if !strings.ContainsRune(`/\:*?"<>|`, r) && r != '\u00ad' {
			equal(t, fmt.Sprintf("%q as the name of a job is refused", name), badJobName(name) != nil, want)
		}
	}
	equal(t, "a soft hyphen in the name of a job is refused", badJobName("a\u00adb") != nil, true) // of format
}

// TestNearest holds the name proposed for a misspelt one.
func TestNearest(t *testing.T) {
	for _, tt := range [][2]string{{"rading", "reading"}, {"front.lef", "front.left"}, {"tickte", "ticket"}, {"Weighed At", "weighed_at"}, {"vehicle_ID", "vehicle_id"}, {"scales", "scale"}} {
		equal(t, tt[0], nearest(tt[0], specs[0].names()), tt[1])
	}
	equal(t, "of no names", nearest("x", nil), "")
	equal(t, "swapped letters", distance("ab", "ba", -1), 1)
	equal(t, "from nothing", distance("", "abc", -1), 3)
}

// TestBlankForms: unfilled forms are refused with plain faults; the example in
// their comments, taken out of them, is read.
func TestBlankForms(t *testing.T) {
	regions := []string{"", "au", "nz", "uk", "eu", "us"}
	for _, region := range regions {
		for _, full := range []bool{false, true} {
			forms := Blank(region, full, nil)
			res := readFolder(forms, Options{NeedTickets: true, Region: region})
			if len(res.Faults) == 0 || len(res.Jobs) > 0 {
				t.Errorf("unfilled forms of region %q are read", region)
			}
			for _, f := range res.Faults {
				if !strings.HasPrefix(f.What, "required cell ") {
					t.Errorf("unfilled form of region %q: %v", region, f)
				}
			}
			var example []Form
			for _, f := range forms {
				example = append(example, exampleOf(t, f))
			}
			if res := readFolder(example, Options{NeedTickets: true}); len(res.Jobs) != 1 {
				t.Errorf("the example of region %q, full %v: %s", region, full, showFaults(res.Faults))
			}
		}
	}
}

// exampleOf takes the worked example out of a blank form's comments. A column
// job, for folders of many jobs, is filled in.
func exampleOf(t *testing.T, f Form) Form {
	t.Helper()
	_, rest, ok := strings.Cut(string(f.Bytes), "# Example:\n")
	if !ok {
		t.Fatalf("%s has no example", f.Name)
	}
	var lines []string
	for _, l := range strings.Split(rest, "\n") {
		cells, ok := strings.CutPrefix(l, "# ")
		if !ok {
			break
		}
		if len(lines) > 0 && strings.HasPrefix(lines[0], "job,") {
			cells = "skylark" + cells
		}
		lines = append(lines, cells)
	}
	return Form{Name: f.Name, Bytes: []byte(strings.Join(lines, "\n") + "\n")}
}

// TestBlankColumns: the notes of the blank forms speak of every column, in the
// order in which rows are read.
func TestBlankColumns(t *testing.T) {
	for _, s := range specs {
		i := slices.IndexFunc(blankForms, func(b blankForm) bool { return b.name == s.name })
		if i < 0 {
			t.Fatalf("no blank form %s", s.name)
		}
		var names []string
		for _, c := range blankForms[i].columns {
			names = append(names, c.name)
			if c.note == "" || strings.HasSuffix(c.note, ".") || strings.Contains(c.note, ",") { // a spreadsheet would split it at a comma
				t.Errorf("note of %s %s is %q", s.name, c.name, c.note)
			}
		}
		equal(t, "columns of "+s.name, strings.Join(names, ","), strings.Join(s.columns, ","))
	}
}

// TestSet asks for a set that a line names.
func TestSet(t *testing.T) {
	readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n-- ratings.csv --\nrating,value,set\ngvm,3700,lift\n", Options{Set: "lift"})
	readOne(t, "-- tickets.csv --\nticket,setup,on_deck,reading\n1,vehicle_alone,vehicle,3240\n-- loads.csv --\nload,mass,set\nbar,60,lift\n", Options{Set: "lift"})
}
