package adjust

import (
	"math"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"

	"github.com/shopspring/decimal"
)

// Lines that compute and that no other quick test here would miss: found by
// turning them wrong one at a time. Expected numbers are worked out by hand.

func TestTotalRelief(t *testing.T) {
	if got := total([]Relief{{Kg: 3}, {Kg: -1.5}, {Kg: 4}}); got != 5.5 {
		t.Errorf("total %g (want 5.5)", got)
	}
}

// Where the download is not determined, the share that is to be kept is the
// guide's: 10 % less what a place 1 m of 5 m before the axle adds, 20 %.
func TestShareBoundWithoutDownload(t *testing.T) {
	job := &tickets.Job{
		Readings: []tickets.Reading{{Line: 2, Setup: tickets.TrailerAlone, Kg: decimal.NewFromInt(2680), IntervalKg: decimal.NewFromInt(20),
			Terms: []tickets.Term{{Group: tickets.Trailer}, {Group: tickets.Nose}}, Use: tickets.UseYes}},
		Scales: []tickets.Scale{{Class: tickets.ClassIII, Deck: tickets.DeckSingle}},
		Outfit: tickets.Outfit{LengthUncertaintyMm: 10, CouplingToTrailerAxle: tickets.Length{Known: true, Mm: 5000}},
	}
	s, err := derive.Solve(job)
	if err != nil {
		t.Fatal(err)
	}
	b := (&planner{job: job, s: s}).shareBound(0.1)
	change, missing, ok := b.effect(&tickets.Place{On: tickets.OnTrailer, HasAt: true, AtMm: 1000})
	if b.limit != 0 || !ok || missing != "" || math.Abs(change+0.1) > 1e-12 {
		t.Errorf("limit %g, change %g, %q, %v (want 0, -0.1)", b.limit, change, missing, ok)
	}
}
