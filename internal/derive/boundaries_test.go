package derive

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// Lines that compute and that no other quick test here would miss: found by
// turning them wrong one at a time. Expected numbers are worked out by hand.

// The two shares of one load are one cause, in quadrature; the largest five
// causes that are not nothing are kept.
func TestCausesMergedAndKept(t *testing.T) {
	share := func(name string, u float64) Cause { return Cause{Kind: byShare, Name: name, U: u} }
	got := merged([]Cause{share("driver", 3), {Kind: ByReading, U: 2}, share("tools", 7), share("driver", 4)})
	if len(got) != 3 || got[0].U != 5 || got[1].U != 2 || got[2].U != 7 {
		t.Errorf("merged: %v (want 5, 2, 7)", got)
	}
	var many []Cause
	for u := range 8 {
		many = append(many, Cause{Kind: ByReading, U: float64(u)})
	}
	if got := top(many); len(got) != largestCauses || got[0].U != 7 || got[4].U != 3 {
		t.Errorf("the largest of 0 to 7: %v (want 7 to 3)", got)
	}
	if got := top([]Cause{{U: 1e-10}, {U: 3}, {U: 2}}); len(got) != 2 {
		t.Errorf("what is nothing is kept: %v", got)
	}
}

func TestMiddleReading(t *testing.T) {
	s := &Solution{system: &system{}}
	for _, kg := range []float64{100, 200, 5000, 4000, 2000} {
		s.system.used = append(s.system.used, weigh(tickets.Coupled, tickets.Slack, kg, "front"))
	}
	if got := s.middleReading(); got != 2000 {
		t.Errorf("middle of 100, 200, 2000, 4000, 5000: %g", got)
	}
}

// Of many explanations the best few are listed, and only some of a kind in the same
// figures.
func TestListIsShort(t *testing.T) {
	var many []Mistake
	for i := range 2 * longestList {
		many = append(many, Mistake{Kind: digitWrong, Readings: []int{i}, Tested: true})
	}
	if got := thinned(many); len(got) != longestList {
		t.Errorf("%d listed (want %d)", len(got), longestList)
	}
	var alike []Mistake
	for i := range 5 {
		m := many[0]
		m.Job = &tickets.Job{Readings: []tickets.Reading{{Typed: strconv.Itoa(i)}}}
		alike = append(alike, m)
	}
	if got := thinned(alike); len(got) != mostAlike {
		t.Errorf("%d of a kind (want %d)", len(got), mostAlike)
	}
	if got := thinned(slices.Repeat(many[:1], 5)); len(got) != 1 {
		t.Errorf("one wording is listed %d times (want once)", len(got))
	}
}

func TestKnownAtNoPlace(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.Coupled, tickets.Slack, 1800, "rear")))
	for _, place := range []string{"", "nowhere"} {
		if missing, ok := s.KnownAt(place); missing != "place" || ok {
			t.Errorf("%q: %q, %v", place, missing, ok)
		}
	}
	on := &tickets.Place{Name: "tray", On: tickets.OnVehicle, HasAt: true, AtMm: 500}
	if missing := s.system.leverAt(&s.Job.Readings[0], on); missing != "" {
		t.Errorf("a place on the vehicle lacks the lever of the overhang: %q", missing)
	}
}

func TestCoversCells(t *testing.T) {
	at := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Rear, Axle: axle, Side: side}
	}
	for _, c := range []struct {
		support, cell tickets.Term
		axles         int
		want          bool
	}{
		{at(0, ""), at(2, tickets.Left), 2, true}, {at(2, ""), at(2, tickets.Left), 2, true}, {at(1, ""), at(2, ""), 2, false},
		{at(1, ""), at(0, ""), 1, true}, {at(1, ""), at(0, ""), 2, false}, {at(2, ""), at(1, ""), 1, false},
		{at(0, tickets.Left), at(1, tickets.Right), 2, false}, {tickets.Term{Group: tickets.Front}, at(0, ""), 1, false},
	} {
		if got := covers(c.support, c.cell, c.axles); got != c.want {
			t.Errorf("%v covers %v of %d axles: %v", c.support, c.cell, c.axles, got)
		}
	}
}

