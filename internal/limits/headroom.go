package limits

import (
	"math"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// headroom is how many whole kilograms more fit at a place with the guard of
// every deciding rating: value + U ≤ limit (for a least value − U ≥ limit; the
// floor of the download by the value) with the load added. The load's own mass
// is taken as exact. Rating, On and State name the check that stops it; Rating
// is "capacity" where the place itself is full before.
//
// It is what an owner asks next once the outfit is within. A figure that is one kilogram too
// large would make a false within, so that each kilogram is tried by the same rule as
// the row itself and none is computed by division.
type headroom struct {
	Place      string
	Unit       tickets.Unit
	Kg         float64
	Rating, On string
	State      tickets.State
}

// mostRoom is where the search for room ends: far above what a place can carry,
// in kilograms.
//
// Where nothing limits a place below this, its room says nothing and is left out.
const mostRoom = 100_000

// addPoint is a place at which load may be added.
type addPoint struct {
	*tickets.Place
	capacity float64 // kg left in it; infinite where it has none
}

// negligible is an effect that counts as none.
const negligible = 1e-12

// headroom tries the form's places and the standard ones. Readings in conflict
// give none, and a place is left out where it affects a deciding check that is
// not weighed, or where a missing length leaves open what it affects: nothing
// could be promised there.
func (h *checker) headroom(f *Findings, standard []tickets.Place) []headroom {
	// Loads that contradict each other promise nothing.
	if f.Conflict {
		return nil
	}
	decisive := f.Deciding
	checks := h.memory.chosen.List(len(decisive))[:0]
	for _, c := range decisive {
		checks = h.eachTyre(checks, c)
	}
	deciding := h.memory.bounds.List(len(checks))
	for i, c := range checks {
		b := &deciding[i]
		b.Check = c
		b.kept = c.Found != nil && c.Limit != nil && h.keeps(c, *c.Limit, 0, 0)
	}
	points := h.addPoints(standard)
	all := h.memory.headroom.List(len(points))[:0]
	for i := range points {
		if r, ok := h.roomAt(&points[i], deciding); ok {
			all = append(all, r)
		}
	}
	return all
}

// bound is a deciding check: each place is tried on it.
type bound struct {
	*Check
	kept bool // whether the limit is kept before anything is added
}

// addPoints lists the form's places, then the standard ones.
func (h *checker) addPoints(standard []tickets.Place) []addPoint {
	all := h.memory.points.List(len(h.job.Places) + len(standard))[:0]
	for i := range h.job.Places {
		s := addPoint{&h.job.Places[i], math.Inf(1)}
		// What rides there counts against the place's own capacity by its stated mass,
		// as adjust counts it.
		if s.CapacityKg.Valid {
			s.capacity = max(s.CapacityKg.Decimal.InexactFloat64()-h.ridesAt(s.Name), 0)
		}
		all = append(all, s)
	}
	for i := range standard {
		all = append(all, addPoint{&standard[i], math.Inf(1)})
	}
	return all
}

// ridesAt is the stated mass of what travels at a place.
func (h *checker) ridesAt(place string) float64 {
	sum := 0.0
	for _, l := range h.job.Loads {
		if l.Place == place && l.Set == "" && !onlyWeighed(h.job, l.Name) {
			sum += l.Kg.InexactFloat64()
		}
	}
	return sum
}

// roomAt finds the first limit reached at a place; ok is false where nothing
// can be said, or nothing limits it. Of equal ones the first check is named.
func (h *checker) roomAt(p *addPoint, deciding []bound) (headroom, bool) {
	room := headroom{Place: p.Name, Unit: p.On, Kg: math.Floor(p.capacity), Rating: "capacity", On: p.Name}
	for i := range deciding {
		c := &deciding[i]
		kg, ok := h.room(p, c, min(room.Kg, mostRoom))
		if !ok {
			return headroom{}, false
		}
		if kg < room.Kg {
			room = headroom{p.Name, p.On, kg, c.Rating, c.On, c.State}
		}
	}
	return room, room.Kg < mostRoom
}

// room is how many whole kilograms fit at a place under one check; 0 where it is not
// kept as it is. Where enough fit, as many as another check allows, it looks no
// further: this limit is then not the first that is reached.
func (h *checker) room(p *addPoint, c *bound, enough float64) (kg float64, ok bool) {
	perKg, missing := derive.Effect(h.job, p.Place, c.Parts...)
	switch {
	case missing != "":
		return 0, false
	// What is not weighed limits a place by nobody knows how much, unless the place does
	// not affect it.
	case c.Found == nil:
		return mostRoom, math.Abs(perKg) < negligible
	case c.LimitKN.Valid:
		return h.couplerRoom(p, c.Check, enough)
	}
	return h.roomUnder(c, perKg, enough), true
}

// leastTaken is what a kilogram has to take of the room under a limit for a division to
// say how many fit: values are rounded to 1e-6 kg, so that the quotient is then off by
// some grams at most.
const leastTaken = 1e-3

// roomUnder is the room under a limit in kilograms, perKg of each.
func (h *checker) roomUnder(c *bound, perKg, enough float64) float64 {
	keeps := func(kg float64) bool { return h.keeps(c.Check, *c.Limit, perKg, kg) }
	takes := perKg
	if c.Lower {
		takes = -perKg
	}
	switch {
	case !c.kept:
		return 0
	// What takes nothing of the room leaves the limit kept, however much is added.
	case takes <= 0 && c.Unequal == 0:
		return enough
	// The guard of a tyre's share grows with the share, and no division finds where the
	// two meet.
	case takes < leastTaken || c.Unequal > 0:
		return mostWhole(enough, keeps)
	}
	left := c.Found.Margin
	if !c.Floor {
		left -= h.rule.guard(c.Found.U)
	}
	// The quotient only says where to look. What is promised was tried by the rule
	// itself, from a kilogram above downwards.
	about := left / takes
	if about > enough+1 {
		return enough
	}
	for kg := min(enough, math.Floor(about)+1); kg > 0; kg-- {
		if keeps(kg) {
			return kg
		}
	}
	return 0
}

// keeps reports whether a check is kept with its guard when kg are added.
func (h *checker) keeps(c *Check, limit, perKg, kg float64) bool {
	v, u := portable.Kg(c.Found.Value+float64(perKg*kg)), c.Found.U
	// u² = (stretch·u of the load)² + (stretch·unequal·share)²: the first part stays as
	// kilograms are added, the second grows with the share.
	if c.Unequal > 0 { // the share among tyres is vaguer the larger it is
		own := max(portable.Square(u/h.stretch)-portable.Square(float64(c.Unequal*c.Found.Value)), 0)
		u = portable.Kg(float64(h.stretch * math.Sqrt(own+portable.Square(float64(c.Unequal*v)))))
	}
	// The floor is on the value (contract, section 3, floor).
	if c.Floor {
		return v >= 0
	}
	return judge(v, u, limit, c.Lower, h.rule, c.LimitKN.Valid) == Within
}

// mostWhole is the largest number of whole kilograms up to mostRoom that is kept, 0
// where none is: a limit once passed stays passed. Where enough are kept it looks no
// further and returns these. Where nothing added is not kept it is 0, also if much
// added would be: a load behind the rear axle lifts the front one, but room is for any
// load up to it.
func mostWhole(enough float64, keeps func(float64) bool) float64 {
	if !keeps(0) {
		return 0
	}
	if keeps(enough) {
		return enough
	}
	low, high := 0, mostRoom
	if keeps(float64(high)) {
		return float64(high)
	}
	for high-low > 1 {
		if middle := (low + high) / 2; keeps(float64(middle)) {
			low = middle
		} else {
			high = middle
		}
	}
	return float64(low)
}

// couplerRoom is the room under a D-value, with the slopes of vehicle and
// trailer axles at the place.
//
// Dc = g·T·C/(T + C) bends, so that a slope at the present loads would promise too much
// at the far end: T and C are moved along and Dc computed again.
func (h *checker) couplerRoom(p *addPoint, c *Check, enough float64) (kg float64, ok bool) {
	state := h.job.Outfit.Travels
	tParts, cParts := h.partsOf(nil, vehicleAxles, state), h.partsOf(nil, trailerAxles, state)
	dt, missingT := derive.Effect(h.job, p.Place, tParts...)
	dC, missingC := derive.Effect(h.job, p.Place, cParts...)
	if missingT != "" || missingC != "" {
		return 0, false
	}
	t0, c0 := h.sum("", tParts).value, h.sum("", cParts).value
	return mostWhole(enough, func(kg float64) bool {
		t, axles := t0+float64(dt*kg), c0+float64(dC*kg)
		if t <= 0 || axles <= 0 {
			return true
		}
		return judge(portable.Ratio(dc(t, axles)), c.Found.U, *c.Limit, false, h.rule, true) == Within
	}), true
}
