package mistakes

import (
	"cmp"
	"fmt"
	"slices"

	"reconcile/internal/portable"
)

// prefilter estimates, from residuals and redundancies alone, whether a
// hypothesis can make the readings agree.
// For a set S of observations left out the fit need not be solved again:
//
//	χ²(others) = χ² − r_Sᵀ·R_SS⁻¹·r_S
//
// r: the weighted residuals, R: their covariance. Sets return in many hypotheses,
// so each is worked out once.
type prefilter struct {
	s      *search
	bounds map[string]left
	work   int // in multiplications or so
}

// left is the fit without some observations.
type left struct {
	chi float64
	dof int
}

func newPrefilter(s *search) *prefilter { return &prefilter{s: s, bounds: map[string]left{}} }

// sorted returns the hypotheses worth solving, the likeliest first by the
// estimate, equal ones as they come. complete is false where the estimates took more
// work than most and the rest was left out.
func (c *prefilter) sorted(all []hypothesis, most int) (worth []hypothesis, complete bool) {
	for i := range all {
		h := &all[i]
		// The bound is on counted work and not on time, so that every machine
		// stops at the same hypothesis.
		if c.work > most {
			complete = false
			break
		}
		complete = i == len(all)-1
		if chi, ok := c.estimate(h); ok {
			h.estimate = portable.Ratio(portable.Log(h.prior) - float64(chi/2))
			worth = append(worth, *h)
		}
	}
	slices.SortStableFunc(worth, func(a, b hypothesis) int { return cmp.Compare(b.estimate, a.estimate) })
	return worth, complete || len(all) == 0
}

// worthSolving says whether a hypothesis can succeed.
func (c *prefilter) worthSolving(h *hypothesis) bool {
	_, ok := c.estimate(h)
	return ok
}

// estimate is the χ² that a hypothesis can leave at best; ok is false where that
// is too much. Whatever the observations it touches are changed to, χ² cannot
// fall below that of the others; where one figure changes and nothing else, χ²
// is known. Ties are few and always solved: with one left out the others may
// get another amount, and are then less certain than the estimate
// takes them to be. So are zeros, which touch every reading of a scale.
func (c *prefilter) estimate(h *hypothesis) (chi float64, ok bool) {
	if h.Kind == lengthWrong || h.Kind == zeroWrong || len(h.touched) == 0 {
		return 0, true
	}
	l := c.without(h.touched)
	// Each touched observation gives back one degree of freedom at most, and p
	// grows with them: so many are the most favourable case.
	if survival(l.chi, l.dof+len(h.touched)) < reachableP {
		return l.chi, false
	}
	if h.figure == nil || h.Kind == unitWrong {
		return l.chi, true
	}
	chi, dof := c.s.Without(h.touched, h.figure)
	return chi, survival(chi, dof) >= prefilterP
}

// without is the fit with a set of observations left out.
func (c *prefilter) without(set []int) left {
	// Sets come in the order of the observations, so equal ones have equal keys.
	key := fmt.Sprint(set)
	l, ok := c.bounds[key]
	if !ok {
		// For n of N observations: n² covariances of some N multiplications each,
		// and their decomposition in some n³.
		c.work += len(set) * len(set) * (len(set) + len(c.s.Observations))
		l.chi, l.dof = c.s.Without(set, nil)
		c.bounds[key] = l
	}
	return l
}

// survival is the probability of a χ² as large or larger; 1 where no degree of
// freedom is left to disagree.
// It is rounded before it is compared, like every number that decides.
func survival(chi float64, dof int) float64 {
	p, ok := portable.ChiSquareSurvival(chi, dof)
	if !ok {
		return 1
	}
	return portable.Ratio(p)
}
