package mistakes

import (
	"math"
	"testing"
)

// The prior of a mistake is its weight in 10,000, shared among its forms; one
// without other forms has it all.
func TestPriorByTheTable(t *testing.T) {
	for forms, want := range map[int]float64{0: 10e-4, 1: 10e-4, 2: 5e-4, 5: 2e-4} {
		if got := priorOf(setupWrong, "deck", forms); math.Abs(got-want) > 1e-15 {
			t.Errorf("%d forms: %g (want %g)", forms, got, want)
		}
	}
}

// The forms that a mistake can take share its prior out among them.
func TestPriorsAreShared(t *testing.T) {
	s := mustSolve(t, slips())
	sum := map[kind]map[int]float64{digitWrong: {}, digitsSwapped: {}, unitWrong: {}}
	for _, h := range newSearch(s).hypotheses() {
		if by := sum[h.Kind]; by != nil && h.Scope == oneFigure {
			by[h.Readings[0]] += h.prior
		}
	}
	for kind, most := range map[kind]float64{digitWrong: 20e-4, digitsSwapped: 12e-4, unitWrong: 2e-4} {
		for i, p := range sum[kind] {
			if p > most+1e-12 {
				t.Errorf("%s in reading %d: %g in all (want %g at most)", kind, i, p, most)
			}
		}
	}
	if got := sum[digitWrong][8]; math.Abs(got-20e-4) > 1e-12 {
		t.Errorf("digits of reading 9: %g in all (want 0.002)", got)
	}
	for _, p := range priors {
		if p.weight <= 0 {
			t.Errorf("%s %s has no weight", p.kind, p.which)
		}
	}
}