func TestFinestSupports(t *testing.T) {
	rear := func(axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: tickets.Rear, Axle: axle, Side: side}
	}
	for _, c := range []struct {
		split splitOf
		want  []tickets.Term
	}{
		{splitOf{}, []tickets.Term{rear(0, "")}},
		{splitOf{axles: 2}, []tickets.Term{rear(1, ""), rear(2, "")}},
		{splitOf{sides: true}, []tickets.Term{rear(0, tickets.Left), rear(0, tickets.Right)}},
		{splitOf{axles: 1, sides: true}, []tickets.Term{rear(1, tickets.Left), rear(1, tickets.Right)}},
	} {
		if got := finest(tickets.Rear, c.split); !slices.Equal(got, c.want) {
			t.Errorf("%v: %v (want %v)", c.split, got, c.want)
		}
	}
}

// away takes loads out of a reading.
func away(r tickets.Reading, loads ...string) tickets.Reading {
	r.Without = loads
	return r
}

func sided(g tickets.Group, side tickets.Side, kg float64) tickets.Reading {
	r := weigh(tickets.Coupled, tickets.Slack, kg, "trailer")
	r.Terms = []tickets.Term{{Group: g, Side: side}}
	return r
}

// A load of 2 kg has a side share too: u = 2/(2√3), by a rectangle.
func TestLightLoadHasASide(t *testing.T) {
	job := jobOf(away(sided(tickets.Trailer, tickets.Left, 1200), "rope"), sided(tickets.Trailer, tickets.Right, 1200))
	job.Loads = []tickets.Load{{Name: "rope", Kg: decimal.NewFromInt(2), UKg: 0.1, On: tickets.OnTrailer}}
	for _, u := range mustSolve(t, job).system.Unknown {
		if u.Load == "rope" && u.Missing == "side" && u.Group == tickets.Trailer {
			return
		}
	}
	t.Error("the side of a light load is taken for known")
}

// Only readings that name a load need to know where it rides.
func TestShareNeededByItsReadingsOnly(t *testing.T) {
	job := jobOf(away(weigh(tickets.TrailerAlone, "", 2680, "whole trailer"), "box"), weigh(tickets.Coupled, tickets.Slack, 2430, "trailer"),
		weigh(tickets.Coupled, tickets.Slack, 1860, "rear"))
	job.Loads = []tickets.Load{{Name: "box", Kg: decimal.NewFromInt(90), UKg: 1, On: tickets.OnTrailer}}
	if u := mustSolve(t, job).system.Unknown; len(u) != 0 {
		t.Errorf("unknown shares %v (want none)", u)
	}
}

// A reading is in the model only where every load that it names is.
func TestEveryLoadInTheModel(t *testing.T) {
	job := jobOf(away(weigh(tickets.VehicleAlone, "", 2760, "vehicle"), "known"))
	load := func(name string) tickets.Load {
		return tickets.Load{Name: name, Kg: decimal.NewFromInt(50), UKg: 1, On: tickets.OnVehicle}
	}
	job.Loads = []tickets.Load{load("known"), load("stranger")}
	y := mustSolve(t, job).system
	for want, loads := range map[bool][][]string{true: {{"known"}}, false: {{"stranger"}, {"known", "stranger"}, {"stranger", "known"}}} {
		for _, l := range loads {
			r := away(weigh(tickets.VehicleAlone, "", 2700, "vehicle"), l...)
			if got := y.addAboard(make([]float64, y.layout.columns), &r); got != want {
				t.Errorf("without %v: in the model %v", l, got)
			}
		}
	}
}

