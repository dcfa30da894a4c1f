package derive

import (
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// 100 kg of projector from 2,850 mm (over the rear axle) to the front axle, and
// 60 kg left behind that stood over the coupling of the trailer: by the levers
// a load over the rear axle is all on it, all of one over the coupling rests on it.
func TestMovedLoadsByTheLevers(t *testing.T) {
	job := fixture()
	job.Outfit.Wheelbase, job.Outfit.RearAxleToCoupling, job.Outfit.CouplingToTrailerAxle = known(2850), known(1250), known(5000)
	job.Places = []tickets.Place{
		{Name: "bay", On: tickets.OnVehicle, HasAt: true, AtMm: 2850},
		{Name: "cab", On: tickets.OnVehicle, HasAt: true, AtMm: 0},
		{Name: "locker", On: tickets.OnTrailer, HasAt: true, AtMm: 5000},
	}
	job.Loads = []tickets.Load{
		{Name: "projector", Kg: decimal.NewFromInt(100), UKg: 2, On: tickets.OnVehicle, Place: "bay"},
		{Name: "battery", Kg: decimal.NewFromInt(60), UKg: 1, On: tickets.OnTrailer, Place: "locker"},
	}
	s := mustSolve(t, job)
	m, err := Solve(job, Options{Moves: []Move{{"projector", "bay", "cab", 100}, {"battery", "locker", "", 60}}})
	if err != nil {
		t.Fatal(err)
	}
	change := func(name string, q func(*Solution) Quantity, want float64) {
		t.Helper()
		before, _, _ := q(s).Number()
		wantNumber(t, name, q(m), before+want, 1e-3)
	}
	load := func(state tickets.State, g tickets.Group) func(*Solution) Quantity {
		return func(s *Solution) Quantity { return s.load(state, tickets.Term{Group: g}) }
	}
	change("alone front", load(tickets.VehicleAlone, tickets.Front), 100)
	change("alone rear", load(tickets.VehicleAlone, tickets.Rear), -100)
	change("download", (*Solution).download, -60)
	change("trailer mass", wholeTrailer, -60)
	change("coupled rear", load(tickets.CoupledSlack, tickets.Rear), -100-60*(1+1250.0/2850))
	change("coupled trailer", load(tickets.CoupledSlack, tickets.Trailer), 0)
	if _, err := Solve(job, Options{Moves: []Move{{"projector", "bay", "attic", 100}}}); err == nil {
		t.Error("a move to a place that no form lists was made")
	}
}

// The worked example with 60 kg of battery at the coupling
// left behind: by the levers the download is 60 kg less, by every route.
func TestRoutesOfAMovedLoad(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
	job := measured(jobOf(append(readings, weigh(tickets.TrailerAlone, 250, "coupling"))...))
	job.Places = []tickets.Place{{Name: "locker", On: tickets.OnTrailer, HasAt: true, AtMm: 1000 * drawbar}}
	job.Loads = []tickets.Load{{Name: "battery", Kg: decimal.NewFromInt(60), UKg: 1, On: tickets.OnTrailer, Place: "locker"}}
	m, err := Solve(job, Options{Moves: []Move{{"battery", "locker", "", 60}}})
	if err != nil {
		t.Fatal(err)
	}
	wantNumber(t, "download", m.Figures().Download, 190, 1e-6)
	routes := m.routes()
	if len(routes) != 4 {
		t.Errorf("%d routes (want 4)", len(routes))
	}
	for _, r := range routes {
		if math.Abs(r.Value-190) > 1e-6 {
			t.Errorf("route %s gives %g (want 190)", r.Name, r.Value)
		}
	}
}

// A part of a load has its part of u(mass): 25 of 100 kg ± 4 kg is 25 ± 1,
// and a vehicle of u = 3 that it leaves has √(3² + 1²).
func TestUncertaintyOfAMovedPart(t *testing.T) {
	job := jobOf(on("a", weigh(tickets.VehicleAlone, 2760, "vehicle")))
	job.Scales = []tickets.Scale{certain("a", 3)}
	job.Places = []tickets.Place{{Name: "bay", On: tickets.OnVehicle, HasAt: true, AtMm: 0}}
	job.Loads = []tickets.Load{{Name: "mats", Kg: decimal.NewFromInt(100), UKg: 4, On: tickets.OnVehicle, Place: "bay"}}
	m, err := Solve(job, Options{Moves: []Move{{"mats", "bay", "", 25}}})
	if err != nil {
		t.Fatal(err)
	}
	q := m.total(tickets.VehicleAlone, vehicleGroups...)
	wantNumber(t, "vehicle", q, 2735, 1e-6)
	if _, u, _ := q.Number(); math.Abs(u-math.Sqrt(3*3+1)) > 1e-6 {
		t.Errorf("u = %g (want √(3² + 1²))", u)
	}
}

func TestMovesThatCannotBe(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle"))
	job.Places = []tickets.Place{{Name: "bay", On: tickets.OnVehicle, HasAt: true}, {Name: "shelf", On: tickets.OnVehicle}}
	job.Loads = []tickets.Load{{Name: "mats", Kg: decimal.NewFromInt(100), UKg: 4, On: tickets.OnVehicle, Place: "bay"}}
	for _, m := range []Move{
		{"carpets", "bay", "", 10}, {"mats", "bay", "", 0}, {"mats", "bay", "", 101}, {"mats", "bay", "", -1},
		{"mats", "bay", "shelf", 10}, {"mats", "attic", "", 10},
	} {
		if _, err := Solve(job, Options{Moves: []Move{m}}); err == nil || !strings.Contains(err.Error(), "(want ") {
			t.Errorf("%+v was made, or the error says nothing of what is wanted: %v", m, err)
		}
	}
	if _, err := Solve(job, Options{Moves: []Move{{"mats", "bay", "", 100}}}); err != nil {
		t.Errorf("all of a load may go: %v", err)
	}
}

// What a used reading must know of a place, by the shares that it depends on.
func TestKnownAt(t *testing.T) {
	for _, c := range []struct {
		name    string
		reading tickets.Reading
		missing string
		place   string
		want    string
	}{
		{"vehicle, whole", weigh(tickets.VehicleAlone, 2760, "vehicle"), "w", "bay", ""},
		{"vehicle, one axle", weigh(tickets.VehicleAlone, 1260, "front"), "w", "bay", lengthW},
		{"trailer, whole", weigh(tickets.TrailerAlone, 2680, "whole trailer"), "n", "locker", ""},
		{"trailer, nose", weigh(tickets.TrailerAlone, 240, "nose"), "n", "locker", lengthN},
		{"trailer, gauge", weigh(tickets.TrailerAlone, 240, "coupling"), "n", "locker", ""},
		{"gauge, no drawbar", weigh(tickets.TrailerAlone, 240, "coupling"), "L", "locker", lengthL},
		{"coupled, all", weigh(tickets.CoupledSlack, 5440, "outfit"), "w a L n", "locker", ""},
		{"coupled, trailer", weigh(tickets.CoupledSlack, 2430, "trailer"), "w a", "locker", ""},
		{"coupled, trailer, no drawbar", weigh(tickets.CoupledSlack, 2430, "trailer"), "L", "locker", lengthL},
		{"coupled, vehicle", weigh(tickets.CoupledSlack, 3010, "vehicle"), "a", "locker", ""},
		{"coupled, front", weigh(tickets.CoupledSlack, 1150, "front"), "a", "locker", lengthA},
		{"coupled, front, place over the axle", weigh(tickets.CoupledSlack, 1150, "front"), "w a L", "middle", ""},
		{"no position", weigh(tickets.VehicleAlone, 2760, "vehicle"), "", "shelf", "place"},
		{"no place", weigh(tickets.VehicleAlone, 2760, "vehicle"), "", "", "place"},
	} {
		job := jobOf(c.reading)
		job.Outfit = levers()
		forget(&job.Outfit, c.missing)
		job.Places = []tickets.Place{
			{Name: "bay", On: tickets.OnVehicle, HasAt: true, AtMm: 1800}, {Name: "locker", On: tickets.OnTrailer, HasAt: true, AtMm: 1000},
			{Name: "middle", On: tickets.OnTrailer, HasAt: true}, {Name: "shelf", On: tickets.OnVehicle},
		}
		if missing, ok := mustSolve(t, job).KnownAt(c.place); missing != c.want || ok != (c.want == "") {
			t.Errorf("%s: missing %q, %v (want %q)", c.name, missing, ok, c.want)
		}
	}
}

// Where sides are read separately nobody knows on which side a moved part came to
// ride: u of a wheel grows by 100/(2√3) = 28.87 kg, rectangular over all of it;
// u of the axle does not.
func TestMovedPartLeansUnknown(t *testing.T) {
	side := func(g tickets.Group, s tickets.Side, kg float64) tickets.Reading {
		r := weigh(tickets.VehicleAlone, kg)
		r.Terms = []tickets.Term{{Group: g, Side: s}}
		return r
	}
	job := jobOf(side(tickets.Front, tickets.Left, 640), side(tickets.Front, tickets.Right, 620),
		side(tickets.Rear, tickets.Left, 760), side(tickets.Rear, tickets.Right, 740))
	job.Outfit.Wheelbase = known(2850)
	job.Places = []tickets.Place{{Name: "bay", On: tickets.OnVehicle, HasAt: true, AtMm: 2850}, {Name: "cab", On: tickets.OnVehicle, HasAt: true}}
	job.Loads = []tickets.Load{{Name: "projector", Kg: decimal.NewFromInt(100), UKg: 0.001, On: tickets.OnVehicle, Place: "bay"}}
	s := mustSolve(t, job)
	m, err := Solve(job, Options{Moves: []Move{{"projector", "bay", "cab", 100}}})
	if err != nil {
		t.Fatal(err)
	}
	u := func(s *Solution, term tickets.Term) float64 {
		_, u, ok := s.load(tickets.VehicleAlone, term).Number()
		if !ok {
			t.Fatalf("%v is not determined", term)
		}
		return u
	}
	for _, g := range vehicleGroups {
		left := tickets.Term{Group: g, Side: tickets.Left}
		if want := math.Hypot(u(s, left), 100/(2*math.Sqrt(3))); math.Abs(u(m, left)-want) > 1e-3 {
			t.Errorf("u of %v is %g after the move (want %g)", left, u(m, left), want)
		}
		if whole := (tickets.Term{Group: g}); math.Abs(u(m, whole)-u(s, whole)) > 1e-3 {
			t.Errorf("u of the group %s changed from %g to %g", g, u(s, whole), u(m, whole))
		}
	}
	wantNumber(t, "front left", m.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Front, Side: tickets.Left}), 690, 1e-6)
}

