package derive

import (
	"testing"

	"reconcile/internal/tickets"
)

// A quotient of two masses of which one is not known has no number.
func TestQuotientOfHalfAnOutfit(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle")))
	f := s.Figures()
	if v := s.total(tickets.VehicleAlone, vehicleGroups...); !v.Determined || f.TrailerMass.Determined {
		t.Fatalf("vehicle %+v, trailer %+v: want only the first", v, f.TrailerMass)
	}
	if f.TrailerToVehicle.Determined {
		t.Errorf("of half an outfit the trailer is %+v of the vehicle", f.TrailerToVehicle)
	}
}

// One suspect observation is a conflict, however well all together agree.
func TestOneSuspectIsAConflict(t *testing.T) {
	s := mustSolve(t, triple(0))
	n := len(s.Observations)
	if a := s.fit.agreement(n, false); a.Conflict || a.DOF < 1 {
		t.Fatalf("%+v: want readings that agree", a)
	}
	if a := s.fit.agreement(n, true); !a.Conflict || a.Degree != conflict {
		t.Errorf("%+v with a suspect (want a conflict)", a)
	}
}

// What a reading had on its deck is weighed; twice as much of it, or a part, nobody read.
func TestAMultipleIsNotWeighed(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 1400, "front")))
	front := tickets.Term{Group: tickets.Front}
	for factor, want := range map[float64]string{1: weighed, 2: difference, 0.5: difference} {
		if q := s.Sum(supportLoad(factor, tickets.VehicleAlone, front)); !q.Determined || basisOf(q) != want {
			t.Errorf("%g of the front axle: %+v (want %s)", factor, q, want)
		}
	}
}
