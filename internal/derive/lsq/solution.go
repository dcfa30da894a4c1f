package lsq

import (
	"fmt"
	"math"
	"slices"

	"reconcile/internal/shelf"
)

const (
	// determinedLimit is the length of a functional in the null space,
	// relative to its full length, up to which it counts as determined.
	determinedLimit = 1e-6
	// rounding is what 1 − (sum of squares) cannot be distinguished from zero by.
	rounding = 1e-12
)

// Solution is what a system says. Rows passed to its methods are coefficients
// of a linear functional of the unknowns, of length Columns; another length is
// the caller's mistake and panics. What it says does not change, but some of it is
// worked out when it is first asked for: it is for one goroutine at a time.
type Solution struct {
	// X is the shortest of the solutions. Only determined functionals of it
	// mean anything.
	X []float64
	// Open is how much of each unknown nothing determines, from 0 to 1, and 0 where
	// [Solution.Estimate] would call it determined; empty where all are.
	Open []float64
	// Residuals are y − A·x, in the units of y.
	Residuals []float64
	// ChiSquare is the minimum reached, (y − A·x)ᵀ Σ⁻¹ (y − A·x).
	ChiSquare float64
	// DOF is the number of observations less Rank.
	DOF int
	// Rank is the rank of the observations once constraints are eliminated.
	Rank int
	// Nullity is the dimension of what nothing determines: Columns less
	// independent constraints less Rank.
	Nullity int
	// Condition bounds the largest singular value over the smallest that
	// counts, columns scaled; 0 where Rank is 0.
	Condition float64
	// Dropped are the redundant constraints, rows of C.
	Dropped []int

	yU   []float64 // standard uncertainties of the observations
	rho  matrix    // their correlations; empty where there are none
	all  matrix    // of each unknown its row of T, X and the null space
	t    matrix    // its part T: x = particular + T·Qᵀ·(whitened y), columns × rank
	null matrix    // its part that is orthonormal, columns × nullity
	keep *arena    // the memory of all of these

	// Of the observations; most solutions are only asked for loads.
	g, h    matrix // U₀ᵀ·Q and U₀⁻¹·Q, both Q where uncorrelated; empty until unfolded
	reflect qr     // what makes Q

	shelf.Lent[Solution]
}

// takeBack lets another solution have the memory of this one, which then holds nothing:
// its methods panic.
func takeBack(s *Solution) {
	keep := s.keep
	*s = Solution{}
	if len(keep.floatsAll) <= largestKept {
		solutions.Put(keep)
	}
}

// unfold makes Q of its reflectors, once.
func (s *Solution) unfold() {
	if s.g.rows == 0 {
		s.g = s.keep.room(len(s.yU), s.Rank)
		s.reflect.orthonormal(s.g, s.Rank)
		s.h = s.g
	}
}

// notRounding is v, or 0 where v is the rounding of a difference that is 0: a
// redundancy of 1e-16 would else be divided by.
func notRounding(v float64) float64 {
	if math.Abs(v) < rounding {
		return 0
	}
	return v
}

// few is a number of columns that most systems stay below: products of that
// many numbers need no memory of their own.
const few = 32

// times is row·m, in the room given where that suffices.
func (s *Solution) times(row []float64, m matrix, room []float64) []float64 {
	if len(row) != len(s.X) {
		panic(fmt.Sprintf("lsq: functional of %d coefficients (want %d)", len(row), len(s.X)))
	}
	out := room[:min(m.cols, len(room))]
	if len(out) < m.cols {
		out = make([]float64, m.cols)
	}
	for j, f := range row {
		if f != 0 {
			addTimes(out, f, m.row(j))
		}
	}
	return out
}

// Estimate is what the system says of row·x: its value, its standard uncertainty,
// and whether observations and constraints determine it:
//
//	|row·N| ≤ 1e-6·|row|
//
// with N an orthonormal basis of the null space of all equations, in the
// unknowns' own units. A row of zeros is determined. Where row·x is not, the value
// means nothing and u is that of its determined part; u is 0 of what the
// constraints alone fix.
func (s *Solution) Estimate(row []float64) (value, u float64, determined bool) {
	var room [few]float64
	out := s.times(row, s.all, room[:])
	t, null := out[:s.t.cols], out[s.t.cols+1:]
	return out[s.t.cols], norm(t), len(null) == 0 || norm(null) <= float64(determinedLimit*norm(row))
}

// NullPart is row·N, what of a functional nothing determines: the part of row in
// each column of an orthonormal basis N of the null space. It is empty where
// all is determined.
func (s *Solution) NullPart(row []float64) []float64 { return s.times(row, s.null, nil) }

// Covariance is that of the functionals a·x and b·x; of their determined parts
// where they are not determined.
func (s *Solution) Covariance(a, b []float64) float64 {
	var one, other [few]float64
	return dot(s.times(a, s.t, one[:]), s.times(b, s.t, other[:]))
}

// Sensitivity is ∂(row·x)/∂y_i, one per observation, in the memory given where that
// suffices: many are asked for, and most looked at once.
func (s *Solution) Sensitivity(row, memory []float64) []float64 {
	var room [few]float64
	c := s.times(row, s.t, room[:])
	s.unfold()
	out := slices.Grow(memory[:0], len(s.yU))[:len(s.yU)]
	for i, u := range s.yU {
		out[i] = dot(s.h.row(i), c) / u
	}
	return out
}

// correlation is that of the observations i and j, 1 with itself, 0 between any two that
// were observed independently.
func (s *Solution) correlation(i, j int) float64 {
	if s.rho.rows > 0 {
		return s.rho.row(i)[j]
	}
	if i == j {
		return 1
	}
	return 0
}

// ResidualCovariance is R_ij, the covariance of the weighted residuals
// residual/u of the observations i and j:
//
//	R = ρ − (A·cov(x)·Aᵀ)_ij / (u_i·u_j)
//
// ρ being the correlation of the observations. Where R_ij² is R_ii·R_jj an error in i
// cannot be distinguished from one in j. For uncorrelated observations R_ii is the
// redundancy, the share of an error in i that shows in its own residual: from 0 to 1, 0
// within rounding is 0, and in all they are DOF.
//
// Source: W. Baarda, A testing procedure for use in geodetic networks (1968).
func (s *Solution) ResidualCovariance(i, j int) float64 {
	s.unfold()
	return notRounding(s.correlation(i, j) - dot(s.g.row(i), s.g.row(j)))
}

// Without is χ² and the degrees of freedom of the fit with some observations,
// uncorrelated with the others, left out:
//
//	χ² − vᵀ·R⁻¹·v
//
// v their weighted residuals and R the covariance of these. Directions in
// which R has no more than the least size are not tested and change nothing.
func (s *Solution) Without(set []int, least float64) (chi float64, dof int) {
	chi, dof = s.ChiSquare, s.DOF
	a := &arena{}
	r, v := a.matrix(len(set), len(set)), a.floats(len(set))
	for k, i := range set {
		v[k] = s.Residuals[i] / s.yU[i]
		for l, j := range set {
			r.row(k)[l] = s.ResidualCovariance(i, j)
		}
	}
	e, ok := decompose(a, r)
	if !ok {
		return 0, dof
	}
	for k, size := range e.s {
		if size < least {
			continue
		}
		var along float64
		for i := range set {
			along += float64(e.w.row(i)[k] * v[i])
		}
		chi -= float64(along*along) / size
		dof--
	}
	return max(chi, 0), max(dof, 0)
}
