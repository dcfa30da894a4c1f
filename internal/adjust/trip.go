package adjust

import (
	"math"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// A load that varies during a trip is at its worst end wherever a plan puts it:
// each deciding check at its worst corner is a bound of its own. Such a load
// moves whole or not at all.

// varies says whether a load weighs more or less during a trip.
func varies(l *tickets.Load) bool { return l.Least.Valid || l.Most.Valid }

// tripChecks are the deciding checks, each with its worst corner; none where no
// load varies, or a set of planned ratings is planned for.
func (p *planner) tripChecks() []*limits.Check {
	if p.f.Trip == "" || p.set != "" {
		return nil
	}
	return p.deciding
}

// tripBound keeps a check at its worst corner.
func (p *planner) tripBound(c *limits.Check) bound {
	b := p.checkBound(c)
	b.limit = portable.Kg(-p.tripExcess(c, c.Worst.Found.U, c.Worst.Found.Margin, b.unit))
	b.varies = func(l *tickets.Load, from, to *tickets.Place) float64 { return p.cornerMoves(&b, l, from, to) }
	return b
}

// tripExcess is by how much a check is not kept with the u and margin that it has at its
// worst corner, in kg.
func (p *planner) tripExcess(c *limits.Check, u, margin, unit float64) float64 {
	guard := float64(p.guardOf(c) * u)
	return portable.Kg(float64((guard - margin) * unit))
}

// cornerMoves is by how much the worst corner shifts for each kilogram of a
// varying load that goes from one place to another, nil being nowhere. What the
// new place takes off the guard is not counted on.
// With Δ what the load adds at a place beyond its stated mass:
//
//	(Δ(to) − Δ(from) + max(0, guard(to) − guard(from)))/kg
func (p *planner) cornerMoves(b *bound, l *tickets.Load, from, to *tickets.Place) float64 {
	if !varies(l) {
		return 0
	}
	was, guardWas := p.corner(b, l, from)
	will, guardWill := p.corner(b, l, to)
	return (will - was + max(0, guardWill-guardWas)) / l.Kg.InexactFloat64()
}

// corner is what a varying load adds at a place, at the end that is worst
// there, and its part of the guard.
func (p *planner) corner(b *bound, l *tickets.Load, pl *tickets.Place) (kg, guard float64) {
	if pl == nil {
		return 0, 0
	}
	e, _, _ := b.effect(pl)
	end := l.Kg
	switch {
	case e > 0 && l.Most.Valid:
		end = l.Most.Decimal
	case e < 0 && l.Least.Valid:
		end = l.Least.Decimal
	}
	mass := l.Kg.InexactFloat64()
	if solved, _, ok := p.s.Sum(derive.Part{Factor: 1, Load: l.Name}).Number(); ok {
		mass = solved
	}
	// The end is as uncertain, in parts of itself, as the stated mass: the guard
	// is k·|e|·|delta|·u/kg.
	delta := end.InexactFloat64() - mass
	u := float64(math.Abs(delta)*l.UKg) / l.Kg.InexactFloat64()
	return float64(e * delta), float64(float64(b.k*math.Abs(e)) * u)
}

// planned is the job with what is moved in its new place; what is left behind
// does not vary any more.
func (p *planner) planned() *tickets.Job {
	job := *p.job
	job.Loads = append([]tickets.Load{}, job.Loads...)
	for _, m := range p.plan.Moves {
		for i := range job.Loads {
			l := &job.Loads[i]
			switch {
			case l.Name != m.Load || !varies(l):
			case m.To == "":
				l.Least, l.Most = decimal.NullDecimal{}, decimal.NullDecimal{}
			default:
				l.Place = m.To
				if pl := job.Place(m.To); pl != nil {
					l.On = pl.On
				}
			}
		}
	}
	return &job
}

// tripExceededAfter is by how much each check is not kept at its worst corner after the
// plan.
func (p *planner) tripExceededAfter(after *limits.Findings) []float64 {
	checks := p.tripChecks()
	short := make([]float64, len(checks))
	for i := range checks {
		u, margin, ok := atWorst(after, checks[i])
		if !ok {
			short[i] = math.Inf(1)
		} else if over := p.tripExcess(checks[i], u, margin, p.bounds[len(p.deciding)+i].unit); over > resolution {
			short[i] = over
		}
	}
	return short
}

// atWorst is u and margin of a check at its worst corner in other findings; where nothing
// varies any more, those that it has. ok is false where the check is not there or has none.
func atWorst(f *limits.Findings, c *limits.Check) (u, margin float64, ok bool) {
	now := f.FindCheck(c)
	if now == nil || f.Trip != "" && now.Worst == nil {
		return 0, 0, false
	}
	found := now.Found
	if f.Trip != "" {
		found = now.Worst.Found
	}
	if found == nil {
		return 0, 0, false
	}
	return found.U, found.Margin, true
}
