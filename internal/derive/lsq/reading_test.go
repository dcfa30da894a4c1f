package lsq

import (
	"math"

	"reconcile/internal/portable"
)

// What the tests read off a solution, one number at a time.

func (s *Solution) value(row []float64) float64 { v, _, _ := s.Estimate(row); return v }

func (s *Solution) u(row []float64) float64 { _, u, _ := s.Estimate(row); return u }

func (s *Solution) determined(row []float64) bool { _, _, ok := s.Estimate(row); return ok }

func (s *Solution) pValue() (p float64, ok bool) {
	return portable.ChiSquareSurvival(s.ChiSquare, s.DOF)
}

// The tests of single observations, as package derive does them where observations
// are uncorrelated, with correlations too. δ₀ is the error, in units of u/√r, that a
// test at α = 0.001 finds with probability 0.80.
//
// Source: Baarda 1968; with correlations R. S. H. Mah and A. C. Tamhane,
// AIChE Journal 28 (1982) 828 (volume and page from memory).
const (
	minRedundancy = 0.01
	detectable    = 4.1321
)

// redundancies are r_i = (W·Σ⁻¹)_ii = 1 − (Q·Qᵀ)_ii, W being the covariance of the
// residuals, also of correlated observations.
func (s *Solution) redundancies() []float64 {
	s.unfold()
	all := make([]float64, len(s.yU))
	for i := range all {
		all[i] = notRounding(1 - dot(s.g.row(i), s.h.row(i)))
	}
	return all
}

// residualCorrelation is R_ij/√(R_ii·R_jj).
func (s *Solution) residualCorrelation(i, j int) float64 {
	ii, jj := s.ResidualCovariance(i, i), s.ResidualCovariance(j, j)
	if ii <= 0 || jj <= 0 {
		return 0
	}
	return s.ResidualCovariance(i, j) / math.Sqrt(ii*jj)
}

// standardised is residual_i/(u_i·√R_ii).
func (s *Solution) standardised(i int) (w float64, ok bool) {
	r := s.ResidualCovariance(i, i)
	if r < minRedundancy {
		return 0, false
	}
	return s.Residuals[i] / (s.yU[i] * math.Sqrt(r)), true
}

// smallestDetectable is 4.1321·u_i·√R_ii/r_i.
func (s *Solution) smallestDetectable(i int) (size float64, ok bool) {
	r, share := s.ResidualCovariance(i, i), s.redundancies()[i]
	if r < minRedundancy || share < minRedundancy {
		return 0, false
	}
	return detectable * s.yU[i] * math.Sqrt(r) / share, true
}
