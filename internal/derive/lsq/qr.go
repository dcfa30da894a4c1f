package lsq

import "math"

// qr is a Householder factorisation m·P = Q·R. R is in the upper triangle
// of r; Q = H₀·H₁·…, and H_k = 1 − τ_k·v_k·v_kᵀ with v_k the part of row k of v
// from its k-th element, which is 1.
//
// Source: G. H. Golub and C. F. Van Loan, Matrix Computations, 5.1 and 5.4
// (from memory); the norms of what is left are brought down as LAPACK does
// (Z. Drmač and Z. Bujanović, ACM TOMS 35 (2008) 12, from memory).
type qr struct {
	r      matrix
	v      matrix
	tau    []float64
	pivots []int // column k of m·P was column pivots[k] of m; nil without pivoting
}

// factorQR factorises m in place. With pivoting, the longest column left comes
// first, of equally long ones the first in its place.
func factorQR(a *arena, m matrix, pivoting bool) qr {
	steps := min(m.rows, m.cols)
	f := qr{r: m, v: a.matrix(steps, m.rows), tau: a.floats(steps)}
	var lengths columnLengths
	if pivoting {
		f.pivots = a.order(m.cols)
		lengths = newColumnLengths(a, m)
	}
	// Each step brings the part of R still to come to one row and column less. The
	// longest column left comes next: R then has its large elements first, and
	// what the readings do not determine is left at the end.
	work := a.floats(m.cols)
	for k := range steps {
		if pivoting {
			f.exchange(k, lengths.longest(k), lengths)
		}
		f.reflect(k, work)
		if pivoting {
			lengths.less(m, k)
		}
	}
	return f
}

// exchange swaps two columns, with what is known of their lengths. The length that
// goes to place a is not kept: that column is reflected next, and its length spent.
func (f *qr) exchange(a, b int, lengths columnLengths) {
	if a == b {
		return
	}
	for at := 0; at < f.r.rows*f.r.stride; at += f.r.stride {
		f.r.data[at+a], f.r.data[at+b] = f.r.data[at+b], f.r.data[at+a]
	}
	f.pivots[a], f.pivots[b] = f.pivots[b], f.pivots[a]
	lengths.now[b], lengths.known[b] = lengths.now[a], lengths.known[a]
}

// reflect makes column k zero below the diagonal and reflects those after it.
func (f *qr) reflect(k int, work []float64) {
	m, v := f.r, f.v.row(k)
	for i, at := k, k*m.stride+k; i < m.rows; i, at = i+1, at+m.stride {
		v[i], m.data[at] = m.data[at], 0
	}
	below := norm(v[k+1:])
	if below == 0 {
		m.row(k)[k], v[k] = v[k], 1
		return // τ = 0: nothing to do
	}
	// β has the other sign than α, so that α − β never cancels. The hypotenuse is
	// the plain root: sizes are bounded at the door (smallest, largest), and a
	// library's Hypot differs from machine to machine.
	alpha := v[k]
	beta := -math.Copysign(math.Sqrt(float64(alpha*alpha)+float64(below*below)), alpha)
	f.tau[k] = (beta - alpha) / beta
	for i := k + 1; i < m.rows; i++ {
		if v[i] != 0 {
			v[i] /= alpha - beta
		}
	}
	v[k] = 1
	m.row(k)[k] = beta
	reflectRows(m.columns(k+1, m.cols), v, k, f.tau[k], work)
}

// reflectRows applies H = 1 − τ·v·vᵀ to m from the left; v is zero before from.
// vᵀ·m is added up first, row by row, then taken off each row: two passes in the
// order in which the numbers lie in memory. The many zeros of a system of
// weighings, where a reading names few supports, are stepped over.
func reflectRows(m matrix, v []float64, from int, tau float64, work []float64) {
	if m.cols == 0 || tau == 0 {
		return
	}
	sum := work[:m.cols]
	clear(sum)
	at := from * m.stride
	for _, f := range v[from:m.rows] {
		if f != 0 {
			row := m.data[at : at+len(sum)]
			for j, x := range row {
				sum[j] += float64(f * x)
			}
		}
		at += m.stride
	}
	at = from * m.stride
	for _, f := range v[from:m.rows] {
		if f != 0 {
			f = -float64(tau * f)
			row := m.data[at : at+len(sum)]
			for j, x := range sum {
				row[j] += float64(f * x)
			}
		}
		at += m.stride
	}
}

// reflectVector applies H to one vector, which is zero before from or keeps what
// it has there.
func reflectVector(x, v []float64, from int, tau float64) {
	addTimes(x[from:], -float64(tau*dot(v[from:], x[from:])), v[from:])
}

// backward applies the first n reflectors to m from the left, Q·m.
func (f *qr) backward(m matrix, n int, work []float64) {
	for k := n - 1; k >= 0; k-- {
		reflectRows(m, f.v.row(k), k, f.tau[k], work)
	}
}

// orthonormal is the first cols columns of the product of the first n
// reflectors.
func (f *qr) orthonormal(a *arena, n, cols int) matrix {
	q := a.matrix(f.r.rows, cols)
	for k := range min(cols, q.rows) {
		q.row(k)[k] = 1
	}
	work := a.floats(cols)
	for k := n - 1; k >= 0; k-- { // columns before k are still those of 1
		from := min(k, cols)
		reflectRows(q.columns(from, cols), f.v.row(k), k, f.tau[k], work)
	}
	return q
}

// columnLengths are the squared lengths of what is left of the columns: now,
// and when they were last added up.
type columnLengths struct{ now, known []float64 }

func newColumnLengths(a *arena, m matrix) columnLengths {
	l := columnLengths{a.floats(m.cols), a.floats(m.cols)}
	for i := range m.rows {
		addSquares(l.now, m.row(i), 1)
	}
	copy(l.known, l.now)
	return l
}

// longest is the first of the longest columns from a place on: equal ones keep
// their order, and so the same bits come out everywhere.
func (l columnLengths) longest(from int) int {
	best := from
	for j := from + 1; j < len(l.now); j++ {
		if l.now[j] > l.now[best] {
			best = j
		}
	}
	return best
}

// less takes row k off the lengths. Where little is left of one, it is added
// up again: the difference of the squares has then no digit.
func (l columnLengths) less(m matrix, k int) {
	const halfTheDigits = 1.5e-8
	for j, v := range m.row(k)[k+1:] {
		j += k + 1
		l.now[j] -= float64(v * v)
		if l.now[j] > float64(halfTheDigits*l.known[j]) || l.known[j] == 0 {
			continue
		}
		l.now[j] = 0
		for i := k + 1; i < m.rows; i++ {
			w := m.row(i)[j]
			l.now[j] += float64(w * w)
		}
		l.known[j] = l.now[j]
	}
}
