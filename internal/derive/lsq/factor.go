package lsq

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// negligible is the size, relative to the first pivot, below which a pivot of
// the QR factorisation is rounding and nothing else.
const negligible = 1e-13

// factored is min ‖b − B·q‖ solved: the fit is Q·Qᵀ·b, a minimiser is q, any
// determined functional of it is g·K·Qᵀ·b, and q + null·anything fits as well.
type factored struct {
	rank      int
	q         blas64.General // rows × rank, orthonormal columns
	k         blas64.General // unknowns × rank
	null      blas64.General // unknowns × (unknowns − rank)
	x         []float64      // minimiser
	rest      []float64      // b − Q·Qᵀ·b
	chi       float64        // ‖rest‖²
	condition float64        // bound of the largest over the smallest singular value kept
}

// factorise decides the rank by QR with column pivoting where that is certain,
// else by singular values. It leaves b alone.
//
// With R₁₁ the leading triangle and ‖·‖ Frobenius norms, the QR is certain
// when the rest of R is rounding and 1/‖R₁₁⁻¹‖, a lower bound of the smallest
// singular value, is at least limit·‖R‖, an upper bound of what counts as zero.
// In between the pivots of R can be far from the singular values.
//
// Sizes are held against the largest of B, and against 1, the length of the
// columns before constraints were eliminated: where those leave the
// observations nothing to say, all of B is rounding.
func factorise(b blas64.General, y []float64, limit float64) (*factored, bool) {
	r := cloneMatrix(b)
	pivots, tau := pivotedQR(r)
	rank := 0
	for rank < len(tau) && pivot(r, rank) > min(negligible, limit/100)*max(1, pivot(r, 0)) {
		rank++
	}
	inverse := newMatrix(rank, rank)
	for i := range rank {
		copy(inverse.Data[i*rank+i:(i+1)*rank], r.Data[i*r.Stride+i:])
	}
	if rank > 0 {
		lapack64.Trtri(upper(inverse))
	}
	condition := frobenius(r) * norm(inverse.Data)
	if rank > 0 && !(max(1, frobenius(r))*norm(inverse.Data)*limit <= 1) {
		return bySingularValues(b, y, limit)
	}
	f := &factored{rank: rank, condition: condition}
	f.k, f.null = kernelOfQR(r, inverse, pivots)
	f.project(r, tau[:rank], y)
	f.x = make([]float64, b.Cols)
	f.minimise(r, pivots, f.rest)
	f.finish(r, tau[:rank])
	return f, true
}

// pivot is the size of diagonal element i of R.
func pivot(r blas64.General, i int) float64 { return math.Abs(r.Data[i*r.Stride+i]) }

// kernelOfQR gives K = P·(R₁₁⁻¹; 0) and the null space P·(−R₁₁⁻¹·R₁₂; I).
func kernelOfQR(r, inverse blas64.General, pivots []int) (k, null blas64.General) {
	rank, n := inverse.Rows, r.Cols
	k, null = newMatrix(n, rank), newMatrix(n, n-rank)
	for i := range rank {
		to := pivots[i]
		copy(line(k, to), line(inverse, i))
		for j := range n - rank {
			var sum float64
			for l := i; l < rank; l++ {
				sum -= inverse.Data[i*rank+l] * r.Data[l*r.Stride+rank+j]
			}
			null.Data[to*null.Stride+j] = sum
		}
	}
	for j := range n - rank {
		null.Data[pivots[rank+j]*null.Stride+j] = 1
	}
	return k, null
}

// project sets rest to Qᵀ·y, all of it, with the reflectors of the rank.
func (f *factored) project(r blas64.General, tau, y []float64) {
	f.rest = append([]float64(nil), y...)
	f.reflect(blas.Trans, r, tau)
}

func (f *factored) reflect(trans blas.Transpose, r blas64.General, tau []float64) {
	if len(tau) == 0 {
		return
	}
	a := r
	a.Cols = len(tau)
	c := blas64.General{Rows: len(f.rest), Cols: 1, Stride: 1, Data: f.rest}
	work := []float64{0}
	lapack64.Ormqr(blas.Left, trans, a, tau, c, work, 1)
}

