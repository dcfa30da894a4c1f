package derive

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// slip is a ticket of lines "setup on_deck figure use", interval 20 kg.
func slip(lines ...string) *tickets.Job {
	job := &tickets.Job{Scales: []tickets.Scale{{Class: "III"}}}
	groups := map[string][]tickets.Term{
		"front": {{Group: tickets.Front}}, "rear": {{Group: tickets.Rear}}, "trailer": {{Group: tickets.Trailer}},
		"vehicle": {{Group: tickets.Front}, {Group: tickets.Rear}}, "outfit": {{Group: tickets.Front}, {Group: tickets.Rear}, {Group: tickets.Trailer}},
		"all": {{Group: tickets.Trailer}, {Group: tickets.Nose}}, "-": nil,
	}
	states := map[string]tickets.State{"vehicle": tickets.VehicleAlone, "trailer": tickets.TrailerAlone, "coupled": tickets.CoupledSlack}
	for i, l := range lines {
		var setup, deck, figure, use string
		fmt.Sscan(l, &setup, &deck, &figure, &use)
		r := tickets.Reading{Line: i + 2, Ticket: "7", State: states[setup], OnDeck: deck, Terms: groups[deck], Typed: figure, Unit: "kg",
			Kg: decimal.RequireFromString(figure), IntervalKg: decimal.NewFromInt(20), Used: use == "yes", Calculated: use == "calculated"}
		job.Readings = append(job.Readings, r)
	}
	return job
}

// A calculated figure that no sum or difference of its ticket is, by hand: each
// slip, what is contradicted, and the figures that would mend it, first those a
// digit away.
func TestContradictoryTickets(t *testing.T) {
	for _, c := range []struct {
		name  string
		lines []string
		want  string
	}{
		{"steer + drive + trailer = gross", []string{"coupled front 1160 yes", "coupled rear 1860 yes", "coupled trailer 2440 yes", "coupled outfit 5460 calculated"}, ""},
		// 1,160 + 1,860 + 2,440 = 5,460; three figures: 1.5 intervals of 20 kg
		{"off by 30", []string{"coupled front 1160 yes", "coupled rear 1860 yes", "coupled trailer 2440 yes", "coupled outfit 5490 calculated"}, ""},
		{"off by 40", []string{"coupled front 1160 yes", "coupled rear 1860 yes", "coupled trailer 2440 yes", "coupled outfit 5500 calculated"},
			"line 5: 4 2440>2480 digit; 2 1160>1200; 3 1860>1900; 5 5500>5460"},
		{"off by 40, printed first", []string{"coupled outfit 5500 calculated", "coupled front 1160 yes", "coupled rear 1860 yes", "coupled trailer 2440 yes"},
			"line 2: 5 2440>2480 digit; 2 5500>5460; 3 1160>1200; 4 1860>1900"},
		{"net = gross − tare", []string{"coupled outfit 5460 yes", "vehicle vehicle 2760 yes", "trailer all 2700 calculated"}, ""},
		// 5,460 − 2,760 = 2,700, printed 2,070: the zero and the seven exchanged
		{"net exchanged", []string{"coupled outfit 5460 yes", "vehicle vehicle 2760 yes", "trailer all 2070 calculated"},
			"line 4: 4 2070>2700 digit; 2 5460>4830; 3 2760>3390"},
		{"names no support", []string{"coupled outfit 5460 yes", "vehicle vehicle 2760 yes", "trailer - 2000 calculated"},
			"line 4: 4 2000>2700 digit; 2 5460>4760; 3 2760>3460"},
		{"not covered: the front is not on it", []string{"coupled rear 1860 yes", "coupled trailer 2440 yes", "coupled outfit 5500 calculated"}, ""},
		{"one other line", []string{"coupled front 1160 yes", "coupled front 1500 calculated"}, ""},
		{"a line left out counts nothing", []string{"coupled front 1160 yes", "coupled rear 1860 no", "vehicle vehicle 3020 calculated"}, ""},
		{"a line left out does not mend it", []string{"coupled front 1160 yes", "coupled rear 1860 yes", "coupled trailer 2440 no", "coupled - 5460 calculated"},
			"line 5: 2 1160>3600; 3 1860>4300; 5 5460>3020"},
		{"a calculated one among the others", []string{"coupled front 1160 yes", "coupled rear 1860 yes", "coupled vehicle 3020 calculated", "coupled trailer 2440 yes", "coupled outfit 5460 calculated"}, ""},
	} {
		job := slip(c.lines...)
		if got := contradictions(job); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
		if c.want == "" {
			continue
		}
		for i := range job.Readings {
			if r := &job.Readings[i]; r.Calculated {
				r.Confirmed = []string{doesNotAddUp}
			}
		}
		if got := contradictions(job); got != "" {
			t.Errorf("%s, confirmed: %s", c.name, got)
		}
	}
}

