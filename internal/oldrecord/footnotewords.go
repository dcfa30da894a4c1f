package record

import (
	"slices"
	"strconv"
	"strings"

	"reconcile/internal/regions"
)

// footnoteWords is the sentence of every footnote code. Head and Tail are put
// together with the detail, where there is one, in brackets between them. Form
// is the form whose line number the footnote carries.
var footnoteWords = map[string]struct{ Head, Tail, Form string }{
	"people_not_stated":    {"people aboard not stated", ", so everybody who travels is taken to be aboard", "tickets.csv"},
	"no_time":              {"the time of weighing is not stated", "", "tickets.csv"},
	"different_days":       {"weighed on different days", "; fuel, water and luggage may have changed between them", "tickets.csv"},
	"interval_assumed":     {"no [interval] given", ", so 20 kg is assumed", "tickets.csv"},
	"travels_assumed":      {"how the outfit travels is not stated", ", so the hitch is taken to be tensioned, as it was weighed", "outfit.csv"},
	"no_hitch_stated":      {"no load-distribution hitch stated", ", so the outfit is taken to travel without one", "outfit.csv"},
	"looks_calculated":     {"looks calculated", ": each is the sum or difference of other lines of its ticket; where nobody weighed it (a NET, a TOTAL), write calculated under use", "tickets.csv"},
	"does_not_add_up":      {"entered as calculated, but it does not add up", "; it is no sum or difference of other lines of its ticket to one [interval]", "tickets.csv"},
	"nose_off_deck":        {"the jockey wheel stood off the deck", "", "tickets.csv"},
	"below_minimum":        {"lighter than the smallest load the scale is verified for", "; its errors there are not known", "tickets.csv"},
	"above_max":            {"heavier than the largest load the scale is made for", "; its errors there are not known", "tickets.csv"},
	"not_a_multiple":       {"not a whole number of [interval]s", "; misread, or another [interval] than stated", "tickets.csv"},
	"scale_verified_later": {"the scale was verified after this weighing", "; what it was like before is not shown", "tickets.csv"},
	"rating_not_in_force":  {"certified after the last weighing", ", so not yet in force then; shown, not held against", "ratings.csv"},
	"share_unknown":        {"how a load spreads over the axles is estimated, within its wider uncertainty", "", "loads.csv"},
	"strained":             {"the readings agree poorly", "", "tickets.csv"},
	"sum_rounded":          {"every figure is rounded to 1 kg by itself", "; a printed sum may miss its printed parts by 1 kg", "tickets.csv"},
	"equal_share":          {"the wheels of an axle were not weighed apart", "; each tyre is taken to carry an equal share, give or take 10 %", "ratings.csv"},
}

// saidAlready are the codes whose sentence needs no detail.
var saidAlready = map[string]bool{"interval_assumed": true, "nose_off_deck": true, "looks_calculated": true}

// FootnoteText gives the sentence of a footnote. detail is a name or figure as
// typed, or blank. The line is not part of the sentence: alike footnotes of
// many lines are printed together (FootnoteGroups).
func FootnoteText(code string, line int, detail string, r *Record) string {
	words, known := footnoteWords[code]
	if !known {
		words.Head = strings.ReplaceAll(code, "_", " ")
	}
	switch code {
	case "strained":
		words.Tail = "; " + r.strainText()
	case "nose_off_deck":
		words.Head = noseOffText(r.lineKg(line))
	}
	if detail != "" && !saidAlready[code] {
		detail = " (" + detail + ")"
	} else {
		detail = ""
	}
	put := strings.NewReplacer("[interval]", regions.Label("interval", regions.Region(r.Options.Region))).Replace
	return put(words.Head) + detail + put(words.Tail)
}

// FootnoteGroup is footnotes with one sentence: their numbers, counted from 1
// in the record's order, and the lines they are about.
type FootnoteGroup struct {
	Code, Text     string
	Numbers, Lines []int
}

// FootnoteGroups puts footnotes with the same code and sentence together, in
// the order of their first numbers. The numbers are the record's and the same
// on every output.
func (r *Record) FootnoteGroups() []FootnoteGroup {
	var groups []FootnoteGroup
	for i, f := range r.Footnotes {
		at := slices.IndexFunc(groups, func(g FootnoteGroup) bool { return g.Code == f.Code && g.Text == f.Text })
		if at < 0 {
			at, groups = len(groups), append(groups, FootnoteGroup{Code: f.Code, Text: f.Text})
		}
		groups[at].Numbers = append(groups[at].Numbers, i+1)
		if f.Line > 0 && !slices.Contains(groups[at].Lines, f.Line) {
			groups[at].Lines = append(groups[at].Lines, f.Line)
		}
	}
	return groups
}

// Sentence gives the group's text with the lines it is about before it:
// "lines 2-4 of tickets.csv: people aboard not stated".
func (g FootnoteGroup) Sentence() string {
	if len(g.Lines) == 0 {
		return g.Text
	}
	form := footnoteWords[g.Code].Form
	if form == "" {
		form = "tickets.csv"
	}
	word := "lines "
	if len(g.Lines) == 1 {
		word = "line "
	}
	return word + Runs(g.Lines) + " of " + form + ": " + g.Text
}

// Runs prints whole numbers with runs drawn together: "1-3, 7".
func Runs(numbers []int) string {
	sorted := slices.Sorted(slices.Values(numbers))
	var parts []string
	for i := 0; i < len(sorted); {
		j := i
		for j+1 < len(sorted) && sorted[j+1] == sorted[j]+1 {
			j++
		}
		part := strconv.Itoa(sorted[i])
		if j > i {
			part += "-" + strconv.Itoa(sorted[j])
		}
		parts, i = append(parts, part), j+1
	}
	return strings.Join(parts, ", ")
}

// HitchNote is the footnote on how the outfit travels, where the form does not
// say: it bears on what decides, so page 1 has it too. Blank where it is said.
func (r *Record) HitchNote() string {
	for _, f := range r.Footnotes {
		if f.Code == "no_hitch_stated" || f.Code == "travels_assumed" {
			return f.Text
		}
	}
	return ""
}
