package derive

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// kitAboard is a job with 40 kg over the rear axle, of which nothing else is asked.
func kitAboard() *Solution {
	return &Solution{Job: &tickets.Job{
		Outfit: tickets.Outfit{Wheelbase: known(2850), RearAxles: 1},
		Places: []tickets.Place{{Name: "over", On: tickets.OnVehicle, HasAt: true, AtMm: 2850}},
		Loads:  []tickets.Load{{Name: "kit", Kg: decimal.NewFromInt(40), UKg: 2, On: tickets.OnVehicle, Place: "over"}},
	}}
}

// Half of a side is open by half as much: 40/(2√3)/2.
func TestLoadOnOneSide(t *testing.T) {
	s := kitAboard()
	parts := []Part{{Factor: 0.5, State: tickets.CoupledSlack, Support: tickets.Term{Group: tickets.Rear, Side: tickets.Left}}}
	if got := s.sidesU(&s.Job.Loads[0], parts, 0); math.Abs(got-10/math.Sqrt(3)) > 1e-9 {
		t.Errorf("u %g (want %g)", got, 10/math.Sqrt(3))
	}
}

// What a load adds to a side is open by (what its group carries)/(2√3). 40 kg
// over the rear axle leave the front axle alone, and both sides together carry
// all; of no known place half of them, 20 kg, is on each axle.
func TestSidesOfALoad(t *testing.T) {
	s := kitAboard()
	job := s.Job
	side := func(g tickets.Group, of tickets.Side) Part {
		return Part{Factor: 1, State: tickets.CoupledSlack, Support: tickets.Term{Group: g, Side: of}}
	}
	rearLeft, rearRight, frontLeft := side(tickets.Rear, tickets.Left), side(tickets.Rear, tickets.Right), side(tickets.Front, tickets.Left)
	nowhere := job.Loads[0]
	nowhere.Place = ""
	for _, c := range []struct {
		name  string
		l     *tickets.Load
		parts []Part
		want  float64
	}{
		{"rear left", &job.Loads[0], []Part{rearLeft}, 40 / (2 * math.Sqrt(3))},
		{"rear right", &job.Loads[0], []Part{rearRight}, 40 / (2 * math.Sqrt(3))},
		{"both", &job.Loads[0], []Part{rearLeft, rearRight}, 0},
		{"front left", &job.Loads[0], []Part{frontLeft}, 0},
		{"nowhere, rear left", &nowhere, []Part{rearLeft}, 20 / (2 * math.Sqrt(3))},
		{"nowhere, front left", &nowhere, []Part{frontLeft}, 20 / (2 * math.Sqrt(3))},
		{"nowhere, front and rear left", &nowhere, []Part{frontLeft, rearLeft}, math.Sqrt2 * 20 / (2 * math.Sqrt(3))},
	} {
		rest, _, _ := assumedShare(&tickets.Outfit{}, c.l)
		if got := s.sidesU(c.l, c.parts, rest); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: u %g (want %g)", c.name, got, c.want)
		}
	}
}

// A load of no known place on the trailer puts a tenth of its mass on the
// coupling (the model of the readings; no source); coupled, the axles carry the
// rest and the vehicle that.
func TestTrailerLoadOfUnknownPlace(t *testing.T) {
	job := jobOf(weigh(tickets.CoupledSlack, 5440, "outfit"))
	l := &tickets.Load{Name: "box", Kg: decimal.NewFromInt(200), UKg: 2, On: tickets.OnTrailer}
	job.Loads = []tickets.Load{*l}
	s := mustSolve(t, job)
	for on, want := range map[tickets.Group]float64{tickets.Trailer: 200 * (1 - 0.1), tickets.Rear: 200 * 0.1 * 1.45, tickets.Front: -200 * 0.1 * 0.45} {
		want /= 4 // of one tyre of four
		parts := []Part{{State: tickets.CoupledSlack, Support: tickets.Term{Group: on}, Factor: 0.25}}
		var extra spread
		s.aboard(l, parts, &extra)
		if math.Abs(extra.kg-want) > 3e-6 {
			t.Errorf("%s carries %g kg more (want %g)", on, extra.kg, want)
		}
		if guessed := 0.015 * 200 / 4; (on != tickets.Trailer) != slices.ContainsFunc(extra.causes, func(u float64) bool { return math.Abs(u-guessed) < 3e-6 }) {
			t.Errorf("%s: causes %v (want %g where the lever matters)", on, extra.causes, guessed)
		}
	}
}
