package search

import "math"

// pivotTol is the smallest entry to pivot on, feasTol by how much a basic
// variable may pass its bound; the rows are scaled to a largest entry of 1.
const (
	pivotTol = 1e-9
	feasTol  = 1e-9
)

// program is a linear program: minimise guide·x, a·x ≤ b, lo ≤ x ≤ hi, all
// bounds finite, guide ≥ 0. cost is the true objective; guide is cost or,
// where that is mostly zero, cost with something small added.
type program struct {
	a           [][]float64
	b           []float64
	cost, guide []float64
	lo, hi      []float64
	whole       int       // x[:whole] must be integers
	quanta      []float64 // of mass, in one unit of each of them; else 1
	entries     [][]int   // of each row, the columns that are not 0
	sums        []int     // rows whose slacks must be integers too
}

// tableau is the simplex tableau in condensed form: for basic variable i
//
//	x(basic[i]) = const − Σ t[i][j]·x(outside[j])
//
// Variables 0..n−1 are the program's, n.. the slacks of its rows.
type tableau struct {
	m, n           int
	t              []float64 // m×n
	value          []float64 // of basic variables
	d              []float64 // reduced costs of the others
	basic, outside []int
	where          []int // variable v: column if ≥ 0, else −1−row
	upper          []bool
	lo, hi         []float64
}

// newTableau starts from the basis of slacks, dual feasible as guide ≥ 0.
func newTableau(p *program) *tableau {
	m, n := len(p.b), len(p.guide)
	t := &tableau{
		m: m, n: n, t: make([]float64, 0, m*n), value: make([]float64, m), d: append([]float64(nil), p.guide...),
		basic: make([]int, m), outside: make([]int, n), where: make([]int, n+m), upper: make([]bool, n+m),
		lo: append(append([]float64(nil), p.lo...), make([]float64, m)...),
		hi: append([]float64(nil), p.hi...),
	}
	for j := range n {
		t.outside[j], t.where[j] = j, j
	}
	for i := range m {
		t.basic[i], t.where[n+i] = n+i, -1-i
		t.t = append(t.t, p.a[i]...)
		t.hi = append(t.hi, math.Inf(1))
		t.value[i] = p.b[i]
		for j := range n {
			t.value[i] -= float64(p.a[i][j] * p.lo[j])
		}
	}
	return t
}

// copyFrom makes t equal to o, which is of the same size.
func (t *tableau) copyFrom(o *tableau) {
	copy(t.t, o.t)
	copy(t.value, o.value)
	copy(t.d, o.d)
	copy(t.basic, o.basic)
	copy(t.outside, o.outside)
	copy(t.where, o.where)
	copy(t.upper, o.upper)
	copy(t.lo, o.lo)
	copy(t.hi, o.hi)
}

func (t *tableau) clone() *tableau {
	c := &tableau{
		m: t.m, n: t.n, t: make([]float64, len(t.t)), value: make([]float64, t.m), d: make([]float64, t.n),
		basic: make([]int, t.m), outside: make([]int, t.n), where: make([]int, len(t.where)), upper: make([]bool, len(t.upper)),
		lo: make([]float64, len(t.lo)), hi: make([]float64, len(t.hi)),
	}
	c.copyFrom(t)
	return c
}

// at returns the value of variable v.
func (t *tableau) at(v int) float64 {
	switch {
	case t.where[v] < 0:
		return t.value[-1-t.where[v]]
	case t.upper[v]:
		return t.hi[v]
	}
	return t.lo[v]
}

// bound narrows variable v to lo..hi and keeps the values right.
func (t *tableau) bound(v int, lo, hi float64) {
	before := t.at(v)
	t.lo[v], t.hi[v] = lo, hi
	if j := t.where[v]; j >= 0 {
		t.shift(j, t.at(v)-before)
	}
}

// shift changes the variable outside at j by delta.
func (t *tableau) shift(j int, delta float64) {
	if delta == 0 {
		return
	}
	for i := range t.m {
		t.value[i] -= float64(t.t[i*t.n+j] * delta)
	}
}

// optimise pivots until no basic variable passes its bounds. It returns the
// row that shows the program to be infeasible, or −1; done is false if the
// pivots ran out before.
// It is the dual simplex: the costs are right from the start (guide ≥ 0) and stay
// so, and each pivot brings one variable to the bound that it passed. A node that
// only narrows bounds goes on from its parent's tableau.
func (t *tableau) optimise() (row int, done bool) {
	patience := 4 * (1 + t.m + t.n)
	for pivots := range 5 * patience {
		cautious := pivots > patience // lowest index: cannot cycle
		r := t.leaving(cautious)
		if r < 0 {
			return -1, true
		}
		j := t.entering(r, cautious)
		if j < 0 {
			return r, true
		}
		t.pivot(r, j)
	}
	return -1, false
}