func TestFurtherReadingNeedsBoth(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
	good := weigh(tickets.VehicleAlone, "", 1260, "front")
	noDeck, noInterval := good, good
	noDeck.Terms, noInterval.IntervalKg = nil, decimal.Zero
	for _, r := range []tickets.Reading{noDeck, noInterval} {
		if _, err := s.WithReading(r, tickets.Scale{}); !errors.Is(err, errFurther) {
			t.Errorf("deck %v, interval %s: %v", r.Terms, r.IntervalKg, err)
		}
	}
	if _, err := s.WithReading(good, s.Job.Scales[0]); err != nil {
		t.Error(err)
	}
}

func TestAlikeNeedsTwoTested(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle"), weigh(tickets.VehicleAlone, "", 2780, "vehicle")))
	if _, ok := s.Alike(0, 1); !ok {
		t.Error("two readings of one deck are not alike")
	}
	for _, pair := range [][2]int{{99, 1}, {1, 99}, {99, 98}} {
		if _, ok := s.Alike(pair[0], pair[1]); ok {
			t.Errorf("readings %v, which are not there, are alike", pair)
		}
	}
}

// A load over nothing is no figure; over 1 kg it is.
func TestQuotientOfNothing(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
	q := s.Total(VehicleAlone, tickets.Front, tickets.Rear)
	if v, _, ok := s.quotient(q, s.Add(q, -1, q)).Number(); ok {
		t.Errorf("over nothing: %g", v)
	}
	one := s.Add(q, 1/2760.0-1, q)
	if v, _, ok := s.quotient(q, one).Number(); !ok || math.Abs(v-2760) > 1e-6 {
		t.Errorf("over 1 kg: %g, %v", v, ok)
	}
}

func TestChangedLeavesTheJob(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle"))
	job.Loads = []tickets.Load{{Name: "box", Kg: decimal.NewFromInt(90)}}
	c := changed(job, func(c *tickets.Job) { c.Loads[0].Name, c.Readings[0].Line = "other", 99 })
	if job.Loads[0].Name != "box" || job.Readings[0].Line == 99 || c.Loads[0].Name != "other" || c.Readings[0].Line != 99 {
		t.Errorf("job %v, changed %v", job.Loads, c.Loads)
	}
}

// Readings of one line are one group, and so is a ticket of several lines.
func TestGroupsOfReadings(t *testing.T) {
	var readings []tickets.Reading
	for range 3 {
		r := weigh(tickets.VehicleAlone, "", 1380, "front")
		r.Ticket = "4711"
		readings = append(readings, r)
	}
	job := jobOf(readings...)
	job.Readings[1].Line = job.Readings[0].Line
	groups := mustSolve(t, job).groups(func(*tickets.Reading) bool { return true })
	if len(groups) != 3 || !slices.Equal(groups[0].readings, []int{0, 1}) || !slices.Equal(groups[1].readings, []int{2}) || !slices.Equal(groups[2].readings, []int{0, 1, 2}) {
		t.Errorf("groups %v (want the line of two, the other, the ticket)", groups)
	}
}

// Leaving out a tie touches its own observation, the ties being the last.
func TestLeavingOutTouches(t *testing.T) {
	tied := 0
	for _, s := range conflicts(12) {
		for i := range s.ties {
			tied += i
			h := s.leavingOut("tie", []string{s.ties[i].name})
			if len(h.touched) != 1 || s.Observations[h.touched[0]].Kind != ByTie || s.Observations[h.touched[0]].Name != s.ties[i].name {
				t.Errorf("leaving out %s touches %v", s.ties[i].name, h.touched)
			}
		}
	}
	if tied == 0 {
		t.Error("no job has two ties")
	}
}

func TestTypedUnit(t *testing.T) {
	r := tickets.Reading{Typed: "2.76", Kg: decimal.NewFromInt(2760)}
	if digits, unit := typed(&r); digits != "2.76" || !unit.Equal(decimal.NewFromInt(1000)) {
		t.Errorf("typed %s, one is %s kg (want 2.76, 1000)", digits, unit)
	}
	r.Typed = "?"
	if digits, unit := typed(&r); digits != "2760" || !unit.Equal(decimal.NewFromInt(1)) {
		t.Errorf("typed %s, one is %s kg (want 2760, 1)", digits, unit)
	}
}

