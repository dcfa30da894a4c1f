package derive

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// A budget accounts for all of u where it has room for all of it.
func TestBudgetAddsUp(t *testing.T) {
	s := mustSolve(t, triple(0))
	q := s.total(tickets.VehicleAlone, vehicleGroups...)
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
	job := measured(jobOf(on("a", weigh(tickets.VehicleAlone, aloneFront, "front")),
		on("a", weigh(tickets.CoupledSlack, aloneFront-download250*overhang/wheelbase, "front"))))
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
	if !s.Figures().Download.ByMoment {
		t.Errorf("basis %s (want moment)", basisOf(s.Figures().Download))
	}
}

// The two shares of one load are one cause; the largest five causes that are not
// nothing are kept.
func TestCausesMergedAndKept(t *testing.T) {
	share := func(name string) cause { return cause{Kind: byShare, Name: name} }
	var c causes
	for _, o := range []cause{share("driver"), {Kind: byReading}, share("tools"), share("driver")} {
		c.add(o)
	}
	if len(c.all) != 3 || c.all[2].Name != "tools" || !slices.Equal(c.of, []int{0, 1, 2, 0}) {
		t.Errorf("%v, %v (want driver, a reading, tools)", c.all, c.of)
	}
	many, us := make([]cause, 8), make([]float64, 8)
	for u := range us {
		many[u], us[u] = cause{Index: u}, float64(u)
	}
	if got := top(nil, many, us); len(got) != largestCauses || got[0].U != 7 || got[0].Index != 7 || got[4].U != 3 {
		t.Errorf("the largest of 0 to 7: %v (want 7 to 3)", got)
	}
	if got := top(nil, many, []float64{2, 1e-10, 3, 2}); len(got) != 3 || got[0].Index != 2 || got[1].Index != 0 || got[2].Index != 3 {
		t.Errorf("of 2, nothing, 3 and 2: %v (want 3, the first 2 and the other)", got)
	}
}

// TestLargestOfManyOrders compares the largest five with those of a stable sort, whatever
// the order of the causes and however many of them are equal when they are rounded.
func TestLargestOfManyOrders(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 28))
	for range 2000 {
		all, us := make([]cause, 1+rng.IntN(12)), make([]float64, 12)
		us = us[:len(all)]
		for i := range all {
			all[i].Index = i
			us[i] = float64(rng.IntN(7)) + float64(rng.IntN(5))*2e-7
		}
		var want []contribution
		for i := range all {
			want = append(want, contribution{&all[i], portable.Kg(us[i])})
		}
		slices.SortStableFunc(want, func(a, b contribution) int { return cmp.Compare(b.U, a.U) })
		want = slices.DeleteFunc(want, func(c contribution) bool { return c.U == 0 })
		if got := top(nil, all, us); !slices.Equal(got, want[:min(len(want), largestCauses)]) {
			t.Fatalf("the largest of %v: %v (want %v)", us, got, want)
		}
	}
}

// Gain and zero of a scale are one cause, in quadrature: by hand a zero set to within
// e/4 of 20 kg is in both axles, 2·20/(4√3), and what the gain adds makes u² full.
func TestBudgetOfGainAndZero(t *testing.T) {
	job := axlesRead("multi", emptyDeck(0))
	job.Scales[0].ExpandedKg = whole(30)
	s := mustSolve(t, job)
	q := s.total(tickets.VehicleAlone, vehicleGroups...)
	sum, scales := 0.0, 0
	for _, c := range s.budget(q) {
		sum += c.U * c.U
		if c.Kind == byScale {
			if scales++; c.U < 40/(4*math.Sqrt(3))+1 {
				t.Errorf("the scale adds %g (want more than its zero alone does)", c.U)
			}
		}
	}
	if _, u, _ := q.Number(); scales != 1 || math.Abs(sum-u*u) > 1e-4 {
		t.Errorf("%d causes of the scale, %g in all (want 1, %g)", scales, sum, u*u)
	}
}
