package derive

import (
	"math"

	"reconcile/internal/tickets"
)

// noLever is a/w where the overhang or the wheelbase is missing.
const noLever = 0.45

// Shares is what 1 kg at a position puts on each group in a state. They sum to 1.
type Shares struct{ Front, Rear, Trailer, Nose float64 }

// Share returns what 1 kg of load puts on each group in a state, by the lever
// law with the tension moment of the hitch held constant:
//
//	vehicle at x:           front 1 − x/w, rear x/w
//	trailer alone at z:     nose z/n, axles 1 − z/n
//	trailer coupled at z:   axles 1 − z/L, front −(a/w)·z/L, rear (1 + a/w)·z/L
//
// at is in millimetres (vehicle: behind the front axle; trailer: ahead of the
// axle centre). ok is false where a length that the share depends on is missing;
// missing is then its column in outfit.csv. A unit that is not there carries nothing.
func Share(job *tickets.Job, on tickets.Unit, at float64, state State) (sh Shares, missing string, ok bool) {
	o := &job.Outfit
	if on == tickets.OnVehicle {
		return vehicleShare(o, at, state)
	}
	switch {
	case state == VehicleAlone:
		return Shares{}, "", true
	case at == 0:
		return Shares{Trailer: 1}, "", true
	case state == TrailerAlone:
		n := o.NoseSupportToTrailerAxle
		if !n.Known {
			return Shares{}, lengthN, false
		}
		return Shares{Nose: at / n.Mm, Trailer: 1 - at/n.Mm}, "", true
	}
	l := o.CouplingToTrailerAxle
	if !l.Known {
		return Shares{}, lengthL, false
	}
	k, missing := lever(o)
	part := at / l.Mm
	return Shares{Front: -k * part, Rear: (1 + k) * part, Trailer: 1 - part}, missing, missing == ""
}

func vehicleShare(o *tickets.Outfit, at float64, state State) (Shares, string, bool) {
	switch {
	case state == TrailerAlone:
		return Shares{}, "", true
	case at == 0:
		return Shares{Front: 1}, "", true
	case !o.Wheelbase.Known:
		return Shares{}, lengthW, false
	}
	return Shares{Front: 1 - at/o.Wheelbase.Mm, Rear: at / o.Wheelbase.Mm}, "", true
}

// lever is a/w; 0.45 and the missing column where one of them is not known.
func lever(o *tickets.Outfit) (k float64, missing string) {
	switch {
	case !o.RearAxleToCoupling.Known:
		return noLever, lengthA
	case !o.Wheelbase.Known:
		return noLever, lengthW
	}
	return o.RearAxleToCoupling.Mm / o.Wheelbase.Mm, ""
}

// part is what a load puts on one group: byMass·m + byShare·r, with r its
// unknown share where the position or a length is missing.
type part struct{ byMass, byShare float64 }

// parts is what a load puts on every group, and on a gauge under the
// coupling, in a state. missing names the number that would fix the unknown share.
type parts struct {
	on      map[tickets.Group]part
	missing string
}

// partsOf splits a load over the groups of a state.
func partsOf(job *tickets.Job, load *tickets.Load, state State) parts {
	at, known := position(job, load)
	if load.On == tickets.OnVehicle {
		return vehicleParts(&job.Outfit, at, known, state)
	}
	return trailerParts(&job.Outfit, at, known, state)
}

// position is where a load rides, when its place says so.
func position(job *tickets.Job, load *tickets.Load) (at float64, known bool) {
	if p := job.Place(load.Place); p != nil && load.Place != "" {
		return p.AtMm, p.HasAt
	}
	return 0, false
}

func vehicleParts(o *tickets.Outfit, at float64, known bool, state State) parts {
	if state == TrailerAlone {
		return parts{on: map[tickets.Group]part{}}
	}
	if !known || !o.Wheelbase.Known && at != 0 {
		return parts{
			on:      map[tickets.Group]part{tickets.Front: {1, -1}, tickets.Rear: {0, 1}},
			missing: missingOf(known, lengthW),
		}
	}
	x := 0.0
	if at != 0 {
		x = at / o.Wheelbase.Mm
	}
	return parts{on: map[tickets.Group]part{tickets.Front: {1 - x, 0}, tickets.Rear: {x, 0}}}
}

// trailerParts follows Share; Coupling holds what a gauge would read.
func trailerParts(o *tickets.Outfit, at float64, known bool, state State) parts {
	if state == VehicleAlone {
		return parts{on: map[tickets.Group]part{}}
	}
	k, _ := lever(o)
	p := parts{on: map[tickets.Group]part{}}
	onCoupling := ahead(at, known, o.CouplingToTrailerAxle)
	onNose := ahead(at, known, o.NoseSupportToTrailerAxle)
	if state == TrailerAlone {
		p.on[tickets.Nose] = onNose
		p.on[tickets.Trailer] = part{1 - onNose.byMass, -onNose.byShare}
		p.on[tickets.Coupling] = onCoupling
		if onNose.byShare != 0 {
			p.missing = missingOf(known, lengthN)
		}
		return p
	}
	p.on[tickets.Trailer] = part{1 - onCoupling.byMass, -onCoupling.byShare}
	p.on[tickets.Front] = part{-k * onCoupling.byMass, -k * onCoupling.byShare}
	p.on[tickets.Rear] = part{(1 + k) * onCoupling.byMass, (1 + k) * onCoupling.byShare}
	if onCoupling.byShare != 0 {
		p.missing = missingOf(known, lengthL)
	}
	return p
}

// ahead is what a load puts on the support a length ahead of the axle.
func ahead(at float64, known bool, length tickets.Length) part {
	switch {
	case known && at == 0:
		return part{}
	case known && length.Known:
		return part{byMass: at / length.Mm}
	}
	return part{byShare: 1}
}

func missingOf(known bool, length string) string {
	if !known {
		return "place"
	}
	return length
}

// ratio is a quotient of lengths with its standard uncertainty, whole and by length.
type ratio struct {
	value, u float64
	by       []lengthU
}

// lengthU is what one length adds to a ratio's uncertainty.
type lengthU struct {
	name string
	u    float64
}

// named is a length with its column in outfit.csv.
type named struct {
	name string
	mm   float64
}

// ratioOf returns Σ above / below for independent lengths of standard uncertainty ul:
//
//	u² = Σ (ul/below)² + (Σ above·ul/below²)²
func ratioOf(ul float64, below named, above ...named) ratio {
	var r ratio
	for _, a := range above {
		r.value += a.mm / below.mm
		r.by = append(r.by, lengthU{a.name, ul / below.mm})
	}
	r.by = append(r.by, lengthU{below.name, r.value * ul / below.mm})
	for _, l := range r.by {
		r.u = math.Hypot(r.u, l.u)
	}
	return r
}

// The lengths of an outfit, by their columns in outfit.csv.
const (
	lengthW = "wheelbase"
	lengthA = "rear_axle_to_coupling"
	lengthL = "coupling_to_trailer_axle"
	lengthN = "nose_support_to_trailer_axle"
)
