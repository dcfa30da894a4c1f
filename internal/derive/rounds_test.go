package derive

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// From one round to the next the front axle gains 5 kg and the rear loses 7:
// the loads have moved by 7 kg.
func TestLargestMoveOfALoad(t *testing.T) {
	axles := func(front, rear float64) *Solution {
		return mustSolve(t, jobOf(weigh(tickets.VehicleAlone, front, "front"), weigh(tickets.VehicleAlone, rear, "rear")))
	}
	if got := axles(1265, 1493).largestShift(axles(1260, 1500).fit); math.Abs(got-7) > 1e-9 {
		t.Errorf("moved by %g (want 7)", got)
	}
}

// A mass that was stated is no load on a support: with 50 kg more away, and
// 50 kg less on the ticket, nothing has moved.
func TestStatedMassIsNoMove(t *testing.T) {
	short := func(kg float64, mass int64) *Solution {
		job := jobOf(away(weigh(tickets.VehicleAlone, kg, "front"), "mats"))
		job.Places = []tickets.Place{{Name: "cab", On: tickets.OnVehicle, HasAt: true}}
		job.Loads = []tickets.Load{{Name: "mats", Kg: decimal.NewFromInt(mass), UKg: 1, On: tickets.OnVehicle, Place: "cab"}}
		return mustSolve(t, job)
	}
	if got := short(1210, 150).largestShift(short(1260, 100).fit); got > 1e-9 {
		t.Errorf("moved by %g (want 0)", got)
	}
}
