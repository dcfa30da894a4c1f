package words

import (
	"slices"
	"strings"

	"reconcile/internal/record"
)

// footnoteWords is the sentence of every footnote code: Head, what the footnote
// names in brackets, then Tail. Form is the form whose line it carries.
var footnoteWords = map[string]struct{ Head, Tail, Form string }{
	"people_not_stated":    {"people aboard not stated", ", so everyone who travels is assumed to be on board", "tickets.csv"},
	"no_time":              {"the time of weighing is not stated", "", "tickets.csv"},
	"different_days":       {"weighed on different days", "; fuel, water and luggage may have changed between them", "tickets.csv"},
	"interval_assumed":     {"no [interval] given", "", "tickets.csv"},
	"travels_assumed":      {"how the outfit travels is not stated", ", so the hitch is assumed to be tensioned, as it was weighed", "outfit.csv"},
	"no_hitch_stated":      {"no load-distribution hitch stated", ", so the outfit is assumed to travel without one", "outfit.csv"},
	"looks_calculated":     {"looks calculated", ": it is exactly the sum or difference of other lines of its ticket, and use says that it was weighed", "tickets.csv"},
	"does_not_add_up":      {"entered as calculated, but does not add up; the line confirms it", "", "tickets.csv"},
	"nose_off_deck":        {"[nose] off the deck", "", "tickets.csv"},
	"below_minimum":        {"lighter than the smallest load that the scale is verified for", "; its errors there are not known", "tickets.csv"},
	"above_max":            {"heavier than the largest load that the scale is made for", "; its errors there are not known", "tickets.csv"},
	"not_a_multiple":       {"not a whole number of [interval]s", "; it was misread, or the [interval] is not the one stated", "tickets.csv"},
	"scale_verified_later": {"the scale was verified after this weighing", "; its state before that is not known", "tickets.csv"},
	"rating_not_in_force":  {"certified after the last weighing", ", so not yet in force then; shown, not compared", "ratings.csv"},
	"share_unknown":        {"how [load] spreads over the axles is estimated, with a wider uncertainty", "", "loads.csv"},
	"strained":             {"the readings agree poorly", "", "tickets.csv"},
	"sum_rounded":          {"each figure is rounded to 1 [unit]", ", so a printed sum may differ from its printed parts by 1 [unit]", "tickets.csv"},
	"equal_share":          {"the wheels of an axle were not weighed separately", "; each [tyre] or wheel is assumed to carry an equal share, give or take 10 %, or 20 % in a group on springs", "ratings.csv"},
	"taken_as_calculated":  {"taken as calculated, not weighed: it is exactly the sum or difference of other lines", "; if it was weighed, write yes under use", "tickets.csv"},
	"confirmed_unasked":    {"confirmed names a question that was not asked", "", "tickets.csv"},
	"hitch_unknown":        {"how the hitch was set is not known", ", so it is taken as tensioned, with any tension or none", "tickets.csv"},
	"scale_assumed":        {"the scale's class or deck is not stated", ", so the usual one is assumed", "scales.csv"},
}

// footnote gives the sentence of a footnote. The line is not part of it: alike
// footnotes of many lines are printed together.
func (w *Words) footnote(f record.Note) string {
	words, known := footnoteWords[f.Code]
	if !known {
		words.Head = codeWord(f.Code)
	}
	if w.places != nil {
		words.Head, words.Tail = pageFootnote(f.Code, words.Head, words.Tail)
	}
	switch f.Code {
	case "strained":
		words.Tail = "; " + w.strainText()
	case "nose_off_deck":
		if f.Kg != nil {
			words.Tail = ": " + w.massUnit(*f.Kg) + " is what the axles carry, not the trailer's mass"
		}
	case "interval_assumed":
		if f.Typed != "" {
			words.Tail = ", so " + w.intervalText(f.Line, f.Typed) + " is assumed"
		}
	case "share_unknown":
		words.Tail = w.cures(f.Names)
	}
	detail := w.footnoteDetail(f)
	if detail != "" {
		detail = " (" + detail + ")"
	}
	put := strings.NewReplacer("[interval]", w.interval(), "[nose]", w.noseWas(), "[load]", loadName(f), "[unit]", w.Unit, "[tyre]", w.ratingLabel("tyre")).Replace
	return put(words.Head) + detail + put(words.Tail)
}

// pageFootnote is what the page says of footnotes whose sentences speak of
// columns.
func pageFootnote(code, head, tail string) (pageHead, pageTail string) {
	switch code {
	case "looks_calculated":
		return head, ": it is exactly the sum or difference of other lines of its slip, and you say that it was weighed by itself"
	case "does_not_add_up":
		return "marked as added up, but does not add up; you confirmed it", tail
	case "taken_as_calculated":
		return head, "; if it was weighed, choose " + button("weighed_by_itself") + " there"
	case "confirmed_unasked":
		return "something was confirmed that is not asked", tail
	}
	return head, tail
}

// loadName is the load that a footnote is about.
func loadName(f record.Note) string {
	if f.Name == "" {
		return "a load"
	}
	return f.Name
}

