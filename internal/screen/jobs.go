package screen

import (
	"cmp"
	"io"
	"slices"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// briefLines is how many lines each of several jobs gets at most.
const briefLines = 10

// Brief writes what matters most of one of several jobs: what it is called, what to do
// now, the verdict, what to look at again, why, and what is next. What does not
// fit into ten lines is in the summary.
func Brief(w io.Writer, say *words.Words, called string) error {
	r := view{say}
	text := hang(r.lead("job"), called) + r.top() + r.lookAgain() + hang(r.lead("why"), r.Headline().Why) + r.listed("next", r.next())
	lines := strings.SplitAfter(text, "\n")
	if n := len(lines) - 1; n > briefLines {
		lines = append(lines[:briefLines-1], "...\n")
	}
	_, err := io.WriteString(w, strings.Join(lines, ""))
	return err
}

// gravest is the order of the closing table.
var gravest = []string{"refused", "conflict", "over", "unsettled", "incomplete", "unconfirmed", "within"}

// Closing writes a table with one line per job, the gravest first and otherwise
// in the order given. What does not fit into the line is cut.
func Closing(w io.Writer, all []Row) error {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b Row) int {
		return slices.Index(gravest, a.Verdict) - slices.Index(gravest, b.Verdict)
	})
	head := words.Of(&record.Record{}, nil)
	t := table{head: []string{head.Head("job"), head.Head("verdict"), head.Head("rating"), head.Head("value") + " / " + head.Head("limit")}, figures: []int{3}, whole: []int{1}, oneLine: true}
	for _, o := range sorted {
		t.rows = append(t.rows, []string{clean(cmp.Or(o.Called, o.Job)), head.Head(o.Verdict), o.Governs, o.Found})
	}
	_, err := io.WriteString(w, "\n"+t.text())
	return err
}
