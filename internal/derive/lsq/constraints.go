package lsq

import "math"

const (
	// redundantLimit: a constraint, of length 1, counts as a combination of
	// the others when what it has of its own is shorter than this. Rounding
	// leaves about 1e-15.
	redundantLimit = 1e-11
	// consistentLimit: a combination of the others must have the value they
	// give it to within this fraction.
	consistentLimit = 1e-9
)

// constraints is C·x = d after elimination. Scaled unknowns z = scale·x that
// satisfy it are z = H·(t, q) with H orthogonal, t fixed and q free.
type constraints struct {
	scale   []float64 // of the columns
	kept    int       // number of independent constraints, length of t
	dropped []int     // redundant rows of C
	t       []float64
	h       qr // its first kept reflectors are H
}

// columnScales gives every unknown the length of its column in the stacked
// system (constraints, then whitened observations). Constraints have no
// uncertainty to be measured by, so their rows are taken at length 1, all
// together as large as the observations of the same columns: neither the unit
// of u nor that of a constraint then has a say. An unknown in no equation gets
// a middling length: whatever it is divided by comes back when the null space
// is taken to the unknowns' units, and rounding with it.
func columnScales(a *arena, aw matrix, c [][]float64) []float64 {
	obs, con := a.take(aw.cols), a.floats(aw.cols)
	columnSquares(obs, aw)
	for _, row := range c {
		if length := norm(row); length > 0 {
			addSquares(con, row, 1/length)
		}
	}
	ratio := balance(obs, con)
	for j := range obs {
		obs[j] = math.Sqrt(obs[j] + float64(ratio*con[j]))
	}
	middling := meanOfPositive(obs)
	if middling == 0 {
		middling = 1 // no equation has a coefficient
	}
	for j := range obs {
		if obs[j] == 0 {
			obs[j] = middling
		}
	}
	return obs
}

// balance is the factor that makes the squares con as large as obs in the
// columns that have both; 1 where none has, for then they never meet.
func balance(obs, con []float64) float64 {
	var o, k float64
	for j := range obs {
		if obs[j] > 0 && con[j] > 0 {
			o, k = o+obs[j], k+con[j]
		}
	}
	if k == 0 {
		return 1
	}
	return o / k
}

// meanOfPositive is the mean of the values above 0; 0 where there is none.
func meanOfPositive(values []float64) float64 {
	var sum, n float64
	for _, v := range values {
		if v > 0 {
			sum, n = sum+v, n+1
		}
	}
	if n == 0 {
		return 0
	}
	return sum / n
}

// addSquares adds the squares of factor × row, element by element: the squared lengths
// of columns, gone through row by row.
func addSquares(dst, row []float64, factor float64) {
	for j, v := range row {
		v = float64(v * factor)
		dst[j] += float64(v * v)
	}
}

// eliminate factorises the constraints in scaled unknowns, C·S⁻¹ = Rᵀ·Hᵀ, by QR with
// column pivoting of the transpose: the first reflectors span what the constraints fix,
// the rest of H all that satisfies them. It fails with errInconsistent.
func eliminate(a *arena, c [][]float64, d, scale []float64) (constraints, error) {
	e := constraints{scale: scale}
	if len(c) == 0 {
		return e, nil
	}
	f, right, length, err := scaledTranspose(a, c, d, scale)
	if err != nil {
		return e, err
	}
	e.h = factorQR(a, f, true)
	for e.kept < len(e.h.tau) && e.h.pivot(e.kept) > redundantLimit {
		e.kept++
	}
	return e, e.fix(a, right, length)
}

// scaledTranspose is Cᵀ in scaled unknowns, its columns of length 1, with the
// right-hand sides to match. A constraint without coefficients stays a zero
// column: dropped when it says 0 = 0, refused otherwise.
func scaledTranspose(a *arena, c [][]float64, d, scale []float64) (f matrix, right, length []float64, err error) {
	f = a.matrix(len(scale), len(c))
	right, length = a.floats(len(c)), a.floats(len(c))
	row := a.floats(len(scale))
	for k := range c {
		for j, s := range scale {
			row[j] = c[k][j] / s
		}
		length[k] = norm(row)
		if length[k] == 0 {
			if d[k] != 0 {
				return f, nil, nil, inconsistent(k, d[k])
			}
			length[k] = 1
		}
		right[k] = d[k] / length[k]
		for j, v := range row {
			f.row(j)[k] = v / length[k]
		}
	}
	return f, right, length, nil
}

// fix solves R₁ᵀ·t = d for the constraints kept and compares the others with
// what it gives.
func (e *constraints) fix(a *arena, right, length []float64) error {
	r, pivots := e.h.r, e.h.pivots
	e.t = a.floats(e.kept)
	for k := range e.t {
		e.t[k] = right[pivots[k]]
	}
	solveLower(r, e.t)
	size := norm(e.t)
	for k := e.kept; k < len(pivots); k++ {
		gap := right[pivots[k]]
		limit := float64(consistentLimit * (math.Abs(gap) + size))
		for i, t := range e.t {
			gap -= float64(r.row(i)[k] * t)
		}
		if math.Abs(gap) > limit {
			return inconsistent(pivots[k], float64(gap*length[pivots[k]]))
		}
		e.dropped = append(e.dropped, pivots[k])
	}
	return nil
}

// restrict turns whitened observations [A | y] into those of the free unknowns
// q: it returns B = A·S⁻¹·H₂ and b = y − A·S⁻¹·H₁·t, b in the place of yw. It
// writes over aw, of which B is a part.
func (e *constraints) restrict(aw matrix, yw []float64) (b matrix) {
	for i := range aw.rows {
		row := aw.row(i)[:len(e.scale)]
		for j, s := range e.scale {
			row[j] /= s
		}
	}
	for k := range e.kept {
		reflectColumns(aw, e.h.v.row(k), k, e.h.tau[k])
	}
	for i := range yw {
		yw[i] -= dot(e.t, aw.row(i))
	}
	return aw.columns(e.kept, aw.cols)
}

// lift takes columns (t or 0; q) of free unknowns back to the unknowns in
// their own units: x = S⁻¹·H·column. It works in place.
func (e *constraints) lift(m matrix) {
	if e.kept > 0 {
		e.h.backward(m, e.kept)
	}
	for j, s := range e.scale {
		row := m.row(j)
		for k := range row {
			row[k] /= s
		}
	}
}
