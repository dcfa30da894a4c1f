package lsq

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// newMatrix is a matrix of zeros; one without rows or columns keeps a stride
// that the library accepts.
func newMatrix(rows, cols int) blas64.General {
	return blas64.General{Rows: rows, Cols: cols, Stride: max(1, cols), Data: make([]float64, rows*max(1, cols))}
}

// line is row i of m, not its padding.
func line(m blas64.General, i int) []float64 { return m.Data[i*m.Stride : i*m.Stride+m.Cols] }

// cloneMatrix copies a matrix that owns all its storage.
func cloneMatrix(m blas64.General) blas64.General {
	m.Data = append([]float64(nil), m.Data...)
	return m
}

// upper views a square matrix as its upper triangle.
func upper(m blas64.General) blas64.Triangular {
	return blas64.Triangular{N: m.Rows, Stride: m.Stride, Data: m.Data, Uplo: blas.Upper, Diag: blas.NonUnit}
}

// pivotedQR factorises m·P = Q·R in place: R above, reflectors below the
// diagonal. Column k of m·P was column pivots[k] of m.
func pivotedQR(m blas64.General) (pivots []int, tau []float64) {
	pivots = make([]int, m.Cols)
	for j := range pivots {
		pivots[j] = -1
	}
	tau = make([]float64, min(m.Rows, m.Cols))
	if len(tau) == 0 {
		for j := range pivots {
			pivots[j] = j
		}
		return pivots, tau
	}
	work := make([]float64, 3*m.Cols+1)
	lapack64.Geqp3(m, pivots, tau, work, len(work))
	return pivots, tau
}

// orthonormalise replaces the independent columns of m, at least one, by an
// orthonormal basis of what they span.
func orthonormalise(m blas64.General) {
	tau := make([]float64, m.Cols)
	work := make([]float64, max(m.Rows, m.Cols))
	lapack64.Geqrf(m, tau, work, len(work))
	lapack64.Orgqr(m, tau, work, len(work))
}

// frobenius is the norm of the upper triangle of m, where R stands.
func frobenius(m blas64.General) float64 {
	var sum float64
	for i := range min(m.Rows, m.Cols) {
		sum += square(m.Data[i*m.Stride+i : i*m.Stride+m.Cols])
	}
	return math.Sqrt(sum)
}

func dot(a, b []float64) float64 {
	var sum float64
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

func square(a []float64) float64 { return dot(a, a) }

func norm(a []float64) float64 { return math.Sqrt(square(a)) }

func finite(values ...float64) bool {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}
