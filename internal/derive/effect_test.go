package derive

import (
	"math"
	"testing"

	"reconcile/internal/tickets"
)

// sumOn is the load on supports in a state, all with one factor.
func sumOn(factor float64, state tickets.State, supports ...tickets.Term) (parts []Part) {
	for _, t := range supports {
		parts = append(parts, Part{Factor: factor, State: state, Support: t})
	}
	return parts
}

// What a kilogram at a place adds to a sum, by moments: w = 2,850, a = 1,250, L = 5,000,
// n = 4,000 mm, two rear axles and two of the trailer. Half-way between the axles the rear
// group takes ½ of it, one of two axles ¼, a side of that ⅛. 1,000 mm ahead of the
// trailer's axles the coupling takes 1/5, of which the rear axles take 1 + a/w and the
// front axle −a/w; alone the nose takes ¼.
func TestEffectOfAPlace(t *testing.T) {
	term := func(g tickets.Group) tickets.Term { return tickets.Term{Group: g} }
	front, rear, trailer, nose := term(tickets.Front), term(tickets.Rear), term(tickets.Trailer), term(tickets.Nose)
	rear1, trailerLeft, left2 := rear, trailer, trailer
	rear1.Axle, trailerLeft.Side, left2.Axle, left2.Side = 1, tickets.Left, 2, tickets.Left
	rearLeft := rear1
	rearLeft.Side = tickets.Left
	slack, alone, byItself := tickets.CoupledSlack, tickets.VehicleAlone, tickets.TrailerAlone
	download := append(sumOn(1, slack, front, rear), sumOn(-1, alone, front, rear)...)
	all := tickets.Outfit{Wheelbase: known(2850), RearAxleToCoupling: known(1250), CouplingToTrailerAxle: known(5000), NoseSupportToTrailerAxle: known(4000), RearAxles: 2, TrailerAxles: 2}
	none := tickets.Outfit{RearAxles: 2, TrailerAxles: 2}
	onlyL := none
	onlyL.CouplingToTrailerAxle = known(5000)
	const lever = 1250.0 / 2850
	for _, c := range []struct {
		name    string
		outfit  *tickets.Outfit
		on      tickets.Unit
		at      float64
		parts   []Part
		want    float64
		missing string
	}{
		{"rear", &all, tickets.OnVehicle, 1425, sumOn(1, slack, rear), 0.5, ""},
		{"one rear axle", &all, tickets.OnVehicle, 1425, sumOn(1, slack, rear1), 0.25, ""},
		{"a side of it", &all, tickets.OnVehicle, 1425, sumOn(1, slack, rearLeft), 0.125, ""},
		{"twice the other axle group", &all, tickets.OnVehicle, 1425, sumOn(2, alone, front), 1, ""},
		{"coupled, rear", &all, tickets.OnTrailer, 1000, sumOn(1, slack, rear), 0.2 * (1 + lever), ""},
		{"coupled, front", &all, tickets.OnTrailer, 1000, sumOn(1, slack, front), -0.2 * lever, ""},
		{"coupled, a side of the trailer", &all, tickets.OnTrailer, 1000, sumOn(1, slack, trailerLeft), 0.4, ""},
		{"coupled, a side of one of its axles", &all, tickets.OnTrailer, 1000, sumOn(1, slack, left2), 0.2, ""},
		{"by itself, nose", &all, tickets.OnTrailer, 1000, sumOn(1, byItself, nose), 0.25, ""},
		{"by itself, the vehicle", &all, tickets.OnVehicle, 1000, sumOn(1, byItself, nose, trailer), 0, ""},
		{"alone, the trailer's", &all, tickets.OnTrailer, 1000, sumOn(1, alone, front, rear), 0, ""},
		{"download", &all, tickets.OnTrailer, 1000, download, 0.2, ""},
		{"download of the vehicle's", &all, tickets.OnVehicle, 1425, download, 0, ""},

		// Without a length nothing is known but of sums that it does not enter.
		{"rear, without w", &none, tickets.OnVehicle, 1425, sumOn(1, slack, rear), 0, "wheelbase"},
		{"front and rear, without w", &none, tickets.OnVehicle, 1425, sumOn(1, slack, front, rear), 1, ""},
		{"all, without any", &none, tickets.OnTrailer, 1000, sumOn(1, slack, front, rear, trailer), 1, ""},
		{"trailer, without L", &none, tickets.OnTrailer, 1000, sumOn(1, slack, trailer), 0, "coupling_to_trailer_axle"},
		{"trailer, L alone", &onlyL, tickets.OnTrailer, 1000, sumOn(1, slack, trailer), 0.8, ""},
		{"front and rear, L alone", &onlyL, tickets.OnTrailer, 1000, sumOn(1, slack, front, rear), 0.2, ""},
		{"twice the trailer and the vehicle, L alone", &onlyL, tickets.OnTrailer, 1000, append(sumOn(2, slack, trailer), sumOn(1, slack, front, rear)...), 1.8, ""},
	} {
		job := &tickets.Job{Outfit: *c.outfit}
		got, missing := Effect(job, &tickets.Place{On: c.on, HasAt: true, AtMm: c.at}, c.parts...)
		if math.Abs(got-c.want) > 1e-9 && (missing == "" || c.missing == "") || missing != c.missing {
			t.Errorf("%s: %g, missing %q (want %g, %q)", c.name, got, missing, c.want, c.missing)
		}
	}
}

// A hinged drawbar puts nothing of a load on the vehicle, wherever on the trailer it is.
func TestEffectBehindADrawbar(t *testing.T) {
	job := &tickets.Job{Outfit: tickets.Outfit{Drawbar: true}}
	for g, want := range map[tickets.Group]float64{tickets.Trailer: 1, tickets.Rear: 0, tickets.Front: 0} {
		got, missing := Effect(job, &tickets.Place{On: tickets.OnTrailer}, sumOn(1, tickets.CoupledSlack, tickets.Term{Group: g})...)
		if got != want || missing != "" {
			t.Errorf("%s: %g, missing %q (want %g)", g, got, missing, want)
		}
	}
}
