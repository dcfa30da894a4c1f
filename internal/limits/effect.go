package limits

import (
	"math"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// negligible is a coefficient that counts as none.
const negligible = 1e-12

// effect is what one kilogram of a load adds to a sum of support loads:
// byMass, plus byShare for each kilogram that the load puts on the rear axle
// (vehicle), or on coupling or nose (trailer), where its position or a length
// leaves that share open. guessed says that the lever of the overhang was
// missing and mattered; missing names the first number that would fix it.
type effect struct {
	byMass, byShare float64
	guessed         bool
	missing         string
}

// exact reports whether the effect depends on no missing number.
func (e effect) exact() bool { return !e.guessed && math.Abs(e.byShare) < negligible }

// position is where a load rides.
type position struct {
	on    tickets.Unit
	at    float64
	known bool // at is
}

// positionOf is where a load of loads.csv rides.
func positionOf(job *tickets.Job, l *tickets.Load) position {
	s := position{on: l.On}
	if p := job.Place(l.Place); p != nil {
		s.at, s.known = p.AtMm, p.HasAt
	}
	return s
}

// effectAt is the effect of a load at a position on a sum of support loads.
func effectAt(job *tickets.Job, s position, parts []derive.Part) effect {
	var room [mostStates]inState
	return effectOn(job, s, byState(room[:0], job, parts))
}

// effectOn is the same of a sum whose coefficients are added up already.
func effectOn(job *tickets.Job, s position, states []inState) effect {
	var sum effect
	for _, c := range states {
		e := effectIn(job, s, c)
		sum.byMass += e.byMass
		sum.byShare += e.byShare
		sum.guessed = sum.guessed || e.guessed
		if !e.exact() {
			sum.missing = e.missing
		}
	}
	return sum
}

// inState are the coefficients of the four groups in a sum, in one state.
type inState struct {
	state                      tickets.State
	front, rear, trailer, nose float64
}

// mostStates is the number of states that a rating compares at most.
const mostStates = 2

// byState adds a sum's coefficients up by state, in the order in which the sum has
// them, and group, into the room that is given. Inside a group a load is carried in
// equal parts by its axles, and half on each side.
func byState(sums []inState, job *tickets.Job, parts []derive.Part) []inState {
	for i := range parts {
		p := &parts[i]
		at := slices.IndexFunc(sums, func(c inState) bool { return c.state == p.State })
		if at < 0 {
			at, sums = len(sums), append(sums, inState{state: p.State})
		}
		c, k := &sums[at], float64(p.Factor*fraction(job, p.Support))
		switch p.Support.Group {
		case tickets.Front:
			c.front += k
		case tickets.Rear:
			c.rear += k
		case tickets.Trailer:
			c.trailer += k
		case tickets.Nose:
			c.nose += k
		}
	}
	return sums
}

// weigh is the sum for what one kilogram puts on each group.
func (c inState) weigh(sh derive.Shares) float64 {
	return float64(c.front*sh.Front) + float64(c.rear*sh.Rear) + float64(c.trailer*sh.Trailer) + float64(c.nose*sh.Nose)
}

// effectIn is the effect in one state: by the shares where they are known,
// else with what the load puts on the rear axle, coupling or nose left open.
func effectIn(job *tickets.Job, s position, c inState) effect {
	state := c.state
	if s.on == tickets.OnTrailer && job.Outfit.Drawbar && state != tickets.VehicleAlone {
		return effect{byMass: c.trailer} // nothing of it rests on the coupling
	}
	sh, missing, ok := derive.Share(job, s.on, s.at, state)
	switch {
	case s.known && ok:
		return effect{byMass: c.weigh(sh)}
	case !s.known:
		missing = "place"
	}
	switch {
	case s.on == tickets.OnVehicle && state == tickets.TrailerAlone, s.on == tickets.OnTrailer && state == tickets.VehicleAlone:
		return effect{}
	case s.on == tickets.OnVehicle:
		return effect{byMass: c.front, byShare: c.rear - c.front, missing: missing}
	case state == tickets.TrailerAlone:
		return effect{byMass: c.trailer, byShare: c.nose - c.trailer, missing: missing}
	}
	return coupledEffect(job, s, c, missing)
}

// coupledEffect is that of a trailer load, coupled, where L, the position, or
// the lever a/w of the overhang is missing. The front axle loses and the rear
// axle gains k for each kilogram on the coupling; k does not matter to a sum
// that has both alike.
func coupledEffect(job *tickets.Job, s position, c inState, missing string) effect {
	e := effect{byMass: c.trailer, missing: missing}
	k, missingLever := derive.Lever(&job.Outfit)
	perKg := float64((1+k)*c.rear) - float64(k*c.front) - c.trailer
	e.guessed = missingLever != "" && math.Abs(c.rear-c.front) > negligible
	if l := job.Outfit.CouplingToTrailerAxle; s.known && l.Known {
		e.byMass += float64(perKg*s.at) / l.Mm
	} else {
		e.byShare = perKg
	}
	return e
}

// fraction is the part of a group's load that one of its supports carries.
func fraction(job *tickets.Job, t tickets.Term) float64 {
	f := 1.0
	if t.Axle > 0 {
		f /= float64(max(job.Outfit.Axles(t.Group), 1))
	}
	if t.Side != "" {
		f /= 2
	}
	return f
}
