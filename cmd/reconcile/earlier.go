package main

import (
	"fmt"
	"strings"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/words"
)

// sayOtherOutfit warns where --after compares with the summary of what cannot be
// the same outfit. It is no refusal: a plate may have been replaced. The record
// holds nothing of it.
func (run *summaries) sayOtherOutfit(r *flow.Result) {
	earlier := r.Say.Earlier
	if earlier == nil || !otherOutfit(&earlier.Outfit, &r.Record.Outfit) {
		return
	}
	fmt.Fprintf(run.err, "caution: --after: the earlier summary is of another outfit (%s there, %s here): compare it only if it is the same vehicle and trailer\n",
		marksOf(&earlier.Outfit), marksOf(&r.Record.Outfit))
}

// otherOutfit says whether two outfits, a vehicle and its trailer, cannot be the
// same one: a mark painted on them differs that both have; the owner counts where
// they have no mark to compare. What one of them leaves blank says nothing.
func otherOutfit(a, b *record.Outfit) bool {
	comparable := false
	for _, pair := range [][2]string{{a.VehicleID, b.VehicleID}, {a.TrailerID, b.TrailerID}} {
		x, y := asMark(pair[0]), asMark(pair[1])
		if x == "" || y == "" {
			continue
		}
		if comparable = true; x != y {
			return true
		}
	}
	x, y := asMark(a.Owner), asMark(b.Owner)
	return !comparable && x != "" && y != "" && x != y
}

// asMark is a mark without regard to case and spaces, as a register has it.
func asMark(s string) string {
	return strings.ToLower(strings.Join(strings.Fields(words.TextOfCell(s)), ""))
}

// marksOf are the marks of an outfit by which [otherOutfit] tells it from
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
