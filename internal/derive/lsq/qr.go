package lsq

import "math"

// qr is a Householder factorisation m·P = Q·R. R is in the upper triangle
// of r, what is below it is never read; Q = H₀·H₁·…, and H_k = 1 − τ_k·v_k·v_kᵀ with v_k the part of row k of v
// from its k-th element, which is 1; what is before it is never read.
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

// newQR makes room for the factorisation of m.
func newQR(a *arena, m matrix) qr {
	steps := min(m.rows, m.cols)
	return qr{r: m, v: a.room(steps, m.rows), tau: a.floats(steps)}
}

// factorQR factorises m in place, and keeps nothing but what it returns.
func factorQR(a *arena, m matrix, pivoting bool) qr {
	f := newQR(a, m)
	f.factorise(a, pivoting)
	return f
}

// factorise factorises in place. With pivoting, the longest column left comes
// first, of equally long ones the first in its place.
func (f *qr) factorise(a *arena, pivoting bool) {
	m, steps := f.r, len(f.tau)
	var lengths columnLengths
	longest := 0
	if pivoting {
		f.pivots = a.order(m.cols)
		lengths, longest = newColumnLengths(a, m)
	}
	// Each step brings the part of R still to come to one row and column less. The
	// longest column left comes next: R then has its large elements first, and
	// what the readings do not determine is left at the end.
	for k := range steps {
		if pivoting {
			f.exchange(k, longest, lengths)
		}
		f.reflect(k)
		if pivoting {
			longest = lengths.less(m, k)
		}
	}
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

// reflect takes column k to the diagonal, as if it were zero below, and reflects those
// after it.
func (f *qr) reflect(k int) {
	m, v := f.r, f.v.row(k)
	var sum float64 // of the squares below the diagonal
	diagonal := k*m.stride + k
	at := diagonal
	for i := k + 1; i < len(v); i++ {
		at += m.stride
		x := m.data[at]
		v[i] = x
		sum += float64(x * x)
	}
	alpha := m.data[diagonal]
	v[k] = 1
	if sum == 0 {
		return // τ = 0: nothing to do
	}
	below := math.Sqrt(sum)
	// β has the other sign than α, so that α − β never cancels. The hypotenuse is
	// the plain root: sizes are bounded at the door (smallest, largest), and a
	// library's Hypot differs from machine to machine.
	beta := -math.Copysign(math.Sqrt(float64(alpha*alpha)+float64(below*below)), alpha)
	f.tau[k] = (beta - alpha) / beta
	divisor := alpha - beta
	for i := k + 1; i < len(v); i++ {
		v[i] /= divisor
	}
	m.data[diagonal] = beta
	reflectRows(m.columns(k+1, m.cols), v, k, f.tau[k])
}

// reflectRows applies H = 1 − τ·v·vᵀ to m from the left; v counts from from on.
// Columns do not depend on each other, so four go together, then two, then the
// last: what vᵀ·m adds up to stays in registers. Loops along the rows of a system
// of weighings, which are short, would cost more than the sums in them.
func reflectRows(m matrix, v []float64, from int, tau float64) {
	if m.cols == 0 || tau == 0 || from >= m.rows {
		return
	}
	v = v[from:m.rows]
	data, cols := m.data[from*m.stride:], m.cols
	for ; cols >= 4; data, cols = data[4:], cols-4 {
		reflectFour(data, m.stride, v, tau)
	}
	if cols >= 2 {
		reflectTwo(data, m.stride, v, tau)
		data, cols = data[2:], cols-2
	}
	if cols == 1 {
		reflectOne(data, m.stride, v, tau)
	}
}

// reflectFour applies H to the first four columns of data.
func reflectFour(data []float64, stride int, v []float64, tau float64) {
	var a, b, c, d float64
	at := 0
	for _, f := range v {
		row := data[at : at+4 : at+4]
		a += float64(f * row[0])
		b += float64(f * row[1])
		c += float64(f * row[2])
		d += float64(f * row[3])
		at += stride
	}
	at = 0
	for _, f := range v {
		f = -float64(tau * f)
		row := data[at : at+4 : at+4]
		row[0] += float64(f * a)
		row[1] += float64(f * b)
		row[2] += float64(f * c)
		row[3] += float64(f * d)
		at += stride
	}
}

// reflectTwo applies H to the first two columns of data.
func reflectTwo(data []float64, stride int, v []float64, tau float64) {
	var a, b float64
	at := 0
	for _, f := range v {
		row := data[at : at+2 : at+2]
		a += float64(f * row[0])
		b += float64(f * row[1])
		at += stride
	}
	at = 0
	for _, f := range v {
		f = -float64(tau * f)
		row := data[at : at+2 : at+2]
		row[0] += float64(f * a)
		row[1] += float64(f * b)
		at += stride
	}
}

// reflectOne applies H to the first column of data.
func reflectOne(data []float64, stride int, v []float64, tau float64) {
	var a float64
	at := 0
	for _, f := range v {
		a += float64(f * data[at])
		at += stride
	}
	at = 0
	for _, f := range v {
		data[at] += float64(-float64(tau*f) * a)
		at += stride
	}
}

// reflectVector applies H to one vector, which keeps what it has before from.
func reflectVector(x, v []float64, from int, tau float64) {
	addTimes(x[from:], -float64(tau*dot(v[from:], x[from:])), v[from:])
}

// reflectColumns applies H to m from the right: to each row as reflectVector does, four
// rows together.
func reflectColumns(m matrix, v []float64, from int, tau float64) {
	v = v[from:m.cols]
	i := 0
	for ; i+4 <= m.rows; i += 4 {
		reflectFourVectors(m.row(i)[from:], m.row(i + 1)[from:], m.row(i + 2)[from:], m.row(i + 3)[from:], v, tau)
	}
	for ; i < m.rows; i++ {
		reflectVector(m.row(i)[from:], v, 0, tau)
	}
}

// reflectFourVectors applies H to four vectors.
func reflectFourVectors(p, q, r, s, v []float64, tau float64) {
	p, q, r, s = p[:len(v)], q[:len(v)], r[:len(v)], s[:len(v)]
	var a, b, c, d float64
	for j, f := range v {
		a += float64(f * p[j])
		b += float64(f * q[j])
		c += float64(f * r[j])
		d += float64(f * s[j])
	}
	a, b, c, d = -float64(tau*a), -float64(tau*b), -float64(tau*c), -float64(tau*d)
	for j, f := range v {
		p[j] += float64(a * f)
		q[j] += float64(b * f)
		r[j] += float64(c * f)
		s[j] += float64(d * f)
	}
}

// backward applies the first n reflectors to m from the left, Q·m.
func (f *qr) backward(m matrix, n int) {
	for k := n - 1; k >= 0; k-- {
		reflectRows(m, f.v.row(k), k, f.tau[k])
	}
}

// orthonormal makes q the first columns of the product of the first n
// reflectors.
func (f *qr) orthonormal(q matrix, n int) {
	for k := range q.rows {
		clear(q.row(k))
		if k < q.cols {
			q.row(k)[k] = 1
		}
	}
	for k := n - 1; k >= 0; k-- { // columns before k are still those of 1
		reflectRows(q.columns(min(k, q.cols), q.cols), f.v.row(k), k, f.tau[k])
	}
}

// columnLengths are the squared lengths of what is left of the columns: now,
// and when they were last added up.
type columnLengths struct{ now, known []float64 }

// newColumnLengths are those of m, and its longest column: of equally long ones the
// first, here and below, and so the same bits come out everywhere.
func newColumnLengths(a *arena, m matrix) (l columnLengths, longest int) {
	l = columnLengths{a.take(m.cols), a.take(m.cols)}
	columnSquares(l.now, m)
	copy(l.known, l.now)
	for j, v := range l.now {
		if v > l.now[longest] {
			longest = j
		}
	}
	return l, longest
}

// columnSquares are the squared lengths of the columns of m, added up from the first
// row on; four columns go together, as in reflectRows, then the last ones one by one.
func columnSquares(to []float64, m matrix) {
	if m.rows == 0 {
		clear(to)
		return
	}
	data := m.data
	for ; len(to) >= 4; to, data = to[4:], data[4:] {
		var a, b, c, d float64
		for i, at := 0, 0; i < m.rows; i, at = i+1, at+m.stride {
			row := data[at : at+4 : at+4]
			a += float64(row[0] * row[0])
			b += float64(row[1] * row[1])
			c += float64(row[2] * row[2])
			d += float64(row[3] * row[3])
		}
		to[0], to[1], to[2], to[3] = a, b, c, d
	}
	for j := range to {
		var a float64
		for i, at := 0, j; i < m.rows; i, at = i+1, at+m.stride {
			a += float64(data[at] * data[at])
		}
		to[j] = a
	}
}

// less takes row k off the lengths of the columns after it, of which it returns the
// longest. Where little is left of one, it is added up again: the difference of the
// squares has then no digit.
func (l columnLengths) less(m matrix, k int) (longest int) {
	const halfTheDigits = 1.5e-8
	longest = k + 1
	row := m.row(k)[k+1:]
	now, known := l.now[k+1:][:len(row)], l.known[k+1:][:len(row)]
	most := math.Inf(-1)
	for j, v := range row {
		left := now[j] - float64(v*v)
		if left <= float64(halfTheDigits*known[j]) && known[j] != 0 {
			left = 0
			for i := k + 1; i < m.rows; i++ {
				w := m.row(i)[k+1+j]
				left += float64(w * w)
			}
			known[j] = left
		}
		if now[j] = left; left > most {
			longest, most = k+1+j, left
		}
	}
	return longest
}
