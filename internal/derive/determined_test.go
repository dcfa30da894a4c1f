package derive

import (
	"math"
	"sort"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// said lists the names of what has a number, in the order of the alphabet.
func said(s *Solution) string {
	var names []string
	for _, q := range s.quantities() {
		if q.Determined {
			names = append(names, q.Name)
		}
	}
	sort.Strings(names)
	return strings.Join(names, " ")
}

// What little was weighed says, and no more: each row is all that conservation
// of mass and the levers leave (from the definitions).
func TestLittleWeighed(t *testing.T) {
	alone, slack, tight := aloneReadings(), coupledReadings(tickets.CoupledSlack, 0), coupledReadings(tickets.CoupledTensioned, 125)
	v := weigh(tickets.VehicleAlone, 2760, "vehicle")
	trailer := weigh(tickets.TrailerAlone, 2680, "whole trailer")
	vc := weigh(tickets.CoupledSlack, 3010, "vehicle")
	both := weigh(tickets.CoupledSlack, 5440, "outfit")
	bothTight := weigh(tickets.CoupledTensioned, 5440, "outfit")
	gauge := weigh(tickets.TrailerAlone, 250, "coupling")
	calculated := v
	calculated.Used, calculated.Calculated = false, true
	for _, c := range []struct {
		name     string
		readings []tickets.Reading
		lengths  bool
		want     string
	}{
		{"one axle", alone[:1], true, "vehicle_alone.front"},
		{"vehicle", []tickets.Reading{v}, true, "vehicle_alone.vehicle"},
		{"whole trailer", []tickets.Reading{trailer}, false, "trailer_mass"},
		{"combination", []tickets.Reading{both}, false, "combination"},
		{"combination, tensioned", []tickets.Reading{bothTight}, false, "combination"},
		{"trailer's axles, coupled", slack[2:], true, "coupled_slack.trailer"},
		{"nose off the deck", alone[2:3], false, "trailer_alone.trailer"},
		{"nose alone, without lengths", alone[3:], false, "trailer_alone.nose"},
		{"nose alone, with lengths", alone[3:], true, "download trailer_alone.nose"},
		{"gauge, without lengths", []tickets.Reading{gauge}, false, "download"},
		{"gauge, with lengths", []tickets.Reading{gauge}, true, "download trailer_alone.nose"},
		{"calculated only", []tickets.Reading{calculated}, true, ""},
		{"V, T and the combination", []tickets.Reading{v, trailer, both}, true, "combination trailer_mass vehicle_alone.vehicle"},
		{"V and the combination", []tickets.Reading{v, both}, false, "combination trailer_mass vehicle_alone.vehicle"},
		{"V and V coupled", []tickets.Reading{v, vc}, false, "coupled_slack.vehicle download vehicle_alone.vehicle"},
		{"no vehicle reading", []tickets.Reading{trailer, slack[2]}, false, "coupled_slack.trailer download trailer_mass"},
		{"front lift alone", []tickets.Reading{alone[0], slack[0]}, false, "coupled_slack.front front_lift vehicle_alone.front"},
		{"front lift and levers", []tickets.Reading{alone[0], slack[0]}, true, "coupled_slack.front download front_lift vehicle_alone.front"},
		{"V coupled, tensioned: no download", []tickets.Reading{v, weigh(tickets.CoupledTensioned, 2985, "vehicle")}, false, "coupled_tensioned.vehicle vehicle_alone.vehicle"},
		{"T and G, tensioned: no download", []tickets.Reading{trailer, tight[2]}, false, "coupled_tensioned.trailer trailer_mass"},
		{"nose off the deck, but moments", []tickets.Reading{v, vc, alone[2]}, true,
			"combination coupled_slack.trailer coupled_slack.vehicle download front_lift trailer_alone.nose trailer_alone.trailer trailer_mass vehicle_alone.vehicle"},
	} {
		job := jobOf(c.readings...)
		if c.lengths {
			job = measured(job)
		}
		if got := said(mustSolve(t, job)); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
}

// The same line twice, at different times: rounding and zero are renewed,
// position and linearity not. One axle, e = 20: u² = 41.6667/2 + 133.3333 =
// 154.1667, and the gain 1260·0.0011547 = 1.4549 (numbers as in uTable and gainTable).
func TestTheSameLineTwice(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 1260, "front"), weigh(tickets.VehicleAlone, 1280, "front")))
	q := s.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Front})
	wantNumber(t, "front", q, 1270, 0.01)
	if _, u, _ := q.Number(); math.Abs(u*u-154.1667-1270*1270*0.0011547*0.0011547) > 0.01 {
		t.Errorf("u² = %.4f (want 156.317)", u*u)
	}
	if !q.Weighed || s.Agreement.DOF != 1 {
		t.Errorf("basis %s, dof %d (want weighed, 1)", basisOf(q), s.Agreement.DOF)
	}
}