func TestKnownAtNoPlace(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.CoupledSlack, 1800, "rear")))
	for _, place := range []string{"", "nowhere"} {
		if missing, ok := s.KnownAt(place); missing != "place" || ok {
			t.Errorf("%q: %q, %v", place, missing, ok)
		}
	}
	on := &tickets.Place{Name: "tray", On: tickets.OnVehicle, HasAt: true, AtMm: 500}
	if missing := s.system.leverAt(&s.Job.Readings[0], on); missing != "" {
		t.Errorf("a place on the vehicle lacks the lever of the overhang: %q", missing)
	}
}

func TestPartsAtNoPlace(t *testing.T) {
	y := mustSolve(t, jobOf(weigh(tickets.CoupledSlack, 1800, "rear"))).system
	for _, place := range []string{"", "nowhere"} {
		if p := y.partsAt(place, tickets.CoupledSlack); p != nil {
			t.Errorf("at %q: %v", place, p)
		}
	}
}

// A weighing showed what it showed, whatever is moved before the outfit
// travels: 100 of 2,760 kg left behind, the ticket still says 2,760.
func TestReconciledAfterAMove(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle"))
	job.Places = []tickets.Place{{Name: "bay", On: tickets.OnVehicle, HasAt: true, AtMm: 0}}
	job.Loads = []tickets.Load{{Name: "mats", Kg: decimal.NewFromInt(100), UKg: 1, On: tickets.OnVehicle, Place: "bay"}}
	m, err := Solve(job, Options{Moves: []Move{{"mats", "bay", "", 100}}})
	if err != nil {
		t.Fatal(err)
	}
	wantNumber(t, "vehicle", m.total(tickets.VehicleAlone, vehicleGroups...), 2660, 1e-6)
	onDeck, shown := m.loadOn(0), m.expected(0)
	for _, q := range []Quantity{onDeck, shown} {
		if kg, _, ok := q.Number(); !ok || math.Abs(kg-2760) > 1e-6 {
			t.Errorf("the ticket would have shown %g, %v (want 2760)", kg, ok)
		}
	}
}
