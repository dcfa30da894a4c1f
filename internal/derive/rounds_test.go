package derive

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive/lsq"
	"reconcile/internal/tickets"
)

// From one round to the next the front axle gains 5 kg and the rear loses 7:
// the loads have moved by 7 kg.
func TestLargestMoveOfALoad(t *testing.T) {
	axles := func(front, rear float64) *Solution {
		return mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", front, "front"), weigh(tickets.VehicleAlone, "", rear, "rear")))
	}
	if got := axles(1265, 1493).largestShift(axles(1260, 1500).fit); math.Abs(got-7) > 1e-9 {
		t.Errorf("moved by %g (want 7)", got)
	}
}

// A mass that was declared is no load on a support: with 50 kg more away, and
// 50 kg less on the ticket, nothing has moved.
func TestDeclaredMassIsNoMove(t *testing.T) {
	short := func(kg float64, mass int64) *Solution {
		job := jobOf(away(weigh(tickets.VehicleAlone, "", kg, "front"), "mats"))
		job.Places = []tickets.Place{{Name: "cab", On: tickets.OnVehicle, HasAt: true}}
		job.Loads = []tickets.Load{{Name: "mats", Kg: decimal.NewFromInt(mass), UKg: 1, On: tickets.OnVehicle, Place: "cab"}}
		return mustSolve(t, job)
	}
	if got := short(1210, 150).largestShift(short(1260, 100).fit); got > 1e-9 {
		t.Errorf("moved by %g (want 0)", got)
	}
}

// without lengths there are no ties: one system of all seven readings, one for
// the route by the trailer (2 readings) and one by the vehicle (5).
func TestSystemsOfAJob(t *testing.T) {
	var all []lsq.System
	s, err := SolveWith(fixture(), Options{Watch: func(y lsq.System) { all = append(all, y) }})
	if err != nil {
		t.Fatal(err)
	}
	s.Routes()
	var readings []int
	for i := range all {
		n := 0
		for k := range all[i].Y {
			n += b2i(all[i].Y[k] > 1000) // no gain and no split is
		}
		readings = append(readings, n)
	}
	if !slices.Equal(readings, []int{7, 2, 5}) {
		t.Errorf("readings %v (want 7, 2, 5)", readings)
	}
}
