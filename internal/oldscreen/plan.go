package oldscreen

import (
	"io"
	"strconv"
	"strings"

	record "reconcile/internal/oldrecord"
)

// Plan writes what to move and what to leave behind: what to do now on the
// first line, how good the plan is on the second, then the actions, the loads
// before and after, and what stands beside. No line is longer than Columns.
// The record's Plan is drawn; text is the same plan in words.
func Plan(w io.Writer, r *record.Record, text record.PlanText) error {
	var b strings.Builder
	b.WriteString(hang("do now: ", text.DoNow))
	b.WriteString(hang("plan: ", text.Verdict))
	if r.Job != "" {
		b.WriteString(hang("job: ", r.Job))
	}
	if text.For != "" {
		b.WriteString(hang("held under: ", text.For+", planned ratings; those in force stay what they are"))
	}
	b.WriteString(numbered("what to do, the greatest effect first:", text.Actions))
	b.WriteString(numbered("what leaves the least too much, and is no plan:", text.Nearest))
	b.WriteString(beforeAfter(r, text.Table))
	if lines := list("instead of moving: ", text.Instead); len(text.Instead) > 0 {
		b.WriteString("\n" + lines)
	}
	if len(text.NotOffered) > 0 {
		b.WriteString("\n" + list("not offered: ", text.NotOffered))
	}
	if len(text.Limits) > 0 {
		b.WriteString("\n" + list("to be known: ", text.Limits))
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
func beforeAfter(r *record.Record, heading string) string {
	p := r.Plan
	if len(p.Before) == 0 {
		return ""
	}
	changes := len(p.Moves) > 0 && len(p.After) == len(p.Before)
	t := table{head: []string{"rating", "on", "state", "limit", "value ± U", "verdict"}, figures: []int{3, 4}}
	if changes {
		t = table{head: []string{"rating", "on", "state", "limit", "before", "after", "verdict"}, figures: []int{3, 4, 5}}
	}
	for i, l := range p.Before {
		row := []string{planLabel(r, l), record.OnWord(l.On), r.StateWord(l.State), noUnit(l.LimitText()), noUnit(l.ValueText())}
		verdict := record.CheckVerdictWord(l.Verdict)
		if changes {
			row = append(row, noUnit(p.After[i].ValueText()))
			if now := record.CheckVerdictWord(p.After[i].Verdict); now != verdict {
				verdict += ", then " + now
			}
		}
		t.rows = append(t.rows, append(row, verdict))
	}
	return "\n" + hang("", heading) + t.String()
}

// planLabel names a load's rating, with its unit where it is not kilograms.
func planLabel(r *record.Record, l record.PlanLoad) string {
	if l.LimitKN != "" {
		return r.RatingLabel(l.Rating) + ", kN"
	}
	return r.RatingLabel(l.Rating)
}
