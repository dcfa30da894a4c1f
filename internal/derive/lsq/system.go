package lsq

import (
	"fmt"
	"math"
)

// System is the problem: minimise (y − A·x)ᵀ Σ⁻¹ (y − A·x) subject to C·x = d,
// with Σ = Cov, or diag(U²) where Cov is nil.
//
// It needs at least one column; observations and constraints may both be
// absent, then nothing is determined. Solve reads the system and keeps no part
// of it.
type System struct {
	Columns int         // number of unknowns
	A       [][]float64 // one row an observation, each of length Columns
	Y       []float64   // observed values
	U       []float64   // standard uncertainties, > 0; ignored where Cov is set
	Cov     [][]float64 // full covariance of Y, symmetric, or nil
	C       [][]float64 // exact constraints, one row each; may be empty
	D       []float64   // right-hand sides of the constraints

	// RankLimit is the fraction of the largest singular value (columns scaled
	// to length 1) below which a singular value counts as zero; 0 < RankLimit
	// < 1, and there is no default: 1e-9 suits measurements.
	RankLimit float64
}

// check refuses what cannot be solved, before any arithmetic: no NaN may come to
// be a result that looks determined.
func (s *System) check() error {
	if !(s.RankLimit > 0 && s.RankLimit < 1) {
		return fmt.Errorf("%w: %v", errRankLimit, s.RankLimit)
	}
	if s.Columns < 1 {
		return fmt.Errorf("%w: %d unknowns (want 1 or more)", errShape, s.Columns)
	}
	if err := checkRows("observation", s.A, s.Y, s.Columns); err != nil {
		return err
	}
	if err := checkRows("constraint", s.C, s.D, s.Columns); err != nil {
		return err
	}
	if s.Cov != nil {
		return s.checkCovariance()
	}
	return s.checkUncertainties()
}

// checkRows compares a block of equations (rows·x = right) with its shape.
func checkRows(what string, rows [][]float64, right []float64, columns int) error {
	if len(right) != len(rows) {
		return fmt.Errorf("%w: %d %s rows, %d values", errShape, len(rows), what, len(right))
	}
	for i, row := range rows {
		if len(row) != columns {
			return fmt.Errorf("%w: %s %d has %d coefficients (want %d)", errShape, what, i, len(row), columns)
		}
		if err := checkNumbers(row); err != nil {
			return fmt.Errorf("%w: %s %d", err, what, i)
		}
	}
	if err := checkNumbers(right); err != nil {
		return fmt.Errorf("%w: values of the %ss", err, what)
	}
	return nil
}

// Sizes between these can be squared and divided by each other without
// overflow or loss to zero.
const smallest, largest = 1e-70, 1e70

var smallestBits, largestBits = math.Float64bits(smallest), math.Float64bits(largest)

// checkNumbers refuses what arithmetic would turn into nonsense. The bits of
// positive numbers are in the order of the numbers, infinity and what is no number
// above all; as unsigned integers they need no branch for each number, and 0, whose
// predecessor is the largest of them, is not below the smallest.
func checkNumbers(values []float64) error {
	low, high := uint64(math.MaxUint64), uint64(0)
	for _, v := range values {
		size := math.Float64bits(v) &^ (1 << 63)
		low, high = min(low, size-1), max(high, size)
	}
	if low >= smallestBits-1 && high <= largestBits {
		return nil
	}
	if finite(values...) {
		return errRange
	}
	return errNotFinite
}

// checkUncertainties refuses u = 0: it would be an exact constraint, which has a
// place of its own.
func (s *System) checkUncertainties() error {
	if len(s.U) != len(s.Y) {
		return fmt.Errorf("%w: %d observations, %d uncertainties", errShape, len(s.Y), len(s.U))
	}
	if err := checkNumbers(s.U); err != nil {
		return fmt.Errorf("%w: uncertainties", err)
	}
	for i, u := range s.U {
		if u <= 0 {
			return fmt.Errorf("%w: observation %d, u = %v", errUncertainty, i, u)
		}
	}
	return nil
}

