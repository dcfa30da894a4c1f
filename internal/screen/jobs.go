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

// Row is one job's line of the closing table; of one that was stopped by its forms the
// verdict is refused, and only what it is called is there too.
type Row struct {
	Called, Verdict      string // Verdict is a code
	Rating, Value, Limit string // of the tightest check, in words, the limit with its unit
}

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
		found := ""
		if o.Value != "" {
			found = o.Value + " / " + o.Limit
		}
		t.rows = append(t.rows, []string{clean(o.Called), head.Head(o.Verdict), o.Rating, found})
	}
	_, err := io.WriteString(w, "\n"+t.text())
	return err
}
