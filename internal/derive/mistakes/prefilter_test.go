package mistakes

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// conflict is a form with one mistake that is in conflict.
type conflict struct {
	*derive.Solution
	list func() []Mistake // searched once
}

// drawnConflicts are those drawn so far, and the seed of the next; several tests ask for them.
var (
	drawnConflicts []conflict
	nextConflict   uint64
)

// conflicts draws so many forms with one mistake each that are in conflict.
func conflicts(n int) []conflict {
	for ; len(drawnConflicts) < n; nextConflict++ {
		w := newWorld(rand.New(rand.NewPCG(50, nextConflict)))
		in, ok := w.inject(kinds[int(nextConflict)%len(kinds)])
		if !ok {
			continue
		}
		if s, err := derive.Solve(in.form, derive.Options{}); err == nil && s.Agreement.Conflict {
			list := sync.OnceValue(func() []Mistake { return listed(s) })
			drawnConflicts = append(drawnConflicts, conflict{s, list})
		}
	}
	return drawnConflicts[:n]
}

// unfiltered tries every hypothesis.
func unfiltered(solved *derive.Solution) []Mistake {
	s := newSearch(solved)
	var found []Mistake
	for _, h := range s.hypotheses() {
		if m, _, ok := s.try(h); ok {
			found = append(found, m)
		}
	}
	return ranked(found)
}

// The prefilter drops nothing that would be listed.
func TestPrefilterLosesNothing(t *testing.T) {
	all := 0
	for n, s := range conflicts(plainOrFull(12, 400)) {
		quick, every := s.list(), unfiltered(s.Solution)
		all += len(every)
		if !slices.EqualFunc(quick, every, func(a, b Mistake) bool {
			return a.Kind == b.Kind && slices.Equal(a.Readings, b.Readings) && a.Score == b.Score && a.Rank == b.Rank
		}) {
			t.Errorf("job %d: %q\nunfiltered: %q", n, names3(quick), names3(every))
		}
	}
	if all < 10 {
		t.Errorf("%d mistakes listed (want 10 or more)", all)
	}
}

// The prefilter is worth its name: what it keeps is a small part.
func TestPrefilterSaves(t *testing.T) {
	kept, all := 0, 0
	for _, s := range conflicts(30) {
		c := newPrefilter(newSearch(s.Solution))
		for _, h := range c.s.hypotheses() {
			kept += b2i(c.worthSolving(&h))
			all++
		}
	}
	if kept > all/3 {
		t.Errorf("%d of %d hypotheses are solved (want a third or less)", kept, all)
	}
}

// The bound of the prefilter allows for the observations that come back in:
// χ² 7 has p = 0.008 of one degree of freedom, 0.07 of three (published table of
// χ²: 6.63 and 11.34 at 0.01).
func TestPrefilterAllowsForWhatComesBack(t *testing.T) {
	c := &prefilter{s: newSearch(mustSolve(t, slips())), bounds: map[string]left{"[0 1]": {7, 1}, "[0]": {7, 1}}}
	if !c.worthSolving(&hypothesis{touched: []int{0, 1}}) {
		t.Error("two observations come back, and the hypothesis was dropped")
	}
	// χ² 15.2 has p = exp(−15.2/2) = 0.0005 of two degrees of freedom, by hand.
	c.bounds["[0]"] = left{15.3, 1}
	if c.worthSolving(&hypothesis{touched: []int{0}}) {
		t.Error("χ² 15.3 of two degrees of freedom was kept")
	}
}

// With one figure changed, χ² is, as predicted, that of the job solved again.
func TestPrefilterForetellsChiSquare(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 1260, "front"), weigh(tickets.VehicleAlone, 1500, "rear"), weigh(tickets.VehicleAlone, 2960, "vehicle"))
	s := mustSolve(t, job)
	for index, kg := range map[int]int64{0: 1460, 1: 1620, 2: 2820} {
		should := job.Readings[index]
		should.Kg = decimal.NewFromInt(kg)
		h := newSearch(s).figure(digitWrong, index, should, 1)
		got, _ := s.Without(h.touched, h.figure)
		want := mustSolve(t, changed(job, h.change)).Agreement.ChiSquare
		if math.Abs(got-want) > 1e-3*math.Max(1, want) {
			t.Errorf("reading %d as %d: χ² %g foretold, %g solved", index, kg, got, want)
		}
	}
}

// χ² of one degree of freedom exceeds 3.841 in 5 of 100 (any table); without
// one nothing is tested.
func TestSurvival(t *testing.T) {
	for dof, want := range map[int]float64{0: 1, 1: 0.05} {
		if got := survival(3.841459, dof); math.Abs(got-want) > 1e-6 {
			t.Errorf("%d degrees: %g (want %g)", dof, got, want)
		}
	}
}
