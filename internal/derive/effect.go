package derive

import (
	"math"

	"reconcile/internal/tickets"
)

// Effect returns what one kilogram of load at a place adds to a sum of support loads:
// the shares of the lever law, the tension moment of the hitch unchanged. missing is blank
// unless that hangs on a number that is not there, and then names it: a length's column in
// outfit.csv, or place where the place has no position. perKg is then without the share that
// is open, and with the a/w that is assumed: a sum of two sums, each of which hangs on it,
// may not.
func Effect(job *tickets.Job, at *tickets.Place, parts ...Part) (perKg float64, missing string) {
	var e effect
	e.addSum(job, at, parts)
	if e.exact() {
		return e.byMass, ""
	}
	return e.byMass, e.missing
}

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
func (e *effect) exact() bool { return !e.guessed && math.Abs(e.byShare) < negligible }

// effectOf is the effect of a load at a place on a sum of support loads.
func effectOf(job *tickets.Job, at *tickets.Place, parts []Part) (e effect) {
	e.addSum(job, at, parts)
	return e
}

// addSum adds the effect on the states of a sum, in the order in which the sum has them,
// one after the other.
func (e *effect) addSum(job *tickets.Job, at *tickets.Place, parts []Part) {
	for i, left := 0, len(parts); left > 0; i++ { // mostly they are all of one state
		if !firstOfState(parts, i) {
			continue
		}
		c := inState{state: parts[i].State}
		for k := i; k < len(parts); k++ {
			if p := &parts[k]; p.State == c.state {
				c.add(&job.Outfit, p)
				left--
			}
		}
		e.addState(job, at, &c)
	}
}

// add adds the effect in a state that hangs on a missing number, which may be 0 all the same.
func (e *effect) add(byMass, byShare float64, guessed bool, missing string) {
	e.byMass += byMass
	e.byShare += byShare
	if guessed || math.Abs(byShare) >= negligible {
		e.guessed, e.missing = e.guessed || guessed, missing
	}
}

// firstOfState says whether no part before this one is of its state.
func firstOfState(parts []Part, i int) bool {
	for k := range i {
		if parts[k].State == parts[i].State {
			return false
		}
	}
	return true
}

// placeOf is where a load rides: of no known position where the form has no such place.
func placeOf(job *tickets.Job, l *tickets.Load) *tickets.Place {
	if p := job.Place(l.Place); p != nil {
		return p
	}
	return &tickets.Place{On: l.On}
}

// inState are the coefficients of the four groups in a sum, in one state.
type inState struct {
	state                      tickets.State
	front, rear, trailer, nose float64
}

// add adds a part of the sum. Inside a group a load is carried in equal parts by its
// axles, and half on each side.
func (c *inState) add(o *tickets.Outfit, p *Part) {
	k := p.Factor
	if p.Support.Axle > 0 || p.Support.Side != "" {
		k = float64(k * Fraction(o, p.Support))
	}
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

// weigh is the sum for what one kilogram puts on each group.
func (c *inState) weigh(sh shares) float64 {
	return float64(c.front*sh.front) + float64(c.rear*sh.rear) + float64(c.trailer*sh.trailer) + float64(c.nose*sh.nose)
}

// leans says whether the lever a/w matters: not to a sum that has front and rear alike.
func (c *inState) leans() bool { return math.Abs(c.rear-c.front) > negligible }

// addState adds the effect in one state: by the shares where they are known, else with
// what the load puts on the rear axle, coupling or nose left open.
func (e *effect) addState(job *tickets.Job, p *tickets.Place, c *inState) {
	if p.Over != "" {
		sh, missing := overShare(&job.Outfit, p, c.state)
		e.add(c.weigh(sh), 0, missing != "" && c.leans(), missing)
		return
	}
	if p.On == tickets.OnTrailer && job.Outfit.Drawbar && c.state != tickets.VehicleAlone {
		e.byMass += c.trailer // nothing of it rests on the coupling
		return
	}
	// The shares first: where all lengths are known nothing else is asked. Else the sum may
	// still not need the one that is missing, as one of all axles together.
	sh, missing, ok := share(job, p.On, p.AtMm, c.state)
	switch {
	case p.HasAt && ok:
		e.byMass += c.weigh(sh)
		return
	case !p.HasAt:
		missing = "place"
	}
	switch {
	case p.On == tickets.OnVehicle && c.state == tickets.TrailerAlone, p.On == tickets.OnTrailer && c.state == tickets.VehicleAlone:
	case p.On == tickets.OnVehicle:
		e.add(c.front, c.rear-c.front, false, missing)
	case c.state == tickets.TrailerAlone:
		e.add(c.trailer, c.nose-c.trailer, false, missing)
	default:
		e.addCoupled(&job.Outfit, p, c, missing)
	}
}

// addCoupled adds that of a trailer load, coupled, where L, the position, or
// the lever a/w of the overhang is missing. The front axle loses and the rear
// axle gains k for each kilogram on the coupling; k does not matter to a sum
// that has both alike.
func (e *effect) addCoupled(o *tickets.Outfit, p *tickets.Place, c *inState, missing string) {
	k, missingLever := lever(o)
	perKg := float64((1+k)*c.rear) - float64(k*c.front) - c.trailer
	guessed := missingLever != "" && c.leans()
	if l := o.CouplingToTrailerAxle; p.HasAt && l.Known {
		e.add(c.trailer+float64(perKg*p.AtMm)/l.Mm, 0, guessed, missing)
	} else {
		e.add(c.trailer, perKg, guessed, missing)
	}
}
