package derive

import (
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// noLever is a/w where the overhang or the wheelbase is missing, but of a
// semi-trailer (see leverOf): 1.3 m over 2.9 m. Common practice, no source.
const noLever = 0.45

// shares is what 1 kg at a position puts on each group in a state. They sum to 1, and
// one may be negative: behind the trailer's axle a load lifts the coupling.
type shares struct{ front, rear, trailer, nose float64 }

// share returns what 1 kg of load puts on each group in a state, by the lever
// law (moments about one support give the load on the other) with the tension moment
// of the hitch held constant:
//
//	vehicle at x:           front 1 − x/w, rear x/w
//	trailer alone at z:     nose z/n, axles 1 − z/n
//	trailer coupled at z:   axles 1 − z/L, front −(a/w)·z/L, rear (1 + a/w)·z/L
//	drawbar trailer:        axles 1, wherever it is
//
// at is in millimetres (vehicle: behind the front axle; trailer: ahead of the
// axle centre). ok is false where a length that the share depends on is missing;
// missing is then its column in outfit.csv. A unit that is not there carries nothing.
func share(job *tickets.Job, on tickets.Unit, at float64, state tickets.State) (sh shares, missing string, ok bool) {
	o := &job.Outfit
	if on == tickets.OnVehicle {
		return vehicleShare(o, at, state)
	}
	switch {
	case o.Drawbar:
		return drawbarShare(state), "", true
	case state == tickets.VehicleAlone:
		return shares{}, "", true
	case at == 0:
		return shares{trailer: 1}, "", true
	case state == tickets.TrailerAlone:
		n := o.NoseSupportToTrailerAxle
		if !n.Known {
			return shares{}, lengthN, false
		}
		return shares{nose: at / n.Mm, trailer: 1 - at/n.Mm}, "", true
	}
	l := o.CouplingToTrailerAxle
	if !l.Known {
		return shares{}, lengthL, false
	}
	k, missing := lever(o)
	return onCoupling(k, at/l.Mm), missing, missing == ""
}

// onCoupling is the shares of a trailer load, coupled, of which the coupling has a part:
// the front axle loses and the rear axle gains k of it.
func onCoupling(k, part float64) shares {
	return shares{front: float64(-k * part), rear: float64((1 + k) * part), trailer: 1 - part}
}

// vehicleShare is the lever law of a beam on two axles: moments about the front axle
// give rear = x/w. Coupled it is the same, as what rides in the vehicle puts nothing on
// the coupling.
func vehicleShare(o *tickets.Outfit, at float64, state tickets.State) (shares, string, bool) {
	switch {
	case state == tickets.TrailerAlone:
		return shares{}, "", true
	case at == 0:
		return shares{front: 1}, "", true
	case !o.Wheelbase.Known:
		return shares{}, lengthW, false
	}
	return shares{front: 1 - at/o.Wheelbase.Mm, rear: at / o.Wheelbase.Mm}, "", true
}

// overShare is the shares of a load right over a support, which rests on it alone,
// wherever it is: the rear axle or the coupling, or the nose of a trailer of known
// lengths. Uncoupled, what is over the coupling of the trailer rests on its nose and axles
// together, however they part it. missing names a length of a/w, for which 0.45 stands.
func overShare(o *tickets.Outfit, p *tickets.Place, state tickets.State) (sh shares, missing string) {
	switch {
	case p.On == tickets.OnVehicle && state == tickets.TrailerAlone, p.On == tickets.OnTrailer && state == tickets.VehicleAlone:
		return shares{}, ""
	case p.Over == tickets.Rear:
		return shares{rear: 1}, ""
	case state == tickets.TrailerAlone:
		return shares{nose: 1}, ""
	}
	part := 1.0
	if p.Over == tickets.Nose {
		part = o.NoseSupportToTrailerAxle.Mm / o.CouplingToTrailerAxle.Mm
	}
	k, missing := lever(o)
	return onCoupling(k, part), missing
}

// lever is a/w, rear axle to coupling over wheelbase: what a kilogram on the coupling
// takes off the front axle, by moments about the rear one. Where one of them is not
// known it is 0.45, of a semi-trailer 0, and missing names the column.
func lever(o *tickets.Outfit) (k float64, missing string) {
	switch {
	case !o.RearAxleToCoupling.Known:
		return leverOf(o), lengthA
	case !o.Wheelbase.Known:
		return leverOf(o), lengthW
	}
	return o.RearAxleToCoupling.Mm / o.Wheelbase.Mm, ""
}

// part is what a load puts on one group: byMass·m + byShare·r, with r its
// unknown share where the position or a length is missing; missing names the
// number that would fix it. r is in kilograms and one for the load: what it puts on the
// rear axle of its vehicle, or on the coupling or nose of its trailer.
type part struct {
	byMass, byShare float64
	missing         string
}

// times is f of the same part.
func (p part) times(f float64) part {
	return part{float64(f * p.byMass), float64(f * p.byShare), p.missing}
}

// rest is what of the load is not in the part: the groups of a unit carry all of it.
func (p part) rest() part { return part{1 - p.byMass, -p.byShare, p.missing} }

// parts is what a load puts on every group, and on a gauge under the
// coupling, in a state.
type parts map[tickets.Group]part

// partsOf splits a load over the groups of a state. The parts of its unit add up to
// the load: what one support does not carry the others do.
func partsOf(job *tickets.Job, load *tickets.Load, state tickets.State) parts {
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

// vehicleParts is the same in every state of the vehicle: what rides in it reaches
// the trailer only through the coupling, and the tension is held constant.
func vehicleParts(o *tickets.Outfit, at float64, known bool, state tickets.State) parts {
	if state == tickets.TrailerAlone {
		return parts{}
	}
	rear := ahead(at, known, named{lengthW, o.Wheelbase})
	return parts{tickets.Front: rear.rest(), tickets.Rear: rear}
}

// trailerParts follows share; Coupling holds what a gauge would read. Coupled, what is
// on the coupling is taken up by the vehicle's axles as −a/w and 1 + a/w of it.
func trailerParts(o *tickets.Outfit, at float64, known bool, state tickets.State) parts {
	coupling := ahead(at, known, named{lengthL, o.CouplingToTrailerAxle})
	if o.Drawbar { // nothing of it rests on a hinged drawbar
		coupling = part{}
	}
	switch state {
	case tickets.VehicleAlone:
		return parts{}
	case tickets.TrailerAlone:
		if o.Drawbar {
			return parts{tickets.Trailer: coupling.rest()}
		}
		nose := ahead(at, known, named{lengthN, o.NoseSupportToTrailerAxle})
		return parts{tickets.Nose: nose, tickets.Trailer: nose.rest(), tickets.Coupling: coupling}
	}
	k, _ := lever(o)
	return parts{tickets.Trailer: coupling.rest(), tickets.Front: coupling.times(-k), tickets.Rear: coupling.times(1 + k)}
}

// ahead is what a load at a distance from one support puts on the support a
// length away from it: at/length of its mass. On the first support itself that is
// nothing, whatever the length. Where place or length is missing it is an unknown
// share.
func ahead(at float64, known bool, length named) part {
	switch {
	case known && at == 0:
		return part{}
	case known && length.Known:
		return part{byMass: at / length.Mm}
	}
	return part{byShare: 1, missing: missingOf(known, length.name)}
}

// missingOf names what to ask for first: a length helps nothing without the place.
func missingOf(known bool, length string) string {
	if !known {
		return "place"
	}
	return length
}

// ratio is a quotient of lengths with its standard uncertainty, in all and by length.
type ratio struct {
	value, u float64
	lengths  [mostLengths]lengthU
	n        int // of lengths
}

// mostLengths is the number of lengths that a ratio has at most.
const mostLengths = 3

// by is what each length adds.
func (r *ratio) by() []lengthU { return r.lengths[:r.n] }

// names are the names of the lengths of a ratio, in the order in which they are listed.
func (r *ratio) names() []string {
	names := make([]string, 0, r.n)
	for place, name := range lengths {
		if slices.ContainsFunc(r.by(), func(l lengthU) bool { return l.place == place }) {
			names = append(names, name)
		}
	}
	return names
}

// lengthU is what one length, by its place in lengths, adds to a ratio's uncertainty:
// |∂ratio/∂length|·ul.
type lengthU struct {
	place int
	u     float64
}

// named is a length with its column in outfit.csv.
type named struct {
	name string
	tickets.Length
}

// ratioOf returns Σ above / below for independent lengths of standard uncertainty ul,
// all in mm:
//
//	u² = Σ (ul/below)² + (Σ above·ul/below²)²
//
// Source: JCGM 100:2008, 5.1.2, with ∂ratio/∂above = 1/below and ∂ratio/∂below =
// −ratio/below.
func ratioOf(ul float64, below named, above ...named) ratio {
	r := ratio{n: len(above) + 1}
	for i, a := range above {
		r.value += a.Mm / below.Mm
		r.lengths[i] = lengthU{slices.Index(lengths[:], a.name), ul / below.Mm}
	}
	r.lengths[len(above)] = lengthU{slices.Index(lengths[:], below.name), float64(r.value*ul) / below.Mm}
	for _, l := range r.by() {
		r.u = portable.Hypot(r.u, l.u)
	}
	return r
}

// lengths are the columns of outfit.csv that ties and levers use, in the order in
// which they are listed.
var lengths = [...]string{lengthW, lengthA, lengthL, lengthN}

// The lengths of an outfit, by their columns in outfit.csv.
const (
	lengthW = "wheelbase"
	lengthA = "rear_axle_to_coupling"
	lengthL = "coupling_to_trailer_axle"
	lengthN = "nose_support_to_trailer_axle"
)
