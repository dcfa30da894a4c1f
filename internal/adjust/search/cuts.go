package search

import (
	"math"
	"slices"
)

// How many rounds of cuts are added before branching, how many of them may
// pass without a better bound, how many cuts there are in a round, and how
// deep into the solution a cut must go to be worth its row.
const (
	cutRounds  = 12
	cutStalls  = 3
	cutsARound = 20
	cutDepth   = 1e-3
)

// strengthen adds rows to p that hold for every plan but not for the
// solution of the linear program (mixed-integer rounding of the rows of its
// tableau), while they raise the bound, and drops those that do not bind.
func (p *program) strengthen() {
	defer p.index()
	given, last, stalls := len(p.b), math.Inf(-1), 0
	for range cutRounds {
		t := newTableau(p)
		if r, done := t.optimise(); r >= 0 || !done {
			return
		}
		bound, _ := p.least(p.guide, t.prices(), t.lo, t.hi)
		if bound <= last+float64(1e-4*math.Abs(last)) {
			if stalls++; stalls > cutStalls {
				return
			}
		}
		last = math.Max(last, bound)
		cuts := p.separate(t) // of the rows as they are in t
		p.drop(t, given)
		p.append(cuts)
	}
}

// drop takes out the rows from number given on whose slack is basic.
func (p *program) drop(t *tableau, given int) {
	keep := given
	for i := given; i < t.m; i++ {
		if t.where[t.n+i] >= 0 {
			p.a[keep], p.b[keep] = p.a[i], p.b[i]
			keep++
		}
	}
	p.a, p.b = p.a[:keep], p.b[:keep]
}

func (p *program) append(cuts []cut) {
	for _, c := range cuts {
		p.a, p.b = append(p.a, c.row), append(p.b, c.limit)
	}
}

// cut is a row that every plan satisfies; depth is how far the solution of
// the linear program is from doing so.
type cut struct {
	row          []float64
	limit, depth float64
}

// separate makes cuts of several mixtures of rows that the solution of t
// meets exactly, and returns the deepest.
func (p *program) separate(t *tableau) []cut {
	var cuts []cut
	for _, weight := range p.mixtures(t) {
		if c, ok := p.round(t, weight); ok {
			cuts = append(cuts, c)
		}
	}
	slices.SortStableFunc(cuts, func(a, b cut) int {
		switch {
		case a.depth > b.depth:
			return -1
		case a.depth < b.depth:
			return 1
		}
		return 0
	})
	return cuts[:min(len(cuts), cutsARound)]
}

// mixtures returns weights of rows worth rounding, for each variable that
// ought to be whole and is not: the row of the tableau, and each row that
// binds it, scaled to count in units of the variable and in quanta of mass.
func (p *program) mixtures(t *tableau) [][]float64 {
	var all [][]float64
	for i, v := range t.basic {
		if !splits(t.value[i]) || v >= p.whole && (v < t.n || !p.wholeSlack(v-t.n)) {
			continue
		}
		row := t.rowWeights(i)
		if v >= t.n {
			row[v-t.n] = 1
			all = append(all, row, scaled(row, -1))
			continue
		}
		for _, scale := range p.scales(v) {
			all = append(all, scaled(row, scale), scaled(row, -scale))
		}
		for k, a := range p.a {
			if a[v] != 0 && t.where[t.n+k] >= 0 {
				one := make([]float64, t.m)
				one[k] = p.quanta[v] / math.Abs(a[v])
				all = append(all, one)
			}
		}
	}
	return all
}

// wholeSlack reports whether the slack of a row counts whole quanta of mass, as
// those of addSums do: they follow each other.
func (p *program) wholeSlack(row int) bool {
	return len(p.sums) > 0 && row >= p.sums[0] && row <= p.sums[len(p.sums)-1]
}

// scales are the units to count a variable in: its own, and quanta of mass where
// they differ. Rounding finds other cuts in each.
func (p *program) scales(v int) []float64 {
	if p.quanta[v] == 1 {
		return []float64{1}
	}
	return []float64{1, p.quanta[v]}
}

func scaled(v []float64, by float64) []float64 {
	w := make([]float64, len(v))
	for i := range v {
		w[i] = float64(v[i] * by)
	}
	return w
}

// mixture is a sum of the program's rows, with weights of either sign:
//
//	Σ factor·x + Σ weight·slack ≤ limit,   slack ≥ 0
//
// where the variables flipped count down from their upper bound, the others
// up from their lower one.
type mixture struct {
	*program
	weight, factor []float64
	limit          float64
	flipped        []bool
}

