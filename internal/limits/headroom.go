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
type headroom struct {
	Place      string
	Unit       tickets.Unit
	Kg         float64
	Rating, On string
	State      derive.State
}

// mostRoom is where the search for room ends: far above what a place can carry,
// in kilograms.
const mostRoom = 100_000

// addPoint is a place at which load may be added.
type addPoint struct {
	name     string
	unit     tickets.Unit
	effect   func(parts []derive.Part) (perKg float64, ok bool)
	capacity float64 // kg left in it; infinite where it has none
}

// headroom tries the form's places and the standard ones. Readings in conflict
// give none, and a place is left out where it affects a deciding check that is
// not weighed, or where a missing length leaves open what it affects: nothing
// could be promised there.
func (h *checker) headroom(f *Findings) []headroom {
	if f.Verdict == JobConflict {
		return nil
	}
	var all []headroom
	deciding := f.Deciding("")
	for _, p := range h.addPoints() {
		if r, ok := h.roomAt(p, deciding); ok {
			all = append(all, r)
		}
	}
	return all
}

// addPoints lists the form's places, then the standard ones.
func (h *checker) addPoints() []addPoint {
	var all []addPoint
	for i := range h.job.Places {
		p := &h.job.Places[i]
		at := position{p.On, p.AtMm, p.HasAt}
		s := addPoint{name: p.Name, unit: p.On, capacity: math.Inf(1), effect: func(parts []derive.Part) (float64, bool) {
			e := effectAt(h.job, at, parts)
			return e.byMass, e.exact()
		}}
		if p.CapacityKg.Valid {
			s.capacity = max(p.CapacityKg.Decimal.InexactFloat64()-h.ridesAt(p.Name), 0)
		}
		all = append(all, s)
	}
	for _, p := range h.standardPlaces() {
		all = append(all, addPoint{name: p.name, unit: p.unit, capacity: math.Inf(1), effect: func(parts []derive.Part) (float64, bool) {
			if h.needsLever(parts) && !p.leverKnown {
				return 0, false
			}
			return sharesEffect(h.job, p.shares, parts), true
		}})
	}
	return all
}

// needsLever reports whether a sum takes front and rear unlike in a coupled state.
func (h *checker) needsLever(parts []derive.Part) bool {
	for i, c := range byState(h.job, parts) {
		if derive.States[i] != derive.VehicleAlone && math.Abs(c.rear-c.front) > negligible {
			return true
		}
	}
	return false
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
func (h *checker) roomAt(p addPoint, deciding []*Check) (headroom, bool) {
	room := headroom{Place: p.name, Unit: p.unit, Kg: math.Floor(p.capacity), Rating: "capacity", On: p.name}
	for _, c := range deciding {
		kg, ok := h.room(p, c)
		if !ok {
			return headroom{}, false
		}
		if kg < room.Kg {
			room = headroom{p.name, p.unit, kg, c.Rating, c.On, c.State}
		}
	}
	return room, room.Kg < mostRoom
}

// room is how many whole kilograms fit at a place under one check; mostRoom
// where adding there never reaches it, 0 where it is not kept as it is.
func (h *checker) room(p addPoint, c *Check) (kg float64, ok bool) {
	perKg, ok := p.effect(c.parts)
	switch {
	case !ok:
		return 0, false
	case c.Found == nil:
		return mostRoom, math.Abs(perKg) < negligible
	case c.LimitKN.Valid:
		return h.couplerRoom(p, c)
	}
	limit, _ := c.Limit()
	return mostWhole(func(kg float64) bool { return h.keeps(c, limit, perKg, kg) }), true
}

// keeps reports whether a check is kept with its guard when kg are added.
func (h *checker) keeps(c *Check, limit, perKg, kg float64) bool {
	v, u := portable.Kg(c.Found.Value+float64(perKg*kg)), c.Found.U
	if c.unequal > 0 { // the share among tyres is vaguer the larger it is
		own := max(portable.Square(u/h.stretch)-portable.Square(float64(c.unequal*c.Found.Value)), 0)
		u = portable.Kg(float64(h.stretch * math.Sqrt(own+portable.Square(float64(c.unequal*v)))))
	}
	if c.Floor {
		return v >= 0
	}
	return judge(v, u, limit, c.Lower, h.rule, c.LimitKN.Valid) == Within
}

// mostWhole is the largest number of kilograms, without a fraction, up to mostRoom that is kept, 0 where
// none is: a limit once passed stays passed.
func mostWhole(keeps func(float64) bool) float64 {
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
func (h *checker) couplerRoom(p addPoint, c *Check) (kg float64, ok bool) {
	state := travelled(h.job)
	tParts, cParts := h.partsOf(nil, vehicleAxles, state), h.partsOf(nil, trailerAxles, state)
	dt, okT := p.effect(tParts)
	dC, okC := p.effect(cParts)
	if !okT || !okC {
		return 0, false
	}
	t0, c0 := h.sum("", tParts).value, h.sum("", cParts).value
	limit, _ := c.Limit()
	return mostWhole(func(kg float64) bool {
		t, axles := t0+float64(dt*kg), c0+float64(dC*kg)
		if t <= 0 || axles <= 0 {
			return true
		}
		return judge(portable.Ratio(dc(t, axles)), c.Found.U, limit, false, h.rule, true) == Within
	}), true
}
