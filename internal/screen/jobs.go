package screen

import (
	"io"
	"slices"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// briefLines is how many lines each of several jobs gets at most.
const briefLines = 10

// Brief writes what matters most of one of several jobs: the job, what to do
// now, the verdict, what to look at again, why, and what is next. What does not
// fit into ten lines is in the summary.
func Brief(w io.Writer, rec *record.Record) error {
	r := viewOf(rec)
	text := hang(r.lead("job"), r.Job) + r.top() + r.lookAgain() + hang(r.lead("why"), r.Why()) + r.listed("next", r.Next())
	lines := strings.SplitAfter(text, "\n")
	if n := len(lines) - 1; n > briefLines {
		lines = append(lines[:briefLines-1], "...\n")
	}
	_, err := io.WriteString(w, strings.Join(lines, ""))
	return err
}

// Outcome is one job's line of the closing table.
type Outcome struct {
	Job, Verdict  string // Verdict is a code
	Rating, Value string // of what governs, in words
}

// OutcomeOf gives the line of a job.
func OutcomeOf(rec *record.Record) Outcome {
	r := viewOf(rec)
	o := Outcome{Job: r.Job, Verdict: r.Record.Verdict}
	if c := r.Words.Tightest(); c != nil && c.Verdict != "not_weighed" {
		said := r.Check(*c)
		o.Rating, o.Value = said.InState, said.Value+" / "+said.Limit
		if c.LimitKN == nil {
			o.Value += " " + r.UnitWord()
		}
	}
	return o
}

// RefusedOutcome is the line of a job that was stopped by its forms.
func RefusedOutcome(job string) Outcome { return Outcome{Job: job, Verdict: "refused"} }

// gravest is the order of the closing table.
var gravest = []string{"refused", "conflict", "over", "unsettled", "incomplete", "unconfirmed", "within"}

// Closing writes a table with one line a job, the gravest first and otherwise
// in the order given.
func Closing(w io.Writer, all []Outcome) error {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b Outcome) int {
		return slices.Index(gravest, a.Verdict) - slices.Index(gravest, b.Verdict)
	})
	head := words.Of(&record.Record{})
	t := table{head: []string{head.Head("job"), head.Head("verdict"), head.Head("rating"), head.Head("value") + " / " + head.Head("limit")}, figures: []int{3}}
	for _, o := range sorted {
		t.rows = append(t.rows, []string{clean(o.Job), words.VerdictCode(o.Verdict), o.Rating, o.Value})
	}
	_, err := io.WriteString(w, "\n"+t.String())
	return err
}
