package lsq

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
)

// System is the problem: minimise (y − A·x)ᵀ Σ⁻¹ (y − A·x) subject to C·x = d,
// with Σ = Cov, or diag(U²) where Cov is nil.
//
// It needs at least one column; observations and constraints may both be
// absent, then nothing is determined. Solve reads the system and keeps no part
// of it.
type System struct {
	Columns int           // number of unknowns
	A       [][]float64   // one row an observation, each of length Columns
	Y       []float64     // observed values
	U       []float64     // standard uncertainties, > 0; ignored where Cov is set
	Cov     mat.Symmetric // full covariance of Y, or nil
	C       [][]float64   // exact constraints, one row each; may be empty
	D       []float64     // right-hand sides of the constraints

	// RankLimit is the fraction of the largest singular value (columns scaled
	// to length 1) below which a singular value counts as zero; 0 < RankLimit
	// < 1, and there is no default: 1e-9 suits measurements.
	RankLimit float64
}

// check refuses what cannot be solved, before any arithmetic.
func (s *System) check() error {
	if !(s.RankLimit > 0 && s.RankLimit < 1) {
		return fmt.Errorf("%w: %v", ErrRankLimit, s.RankLimit)
	}
	if s.Columns < 1 {
		return fmt.Errorf("%w: %d unknowns (want 1 or more)", ErrShape, s.Columns)
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

// checkRows holds a block of equations (rows·x = right) against its shape.
func checkRows(what string, rows [][]float64, right []float64, columns int) error {
	if len(right) != len(rows) {
		return fmt.Errorf("%w: %d %s rows, %d values", ErrShape, len(rows), what, len(right))
	}
	for i, row := range rows {
		if len(row) != columns {
			return fmt.Errorf("%w: %s %d has %d coefficients (want %d)", ErrShape, what, i, len(row), columns)
		}
		if err := cmp.Or(checkNumbers(row...), checkNumbers(right[i])); err != nil {
			return fmt.Errorf("%w: %s %d", err, what, i)
		}
	}
	return nil
}

// Sizes between these can be squared and divided by each other without
// overflow or loss to zero.
const smallest, largest = 1e-70, 1e70

// checkNumbers refuses what arithmetic would turn into nonsense.
func checkNumbers(values ...float64) error {
	for _, v := range values {
		if !finite(v) {
			return ErrNotFinite
		}
		if size := math.Abs(v); size > largest || size > 0 && size < smallest {
			return ErrRange
		}
	}
	return nil
}

func (s *System) checkUncertainties() error {
	if len(s.U) != len(s.Y) {
		return fmt.Errorf("%w: %d observations, %d uncertainties", ErrShape, len(s.Y), len(s.U))
	}
	for i, u := range s.U {
		if err := checkNumbers(u); err != nil {
			return fmt.Errorf("%w: uncertainty of observation %d", err, i)
		}
		if u <= 0 {
			return fmt.Errorf("%w: observation %d, u = %v", ErrUncertainty, i, u)
		}
	}
	return nil
}

func (s *System) checkCovariance() error {
	n := s.Cov.SymmetricDim()
	if n != len(s.Y) {
		return fmt.Errorf("%w: %d observations, covariance %d×%d", ErrShape, len(s.Y), n, n)
	}
	for i := range n {
		for j := range i + 1 {
			if !finite(s.Cov.At(i, j)) {
				return fmt.Errorf("%w: covariance %d, %d", ErrNotFinite, i, j)
			}
		}
		if err := checkNumbers(s.Cov.At(i, i)); err != nil {
			return fmt.Errorf("%w: variance %d", err, i)
		}
		if s.Cov.At(i, i) <= 0 {
			return fmt.Errorf("%w: variance %d is %v", ErrCovariance, i, s.Cov.At(i, i))
		}
	}
	return nil
}

// weights is the covariance of the observations taken apart: u on the
// diagonal, and, where they are correlated, the correlation matrix ρ = U₀ᵀU₀.
// So Σ = diag(u)·ρ·diag(u); splitting u off first keeps observations of very
// different units from spoiling the factorisation.
type weights struct {
	u   []float64
	rho *mat.SymDense // nil where uncorrelated
	tri blas64.Triangular
}

// worstCorrelation is the condition number from which a correlation matrix
// counts as singular: double precision leaves no digit of its inverse.
const worstCorrelation = 1e14

func newWeights(s *System) (weights, error) {
	if s.Cov == nil {
		return weights{u: append([]float64(nil), s.U...)}, nil
	}
	n := s.Cov.SymmetricDim()
	w := weights{u: make([]float64, n)}
	if n == 0 {
		return w, nil
	}
	for i := range n {
		w.u[i] = math.Sqrt(s.Cov.At(i, i))
	}
	w.rho = mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			w.rho.SetSym(i, j, s.Cov.At(i, j)/w.u[i]/w.u[j])
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(w.rho) {
		return w, ErrCovariance
	}
	if c := chol.Cond(); c > worstCorrelation {
		return w, fmt.Errorf("%w: condition of its correlations %.3g", ErrCovariance, c)
	}
	var u mat.TriDense
	chol.UTo(&u)
	w.tri = u.RawTriangular()
	return w, nil
}

// whiten turns rows [A | y] into rows of unit, uncorrelated uncertainty.
func (w weights) whiten(m blas64.General) {
	for i, u := range w.u {
		for j := range m.Cols {
			m.Data[i*m.Stride+j] /= u
		}
	}
	if w.rho != nil && m.Cols > 0 {
		blas64.Trsm(blas.Left, blas.Trans, 1, w.tri, m)
	}
}

// colour undoes the correlation part of whiten: m becomes U₀ᵀ·m.
func (w weights) colour(m blas64.General) {
	if w.rho != nil && m.Cols > 0 {
		blas64.Trmm(blas.Left, blas.Trans, 1, w.tri, m)
	}
}

// dual is U₀⁻¹·m: what a functional of whitened observations is in terms of
// observations that are only divided by u.
func (w weights) dual(m blas64.General) {
	if w.rho != nil && m.Cols > 0 {
		blas64.Trsm(blas.Left, blas.NoTrans, 1, w.tri, m)
	}
}

// correlation of the observations i and j.
func (w weights) correlation(i, j int) float64 {
	if w.rho != nil {
		return w.rho.At(i, j)
	}
	if i == j {
		return 1
	}
	return 0
}
