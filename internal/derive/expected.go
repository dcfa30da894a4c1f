package derive

import "reconcile/internal/tickets"

// Expected returns what the model says of a reading, by its index in Job.Readings: the
// load that was on its deck, which a scale without error would have shown, and what its
// scale would have shown: with its gain and zero, where other readings of the scale are
// used and its empty deck was read. Both are the fitted loads, less the loads that the
// reading was without, plus those it was with, in kilograms; not determined where these
// are not, or the reading says nothing of the deck. So a reader sees how far off a
// reading was, also one that was not used.
func (s *Solution) Expected(reading int) (onDeck, shown Quantity) {
	return s.expected(&s.Job.Readings[reading])
}

func (s *Solution) expected(r *tickets.Reading) (onDeck, shown Quantity) {
	row, ok := s.deckNow(r)
	if !ok {
		return Quantity{}, Quantity{}
	}
	loads := s.system.row()
	copy(loads, row)
	onDeck = s.quantity(loads)
	if c, used := s.system.layout.gain.of(r.Scale); used {
		row[c] += r.Kg.InexactFloat64()
	}
	if c, seen := s.system.layout.zero.of(r.Scale); seen {
		row[c] += float64(weighers(&s.Job.Outfit, s.Job.Scale(r.Scale), r))
	}
	return onDeck, s.quantity(row)
}

// deckNow is the row of the loads that a reading had on the deck: what was on board only
// then is on it, what travels and was not on board is off it. ok is false where the
// reading says nothing of the deck, or some of it is not solved.
func (s *Solution) deckNow(r *tickets.Reading) (row []float64, ok bool) {
	for _, t := range r.Terms {
		if !onGauge(r) && !s.system.layout.solves(&s.Job.Outfit, StateOf(r), t) {
			return nil, false
		}
	}
	row = s.system.deckRow(r)
	if len(r.Terms) == 0 || !s.system.addNamed(row, r) {
		return nil, false
	}
	s.system.addMoves(row, r)
	return row, true
}
