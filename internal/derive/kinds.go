package derive

import "reconcile/internal/tickets"

// drawbarU is the standard uncertainty in kilograms of the download of a
// drawbar trailer, observed as 0: the vehicle carries half of the drawbar's own
// weight and no more.
const drawbarU = 25.0

// drawbarName is what the budget and the doubtful figures call that observation.
const drawbarName = "drawbar"

// groupsOf returns the groups that carry load in a state, front to rear, of an
// outfit: a hinged drawbar has no nose that could carry the trailer.
func groupsOf(o *tickets.Outfit, s tickets.State) []tickets.Group {
	if s == tickets.TrailerAlone && o.Drawbar {
		return drawbarGroups
	}
	return stateGroups(s)
}

// drawbarGroups are those of a drawbar trailer alone: its axles, from the front.
var drawbarGroups = []tickets.Group{tickets.Trailer}

// observeDrawbar adds the observation that a hinged drawbar passes no load on.
// A route to the download, which solves its own readings alone, goes without.
// Without it a drawbar trailer weighed in one state only would say nothing of the
// other: the link between them is that nothing crosses the hinge.
func (y *system) observeDrawbar() {
	if !y.job.Outfit.Drawbar || y.options.free {
		return
	}
	row := y.row()
	y.addDownload(row, 1)
	y.observe(observation{Kind: byDrawbar, Name: drawbarName, U: drawbarU}, row, 0)
}

// leverOf is a/w where the overhang or the wheelbase is missing. The coupling
// of a semi-trailer is about over the rear axle.
func leverOf(o *tickets.Outfit) float64 {
	if o.Semi {
		return 0
	}
	return noLever
}

// drawbarShare is what a kilogram of a drawbar trailer's load puts on the
// groups: all of it on the trailer's axles.
func drawbarShare(state tickets.State) shares {
	if state == tickets.VehicleAlone {
		return shares{}
	}
	return shares{trailer: 1}
}

// trailerShare is what a load of unknown position on an outfit's trailer is
// taken to put on the coupling or nose, in parts of its mass.
func trailerShare(o *tickets.Outfit) float64 {
	if o.Semi {
		return semiShareValue
	}
	return trailerShareValue
}
