package adjust

import (
	"fmt"
	"math"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/portable"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// coverage is k in U = k·u.
const coverage = 2

// kgPerKN turns a force into the mass that it is the weight of, with g as UN
// R55 takes it, so that a D-value's excess can be added to others.
const kgPerKN = 1000 / 9.81

// bound is one thing that a plan has to keep:
//
//	Σ (effect + k·|effect|·u/mass)·kg ≤ limit
//
// over the parts moved, effect being what a kilogram does to it at its new
// place less what it did at its old one.
type bound struct {
	blocking
	check *limits.Check // nil for a guide
	limit float64       // kg
	k     float64       // of the guard for the moved masses; 0 for a guide
	unit  float64       // kg of one unit of the check
	// effect of a kilogram at a place on the left side, in kg; missing names
	// the number without which it is not known.
	effect func(pl *tickets.Place) (perKg float64, missing string, ok bool)
	// varies is what a varying load adds beyond that, for each kilogram of it
	// that goes from one place to another; nil where no trip is meant.
	varies func(l *tickets.Load, from, to *tickets.Place) float64
}

// model makes the bounds and what may move into a problem to search.
func (p *planner) model() error {
	for _, c := range p.deciding {
		p.bounds = append(p.bounds, p.checkBound(c))
	}
	for _, c := range p.tripChecks() {
		p.bounds = append(p.bounds, p.tripBound(c))
	}
	p.bounds = append(p.bounds, p.guideBounds()...)
	for _, b := range p.bounds {
		p.problem.Limits = append(p.problem.Limits, b.limit)
	}
	at, err := p.rooms()
	if err != nil {
		return err
	}
	p.offer(at)
	return nil
}

// checkBound holds a check with its guard: value + U ≤ limit, a least
// value − U ≥ limit.
func (p *planner) checkBound(c *limits.Check) bound {
	b := bound{blocking: blocking{Rating: c.Rating, On: c.On, State: c.State}, check: c, k: p.guardOf(c), unit: 1}
	if c.LimitKN.Valid {
		b.unit = kgPerKN
	}
	sign := b.unit
	if c.Lower {
		sign = -sign
	}
	b.limit = portable.Kg(float64(-excess(c, b.k) * b.unit))
	b.effect = func(pl *tickets.Place) (float64, string, bool) {
		perKg, missing := derive.Effect(p.job, pl, c.Parts...)
		return float64(perKg * sign), missing, missing == ""
	}
	return b
}

// excess is by how much a check is not kept with k·u, in its own unit; below 0
// it is kept.
func excess(c *limits.Check, k float64) float64 { return float64(k*c.Found.U) - c.Found.Margin }

// guardOf is k of the guard of a check; the floor of the download is kept on
// the value, and under the simple rule all are.
func (p *planner) guardOf(c *limits.Check) float64 {
	if c.Floor || p.f.Unguarded {
		return 0
	}
	return coverage
}

// guideBounds are what a plan may not spoil, on values without a guard.
func (p *planner) guideBounds() []bound {
	var all []bound
	if g := regions.Of(p.job.Region).Share; g.Stated {
		all = append(all, p.shareBound(g.Low))
	}
	if p.job.Outfit.Travels == tickets.CoupledTensioned {
		all = append(all, p.restoredBound())
	}
	return all
}

// shareBound keeps the download's share of the trailer at the lower guide, or
// where it is, if that is lower:
//
//	g·trailer mass − download ≤ 0
//
// Where either is not determined, the left side may not grow.
func (p *planner) shareBound(low float64) bound {
	b := bound{blocking: blocking{Rating: "download_share"}, unit: 1}
	d, _, okD := p.s.Figures().Download.Number()
	t, _, okT := p.s.Figures().TrailerMass.Number()
	if okD && okT && t > 0 {
		low = math.Min(low, d/t)
		b.limit = math.Max(portable.Kg(d-float64(low*t)), 0)
	}
	b.effect = func(pl *tickets.Place) (float64, string, bool) {
		if pl.On == tickets.OnVehicle {
			return 0, "", true
		}
		sh, missing, ok := onCoupling(p.job, pl)
		return low - sh, missing, ok
	}
	return b
}

// restoredBound keeps what the hitch puts back on the front axle at no more
// than the trailer lifts off it, or no further above than it is. With the
// tension moment unchanged, what is put back does not change:
//
//	−Δ front_lift ≤ front_lift − front_restored
func (p *planner) restoredBound() bound {
	b := bound{blocking: blocking{Rating: "front_restored", State: tickets.CoupledTensioned}, unit: 1}
	lift, _, okL := p.s.Figures().FrontLift.Number()
	restored, _, okR := p.s.Figures().FrontRestored.Number()
	if okL && okR {
		b.limit = math.Max(portable.Kg(lift-restored), 0)
	}
	// −front_lift: coupled front less the unchanged front alone.
	front, missingLever := frontOnCoupling(p.job)
	b.effect = func(pl *tickets.Place) (float64, string, bool) {
		if pl.On == tickets.OnVehicle || p.job.Outfit.Drawbar {
			return 0, "", true
		}
		part, missing, ok := onCoupling(p.job, pl)
		if part == 0 {
			return 0, missing, ok
		}
		return float64(front * part), missingLever, missingLever == ""
	}
	return b
}

// frontOnCoupling is what a kilogram on the coupling adds to the front axle: −a/w. missing
// names a length of it.
func frontOnCoupling(job *tickets.Job) (perKg float64, missing string) {
	coupling := tickets.Place{On: tickets.OnTrailer, Over: tickets.Coupling}
	return derive.Effect(job, &coupling, derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: tickets.Term{Group: tickets.Front}})
}

// onCoupling is what a kilogram at a place of the trailer puts on the coupling.
func onCoupling(job *tickets.Job, pl *tickets.Place) (perKg float64, missing string, ok bool) {
	l := job.Outfit.CouplingToTrailerAxle
	switch {
	case !pl.HasAt:
		return 0, "place", false
	case pl.AtMm == 0:
		return 0, "", true
	case !l.Known:
		return 0, "coupling_to_trailer_axle", false
	}
	return pl.AtMm / l.Mm, "", true
}

// rooms lists the places with a capacity, with the room that is left next to
// what travels in them, and their indices by name.
func (p *planner) rooms() (at map[string]int, err error) {
	at = map[string]int{}
	for i := range p.job.Places {
		pl := &p.job.Places[i]
		if !pl.CapacityKg.Valid {
			continue
		}
		room := pl.CapacityKg.Decimal
		for j := range p.job.Loads {
			if l := &p.job.Loads[j]; l.Place == pl.Name && p.travels(l) {
				room = room.Sub(l.Kg)
			}
		}
		if room.IsNegative() {
			return nil, fmt.Errorf("place %q holds %s kg more than its capacity of %s kg (want the capacity, or the loads in it, corrected)", pl.Name, room.Neg(), pl.CapacityKg.Decimal)
		}
		at[pl.Name] = len(p.problem.Rooms)
		p.problem.Rooms, p.roomy = append(p.problem.Rooms, room.Shift(3).IntPart()), append(p.roomy, pl.Name)
	}
	return at, nil
}

// travels says whether a load is on board as the outfit travels: one that a used
// reading has on board only then is not, nor one of another set.
func (p *planner) travels(l *tickets.Load) bool {
	if l.Set != "" && l.Set != p.set {
		return false
	}
	for _, r := range usedReadings(p.job) {
		for _, name := range r.With {
			if name == l.Name {
				return false
			}
		}
	}
	return true
}
