package screen

import (
	"io"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// Changes writes what changed since an earlier visit, load by load, with ± U.
func Changes(w io.Writer, r, earlier *record.Record) error {
	say := words.Of(r)
	text := hang("", say.ChangesHead(earlier))
	t := table{head: []string{say.Head("load"), say.Head("then"), say.Head("now"), say.Head("change"), ""}, figures: []int{1, 2, 3}}
	for _, c := range say.Changes(earlier) {
		t.rows = append(t.rows, []string{c.Label, c.Old, c.New, c.By, c.Word})
	}
	if len(t.rows) == 0 {
		text += say.Head("nothing") + "\n"
	} else {
		text += t.String()
	}
	_, err := io.WriteString(w, text)
	return err
}