func contradictions(job *tickets.Job) string {
	var all []string
	for _, c := range (&Solution{Job: job}).contradictoryTickets() {
		var figures []string
		for _, m := range c.Figures {
			digit := ""
			if m.Digit {
				digit = " digit"
			}
			figures = append(figures, fmt.Sprintf("%d %s>%s%s", job.Readings[m.Reading].Line, m.Was, m.Should, digit))
		}
		all = append(all, fmt.Sprintf("line %d: %s", c.Line, strings.Join(figures, "; ")))
	}
	return strings.Join(all, " | ")
}

// Of ten others nothing is kept while a figure is added up: a search for mistakes does
// so for each of some thousand changed jobs. The others are twice the powers of 5: of
// their sums and differences, by hand, 39,062 and 117,188 are the next to 60,000.
func TestAddsUpKeepsNothing(t *testing.T) {
	lines := []string{"coupled outfit 60000 calculated"}
	for _, kg := range []int{2, 10, 50, 250, 1250, 6250, 31250, 156250, 781250, 3906250} {
		lines = append(lines, fmt.Sprintf("coupled outfit %d yes", kg))
	}
	job := slip(lines...)
	for i := range job.Readings {
		job.Readings[i].IntervalKg = decimal.NewFromInt(1)
	}
	as := &Solution{Job: job, looked: true}
	if !as.contradictedIn(job, []int{0}) {
		t.Fatal("a figure that is no sum is not contradicted")
	}
	if as.contradictedIn(job, nil) {
		t.Error("contradicted, of no ticket that was to be looked at")
	}
	if kept := testing.AllocsPerRun(1, func() { as.contradictedIn(job, []int{0}) }); kept > 100 {
		t.Errorf("%v pieces of memory for the 6,133 sums of one figure", kept)
	}
}

// addsUp finds a sum wherever signedSums has one that is met, to the very
// edge: figures of tenths, with intervals of their own.
func TestAddsUp(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	met := 0
	for range 2000 {
		job := slip("coupled outfit 100 calculated")
		job.Readings[0].Kg = decimal.New(int64(r.IntN(4000)), -1)
		for n := 2 + r.IntN(3); n > 0; n-- {
			o := slip("coupled outfit 100 yes").Readings[0]
			o.Kg, o.IntervalKg = decimal.New(int64(r.IntN(4000)), -1), decimal.New(int64(1+r.IntN(20)), -1)
			job.Readings = append(job.Readings, o)
		}
		others := othersOf(job, 0)
		want := slices.ContainsFunc(signedSums(job, 0, others), signedSum.meets)
		if got := addsUp(job, 0, others); got != want {
			t.Fatalf("%v: %v (want %v)", job.Readings, got, want)
		}
		if want {
			met++
		}
	}
	if met < 100 || met > 1900 {
		t.Errorf("%d of 2000 add up", met)
	}
}

