package limits

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// The mistake behind a load is in kilograms: as far as the load moves when the
// job is solved again with a reading a kilogram heavier, times the smallest
// mistake that would show in it.
func TestMistakeBehindALoad(t *testing.T) {
	lines := rate("axle", "rear", 2100)
	s := mustSolve(t, plated(lines))
	was := row(t, Find(plated(lines), s, Guarded), "axle", "rear", tickets.CoupledSlack, "")
	want := 0.0
	for _, o := range s.Used {
		heavier := plated(lines)
		heavier.Readings[o.Index].Kg = heavier.Readings[o.Index].Kg.Add(decimal.NewFromInt(1))
		is := row(t, found(t, heavier), "axle", "rear", tickets.CoupledSlack, "")
		want = math.Max(want, math.Abs(is.Found.Value-was.Found.Value)*o.Smallest)
	}
	if was.MistakeKg == nil || want == 0 || math.Abs(*was.MistakeKg/want-1) > 1e-3 {
		t.Errorf("mistake %v (want %g kg)", was.MistakeKg, want)
	}
}

// The mistake that might hide behind Dc is in kilonewtons: for each reading, as
// far as Dc moves when the job is solved again with the reading a kilogram
// heavier, times the smallest mistake that would show in it; the largest counts.
func TestMistakeBehindDc(t *testing.T) {
	job := plated(dValue(14))
	s := mustSolve(t, job)
	f := Find(job, s, Guarded)
	was := row(t, f, "d_value", "", noState, "")
	want := 0.0
	for _, o := range s.Used {
		heavier := plated(dValue(14))
		heavier.Readings[o.Index].Kg = heavier.Readings[o.Index].Kg.Add(decimal.NewFromInt(1))
		is := row(t, found(t, heavier), "d_value", "", noState, "")
		want = math.Max(want, math.Abs(is.Found.Value-was.Found.Value)*o.Smallest)
	}
	if was.MistakeKg == nil || want == 0 || math.Abs(*was.MistakeKg/want-1) > 1e-3 {
		t.Errorf("mistake %v (want %g kN)", was.MistakeKg, want)
	}
}
