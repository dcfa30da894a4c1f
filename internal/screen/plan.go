package screen

import (
	"io"
	"strconv"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// Plan writes what to move and what to leave behind: what to do now on the
// first line, how good the plan is on the second, then the actions, the loads
// before and after, and what else there is. No line is longer than Columns. rec is
// the record with the plan.
func Plan(w io.Writer, rec *record.Record) error {
	r := view{words.Of(rec, nil)}
	text := r.Report().Plan
	var b strings.Builder
	b.WriteString(hang(r.lead("do_now"), text.DoNow))
	b.WriteString(hang(r.lead("plan"), text.Verdict))
	b.WriteString(r.line("job", r.Record.Job))
	b.WriteString(r.line("plan_for", text.For))
	b.WriteString(r.lookAgain())
	b.WriteString(numbered(r.Head("actions"), text.Actions))
	b.WriteString(numbered(r.Head("nearest"), text.Nearest))
	b.WriteString(r.beforeAfter())
	if rec.Trip != nil && !rec.Plan.Found {
		if over := r.tripChecks(); len(over) > 0 {
			b.WriteString("\n" + r.listed("trip", over))
		}
	}
	for _, part := range []string{r.listed("levers", text.Levers), r.listed("instead", text.Instead), r.listed("not_offered", text.NotOffered), r.listed("limits_of_plan", text.Limits)} {
		if part != "" {
			b.WriteString("\n" + part)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// numbered is a heading and sentences with their numbers.
func numbered(heading string, sentences []string) string {
	if len(sentences) == 0 {
		return ""
	}
	s := "\n" + hang("", heading)
	for i, sentence := range sentences {
		s += hang("  "+strconv.Itoa(i+1)+". ", sentence)
	}
	return s
}

// beforeAfter prints every deciding load, and what becomes of it.
func (r view) beforeAfter() string {
	text := r.Report().Plan
	if len(text.Loads) == 0 {
		return ""
	}
	changes := text.Loads[0].After != ""
	head := []string{r.Head("rating"), r.Head("on"), r.Head("state"), r.Head("limit"), r.Head("value"), r.Head("row_verdict")}
	t := table{head: head, figures: []int{3, 4}}
	if changes {
		head = []string{r.Head("rating"), r.Head("on"), r.Head("state"), r.Head("limit"), r.Head("before"), r.Head("after"), r.Head("row_verdict")}
		t = table{head: head, figures: []int{3, 4, 5}}
	}
	for _, l := range text.Loads {
		label := l.Rating
		if strings.HasSuffix(l.Limit, " kN") { // the unit is said once, so that the figures stay narrow
			label += ", kN"
		}
		row := []string{label, l.On, l.State, noUnit(l.Limit), noUnit(l.Before)}
		verdict := l.Verdict
		if changes {
			row = append(row, noUnit(l.After))
			if l.Then != verdict {
				verdict += ", " + r.Head("then") + " " + l.Then
			}
		}
		t.rows = append(t.rows, append(row, verdict))
	}
	return "\n" + hang("", text.Table) + t.text()
}
