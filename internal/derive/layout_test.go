package derive

import (
	"slices"
	"testing"

	"reconcile/internal/tickets"
)

func TestCoversCells(t *testing.T) {
	at := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Rear, Axle: axle, Side: side}
	}
	for _, c := range []struct {
		support, cell tickets.Term
		axles         int
		want          bool
	}{
		{at(0, ""), at(2, tickets.Left), 2, true}, {at(2, ""), at(2, tickets.Left), 2, true}, {at(1, ""), at(2, ""), 2, false},
		{at(1, ""), at(0, ""), 1, true}, {at(1, ""), at(0, ""), 2, false}, {at(2, ""), at(1, ""), 1, false},
		{at(0, tickets.Left), at(1, tickets.Right), 2, false}, {tickets.Term{Group: tickets.Front}, at(0, ""), 1, false},
	} {
		if got := covers(c.support, c.cell, c.axles); got != c.want {
			t.Errorf("%v covers %v of %d axles: %v", c.support, c.cell, c.axles, got)
		}
	}
}

func TestFinestSupports(t *testing.T) {
	rear := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Rear, Axle: axle, Side: side}
	}
	for _, c := range []struct {
		split splitOf
		want  []tickets.Term
	}{
		{splitOf{}, []tickets.Term{rear(0, "")}},
		{splitOf{axles: 2}, []tickets.Term{rear(1, ""), rear(2, "")}},
		{splitOf{sides: true}, []tickets.Term{rear(0, tickets.Left), rear(0, tickets.Right)}},
		{splitOf{axles: 1, sides: true}, []tickets.Term{rear(1, tickets.Left), rear(1, tickets.Right)}},
	} {
		if got := finest(tickets.Rear, c.split); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v (want %v)", c.split, got, c.want)
		}
	}
}