// footnoteDetail is what a footnote names in brackets.
func (w *Words) footnoteDetail(f record.Note) string {
	switch f.Code {
	case "below_minimum", "above_max", "scale_verified_later", "scale_assumed":
		return f.Name
	case "confirmed_unasked":
		return w.reader(f.Name, codeWord(f.Name))
	case "not_a_multiple":
		if f.Typed != "" {
			return typed(f.Typed, w.unitAt(f.Line))
		}
	case "rating_not_in_force", "equal_share":
		if f.Rating != "" {
			return w.keyLabel(f.Rating, f.On)
		}
	}
	return ""
}

// intervalText prints an assumed interval, given in kilograms, in the unit of
// its line's reading.
func (w *Words) intervalText(line int, kg string) string {
	d, ok := decimalOf(kg)
	if !ok {
		return kg
	}
	if w.unitAt(line) == "lb" {
		return grouped(d.Div(kgPerLb).Round(0).String()) + " lb"
	}
	return typedFigure(kg) + " kg"
}

// cures say what would take an assumed share away; codes are columns, place, or
// side.GROUP.
func (w *Words) cures(missing []string) string {
	var cures, sides []string
	for _, m := range missing {
		switch group, isSide := strings.CutPrefix(m, "side"); {
		case isSide:
			sides = addOnce(sides, strings.Trim(group, "._ "))
		case m == "place":
			cures = addOnce(cures, w.reader("a place for it in loads.csv, with at in places.csv", "its place, listed under "+button("places_where_things_ride")+" with how far it is,"))
		default:
			cures = addOnce(cures, w.reader(codeWord(m)+" in outfit.csv", outfitField(m)))
		}
	}
	text := ""
	if len(cures) > 0 {
		text = "; " + listed(cures) + " would settle it"
	}
	if len(sides) > 0 {
		text += "; which side of the " + strings.TrimSpace(listed(sides)+" axle") + " it loads is not known: weigh with it on board to settle that"
	}
	return text
}

// outfitField names a cell of outfit.csv by its box on the page.
func outfitField(column string) string {
	for _, f := range outfitFields {
		if f.column == column {
			return button(f.label) + " on the plates"
		}
	}
	return codeWord(column) + " on the plates"
}

// outfitFields are the boxes of the page for cells of outfit.csv that sentences
// ask for.
var outfitFields = []struct{ column, label string }{
	{"wheelbase", "a_front_axle_to_rear_axle"}, {"rear_axle_to_coupling", "b_rear_axle_to_coupling"}, {"coupling_to_trailer_axle", "c_coupling_to_the_middle"},
	{"nose_support_to_trailer_axle", "d_jockey_wheel_to_the"}, {"rear_axles", "rear_axles"}, {"trailer_axles", "axles"}, {"trailer_brakes", "its_brakes"},
	{"travels", "load_distribution_bars_on_the"}, {"length_unit", "lengths_in"}, {"people", "people_on_board_when_it"}, {"trailer_kind", "drawbar"},
}

// footnote is footnotes of the record with one sentence.
type footnote struct {
	Numbers string // counted from 1 in the record's order, the same on every output: "1-3, 7"
	Text    string // with the lines it is about before it: "lines 2-4 of tickets.csv: people aboard not stated"
}

// footnoteGroup is footnotes with the same code and sentence, their numbers and
// the lines they are about.
type footnoteGroup struct {
	code, text, form string
	numbers, lines   []int
}

// footnotes puts footnotes with the same code and sentence together, in the
// order of their first numbers.
func (w *Words) footnotes() []footnote {
	var groups []footnoteGroup
	for i, f := range w.Record.Footnotes {
		text, form := w.footnote(f), footnoteForm(f)
		at := slices.IndexFunc(groups, func(g footnoteGroup) bool { return g.code == f.Code && g.text == text && g.form == form })
		if at < 0 {
			at, groups = len(groups), append(groups, footnoteGroup{code: f.Code, text: text, form: form})
		}
		groups[at].numbers = append(groups[at].numbers, i+1)
		if f.Line > 0 && !slices.Contains(groups[at].lines, f.Line) {
			groups[at].lines = append(groups[at].lines, f.Line)
		}
	}
	var all []footnote
	for _, g := range groups {
		if len(g.lines) > 0 {
			g.text = w.formLines(g.form, g.lines...) + ": " + g.text
		}
		all = append(all, footnote{runs(g.numbers), say(g.text)})
	}
	return all
}

// footnoteForm is the form whose line a footnote carries.
func footnoteForm(f record.Note) string {
	if f.File != "" {
		return f.File
	}
	if form := footnoteWords[f.Code].Form; form != "" {
		return form
	}
	return "tickets.csv"
}

// hitchNote is the footnote on how the outfit travels, where the form does not
// say: it affects what decides, so page 1 has it too. Blank where it is said.
func (w *Words) hitchNote() string {
	for _, f := range w.Record.Footnotes {
		if f.Code == "no_hitch_stated" || f.Code == "travels_assumed" {
			return w.footnote(f)
		}
	}
	return ""
}
