package limits

import "reconcile/internal/derive"

// summed is a sum of support loads under a set of ratings, with the set's own loads on
// board, and its number on the grid of kilograms.
//
// A set of planned ratings may bring a mass of its own: springs, a second tank. Its rows
// compare what the vehicle would weigh with them, while the rows in force compare what
// was weighed.
type summed struct {
	quantity derive.Quantity
	value, u float64
	ok       bool
}

// sum adds support loads up, with the loads of a set on board.
func (h *checker) sum(set string, parts []derive.Part) summed {
	q := h.s.SumWith(set, parts...)
	v, u, ok := q.Number()
	return summed{q, v, u, ok}
}
