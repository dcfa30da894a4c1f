package derive_test

import (
	"math"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/derive/mistakes"
	"reconcile/internal/tickets"
)

func solved(t *testing.T, job *tickets.Job) *derive.Solution {
	t.Helper()
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Jobs that make little sense, in conflict: trying their mistakes neither panics nor gives a
// probability that is none, and leaves the job as it was typed.
func TestMistakesOfRandomJobs(t *testing.T) {
	tried, found := 0, 0
	for seed := uint64(0); tried < 25; seed++ {
		job := derive.WildJob(30_000 + seed)
		s := solved(t, job)
		if !s.Agreement.Conflict {
			continue
		}
		tried++
		before := derive.Numbers(s)
		list, _ := mistakes.Find(s, nil)
		for _, m := range list {
			found++
			if !(m.P >= 0.001 && m.P <= 1) || math.IsNaN(m.Score) || m.Solution == nil || m.Job == nil {
				t.Errorf("seed %d: %s with p = %g, score %g", seed, m.Kind, m.P, m.Score)
			}
		}
		for name, q := range derive.Numbers(solved(t, job)) {
			v, _, _ := q.Number()
			if w, _, _ := before[name].Number(); v != w {
				t.Errorf("seed %d: trying mistakes changed %s of the job", seed, name)
			}
		}
	}
	if found < 25 {
		t.Errorf("%d mistakes found in %d jobs (want one a job or so)", found, tried)
	}
}
