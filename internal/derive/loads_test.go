package derive

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// away takes loads out of a reading.
func away(r tickets.Reading, loads ...string) tickets.Reading {
	r.Without = loads
	return r
}

func sided(g tickets.Group, side tickets.Side, kg float64) tickets.Reading {
	r := weigh(tickets.CoupledSlack, kg, "trailer")
	r.Terms = []tickets.Term{{Group: g, Side: side}}
	return r
}

// A load of 2 kg has a side share too: u = 2/(2√3), by a rectangle.
func TestLightLoadHasASide(t *testing.T) {
	job := jobOf(away(sided(tickets.Trailer, tickets.Left, 1200), "rope"), sided(tickets.Trailer, tickets.Right, 1200))
	job.Loads = []tickets.Load{{Name: "rope", Kg: decimal.NewFromInt(2), UKg: 0.1, On: tickets.OnTrailer}}
	for _, u := range mustSolve(t, job).system.Unknown {
		if u.Load == "rope" && u.Missing == "side" && u.Group == tickets.Trailer {
			return
		}
	}
	t.Error("the side of a light load is taken for known")
}

// Only readings that name a load need to know where it rides.
func TestShareNeededByItsReadingsOnly(t *testing.T) {
	job := jobOf(away(weigh(tickets.TrailerAlone, 2680, "whole trailer"), "box"), weigh(tickets.CoupledSlack, 2430, "trailer"),
		weigh(tickets.CoupledSlack, 1860, "rear"))
	job.Loads = []tickets.Load{{Name: "box", Kg: decimal.NewFromInt(90), UKg: 1, On: tickets.OnTrailer}}
	if u := mustSolve(t, job).system.Unknown; len(u) != 0 {
		t.Errorf("unknown shares %v (want none)", u)
	}
}

// A reading is in the model only where every load that it names is.
func TestEveryLoadInTheModel(t *testing.T) {
	job := jobOf(away(weigh(tickets.VehicleAlone, 2760, "vehicle"), "known"))
	load := func(name string) tickets.Load {
		return tickets.Load{Name: name, Kg: decimal.NewFromInt(50), UKg: 1, On: tickets.OnVehicle}
	}
	job.Loads = []tickets.Load{load("known"), load("stranger")}
	y := mustSolve(t, job).system
	for want, loads := range map[bool][][]string{true: {{"known"}}, false: {{"stranger"}, {"known", "stranger"}, {"stranger", "known"}}} {
		for _, l := range loads {
			r := away(weigh(tickets.VehicleAlone, 2700, "vehicle"), l...)
			if got := y.addNamed(make([]float64, y.layout.columns), &r); got != want {
				t.Errorf("without %v: in the model %v", l, got)
			}
		}
	}
}

// A load that no reading names is not in the model, and need not be where it
// puts nothing on the deck: a trailer's, with the vehicle alone.
func TestStrangerOffTheDeck(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle"))
	job.Loads = []tickets.Load{{Name: "dome", Kg: decimal.NewFromInt(90), UKg: 1, On: tickets.OnTrailer}}
	y := mustSolve(t, job).system
	for _, c := range []struct {
		r    tickets.Reading
		want bool
	}{{weigh(tickets.VehicleAlone, 2760, "vehicle"), true}, {weigh(tickets.TrailerAlone, 2680, "whole trailer"), false}} {
		r := away(c.r, "dome")
		if got := y.addNamed(make([]float64, y.layout.columns), &r); got != c.want {
			t.Errorf("%s: in the model %v (want %v)", r.State, got, c.want)
		}
	}
}

// What one support of a group carries: equal parts by axle, half on a side. A
// group whose axles nobody counted has one.
func TestFractionOfASupport(t *testing.T) {
	for _, c := range []struct {
		axles int
		term  tickets.Term
		want  float64
	}{
		{0, tickets.Term{Group: tickets.Rear, Axle: 1}, 1}, {1, tickets.Term{Group: tickets.Rear, Axle: 1}, 1},
		{2, tickets.Term{Group: tickets.Rear, Axle: 2}, 0.5}, {3, tickets.Term{Group: tickets.Rear, Axle: 1}, 1 / 3.0},
		{2, tickets.Term{Group: tickets.Rear}, 1}, {2, tickets.Term{Group: tickets.Rear, Side: tickets.Left}, 0.5},
		{2, tickets.Term{Group: tickets.Rear, Axle: 1, Side: tickets.Right}, 0.25}, {1, tickets.Term{Group: tickets.Rear, Axle: 1, Side: tickets.Left}, 0.5},
	} {
		y := &system{job: &tickets.Job{Outfit: tickets.Outfit{RearAxles: c.axles}}}
		if got := Fraction(&y.job.Outfit, c.term); got != c.want {
			t.Errorf("%s of %d axles: %g (want %g)", tickets.Spell(c.term), c.axles, got, c.want)
		}
	}
}

// What a line left out would have shown counts a load that no used line names as it is
// stated. By hand, of a load of 50 ± 1 kg that was not on board and has no place: all of
// it is off both axles together, half of it ± 50/(2√3) off the front one, and off the
// trailer's axles coupled what is not on the coupling, 0.9 of it ± 0.2·50, a quarter of
// that each way on a side.
func TestWouldShowWithoutAStranger(t *testing.T) {
	used := []tickets.Reading{
		weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.VehicleAlone, 1340, "front"),
		weigh(tickets.CoupledSlack, 2240, "trailer"), sided(tickets.Trailer, tickets.Left, 1120),
	}
	for _, c := range []struct {
		like   int
		on     tickets.Unit
		off, u float64
	}{
		{0, tickets.OnVehicle, 50, 1}, {1, tickets.OnVehicle, 25, math.Hypot(1, 50/(2*math.Sqrt(3)))},
		{2, tickets.OnTrailer, 45, math.Hypot(1, 10)}, {3, tickets.OnTrailer, 22.5, math.Hypot(math.Hypot(0.5, 5), 45/(2*math.Sqrt(3)))},
	} {
		job := jobOf(used...)
		job.Loads = []tickets.Load{{Name: "stranger", Kg: decimal.NewFromInt(50), UKg: 1, On: c.on}}
		job.Readings = append(job.Readings, away(used[c.like], "stranger"))
		job.Readings[4].Used = false
		s := mustSolve(t, job)
		with, uWith, _ := s.expected(c.like).Number()
		kg, u, ok := s.expected(4).Number()
		if want := math.Hypot(uWith, c.u); !ok || math.Abs(kg-(with-c.off)) > 1e-5 || math.Abs(u-want) > 1e-5 {
			t.Errorf("like reading %d: %g ± %g (want %g ± %g)", c.like, kg, u, with-c.off, want)
		}
		if s.loadOn(4).Determined {
			t.Errorf("like reading %d: the load on its deck is known, though a load on it is not solved", c.like)
		}
	}
}
