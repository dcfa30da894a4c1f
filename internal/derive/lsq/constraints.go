package lsq

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

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
	h       blas64.General // reflectors of H, columns × kept
	tau     []float64
}

// columnScales gives every unknown the length of its column in the stacked
// system (constraints, then whitened observations). Constraints have no
// uncertainty to be measured by, so their rows are taken at length 1, all
// together as large as the observations of the same columns: neither the unit
// of u nor that of a constraint then has a say. An unknown in no equation gets
// a middling length: whatever it is divided by comes back when the null space
// is taken to the unknowns' units, and rounding with it.
func columnScales(aw blas64.General, c [][]float64) []float64 {
	obs, con := make([]float64, aw.Cols), make([]float64, aw.Cols)
	for i := range aw.Rows {
		addSquares(obs, line(aw, i), 1)
	}
	for _, row := range c {
		if length := norm(row); length > 0 {
			addSquares(con, row, 1/length)
		}
	}
	ratio := balance(obs, con)
	for j := range obs {
		obs[j] = math.Sqrt(obs[j] + ratio*con[j])
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

func addSquares(dst, row []float64, factor float64) {
	for j, v := range row {
		v *= factor
		dst[j] += v * v
	}
}

// eliminate factorises the constraints in scaled unknowns. It fails with an
// *InconsistentError.
func eliminate(c [][]float64, d, scale []float64) (*constraints, error) {
	e := &constraints{scale: scale}
	if len(c) == 0 {
		return e, nil
	}
	f, right, length, err := scaledTranspose(c, d, scale)
	if err != nil {
		return nil, err
	}
	pivots, tau := pivotedQR(f)
	for e.kept < len(tau) && math.Abs(f.Data[e.kept*f.Stride+e.kept]) > redundantLimit {
		e.kept++
	}
	e.h, e.tau = f, tau[:e.kept]
	e.h.Cols = e.kept
	if err := e.fix(f, pivots, right, length); err != nil {
		return nil, err
	}
	return e, nil
}

// scaledTranspose is Cᵀ in scaled unknowns, its columns of length 1, with the
// right-hand sides to match. A constraint without coefficients stays a zero
// column: dropped when it says 0 = 0, refused otherwise.
func scaledTranspose(c [][]float64, d, scale []float64) (f blas64.General, right, length []float64, err error) {
	f = newMatrix(len(scale), len(c))
	right, length = make([]float64, len(c)), make([]float64, len(c))
	row := make([]float64, len(scale))
	for k := range c {
		for j, s := range scale {
			row[j] = c[k][j] / s
		}
		length[k] = norm(row)
		if length[k] == 0 {
			if d[k] != 0 {
				return f, nil, nil, &InconsistentError{Constraint: k, Gap: d[k]}
			}
			length[k] = 1
		}
		right[k] = d[k] / length[k]
		for j, v := range row {
			f.Data[j*f.Stride+k] = v / length[k]
		}
	}
	return f, right, length, nil
}

// fix solves R₁ᵀ·t = d for the constraints kept and holds the rest against it.
func (e *constraints) fix(f blas64.General, pivots []int, right, length []float64) error {
	e.t = make([]float64, e.kept)
	for k := range e.t {
		e.t[k] = right[pivots[k]]
	}
	if e.kept > 0 {
		r := blas64.Triangular{N: e.kept, Stride: f.Stride, Data: f.Data, Uplo: blas.Upper, Diag: blas.NonUnit}
		blas64.Trsv(blas.Trans, r, blas64.Vector{N: e.kept, Data: e.t, Inc: 1})
	}
	size := norm(e.t)
	for k := e.kept; k < len(pivots); k++ {
		gap := right[pivots[k]]
		limit := consistentLimit * (math.Abs(gap) + size)
		for i, t := range e.t {
			gap -= f.Data[i*f.Stride+k] * t
		}
		if math.Abs(gap) > limit {
			return &InconsistentError{Constraint: pivots[k], Gap: gap * length[pivots[k]]}
		}
		e.dropped = append(e.dropped, pivots[k])
	}
	return nil
}

// restrict turns whitened observations [A | y] into those of the free unknowns
// q: it returns B = A·S⁻¹·H₂ and b = y − A·S⁻¹·H₁·t. It writes over aw.
func (e *constraints) restrict(aw blas64.General, yw []float64) (b blas64.General) {
	for i := range aw.Rows {
		row := line(aw, i)
		for j, s := range e.scale {
			row[j] /= s
		}
	}
	if e.kept > 0 && aw.Rows > 0 {
		work := make([]float64, max(1, aw.Rows))
		lapack64.Ormqr(blas.Right, blas.NoTrans, e.h, e.tau, aw, work, len(work))
	}
	for i := range yw {
		for k, t := range e.t {
			yw[i] -= aw.Data[i*aw.Stride+k] * t
		}
	}
	b = newMatrix(aw.Rows, aw.Cols-e.kept)
	for i := range b.Rows {
		copy(line(b, i), line(aw, i)[e.kept:])
	}
	return b
}

// lift takes columns (t or 0; q) of free unknowns back to the unknowns in
// their own units: x = S⁻¹·H·column. It works in place.
func (e *constraints) lift(m blas64.General) {
	if e.kept > 0 && m.Cols > 0 {
		work := make([]float64, m.Cols)
		lapack64.Ormqr(blas.Left, blas.NoTrans, e.h, e.tau, m, work, len(work))
	}
	for j, s := range e.scale {
		row := line(m, j)
		for k := range row {
			row[k] /= s
		}
	}
}