// Where the unit that carries a load is not there, nobody says that it was
// aboard, or that it was not.
func TestResetDropsLoads(t *testing.T) {
	job := jobOf(weigh(tickets.Coupled, tickets.Slack, 3000, "vehicle"))
	job.Loads = []tickets.Load{{Name: "tools", Kg: decimal.NewFromInt(60), UKg: 1, On: tickets.OnVehicle}, {Name: "dome", Kg: decimal.NewFromInt(90), UKg: 1, On: tickets.OnTrailer}}
	s := mustSolve(t, job)
	for setup, left := range map[tickets.Setup]string{tickets.VehicleAlone: "tools", tickets.TrailerAlone: "dome"} {
		r := job.Readings[0]
		r.Without, r.With = []string{"tools", "dome"}, []string{"dome", "tools"}
		s.reset(&r, setup, tickets.NoHitch)
		if !slices.Equal(r.Without, []string{left}) || !slices.Equal(r.With, []string{left}) {
			t.Errorf("%s: without %v, with %v (want %s)", setup, r.Without, r.With, left)
		}
	}
	gauge := weigh(tickets.TrailerAlone, "", 250, "coupling")
	gauge.Setup, gauge.Terms = tickets.Coupled, deck("coupling")
	for i, want := range []bool{false, true} {
		if onGauge(&gauge) && couldBear(&gauge, &job.Loads[i]) != want {
			t.Errorf("a gauge under the coupling bears %s: %v", job.Loads[i].Name, !want)
		}
	}
	if !onGauge(&gauge) {
		t.Error("not on a gauge")
	}
}

// With one figure changed, χ² is as foretold that of the job solved anew.
func TestScreenForetellsChiSquare(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, "", 1260, "front"), weigh(tickets.VehicleAlone, "", 1500, "rear"), weigh(tickets.VehicleAlone, "", 2960, "vehicle"))
	s := mustSolve(t, job)
	for index, kg := range map[int]int64{0: 1460, 1: 1620, 2: 2820} {
		should := job.Readings[index]
		should.Kg = decimal.NewFromInt(kg)
		h := s.figure(digitWrong, index, should, 1)
		screen := newPrefilter(s)
		got := screen.withFigure(&h, screen.without(h.touched))
		want := mustSolve(t, changed(job, h.change)).Fit().ChiSquare
		if math.Abs(got-want) > 1e-3*math.Max(1, want) {
			t.Errorf("reading %d as %d: χ² %g foretold, %g solved", index, kg, got, want)
		}
	}
}

func TestOtherSupportsOfAReading(t *testing.T) {
	o := &tickets.Outfit{RearAxles: 2}
	at := func(g tickets.Group, axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: g, Axle: axle, Side: side}
	}
	for _, c := range []struct{ was, want []tickets.Term }{
		{[]tickets.Term{at(tickets.Rear, 1, tickets.Left)}, []tickets.Term{at(tickets.Rear, 1, tickets.Right), at(tickets.Rear, 2, tickets.Left)}},
		{[]tickets.Term{at(tickets.Rear, 2, "")}, []tickets.Term{at(tickets.Rear, 1, "")}},
		{[]tickets.Term{at(tickets.Front, 0, tickets.Right)}, []tickets.Term{at(tickets.Front, 0, tickets.Left), at(tickets.Rear, 0, tickets.Right)}},
		{[]tickets.Term{at(tickets.Rear, 0, tickets.Left)}, []tickets.Term{at(tickets.Rear, 0, tickets.Right), at(tickets.Front, 0, tickets.Left)}},
		{[]tickets.Term{at(tickets.Rear, 1, ""), at(tickets.Front, 0, "")}, nil},
	} {
		got := slices.Concat(otherSupports(o, &tickets.Reading{Terms: c.was})...)
		if !slices.Equal(got, c.want) {
			t.Errorf("other than %v: %v (want %v)", c.was, got, c.want)
		}
	}
}

