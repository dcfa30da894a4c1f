package derive

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// The same supports said in three ways are three readings of the same kind.
func TestRepeatsAreBySupports(t *testing.T) {
	o := &tickets.Outfit{RearAxles: 2}
	rear := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Rear, Axle: axle, Side: side}
	}
	on := func(terms ...tickets.Term) tickets.Reading {
		r := weigh(tickets.VehicleAlone, 1500)
		r.Terms = terms
		return r
	}
	got, first := repeats(o, pointers([]tickets.Reading{
		on(rear(0, "")), on(rear(1, ""), rear(2, "")), on(rear(0, tickets.Left), rear(1, tickets.Right), rear(2, tickets.Right)),
		on(rear(1, "")), on(rear(0, tickets.Left)),
	}))
	firsts := []int{0, 0, 0, 3, 4}
	for i, want := range []int{3, 3, 3, 1, 1} {
		if got[i] != want || first[i] != firsts[i] {
			t.Errorf("reading %d has m = %d, the first of its kind %d (want %d, %d)", i, got[i], first[i], want, firsts[i])
		}
	}
}

func TestWholeOutfit(t *testing.T) {
	o := &tickets.Outfit{TrailerAxles: 2}
	trailer := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Trailer, Axle: axle, Side: side}
	}
	for _, c := range []struct {
		name  string
		terms []tickets.Term
		whole bool
	}{
		{"trailer and nose", deck("whole trailer"), true},
		{"nose off the deck", deck("trailer"), false},
		{"axles", append(deck("nose"), trailer(1, ""), trailer(2, "")), true},
		{"one axle missing", append(deck("nose"), trailer(1, "")), false},
		{"sides, one by axle", append(deck("nose"), trailer(0, tickets.Left), trailer(1, tickets.Right), trailer(2, tickets.Right)), true},
		{"a wheel missing", append(deck("nose"), trailer(0, tickets.Left), trailer(1, tickets.Right)), false},
		{"gauge", deck("coupling"), false},
	} {
		r := weigh(tickets.TrailerAlone, 2000)
		r.Terms = c.terms
		if got := wholeOutfit(o, &r); got != c.whole {
			t.Errorf("%s: whole %v (want %v)", c.name, got, c.whole)
		}
	}
}

