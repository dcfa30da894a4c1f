package search

import (
	"fmt"
	"math"
)

// heaviest is the largest total mass taken, in grams: sums of masses then
// stay exact in a float64 and far from the end of an int64.
const heaviest = 1_000_000_000_000

// check refuses every number that a proof could not be trusted with: one that is
// not finite, or masses beyond what a float64 and an int64 count exactly.
func (p Problem) check(nodes int) error {
	if nodes < 0 {
		return fmt.Errorf("node limit %d (want at least 1, or 0 for as many as are sensible)", nodes)
	}
	for r, limit := range p.Limits {
		if !finite(limit) {
			return fmt.Errorf("row %d: limit %v (want a finite number)", r, limit)
		}
	}
	for l, room := range p.Rooms {
		if room < 0 || room > heaviest {
			return fmt.Errorf("place %d: room %d g (want 0 to %d)", l, room, int64(heaviest))
		}
	}
	return p.checkItems()
}

func (p Problem) checkItems() error {
	var sum int64
	for i, it := range p.Items {
		// Compared before it is added, so that the sum itself cannot overflow.
		if it.Mass <= 0 || it.Mass > heaviest-sum {
			return fmt.Errorf("item %d %q: mass %d g (want more than 0, all items together at most %d)", i, it.Name, it.Mass, int64(heaviest))
		}
		sum += it.Mass
		if err := p.checkPlace(it.From); err != nil {
			return fmt.Errorf("item %d %q: from %w", i, it.Name, err)
		}
		for o, opt := range it.Options {
			if err := p.checkOption(opt); err != nil {
				return fmt.Errorf("item %d %q: option %d: %w", i, it.Name, o, err)
			}
		}
	}
	return nil
}

// checkOption wants a coefficient for each row, 0 where the option does nothing
// to it: a missing one would be a row that the option cannot break.
func (p Problem) checkOption(o Option) error {
	if err := p.checkPlace(o.Place); err != nil {
		return err
	}
	if o.Left && o.Place != nowhere {
		return fmt.Errorf("left behind in place %d (want no place)", o.Place)
	}
	if len(o.Coef) != len(p.Limits) {
		return fmt.Errorf("%d coefficients (want one for each of %d rows)", len(o.Coef), len(p.Limits))
	}
	for r, c := range o.Coef {
		if !finite(c) {
			return fmt.Errorf("row %d: coefficient %v (want a finite number)", r, c)
		}
	}
	return nil
}

func (p Problem) checkPlace(i int) error {
	if i < nowhere || i >= len(p.Rooms) {
		return fmt.Errorf("place %d (want %d to %d)", i, nowhere, len(p.Rooms)-1)
	}
	return nil
}

// finite reports whether v is a number that can be added up.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
