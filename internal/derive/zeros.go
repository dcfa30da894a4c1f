package derive

import (
	"math"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// planZeros gives a column to the common zero of every scale used whose empty
// deck was read: what it shows with nothing on it, the same in all readings of
// the job (on pads, of each weigher),
//
//	reading = load + k·zero + …
//
// Mud on the deck is in every reading alike. Without a reading of the empty deck the
// zero is a part of each reading's own u, set again within e/4 (see readingU).
func (y *system) planZeros() {
	for i := range y.job.Scales {
		s := &y.job.Scales[i]
		if _, used := y.layout.gain.of(s.Name); used && (zeroSeen(y.job, s.Name) || y.zeroFree(s.Name)) {
			y.layout.give(&y.layout.zero, s.Name)
		}
	}
}

// zeroFree says whether a scale's zero is unknown for a hypothesis: it has a
// column and no observation, so that all readings of the scale may be off by one
// amount, whatever it is.
func (y *system) zeroFree(scale string) bool {
	return y.options.FreeZero != nil && *y.options.FreeZero == scale
}

// zero is what a scale shows with nothing on the deck, in kilograms, where that is
// an unknown of its own: its empty deck was read, or [Options] free it.
func (s *Solution) zero(scale string) Quantity {
	c, ok := s.system.layout.zero.of(scale)
	if !ok {
		return Quantity{}
	}
	row := s.system.row()
	row[c] = 1
	return s.quantity(row)
}

// zeroSeen says whether a scale has a used reading of its empty deck.
func zeroSeen(job *tickets.Job, scale string) bool {
	for i := range job.Readings {
		r := &job.Readings[i]
		if r.Empty && r.Used && r.Scale == scale {
			return true
		}
	}
	return false
}

// observeZeros observes each zero once, however often the empty deck was read: a
// display that shows 0 again says nothing new about what is below its interval.
func (y *system) observeZeros() {
	for i := range y.job.Scales {
		s := &y.job.Scales[i]
		if c, ok := y.layout.zero.of(s.Name); ok && zeroSeen(y.job, s.Name) {
			value, u := zeroOf(y.job, s.Name)
			y.observeOne(observation{Kind: byZero, Name: s.Name, U: u}, c, value)
		}
	}
}

// zeroOf is the zero of a scale as its empty deck showed it, in kilograms:
//
//	0, u = e/(4√3)                  where every one shows within e/2 of 0
//	their mean, u = e/√12           else
//
// e is the largest interval of these readings. The first is a zero set to
// within e/4, the second one that did not return, known to a rounding: rectangles of
// half-width e/4 and e/2. The readings of one empty deck are not independent, so that
// their mean is no better than one of them.
func zeroOf(job *tickets.Job, scale string) (value, u float64) {
	sum, e, n, returned := decimal.Zero, decimal.Zero, 0, true
	for _, r := range job.Readings {
		if !r.Used || !r.Empty || r.Scale != scale {
			continue
		}
		sum, e, n = sum.Add(r.Kg), decimal.Max(e, r.IntervalKg), n+1
		returned = returned && r.Kg.Abs().Mul(decimal.NewFromInt(2)).LessThanOrEqual(r.IntervalKg)
	}
	if returned {
		return 0, e.InexactFloat64() / float64(4*math.Sqrt(3))
	}
	return sum.InexactFloat64() / float64(n), e.InexactFloat64() / math.Sqrt(12)
}
