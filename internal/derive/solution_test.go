package derive

import (
	"fmt"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// fixture is a constructed set of weighings that is consistent with the levers
// wheelbase 2.85 m, overhang 1.25 m, drawbar 5.0 m and a download of 250 kg:
// statics of a load behind the rear axle, derived from the definitions.
func fixture() *tickets.Job {
	return jobOf(
		weigh(tickets.VehicleAlone, 1260, "front"),
		weigh(tickets.VehicleAlone, 1500, "rear"),
		weigh(tickets.VehicleAlone, 2760, "vehicle"),
		weigh(tickets.TrailerAlone, 2680, "whole trailer"),
		weigh(tickets.CoupledSlack, 1150, "front"),
		weigh(tickets.CoupledSlack, 1860, "rear"),
		weigh(tickets.CoupledSlack, 2430, "trailer"),
	)
}

func TestConstructedFixture(t *testing.T) {
	s := mustSolve(t, fixture())
	wantNumber(t, "download", s.Figures().Download, 250, 1e-6)
	wantNumber(t, "combination", s.combination(), 5440, 1e-6)
	wantNumber(t, "front lift", s.Figures().FrontLift, 110, 1e-6)
	wantNumber(t, "trailer mass", s.Figures().TrailerMass, 2680, 1e-6)
	if s.Agreement.Degree != agree {
		t.Errorf("agreement %s", s.Agreement.Degree)
	}
	if f := s.Agreement; f.DOF != 2 || f.Observations != 8 {
		t.Errorf("fit %+v (want dof 2 of 8 observations: 7 readings and 1 scale)", f)
	}
	if s.Figures().FrontRestored.Determined {
		t.Error("front_restored has a number without a tensioned weighing")
	}
	for _, r := range s.routes() {
		if math.Abs(r.Value-250) > 1e-6 {
			t.Errorf("route %s gives %g (want 250)", r.Name, r.Value)
		}
	}
	if n := len(s.routes()); n != 2 {
		t.Errorf("%d routes (want trailer and vehicle)", n)
	}
}

// A fully weighed outfit with the hitch tensioned only: the download is not
// determined without lengths, and is 250 kg with them.
func TestTensionedAlone(t *testing.T) {
	job := func() *tickets.Job {
		return jobOf(
			weigh(tickets.VehicleAlone, 1260, "front"),
			weigh(tickets.VehicleAlone, 1500, "rear"),
			weigh(tickets.TrailerAlone, 2680, "whole trailer"),
			weigh(tickets.CoupledTensioned, 1205.175, "front"),
			weigh(tickets.CoupledTensioned, 1779.825, "rear"),
			weigh(tickets.CoupledTensioned, 2455, "trailer"),
		)
	}
	if s := mustSolve(t, job()); s.Figures().Download.Determined || len(s.routes()) != 0 {
		t.Error("a tensioned weighing without lengths gave a download")
	}
	j := job()
	j.Outfit.Wheelbase, j.Outfit.RearAxleToCoupling, j.Outfit.CouplingToTrailerAxle = known(2850), known(1250), known(5000)
	s := mustSolve(t, j)
	// Exact statics at 50 % restoration, D = 250: dF −54.8, dG +25 (load behind
	// the rear axle; derived from the definitions).
	wantNumber(t, "download", s.Figures().Download, 250, 0.5)
	if !s.Figures().Download.ByMoment {
		t.Errorf("basis %s (want moment)", basisOf(s.Figures().Download))
	}
	wantNumber(t, "front restored", s.Figures().FrontRestored, 54.825, 0.5)
	wantNumber(t, "restoration", s.Figures().Restoration, 0.5, 0.01)
	wantNumber(t, "hitch moment", s.Figures().HitchMoment, 125, 1)
}

func TestThreeTotalsGiveNoDownload(t *testing.T) {
	s := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, 2760, "vehicle"),
		weigh(tickets.TrailerAlone, 2680, "whole trailer"),
		weigh(tickets.CoupledSlack, 5440, "outfit"),
	))
	if s.Figures().Download.Determined {
		t.Error("V, T and the combination gave a download")
	}
	wantNumber(t, "combination", s.combination(), 5440, 1e-6)
}

func TestNoReadings(t *testing.T) {
	s := mustSolve(t, jobOf())
	for _, q := range s.quantities() {
		if q.Determined {
			t.Errorf("%s has a number without a reading", q.Name)
		}
	}
	if s.Agreement.Degree != untested {
		t.Errorf("agreement %s (want Untested)", s.Agreement.Degree)
	}
}

// Common practice, no source: a vehicle 260 kg heavier coupled than alone
// carries a download of 260 kg.
func TestHeavierCoupled(t *testing.T) {
	s := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, 2900, "vehicle"),
		weigh(tickets.CoupledSlack, 3160, "vehicle"),
	))
	wantNumber(t, "download", s.Figures().Download, 260, 1e-9)
}

// A driver of 80 kg on the front seats who was out of the trailer-only and in
// the others: D comes out without him.
func TestWithoutDriver(t *testing.T) {
	job := fixture()
	for i := range job.Readings {
		r := &job.Readings[i]
		r.Without = []string{"driver"}
		switch {
		case r.State == tickets.TrailerAlone || r.Terms[0].Group == tickets.Trailer:
			r.Without = nil
		case r.State == tickets.VehicleAlone:
			r.Without = nil
		}
	}
	job.Loads = []tickets.Load{{Name: "driver", Kg: decimal.NewFromInt(80), UKg: 1, On: tickets.OnVehicle, Place: "seat"}}
	job.Places = []tickets.Place{{Name: "seat", On: tickets.OnVehicle, HasAt: true, AtMm: 1425}}
	job.Outfit.Wheelbase = known(2850)
	job.Readings[4].Kg = decimal.NewFromInt(1150 - 40)
	job.Readings[5].Kg = decimal.NewFromInt(1860 - 40)
	s := mustSolve(t, job)
	wantNumber(t, "download", s.Figures().Download, 250, 1e-6)
	wantNumber(t, "driver", s.Sum(Part{Factor: 1, Load: "driver"}), 80, 1e-6)
}

// A job may name 200 loads (tickets). The columns of their masses come after those of the
// supports and are no supports: a mass is found wherever its column is.
func TestManyLoads(t *testing.T) {
	job := fixture()
	for i := range 200 {
		name := fmt.Sprintf("box %d", i)
		job.Loads = append(job.Loads, tickets.Load{Name: name, Kg: decimal.NewFromInt(2), UKg: 0.1, On: tickets.OnVehicle})
		// The front axle alone: how much of a load it carries is an unknown of its own.
		job.Readings[0].Without = append(job.Readings[0].Without, name)
	}
	s := mustSolve(t, job)
	for _, l := range job.Loads {
		wantNumber(t, l.Name, s.Sum(Part{Factor: 1, Load: l.Name}), 2, 2)
	}
}
