package derive

import (
	"math"
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// SumWith is [Solution.Sum] with the loads of a set on board, which comes with planned
// ratings; set "" is none. It is not determined where the readings leave it open, or where
// it is not known on which unit a load of the set rides.
func (s *Solution) SumWith(set string, parts ...Part) Quantity {
	if set == "" {
		return s.Sum(parts...)
	}
	all := slices.Clip(parts)
	var extra spread
	for i := range s.Job.Loads {
		l := &s.Job.Loads[i]
		if l.Set != set {
			continue
		}
		// On the vehicle it would count towards gvm and on the trailer towards atm: a
		// guess either way could make a false within.
		if l.On == "" {
			return Quantity{}
		}
		all = append(all, s.aboard(l, parts, &extra)...)
	}
	q := s.Sum(all...)
	if !q.Determined {
		return q
	}
	// Each cause is independent of the readings and of the others; what a reading shares
	// with a load of the set is in the quantity and its covariance.
	for _, c := range extra.causes {
		q.u = portable.Hypot(q.u, c)
	}
	q.value, q.u = portable.Kg(q.value+extra.kg), portable.Kg(q.u)
	return q
}

// spread is what stated loads add to a value, and the standard uncertainties
// that come with it, independent of each other and of the readings.
type spread struct {
	kg     float64
	causes []float64
}

// aboard adds a load by its shares: with its solved mass, as a part of the sum and so
// with its covariance with the readings, where a used reading names it; else with its
// stated mass.
func (s *Solution) aboard(l *tickets.Load, parts []Part, extra *spread) []Part {
	e := effectOf(s.Job, placeOf(s.Job, l), parts)
	mass := l.Kg.InexactFloat64()
	// Of a load whose place is not known half is on the rear axle, or a tenth on the
	// coupling, with the u of the unknown shares of the model (contract, section 2): the
	// same assumption as if a reading named it.
	rest, restU, leverU := assumedShare(&s.Job.Outfit, l)
	extra.kg += float64(e.byShare * rest)
	extra.causes = append(extra.causes, float64(e.byShare*restU), s.sidesU(l, parts, rest))
	// a/w was taken as 0.45, as the model does.
	if e.guessed {
		extra.causes = append(extra.causes, float64(leverU*largestFactor(parts)))
	}
	// A kit that was on board in some readings was weighed by them, better than stated.
	if s.Sum(Part{Factor: 1, Load: l.Name}).Determined {
		return []Part{{Factor: e.byMass, Load: l.Name}}
	}
	extra.kg += float64(e.byMass * mass)
	extra.causes = append(extra.causes, float64(e.byMass*l.UKg))
	return nil
}

// largestFactor is the part of a support that a sum takes: of one tyre of n, 1/n.
func largestFactor(parts []Part) float64 {
	most := 0.0
	for _, p := range parts {
		most = max(most, math.Abs(p.Factor))
	}
	return most
}

// sidesU is the uncertainty that a load adds because nobody said on which side
// it rides: |part|/(2√3) on all of a group, in parts of the sides in the sum.
func (s *Solution) sidesU(l *tickets.Load, parts []Part, rest float64) float64 {
	sum := 0.0
	for _, g := range []tickets.Group{tickets.Front, tickets.Rear, tickets.Trailer, tickets.Nose} {
		leaning, on := 0.0, 0.0
		for _, p := range parts {
			if p.Support.Group != g || p.Support.Side == "" {
				continue
			}
			// A whole side leans by all of the share q, one axle's side by its part of
			// it; left and right together cancel, as what the one gains the other loses.
			lean := float64(float64(2*p.Factor) * Fraction(&s.Job.Outfit, p.Support))
			if p.Support.Side == tickets.Right {
				lean = -lean
			}
			leaning += lean
			whole := []Part{{Factor: 1, State: p.State, Support: tickets.Term{Group: g}}}
			e := effectOf(s.Job, placeOf(s.Job, l), whole)
			// The largest part that the load has on the group in any state of the sum,
			// as the model bounds q by the readings (contract, section 2, sides).
			on = max(on, math.Abs(float64(e.byMass*l.Kg.InexactFloat64())+float64(e.byShare*rest)))
		}
		sum = portable.Hypot(sum, float64(leaning*on)/float64(2*math.Sqrt(3)))
	}
	return sum
}