// u of exactly what is allowed, and a little more. A certain scale of u has
// u = 2u: 500 kg at 250.
func TestTooVague(t *testing.T) {
	for _, c := range []struct {
		u     float64
		vague bool
	}{{249.99, false}, {250.01, true}, {300, true}} {
		job := jobOf(on("a", weigh(tickets.VehicleAlone, 2760, "vehicle")))
		job.Scales = []tickets.Scale{certain("a", c.u)}
		q := mustSolve(t, job).total(tickets.VehicleAlone, vehicleGroups...)
		v, u, ok := q.Number()
		U, vague := q.fixedOnlyTo()
		if ok == c.vague || vague != c.vague {
			t.Errorf("u %g: determined %v, vague %v", c.u, ok, vague)
		}
		if c.vague && (v != 0 || u != 0 || math.Abs(U-2*c.u) > 1e-3) {
			t.Errorf("u %g: a number leaks: %g, %g; fixed only to %g", c.u, v, u, U)
		}
	}
}

// without a reading to spare nothing is tested, and nothing passes for checked.
func TestNoRedundancy(t *testing.T) {
	s := mustSolve(t, jobOf(append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)[2])...))
	if a := s.Agreement; a.Degree != untested || a.DOF != 0 || a.Scaling != 1 || s.inseparable() != nil {
		t.Errorf("agreement %+v", s.Agreement)
	}
	for i, o := range s.Observations {
		if o.Redundancy > 1e-12 || o.Testable || o.Suspect || o.Standardised != 0 || o.Smallest != 0 {
			t.Errorf("observation %d: %+v (want no redundancy, no test)", i, o)
		}
	}
	b := s.Behind(s.Figures().Download)
	if b.Checked || b.Tested {
		t.Errorf("the download passes for checked (%+v)", b)
	}
	if got := len(b.Readings); got != 3 {
		t.Errorf("%d readings affect the download (want 3: trailer, nose, trailer coupled)", got)
	}
	if s.Behind(s.total(tickets.VehicleAlone, vehicleGroups...)).Checked {
		t.Error("the vehicle passes for checked")
	}
}

// What an errorless scale would have shown, also for what was not used: the
// fitted loads, less who was away.
func TestReconciled(t *testing.T) {
	job := jobOf(append(aloneReadings()[:2], coupledReadings(tickets.CoupledSlack, 0)...)...)
	job.Outfit = levers()
	add := func(calculated bool, without string, terms ...tickets.Term) {
		r := weigh(tickets.VehicleAlone, 1, "")
		r.Used, r.Calculated, r.Terms = false, calculated, terms
		if without != "" {
			r.Without = []string{without}
		}
		job.Readings = append(job.Readings, r)
	}
	job.Loads = []tickets.Load{{Name: "driver", Kg: decimal.NewFromInt(80), UKg: 1, On: tickets.OnVehicle, Place: "seat"}}
	job.Places = []tickets.Place{{Name: "seat", On: tickets.OnVehicle, HasAt: true, AtMm: 1200}}
	job.Readings[0].Without, job.Readings[0].Kg = []string{"driver"}, job.Readings[0].Kg.Sub(decimal.NewFromInt(48)) // 0.6 of him
	add(false, "", deck("vehicle")...)
	add(false, "driver", deck("vehicle")...)
	add(false, "", support(tickets.Front, 0, tickets.Left)...)
	add(true, "")
	forget(&job.Outfit, "a")
	s := mustSolve(t, job)
	for i, want := range []float64{1212, 1500, 1150.351, 0, 0, 2760, 2680} {
		onDeck := s.loadOn(i)
		if kg, _, ok := onDeck.Number(); want != 0 && (!ok || math.Abs(kg-want) > 1e-3) {
			t.Errorf("reading %d: %.4f, %v (want %g)", i, kg, ok, want)
		}
	}
	for _, i := range []int{7, 8} { // a side not solved separately; nothing on the deck
		onDeck := s.loadOn(i)
		if kg, _, ok := onDeck.Number(); ok {
			t.Errorf("reading %d has %g (want nothing)", i, kg)
		}
	}
}
