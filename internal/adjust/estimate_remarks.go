package adjust

import (
	"slices"

	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// remark is something that the sums rest on or lack: a code, with the line of
// its form and the name that it is about.
type remark struct {
	Code string
	Line int
	Name string
}

// The codes of remarks.
const (
	driverIncluded = "driver_included" // running order, no load `driver`: 75 kg and 90 % of the fuel are in it
	fuelIncluded   = "fuel_included"   // running order, driver counted: 90 % of the fuel is in it
	trailerAtATM   = "trailer_at_atm"  // no empty trailer stated: taken as heavy as it may be
	noVehicleMass  = "no_vehicle_mass" // no empty vehicle stated
	noTrailerMass  = "no_trailer_mass" // neither empty trailer nor atm stated
	loadOnNeither  = "load_on_neither" // a load that says neither vehicle nor trailer
	noAxleMass     = "no_axle_mass"    // no empty mass of that axle
	noPosition     = "no_position"     // a load whose place is not known
	noLength       = "no_length"       // a length that the axles need
	partOfGroup    = "part_of_group"   // one axle of a group, whose part of the load nothing says
	barsTensioned  = "bars_tensioned"  // it travels with tensioned bars, which the sums leave out
	notInFits      = "not_in_fits"     // a rating word that the heaviest trailer is not sought under
)

// remark notes something once.
func (e *estimator) remark(r remark) {
	if !slices.Contains(e.remarks, r) {
		e.remarks = append(e.remarks, r)
	}
}

// whyNot notes what a row needs and has not: what the vehicle as one and the
// trailer lack is noted where they are added up.
func (e *estimator) whyNot(a *limits.Applied, m *masses) {
	switch {
	case a.Part:
		e.remark(remark{partOfGroup, a.Line.Line, a.Line.On})
		return
	case a.On != tickets.Front && a.On != tickets.Rear:
		return
	case e.empty[m.set][string(a.On)] == nil:
		e.remark(remark{Code: noAxleMass, Name: string(a.On)})
	}
	for _, l := range m.vehicleLoads {
		if p := e.job.Place(l.Place); p == nil || !p.HasAt {
			e.remark(remark{noPosition, l.Line, l.Name})
		} else if _, missing := onAxle(e.job, p, a.On); missing != "" {
			e.remark(remark{Code: noLength, Name: missing})
		}
	}
	if _, missing := frontOnCoupling(e.job); missing != "" && !alone(a) && e.share.From != "drawbar" {
		e.remark(remark{Code: noLength, Name: missing})
	}
}

// leftOut notes what the sums leave out.
func (e *estimator) leftOut(checks []statedCheck) {
	if e.job.Outfit.Travels == tickets.CoupledTensioned {
		e.remark(remark{Code: barsTensioned})
	}
	for i := range checks {
		if word := checks[i].Line.Word; !slices.Contains(inFits, word) {
			e.remark(remark{Code: notInFits, Name: word})
		}
	}
}
