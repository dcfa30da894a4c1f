package lsq

import (
	"fmt"
	"math"
	"testing"
)

// used puts memory full of what is no number where the next solutions take theirs.
func used() {
	for range 4 { // a pool may drop what it is given
		for _, pool := range []interface{ Put(any) }{&arenas, &solutions} {
			a := &arena{floatsAll: make([]float64, 1<<12)}
			for i := range a.floatsAll {
				a.floatsAll[i] = math.NaN()
			}
			a.free = a.floatsAll
			pool.Put(a)
		}
	}
}

// bits is all that a solution says, to the last bit.
func bits(s *Solution, err error) string {
	if err != nil {
		return err.Error()
	}
	text := fmt.Sprintf("%x %x %x %x %x %d %d %d %v", s.X, s.Residuals, s.redundancies(), s.ChiSquare, s.Condition, s.DOF, s.Rank, s.Nullity, s.Dropped)
	row := make([]float64, len(s.X))
	for i := range row {
		row[i] = float64(i%3) - 0.5
	}
	value, u, determined := s.Estimate(row)
	return text + fmt.Sprintf(" %x %x %t %x %x", value, u, determined, s.NullPart(row), s.Sensitivity(row, nil))
}

// What a solution says does not depend on what was in the memory that it is found and
// kept in, nor on what is solved after it: neither where the rank is certain nor where it is decided by singular values,
// as in the last system, whose columns differ by less than the rank limit allows for and
// which has more observations than unknowns.
func TestMemoryUsedAgain(t *testing.T) {
	doubtful := System{Columns: 2, RankLimit: 1e-9, Y: []float64{1, 2, 3, 4, 6}, U: []float64{1, 1, 2, 1, 1}}
	for i := range doubtful.Y {
		doubtful.A = append(doubtful.A, []float64{1, 1 + float64(float64(i)*3e-10)})
	}
	systems := []System{doubtful}
	for seed := range uint64(40) {
		systems = append(systems, randomNetwork(seed, false), randomNetwork(seed, true), randomGeneral(seed), sparse(seed))
	}
	kept, said := make([]*Solution, len(systems)), make([]string, len(systems))
	for i, s := range systems {
		for solutions.Get().(*arena).floatsAll != nil || arenas.Get().(*arena).floatsAll != nil {
		}
		want := bits(Solve(s, nil))
		used()
		again, err := Solve(s, nil)
		if got := bits(again, err); got != want {
			t.Fatalf("system %d in memory used before:\n%s\n(want %s)", i, got, want)
		}
		kept[i], said[i] = again, want
	}
	for i, s := range kept {
		if s != nil && bits(s, nil) != said[i] {
			t.Errorf("system %d says something else after others were solved", i)
		}
	}
}

// TestUnknown compares what is said of an unknown with what is said of the row that has
// a 1 in its column and is 0 elsewhere, to the last bit, in systems that determine all
// of their unknowns and in others.
func TestUnknown(t *testing.T) {
	open := 0
	for seed := range uint64(40) {
		for _, s := range []System{randomNetwork(seed, false), randomGeneral(seed), sparse(seed)} {
			sol, err := Solve(s, nil)
			if err != nil {
				continue
			}
			for j := range s.Columns {
				want, _, determined := sol.Estimate(unit(s.Columns, j))
				if ok := sol.Nullity == 0 || sol.Open[j] == 0; sol.X[j] != want || ok != determined {
					t.Errorf("unknown %d: %v, %t (want %v, %t)", j, sol.X[j], ok, want, determined)
				}
				if !determined {
					open++
				}
			}
		}
	}
	if open < 20 {
		t.Errorf("%d unknowns are not determined: too few", open)
	}
}
