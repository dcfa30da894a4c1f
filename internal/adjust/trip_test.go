package adjust

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// varying makes the water of the demonstration, 120 ± 3 kg in the front bay of
// the trailer, weigh from 0 to 200 kg, with places that it may go to.
func varying(t testing.TB, limit int64, mayGo ...string) *tickets.Job {
	t.Helper()
	return overloaded(t, func(j *tickets.Job) {
		w := j.Load("water")
		w.Least, w.Most = most(0), most(200)
		w.MayGo, w.MayLeave, w.Divisible = mayGo, false, false
		for i := range j.Loads {
			if l := &j.Loads[i]; l.Name != "water" {
				l.MayGo, l.MayLeave = nil, false
			}
		}
		j.Ratings = []tickets.Rating{rating("download_max", "vehicle", limit)}
	})
}

// 340.3 + 21.9 = 362.2 is within 380, but with 80 kg more water 1,800 mm ahead
// of the axle on 4,600 mm it is 340.3 + 31.3 = 371.6 and its U of about 22 over
// it: the plan has to move the water to where it puts nothing on the coupling.
func TestThePlanKeepsTheTrip(t *testing.T) {
	job := varying(t, 380, "over the axles")
	s, f := solved(t, job, limits.Guarded)
	if f.Trip == "" || f.Trip == limits.Within || f.Deciding[0].Verdict != limits.Within {
		t.Fatalf("trip %s, %s", f.Trip, f.Deciding[0].Verdict)
	}
	if pl := job.Place("front bay"); pl.AtMm != 1800 || job.Load("water").Place != "front bay" {
		t.Fatalf("water is in %q at %v", job.Load("water").Place, pl.AtMm)
	}
	p, err := Find(s, f, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	wantMoves(t, p, "water: front bay > over the axles 120")
	if !p.Proved {
		t.Errorf("not proved: %s", p.Why)
	}
	// without the trip nothing needs to move
	still := *job
	still.Loads = append([]tickets.Load{}, job.Loads...)
	still.Load("water").Least, still.Load("water").Most = decimal.NullDecimal{}, decimal.NullDecimal{}
	if q := planned(t, &still, limits.Guarded); !q.Found || len(q.Moves) > 0 {
		t.Errorf("without a trip: %s", spell(q.Moves))
	}
}

// Where the water may not move there is no plan, and what remains is the excess
// of the corner, by hand: 340.298 + 80·1800/4600 = 371.603; U² = (2·10.943507)²
// + (2·80·3/120·1800/4600)² = 21.887² + 1.565², so that 371.603 + 21.943 − 380
// = 13.546 kg.
func TestNoPlanForTheTrip(t *testing.T) {
	p := planned(t, varying(t, 380), limits.Guarded)
	if p.Found || !p.Proved || p.Why != cannotHold || len(p.Blocking) != 1 || math.Abs(p.Blocking[0].ExcessKg-13.546) > 0.002 {
		t.Errorf("found %v, proved %v, %s, %+v (want 13.546 kg too much)", p.Found, p.Proved, p.Why, p.Blocking)
	}
}

// A varying load that moves is at its worst end where it goes: empty behind the
// axle it takes less off the coupling. Its least counts there, not its mass.
func TestAVaryingLoadIsWorstWhereItGoes(t *testing.T) {
	job := varying(t, 380, "rear bay")
	s, f := solved(t, job, limits.Guarded)
	p := &planner{job: job, s: s, f: f, deciding: f.Deciding, plan: &Plan{}}
	b := p.tripBound(f.Deciding[0])
	water, from, to := job.Load("water"), job.Place("front bay"), job.Place("rear bay")
	// At 1,800 mm ahead, full: 80·1800/4600 = 31.304; at 1,700 mm behind, empty:
	// −120·(−1700/4600) = 44.348. Per kilogram of 120: (44.348 − 31.304)/120, and
	// the guard grows by 2·(120·3/120·1700 − 80·3/120·1800)/4600 = 0.652.
	if to.AtMm != -1700 {
		t.Fatalf("rear bay at %v", to.AtMm)
	}
	if got, want := b.varies(water, from, to), (44.348-31.304+0.652)/120; math.Abs(got-want) > 1e-4 {
		t.Errorf("%.5f a kilogram (want %.5f)", got, want)
	}
	if got := b.varies(job.Load("projector"), from, to); got != 0 {
		t.Errorf("%g for a load that does not vary", got)
	}
	if got, want := b.varies(water, from, nil), -31.304/120; math.Abs(got-want) > 1e-4 {
		t.Errorf("%.5f left behind (want %.5f)", got, want)
	}
}

// Where the share of a varying load hangs on a missing number there is no plan.
func TestATripThatIsNotKnown(t *testing.T) {
	job := varying(t, 380, "over the axles")
	job.Load("water").Place = ""
	p := planned(t, job, limits.Guarded)
	if p.Found || p.Proved || p.Why != tripNotKnown {
		t.Errorf("found %v, %s", p.Found, p.Why)
	}
	if s, _ := solved(t, job, limits.Guarded); s.Agreement.Conflict {
		t.Error("the job is in conflict")
	}
}

// What varies and is not moved stays where it is, as does what does not vary.
func TestOnlyWhatMovesIsPlacedAnew(t *testing.T) {
	job := varying(t, 380, "over the axles")
	food := job.Loads[0]
	food.Name, food.Place = "food", "front bay"
	food.Least, food.Most = most(0), most(40)
	job.Loads = append(job.Loads, food)
	job.Places = append(slices.Clone(job.Places), tickets.Place{Name: "tray", On: tickets.OnVehicle, AtMm: 2900, HasAt: true})
	p := &planner{job: job, plan: &Plan{Moves: []Move{{Load: "water", From: "front bay", To: "tray"}}}}
	then, moved := p.planned(), 0
	for i := range job.Loads {
		was, is := &job.Loads[i], &then.Loads[i]
		place, on := was.Place, was.On
		if was.Name == "water" {
			place, on, moved = "tray", tickets.OnVehicle, moved+1
		}
		if is.Place != place || is.On != on || is.Least != was.Least || is.Most != was.Most {
			t.Errorf("%s is in %q on %s (want %q on %s), %v to %v", is.Name, is.Place, is.On, place, on, is.Least, is.Most)
		}
	}
	if moved != 1 {
		t.Errorf("%d loads moved (want the water)", moved)
	}
}
