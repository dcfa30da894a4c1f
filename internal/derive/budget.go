package derive

import (
	"math"
	"slices"

	"reconcile/internal/portable"
)

// contribution is what one cause adds to a quantity's standard uncertainty, in kilograms.
// It says where better readings, or a better known mass or length, would narrow the result.
type contribution struct {
	*cause
	U float64
}

// cause is what makes a quantity uncertain: a reading by its place in tickets.csv, all else
// by its name.
type cause struct {
	Kind   kind
	Index  int    // of the reading in Job.Readings
	Line   int    // of the reading
	Column string // of the reading; blank for the reading cell
	Name   string // of the load, scale, tie or length
}

// byLength is the cause of what a length's uncertainty adds through the ties.
const byLength kind = "length"

// largestCauses is the number of causes a budget lists: more than five would only say
// that no single one matters.
const largestCauses = 5

// budget returns the largest contributions to u(q), at most five, largest
// first, equal ones in the order of the observations, then the lengths:
//
//	|∂q/∂y_i|·u_i,   u(q)² = Σ (∂q/∂y_i·u_i)²
//
// which holds for independent observations (JCGM 100:2008, 5.1.2). A tie's is
// divided into its own, t, and those of its lengths: u² = t² + (amount·u(ratio))²,
// u(ratio)² being a sum over the lengths. A length that several ties use is one
// cause: its error is the same in all of them.
func (s *Solution) budget(q Quantity) []contribution {
	if !q.Determined {
		return nil
	}
	c := s.contributors()
	clear(c.us) // also of what another solution had there
	add := func(at int, u float64) {
		if c.us[at] != 0 {
			u = portable.Hypot(c.us[at], u)
		}
		c.us[at] = u
	}
	// Observations are independent, so their contributions add in quadrature to u²;
	// the lengths enter through the ties, each once for all ties that use it.
	d := s.sensitivity(q)
	first := len(s.Observations) - len(s.ties)
	for i := range first {
		add(c.of[i], float64(math.Abs(d[i])*s.Observations[i].U))
	}
	for i := range s.ties { // the ties are the last observations
		t, d := &s.ties[i], d[first+i]
		add(c.of[first+i], float64(math.Abs(d)*t.t))
		for _, l := range t.ratio.by() {
			add(len(c.all)-len(lengths)+l.place, math.Abs(float64(float64(d*s.amounts[i])*l.u)))
		}
	}
	if cap(c.listed)-len(c.listed) < largestCauses {
		c.listed = make([]contribution, 0, max(budgetsAtOnce*largestCauses, 2*cap(c.listed)))
	}
	from := len(c.listed)
	c.listed = top(c.listed, c.all, c.us)
	return slices.Clip(c.listed[from:])
}

// budgetsAtOnce is the number of budgets that are listed in one piece of memory.
const budgetsAtOnce = 16

// causes are all that can contribute to an uncertainty: the observations, then the
// lengths. They are named once; a budget is their contributions to one quantity.
type causes struct {
	all []cause
	of  []int     // the place of each observation among them
	us  []float64 // the contributions to a quantity, in kilograms

	listed []contribution // the budgets so far, one after the other
}

// emptied is the same memory without any cause in it.
func (c causes) emptied() causes {
	return causes{all: c.all[:0], of: c.of[:0], us: c.us[:0], listed: c.listed[:0]}
}

// contributors are the causes, named once.
func (s *Solution) contributors() *causes {
	c := &s.causes
	if len(c.all) > 0 { // the lengths are always among them
		return c
	}
	n := len(s.Observations) + len(lengths)
	c.all, c.of = slices.Grow(c.all, n), slices.Grow(c.of, n)
	for i := range s.Observations {
		c.add(s.causeOf(i))
	}
	for _, name := range lengths {
		c.all = append(c.all, cause{Kind: byLength, Name: name})
	}
	c.us = slices.Grow(c.us, n)[:len(c.all)]
	return c
}

// causeOf names an observation as a cause. The zero of a scale is the scale's, and
// that a hinged drawbar passes no load on counts as a tie.
func (s *Solution) causeOf(i int) cause {
	o := &s.Observations[i]
	c := cause{Kind: o.Kind, Index: o.Index, Name: o.Name}
	switch o.Kind {
	case byReading:
		r := &s.Job.Readings[o.Index]
		c.Line, c.Column = r.Line, r.Column
	case byZero:
		c.Kind = byScale
	case byDrawbar:
		c.Kind = byTie
	}
	return c
}

// add makes one cause of what has one name: the shares, along and across, of
// a load, and the gain and zero of a scale. A reader can do something about a load
// or a scale, not about one of its unknowns.
func (c *causes) add(o cause) {
	at := -1
	if o.Kind == byShare || o.Kind == byScale {
		at = slices.IndexFunc(c.all, func(a cause) bool { return a.Kind == o.Kind && a.Name == o.Name })
	}
	if at < 0 {
		at = len(c.all)
		c.all = append(c.all, o)
	}
	c.of = append(c.of, at)
}

// top appends the largest of the causes to a list, by their contributions, which are
// rounded first: what is printed as equal is then equal, and keeps its order. What
// rounds to nothing is no cause.
func top(to []contribution, all []cause, us []float64) []contribution {
	var at [largestCauses]int // their places, the largest first
	var most [largestCauses]float64
	n, least := 0, 0.0
	for i, u := range us {
		// What is no more than the fifth is no more than it when it is rounded.
		if !(u > least) {
			continue
		}
		if u = portable.Kg(u); !(u > least) {
			continue
		}
		n = min(n+1, largestCauses)
		k := n - 1
		for ; k > 0 && most[k-1] < u; k-- { // of equal ones the first stays before the others
			at[k], most[k] = at[k-1], most[k-1]
		}
		at[k], most[k] = i, u
		if n == largestCauses {
			least = most[n-1]
		}
	}
	for k := range n {
		to = append(to, contribution{&all[at[k]], most[k]})
	}
	return to
}
