package derive

import (
	"math"
	"reconcile/internal/study"
	"testing"
)

// jobsPerKind is how many jobs of each kind are drawn: 400 with -study.
func jobsPerKind() uint64 { return uint64(study.Size(400, 50, 30)) }

// tally counts what happened to the jobs of one kind.
type tally struct {
	quantities, covered  int
	strained, conflicted int
	jobs                 int
	sum, squares         float64 // of (value − truth)/u
}

// TestCoverage draws outfits of many kinds, with readings from the model's own
// distributions, and asks whether value ± U holds the truth as often as U
// promises: 95.45 % for k = 2 and a normal error (JCGM 100:2008, G.1.3 and
// Table G.1); sums of rectangular errors hold a little more.
func TestCoverage(t *testing.T) {
	var all tally
	for i, kind := range outfitKinds {
		var k tally
		for n := range jobsPerKind() {
			k.add(t, draw(kind, 1000*uint64(i)+n))
		}
		share := float64(k.covered) / float64(k.quantities)
		bias := k.sum / float64(k.quantities)
		t.Logf("%-28s quantities %6d  covered %5.1f %%  mean error %+.3f u  strained %d conflict %d of %d",
			kind.name, k.quantities, 100*share, bias, k.strained, k.conflicted, k.jobs)
		k.judge(t, kind.name)
		all.merge(k)
	}
	t.Logf("all: %d quantities, covered %.2f %%, strained %d, conflict %d of %d jobs",
		all.quantities, 100*float64(all.covered)/float64(all.quantities), all.strained, all.conflicted, all.jobs)
	if jobsPerKind() >= 400 && all.quantities < 20000 {
		t.Errorf("only %d quantities (want at least 20,000)", all.quantities)
	}
}

func (k *tally) merge(o tally) {
	k.quantities += o.quantities
	k.covered += o.covered
	k.strained += o.strained
	k.conflicted += o.conflicted
	k.jobs += o.jobs
}

// add solves one drawn job and counts its determined quantities.
func (k *tally) add(t *testing.T, w *truth) {
	t.Helper()
	s := mustSolve(t, w.job)
	k.jobs++
	switch s.Agreement.Degree {
	case strained:
		k.strained++
	case conflict:
		k.conflicted++
	}
	job := 0.0
	count := 0
	for _, q := range s.quantities() {
		v, u, ok := q.Number()
		if !ok {
			continue
		}
		z := (v - w.value(s, q.row)) / u
		k.quantities++
		if math.Abs(z) <= coverage {
			k.covered++
		}
		job += z
		count++
	}
	if count > 0 {
		k.sum += job
		k.squares += job * job // the quantities of one job hang together
	}
}

// judge holds one kind against what the model promises. The quantities of a
// job are correlated, so the margin for a few jobs is wide.
func (k *tally) judge(t *testing.T, name string) {
	t.Helper()
	share := float64(k.covered) / float64(k.quantities)
	margin := 0.0
	if k.jobs < 400 {
		margin = 0.03
	}
	if share < 0.94-margin || share > 0.98+margin {
		t.Errorf("%s: value ± U holds the truth in %.1f %% of the quantities (want 94 to 98 %%)", name, 100*share)
	}
	if standard := math.Sqrt(k.squares); math.Abs(k.sum) > 3*standard+1e-9 {
		t.Errorf("%s: the errors sum to %.1f u, more than 3 of their standard errors (%.1f)", name, k.sum, standard)
	}
	// stated rates: p < 0.05 or |w| > 3.29 on a clean job; binomial 3 σ above
	limit := 0.05 + 0.03 + 3*math.Sqrt(0.08*0.92/float64(k.jobs))
	if bad := float64(k.strained+k.conflicted) / float64(k.jobs); bad > limit {
		t.Errorf("%s: %.1f %% of clean jobs are strained or in conflict (want at most %.1f %%)", name, 100*bad, 100*limit)
	}
}
