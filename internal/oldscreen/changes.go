package oldscreen

import (
	"io"

	record "reconcile/internal/oldrecord"
)

// Changes writes what changed since an earlier visit, load by load, with ± U.
func Changes(w io.Writer, r, earlier *record.Record) error {
	changes := r.Changes(earlier)
	if len(changes) == 0 {
		_, err := io.WriteString(w, "since the earlier visit: no load was found on both\n")
		return err
	}
	t := table{head: []string{"load", "then", "now", "change ± U", ""}, figures: []int{1, 2, 3}}
	for _, c := range changes {
		sign := ""
		if c.Kg > 0 {
			sign = "+"
		}
		t.rows = append(t.rows, []string{c.Label, record.Kg(c.Old.Value), record.Kg(c.New.Value),
			sign + record.KgU(c.Kg, c.U/2), c.ChangedText()})
	}
	_, err := io.WriteString(w, "since the earlier visit, in kg (the two visits taken as independent):\n"+t.String())
	return err
}
