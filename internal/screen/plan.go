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
// the record that the plan is made for; text is the same plan in words.
func Plan(w io.Writer, rec *record.Record, p *record.Plan, text words.PlanText) error {
	r := viewOf(rec)
	var b strings.Builder
	b.WriteString(hang(r.lead("do_now"), text.DoNow))
	b.WriteString(hang(r.lead("plan"), text.Verdict))
	b.WriteString(r.line("job", r.Job))
	b.WriteString(r.line("plan_for", text.For))
	b.WriteString(r.lookAgain())
	b.WriteString(numbered(r.Head("actions"), text.Actions))
	b.WriteString(numbered(r.Head("nearest"), text.Nearest))
	b.WriteString(r.beforeAfter(p, text.Table))
	if rec.Trip != nil && !p.Found && len(r.tripChecks()) > 0 {
		b.WriteString("\n" + r.listed("trip", r.tripChecks()))
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
func (r view) beforeAfter(p *record.Plan, heading string) string {
	if p == nil || len(p.Before) == 0 {
		return ""
	}
	changes := len(p.Moves) > 0 && len(p.After) == len(p.Before)
	head := []string{r.Head("rating"), r.Head("on"), r.Head("state"), r.Head("limit"), r.Head("value"), r.VerdictHead()}
	t := table{head: head, figures: []int{3, 4}}
	if changes {
		head = []string{r.Head("rating"), r.Head("on"), r.Head("state"), r.Head("limit"), r.Head("before"), r.Head("after"), r.VerdictHead()}
		t = table{head: head, figures: []int{3, 4, 5}}
	}
	for i, l := range p.Before {
		row := []string{r.planLabel(l), words.OnWord(l.On), r.StateWord(l.State), noUnit(r.PlanLimit(l)), noUnit(r.PlanValue(l))}
		verdict := r.CheckVerdict(l.Verdict)
		if changes {
			row = append(row, noUnit(r.PlanValue(p.After[i])))
			if now := r.CheckVerdict(p.After[i].Verdict); now != verdict {
				verdict += ", " + r.Head("then") + " " + now
			}
		}
		t.rows = append(t.rows, append(row, verdict))
	}
	return "\n" + hang("", heading) + t.String()
}

// planLabel names a load's rating, with its unit where it is a force.
func (r view) planLabel(l record.PlanLoad) string {
	if l.LimitKN != nil {
		return r.RatingLabel(l.Rating) + ", kN"
	}
	return r.RatingLabel(l.Rating)
}