// uTable holds u² of a reading worked out by hand from
//
//	u² = k·(e²/12 + (e/4)²/3) + m·(k·mpe²/3 + split²)
//
// e = 20: e²/12 + (e/4)²/3 = 33.3333 + 8.3333 = 41.6667; e = 5: 2.0833 + 0.5208 = 2.6042; e = 2: 0.33333 + 0.08333 = 0.41667.
var uTable = []struct {
	name    string
	deck    string
	class   string
	e       int64
	kg      float64
	state   tickets.State
	on      string
	m       int
	split   int // 0: none stated
	trailer int // axles
	want    float64
}{
	// 41.6667 + 10²/3 (mpe 0.5 e) = 75
	{"single, all of the vehicle", "single", "III", 20, 2760, tickets.VehicleAlone, "vehicle", 1, 0, 1, 75},
	// 75 + 10²
	{"single, one axle", "single", "III", 20, 1260, tickets.VehicleAlone, "front", 1, 0, 1, 175},
	// 41.6667 + 3·(33.3333 + 100)
	{"single, one axle, three times", "single", "III", 20, 1260, tickets.VehicleAlone, "front", 3, 0, 1, 441.6667},
	// 41.6667 + 33.3333 + 4²: split_uncertainty in place of 10 kg
	{"single, one axle, split stated", "single", "III", 20, 1260, tickets.VehicleAlone, "front", 1, 4, 1, 91},
	// an outfit all on a single deck keeps 0
	{"single, whole, split stated", "single", "III", 20, 2760, tickets.VehicleAlone, "vehicle", 1, 4, 1, 75},
	// trailer without its nose is not all its supports
	{"single, nose off the deck", "single", "III", 20, 2400, tickets.TrailerAlone, "trailer", 1, 0, 1, 175},
	{"single, whole trailer", "single", "III", 20, 2680, tickets.TrailerAlone, "whole trailer", 1, 0, 1, 75},
	{"single, all of the outfit", "single", "III", 20, 5440, tickets.CoupledSlack, "outfit", 1, 0, 1, 75},
	{"single, vehicle of an outfit", "single", "III", 20, 3010, tickets.CoupledSlack, "vehicle", 1, 0, 1, 175},
	// 10,020 kg is beyond 500 e: 41.6667 + 20²/3
	{"single, 501 e", "single", "III", 20, 10020, tickets.CoupledSlack, "outfit", 1, 0, 1, 175},
	{"single, 500 e", "single", "III", 20, 10000, tickets.CoupledSlack, "outfit", 1, 0, 1, 75},
	// multi: no split
	{"multi, one axle", "multi", "III", 20, 1260, tickets.VehicleAlone, "front", 1, 0, 1, 75},
	{"multi, split stated", "multi", "III", 20, 2760, tickets.VehicleAlone, "vehicle", 1, 6, 1, 111},
	// pads, k = 2, 630 a pad = 126 e: mpe 5; 2·2.6042 + 2·25/3 + (0.005·1260)² = 5.2083 + 16.6667 + 39.69
	{"pads, one axle", "pads", "IIII", 5, 1260, tickets.VehicleAlone, "front", 1, 0, 1, 61.565},
	// k = 4, 690 a pad = 138 e; 4·2.6042 + 4·25/3 + (0.005·2760)² = 10.4167 + 33.3333 + 190.44
	{"pads, vehicle", "pads", "IIII", 5, 2760, tickets.VehicleAlone, "vehicle", 1, 0, 1, 234.19},
	// twice: 10.4167 + 2·(33.3333 + 190.44)
	{"pads, vehicle, twice", "pads", "IIII", 5, 2760, tickets.VehicleAlone, "vehicle", 2, 0, 1, 457.9633},
	// tandem trailer and nose: k = 5, 536 a pad = 107.2 e; 5·2.6042 + 5·25/3 + (0.005·2680)² = 13.0208 + 41.6667 + 179.56
	{"pads, tandem and nose", "pads", "IIII", 5, 2680, tickets.TrailerAlone, "whole trailer", 1, 0, 2, 234.2475},
	// k = 1, 240 kg = 48 e: mpe 2.5; 2.6042 + 6.25/3 + 1.2²
	{"pads, nose", "pads", "IIII", 5, 240, tickets.TrailerAlone, "nose", 1, 0, 1, 6.1275},
	// k = 2 and the split stated: 5.2083 + 16.6667 + 8²
	{"pads in turn", "pads_in_turn", "IIII", 5, 1260, tickets.VehicleAlone, "front", 1, 8, 1, 85.875},
	// and none stated: 5.2083 + 16.6667 + (0.01·1260)²
	{"pads in turn, split assumed", "pads_in_turn", "IIII", 5, 1260, tickets.VehicleAlone, "front", 1, 0, 1, 180.635},
	// gauge, e = 2, mpe 1: 0.41667 + 1/3 + 3² and, on a tandem, 5²
	{"gauge", "gauge", "III", 2, 250, tickets.TrailerAlone, "coupling", 1, 0, 1, 9.75},
	{"gauge, tandem", "gauge", "III", 2, 250, tickets.TrailerAlone, "coupling", 1, 0, 2, 25.75},
	{"gauge, axles not counted", "gauge", "III", 2, 250, tickets.TrailerAlone, "coupling", 1, 0, 0, 9.75},
	{"gauge, split stated", "gauge", "III", 2, 250, tickets.TrailerAlone, "coupling", 1, 2, 2, 4.75},
	// a coupling reading on a bridge: 75 + 3²; on a pad k = 1, 50 e: 2.6042 + 6.25/3 + 5²
	{"coupling on a single deck", "single", "III", 20, 260, tickets.TrailerAlone, "coupling", 1, 0, 1, 84},
	{"coupling on a multi deck", "multi", "III", 20, 260, tickets.TrailerAlone, "coupling", 1, 0, 2, 100},
	{"coupling on a pad, tandem", "pads", "IIII", 5, 250, tickets.TrailerAlone, "coupling", 1, 0, 2, 29.6875},
	// class none has no mpe: 41.6667
	{"certificate", "single", "none", 20, 2760, tickets.VehicleAlone, "vehicle", 1, 0, 1, 41.6667},
	// III L, 138 e: 0.5 e as III
	{"III L", "single", "III L", 20, 2760, tickets.VehicleAlone, "vehicle", 1, 0, 1, 75},
}

