package mistakes

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/study"
)

// plainOrFull is a number of jobs: few in a plain run, a third of them in a
// short one, all with -study.
func plainOrFull(few, all int) int {
	return study.Size(all, few, few/3)
}

// drawn is a clean job of the study's outfits, weighed.
func drawn(seed, n uint64) *derive.Solution {
	w := newWorld(rand.New(rand.NewPCG(seed, n)))
	job := w.job()
	w.design(job)
	w.weigh(job)
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		panic(err)
	}
	return s
}

// False alarms on clean jobs are no more than stated (our definitions): a
// global test at 0.001 and one at 0.001 for each observation; together with
// strained, 5 %. Three standard errors of the count are allowed.
func TestFalseAlarms(t *testing.T) {
	n := plainOrFull(600, 6000)
	conflict, doubt, stated := 0, 0, 0.0
	for i := range n {
		s := drawn(77, uint64(i))
		stated += 0.001 * float64(1+tested(s))
		a := s.Agreement
		conflict += b2i(a.Conflict)
		doubt += b2i(a.Conflict || a.Strained)
	}
	within := func(name string, count int, most float64) {
		if limit := most + 3*math.Sqrt(most); float64(count) > limit {
			t.Errorf("%s: %d of %d clean jobs (want at most %.0f)", name, count, n, limit)
		}
	}
	within("conflict", conflict, stated)
	within("strained or conflict", doubt, 0.05*float64(n)+stated)
	t.Logf("%d clean jobs: conflict %.2f %% (stated at most %.2f %%), strained or conflict %.2f %%",
		n, 100*float64(conflict)/float64(n), 100*stated/float64(n), 100*float64(doubt)/float64(n))
}

// A mistake of the smallest detectable size in one reading is seen in no less
// than 80 % of the jobs (Baarda 1968: δ₀ = 4.13 at α = 0.001).
func TestPowerAtTheSmallestDetectable(t *testing.T) {
	n, seen, made := plainOrFull(600, 6000), 0, 0
	for i := range n {
		s := drawn(78, uint64(i))
		at := i % len(newSearch(s).used)
		o := &s.Observations[at]
		if !o.Testable {
			continue
		}
		made++
		form := *s.Job
		form.Readings = append(form.Readings[:0:0], form.Readings...)
		r := &form.Readings[o.Index]
		sign := float64(1 - 2*(i/2%2))
		if kg := r.Kg.InexactFloat64(); kg-o.Smallest < 1 {
			sign = 1
		}
		r.Kg = r.Kg.Add(decimal.NewFromFloat(sign * o.Smallest))
		seen += b2i(mustSolve(t, &form).Agreement.Conflict)
	}
	power := float64(seen) / float64(made)
	if least := 0.8 - 3*math.Sqrt(0.8*0.2/float64(made)); power < least {
		t.Errorf("%.1f %% of %d seen (want 80 %%, at least %.1f)", 100*power, made, 100*least)
	}
	t.Logf("%d mistakes of the smallest detectable size: %.1f %% seen", made, 100*power)
}

// tested is the number of observations that have a test of their own.
func tested(s *derive.Solution) (n int) {
	for i := range s.Observations {
		n += b2i(s.Observations[i].Testable)
	}
	return n
}
