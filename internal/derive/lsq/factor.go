package lsq

import "math"

// negligible is the size, relative to the first pivot, below which a pivot of
// the QR factorisation is rounding and nothing else.
const negligible = 1e-13

// factored is min ‖b − B·q‖ solved: the fit is Q·Qᵀ·b, a minimiser is q, any
// determined functional of it is g·K·Qᵀ·b, and q + null·anything fits as well.
type factored struct {
	rank      int
	q         matrix    // rows × rank, orthonormal columns
	k         matrix    // unknowns × rank
	null      matrix    // unknowns × (unknowns − rank)
	x         []float64 // minimiser
	rest      []float64 // b − Q·Qᵀ·b
	chi       float64   // ‖rest‖²
	condition float64   // bound of the largest over the smallest singular value kept
}

// factorise decides the rank by QR with column pivoting where that is certain,
// else by singular values. It writes over B and leaves b alone.
//
// With R₁₁ the leading triangle and ‖·‖ Frobenius norms, the QR is certain
// when the rest of R is rounding and 1/‖R₁₁⁻¹‖, a lower bound of the smallest
// singular value, is at least limit·‖R‖, an upper bound of what counts as zero.
// In between the pivots of R can be far from the singular values.
//
// Sizes are compared with the largest of B, and against 1, the length of the
// columns before constraints were eliminated: where those leave the
// observations nothing to say, all of B is rounding.
func factorise(a *arena, b matrix, y []float64, limit float64) (factored, bool) {
	d := factorQR(a, b, true)
	rank := 0
	for rank < len(d.tau) && d.pivot(rank) > float64(min(negligible, limit/100)*max(1, d.pivot(0))) {
		rank++
	}
	inverse := a.matrix(rank, rank)
	for i := range rank {
		copy(inverse.row(i)[i:], d.r.row(i)[i:rank])
	}
	invertUpper(a, inverse)
	// ‖R‖·‖R₁₁⁻¹‖ bounds the condition number from above; where it stays below
	// 1/limit no singular value that was kept can be one that counts as zero.
	size, reciprocal := frobenius(d.r), inverse.length()
	if rank > 0 && !(float64(float64(max(1, size)*reciprocal)*limit) <= 1) {
		return bySingularValues(a, d, y, limit)
	}
	f := factored{rank: rank, condition: float64(size * reciprocal)}
	f.k, f.null = kernelOfQR(a, d, inverse)
	f.q = d.orthonormal(a, rank, rank)
	f.project(a, d, y)
	return f, true
}

// pivot is the size of diagonal element i of R.
func (d *qr) pivot(i int) float64 { return math.Abs(d.r.row(i)[i]) }

// kernelOfQR gives K = P·(R₁₁⁻¹; 0) and the null space P·(−R₁₁⁻¹·R₁₂; I).
func kernelOfQR(a *arena, d qr, inverse matrix) (k, null matrix) {
	rank, n := inverse.rows, d.r.cols
	k, null = a.matrix(n, rank), a.matrix(n, n-rank)
	for i := range rank {
		to := d.pivots[i]
		copy(k.row(to), inverse.row(i))
		if n == rank {
			continue
		}
		for l := i; l < rank; l++ {
			addTimes(null.row(to), -inverse.row(i)[l], d.r.row(l)[rank:])
		}
	}
	for j := range n - rank {
		null.row(d.pivots[rank+j])[j] = 1
	}
	return k, null
}

// project forms Qᵀ·y with the reflectors of the rank. What is left below is
// what the fit leaves over; what is above gives the minimiser by substitution,
// which loses fewer digits than multiplying by the inverse. Unknowns beyond
// the rank stay 0.
func (f *factored) project(a *arena, d qr, y []float64) {
	f.rest, f.x = a.floats(len(y)), a.floats(d.r.cols)
	copy(f.rest, y)
	for k := range f.rank {
		reflectVector(f.rest, d.v.row(k), k, d.tau[k])
	}
	head := f.rest[:f.rank]
	solveUpper(d.r.columns(0, f.rank), head)
	for i, v := range head {
		f.x[d.pivots[i]] = v
	}
	clear(head)
	f.chi = square(f.rest)
	for k := f.rank - 1; k >= 0; k-- {
		reflectVector(f.rest, d.v.row(k), k, d.tau[k])
	}
}

// bySingularValues goes on from B·P = Q·R to Rᵀ = V·diag(s)·Wᵀ, so that
// B = (Q·W)·diag(s)·(P·V)ᵀ; singular values below limit × the largest are
// taken as zero.
func bySingularValues(a *arena, d qr, y []float64, limit float64) (factored, bool) {
	least, n := len(d.tau), d.r.cols
	x := a.matrix(n, least)
	for i := range least {
		for j := i; j < n; j++ {
			x.row(j)[i] = d.r.row(i)[j]
		}
	}
	e, ok := decompose(a, x)
	if !ok {
		return factored{}, false
	}
	rank := 0
	for rank < least && e.s[rank] >= float64(limit*max(1, e.s[0])) {
		rank++
	}
	f := factored{rank: rank}
	if rank > 0 {
		f.condition = e.s[0] / e.s[rank-1]
	}
	f.q = a.matrix(d.r.rows, rank)
	for i := range least {
		copy(f.q.row(i), e.w.row(i))
	}
	d.backward(f.q, least, a.floats(rank))
	f.kernelOfV(a, d, e)
	f.fit(a, y)
	return f, true
}

// kernelOfV gives K = P·V₁·diag(1/s) and the null space: what is orthogonal to
// V₁, in the unknowns' order.
func (f *factored) kernelOfV(a *arena, d qr, e singular) {
	n := d.r.cols
	f.k, f.null = a.matrix(n, f.rank), a.matrix(n, n-f.rank)
	rest := factorQR(a, a.clone(e.v.columns(0, f.rank)), false)
	all := rest.orthonormal(a, f.rank, n)
	for j, to := range d.pivots {
		for i := range f.rank {
			f.k.row(to)[i] = e.v.row(j)[i] / e.s[i]
		}
		copy(f.null.row(to), all.row(j)[f.rank:])
	}
}

// fit sets x = K·Qᵀ·y and rest = y − Q·Qᵀ·y.
func (f *factored) fit(a *arena, y []float64) {
	qty := a.floats(f.rank)
	for i, v := range y {
		addTimes(qty, v, f.q.row(i))
	}
	f.x, f.rest = a.floats(f.k.rows), a.floats(len(y))
	for j := range f.x {
		f.x[j] = dot(f.k.row(j), qty)
	}
	for i, v := range y {
		f.rest[i] = v - dot(f.q.row(i), qty)
	}
	f.chi = square(f.rest)
}
