package derive

import (
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// 100 kg of projector from 2,850 mm (over the rear axle) to the front axle, and
// 60 kg left behind that stood over the coupling of the trailer: by the levers
// a load over the rear axle is all on it, one over the coupling bears on it whole.
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
	m, err := s.Moved([]Move{{"projector", "bay", "cab", 100}, {"battery", "locker", "", 60}})
	if err != nil {
		t.Fatal(err)
	}
	change := func(name string, q func(*Solution) Quantity, want float64) {
		t.Helper()
		before, _, _ := q(s).Number()
		wantNumber(t, name, q(m), before+want, 1e-3)
	}
	load := func(state State, g tickets.Group) func(*Solution) Quantity {
		return func(s *Solution) Quantity { return s.Load(state, tickets.Term{Group: g}) }
	}
	change("alone front", load(VehicleAlone, tickets.Front), 100)
	change("alone rear", load(VehicleAlone, tickets.Rear), -100)
	change("download", (*Solution).Download, -60)
	change("trailer mass", (*Solution).TrailerMass, -60)
	change("coupled rear", load(CoupledSlack, tickets.Rear), -100-60*(1+1250.0/2850))
	change("coupled trailer", load(CoupledSlack, tickets.Trailer), 0)
	if _, err := s.Moved([]Move{{"projector", "bay", "attic", 100}}); err == nil {
		t.Error("a move to a place nobody declared was made")
	}
}
