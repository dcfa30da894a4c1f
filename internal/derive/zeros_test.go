package derive

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// emptyDeck is what the scale showed with nothing on it, e = 20 kg.
func emptyDeck(kg int64) tickets.Reading {
	return tickets.Reading{OnDeck: "empty", Empty: true, Kg: decimal.NewFromInt(kg), IntervalKg: decimal.NewFromInt(20), Used: true}
}

// axlesRead is front and rear of a vehicle alone on a multi deck without a
// split and with next to no gain or mpe, and more readings.
func axlesRead(deck string, more ...tickets.Reading) *tickets.Job {
	readings := append([]tickets.Reading{
		weigh(tickets.VehicleAlone, 1260, "front"), weigh(tickets.VehicleAlone, 1500, "rear"),
	}, more...)
	job := jobOf(readings...)
	s := scaleOf(deck)
	s.Class, s.ExpandedKg, s.SplitKg = "none", decimal.NewNullDecimal(decimal.RequireFromString("0.000001")), whole(0)
	job.Scales[0] = s
	return job
}

// By hand (contract, section 2, readings): rounding 20/√12 a reading, three
// zeros of 20/(4√3) each, or one common one of 20/(4√3) or 20/√12. The sum of
// the two axles has the common zero twice.
func TestCommonZero(t *testing.T) {
	const rounding, set, gone = 400.0 / 12, 25.0 / 3, 400.0 / 12
	no := emptyDeck(60)
	no.Used = false
	other := emptyDeck(60)
	other.Scale = "another"
	for _, c := range []struct {
		name           string
		deck           string
		more           []tickets.Reading
		front, vehicle float64
		frontU2, sumU2 float64
		observations   int
	}{
		{"no empty deck", "multi", nil, 1260, 2760, rounding + set, 2 * (rounding + set), 3},
		{"within e/2", "multi", []tickets.Reading{emptyDeck(10), emptyDeck(-10)}, 1260, 2760, rounding + set, 2*rounding + 4*set, 4},
		{"one beyond e/2", "multi", []tickets.Reading{emptyDeck(40), emptyDeck(0)}, 1240, 2720, rounding + gone, 2*rounding + 4*gone, 4},
		{"below nothing", "multi", []tickets.Reading{emptyDeck(-20)}, 1280, 2800, rounding + gone, 2*rounding + 4*gone, 4},
		{"two pads an axle", "pads", []tickets.Reading{emptyDeck(20)}, 1220, 2680, 2*rounding + 4*gone, 4*rounding + 16*gone, 4},
		{"left out, and of another scale", "multi", []tickets.Reading{no, other}, 1260, 2760, rounding + set, 2 * (rounding + set), 3},
	} {
		job := axlesRead(c.deck, c.more...)
		job.Scales = append(job.Scales, tickets.Scale{Name: "another", Class: "III"})
		s := mustSolve(t, job)
		front, vehicle := s.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Front}), s.total(tickets.VehicleAlone, vehicleGroups...)
		wantNumber(t, c.name+": front", front, c.front, 2e-6)
		wantNumber(t, c.name+": vehicle", vehicle, c.vehicle, 2e-6)
		_, u, _ := front.Number()
		_, sum, _ := vehicle.Number()
		if math.Abs(u-math.Sqrt(c.frontU2)) > 2e-6 || math.Abs(sum-math.Sqrt(c.sumU2)) > 2e-6 {
			t.Errorf("%s: u %.6f and %.6f (want %.6f and %.6f)", c.name, u, sum, math.Sqrt(c.frontU2), math.Sqrt(c.sumU2))
		}
		if got := s.Agreement.Observations; got != c.observations {
			t.Errorf("%s: %d observations (want %d)", c.name, got, c.observations)
		}
	}
}

// The zero is a cause of the scale's: by hand √((20/√12)²) of front and twice
// that of front + rear, ahead of the roundings of 20/√12 each; what is equal
// is in the order of the observations.
func TestZeroInABudget(t *testing.T) {
	s := mustSolve(t, axlesRead("multi", emptyDeck(40)))
	got := s.budget(s.total(tickets.VehicleAlone, vehicleGroups...))
	want := []contribution{
		{&cause{Kind: byScale}, 11.547005}, {&cause{Kind: byReading, Line: 2}, 5.773503}, {&cause{Kind: byReading, Index: 1, Line: 3}, 5.773503},
	}
	if len(got) != len(want) {
		t.Fatalf("%+v (want %+v)", got, want)
	}
	for i := range want {
		if math.Abs(got[i].U-want[i].U) > 1e-6 || got[i].Kind != want[i].Kind || got[i].Line != want[i].Line || got[i].Index != want[i].Index {
			t.Errorf("cause %d is %+v (want %+v)", i, got[i], want[i])
		}
	}
}

// What a line left out would have shown has the zero of its scale in it: an
// empty deck showed 40 kg, so 2,500 on the deck show 2,540 (by hand).
func TestWouldShowWithItsZero(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2540, "vehicle"), weigh(tickets.VehicleAlone, 2540, "vehicle"))
	job.Readings[1].Used = false
	job.Readings = append(job.Readings, tickets.Reading{Line: 9, OnDeck: "empty", Empty: true, Used: true, Kg: decimal.NewFromInt(40), IntervalKg: decimal.NewFromInt(20)})
	s := mustSolve(t, job)
	shown := s.expected(1)
	kg, u, ok := shown.Number()
	if !ok || math.Abs(kg-2540) > 1 || u <= 0 {
		t.Errorf("it would have shown %g ± %g (want 2540)", kg, u)
	}
	if v, _, _ := s.total(tickets.VehicleAlone, vehicleGroups...).Number(); math.Abs(v-2500) > 1 {
		t.Errorf("the vehicle is %g (want 2500)", v)
	}
}

// TestZeroShowsOnlyWhereItIsUnknown: where the empty deck was read the zero is an
// unknown of its own, and nothing of it can hide; nor is there anything to say of a
// scale without a reading.
func TestZeroShowsOnlyWhereItIsUnknown(t *testing.T) {
	for _, c := range []struct {
		name, scale string
		more        []tickets.Reading
		unknown     bool
	}{
		{"never read empty", "", nil, true},
		{"read empty", "", []tickets.Reading{emptyDeck(0)}, false},
		{"another scale", "another", nil, false},
	} {
		job := axlesRead("multi", c.more...)
		job.Scales = append(job.Scales, tickets.Scale{Name: "another", Class: "III"})
		if share, unknown := mustSolve(t, job).zeroShows(c.scale); unknown != c.unknown || !unknown && share != 0 {
			t.Errorf("%s: share %g, unknown %v (want unknown %v)", c.name, share, unknown, c.unknown)
		}
	}
}