// The line of a quantity is the reading behind it that affects it most: a front axle
// read by itself, of two alike the first.
func TestMostBehind(t *testing.T) {
	s, err := Solve(slip("vehicle front 1260 yes", "vehicle vehicle 2760 yes", "vehicle rear 1500 yes", "trailer all 2680 yes", "trailer all 2680 yes"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	for g, want := range map[tickets.Group]int{tickets.Front: 0, tickets.Rear: 2} {
		if got := s.Behind(s.load(tickets.VehicleAlone, tickets.Term{Group: g})).Most; got != want {
			t.Errorf("%s: reading %d (want %d)", g, got, want)
		}
	}
	if got := s.Behind(s.Figures().TrailerMass).Most; got != 3 {
		t.Errorf("the trailer, read twice alike: reading %d (want the first, 3)", got)
	}
	if s.Behind(s.Figures().Download).Most >= 0 {
		t.Error("a download that is not determined has a line")
	}
}

// The rear axle is 2,760 less 2,790 kg: −30 kg with U = 40 can be, with U = 20
// it cannot (12² + 16² = 20², 6² + 8² = 10²; U = 2u).
func TestLiftedByMoreThanItsU(t *testing.T) {
	for _, c := range []struct {
		front, whole float64
		want         bool
	}{{12, 16, false}, {6, 8, true}} {
		job := jobOf(on("b", weigh(tickets.VehicleAlone, 2790, "front")), on("c", weigh(tickets.VehicleAlone, 2760, "vehicle")))
		job.Scales = []tickets.Scale{certain("b", c.front), certain("c", c.whole)}
		s := mustSolve(t, job)
		wantNumber(t, "rear", s.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Rear}), -30, 1e-6)
		if loads := s.impossibleLoads(); len(loads) > 0 != c.want {
			t.Errorf("−30 kg of u %g and %g: cannot be %v", c.front, c.whole, loads)
		}
	}
}

// An axle read 500 kg heavier than its group leaves −500 kg on the others together; of
// each of them nothing is known, and of the group nothing is said besides.
func TestRestOfAGroup(t *testing.T) {
	axle := weigh(tickets.TrailerAlone, 1500, "trailer")
	axle.Terms[0].Axle = 1
	job := jobOf(weigh(tickets.TrailerAlone, 1000, "trailer"), axle)
	job.Outfit.TrailerAxles = 3
	loads := mustSolve(t, job).impossibleLoads()
	if len(loads) != 1 || loads[0].On != "trailer.2+trailer.3" || math.Abs(loads[0].Kg+500) > 3e-6 {
		t.Errorf("cannot be: %+v (want −500 kg on trailer.2+trailer.3)", loads)
	}
	// Of two axles the other one is known, and stands for itself.
	job.Outfit.TrailerAxles = 2
	loads = mustSolve(t, job).impossibleLoads()
	if len(loads) != 1 || loads[0].On != "trailer.2" {
		t.Errorf("cannot be: %+v (want trailer.2)", loads)
	}
}

func TestMiddleReading(t *testing.T) {
	s := &Solution{system: &system{}}
	for _, kg := range []float64{100, 200, 5000, 4000, 2000} {
		r := weigh(tickets.CoupledSlack, kg, "front")
		s.system.used = append(s.system.used, &r)
	}
	if got := s.middleReading(); got != 2000 {
		t.Errorf("middle of 100, 200, 2000, 4000, 5000: %g", got)
	}
}

// 550 t on a wheel cannot be, however uncertain it is: a reading of 550,000 kg on
// pads that nothing checks, of a vehicle whose other wheels carry 500 kg (by hand:
// more than 20 × 500 kg; u is the pads' ½ % and more, so that U exceeds 500 kg).
func TestFarTooMuchOnAWheel(t *testing.T) {
	wheels := func(first float64) *Solution {
		job := jobOf()
		job.Outfit.RearAxles, job.Scales[0].Pads = 1, true
		for i, term := range []tickets.Term{
			{Group: tickets.Front, Side: tickets.Left}, {Group: tickets.Front, Side: tickets.Right},
			{Group: tickets.Rear, Side: tickets.Left}, {Group: tickets.Rear, Side: tickets.Right},
		} {
			r := weigh(tickets.VehicleAlone, 500)
			r.Terms, r.Line = []tickets.Term{term}, i+2
			if i == 0 {
				r.Kg = decimal.NewFromFloat(first)
			}
			job.Readings = append(job.Readings, r)
		}
		return mustSolve(t, job)
	}
	if s := wheels(500); s.overloaded() || len(s.impossibleLoads()) > 0 {
		t.Fatal("wheels of 500 kg are called impossible")
	}
	s := wheels(550_000)
	if q := s.load(tickets.VehicleAlone, s.Job.Readings[0].Terms[0]); q.Determined {
		t.Error("the wheel is determined: the test is not of a vague load")
	}
	if !s.overloaded() {
		t.Error("550 t on one wheel is possible")
	}
}
