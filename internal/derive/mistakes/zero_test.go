package mistakes

import (
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// A second scale shows 60 kg with nothing on it: what it read is all 60 too much.
func TestZeroNotReturned(t *testing.T) {
	job := slips()
	job.Outfit.Travels, job.Outfit.TravelsPlain = tickets.CoupledSlack, true
	job.Scales = []tickets.Scale{{Name: "a", Class: "III", Multi: true}, {Name: "b", Class: "III", Multi: true}}
	for i := range job.Readings {
		r := &job.Readings[i]
		r.Scale = "a"
		if r.State.Coupled() {
			r.Scale = "b"
			retype(job, i, r.Kg.Add(decimal.NewFromInt(60)).String())
		}
	}
	s := mustSolve(t, job)
	list := listed(s)
	at := found(list, func(m *Mistake) bool {
		return m.Kind == zeroWrong && m.Scope == oneScale && job.Readings[m.Readings[0]].Scale == "b"
	})
	if at != 0 {
		t.Fatalf("entry %d of %v (want the first)", at, names3(list))
	}
	if kg := list[0].zeroKg; kg < 45 || kg > 75 {
		t.Errorf("the zero is found to be %g (want about 60)", kg)
	}
	// Where its empty deck was read the zero is known, and freeing it would change
	// nothing: only the other scale's is supposed not to have returned.
	job.Readings = append(job.Readings, tickets.Reading{Line: 20, Scale: "b", OnDeck: "empty", Empty: true, Used: true, IntervalKg: decimal.NewFromInt(20)})
	if all := newSearch(mustSolve(t, job)).zeroMistakes(); len(all) != 1 || *all[0].zero != "a" {
		t.Errorf("%d scales whose zero is supposed not to have returned: %+v (want scale a alone)", len(all), all)
	}
}
