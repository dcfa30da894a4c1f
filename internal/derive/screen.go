package derive

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// screen estimates, from residuals and redundancies alone, whether a
// hypothesis can make the readings agree.
type screen struct {
	s      *Solution
	m      []int // readings of the same kind, by observation
	bounds map[string]left
}

// left is the fit without some observations.
type left struct {
	chi float64
	dof int
}

func newScreen(s *Solution) *screen {
	return &screen{s: s, m: repeats(&s.Job.Outfit, s.system.used), bounds: map[string]left{}}
}

// worthSolving drops what cannot succeed. Whatever the observations it touches
// are changed to, χ² cannot fall below that of the others; where one figure
// changes and nothing else, χ² is known. Ties are few and always solved: with
// one left out the others may come to stand at another amount, and are then
// less certain than the estimate takes them to be.
func (c *screen) worthSolving(h *hypothesis) bool {
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
	return survival(c.withFigure(h, l), c.s.fit.DOF) >= screeningP
}

// without is the fit with a set of observations left out:
//
//	χ² − vᵀ·R⁻¹·v
//
// v their weighted residuals and R the covariance of these. Directions in
// which R has no size are not tested and change nothing.
func (c *screen) without(set []int) left {
	key := fmt.Sprint(set)
	if l, ok := c.bounds[key]; ok {
		return l
	}
	l := left{c.s.fit.ChiSquare, c.s.fit.DOF}
	if len(set) > 0 {
		r := mat.NewSymDense(len(set), nil)
		for a, i := range set {
			for b, j := range set[:a+1] {
				r.SetSym(a, b, c.s.fit.ResidualCovariance(i, j))
			}
		}
		l = c.less(l, set, r)
	}
	c.bounds[key] = l
	return l
}

func (c *screen) less(l left, set []int, r *mat.SymDense) left {
	var e mat.EigenSym
	if !e.Factorize(r, true) {
		return left{0, l.dof}
	}
	var vectors mat.Dense
	e.VectorsTo(&vectors)
	for k, size := range e.Values(nil) {
		if size < smallestEig {
			continue
		}
		along := 0.0
		for a, i := range set {
			along += vectors.At(a, k) * c.weighted(i)
		}
		l.chi -= along * along / size
		l.dof--
	}
	return left{math.Max(l.chi, 0), max(l.dof, 0)}
}

func (c *screen) weighted(i int) float64 {
	return c.s.Observations[i].Residual / c.s.Observations[i].U
}

// withFigure is χ² with one figure changed, all else the same:
//
//	χ²(others) + (y′ − predicted)²/(u′² + u(predicted)²)
//
// predicted: what the others say that the reading should have been.
func (c *screen) withFigure(h *hypothesis, others left) float64 {
	i := h.touched[0]
	o := &c.s.Observations[i]
	if o.Redundancy < smallestEig {
		return c.s.fit.ChiSquare
	}
	was := c.s.Job.Readings[o.Index].Kg.InexactFloat64()
	gap := o.Residual/o.Redundancy + h.figure.Kg.InexactFloat64() - was
	u := readingU(c.s.Job, h.figure, c.repeatsOf(i))
	predicted := o.U * o.U * (1/o.Redundancy - 1)
	return others.chi + gap*gap/(u*u+predicted)
}

// repeatsOf is the number of used readings of the same kind as observation i;
// readings are the first observations, in order.
func (c *screen) repeatsOf(i int) int { return c.m[i] }

func survival(chi float64, dof int) float64 {
	if dof < smallestDOF {
		return 1
	}
	return distuv.ChiSquared{K: float64(dof)}.Survival(chi)
}