// miss is by how much basic variable i passes its bounds: below 0 or above 0.
func (t *tableau) miss(i int) float64 {
	v, x := t.basic[i], t.value[i]
	switch {
	case x < t.lo[v]-float64(feasTol*(1+math.Abs(t.lo[v]))):
		return x - t.lo[v]
	case x > t.hi[v]+float64(feasTol*(1+math.Abs(t.hi[v]))):
		return x - t.hi[v]
	}
	return 0
}

// leaving chooses the basic variable furthest out of its bounds.
func (t *tableau) leaving(cautious bool) int {
	best, row := 0.0, -1
	for i := range t.m {
		miss := math.Abs(t.miss(i))
		if cautious && miss > 0 {
			if row < 0 || t.basic[i] < t.basic[row] {
				row = i
			}
		} else if miss > best {
			best, row = miss, i
		}
	}
	return row
}

// entering chooses the variable outside that keeps the costs dual feasible and,
// of those, has the largest pivot; −1 if none can help row r. The costs stay dual
// feasible for the least |dⱼ|/|aⱼ|; among equal ones a large pivot loses fewest
// digits.
func (t *tableau) entering(r int, cautious bool) int {
	row := t.t[r*t.n : (r+1)*t.n]
	low := t.miss(r) < 0
	best, ratio := -1, math.Inf(1)
	for j, a := range row {
		v := t.outside[j]
		if math.Abs(a) < pivotTol || t.lo[v] == t.hi[v] || (a < 0) == (t.upper[v] == low) {
			continue
		}
		q := math.Abs(t.d[j]) / math.Abs(a)
		tie := math.Abs(q-ratio) <= float64(1e-12*(1+q))
		switch {
		case tie && cautious && v < t.outside[best],
			tie && !cautious && math.Abs(a) > math.Abs(row[best]),
			!tie && q < ratio:
			best, ratio = j, q
		}
	}
	return best
}

// pivot exchanges basic variable r with the variable outside at j.
func (t *tableau) pivot(r, j int) {
	n := t.n
	row := t.t[r*n : (r+1)*n]
	p, out, in := row[j], t.basic[r], t.outside[j]
	low := t.miss(r) < 0
	target := t.hi[out]
	if low {
		target = t.lo[out]
	}
	// The variable that comes in moves until the one that leaves is at its bound.
	delta := (t.value[r] - target) / p
	entered := t.at(in) + delta
	t.shift(j, delta)
	t.value[r] = entered
	t.eliminate(r, j)
	t.upper[out] = !low
	t.basic[r], t.outside[j] = in, out
	t.where[in], t.where[out] = -1-r, j
}

// eliminate does the arithmetic of the exchange on rows and reduced costs. With p
// the pivot and f another row's entry in its column:
//
//	row/p,  other − f·row/p,  in the pivot's column 1/p and −f/p
func (t *tableau) eliminate(r, j int) {
	n := t.n
	row := t.t[r*n : (r+1)*n]
	inv := 1 / row[j]
	for k := range row {
		row[k] = float64(row[k] * inv)
	}
	row[j] = inv
	for i := range t.m {
		other := t.t[i*n : (i+1)*n]
		if f := other[j]; i != r && f != 0 {
			subtract(other, row, f)
			other[j] = float64(-f * inv)
		}
	}
	f := t.d[j]
	subtract(t.d, row, f)
	t.d[j] = float64(-f * inv)
}

// subtract takes f times row from to. The conversion keeps every platform
// from fusing the two operations, so that all compute the same.
func subtract(to, row []float64, f float64) {
	row = row[:len(to)]
	for k, v := range row {
		to[k] -= float64(f * v)
	}
}

// prices returns the multipliers of the rows.
// The reduced cost of a slack outside the basis is that of its row; a row whose
// slack is basic does not bind and has 0.
func (t *tableau) prices() []float64 {
	y := make([]float64, t.m)
	for j, v := range t.outside {
		if v >= t.n {
			y[v-t.n] = t.d[j]
		}
	}
	return y
}

// ray returns the multipliers under which row r cannot be met.
func (t *tableau) ray(r int) []float64 {
	y := t.rowWeights(r)
	if v := t.basic[r]; v >= t.n {
		y[v-t.n] = 1
	}
	if t.miss(r) > 0 {
		for i := range y {
			y[i] = -y[i]
		}
	}
	return y
}

// rowWeights returns with what weights row i of the tableau mixes the rows of
// the program, without the one whose slack is basic there.
func (t *tableau) rowWeights(i int) []float64 {
	w := make([]float64, t.m)
	for j, v := range t.outside {
		if v >= t.n {
			w[v-t.n] = t.t[i*t.n+j]
		}
	}
	return w
}
