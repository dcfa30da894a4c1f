package lsq

import (
	"fmt"

	"gonum.org/v1/gonum/blas/blas64"
)

// Solve solves the system. The same system gives the same bits; calls may run
// side by side.
//
// Redundant constraints are dropped (see [Solution.Dropped]). Solve fails
// with an error that wraps ErrShape, ErrNotFinite, ErrRange, ErrUncertainty,
// ErrCovariance or ErrRankLimit, or is an *InconsistentError. Unknowns that
// nothing determines are no error: ask [Solution.Determined].
func Solve(s System) (*Solution, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	w, err := newWeights(&s)
	if err != nil {
		return nil, err
	}
	aw, yw := stack(&s)
	w.whiten(aw)
	w.whiten(column(yw))
	e, err := eliminate(s.C, s.D, columnScales(aw, s.C))
	if err != nil {
		return nil, err
	}
	f, ok := factorise(e.restrict(aw, yw), yw, s.RankLimit)
	if !ok {
		return nil, fmt.Errorf("%w: singular values", ErrNotFinite)
	}
	sol := newSolution(w, e, f)
	if !finite(sol.X...) || !finite(sol.Residuals...) || !finite(sol.ChiSquare) || !finite(sol.t.Data...) {
		return nil, fmt.Errorf("%w: the numbers are too far apart in size", ErrNotFinite)
	}
	return sol, nil
}

// stack copies A into one matrix, and y.
func stack(s *System) (a blas64.General, y []float64) {
	a = newMatrix(len(s.A), s.Columns)
	for i, row := range s.A {
		copy(a.Data[i*a.Stride:], row)
	}
	return a, append([]float64(nil), s.Y...)
}

// column views a slice as a matrix of one column.
func column(v []float64) blas64.General {
	return blas64.General{Rows: len(v), Cols: 1, Stride: 1, Data: v}
}

// newSolution takes the factored problem back to the unknowns in their units.
func newSolution(w weights, e *constraints, f *factored) *Solution {
	n, free := len(e.scale), f.k.Rows
	all := newMatrix(n, f.rank+f.null.Cols+1) // K, null space, minimiser
	last := all.Cols - 1
	for j := range free {
		row := line(all, e.kept+j)
		copy(row, line(f.k, j))
		copy(row[f.rank:], line(f.null, j))
		row[last] = f.x[j]
	}
	for k, t := range e.t {
		all.Data[k*all.Stride+last] = t
	}
	e.lift(all)
	sol := &Solution{
		ChiSquare: f.chi,
		DOF:       f.q.Rows - f.rank,
		Rank:      f.rank,
		Nullity:   f.null.Cols,
		Condition: f.condition,
		Dropped:   e.dropped,
		w:         w,
		t:         columns(all, 0, f.rank),
		null:      columns(all, f.rank, last),
		X:         columns(all, last, last+1).Data,
	}
	sol.removeNull()
	sol.residuals(f)
	return sol
}

// columns copies the columns from, …, to−1 of m.
func columns(m blas64.General, from, to int) blas64.General {
	c := newMatrix(m.Rows, to-from)
	for i := range m.Rows {
		copy(line(c, i), line(m, i)[from:])
	}
	return c
}

// removeNull makes the null space orthonormal in the units of the unknowns and
// takes out of X and T what lies in it: X becomes the shortest solution, and
// no result depends on which unknowns the pivoting happened to leave at 0.
func (s *Solution) removeNull() {
	if s.null.Cols == 0 {
		return
	}
	orthonormalise(s.null)
	removeSpan(s.null, column(s.X))
	removeSpan(s.null, s.t)
}

// removeSpan subtracts from m its part in the span of orthonormal columns n.
func removeSpan(n, m blas64.General) {
	part := make([]float64, m.Cols)
	for k := range n.Cols {
		clear(part)
		for j := range n.Rows {
			f := n.Data[j*n.Stride+k]
			for i := range part {
				part[i] += f * m.Data[j*m.Stride+i]
			}
		}
		for j := range n.Rows {
			f := n.Data[j*n.Stride+k]
			for i, p := range part {
				m.Data[j*m.Stride+i] -= f * p
			}
		}
	}
}

// residuals fills in what is said of each observation.
func (s *Solution) residuals(f *factored) {
	s.Residuals = f.rest
	s.w.colour(column(s.Residuals))
	for i, u := range s.w.u {
		s.Residuals[i] *= u
	}
	s.g, s.h = f.q, f.q
	if s.w.rho != nil {
		s.g, s.h = cloneMatrix(f.q), cloneMatrix(f.q)
		s.w.colour(s.g)
		s.w.dual(s.h)
	}
	s.Redundancy = make([]float64, len(s.w.u))
	for i := range s.Redundancy {
		s.Redundancy[i] = notRounding(1 - dot(line(s.g, i), line(s.h, i)))
	}
}
