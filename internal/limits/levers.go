package limits

import (
	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// lever is what 10 kg put at a place add to front, rear, trailer and download,
// coupled and the hitch slack; nil where a length is missing.
type lever struct {
	Place                                  string
	On                                     tickets.Unit
	FrontKg, RearKg, TrailerKg, DownloadKg *float64
}

// leverKg is the mass that a lever is given for.
//
// A round figure that an owner can lift, and large enough that the whole kilograms that
// are printed differ from place to place.
const leverKg = 10

// standardPlace is a place that every outfit has. leverKnown is false where
// the lever a/w is missing and the front and rear axle's parts hang on it.
//
// An outfit without places.csv has these, so that its owner still gets an answer to the
// question what taking something from the nose to over the axle would do.
type standardPlace struct {
	name       string
	unit       tickets.Unit
	shares     sharesIn
	onCoupling float64 // part of it that rests on the coupling
	leverKnown bool
}

// sharesIn is what a kilogram at a place puts on the groups: with the vehicle alone, with
// the trailer alone, and coupled, where the tension of the bars changes nothing of it.
type sharesIn struct{ vehicleAlone, trailerAlone, coupled derive.Shares }

// of is the shares in a state.
func (s *sharesIn) of(state tickets.State) derive.Shares {
	switch state {
	case tickets.VehicleAlone:
		return s.vehicleAlone
	case tickets.TrailerAlone:
		return s.trailerAlone
	}
	return s.coupled
}

// effect is what a kilogram at the place adds to a sum of support loads.
func (p *standardPlace) effect(states []inState) float64 {
	sum := 0.0
	for i := range states {
		c := &states[i]
		sum += c.weigh(p.shares.of(c.state))
	}
	return sum
}

// mostStandard is the number of standard places at most.
const mostStandard = 6

// standardPlaces lists the standard places of which the lengths are known.
// Over an axle and on the coupling a trailer load needs no length of its own.
func (h *checker) standardPlaces() []standardPlace {
	o := &h.job.Outfit
	k, missing := derive.Lever(o)
	known := missing == ""
	all := h.memory.places.List(mostStandard)[:0]
	// Over an axle of the vehicle a load rests on that axle, by the position alone: no
	// length is needed.
	all = append(all,
		standardPlace{"at_front_axle", tickets.OnVehicle, onVehicle(1, 0), 0, true},
		standardPlace{"at_rear_axle", tickets.OnVehicle, onVehicle(0, 1), 0, true},
	)
	// A load on the towbar acts as a download does: it levers the front axle up by a/w
	// about the rear one.
	if known {
		all = append(all, standardPlace{"at_coupling", tickets.OnVehicle, onVehicle(-k, 1+k), 0, true})
	}
	if !o.Drawbar { // nothing rests on a hinged drawbar
		all = append(all, standardPlace{"at_coupling", tickets.OnTrailer, overCoupling(k), 1, known})
		if n, l := o.NoseSupportToTrailerAxle, o.CouplingToTrailerAxle; n.Known && l.Known {
			all = append(all, standardPlace{"at_nose", tickets.OnTrailer, h.onTrailer(n.Mm), n.Mm / l.Mm, known})
		}
	}
	return append(all, standardPlace{"at_axle", tickets.OnTrailer, overTrailerAxle(), 0, true})
}

// onVehicle is the shares of a vehicle load that puts these parts on front and rear,
// with or without the trailer hitched up; the trailer alone carries nothing of it.
func onVehicle(front, rear float64) sharesIn {
	both := derive.Shares{Front: front, Rear: rear}
	return sharesIn{vehicleAlone: both, coupled: both}
}

// overTrailerAxle is the shares of a load over the trailer's axle: neither nose nor
// coupling feels it.
func overTrailerAxle() sharesIn {
	axle := derive.Shares{Trailer: 1}
	return sharesIn{trailerAlone: axle, coupled: axle}
}

// overCoupling is the shares of a trailer load over the coupling. Uncoupled it
// rests on nose and axles together, however they part it.
func overCoupling(k float64) sharesIn {
	return sharesIn{trailerAlone: derive.Shares{Nose: 1}, coupled: derive.Shares{Front: -k, Rear: 1 + k}}
}

// onTrailer is the shares of a load ahead of the trailer's axle.
func (h *checker) onTrailer(at float64) (s sharesIn) {
	s.trailerAlone, _, _ = derive.Share(h.job, tickets.OnTrailer, at, tickets.TrailerAlone)
	s.coupled, _, _ = derive.Share(h.job, tickets.OnTrailer, at, tickets.CoupledSlack)
	return s
}

// levers lists the form's places, then the standard ones.
func (h *checker) levers(standard []standardPlace) []lever {
	all := h.memory.levers.List(len(h.job.Places) + len(standard))[:0]
	for i := range h.job.Places {
		p := &h.job.Places[i]
		all = append(all, h.leverAt(p.Name, position{p.On, p.AtMm, p.HasAt}))
	}
	// The trailer's part and the download need no lever a/w, so that they are given also
	// where the axles of the vehicle stay open.
	for i := range standard {
		p := &standard[i]
		sh := &p.shares.coupled
		l := lever{Place: p.name, On: p.unit, TrailerKg: h.tenKg(sh.Trailer), DownloadKg: h.tenKg(p.onCoupling)}
		if p.leverKnown {
			l.FrontKg, l.RearKg = h.tenKg(sh.Front), h.tenKg(sh.Rear)
		}
		all = append(all, l)
	}
	return all
}

// leverAt is the lever of a place of the form: each of its loads by itself, for
// one may hang on a length that another does not need.
func (h *checker) leverAt(name string, at position) lever {
	on := func(parts []derive.Part) *float64 {
		if e := effectAt(h.job, at, parts); e.exact() {
			return h.tenKg(e.byMass)
		}
		return nil
	}
	slack := tickets.CoupledSlack
	return lever{
		Place: name, On: at.on,
		FrontKg: on(groupLoads(1, slack, tickets.Front)), RearKg: on(groupLoads(1, slack, tickets.Rear)),
		TrailerKg: on(groupLoads(1, slack, tickets.Trailer)),
		// D is what the vehicle weighs more once the trailer is hitched up (contract,
		// section 2), so that a load on the vehicle, which is there either way, adds
		// nothing to it.
		DownloadKg: on(h.partsOf(nil, download, slack)),
	}
}

func (h *checker) tenKg(perKg float64) *float64 {
	return h.memory.numbers.Of(portable.Kg(float64(leverKg * perKg)))
}
