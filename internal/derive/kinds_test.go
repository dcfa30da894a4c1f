package derive

import (
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// kindJob is an outfit of a kind whose every axle was read in every state, on a
// scale so fine that only the statics matter.
func kindJob(kind string, figures map[string]string) *tickets.Job {
	job := &tickets.Job{
		Outfit: tickets.Outfit{Drawbar: kind == "drawbar", Semi: kind == "semi", RearAxles: 1, TrailerAxles: 2, LengthUncertaintyMm: 10, Travels: tickets.CoupledSlack, TravelsPlain: true},
		Scales: []tickets.Scale{{Class: "III", Multi: true}},
	}
	for _, at := range []struct {
		state  tickets.State
		groups []tickets.Group
	}{{tickets.VehicleAlone, vehicleGroups}, {tickets.TrailerAlone, trailerGroups}, {tickets.CoupledSlack, coupledGroups}} {
		for _, g := range at.groups {
			setup, _ := at.state.Cells()
			typed, ok := figures[setup+"."+string(g)]
			if !ok {
				continue
			}
			r := tickets.Reading{Line: len(job.Readings) + 2, Ticket: setup, State: at.state, Terms: []tickets.Term{{Group: g}}, OnDeck: string(g),
				Typed: typed, Unit: "kg", Kg: decimal.RequireFromString(typed), IntervalKg: decimal.NewFromInt(2), Used: true}
			job.Readings = append(job.Readings, r)
		}
	}
	return job
}

// A drawbar trailer of 2,400 kg, 1,000 on its steered axle: nothing but half of
// the drawbar rests on the vehicle. By hand: coupled and alone everything is the
// same, so the download is 0, the trailer's mass that of its axles; observations
// are 6 readings, 1 scale and the download (section 3: fit.observations).
func TestDrawbar(t *testing.T) {
	job := kindJob("drawbar", map[string]string{
		"vehicle_alone.front": "1300", "vehicle_alone.rear": "1200", "trailer_alone.trailer": "2400",
		"coupled.front": "1300", "coupled.rear": "1200", "coupled.trailer": "2400",
	})
	job.Outfit.CouplingToTrailerAxle, job.Outfit.NoseSupportToTrailerAxle = known(3500), known(3300)
	s := mustSolve(t, job)
	wantNumber(t, "download", s.Figures().Download, 0, 1e-6)
	wantNumber(t, "trailer mass", s.Figures().TrailerMass, 2400, 0.5)
	if m := s.Figures().TrailerMass; !m.Weighed {
		t.Errorf("trailer mass by %s (want weighed: its axles were)", basisOf(m))
	}
	if f := s.Agreement; f.Observations != 8 {
		t.Errorf("%d observations (want 8: 6 readings, 1 scale, the download)", f.Observations)
	}
	if _, _, ok := s.load(tickets.TrailerAlone, tickets.Term{Group: tickets.Nose}).Number(); ok {
		t.Error("a nose has a load (want none: a hinged drawbar carries nothing)")
	}
	if len(s.ties) != 0 {
		t.Errorf("ties %v in force (want no nose tie)", s.ties)
	}
	if _, _, ok := s.Figures().TrailerCG.Number(); ok {
		t.Error("the trailer's centre of gravity follows from its download (want not determined)")
	}
	if whole := wholeOutfit(&job.Outfit, &job.Readings[2]); !whole {
		t.Error("the axles of a drawbar trailer alone are not all of it (want all)")
	}
	if causes := s.budget(s.Figures().Download); len(causes) == 0 || !strings.Contains(string(causes[0].Kind), "reading") && causes[0].Name != drawbarName {
		t.Errorf("the budget of the download names %v", causes)
	}
}

// Nothing but the vehicle was weighed, alone and coupled on one deck: the
// download is observed twice, as the difference of the readings (60 kg with u by
// hand) and as 0 ± 25, weighted with 1/u².
func TestDrawbarDownloadIsPulledToNothing(t *testing.T) {
	figures := map[string]string{"vehicle_alone.front": "1300", "vehicle_alone.rear": "1200", "coupled.front": "1300", "coupled.rear": "1260"}
	free := mustSolve(t, kindJob("centre_axle", figures))
	d, u, ok := free.Figures().Download.Number()
	if !ok || math.Abs(d-60) > 0.1 {
		t.Fatalf("the readings alone give %g (want 60)", d)
	}
	want := d / (u * u) / (1/(u*u) + 1/(25.0*25.0))
	bound := mustSolve(t, kindJob("drawbar", figures))
	wantNumber(t, "download", bound.Figures().Download, want, 0.01)
	if r := bound.routes(); len(r) == 0 || math.Abs(r[0].Value-60) > 0.1 {
		t.Errorf("routes %v (want the readings' own 60, without the observed 0)", r)
	}
}

// A load of a drawbar trailer is on its axles wherever it rides.
func TestDrawbarLoads(t *testing.T) {
	job := kindJob("drawbar", nil)
	for state, want := range map[tickets.State]float64{tickets.VehicleAlone: 0, tickets.TrailerAlone: 1, tickets.CoupledSlack: 1, tickets.CoupledTensioned: 1} {
		sh, missing, ok := share(job, tickets.OnTrailer, 1500, state)
		if !ok || missing != "" || sh != (shares{trailer: want}) {
			t.Errorf("%s: %v, missing %q (want %g on the axles)", state, sh, missing, want)
		}
		if state == tickets.VehicleAlone {
			continue
		}
		p := trailerParts(&job.Outfit, 1500, false, state)
		if p[tickets.Trailer].byMass != 1 || p[tickets.Trailer].byShare != 0 || p[tickets.Front].byMass != 0 || p[tickets.Rear].byMass != 0 {
			t.Errorf("%s: parts %v (want all on the axles, no share open)", state, p)
		}
	}
}

// A semi-trailer whose coupling is 300 mm ahead of the rear axle, a = −300,
// w = 3,000, D = 900. By hand (moments about the rear axle): the front axle
// gains 900·300/3000 = 90 kg, so front_lift = (a/w)·D = −90.
func TestSemi(t *testing.T) {
	job := kindJob("semi", map[string]string{
		"vehicle_alone.front": "1300", "vehicle_alone.rear": "1200", "trailer_alone.trailer": "1700", "trailer_alone.nose": "900",
		"coupled.front": "1390", "coupled.rear": "2010", "coupled.trailer": "1700",
	})
	job.Outfit.Wheelbase, job.Outfit.RearAxleToCoupling = known(3000), known(-300)
	s := mustSolve(t, job)
	wantNumber(t, "download", s.Figures().Download, 900, 0.5)
	wantNumber(t, "front lift", s.Figures().FrontLift, -90, 0.5)
	var lift *route
	for _, r := range s.routes() {
		if r.Name == "front_lift" {
			lift = &r
		}
	}
	// −90·3000/−300 = 900
	if lift == nil || math.Abs(lift.Value-900) > 0.5 || lift.U <= 0 {
		t.Errorf("route by the front axle %v (want 900)", lift)
	}
	job.Outfit.RearAxleToCoupling = known(0)
	for _, r := range mustSolve(t, job).routes() {
		if r.Name == "front_lift" || math.IsInf(r.Value, 0) || math.IsNaN(r.U) {
			t.Errorf("coupling over the rear axle: route %v (want none by the front axle)", r)
		}
	}
	for at, want := range map[float64]shares{2000: {front: 0, rear: 0.5, trailer: 0.5}} {
		job.Outfit.CouplingToTrailerAxle = known(4000)
		if sh, _, ok := share(job, tickets.OnTrailer, at, tickets.CoupledSlack); !ok || sh != want {
			t.Errorf("a load half-way: %v (want %v)", sh, want)
		}
	}
}

// Section 1: of a semi-trailer a/w = 0 where it is missing, an unknown share is
// 0.35·m ± 0.2·m; else 0.45 and 0.1·m ± 0.2·m.
func TestSemiAssumptions(t *testing.T) {
	l := &tickets.Load{Name: "dome", Kg: decimal.NewFromInt(100), On: tickets.OnTrailer}
	for kind, want := range map[string][3]float64{"semi": {0, 35, 20}, "centre_axle": {0.45, 10, 20}} {
		o := &tickets.Outfit{Drawbar: kind == "drawbar", Semi: kind == "semi"}
		k, missing := lever(o)
		v, u, _ := assumedShare(o, l)
		if k != want[0] || missing != lengthA || math.Abs(v-want[1]) > 1e-9 || math.Abs(u-want[2]) > 1e-9 {
			t.Errorf("%s: a/w %g (%s missing), share %g ± %g (want %v)", kind, k, missing, v, u, want)
		}
	}
}

// A drawbar trailer stands on its axles alone: no deck is under its nose.
func TestDecksOfADrawbarTrailer(t *testing.T) {
	for kind, want := range map[string]int{"centre_axle": 4, "semi": 4, "drawbar": 1} {
		o := &tickets.Outfit{Drawbar: kind == "drawbar", Semi: kind == "semi"}
		if got := DecksOf(o, tickets.TrailerAlone); len(got) != want || got[0][0] != tickets.Trailer {
			t.Errorf("%s: %v (want %d)", kind, got, want)
		}
		if got := DecksOf(o, tickets.CoupledSlack); len(got) != 6 {
			t.Errorf("%s coupled: %v (want 6)", kind, got)
		}
	}
}
