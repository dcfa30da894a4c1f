package lsq

import (
	"fmt"

	"reconcile/internal/shelf"
)

// Solve solves the system. The same system gives the same bits; calls may run
// side by side.
//
// Redundant constraints are dropped (see [Solution.Dropped]). Solve fails
// with an error that wraps errShape, errNotFinite, errRange, errUncertainty,
// errCovariance, errRankLimit or errInconsistent. Unknowns that nothing determines
// are no error: ask [Solution.Estimate].
//
// What sol is before does not matter: the solution is written there, or, where it is nil,
// to a new place.
func Solve(s System, sol *Solution) (*Solution, error) {
	if sol == nil {
		sol = new(Solution)
	}
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
	f, ok := factorise(a, e.restrict(aw, yw), yw, e.kept, s.RankLimit)
	if !ok {
		return nil, fmt.Errorf("%w: singular values", errNotFinite)
	}
	*sol = Solution{}
	shelf.Lend(&sol.Lent, sol, takeBack)
	sol.fill(a, w, &e, &f)
	if !finite(f.all.data...) || !finite(sol.Residuals...) || !finite(sol.ChiSquare) {
		sol.Release()
		return nil, fmt.Errorf("%w: the numbers differ too much in size", errNotFinite)
	}
	return sol, nil
}

// column views a slice as a matrix of one column.
func column(v []float64) matrix {
	return matrix{rows: len(v), cols: 1, stride: 1, data: v}
}

// fill takes the factored problem back to the unknowns in their units: K,
// whose product K·Kᵀ is the covariance, the minimiser and the null space go
// through the constraints together, as columns of one matrix.
func (s *Solution) fill(a *arena, w weights, e *constraints, f *factored) {
	all := f.all
	for k, t := range e.t {
		all.row(k)[f.rank] = t
	}
	e.lift(all)
	s.keep, s.X = f.keep, f.keep.take(all.rows)
	s.ChiSquare, s.Condition, s.Dropped = f.chi, f.condition, e.dropped
	s.DOF, s.Rank = len(w.u)-f.rank, f.rank // the constraints took their unknowns with them
	s.all, s.t, s.null = all, all.columns(0, f.rank), all.columns(f.rank+1, all.cols)
	s.Nullity = s.null.cols
	s.removeNull(a, all.columns(0, f.rank+1))
	for j := range s.X {
		s.X[j] = all.row(j)[f.rank]
	}
	s.measureOpen()
	s.residuals(w, f)
}

// measureOpen is |row·N| of every unknown by itself, a row with a 1 in its column and 0
// elsewhere, whose length is 1: N being orthonormal, that is the length of a row of N. It is
// worked out at once and not when asked for, since each round of a solution that settles
// asks it of all unknowns, of this fit and of the one before.
func (s *Solution) measureOpen() {
	if s.Nullity == 0 {
		return
	}
	s.Open = s.keep.take(len(s.X))
	for j := range s.Open {
		s.Open[j] = 0
		if size := norm(s.null.row(j)); size > determinedLimit {
			s.Open[j] = size
		}
	}
}

// removeNull makes the null space orthonormal in the units of the unknowns and
// takes out of m, which is T and X, what lies in it: X becomes the shortest solution, and
// no result depends on which unknowns the pivoting happened to leave at 0.
func (s *Solution) removeNull(a *arena, m matrix) {
	if s.null.cols == 0 {
		return
	}
	d := factorQR(a, s.null, false) // in its place: R is not needed
	d.orthonormal(s.null, s.Nullity)
	removeSpan(a, s.null, m)
}

// removeSpan subtracts from m its part in the span of orthonormal columns n, one
// column after the other: each projection is taken of what the one before left,
// which loses fewer digits than taking all of m at once.
func removeSpan(a *arena, n, m matrix) {
	column := a.take(n.rows)
	for k := range n.cols {
		for j := range column {
			column[j] = n.data[j*n.stride+k]
		}
		reflectRows(m, column, 0, 1)
	}
}

// residuals fills in what is said of each observation. The part of the whitened
// values that Q does not reach is what no unknown could fit; times u it is the
// residual.
func (s *Solution) residuals(w weights, f *factored) {
	s.Residuals = f.rest
	w.colour(column(s.Residuals))
	for i, u := range w.u {
		s.Residuals[i] = float64(s.Residuals[i] * u)
	}
	s.yU = s.keep.copied(w.u)
	s.g, s.h, s.reflect = f.q, f.q, f.reflect
	if w.correlated {
		s.unfold()
		s.h, s.rho = s.keep.clone(s.g), s.keep.clone(w.rho)
		w.colour(s.g)
		w.dual(s.h)
	}
}
