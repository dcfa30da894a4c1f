package derive

import (
	"testing"

	"reconcile/internal/tickets"
)

// The same supports said in three ways are three readings of the same kind.
func TestRepeatsAreBySupports(t *testing.T) {
	o := &tickets.Outfit{RearAxles: 2}
	rear := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Rear, Axle: axle, Side: side}
	}
	on := func(terms ...tickets.Term) tickets.Reading {
		r := weigh(tickets.VehicleAlone, "", 1500)
		r.Terms = terms
		return r
	}
	got := repeats(o, []tickets.Reading{
		on(rear(0, "")), on(rear(1, ""), rear(2, "")), on(rear(0, tickets.Left), rear(1, tickets.Right), rear(2, tickets.Right)),
		on(rear(1, "")), on(rear(0, tickets.Left)),
	})
	for i, want := range []int{3, 3, 3, 1, 1} {
		if got[i] != want {
			t.Errorf("reading %d has m = %d (want %d)", i, got[i], want)
		}
	}
}

func TestWholeOutfit(t *testing.T) {
	o := &tickets.Outfit{TrailerAxles: 2}
	trailer := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Trailer, Axle: axle, Side: side}
	}
	for _, c := range []struct {
		name  string
		terms []tickets.Term
		whole bool
	}{
		{"trailer and nose", deck("whole trailer"), true},
		{"nose off the deck", deck("trailer"), false},
		{"axles", append(deck("nose"), trailer(1, ""), trailer(2, "")), true},
		{"one axle missing", append(deck("nose"), trailer(1, "")), false},
		{"sides, one by axle", append(deck("nose"), trailer(0, tickets.Left), trailer(1, tickets.Right), trailer(2, tickets.Right)), true},
		{"a wheel missing", append(deck("nose"), trailer(0, tickets.Left), trailer(1, tickets.Right)), false},
		{"gauge", deck("coupling"), false},
	} {
		r := weigh(tickets.TrailerAlone, "", 2000)
		r.Terms = c.terms
		if got := wholeOutfit(o, &r); got != c.whole {
			t.Errorf("%s: whole %v (want %v)", c.name, got, c.whole)
		}
	}
}
