package search

import "math"

// sweeps is how often the rows are gone through for what one narrowed
// variable narrows in turn.
const sweeps = 4

// propagate narrows integer variables to what each row by itself leaves them,
// given the bounds of the others: of an item heavier than all that may still
// move the program would move a fraction. It reports whether every row can
// still be met.
func (p *program) propagate(t *tableau) bool {
	for range sweeps {
		changed := false
		for i := range p.a {
			s := t.n + i
			c, ok := p.narrowBy(t, i, 1, p.b[i]-t.lo[s])
			// A slack with an upper bound makes the row hold from the other side
			// too.
			if ok && !math.IsInf(t.hi[s], 1) {
				var more bool
				more, ok = p.narrowBy(t, i, -1, t.hi[s]-p.b[i])
				c = c || more
			}
			if !ok {
				return false
			}
			changed = changed || c
		}
		if !changed {
			return true
		}
	}
	return true
}

// narrowBy uses sign·row·x ≤ limit for row i.
// What the others need at the least leaves each variable
//
//	aⱼ·xⱼ ≤ limit − Σ min aₖ·xₖ over k ≠ j
//
// room is what remains with all of them at their cheapest end, so that xⱼ may go
// ⌊room/|aⱼ|⌋ steps from its own. Below 0 the row cannot be met.
func (p *program) narrowBy(t *tableau, i int, sign, limit float64) (changed, ok bool) {
	row, room, size := p.a[i], limit, math.Abs(limit)
	for _, j := range p.entries[i] {
		term := leastOf(float64(sign*row[j]), t.lo[j], t.hi[j])
		room -= term
		size += math.Abs(term)
	}
	room += float64(1e-9 * (1 + size)) // more than the rounding in it
	if room < 0 {
		return false, false
	}
	for _, j := range p.entries[i] {
		lo, hi, a := t.lo[j], t.hi[j], math.Abs(row[j])
		// Variables that need not be whole numbers are left to the simplex.
		if float64(a*(hi-lo)) <= room || j >= p.whole {
			continue
		}
		steps := math.Floor(room / a)
		if float64(sign*row[j]) > 0 {
			t.bound(j, lo, lo+steps)
		} else {
			t.bound(j, hi-steps, hi)
		}
		changed = true
	}
	return changed, true
}

// index lists the entries of each row that are not 0.
func (p *program) index() {
	p.entries = make([][]int, len(p.a))
	for i, row := range p.a {
		for j, a := range row {
			if a != 0 {
				p.entries[i] = append(p.entries[i], j)
			}
		}
	}
}