func TestPartsAtNoPlace(t *testing.T) {
	y := mustSolve(t, jobOf(weigh(tickets.Coupled, tickets.Slack, 1800, "rear"))).system
	for _, place := range []string{"", "nowhere"} {
		if p := y.partsAt(place, CoupledSlack); p != nil {
			t.Errorf("at %q: %v", place, p)
		}
	}
}

func TestDecksApartByTheNose(t *testing.T) {
	for _, c := range []struct {
		a, b []tickets.Term
		want bool
	}{
		{deck("whole trailer"), deck("trailer"), true}, {deck("trailer"), deck("whole trailer"), true},
		{deck("nose"), nil, false}, {deck("trailer"), deck("trailer"), false}, {deck("front", "nose"), deck("front"), false},
		{deck("vehicle"), deck("front"), false},
	} {
		if got := isNose(c.a, c.b); got != c.want {
			t.Errorf("%v and %v differ by the nose: %v", c.a, c.b, got)
		}
	}
}

// No figure begins with a nought, or is nothing.
func TestRetypedFigures(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
	for digits, want := range map[string]bool{"2780": true, "0780": false, "00": false, "0": false, "20": true, "060": false, "2765": false, "-20": false} {
		if _, ok := s.retyped(0, digits); ok != want {
			t.Errorf("%s: %v", digits, ok)
		}
	}
	s.Job.Readings[0].IntervalKg = decimal.NewFromInt(1)
	if _, ok := mustSolve(t, s.Job).retyped(0, "05"); ok {
		t.Error("05 is a figure")
	}
}

