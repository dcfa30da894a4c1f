package limits

import (
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// noState is the state of a check on a load that is the same however the
// outfit is set up.
const noState tickets.State = ""

// load is what a rating is compared with.
type load string

// The loads.
const (
	vehicleAxles load = "vehicle axles" // front + rear in the state
	support      load = "support"       // what `on` names
	oneTyre      load = "one tyre"      // the heaviest loaded tyre or rim of what `on` names
	trailerAxles load = "trailer axles"
	wholeTrailer load = "whole trailer"
	wholeOutfit  load = "whole outfit"
	download     load = "download"
	couplerForce load = "coupler force" // Dc of vehicle and trailer axles
)

var (
	threeStates   = []tickets.State{tickets.VehicleAlone, tickets.CoupledSlack, tickets.CoupledTensioned}
	coupledStates = []tickets.State{tickets.CoupledSlack, tickets.CoupledTensioned}
	stateless     = []tickets.State{noState}
)

// comparison is one row of the table of the load that each rating limits.
type comparison struct {
	Word      string
	TowsAxles bool // only where the region's towing rating limits this
	OnTrailer bool // only where `on` names the trailer's supports
	Load      load
	States    []tickets.State
	Lower     bool // a least, not a most
}

// comparisons is what each rating limits.
//
// Sources, by word: gvm "laden mass borne on the surface" (ADR definitions),
// GVWR of a single vehicle (49 CFR 571.3); gcm vehicle plus the axle loads of
// the trailer (ADR definitions), so the download counts once; atm, trailer GVWR
// and EU trailer M include the mass on the drawing vehicle; gtm does not; axle
// as measured at the ground (49 CFR 571.3); towing by the region's row; the
// coupling's rating is static, hitch slack; d_value UN R55, centre-axle trailer.
var comparisons = []comparison{
	{Word: "gvm", Load: vehicleAxles, States: threeStates},
	{Word: "gcm", Load: wholeOutfit, States: stateless},
	{Word: "atm", Load: wholeTrailer, States: stateless},
	{Word: "gtm", Load: trailerAxles, States: coupledStates},
	{Word: "axle", Load: support, States: threeStates},
	{Word: "axle", OnTrailer: true, Load: support, States: coupledStates},
	{Word: "towing", Load: wholeTrailer, States: stateless},
	{Word: "towing", TowsAxles: true, Load: trailerAxles, States: coupledStates},
	{Word: "download_max", Load: download, States: stateless},
	{Word: "download_min", Load: download, States: stateless, Lower: true},
	{Word: "d_value", Load: couplerForce, States: stateless},
	{Word: "tyre", Load: oneTyre, States: threeStates},
	{Word: "tyre", OnTrailer: true, Load: oneTyre, States: coupledStates},
	{Word: "wheel", Load: oneTyre, States: threeStates},
	{Word: "wheel", OnTrailer: true, Load: oneTyre, States: coupledStates},
}

// comparisonsOf is the table by word, in its order.
var comparisonsOf = func() map[string][]comparison {
	rows := map[string][]comparison{}
	for _, a := range comparisons {
		rows[a.Word] = append(rows[a.Word], a)
	}
	return rows
}()

// emptyMasses are rating words that limit nothing: empty masses, in the order
// in which a payload takes the first that is given.
var emptyMasses = []string{"kerb", "tare", "running_order"}

// comparisonOf finds the table's row for a rating line; nil for an empty mass.
func comparisonOf(job *tickets.Job, r *tickets.Rating) (row *comparison) {
	of := comparisonsOf[r.Word]
	for i := range of {
		a := &of[i]
		if a.OnTrailer && !onTrailer(r.Terms) {
			continue
		}
		if !a.TowsAxles || regions.Of(job.Region).TowsAxles.Yes {
			row = a // a later, narrower row wins
		}
	}
	return row
}

// onTrailer reports whether supports are all the trailer's.
func onTrailer(terms []tickets.Term) bool {
	for _, t := range terms {
		if t.Group != tickets.Trailer {
			return false
		}
	}
	return len(terms) > 0
}
