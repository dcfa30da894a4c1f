package screen

import (
	"io"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// Estimate writes what the stated masses of a job come to: the running sums,
// what trailer fits, every rating, each set of planned ratings, and what the
// sums rest on. Masses are in unit, kg or lb. No line is longer than Columns.
// The error is the writer's.
func Estimate(w io.Writer, e *record.Estimate, unit string) error {
	say := words.OfEstimate(e, unit)
	var b strings.Builder
	b.WriteString(hang("", words.EstimateTitle()))
	b.WriteString(hang(say.Head("do_now")+": ", say.DoNow()))
	b.WriteString(hang(say.Head("verdict")+": ", say.Verdict()))
	if e.Job != "" {
		b.WriteString(hang(say.Head("job")+": ", e.Job))
	}
	b.WriteString(sum(say, say.PayloadHead(), e.PayloadSum, true) + hang("", say.Left(e.PayloadKg, e.PayloadLeft)))
	b.WriteString(sum(say, say.TrailerHead(), e.TrailerSum, false))
	b.WriteString("\n")
	for _, text := range say.Masses() {
		b.WriteString(hang("", text))
	}
	b.WriteString("\n" + hang("", say.Fits(e.Fits, e.StopsFirst)))
	b.WriteString(estimateRows(say, say.ChecksHead(), e.Checks, ""))
	for _, s := range e.Sets {
		b.WriteString(estimateRows(say, words.SetHead(s.Set), e.Checks, s.Set))
		for _, text := range say.Set(s) {
			b.WriteString(hang("- ", text))
		}
	}
	if names := say.NotGiven(); len(names) > 0 {
		b.WriteString("\n" + hang(say.Head("not_given")+": ", strings.Join(names, "; ")))
	}
	b.WriteString(listUnder(say.RestsOnHead(), append(say.RestsOn(), rounded(say)...)))
	_, err := io.WriteString(w, b.String())
	return err
}

// rounded is the note on rounding, where there is one.
func rounded(say *words.Estimates) []string {
	if text := say.Rounded(); text != "" {
		return []string{text}
	}
	return nil
}

// sum prints a running sum under its head; nothing where there is none.
func sum(say *words.Estimates, head string, steps []record.SumStep, down bool) string {
	if len(steps) == 0 {
		return "\n"
	}
	t := table{head: say.SumHeads(down), figures: []int{1, 2}}
	for i, s := range steps {
		t.rows = append(t.rows, cleaned(say.Step(s, i == 0)))
	}
	return "\n" + hang("", head) + t.String()
}

// cleaned makes cells that hold what somebody typed fit for a terminal.
func cleaned(row []string) []string {
	for i := range row {
		row[i] = clean(row[i])
	}
	return row
}

// estimateRows prints the rows of a set under its head; nothing where there are none.
func estimateRows(say *words.Estimates, head string, checks []record.EstimateCheck, set string) string {
	t := table{figures: []int{2, 3, 4}}
	for _, code := range []string{"rating", "state", "value", "limit", "margin", "verdict"} {
		t.head = append(t.head, say.Head(code))
	}
	for _, c := range checks {
		if c.Set == set {
			t.rows = append(t.rows, cleaned(say.Row(c)))
		}
	}
	if len(t.rows) == 0 {
		return ""
	}
	return "\n" + hang("", head) + t.String()
}