func TestReadingUncertainty(t *testing.T) {
	for _, c := range uTable {
		r := weigh(c.state, c.kg, c.on)
		r.IntervalKg = decimal.NewFromInt(c.e)
		job := jobOf(r)
		job.Outfit.RearAxles, job.Outfit.TrailerAxles = 1, c.trailer
		job.Scales[0] = scaleOf(c.deck)
		job.Scales[0].Class = c.class
		if c.split > 0 {
			job.Scales[0].SplitKg = whole(c.split)
		}
		if u := readingU(job, &job.Readings[0], c.m); math.Abs(u*u-c.want) > 1e-4 {
			t.Errorf("%s: u² = %.5f (want %.5f)", c.name, u*u, c.want)
		}
	}
}

// A trailer load that was away from a coupled reading with only one of front
// and rear adds (0.015·mass)² where a or w is missing: 60 kg adds 0.81, another
// 200 kg 9 more.
func TestLeverVariance(t *testing.T) {
	for _, c := range []struct {
		name    string
		state   tickets.State
		on      []string
		missing string
		without []string
		want    float64
	}{
		{"front", tickets.CoupledSlack, []string{"front"}, "w", []string{"battery"}, 0.81},
		{"rear and trailer, two loads", tickets.CoupledSlack, []string{"rear", "trailer"}, "a", []string{"battery", "water"}, 9.81},
		{"vehicle", tickets.CoupledSlack, []string{"vehicle"}, "a", []string{"battery"}, 0},
		{"trailer", tickets.CoupledSlack, []string{"trailer"}, "a", []string{"battery"}, 0},
		{"lengths known", tickets.CoupledSlack, []string{"front"}, "L", []string{"battery"}, 0},
		{"a vehicle load", tickets.CoupledSlack, []string{"front"}, "w", []string{"driver"}, 0},
		{"nothing away", tickets.CoupledSlack, []string{"front"}, "w", nil, 0},
		{"trailer alone", tickets.TrailerAlone, []string{"nose"}, "w", []string{"battery"}, 0},
	} {
		r := weigh(c.state, 1200, c.on...)
		plain := readingU(measured(jobOf(r)), &r, 1)
		r.Without = c.without
		job := measured(jobOf(r))
		forget(&job.Outfit, c.missing)
		job.Loads = []tickets.Load{
			{Name: "battery", Kg: decimal.NewFromInt(60), On: tickets.OnTrailer},
			{Name: "water", Kg: decimal.NewFromInt(200), On: tickets.OnTrailer},
			{Name: "driver", Kg: decimal.NewFromInt(80), On: tickets.OnVehicle},
		}
		u := readingU(job, &job.Readings[0], 1)
		if got := u*u - plain*plain; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: adds %.4f (want %.4f)", c.name, got, c.want)
		}
	}
}

// Two of three used readings are of the same kind: only theirs have m = 2; a
// reading kept as evidence does not count.
func TestRepeatsInAJob(t *testing.T) {
	evidence := weigh(tickets.VehicleAlone, 1300, "front")
	evidence.Used = false
	s := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, 1260, "front"), evidence,
		weigh(tickets.CoupledSlack, 1260, "front"), weigh(tickets.VehicleAlone, 1280, "front"),
	))
	// 41.6667 + m·(33.3333 + 100), as in uTable
	for i, want := range []float64{308.3333, 175, 308.3333} {
		if u := s.Observations[i].U; math.Abs(u*u-want) > 1e-3 {
			t.Errorf("observation %d: u² = %.4f (want %.4f)", i, u*u, want)
		}
	}
}

// A reading names the first used one of its kind, in whatever spelling of its supports;
// one that was left out is not counted.
func TestFirstOfItsKind(t *testing.T) {
	out := weigh(tickets.VehicleAlone, 2760, "vehicle")
	out.Used = false
	whole := func(kg float64) tickets.Reading { return weigh(tickets.VehicleAlone, kg, "vehicle") }
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 1260, "front"), out, whole(2760), weigh(tickets.VehicleAlone, 1500, "rear"), weigh(tickets.VehicleAlone, 2780, "front", "rear"), whole(2740)))
	for i, want := range []int{0, 2, 3, 2, 2} {
		if got := s.Observations[i].First; got != want {
			t.Errorf("observation %d, of reading %d: the first of its kind is %d (want %d)", i, s.Observations[i].Index, got, want)
		}
	}
}
