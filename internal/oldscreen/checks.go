package oldscreen

import (
	"slices"
	"strconv"
	"strings"

	record "reconcile/internal/oldrecord"
)

// The marks behind a verdict, explained below the tables.
const (
	notChecked    = "*"
	onlyTensioned = "^"
	assumes       = "~"
)

// checks prints the ratings held: those that decide, those that do not, and
// each set of planned ratings under a heading of its own.
func checks(r *record.Record) string {
	var decide, beside []record.Check
	sets := map[string][]record.Check{}
	var names []string
	left := 0
	for _, c := range r.Checks {
		switch {
		case c.Set != "":
			if sets[c.Set] == nil {
				names = append(names, c.Set)
			}
			sets[c.Set] = append(sets[c.Set], c)
		case c.Decides:
			decide = append(decide, c)
		case c.Verdict != "not_weighed":
			beside = append(beside, c)
		case c.State != "coupled_tensioned" || r.Outfit.Travels != "plain":
			left++ // a plain outfit has no such state
		}
	}
	s := section(r, heading(r), decide)
	s += section(r, "held too, deciding nothing:", beside)
	for _, name := range names {
		s += section(r, "if these ratings applied ("+name+"):", weighed(sets[name]))
	}
	return s + legend(r) + leftOut(left)
}

// heading says what the first table is, and not to rely on it where it rests on
// readings that disagree.
func heading(r *record.Record) string {
	if r.Verdict == "conflict" {
		return "not to be relied on, as it rests on readings that disagree, in kg:"
	}
	return "loads held against ratings, in kg, true within ± U about 95 times in 100:"
}

// weighed gives the checks that have a value.
func weighed(checks []record.Check) []record.Check {
	var all []record.Check
	for _, c := range checks {
		if c.Verdict != "not_weighed" {
			all = append(all, c)
		}
	}
	return all
}

// section is a heading and a table; nothing where there is no row.
func section(r *record.Record, heading string, checks []record.Check) string {
	if len(checks) == 0 {
		return ""
	}
	t := table{head: []string{"rating", "on", "state", "value ± U", "limit", "margin", "verdict"}, figures: []int{3, 4, 5}}
	for _, c := range checks {
		t.rows = append(t.rows, row(r, c))
	}
	return "\n" + hang("", heading) + t.String()
}

// row is the cells of one check; what was not weighed says so as its verdict.
func row(r *record.Record, c record.Check) []string {
	value, margin := c.ValueText(), c.MarginText()
	if c.Verdict == "not_weighed" {
		value, margin = "-", "-"
	}
	label, limit := r.RatingLabel(c.Rating), c.LimitText()
	if c.LimitKN != nil { // the unit stands once, so that the figures stay narrow
		label += ", kN"
		value, limit, margin = noUnit(value), noUnit(limit), noUnit(margin)
	}
	return []string{label, record.OnWord(c.On), r.StateWord(c.State), value, limit, margin, verdict(c)}
}

// noUnit takes the kilonewtons off a figure.
func noUnit(figure string) string { return strings.TrimSuffix(figure, " kN") }

// verdict is the word of a check with its marks.
func verdict(c record.Check) string {
	word := record.CheckVerdictWord(c.Verdict)
	if c.Verdict == "not_weighed" {
		return word
	}
	marks := ""
	if !c.Checked {
		marks += notChecked
	}
	if c.OnlyTensioned {
		marks += onlyTensioned
	}
	if c.Assumed != "" {
		marks += assumes
	}
	return join(" ", word, marks)
}

// legend explains the marks that were used.
func legend(r *record.Record) string {
	var open, hitch bool
	var assumed []string
	for _, c := range weighed(r.Checks) {
		open, hitch = open || !c.Checked, hitch || c.OnlyTensioned
		if text := r.CheckLabel(c) + ": " + c.Assumed; c.Assumed != "" && !slices.Contains(assumed, text) {
			assumed = append(assumed, text)
		}
	}
	s := ""
	if open {
		s += hang(notChecked+" ", "not cross-checked: a mistake in a reading it rests on would not show")
	}
	if hitch {
		s += hang(onlyTensioned+" ", "passes only because the hitch is tensioned")
	}
	for _, text := range assumed {
		s += hang(assumes+" ", text)
	}
	return s
}

// leftOut says how many rows without a value, and without a say, are not shown.
func leftOut(rows int) string {
	switch rows {
	case 0:
		return ""
	case 1:
		return "1 row not weighed that decides nothing is left out\n"
	}
	return hang("", strconv.Itoa(rows)+" rows not weighed that decide nothing are left out")
}
