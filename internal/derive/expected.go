package derive

import (
	"math"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// loadOn returns the load that was on the deck of a reading, by its index in
// Job.Readings, which a scale without error would have shown: the fitted loads, less those
// that the reading was without, plus those it was with, in kilograms. It is not determined
// where these are not, or the reading says nothing of the deck. So a reader sees how far
// off a reading was, also one that was not used. Nobody asks on what it rests: its basis says nothing.
func (s *Solution) loadOn(reading int) Quantity {
	row, ok := s.deckNow(&s.Job.Readings[reading])
	if !ok {
		return Quantity{}
	}
	return s.judged(row)
}

// expected returns what the scale of a reading would have shown: the load that was on its
// deck, with the gain and zero of the scale, where other readings of it are used and its
// empty deck was read. A load that only this reading names, so that it is not solved for,
// counts as it is stated: a line left out must not escape a question by naming one.
func (s *Solution) expected(reading int) Quantity {
	r := &s.Job.Readings[reading]
	if !s.solvesDeck(r) {
		return Quantity{}
	}
	row := s.system.deckRow(r)
	stated, variance := s.system.addNamedOrStated(row, r)
	s.system.addMoves(row, r)
	if c, used := s.system.layout.gain.of(r.Scale); used {
		row[c] += r.Kg.InexactFloat64()
	}
	if c, seen := s.system.layout.zero.of(r.Scale); seen {
		row[c] += float64(weighers(&s.Job.Outfit, s.Job.Scale(r.Scale), r))
	}
	q := s.judged(row)
	if variance > 0 && q.Determined {
		q.value = portable.Kg(q.value + stated)
		q.u = uncertainty(portable.Hypot(q.u, math.Sqrt(variance)), portable.Kg)
		q.Determined = float64(coverage*q.u) <= maxDeterminedU
	}
	return q
}

// solvesDeck is whether a reading says what stood on the deck, and all of it is solved.
func (s *Solution) solvesDeck(r *tickets.Reading) bool {
	for _, t := range r.Terms {
		if !onGauge(r) && !s.system.layout.solves(&s.Job.Outfit, r.State, t) {
			return false
		}
	}
	return len(r.Terms) > 0
}

// deckNow is the row of the loads that a reading had on the deck: what was on board only
// then is on it, what travels and was not on board is off it. ok is false where the
// reading says nothing of the deck, or some of it is not solved.
func (s *Solution) deckNow(r *tickets.Reading) (row []float64, ok bool) {
	if !s.solvesDeck(r) {
		return nil, false
	}
	row = s.system.deckRow(r)
	if !s.system.addNamed(row, r) {
		return nil, false
	}
	s.system.addMoves(row, r)
	return row, true
}
