package derive

import "reconcile/internal/tickets"

// states lists the states in the order of the record.
var states = []tickets.State{tickets.VehicleAlone, tickets.TrailerAlone, tickets.CoupledSlack, tickets.CoupledTensioned}

// stateIndex is the place of a state in states.
func stateIndex(s tickets.State) int {
	switch s {
	case tickets.VehicleAlone:
		return 0
	case tickets.TrailerAlone:
		return 1
	case tickets.CoupledSlack:
		return 2
	}
	return 3
}

// stateGroups returns the groups that carry load in a state, front to rear.
func stateGroups(s tickets.State) []tickets.Group {
	switch s {
	case tickets.VehicleAlone:
		return vehicleGroups
	case tickets.TrailerAlone:
		return trailerGroups
	}
	return coupledGroups
}

var (
	vehicleGroups = []tickets.Group{tickets.Front, tickets.Rear}
	trailerGroups = []tickets.Group{tickets.Trailer, tickets.Nose}
	coupledGroups = []tickets.Group{tickets.Front, tickets.Rear, tickets.Trailer}
)

// axlesOf is the number of axles of a group, 0 where the outfit does not state it.
func axlesOf(o *tickets.Outfit, g tickets.Group) int { return o.Axles(g) }

// onGauge says whether a reading is that of a gauge under the coupling.
func onGauge(r *tickets.Reading) bool {
	return len(r.Terms) == 1 && r.Terms[0].Group == tickets.Coupling
}

// wheelSet is a set of wheels, one side of one axle each, as bits: readings are
// compared by what was on the deck many times for each job.
type wheelSet [2]uint64

// The number of states, and of groups that a term can name.
const stateCount, groupCount = 4, 5

// groupIndex is the place of a group in a wheelSet and in a layout.
func groupIndex(g tickets.Group) int {
	switch g {
	case tickets.Front:
		return 0
	case tickets.Rear:
		return 1
	case tickets.Trailer:
		return 2
	case tickets.Nose:
		return 3
	}
	return 4 // the coupling: under a gauge
}

// axleRoom is more axles than a group may have.
const axleRoom = 12

// add puts one side of one axle into the set.
func (w *wheelSet) add(g tickets.Group, axle, side int) {
	n := (groupIndex(g)*axleRoom+axle)*2 + side
	w[n/64] |= 1 << (n % 64)
}

// wheels spells terms out to one side of one axle each, so that front.1, front
// and front.left with front.right are the same supports. A group whose axles
// are not counted is taken as one axle.
func wheels(o *tickets.Outfit, terms []tickets.Term) (all wheelSet) {
	for _, t := range terms {
		all.addTerm(o, t)
	}
	return all
}

// addTerm puts the wheels of one term into the set.
func (w *wheelSet) addTerm(o *tickets.Outfit, t tickets.Term) {
	first, last := t.Axle, t.Axle
	if t.Axle == 0 {
		first, last = 1, max(axlesOf(o, t.Group), 1)
	}
	for a := first; a <= last; a++ {
		if t.Side != tickets.Right {
			w.add(t.Group, a, 0)
		}
		if t.Side != tickets.Left {
			w.add(t.Group, a, 1)
		}
	}
}

// wholeOutfit says whether all supports of the reading's state were on the deck: no
// load can then have moved off it, whatever the approach or the brakes did.
func wholeOutfit(o *tickets.Outfit, r *tickets.Reading) bool {
	if onGauge(r) {
		return false
	}
	var all wheelSet
	for _, g := range groupsOf(o, r.State) {
		all.addTerm(o, tickets.Term{Group: g})
	}
	return wheels(o, r.Terms) == all
}
