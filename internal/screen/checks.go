package screen

import (
	"slices"
	"strings"

	"reconcile/internal/words"
)

// The marks behind a verdict, explained below the tables.
const (
	notChecked    = "*"
	onlyTensioned = "^"
)

// checks prints the ratings compared: those that decide and those that are over
// all the same, those that do not decide, and each set of planned ratings under
// a heading of its own.
func (r view) checks() string {
	said := r.Report()
	var first, others []words.Check
	omitted := 0
	for _, c := range said.Checks {
		switch {
		case c.Of.Set != "" || r.impossible(c):
		case c.Of.Decides || c.Of.Verdict == "over":
			first = append(first, c)
		case c.Of.Verdict != "not_weighed":
			others = append(others, c)
		default:
			omitted++
		}
	}
	s := r.section(r.Head("checks"), first) + r.section(r.Head("others"), others)
	for _, set := range said.Sets {
		s += r.section(set.Head, r.planned(set.Name))
		for _, text := range set.Effects {
			s += hang("  ", text)
		}
		for _, q := range r.Headline().Questions {
			if q.Set == set.Name && !q.Answered {
				s += hang("  ", q.Full)
			}
		}
	}
	s += r.legend()
	return s + hang("", r.Head("omitted", omitted))
}

// impossible reports whether a check is of a state that the outfit does not
// have: one without a load-distribution hitch is never tensioned.
func (r view) impossible(c words.Check) bool {
	return c.Of.State == "coupled_tensioned" && r.Record.Outfit.Travels == "plain"
}

// planned are the rows of a set of planned ratings.
func (r view) planned(set string) []words.Check {
	return slices.DeleteFunc(r.weighed(), func(c words.Check) bool { return c.Of.Set != set })
}

// weighed gives the checks that have a value.
func (r view) weighed() []words.Check {
	return slices.DeleteFunc(slices.Clone(r.Report().Checks), func(c words.Check) bool { return c.Of.Verdict == "not_weighed" || r.impossible(c) })
}

// section is a heading and a table; nothing where there is no row.
func (r view) section(heading string, checks []words.Check) string {
	if len(checks) == 0 {
		return ""
	}
	head := []string{r.Head("rating"), r.Head("on"), r.Head("state"), r.Head("value"), r.Head("limit"), r.Head("margin"), r.Head("row_verdict")}
	t := table{head: head, figures: []int{3, 4, 5}}
	for _, c := range checks {
		t.rows = append(t.rows, r.row(c))
	}
	return "\n" + hang("", heading) + t.text()
}

// row is the cells of one check; what was not weighed says so as its verdict.
func (r view) row(c words.Check) []string {
	label, value, limit, margin := c.Rating, c.Value, c.Limit, c.Margin
	if c.Of.Verdict == "not_weighed" {
		value, margin = "-", "-"
	}
	if c.Of.LimitKN != nil { // the unit is said once, so that the figures stay narrow
		label += ", kN"
		value, limit, margin = noUnit(value), noUnit(limit), noUnit(margin)
	}
	return []string{label, c.On, c.State, value, limit, margin, r.verdict(c)}
}

// noUnit takes the kilonewtons off a figure.
func noUnit(figure string) string { return strings.TrimSuffix(figure, " kN") }

// verdict is the word of a check with its marks. Where the readings contradict
// each other there is no word, and assumptions are said all the same.
func (r view) verdict(c words.Check) string {
	word := c.Verdict
	if c.Of.Verdict == "not_weighed" {
		return word
	}
	marks := ""
	if !c.Of.Checked && word != "" {
		marks += notChecked
	}
	if c.Of.OnlyTensioned && word != "" {
		marks += onlyTensioned
	}
	word = join(" ", word, marks)
	if c.Of.Verdict == "over" {
		word = join(", ", word, c.NotDeciding)
	}
	if len(c.Of.Assumed) > 0 {
		word = join(", ", word, r.Head("mark_assumed"))
	}
	return word
}

// legend explains the marks that were used, what was assumed, and what a
// D-value is with the plated masses.
func (r view) legend() string {
	var open, hitch bool
	var assumed, plated []string
	for _, c := range r.weighed() {
		open, hitch = open || !c.Of.Checked, hitch || c.Of.OnlyTensioned
		assumed, plated = once(assumed, c.Label, c.Assumed), once(plated, c.Label, c.Plated)
	}
	s := ""
	if open && r.Record.Verdict != "conflict" {
		s += hang(notChecked+" ", r.Head("mark_not_checked"))
	}
	if hitch && r.Record.Verdict != "conflict" {
		s += hang(onlyTensioned+" ", r.Head("mark_tensioned"))
	}
	for _, text := range append(assumed, plated...) {
		s += hang("", text)
	}
	return s
}

// once adds a text under its label, if there is one and it is not there yet.
func once(all []string, label, text string) []string {
	if text == "" || slices.Contains(all, label+": "+text) {
		return all
	}
	return append(all, label+": "+text)
}
