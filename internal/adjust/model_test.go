package adjust

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

func TestTotalRelief(t *testing.T) {
	if got := total([]relief{{Kg: 3}, {Kg: -1.5}, {Kg: 4}}); got != 5.5 {
		t.Errorf("total %g (want 5.5)", got)
	}
}

// Where the download is not determined, the share that is to be kept is the
// guide's: 10 % less what a place 1 m of 5 m before the axle adds, 20 %.
func TestShareBoundWithoutDownload(t *testing.T) {
	job := &tickets.Job{
		Readings: []tickets.Reading{{Line: 2, State: tickets.TrailerAlone, Kg: decimal.NewFromInt(2680), IntervalKg: decimal.NewFromInt(20),
			Terms: []tickets.Term{{Group: tickets.Trailer}, {Group: tickets.Nose}}, Used: true}},
		Scales: []tickets.Scale{{Class: "III"}},
		Outfit: tickets.Outfit{LengthUncertaintyMm: 10, CouplingToTrailerAxle: tickets.Length{Known: true, Mm: 5000}},
	}
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := (&planner{job: job, s: s}).shareBound(0.1)
	change, missing, ok := b.effect(&tickets.Place{On: tickets.OnTrailer, HasAt: true, AtMm: 1000})
	if b.limit != 0 || !ok || missing != "" || math.Abs(change+0.1) > 1e-12 {
		t.Errorf("limit %g, change %g, %q, %v (want 0, -0.1)", b.limit, change, missing, ok)
	}
}

// 1 kN over and U = 2·0.5 kN: 2 kN to come off, the weight of 2·1000/9.81 =
// 203.9 kg (g as UN R55 takes it).
func TestBoundOfAForce(t *testing.T) {
	c := withValue(limits.Check{Rating: "d_value", LimitKN: decimal.NewNullDecimal(decimal.NewFromInt(20))}, 0.5, -1)
	b := (&planner{f: &limits.Findings{}}).checkBound(c)
	if math.Abs(b.limit+203.874) > 1e-3 {
		t.Errorf("limit %g kg (want -203.874)", b.limit)
	}
}
