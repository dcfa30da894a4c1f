package lsq

import (
	"math"
	"slices"
)

// mostSweeps bounds the Jacobi iteration; a dozen have always been enough.
const mostSweeps = 60

// orthogonal is how small the cosine of two columns has to be, and vanished
// how small a column next to the longest, to be left alone.
const (
	orthogonal = 1e-15
	vanished   = 1e-18
)

// singular is X = V·diag(s)·Wᵀ, s descending; V has as many columns as X.
type singular struct {
	v matrix // its columns where s is not 0: of length 1
	s []float64
	w matrix
}

// decompose finds the singular values of X, which has no more columns than
// rows, by rotating pairs of columns until all are orthogonal. It writes over
// X. It reports false if that does not end, which finite numbers have never
// been seen to do.
//
// Source: M. R. Hestenes 1958, in the form of J. Demmel and K. Veselić, SIAM J.
// Matrix Anal. Appl. 13 (1992) 1204 (from memory).
func decompose(a *arena, x matrix) (singular, bool) {
	// Columns are held as rows: the pairs are then side by side in memory.
	columns, w := a.matrix(x.cols, x.rows), a.matrix(x.cols, x.cols)
	for j := range x.cols {
		for i := range x.rows {
			columns.row(j)[i] = x.row(i)[j]
		}
		w.row(j)[j] = 1
	}
	for range mostSweeps {
		if !sweep(columns, w) {
			return sorted(a, columns, w), true
		}
	}
	return singular{}, false
}

// sweep rotates every pair of columns once, in order; it reports whether one
// had to be rotated.
func sweep(columns, w matrix) bool {
	longest := 0.0
	for j := range columns.rows {
		longest = max(longest, square(columns.row(j)))
	}
	rotated := false
	for p := range columns.rows {
		for q := p + 1; q < columns.rows; q++ {
			c, s, needed := rotation(columns.row(p), columns.row(q), longest)
			if needed {
				rotate(columns.row(p), columns.row(q), c, s)
				rotate(w.row(p), w.row(q), c, s)
				rotated = true
			}
		}
	}
	return rotated
}

// rotation is that which makes two columns orthogonal: with ζ = (yy − xx)/2xy the
// tangent is the smaller root of t² + 2ζt − 1 = 0, so that the angle is at most 45°
// and the longer column stays the longer one. Columns that have vanished next to
// the longest are left alone: their direction is rounding.
func rotation(x, y []float64, longest float64) (c, s float64, needed bool) {
	xx, yy, xy := square(x), square(y), dot(x, y)
	if min(xx, yy) <= float64(vanished*vanished*longest) || math.Abs(xy) <= float64(orthogonal*math.Sqrt(float64(xx*yy))) {
		return 1, 0, false
	}
	zeta := (yy - xx) / float64(2*xy)
	t := math.Copysign(1/(math.Abs(zeta)+math.Sqrt(1+float64(zeta*zeta))), zeta)
	c = 1 / math.Sqrt(1+float64(t*t))
	return c, float64(c * t), true
}

// rotate turns two columns in their plane by the angle of cosine c and sine s.
func rotate(x, y []float64, c, s float64) {
	for i, v := range x {
		x[i] = float64(c*v) - float64(s*y[i])
		y[i] = float64(s*v) + float64(c*y[i])
	}
}

// sorted takes the lengths of orthogonal columns out of them and puts the
// longest first, of equally long ones the first in its place.
func sorted(a *arena, columns, w matrix) singular {
	n := columns.rows
	size, order := a.floats(n), make([]int, n)
	for j := range n {
		size[j], order[j] = norm(columns.row(j)), j
	}
	slices.SortStableFunc(order, func(i, j int) int {
		switch {
		case size[i] > size[j]:
			return -1
		case size[i] < size[j]:
			return 1
		}
		return 0
	})
	out := singular{a.matrix(columns.cols, n), a.floats(n), a.matrix(n, n)}
	for to, from := range order {
		out.s[to] = size[from]
		for i, v := range columns.row(from) {
			if size[from] > 0 {
				out.v.row(i)[to] = v / size[from]
			}
		}
		for i, v := range w.row(from) {
			out.w.row(i)[to] = v
		}
	}
	return out
}
