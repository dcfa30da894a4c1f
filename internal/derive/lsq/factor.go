package lsq

import "math"

// negligible is the size, relative to the first pivot, below which a pivot of
// the QR factorisation is rounding and nothing else.
const negligible = 1e-13

// factored is min ‖b − B·q‖ solved: the fit is Q·Qᵀ·b, a minimiser is q, any
// determined functional of it is g·K·Qᵀ·b, and q + null·anything fits as well.
type factored struct {
	rank      int
	all       matrix    // unknowns × (rank + 1 + nullity), of which the first are fixed by constraints, and 0 as yet
	free      matrix    // the rest of all: K, a minimiser x, null
	q         matrix    // rows × rank, orthonormal columns; empty where reflectors hold it
	reflect   qr        // what makes q
	rest      []float64 // b − Q·Qᵀ·b
	chi       float64   // ‖rest‖²
	condition float64   // bound of the largest over the smallest singular value kept

	keep *arena // the memory of these and of what else a solution keeps
}

// roomFor is the memory of a solution: what is found of the free unknowns, columns in
// number, and of those that the constraints fix, the reflectors and Q, and what is said
// of each observation.
func roomFor(rows, fixed, columns int) *arena {
	n, steps := fixed+columns, min(rows, columns)
	keep := solutions.Get().(*arena)
	keep.reserve(n*(columns+1) + (2*rows+1)*steps + 2*n + 2*rows)
	return keep
}

// newFactored takes room for the unknowns, those that the constraints fix above the free
// ones, and for the residuals.
func newFactored(keep *arena, rows, fixed, columns, rank int) factored {
	f := factored{rank: rank, keep: keep}
	f.all = keep.matrix(fixed+columns, columns+1)
	f.free = f.all.below(fixed)
	f.rest = keep.take(rows)
	return f
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
func factorise(a *arena, b matrix, y []float64, fixed int, limit float64) (factored, bool) {
	keep := roomFor(b.rows, fixed, b.cols)
	d := newQR(keep, b)
	d.factorise(a, true)
	rank := 0
	for rank < len(d.tau) && d.pivot(rank) > float64(min(negligible, limit/100)*max(1, d.pivot(0))) {
		rank++
	}
	inverse := a.room(rank, rank)
	invertUpper(inverse, d.r)
	// ‖R‖·‖R₁₁⁻¹‖ bounds the condition number from above; where it stays below
	// 1/limit no singular value that was kept can be one that counts as zero.
	size, reciprocal := frobenius(d.r), frobenius(inverse)
	if rank > 0 && !(float64(float64(max(1, size)*reciprocal)*limit) <= 1) {
		return bySingularValues(a, keep, d, y, fixed, limit)
	}
	f := newFactored(keep, b.rows, fixed, b.cols, rank)
	f.condition = float64(size * reciprocal)
	f.kernelOfQR(d, inverse)
	f.reflect = qr{v: d.v, tau: d.tau}
	f.project(d, y)
	return f, true
}

// pivot is the size of diagonal element i of R.
func (d *qr) pivot(i int) float64 { return math.Abs(d.r.row(i)[i]) }

// kernelOfQR gives K = P·(R₁₁⁻¹; 0) and the null space P·(−R₁₁⁻¹·R₁₂; I).
func (f *factored) kernelOfQR(d qr, inverse matrix) {
	rank, all := f.rank, f.free.cols
	for i := range rank {
		to, factors := f.free.row(d.pivots[i]), inverse.row(i)
		copy(to[i:rank], factors[i:])
		if rank+1 < all {
			takeOff(to[rank+1:], factors[i:], d.r.columns(rank, all-1).below(i))
		}
	}
	for j := rank + 1; j < all; j++ {
		f.free.row(d.pivots[j-1])[j] = 1
	}
}

// project forms Qᵀ·y with the reflectors of the rank. What is left below is
// what the fit leaves over; what is above gives the minimiser by substitution,
// which loses fewer digits than multiplying by the inverse. Unknowns beyond
// the rank stay 0.
func (f *factored) project(d qr, y []float64) {
	copy(f.rest, y)
	for k := range f.rank {
		reflectVector(f.rest, d.v.row(k), k, d.tau[k])
	}
	head := f.rest[:f.rank]
	solveUpper(d.r.columns(0, f.rank), head)
	for i, v := range head {
		f.free.row(d.pivots[i])[f.rank] = v
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
func bySingularValues(a, keep *arena, d qr, y []float64, fixed int, limit float64) (factored, bool) {
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
	f := newFactored(keep, d.r.rows, fixed, n, rank)
	if rank > 0 {
		f.condition = e.s[0] / e.s[rank-1]
	}
	f.q = f.keep.matrix(d.r.rows, rank) // the rows below those of W stay 0
	for i := range least {
		copy(f.q.row(i), e.w.row(i))
	}
	d.backward(f.q, least)
	f.kernelOfV(a, d, e)
	f.fit(a, y)
	return f, true
}

// kernelOfV gives K = P·V₁·diag(1/s) and the null space: what is orthogonal to
// V₁, in the unknowns' order.
func (f *factored) kernelOfV(a *arena, d qr, e singular) {
	n := d.r.cols
	all := a.matrix(n, n)
	rest := factorQR(a, a.clone(e.v.columns(0, f.rank)), false)
	rest.orthonormal(all, f.rank)
	for j, pivot := range d.pivots {
		to := f.free.row(pivot)
		for i := range f.rank {
			to[i] = e.v.row(j)[i] / e.s[i]
		}
		copy(to[f.rank+1:], all.row(j)[f.rank:])
	}
}

// fit sets x = K·Qᵀ·y and rest = y − Q·Qᵀ·y.
func (f *factored) fit(a *arena, y []float64) {
	qty := a.floats(f.rank)
	for i, v := range y {
		addTimes(qty, v, f.q.row(i))
	}
	for j := range f.free.rows {
		row := f.free.row(j)
		row[f.rank] = dot(row[:f.rank], qty)
	}
	for i, v := range y {
		f.rest[i] = v - dot(f.q.row(i), qty)
	}
	f.chi = square(f.rest)
}
