package derive

import (
	"errors"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

func TestFurtherReadingNeedsBoth(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle")))
	good := weigh(tickets.VehicleAlone, 1260, "front")
	noDeck, noInterval := good, good
	noDeck.Terms, noInterval.IntervalKg = nil, decimal.Zero
	for _, r := range []tickets.Reading{noDeck, noInterval} {
		if _, err := s.WithReading(&r, &s.Job.Scales[0]); !errors.Is(err, errFurther) {
			t.Errorf("deck %v, interval %s: %v", r.Terms, r.IntervalKg, err)
		}
	}
	if _, err := s.WithReading(&good, &s.Job.Scales[0]); err != nil {
		t.Error(err)
	}
}

func TestAlikeNeedsTwoTested(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.VehicleAlone, 2780, "vehicle")))
	if _, ok := s.Alike(0, 1); !ok {
		t.Error("two readings of one deck are not alike")
	}
	for _, pair := range [][2]int{{99, 1}, {1, 99}, {99, 98}} {
		if _, ok := s.Alike(pair[0], pair[1]); ok {
			t.Errorf("readings %v, which are not there, are alike", pair)
		}
	}
}

// A scale of 600 kg uncertainty fixes nothing that is shown, so what a reading
// is expected to be is supposed: 1,300 + 1,200 kg, whatever it said.
func TestPredictWhereTooVague(t *testing.T) {
	job := jobOf(on("a", weigh(tickets.VehicleAlone, 2760, "vehicle")))
	job.Scales = []tickets.Scale{certain("a", 300)}
	if got := mustSolve(t, job).predict(weigh(tickets.VehicleAlone, 0, "vehicle")).Kg; got.IntPart() != 2500 {
		t.Errorf("a vehicle known to 600 kg is expected at %s (want 2500)", got)
	}
}
