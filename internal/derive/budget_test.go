package derive

import (
	"math"
	"testing"

	"reconcile/internal/tickets"
)

// A budget accounts for all of u where it has room for all of it.
func TestBudgetAddsUp(t *testing.T) {
	s := mustSolve(t, triple(0))
	q := s.total(VehicleAlone, vehicleGroups...)
	sum := 0.0
	causes := s.budget(q)
	for i, c := range causes {
		sum += c.U * c.U
		if i > 0 && c.U > causes[i-1].U {
			t.Errorf("cause %d is larger than the one before it", i)
		}
	}
	// by hand: 0.5·(10, 8, 6)
	if len(causes) != 3 || math.Abs(sum-50) > 1e-6 || math.Abs(causes[0].U-5) > 1e-6 || causes[0].Index != 2 {
		t.Errorf("%+v (want 5, 4, 3 of readings 2, 1, 0)", causes)
	}
}

// What leans on a tie names the tie and its lengths: the download of the front
// lift alone, D = lift·w/a, has ∂D/∂tie = w/a = 2.28 and so 2.28·5 = 11.4 of
// the tie, and of the lengths 250·10/1250 = 2 (a) and 250·10/2850 = 0.8772 (w).
func TestBudgetOfATie(t *testing.T) {
	job := measured(jobOf(on("a", weigh(tickets.VehicleAlone, "", aloneFront, "front")),
		on("a", weigh(tickets.Coupled, tickets.Slack, aloneFront-download250*overhang/wheelbase, "front"))))
	job.Scales = []tickets.Scale{certain("a", 2)}
	s := mustSolve(t, job)
	want := map[string]float64{tieVehicle: 11.4, lengthA: 2, lengthW: 0.877193}
	for _, c := range s.budget(s.Figures().Download) {
		if w, ok := want[c.Name]; ok && math.Abs(c.U-w) > 1e-4 {
			t.Errorf("%s %s: %g (want %g)", c.Kind, c.Name, c.U, w)
		}
		delete(want, c.Name)
	}
	if len(want) != 0 {
		t.Errorf("not in the budget: %v", want)
	}
	if s.Figures().Download.Basis != ByMoment {
		t.Errorf("basis %s (want moment)", s.Figures().Download.Basis)
	}
}

// The two shares of one load are one cause, in quadrature; the largest five
// causes that are not nothing are kept.
func TestCausesMergedAndKept(t *testing.T) {
	share := func(name string, u float64) cause { return cause{Kind: byShare, Name: name, U: u} }
	got := merged([]cause{share("driver", 3), {Kind: byReading, U: 2}, share("tools", 7), share("driver", 4)})
	if len(got) != 3 || got[0].U != 5 || got[1].U != 2 || got[2].U != 7 {
		t.Errorf("merged: %v (want 5, 2, 7)", got)
	}
	var many []cause
	for u := range 8 {
		many = append(many, cause{Kind: byReading, U: float64(u)})
	}
	if got := top(many); len(got) != largestCauses || got[0].U != 7 || got[4].U != 3 {
		t.Errorf("the largest of 0 to 7: %v (want 7 to 3)", got)
	}
	if got := top([]cause{{U: 1e-10}, {U: 3}, {U: 2}}); len(got) != 2 {
		t.Errorf("what is nothing is kept: %v", got)
	}
}
