package lsq

import "fmt"

// Solve solves the system. The same system gives the same bits; calls may run
// side by side.
//
// Redundant constraints are dropped (see [Solution.Dropped]). Solve fails
// with an error that wraps errShape, errNotFinite, errRange, errUncertainty,
// errCovariance, errRankLimit or errInconsistent. Unknowns that nothing determines
// are no error: ask [Solution.Estimate].
func Solve(s System) (*Solution, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	a := arenas.Get().(*arena)
	defer a.giveBack()
	w, err := newWeights(a, &s)
	if err != nil {
		return nil, err
	}
	// Rows divided by their uncertainties: from here on every observation has u = 1
	// and the sum of squares is χ².
	aw, yw := w.whiten(a, &s)
	// Exact constraints are solved for as many unknowns and leave a smaller problem
	// without any. Giving them a large weight instead would spoil the digits.
	e, err := eliminate(a, s.C, s.D, columnScales(a, aw, s.C))
	if err != nil {
		return nil, err
	}
	// The factorisation is orthogonal: normal equations would square the ratio of
	// the largest to the smallest singular value, and with it the loss of digits.
	f, ok := factorise(a, e.restrict(aw, yw), yw, s.RankLimit)
	if !ok {
		return nil, fmt.Errorf("%w: singular values", errNotFinite)
	}
	sol := newSolution(a, w, &e, &f)
	if !finite(sol.X...) || !finite(sol.Residuals...) || !finite(sol.ChiSquare) || !sol.t.finite() {
		return nil, fmt.Errorf("%w: the numbers differ too much in size", errNotFinite)
	}
	return sol.kept(), nil
}

// kept is a solution in memory of its own, one piece of just its size: what it
// was found in goes to the next system.
func (s Solution) kept() *Solution {
	n, m := len(s.X), len(s.Residuals)
	size := n + 3*m + n*(s.Rank+s.Nullity) + m*s.Rank
	if s.w.correlated {
		size += m*s.Rank + m*m
	}
	a := &arena{free: make([]float64, size)}
	s.X, s.Residuals, s.Redundancy, s.w.u = a.copied(s.X), a.copied(s.Residuals), a.copied(s.Redundancy), a.copied(s.w.u)
	s.t, s.null = a.clone(s.t), a.clone(s.null)
	s.g = a.clone(s.g)
	if s.w.correlated {
		s.h, s.w.rho = a.clone(s.h), a.clone(s.w.rho)
	} else {
		s.h = s.g
	}
	s.w.tri = matrix{} // only wanted on the way
	return &s
}

// column views a slice as a matrix of one column.
func column(v []float64) matrix {
	return matrix{rows: len(v), cols: 1, stride: 1, data: v}
}

// newSolution takes the factored problem back to the unknowns in their units: K,
// whose product K·Kᵀ is the covariance, the null space and the minimiser go
// through the constraints together, as columns of one matrix.
func newSolution(a *arena, w weights, e *constraints, f *factored) Solution {
	n, nullity := len(e.scale), f.null.cols
	all := a.matrix(n, f.rank+nullity+1) // K, null space, minimiser
	last := all.cols - 1
	for j := range f.k.rows {
		row := all.row(e.kept + j)
		copy(row, f.k.row(j))
		copy(row[f.rank:], f.null.row(j))
		row[last] = f.x[j]
	}
	for k, t := range e.t {
		all.row(k)[last] = t
	}
	e.lift(a, all)
	sol := Solution{
		X:         a.floats(n),
		ChiSquare: f.chi,
		DOF:       f.q.rows - f.rank, // the constraints took their unknowns with them
		Rank:      f.rank,
		Nullity:   nullity,
		Condition: f.condition,
		Dropped:   e.dropped,
		w:         w,
		t:         all.columns(0, f.rank),
		null:      all.columns(f.rank, last),
	}
	for j := range n {
		sol.X[j] = all.row(j)[last]
	}
	sol.removeNull(a)
	sol.residuals(a, f)
	return sol
}

// removeNull makes the null space orthonormal in the units of the unknowns and
// takes out of X and T what lies in it: X becomes the shortest solution, and
// no result depends on which unknowns the pivoting happened to leave at 0.
func (s *Solution) removeNull(a *arena) {
	if s.null.cols == 0 {
		return
	}
	d := factorQR(a, a.clone(s.null), false)
	s.null = d.orthonormal(a, s.Nullity, s.Nullity)
	removeSpan(a, s.null, column(s.X))
	removeSpan(a, s.null, s.t)
}

// removeSpan subtracts from m its part in the span of orthonormal columns n, one
// column after the other: each projection is taken of what the one before left,
// which loses fewer digits than taking all of m at once.
func removeSpan(a *arena, n, m matrix) {
	part := a.floats(m.cols)
	for k := range n.cols {
		clear(part)
		for j := range n.rows {
			if f := n.data[j*n.stride+k]; f != 0 {
				addTimes(part, f, m.row(j))
			}
		}
		for j := range n.rows {
			if f := n.data[j*n.stride+k]; f != 0 {
				addTimes(m.row(j), -f, part)
			}
		}
	}
}

// residuals fills in what is said of each observation. The part of the whitened
// values that Q does not reach is what no unknown could fit; times u it is the
// residual. The redundancy of an observation is the share of its own error that
// ends up there:
//
//	r_i = 1 − (Q·Qᵀ)_ii
//
// Source: W. Baarda, A testing procedure for use in geodetic networks (1968).
func (s *Solution) residuals(a *arena, f *factored) {
	s.Residuals = f.rest
	s.w.colour(column(s.Residuals))
	for i, u := range s.w.u {
		s.Residuals[i] = float64(s.Residuals[i] * u)
	}
	s.g, s.h = f.q, f.q
	if s.w.correlated {
		s.g, s.h = a.clone(f.q), a.clone(f.q)
		s.w.colour(s.g)
		s.w.dual(s.h)
	}
	s.Redundancy = a.floats(len(s.w.u))
	for i := range s.Redundancy {
		s.Redundancy[i] = notRounding(1 - dot(s.g.row(i), s.h.row(i)))
	}
}
