package main

import (
	"fmt"
	"strings"

	"reconcile/internal/flow"
	"reconcile/internal/issue"
	"reconcile/internal/record"
	"reconcile/internal/words"
)

// sayOtherOutfit warns where --after compares with the summary of what cannot be
// the same outfit. It is no refusal: a plate may have been replaced. The record
// holds nothing of it.
func (run *summaries) sayOtherOutfit(r *flow.Result) {
	earlier := r.Say.Earlier
	if earlier == nil || !issue.OtherOutfit(&earlier.Outfit, &r.Record.Outfit) {
		return
	}
	fmt.Fprintf(run.err, "caution: --after: the earlier summary is of another outfit (%s there, %s here): compare it only if it is the same vehicle and trailer\n",
		marksOf(&earlier.Outfit), marksOf(&r.Record.Outfit))
}

// marksOf are the marks of an outfit by which [issue.OtherOutfit] tells it from
// another.
func marksOf(o *record.Outfit) string {
	var marks []string
	for _, m := range []struct{ what, typed string }{{"vehicle", o.VehicleID}, {"trailer", o.TrailerID}, {"owner", o.Owner}} {
		if m.typed != "" && (m.what != "owner" || len(marks) == 0) {
			marks = append(marks, fmt.Sprintf("%s %q", m.what, words.TextOfCell(m.typed)))
		}
	}
	return strings.Join(marks, ", ")
}