// A scale of 600 kg uncertainty fixes nothing that is shown, so what a reading
// is expected to be is supposed: 1,300 + 1,200 kg, whatever it said.
func TestPredictWhereTooVague(t *testing.T) {
	job := jobOf(on("a", weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
	job.Scales = []tickets.Scale{certain("a", 300)}
	if got := mustSolve(t, job).Predict(weigh(tickets.VehicleAlone, "", 0, "vehicle")).Kg; got.IntPart() != 2500 {
		t.Errorf("a vehicle known to 600 kg is expected at %s (want 2500)", got)
	}
}

// u²(L·share) = (L·u(share))² + (share·u(L))², L being 5,000 ± 10 mm and the
// share 250/2680: 0.93 mm of the length alone.
func TestUncertaintyOfTheTrailerCG(t *testing.T) {
	s := mustSolve(t, measured(jobOf(append(aloneReadings(), coupledReadings(tickets.Slack, 0)...)...)))
	share, u, _ := s.DownloadShare().Number()
	want := math.Hypot(5000*u, share*10)
	if _, got, ok := s.TrailerCG().Number(); !ok || math.Abs(got-want) > 5e-6 { // u(share) is on 1e-9
		t.Errorf("u(cg) = %g (want %g)", got, want)
	}
	job := measured(jobOf(on("a", weigh(tickets.TrailerAlone, "", 2680, "whole trailer")), on("a", weigh(tickets.TrailerAlone, "", 250, "coupling"))))
	job.Scales, job.Outfit.LengthUncertaintyMm = []tickets.Scale{certain("a", 1e-3)}, 100
	if _, got, _ := mustSolve(t, job).TrailerCG().Number(); math.Abs(got-100*250.0/2680) > 0.01 { // nothing but the length
		t.Errorf("u(cg) = %g (want 9.328)", got)
	}
}

// The rear axle is 2,760 less 2,790 kg: −30 kg with U = 40 can be, with U = 20
// it cannot (12² + 16² = 20², 6² + 8² = 10²; U = 2u).
func TestLiftedByMoreThanItsU(t *testing.T) {
	for _, c := range []struct {
		front, whole float64
		want         bool
	}{{12, 16, false}, {6, 8, true}} {
		job := jobOf(on("b", weigh(tickets.VehicleAlone, "", 2790, "front")), on("c", weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
		job.Scales = []tickets.Scale{certain("b", c.front), certain("c", c.whole)}
		s := mustSolve(t, job)
		wantNumber(t, "rear", s.Load(VehicleAlone, tickets.Term{Group: tickets.Rear}), -30, 1e-6)
		if got := s.impossible(); got != c.want {
			t.Errorf("−30 kg of u %g and %g: cannot be %v", c.front, c.whole, got)
		}
	}
}

// What one support of a group carries: equal parts by axle, half on a side. A
// group whose axles nobody counted has one.
func TestFractionOfASupport(t *testing.T) {
	for _, c := range []struct {
		axles int
		term  tickets.Term
		want  float64
	}{
		{0, tickets.Term{Group: tickets.Rear, Axle: 1}, 1}, {1, tickets.Term{Group: tickets.Rear, Axle: 1}, 1},
		{2, tickets.Term{Group: tickets.Rear, Axle: 2}, 0.5}, {3, tickets.Term{Group: tickets.Rear, Axle: 1}, 1 / 3.0},
		{2, tickets.Term{Group: tickets.Rear}, 1}, {2, tickets.Term{Group: tickets.Rear, Side: tickets.Left}, 0.5},
		{2, tickets.Term{Group: tickets.Rear, Axle: 1, Side: tickets.Right}, 0.25}, {1, tickets.Term{Group: tickets.Rear, Axle: 1, Side: tickets.Left}, 0.5},
	} {
		y := &system{job: &tickets.Job{Outfit: tickets.Outfit{RearAxles: c.axles}}}
		if got := y.fraction(c.term); got != c.want {
			t.Errorf("%s of %d axles: %g (want %g)", SupportName(c.term), c.axles, got, c.want)
		}
	}
}

// 2,765 kg is no figure of a scale with e = 20, unless another reading of that
// scale, at that interval, is no multiple either.
func TestFigureOffTheGrid(t *testing.T) {
	for _, c := range []struct {
		name, scale  string
		kg, interval int64
		want         bool
	}{
		{"another off it too", "", 2755, 20, true}, {"on another scale", "other", 2755, 20, false},
		{"at another interval", "", 2755, 50, false}, {"on it", "", 2760, 20, false},
	} {
		second := weigh(tickets.VehicleAlone, "", float64(c.kg), "vehicle")
		second.Scale, second.IntervalKg = c.scale, decimal.NewFromInt(c.interval)
		job := jobOf(weigh(tickets.VehicleAlone, "", 2775, "vehicle"), second) // its own figure counts for nothing
		job.Scales = append(job.Scales, tickets.Scale{Name: "other", Class: tickets.ClassIII, Deck: tickets.DeckSingle})
		s := mustSolve(t, job)
		should := job.Readings[0]
		should.Kg = decimal.NewFromInt(2765)
		if got := s.onGrid(0, &should); got != c.want {
			t.Errorf("%s: %v (want %v)", c.name, got, c.want)
		}
	}
}

// Only what both setups have can be taken for the other: the vehicle's axles
// and the trailer's, not a whole outfit; of a trailer with its nose the axles.
func TestSetupsTakenForEachOther(t *testing.T) {
	s := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, "", 2760, "vehicle"), weigh(tickets.TrailerAlone, "", 2680, "whole trailer"),
		weigh(tickets.Coupled, tickets.Slack, 5440, "outfit"), weigh(tickets.Coupled, tickets.Slack, 2430, "trailer"),
		weigh(tickets.Coupled, tickets.Slack, 3010, "vehicle"), weigh(tickets.TrailerAlone, "", 2420, "trailer"),
	))
	var got []int
	for _, h := range s.setupMistakes() {
		if h.Scope == OneLine {
			got = append(got, h.Readings...)
			if h.prior != 10e-4 { // of the table
				t.Errorf("prior %g (want 0.001)", h.prior)
			}
		}
	}
	// In the order of setupChanges; then the trailer that was not unhitched, whose
	// nose was not on the deck after all.
	if want := []int{0, 4, 5, 3, 1}; !slices.Equal(got, want) {
		t.Errorf("lines %v (want %v)", got, want)
	}
}

// The prior of a mistake is its weight in 10,000, shared among its forms; one
// without other forms has it all.
func TestPriorByTheTable(t *testing.T) {
	for forms, want := range map[int]float64{0: 10e-4, 1: 10e-4, 2: 5e-4, 5: 2e-4} {
		if got := priorOf(SetupWrong, "deck", forms); math.Abs(got-want) > 1e-15 {
			t.Errorf("%d forms: %g (want %g)", forms, got, want)
		}
	}
}

// Two neighbours of a ticket are exchanged more often than the first and the
// third: 10 and 4 in 10,000, by the table.
func TestNeighboursAreExchangedFirst(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", 1260, "front"), weigh(tickets.VehicleAlone, "", 1500, "rear"), weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
	var got []float64
	for _, h := range s.exchanges() {
		got = append(got, math.Round(h.prior*1e4))
	}
	if want := []float64{10, 4, 10}; !slices.Equal(got, want) {
		t.Errorf("priors of 1–2, 1–3, 2–3: %v (want %v)", got, want)
	}
}

// A weighing showed what it showed, whatever is moved before the outfit
// travels: 100 of 2,760 kg left behind, the ticket still says 2,760.
func TestReconciledAfterAMove(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle"))
	job.Places = []tickets.Place{{Name: "bay", On: tickets.OnVehicle, HasAt: true, AtMm: 0}}
	job.Loads = []tickets.Load{{Name: "mats", Kg: decimal.NewFromInt(100), UKg: 1, On: tickets.OnVehicle, Place: "bay"}}
	m, err := mustSolve(t, job).AfterMoves([]Move{{"mats", "bay", "", 100}})
	if err != nil {
		t.Fatal(err)
	}
	wantNumber(t, "vehicle", m.Total(VehicleAlone, vehicleGroups...), 2660, 1e-6)
	if kg, ok := m.Reconciled(0); !ok || math.Abs(kg-2760) > 1e-6 {
		t.Errorf("the ticket would have shown %g, %v (want 2760)", kg, ok)
	}
}

// Which readings a route to the download takes, by its formula: T − G, Vc − V.
func TestReadingsOfARoute(t *testing.T) {
	for _, c := range []struct {
		name             string
		r                tickets.Reading
		trailer, vehicle bool
	}{
		{"trailer alone", weigh(tickets.TrailerAlone, "", 2680, "whole trailer"), true, false},
		{"gauge", weigh(tickets.TrailerAlone, "", 250, "coupling"), false, false},
		{"its axles, coupled", weigh(tickets.Coupled, tickets.Slack, 2430, "trailer"), true, false},
		{"its axles, tensioned", weigh(tickets.Coupled, tickets.Tensioned, 2450, "trailer"), false, false},
		{"vehicle alone", weigh(tickets.VehicleAlone, "", 1260, "front"), false, true},
		{"vehicle, coupled", weigh(tickets.Coupled, tickets.Slack, 3010, "vehicle"), false, true},
		{"vehicle, tensioned", weigh(tickets.Coupled, tickets.Tensioned, 2990, "vehicle"), false, false},
		{"all of it", weigh(tickets.Coupled, tickets.Slack, 5440, "outfit"), false, false},
	} {
		if a, b := onTrailerRoute(&c.r), onVehicleRoute(&c.r); a != c.trailer || b != c.vehicle {
			t.Errorf("%s: by the trailer %v, by the vehicle %v (want %v, %v)", c.name, a, b, c.trailer, c.vehicle)
		}
	}
}

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

// Nothing bears on what is not determined, and nothing of it is checked.
func TestNothingChecked(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
	if checked, effect, have := s.Checked(s.Download()); checked || effect != 0 || have {
		t.Errorf("checked %v, effect %g, %v", checked, effect, have)
	}
}

// A ticket of one figure has no unit of its own to get wrong beside that of
// the figure; one of three has one, which was t, kg or lb.
func TestUnitOfATicket(t *testing.T) {
	for _, c := range []struct {
		tickets []string
		want    int
	}{{[]string{"a", "b", "c"}, 0}, {[]string{"a", "a", "a"}, 3}} {
		job := jobOf(weigh(tickets.VehicleAlone, "", 1260, "front"), weigh(tickets.VehicleAlone, "", 1500, "rear"), weigh(tickets.VehicleAlone, "", 2760, "vehicle"))
		for i, number := range c.tickets {
			job.Readings[i].Ticket = number
		}
		n := 0
		for _, h := range mustSolve(t, job).unitMistakes() {
			n += b2i(h.Scope != oneFigure)
		}
		if n != c.want {
			t.Errorf("tickets %v: %d units tried of more than one figure (want %d)", c.tickets, n, c.want)
		}
	}
}

func TestExchangeOfTwoReadings(t *testing.T) {
	a := tickets.Reading{Typed: "1.26", Unit: "t", Kg: decimal.NewFromInt(1260), Line: 2, Terms: deck("front")}
	b := tickets.Reading{Typed: "1500", Unit: "kg", Kg: decimal.NewFromInt(1500), Line: 3, Terms: deck("rear")}
	exchange(&a, &b)
	for r, want := range map[*tickets.Reading]string{&a: "1500 kg 1500 front 2", &b: "1.26 t 1260 rear 3"} {
		if got := fmt.Sprint(r.Typed, " ", r.Unit, " ", r.Kg, " ", OnDeck(r.Terms), " ", r.Line); got != want {
			t.Errorf("%s (want %s)", got, want)
		}
	}
}

// A person whom nobody lists: 10 in 10,000 on a line, 2 where the ticket says
// how many people were in; by the table.
func TestPriorOfAPerson(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle"), weigh(tickets.VehicleAlone, "", 2780, "vehicle"))
	people := 2
	job.Readings[1].People = &people
	s := mustSolve(t, job)
	for i, want := range []float64{10e-4, 2e-4} {
		if h := s.person(group{OneLine, []int{i}}, tickets.Load{Name: UnlistedPerson}, true); math.Abs(h.prior-want) > 1e-15 {
			t.Errorf("line %d: %g (want %g)", i, h.prior, want)
		}
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

// A load that no reading names is not in the model, and need not be where it
// puts nothing on the deck: a trailer's, with the vehicle alone.
func TestStrangerOffTheDeck(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, "", 2760, "vehicle"))
	job.Loads = []tickets.Load{{Name: "dome", Kg: decimal.NewFromInt(90), UKg: 1, On: tickets.OnTrailer}}
	y := mustSolve(t, job).system
	for _, c := range []struct {
		r    tickets.Reading
		want bool
	}{{weigh(tickets.VehicleAlone, "", 2760, "vehicle"), true}, {weigh(tickets.TrailerAlone, "", 2680, "whole trailer"), false}} {
		r := away(c.r, "dome")
		if got := y.addAboard(make([]float64, y.layout.columns), &r); got != c.want {
			t.Errorf("%s: in the model %v (want %v)", r.Setup, got, c.want)
		}
	}
}

// The jockey wheel off the deck is 30 in 10,000; the two other decks of a
// trailer alone share 10 with it: a third each. By the table.
func TestPriorOfTheNose(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.TrailerAlone, "", 2680, "whole trailer")))
	want := map[string]float64{"trailer": 30e-4, "nose": 10e-4 / 3, "coupling": 10e-4 / 3}
	for _, h := range s.otherDecks(0) {
		on := changed(s.Job, h.change).Readings[0].OnDeck
		if math.Abs(h.prior-want[on]) > 1e-15 {
			t.Errorf("%s: %g (want %g)", on, h.prior, want[on])
		}
		delete(want, on)
	}
	if len(want) != 0 {
		t.Errorf("not tried: %v", want)
	}
}

// χ² of one degree of freedom exceeds 3.841 in 5 of 100 (any table); without
// one nothing is tested.
func TestSurvival(t *testing.T) {
	for dof, want := range map[int]float64{0: 1, 1: 0.05} {
		if got := survival(3.841459, dof); math.Abs(got-want) > 1e-6 {
			t.Errorf("%d degrees: %g (want %g)", dof, got, want)
		}
	}
}
