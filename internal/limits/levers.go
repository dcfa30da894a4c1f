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

// mostStandard is the number of standard places at most.
const mostStandard = 6

// standardPlaces lists the places that every outfit has, of which the lengths are known.
// Over an axle and on the coupling a load needs no length of its own.
//
// An outfit without places.csv has these, so that its owner still gets an answer to the
// question what taking something from the nose to over the axle would do.
func (h *checker) standardPlaces() []tickets.Place {
	o := &h.job.Outfit
	all := append(h.memory.places.List(mostStandard)[:0],
		tickets.Place{Name: "at_front_axle", On: tickets.OnVehicle, HasAt: true},
		tickets.Place{Name: "at_rear_axle", On: tickets.OnVehicle, Over: tickets.Rear},
	)
	// A load on the towbar acts as a download does: it levers the front axle up by a/w
	// about the rear one.
	towbar := tickets.Place{Name: "at_coupling", On: tickets.OnVehicle, Over: tickets.Coupling}
	if _, missing := derive.Effect(h.job, &towbar, vehicleIn[tickets.CoupledSlack][:1]...); missing == "" {
		all = append(all, towbar)
	}
	if !o.Drawbar { // nothing rests on a hinged drawbar
		all = append(all, tickets.Place{Name: "at_coupling", On: tickets.OnTrailer, Over: tickets.Coupling})
		if o.NoseSupportToTrailerAxle.Known && o.CouplingToTrailerAxle.Known {
			all = append(all, tickets.Place{Name: "at_nose", On: tickets.OnTrailer, Over: tickets.Nose})
		}
	}
	return append(all, tickets.Place{Name: "at_axle", On: tickets.OnTrailer, HasAt: true})
}

// levers lists the form's places, then the standard ones.
func (h *checker) levers(standard []tickets.Place) []lever {
	all := h.memory.levers.List(len(h.job.Places) + len(standard))[:0]
	for i := range h.job.Places {
		// D is what the vehicle weighs more once the trailer is hitched up (contract,
		// section 2), so that a load on the vehicle, which is there either way, adds
		// nothing to it.
		p := &h.job.Places[i]
		all = append(all, h.leverAt(p, h.tenKgAt(p, h.partsOf(nil, download, tickets.CoupledSlack))))
	}
	for i := range standard {
		p := &standard[i]
		all = append(all, h.leverAt(p, h.tenKg(h.onCoupling(p))))
	}
	return all
}

// onCoupling is what of a load at a standard place rests on the coupling.
func (h *checker) onCoupling(p *tickets.Place) float64 {
	switch {
	case p.On == tickets.OnTrailer && p.Over == tickets.Coupling:
		return 1
	case p.Over == tickets.Nose:
		return h.job.Outfit.NoseSupportToTrailerAxle.Mm / h.job.Outfit.CouplingToTrailerAxle.Mm
	}
	return 0
}

// leverAt is the lever of a place: each of its loads by itself, for one may hang on a
// length that another does not need.
func (h *checker) leverAt(p *tickets.Place, download *float64) lever {
	on := vehicleIn[tickets.CoupledSlack]
	return lever{
		Place: p.Name, On: p.On, FrontKg: h.tenKgAt(p, on[:1]), RearKg: h.tenKgAt(p, on[1:]),
		TrailerKg: h.tenKgAt(p, axlesIn[tickets.CoupledSlack]), DownloadKg: download,
	}
}

// tenKgAt is what 10 kg at a place add to a sum; nil where that is not known.
func (h *checker) tenKgAt(p *tickets.Place, parts []derive.Part) *float64 {
	perKg, missing := derive.Effect(h.job, p, parts...)
	if missing != "" {
		return nil
	}
	return h.tenKg(perKg)
}

func (h *checker) tenKg(perKg float64) *float64 {
	return h.memory.numbers.Of(portable.Kg(float64(leverKg * perKg)))
}
