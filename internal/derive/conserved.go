package derive

import "math"

// Conserved says whether what was on the deck in one reading is the signed sum
// of what was on it in others, whatever the loads are: the difference of their
// rows is nothing, or a sum of the exact constraints. Readings are indices into
// Job.Readings, signs +1, −1 or 0, one for each of the others. It is false where
// the supports of one of them are not solved.
func (s *Solution) Conserved(reading int, others, signs []int) bool {
	rows := s.deckRows()
	if rows[reading] == nil {
		return false
	}
	left := make([]float64, len(rows[reading]))
	copy(left, rows[reading])
	for n, i := range others {
		if signs[n] == 0 {
			continue
		}
		if rows[i] == nil {
			return false
		}
		for c, v := range rows[i] {
			left[c] -= float64(float64(signs[n]) * v)
		}
	}
	// Each constraint once, added or taken off, or not at all: a sum of a few figures
	// has no use for more.
	for _, coupling := range []float64{0, 1, -1} {
		for _, tension := range []float64{0, 1, -1} {
			if s.isConstraint(left, coupling, tension) {
				return true
			}
		}
	}
	return false
}

// deckRows is, for each reading that names solved supports, the row of what was
// on its deck, without gain and zero; nil for the others. Figures that are printed sums
// of others have the errors of these, so that only what was on the deck is compared.
func (s *Solution) deckRows() [][]float64 {
	if s.decks != nil {
		return s.decks
	}
	s.decks = make([][]float64, len(s.Job.Readings))
	for i := range s.Job.Readings {
		r := &s.Job.Readings[i]
		if row, ok := s.deckNow(r); ok && !r.Empty && (r.Used || r.Calculated) {
			s.decks[i] = row
		}
	}
	return s.decks
}

// isConstraint says whether a row is the sum of the two exact constraints, times
// factors: hitching up adds no mass, tensioning the bars adds none.
func (s *Solution) isConstraint(row []float64, coupling, tension float64) bool {
	for c, v := range row {
		if math.Abs(v-float64(coupling*s.system.balance[0][c])-float64(tension*s.system.balance[1][c])) > negligible {
			return false
		}
	}
	return true
}