// round makes a cut of a mixture: for x ≥ 0 whole and z ≥ 0,
//
//	Σ α·x + Σ γ·z ≤ β   implies   Σ (⌊α⌋ + (frac α − f)⁺/(1 − f))·x + Σ γ⁻/(1 − f)·z ≤ ⌊β⌋,   f = frac β
//
// (mixed-integer rounding; from memory, the textbook form). The rows are
// added up again from the program, so what the weights have of rounding errors
// makes another cut, not a wrong one.
func (p *program) round(t *tableau, weight []float64) (cut, bool) {
	m := p.mix(t, weight)
	m.fromBounds()
	if !splits(m.limit) {
		return cut{}, false
	}
	c := m.rounded()
	c.trim(p)
	return c, c.measure(t)
}

// mix adds up the rows with the weights.
func (p *program) mix(t *tableau, weight []float64) *mixture {
	m := &mixture{program: p, weight: weight, factor: make([]float64, t.n), flipped: t.upper[:t.n]}
	for i, y := range weight {
		if y == 0 {
			continue
		}
		m.limit += float64(y * p.b[i])
		for k, a := range p.a[i] {
			m.factor[k] += float64(y * a)
		}
	}
	return m
}

// fromBounds counts each variable from its bound, and makes factors that are
// nearly whole so, giving the limit what that could take.
// A variable is lo + x′ or, if flipped, hi − x′ with x′ ≥ 0, as the formula
// needs.
func (m *mixture) fromBounds() {
	for j, f := range m.factor {
		from, span := m.lo[j], m.hi[j]-m.lo[j]
		if m.flipped[j] {
			from = m.hi[j]
		}
		m.limit -= float64(f * from)
		if m.flipped[j] {
			f = -f
		}
		if near := math.Round(f); j < m.whole && math.Abs(f-near) < 1e-9 {
			m.limit += math.Max(0, float64((near-f)*span))
			f = near
		}
		m.factor[j] = f
	}
}

// rounded applies the formula and writes the slacks and the variables counted
// from their bounds out again.
func (m *mixture) rounded() cut {
	c := cut{row: make([]float64, len(m.factor)), limit: math.Floor(m.limit)}
	rest := m.limit - c.limit
	for j, f := range m.factor {
		g := math.Min(0, f/(1-rest))
		if j < m.whole {
			g = math.Floor(f) + math.Max(0, f-math.Floor(f)-rest)/(1-rest)
		}
		from := m.lo[j]
		if m.flipped[j] {
			g, from = -g, m.hi[j]
		}
		c.row[j] = g
		c.limit += float64(g * from)
	}
	for i, w := range m.weight {
		g := math.Min(0, w) / (1 - rest)
		if m.wholeSlack(i) {
			g = math.Floor(w) + math.Max(0, w-math.Floor(w)-rest)/(1-rest)
		}
		if g == 0 {
			continue
		}
		c.limit -= float64(g * m.b[i])
		for j, a := range m.a[i] {
			c.row[j] -= float64(g * a)
		}
	}
	return c
}

// trim scales the cut to a largest entry of 1, takes out entries too small to
// pivot on, and slackens it by more than the rounding in it.
func (c *cut) trim(p *program) {
	largest, size := 0.0, math.Abs(c.limit)
	for _, g := range c.row {
		largest = math.Max(largest, math.Abs(g))
	}
	if largest == 0 {
		return
	}
	for j, g := range c.row {
		size += math.Abs(float64(g * p.hi[j]))
		// What is taken out gives the limit its least value, so that the cut only
		// becomes weaker.
		if math.Abs(g) < float64(1e-7*largest) {
			c.limit -= math.Min(float64(g*p.lo[j]), float64(g*p.hi[j]))
			c.row[j] = 0
		}
	}
	c.limit = (c.limit + float64(1e-9*size)) / largest
	for j := range c.row {
		c.row[j] /= largest
	}
}

// measure finds how deep the cut is, and whether that is worth a row.
func (c *cut) measure(t *tableau) bool {
	over, square := -c.limit, 0.0
	for j, g := range c.row {
		over += float64(g * t.at(j))
		square += float64(g * g)
	}
	if square == 0 {
		return false
	}
	c.depth = over / math.Sqrt(square)
	return c.depth > cutDepth
}

// splits reports whether v is far enough from a whole number to round by.
func splits(v float64) bool {
	f := v - math.Floor(v)
	return f > 0.02 && f < 0.98
}
