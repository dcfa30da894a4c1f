package mistakes

import (
	"math"

	"reconcile/internal/tickets"
)

// calculatedFigures: a total or a net that a ticket prints was typed as a
// reading. It must be a sum or difference of other figures of its ticket, to
// one interval, or what conservation of mass makes of two of any ticket.
func (s *search) calculatedFigures() []hypothesis {
	var all []hypothesis
	for _, i := range s.used {
		which := ""
		// On its own ticket a total is expected; across tickets it is met by
		// chance more often, and the prior is less (priors.go).
		switch {
		case s.addsUp(i):
		case s.addsUpAcross(i):
			which = "other ticket"
		default:
			continue
		}
		all = append(all, hypothesis{
			Mistake: Mistake{Kind: calculated, Scope: oneFigure, Readings: []int{i}},
			prior:   priorOf(calculated, which, 1), touched: s.observed([]int{i}),
			change: func(j *tickets.Job) { j.Readings[i].Used, j.Readings[i].Calculated = false, true },
		})
	}
	return all
}

// mostOnTicket bounds the other figures of a ticket that are tried in sums.
// Each of n figures is added, taken off or left out, 3ⁿ sums in all: 3⁸ = 6,561.
const mostOnTicket = 8

// addsUp says whether a reading is a sum or difference of two or more other
// figures of its ticket, to one interval. Of wheels read separately many sums
// meet by chance: there its supports and states have to fit too.
func (s *search) addsUp(index int) bool {
	r := &s.Job.Readings[index]
	var others []int
	for i := range s.Job.Readings {
		o := &s.Job.Readings[i]
		if i != index && o.Ticket == r.Ticket && (o.Used || o.Calculated) && !o.Empty && len(others) < mostOnTicket {
			others = append(others, i)
		}
	}
	// The form may name the supports of a total wrongly, so that for groups the
	// figures alone decide.
	fits := func([]int) bool { return true }
	if onWheels(r) {
		fits = func(signs []int) bool { return s.Conserved(index, others, signs) }
	}
	figures := make([]float64, len(others))
	for n, i := range others {
		figures[n] = s.Job.Readings[i].Kg.InexactFloat64()
	}
	return sumsTo(r.Kg.InexactFloat64(), tolerance(r), figures, nil, fits)
}

// tolerance is one interval, and a hair for the rounding of the sum.
func tolerance(r *tickets.Reading) float64 {
	return float64(r.IntervalKg.InexactFloat64() * (1 + 1e-9))
}

// onWheels says whether a reading is of an axle of a group, or of a side.
func onWheels(r *tickets.Reading) bool {
	for _, t := range r.Terms {
		if t.Axle > 0 || t.Side != "" {
			return true
		}
	}
	return false
}

// sumsTo tries each figure added, taken off and left out; signs has what was
// decided so far, and fits judges a sum that meets.
// It looks for signs with
//
//	|y − Σ sᵢ·yᵢ| ≤ tolerance,  sᵢ ∈ {1, −1, 0},  at least two not 0
//
// where rest is y less what was decided: one figure alone would be a repeat,
// which is an observation in its own right.
func sumsTo(rest, tolerance float64, figures []float64, signs []int, fits func([]int) bool) bool {
	if len(figures) == 0 {
		taken := 0
		for _, n := range signs {
			taken += n * n
		}
		return taken >= 2 && math.Abs(rest) <= tolerance && fits(signs)
	}
	f, more := figures[0], figures[1:]
	return sumsTo(rest-f, tolerance, more, append(signs, 1), fits) ||
		sumsTo(rest+f, tolerance, more, append(signs, -1), fits) ||
		sumsTo(rest, tolerance, more, append(signs, 0), fits)
}

// addsUpAcross says whether a reading is, to one interval, the sum or difference
// of two figures of any ticket of the job that conservation of mass makes it:
// coupled, all is vehicle alone and trailer alone.
func (s *search) addsUpAcross(index int) bool {
	r := &s.Job.Readings[index]
	kg, within := r.Kg.InexactFloat64(), tolerance(r)
	for a := range s.Job.Readings {
		x := s.Job.Readings[a].Kg.InexactFloat64()
		for b := range s.Job.Readings {
			if a == index || b == index || b == a {
				continue
			}
			// A sum is the same either way round and tried once (b > a), a
			// difference is not.
			y := s.Job.Readings[b].Kg.InexactFloat64()
			if b > a && math.Abs(kg-x-y) <= within && s.Conserved(index, []int{a, b}, []int{1, 1}) ||
				math.Abs(kg-x+y) <= within && s.Conserved(index, []int{a, b}, []int{1, -1}) {
				return true
			}
		}
	}
	return false
}