// minimise solves R₁₁·q = (Qᵀy)₁ by substitution, which loses fewer digits
// than multiplying by the inverse; unknowns beyond the rank stay 0.
func (f *factored) minimise(r blas64.General, pivots []int, qty []float64) {
	if f.rank == 0 {
		return
	}
	head := append([]float64(nil), qty[:f.rank]...)
	t := blas64.Triangular{N: f.rank, Stride: r.Stride, Data: r.Data, Uplo: blas.Upper, Diag: blas.NonUnit}
	blas64.Trsv(blas.NoTrans, t, blas64.Vector{N: f.rank, Data: head, Inc: 1})
	for i, v := range head {
		f.x[pivots[i]] = v
	}
}

// finish keeps of Qᵀ·y what the fit leaves over, and forms Q.
func (f *factored) finish(r blas64.General, tau []float64) {
	clear(f.rest[:f.rank])
	f.chi = square(f.rest)
	f.reflect(blas.NoTrans, r, tau)
	f.q = newMatrix(r.Rows, f.rank)
	for i := range r.Rows {
		copy(line(f.q, i), r.Data[i*r.Stride:])
	}
	if f.rank > 0 {
		work := make([]float64, f.rank)
		lapack64.Orgqr(f.q, tau, work, len(work))
	}
}

// bySingularValues solves with B = U·diag(s)·Vᵀ, singular values below
// limit × the largest taken as zero. It reports false if the iteration does
// not end, which finite numbers have never been seen to do.
func bySingularValues(b blas64.General, y []float64, limit float64) (*factored, bool) {
	least := min(b.Rows, b.Cols)
	u, vt, s := newMatrix(b.Rows, least), newMatrix(b.Cols, b.Cols), make([]float64, least)
	work := []float64{0}
	lapack64.Gesvd(lapack.SVDStore, lapack.SVDAll, cloneMatrix(b), u, vt, s, work, -1)
	work = make([]float64, int(work[0]))
	if !lapack64.Gesvd(lapack.SVDStore, lapack.SVDAll, cloneMatrix(b), u, vt, s, work, len(work)) {
		return nil, false
	}
	rank := 0
	for rank < least && s[rank] >= limit*max(1, s[0]) {
		rank++
	}
	f := &factored{rank: rank}
	if rank > 0 {
		f.condition = s[0] / s[rank-1]
	}
	f.q = newMatrix(b.Rows, rank)
	for i := range b.Rows {
		copy(line(f.q, i), u.Data[i*u.Stride:])
	}
	f.kernelOfV(vt, s)
	f.fit(y)
	return f, true
}

// kernelOfV gives K = V₁·diag(1/s) and the null space V₂.
func (f *factored) kernelOfV(vt blas64.General, s []float64) {
	n := vt.Cols
	f.k, f.null = newMatrix(n, f.rank), newMatrix(n, n-f.rank)
	for j := range n {
		for i := range f.rank {
			f.k.Data[j*f.k.Stride+i] = vt.Data[i*vt.Stride+j] / s[i]
		}
		for i := f.rank; i < n; i++ {
			f.null.Data[j*f.null.Stride+i-f.rank] = vt.Data[i*vt.Stride+j]
		}
	}
}

// fit sets x = K·Qᵀ·y and rest = y − Q·Qᵀ·y.
func (f *factored) fit(y []float64) {
	qty := make([]float64, f.rank)
	for i, v := range y {
		for k := range qty {
			qty[k] += f.q.Data[i*f.q.Stride+k] * v
		}
	}
	f.x, f.rest = make([]float64, f.k.Rows), make([]float64, len(y))
	for j := range f.x {
		f.x[j] = dot(line(f.k, j), qty)
	}
	for i, v := range y {
		f.rest[i] = v - dot(line(f.q, i), qty)
	}
	f.chi = square(f.rest)
}
