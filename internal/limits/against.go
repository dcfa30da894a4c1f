package limits

import (
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// noState is the state of a check on a load that is the same however the
// outfit stands.
const noState derive.State = ""

// load is what a rating is held against.
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
	threeStates   = []derive.State{derive.VehicleAlone, derive.CoupledSlack, derive.CoupledTensioned}
	coupledStates = []derive.State{derive.CoupledSlack, derive.CoupledTensioned}
	stateless     = []derive.State{noState}
)

// against is one row of the table of what each rating is held against.
type against struct {
	Word      string
	Region    tickets.Region // only there; blank: wherever no row of the region says otherwise
	OnTrailer bool           // only where `on` names the trailer's supports
	Load      load
	States    []derive.State
	Lower     bool // a least, not a most
	Words     string
}

// heldAgainst is what each rating limits. In Words, D stands for what the
// region calls the download.
//
// Sources, by word: gvm "laden mass borne on the surface" (ADR definitions),
// GVWR of a single vehicle (49 CFR 571.3); gcm vehicle plus the axle loads of
// the trailer (ADR definitions), so the download counts once; atm, trailer GVWR
// and EU trailer M include the mass on the drawing vehicle; gtm does not; axle
// as measured at the ground (49 CFR 571.3); towing in the eu is the load on the
// ground of the trailer's axles (Reg. (EU) 1230/2012 Art. 2(9), from memory,
// confirmed by certificates of conformity), elsewhere the whole trailer; the
// coupling's rating is static, hitch slack; d_value UN R55, centre-axle trailer.
var heldAgainst = []against{
	{Word: "gvm", Load: vehicleAxles, States: threeStates, Words: "the vehicle on its own wheels"},
	{Word: "gcm", Load: wholeOutfit, States: stateless, Words: "the axles of vehicle and trailer, coupled, D counted once"},
	{Word: "atm", Load: wholeTrailer, States: stateless, Words: "the whole trailer, D included"},
	{Word: "gtm", Load: trailerAxles, States: coupledStates, Words: "the trailer's axles, D not included"},
	{Word: "axle", Load: support, States: threeStates},
	{Word: "axle", OnTrailer: true, Load: support, States: coupledStates},
	{Word: "towing", Load: wholeTrailer, States: stateless, Words: "the whole trailer, D included"},
	{Word: "towing", Region: tickets.Europe, Load: trailerAxles, States: coupledStates, Words: "the trailer's axle load, D not included"},
	{Word: "download_max", Load: download, States: stateless, Words: "the static D on the coupling"},
	{Word: "download_min", Load: download, States: stateless, Lower: true, Words: "the static D on the coupling, at least"},
	{Word: "d_value", Load: couplerForce, States: stateless, Words: "Dc = 9.81·T·C/(T + C), T the coupled vehicle, C the trailer's axles, in tonnes"},
	{Word: "tyre", Load: oneTyre, States: threeStates},
	{Word: "tyre", OnTrailer: true, Load: oneTyre, States: coupledStates},
	{Word: "wheel", Load: oneTyre, States: threeStates},
	{Word: "wheel", OnTrailer: true, Load: oneTyre, States: coupledStates},
}

// emptyMasses are rating words that limit nothing: empty masses, in the order
// in which a payload takes the first that is given.
var emptyMasses = []string{"kerb", "tare", "running_order"}

// againstOf finds the table's row for a rating line; ok is false for an empty mass.
func againstOf(job *tickets.Job, r *tickets.Rating) (row against, ok bool) {
	for _, a := range heldAgainst {
		if a.Word != r.Word || a.OnTrailer && !onTrailer(r.Terms) {
			continue
		}
		if a.Region == tickets.NoRegion || a.Region == job.Region {
			row, ok = a, true // a later, narrower row wins
		}
	}
	return row, ok
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

// travelled is the coupled state that the outfit travels in.
func travelled(job *tickets.Job) derive.State {
	if job.Outfit.Travels == tickets.TravelsTensioned {
		return derive.CoupledTensioned
	}
	return derive.CoupledSlack
}

// usual lists the ratings that a region's job needs a line for, spelt as
// not_given spells them.
//
// Source: what a plate, a certificate and a handbook of the region hold
// (common practice, no source).
var usual = []string{
	"gvm", "gcm", "atm", "axle front", "axle rear", "axle trailer or gtm", "towing", "download_max",
}

// usualAnywhere are those of a job without a region.
var usualAnywhere = []string{"gvm", "atm", "axle front", "axle rear", "download_max"}

// usualIn gives the usual ratings of a region.
func usualIn(region tickets.Region) []string {
	if region == tickets.NoRegion {
		return slices.Clone(usualAnywhere)
	}
	return slices.Clone(usual)
}
