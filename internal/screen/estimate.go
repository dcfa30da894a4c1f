package screen

import (
	"io"
	"slices"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// Estimate writes what the stated masses of a job come to: the running sums,
// what trailer fits, every rating, each set of planned ratings, and what the
// sums rest on. Masses are in unit, kg or lb. No line is longer than Columns.
// The error is the writer's.
func Estimate(w io.Writer, e *record.Estimate, unit string) error {
	say := words.OfEstimate(e, unit, nil)
	label := func(code string) string { return say.Words.Head(code) }
	var b strings.Builder
	b.WriteString(hang("", label("estimate")))
	b.WriteString(hang(label("do_now")+": ", say.DoNow))
	b.WriteString(hang(label("verdict")+": ", say.Verdict))
	if e.Job != "" {
		b.WriteString(hang(label("job")+": ", e.Job))
	}
	b.WriteString("\n" + titled(say.Payload, 1, 2) + hang("", say.Left))
	b.WriteString("\n" + titled(say.Trailer, 1, 2))
	b.WriteString("\n")
	for _, text := range say.Masses {
		b.WriteString(hang("", text))
	}
	b.WriteString("\n" + hang("", say.Fits))
	b.WriteString(checked(say.Checks))
	for _, s := range say.Sets {
		b.WriteString(checked(s.Checks))
		for _, text := range s.Changes {
			b.WriteString(hang("- ", text))
		}
	}
	if len(say.NotGiven) > 0 {
		b.WriteString("\n" + hang(label("not_given")+": ", strings.Join(say.NotGiven, "; ")))
	}
	rests := say.RestsOn
	if say.Rounded != "" {
		rests = append(rests, say.Rounded)
	}
	b.WriteString(listUnder(label("rests_on"), rests))
	_, err := io.WriteString(w, b.String())
	return err
}

// titled prints a table under its title, what somebody typed made fit for a
// terminal; nothing where it has no rows.
func titled(t words.Table, figures ...int) string {
	if len(t.Rows) == 0 {
		return ""
	}
	rows := slices.Clone(t.Rows)
	for i, row := range rows {
		rows[i] = slices.Clone(row)
		for j := range row {
			rows[i][j] = clean(row[j])
		}
	}
	return hang("", t.Title) + table{head: t.Heads, figures: figures, rows: rows}.text()
}

// checked prints ratings compared, after a blank line; nothing where there are none.
func checked(t words.Table) string {
	if len(t.Rows) == 0 {
		return ""
	}
	return "\n" + titled(t, 2, 3, 4)
}
