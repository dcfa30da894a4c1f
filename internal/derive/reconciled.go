package derive

import "reconcile/internal/tickets"

// Reconciled returns what a scale without error would have shown at a weighing,
// by its index in Job.Readings: the fitted loads on the deck, less the loads it was
// without, plus those it was with, in kilograms. ok is false where that is not
// determined, or the reading says nothing of the deck. Readings that were not used are
// reconciled too, so that a reader sees how far off they were.
func (s *Solution) Reconciled(index int) (kg float64, ok bool) {
	return s.onThisDeck(&s.Job.Readings[index])
}

// onThisDeck is the load that a reading was of, in kilograms: what was on board only
// then is on the deck, what travels and was not on board is off it. Gain and zero are
// left out, as a scale without error has none.
func (s *Solution) onThisDeck(r *tickets.Reading) (kg float64, determined bool) {
	if len(r.Terms) == 0 {
		return 0, false
	}
	for _, t := range r.Terms {
		if !onGauge(r) && !s.system.layout.solves(&s.Job.Outfit, StateOf(r), t) {
			return 0, false
		}
	}
	row := s.system.deckRow(r)
	if !s.system.addNamed(row, r) {
		return 0, false
	}
	s.system.addMoves(row, r)
	q := s.quantity(row)
	return q.value, q.Determined
}
