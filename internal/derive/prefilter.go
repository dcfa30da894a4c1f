package derive

import (
	"fmt"

	"reconcile/internal/portable"
)

// prefilter estimates, from residuals and redundancies alone, whether a
// hypothesis can make the readings agree.
type prefilter struct {
	s      *Solution
	m      []int // readings of the same kind, by observation
	bounds map[string]left
}

// left is the fit without some observations.
type left struct {
	chi float64
	dof int
}

func newPrefilter(s *Solution) *prefilter {
	return &prefilter{s: s, m: repeats(&s.Job.Outfit, s.system.used), bounds: map[string]left{}}
}

// worthSolving drops what cannot succeed. Whatever the observations it touches
// are changed to, χ² cannot fall below that of the others; where one figure
// changes and nothing else, χ² is known. Ties are few and always solved: with
// one left out the others may come to stand at another amount, and are then
// less certain than the estimate takes them to be.
func (c *prefilter) worthSolving(h *hypothesis) bool {
	if h.Kind == LengthWrong {
		return true
	}
	l := c.without(h.touched)
	if survival(l.chi, l.dof+len(h.touched)) < reachableP {
		return false
	}
	if h.figure == nil || h.Kind == UnitWrong {
		return true
	}
	return survival(c.withFigure(h, l), c.s.fit.DOF()) >= prefilterP
}

// without is the fit with a set of observations left out.
func (c *prefilter) without(set []int) left {
	key := fmt.Sprint(set)
	l, ok := c.bounds[key]
	if !ok {
		l.chi, l.dof = c.s.fit.Without(set)
		c.bounds[key] = l
	}
	return l
}

// withFigure is χ² with one figure changed, all else the same:
//
//	χ²(others) + (y′ − predicted)²/(u′² + u(predicted)²)
//
// predicted: what the others say that the reading should have been.
func (c *prefilter) withFigure(h *hypothesis, others left) float64 {
	i := h.touched[0]
	o := &c.s.Observations[i]
	if o.Redundancy < minEigenvalue {
		return c.s.fit.ChiSquare()
	}
	was := c.s.Job.Readings[o.Index].Kg.InexactFloat64()
	gap := o.Residual/o.Redundancy + h.figure.Kg.InexactFloat64() - was
	u := readingU(c.s.Job, h.figure, c.repeatsOf(i))
	predicted := float64(float64(o.U*o.U) * (1/o.Redundancy - 1))
	return portable.Ratio(others.chi + float64(gap*gap)/(float64(u*u)+predicted))
}

// repeatsOf is the number of used readings of the same kind as observation i;
// readings are the first observations, in order.
func (c *prefilter) repeatsOf(i int) int { return c.m[i] }
