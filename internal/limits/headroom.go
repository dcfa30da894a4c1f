package limits

import (
	"math"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// Headroom is how many kilograms more fit at a place until the first deciding
// rating is reached with its U: value + U ≤ limit (for a least value − U ≥
// limit) with the load added. The load's own mass is taken as exact. Rating,
// On and State name the check that is reached first; Rating is "capacity" where
// the place itself is full before.
type Headroom struct {
	Place      string
	Kg         float64
	Rating, On string
	State      derive.State
}

// trailerStep is how far ahead of, and behind, its axle a trailer is tried, in
// millimetres (common practice, no source).
const trailerStep = 1000

// position is a usual place for a load.
type position struct {
	name     string
	effect   func(parts []derive.Part) (perKg float64, ok bool)
	capacity float64 // kg left in it; infinite where it has none
}

// headroom tries each usual position. Readings in conflict give none, and a
// place is left out where it bears on a deciding check that is not weighed, or
// where a missing length leaves open what it bears on: nothing could be
// promised there.
func (h *holder) headroom(f *Findings) []Headroom {
	if f.Verdict == JobConflict {
		return nil
	}
	var all []Headroom
	deciding := f.Deciding("")
	for _, p := range h.positions() {
		if r, ok := h.roomAt(p, deciding); ok {
			all = append(all, r)
		}
	}
	return all
}

// positions lists the usual positions, vehicle first, then the form's places.
// Over an axle and midway between axles no length is needed.
func (h *holder) positions() []position {
	all := []position{
		h.byShares("front axle", onVehicle(1, 0)),
		h.byShares("midway between the axles", onVehicle(0.5, 0.5)),
		h.byShares("rear axle", onVehicle(0, 1)),
		h.bySpot("1 m ahead of the trailer axle", spot{tickets.OnTrailer, trailerStep, true}),
		h.byShares("trailer axle", overTrailerAxle),
		h.bySpot("1 m behind the trailer axle", spot{tickets.OnTrailer, -trailerStep, true}),
	}
	for i := range h.job.Places {
		p := &h.job.Places[i]
		at := h.bySpot(p.Name, spot{p.On, p.AtMm, p.HasAt})
		if p.CapacityKg.Valid {
			at.capacity = math.Max(p.CapacityKg.Decimal.InexactFloat64()-h.ridesAt(p.Name), 0)
		}
		all = append(all, at)
	}
	return all
}

// ridesAt is the declared mass of what travels at a place.
func (h *holder) ridesAt(place string) float64 {
	sum := 0.0
	for _, l := range h.job.Loads {
		if l.Place == place && l.Set == "" && !onlyWeighed(h.job, l.Name) {
			sum += l.Kg.InexactFloat64()
		}
	}
	return sum
}

func onVehicle(front, rear float64) func(derive.State) derive.Shares {
	return func(s derive.State) derive.Shares {
		if s == derive.TrailerAlone {
			return derive.Shares{}
		}
		return derive.Shares{Front: front, Rear: rear}
	}
}

func overTrailerAxle(s derive.State) derive.Shares {
	if s == derive.VehicleAlone {
		return derive.Shares{}
	}
	return derive.Shares{Trailer: 1}
}

func (h *holder) byShares(name string, shares func(derive.State) derive.Shares) position {
	return position{name: name, capacity: math.Inf(1), effect: func(parts []derive.Part) (float64, bool) {
		return sharesEffect(h.job, shares, parts), true
	}}
}

func (h *holder) bySpot(name string, s spot) position {
	return position{name: name, capacity: math.Inf(1), effect: func(parts []derive.Part) (float64, bool) {
		e := effectAt(h.job, s, parts)
		return e.byMass, e.exact()
	}}
}

// roomAt finds the first limit reached at a position; ok is false where nothing
// can be said, or nothing limits it.
func (h *holder) roomAt(p position, deciding []*Check) (Headroom, bool) {
	room := Headroom{Place: p.name, Kg: p.capacity, Rating: "capacity", On: p.name}
	for _, c := range deciding {
		kg, ok := h.room(p, c)
		if !ok {
			return Headroom{}, false
		}
		if kg < room.Kg {
			room = Headroom{p.name, kg, c.Rating, c.On, c.State}
		}
	}
	return room, !math.IsInf(room.Kg, 1)
}

// room is how much fits at a position under one check; infinite where adding
// there never reaches it, 0 where it is not kept with its U as it is.
func (h *holder) room(p position, c *Check) (kg float64, ok bool) {
	perKg, ok := p.effect(c.parts)
	switch {
	case !ok:
		return 0, false
	case c.Found == nil:
		return math.Inf(1), math.Abs(perKg) < negligible
	}
	limit, _ := c.Limit()
	v, u := c.Found.Value, c.Found.U
	if c.Lower {
		v, limit, perKg = -v, -limit, -perKg
	}
	slack := limit - v - coverage*u
	switch {
	case slack < 0:
		return 0, true
	case c.LimitKN.Valid:
		return h.couplerRoom(p, slack)
	case perKg < negligible:
		return math.Inf(1), true
	case c.shared:
		return h.sharedRoom(v, u, perKg, limit), true
	}
	return slack / perKg, true
}

// sharedRoom is the room under one tyre's limit where its load is an equal
// share: its uncertainty grows with the load, so the end is searched for
// between nothing and what would fit if it did not.
func (h *holder) sharedRoom(v, u, perKg, limit float64) float64 {
	scale := h.scaling
	own := math.Sqrt(math.Max(math.Pow(u/scale, 2)-math.Pow(unequalShare*v, 2), 0))
	low, high := 0.0, (limit-v-coverage*u)/perKg
	for range 60 {
		kg := (low + high) / 2
		value := v + perKg*kg
		if value+coverage*scale*math.Hypot(own, unequalShare*value) <= limit {
			low = kg
		} else {
			high = kg
		}
	}
	return low
}

// couplerRoom is the room under a D-value. Dc is concave along a load, so that
// each step by its slope stays short of the limit and the steps end at it.
func (h *holder) couplerRoom(p position, slackKN float64) (kg float64, ok bool) {
	state := travelled(h.job)
	tParts, cParts := h.partsOf(nil, vehicleAxles, state), h.partsOf(nil, trailerAxles, state)
	dt, okT := p.effect(tParts)
	dC, okC := p.effect(cParts)
	if !okT || !okC {
		return 0, false
	}
	t0, c0 := h.sum("", tParts).value, h.sum("", cParts).value
	limit := dc(t0, c0) + slackKN
	for range 60 {
		t, c := t0+dt*kg, c0+dC*kg
		slope := gravity / 1000 * (dt*c*c + dC*t*t) / ((t + c) * (t + c))
		if slope < negligible || t <= 0 || c <= 0 {
			return math.Inf(1), true
		}
		step := (limit - dc(t, c)) / slope
		kg += step
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return math.Max(kg, 0), true
}
