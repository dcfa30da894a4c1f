package lsq

import "math"

// invertUpper makes the upper triangle of the square matrix m the inverse of the
// leading one of U, from the last row up, so that the rows below are there already:
//
//	row i of U⁻¹ = (eᵢ − Σ over l > i of u_il·row l of U⁻¹) / u_ii
//
// No diagonal element may be zero: R of a system of full rank has none.
func invertUpper(m, u matrix) {
	for i := m.rows - 1; i >= 0; i-- {
		row, factors := m.row(i), u.row(i)
		diagonal := 1 / factors[i]
		clear(row[i+1:])
		for l := i + 1; l < len(row); l++ {
			if f := factors[l]; f != 0 {
				addTimes(row[l:], -f, m.row(l)[l:])
			}
		}
		for j := i + 1; j < len(row); j++ {
			row[j] = float64(row[j] * diagonal)
		}
		row[i] = diagonal
	}
}

// solveUpper replaces b by the solution of U·x = b, U the leading triangle, by
// substituting back from the last unknown.
func solveUpper(u matrix, b []float64) {
	for i := len(b) - 1; i >= 0; i-- {
		row := u.row(i)
		b[i] = (b[i] - dot(b[i+1:], row[i+1:])) / row[i]
	}
}

// solveLower replaces b by the solution of Uᵀ·x = b, U the leading triangle. The
// columns of Uᵀ are the rows of U, so each unknown found is taken off all that
// follow: the memory is then gone through row by row.
func solveLower(u matrix, b []float64) {
	for i := range b {
		row := u.row(i)
		b[i] /= row[i]
		addTimes(b[i+1:], -b[i], row[i+1:len(b)])
	}
}

// cholesky returns the upper U with S = Uᵀ·U of a symmetric matrix, of which
// it reads the upper triangle; ok is false where S is not positive definite. Only
// the correlations of observations are factored so, never normal equations: a
// factor of these would have half the digits of the readings.
func cholesky(a *arena, s matrix) (u matrix, ok bool) {
	u = a.matrix(s.rows, s.rows)
	for i := range s.rows {
		row := u.row(i)
		copy(row[i:], s.row(i)[i:])
		for k := range i {
			above := u.row(k)
			addTimes(row[i:], -above[i], above[i:])
		}
		if !(row[i] > 0) { // also where it is no number
			return u, false
		}
		root := math.Sqrt(row[i])
		for j := i; j < len(row); j++ {
			row[j] /= root
		}
	}
	return u, true
}

// solveRows replaces the rows of m by those of U⁻ᵀ·m, all columns at once, from the
// first row down: Uᵀ is lower triangular.
func solveRows(u, m matrix) {
	for i := range m.rows {
		row := m.row(i)
		for k := range i {
			addTimes(row, -u.row(k)[i], m.row(k))
		}
		for j := range row {
			row[j] /= u.row(i)[i]
		}
	}
}

// solveRowsBack replaces the rows of m by those of U⁻¹·m, from the last row up.
func solveRowsBack(u, m matrix) {
	for i := m.rows - 1; i >= 0; i-- {
		row, factors := m.row(i), u.row(i)
		for k := i + 1; k < m.rows; k++ {
			addTimes(row, -factors[k], m.row(k))
		}
		for j := range row {
			row[j] /= factors[i]
		}
	}
}

// timesTransposed replaces the rows of m by those of Uᵀ·m. Row i of the product
// needs rows 0 to i of m, so the last row is made first.
func timesTransposed(u, m matrix) {
	for i := m.rows - 1; i >= 0; i-- {
		row := m.row(i)
		for j := range row {
			row[j] = float64(row[j] * u.row(i)[i])
		}
		for k := range i {
			addTimes(row, u.row(k)[i], m.row(k))
		}
	}
}