// checkCovariance refuses a covariance of another shape, one with numbers that
// cannot be computed with, and variances that are not above 0.
func (s *System) checkCovariance() error {
	n := len(s.Cov)
	if n != len(s.Y) {
		return fmt.Errorf("%w: %d observations, covariance of %d rows", errShape, len(s.Y), n)
	}
	for i, row := range s.Cov {
		if len(row) != n {
			return fmt.Errorf("%w: row %d of the covariance has %d numbers (want %d)", errShape, i, len(row), n)
		}
		if !finite(row...) {
			return fmt.Errorf("%w: row %d of the covariance", errNotFinite, i)
		}
		if err := checkNumbers(row[i : i+1]); err != nil {
			return fmt.Errorf("%w: variance %d", err, i)
		}
		if row[i] <= 0 {
			return fmt.Errorf("%w: variance %d is %v", errCovariance, i, row[i])
		}
	}
	return s.checkSymmetry()
}

// checkSymmetry wants exact equality: whoever fills in a covariance fills in both
// halves from one number.
func (s *System) checkSymmetry() error {
	for i, row := range s.Cov {
		for j := range i {
			if row[j] != s.Cov[j][i] {
				return fmt.Errorf("%w: not symmetric at %d, %d", errCovariance, i, j)
			}
		}
	}
	return nil
}

// weights is the covariance of the observations, factored: u on the
// diagonal, and, where they are correlated, the correlation matrix ρ = U₀ᵀU₀.
// So Σ = diag(u)·ρ·diag(u); splitting u off first keeps observations of very
// different units from spoiling the factorisation.
type weights struct {
	u          []float64
	correlated bool
	rho, tri   matrix
}

// worstCorrelation is the condition number from which a correlation matrix
// counts as singular: double precision leaves no digit of its inverse.
const worstCorrelation = 1e14

// newWeights factors the covariance, and refuses one that says of some sum of
// observations that it has no uncertainty at all.
func newWeights(a *arena, s *System) (weights, error) {
	if s.Cov == nil {
		return weights{u: s.U}, nil
	}
	w := weights{u: a.take(len(s.Y))}
	n := len(s.Cov)
	for i := range n {
		w.u[i] = math.Sqrt(s.Cov[i][i])
	}
	w.correlated, w.rho = true, a.matrix(n, n)
	for i := range n {
		for j := range n {
			w.rho.row(i)[j] = s.Cov[min(i, j)][max(i, j)] / w.u[min(i, j)] / w.u[max(i, j)]
		}
	}
	var ok bool
	if w.tri, ok = cholesky(a, w.rho); !ok {
		return w, errCovariance
	}
	if c := condition(a, w.rho, w.tri); !(c <= worstCorrelation) {
		return w, fmt.Errorf("%w: condition of its correlations %.3g", errCovariance, c)
	}
	return w, nil
}

// condition is that of S = UᵀU, in the norm of the largest sum of a row.
func condition(a *arena, s, u matrix) float64 {
	inverse := a.matrix(s.rows, s.rows)
	for i := range s.rows {
		inverse.row(i)[i] = 1
	}
	solveRows(u, inverse)
	solveRowsBack(u, inverse)
	return float64(largestRow(s) * largestRow(inverse))
}

// largestRow is the largest sum of the sizes of a row's elements.
func largestRow(m matrix) float64 {
	var largest float64
	for i := range m.rows {
		var sum float64
		for _, v := range m.row(i) {
			sum += math.Abs(v)
		}
		largest = max(largest, sum)
	}
	return largest
}

// whiten copies A and y as equations of unit, uncorrelated uncertainty:
//
//	U₀⁻ᵀ·diag(u)⁻¹·[A | y]
//
// so that the sum of squares of the new residuals is that of the weighted ones.
func (w weights) whiten(a *arena, s *System) (m matrix, y []float64) {
	m, y = a.matrix(len(s.A), s.Columns), a.take(len(s.Y))
	for i, u := range w.u {
		to := m.row(i)
		for j, v := range s.A[i] {
			if v != 0 {
				to[j] = v / u
			}
		}
		y[i] = s.Y[i] / u
	}
	if w.correlated {
		solveRows(w.tri, m)
		solveRows(w.tri, column(y))
	}
	return m, y
}

// colour undoes the correlation part of whiten: m becomes U₀ᵀ·m.
func (w weights) colour(m matrix) {
	if w.correlated {
		timesTransposed(w.tri, m)
	}
}

// dual is U₀⁻¹·m: what a functional of whitened observations is in terms of
// observations that are only divided by u.
func (w weights) dual(m matrix) {
	if w.correlated {
		solveRowsBack(w.tri, m)
	}
}
