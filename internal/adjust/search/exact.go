package search

import (
	"math"
	"math/big"
)

// exactRow is a row in integers. A float64 is an integer times a power of
// two; with the smallest power of the row taken out, coefficients and limit
// are integers without any rounding, and masses are grams.
type exactRow struct {
	coef  []*big.Int // one per column, nil for 0: per gram
	limit *big.Int   // thousandfold, because coefficients are per kilogram
}

// allowance is by how much a row of this limit may be exceeded.
func allowance(limit float64) float64 { return float64(tolerance * math.Max(1, math.Abs(limit))) }

// newExactRow brings a row to integers; with low its smallest exponent
//
//	Σ coef/2^low·grams ≤ 1000·(limit + allowance)/2^low
func newExactRow(coef []float64, limit float64) exactRow {
	more := allowance(limit)
	low := lowest(append([]float64{limit, more}, coef...))
	row := exactRow{coef: make([]*big.Int, len(coef)), limit: shifted(limit, low)}
	row.limit.Add(row.limit, shifted(more, low))
	row.limit.Mul(row.limit, big.NewInt(1000))
	for j, c := range coef {
		if c != 0 {
			row.coef[j] = shifted(c, low)
		}
	}
	return row
}

// holds reports whether Σ coef·grams ≤ limit, exactly.
func (r exactRow) holds(grams []int64) bool {
	var sum, term big.Int
	for j, g := range grams {
		if g != 0 && r.coef[j] != nil {
			sum.Add(&sum, term.Mul(r.coef[j], term.SetInt64(g)))
		}
	}
	return sum.Cmp(r.limit) <= 0
}

// lowest returns the smallest binary exponent of the values that are not 0,
// each taken as a whole number of 53 bits times a power of two.
func lowest(values []float64) int {
	low := math.MaxInt
	for _, v := range values {
		if v != 0 {
			_, e := math.Frexp(v)
			low = min(low, e-53)
		}
	}
	return low
}

// shifted returns v/2^low, an integer.
func shifted(v float64, low int) *big.Int {
	if v == 0 {
		return new(big.Int)
	}
	f, e := math.Frexp(v)
	n := big.NewInt(int64(math.Ldexp(f, 53)))
	return n.Lsh(n, uint(e-53-low))
}
