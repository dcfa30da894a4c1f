package derive

import "reconcile/internal/tickets"

// LoadOn returns the load that was on the deck of a reading, by its index in
// Job.Readings, which a scale without error would have shown: the fitted loads, less those
// that the reading was without, plus those it was with, in kilograms. It is not determined
// where these are not, or the reading says nothing of the deck. So a reader sees how far
// off a reading was, also one that was not used. Nobody asks on what it rests: its basis says nothing.
func (s *Solution) LoadOn(reading int) Quantity {
	row, ok := s.deckNow(&s.Job.Readings[reading])
	if !ok {
		return Quantity{}
	}
	return s.judged(row)
}

// Expected returns what the scale of a reading would have shown: the load that was on its
// deck, with the gain and zero of the scale, where other readings of it are used and its
// empty deck was read.
func (s *Solution) Expected(reading int) Quantity {
	r := &s.Job.Readings[reading]
	row, ok := s.deckNow(r)
	if !ok {
		return Quantity{}
	}
	if c, used := s.system.layout.gain.of(r.Scale); used {
		row[c] += r.Kg.InexactFloat64()
	}
	if c, seen := s.system.layout.zero.of(r.Scale); seen {
		row[c] += float64(weighers(&s.Job.Outfit, s.Job.Scale(r.Scale), r))
	}
	return s.judged(row)
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
