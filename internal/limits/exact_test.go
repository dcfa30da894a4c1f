package limits

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// Gaps that turning lines wrong has shown. Expected numbers are worked out by
// hand where nothing else is said.

// A load is impossible only below nothing by more than U: half a kilogram
// either side of it, with the U that its readings give.
func TestImpossibleByMoreThanU(t *testing.T) {
	second := tickets.Term{Group: tickets.Trailer, Axle: 2}
	job := func(first float64) *tickets.Job {
		j := jobOf([]tickets.Reading{weigh(tickets.Coupled, tickets.Slack, 2430, "trailer"), weigh(tickets.Coupled, tickets.Slack, first, "trailer.1")})
		j.Outfit.TrailerAxles = 2
		return j
	}
	_, u, _ := mustSolve(t, job(2430)).Load(derive.CoupledSlack, second).Number()
	for past, want := range map[float64]bool{-0.5: false, 0.5: true} {
		j := job(2430 + 2*u + past)
		v, now, _ := mustSolve(t, j).Load(derive.CoupledSlack, second).Number()
		if math.Abs(v+2*now+past) > 0.1 {
			t.Fatalf("%g, u %g: not half a kilogram from the end", v, now)
		}
		if said := len(mustHold(t, j).CannotBe) > 0; said != want {
			t.Errorf("%g kg below −U: cautioned %v (want %v)", past, said, want)
		}
	}
}

// Tyres of the front axle twice on each end are doubted where they are held:
// four on the front axle, not two, not four on the rear axle, none that are planned or replaced.
func TestDualFrontOnlyWhereHeld(t *testing.T) {
	for _, c := range []struct {
		name string
		line tickets.Rating
		want bool
	}{
		{"four on the front axle", tyreIndex("front", 4, 112, 110), true},
		{"two on the front axle", tyreIndex("front", 2, 112, 110), false},
		{"not said", tyreIndex("front", 0, 112, 110), false},
		{"four on the rear axle", tyreIndex("rear", 4, 112, 110), false},
		{"planned", planned(tyreIndex("front", 4, 112, 110)), false},
		{"replaced", with(tyreIndex("front", 4, 112, 110), func(r *tickets.Rating) { r.Replaced = true }), false},
	} {
		if said := slices.Contains(codes(mustHold(t, plated(c.line))), "front_dual"); said != c.want {
			t.Errorf("%s: cautioned %v (want %v)", c.name, said, c.want)
		}
	}
}

// A passenger tyre counts less in the us alone (49 CFR 571.120): on a trailer
// the limit says so, on the vehicle a caution does.
func TestPassengerTyres(t *testing.T) {
	for _, c := range []struct {
		region   tickets.Region
		kind, on string
		caution  string
		words    bool
	}{
		{"us", "passenger", "front", "passenger_tyre", false},
		{"us", "", "front", "", false},
		{"au", "passenger", "front", "", false},
		{"us", "passenger", "trailer", "", true},
		{"us", "", "trailer", "tyre_kind_not_stated", false},
		{"au", "passenger", "trailer", "", false},
		{"au", "", "trailer", "", false},
	} {
		job := plated(with(tyreIndex(c.on, 2, 110, 0), func(r *tickets.Rating) { r.Kind = c.kind }))
		job.Region = c.region
		f := mustHold(t, job)
		for _, code := range []string{"passenger_tyre", "tyre_kind_not_stated"} {
			if said := slices.Contains(codes(f), code); said != (code == c.caution) {
				t.Errorf("%s %q %s: %s %v (want %q)", c.region, c.kind, c.on, code, said, c.caution)
			}
		}
		if got := row(t, f, "tyre", c.on, derive.CoupledSlack, "").LimitKg.Decimal.String(); (got != "1060") != c.words { // load index 110
			t.Errorf("%s %q %s: limit %s (its rating ÷ 1.10: %v)", c.region, c.kind, c.on, got, c.words)
		}
	}
}

// A load that names a place that the form has not is of no known place.
func TestSpotOfNoSuchPlace(t *testing.T) {
	job := plated()
	job.Places = []tickets.Place{{Name: "tray", On: tickets.OnVehicle, HasAt: true, AtMm: 2500}}
	for place, want := range map[string]position{"tray": {tickets.OnVehicle, 2500, true}, "roof": {on: tickets.OnVehicle}, "": {on: tickets.OnVehicle}} {
		if got := positionOf(job, &tickets.Load{On: tickets.OnVehicle, Place: place}); got != want {
			t.Errorf("place %q: %+v (want %+v)", place, got, want)
		}
	}
}

// A load is as heavy as itself, for certain.
func TestRatioToItself(t *testing.T) {
	h := checkerOf(t, plated())
	q := h.s.TrailerMass()
	if r, u, ok := h.ratio(q, q); !ok || r != 1 || u > 1e-9 {
		t.Errorf("ratio %g, u %g, %v (want 1, u 0)", r, u, ok)
	}
}

// A value that is exact has no U.
func TestGuideOfAnExactValue(t *testing.T) {
	if g := bounded("tyres_together rear", 1400, 0, true, nil, nil, "by hand"); g.U != nil || *g.Value != 1400 {
		t.Errorf("%+v (want 1400 without U)", g)
	}
}

// The mistake that might hide behind Dc is in kilonewtons: for each reading, as
// far as Dc moves when the job is solved again with the reading a kilogram
// heavier, times the smallest mistake that would show in it; the largest counts.
func TestMistakeBehindDc(t *testing.T) {
	job := plated(dValue(14))
	s := mustSolve(t, job)
	f := Find(job, s, Options{})
	was := row(t, f, "d_value", "", noState, "")
	want := 0.0
	for i := range s.Observations {
		o := &s.Observations[i]
		if o.Kind != derive.ByReading {
			continue
		}
		heavier := plated(dValue(14))
		heavier.Readings[o.Index].Kg = heavier.Readings[o.Index].Kg.Add(decimal.NewFromInt(1))
		is := row(t, mustHold(t, heavier), "d_value", "", noState, "")
		want = math.Max(want, math.Abs(is.Found.Value-was.Found.Value)*o.Smallest)
	}
	if was.MistakeKg == nil || want == 0 || math.Abs(*was.MistakeKg/want-1) > 1e-3 {
		t.Errorf("mistake %v (want %g kN)", was.MistakeKg, want)
	}
}

// Of two downloads for every hitch 350 is kept and 200 is not: nothing is owed
// to the tension, whichever way the outfit travels.
func TestNotOnlyTensionedWithoutState(t *testing.T) {
	for _, travels := range []tickets.Travels{tickets.TravelsPlain, tickets.TravelsSlack, tickets.TravelsTensioned} {
		job := rated(jobOf(alone(), slack(), tensioned()), rate("download_max", "", 350), rate("download_max", "", 200))
		job.Outfit.Travels = travels
		f := mustHold(t, job)
		if f.Checks[0].Verdict != Within || f.Checks[1].Verdict != Over || f.Checks[0].OnlyTensioned {
			t.Errorf("%s: %s and %s, only tensioned %v", travels, f.Checks[0].Verdict, f.Checks[1].Verdict, f.Checks[0].OnlyTensioned)
		}
	}
}

// What is over slack and tensioned too is kept by nothing: rear 1,860 and 1,780.
func TestOverIsNotOnlyTensioned(t *testing.T) {
	f := mustHold(t, rated(jobOf(alone(), slack(), tensioned()), rate("axle", "rear", 1700)))
	if c := row(t, f, "axle", "rear", derive.CoupledTensioned, ""); c.Verdict != Over || c.OnlyTensioned {
		t.Errorf("tensioned: %s, only tensioned %v", c.Verdict, c.OnlyTensioned)
	}
}

// Only the same rating, slack, makes a check one that the tension keeps.
func TestFailsSlackOnlyItself(t *testing.T) {
	c := Check{Rating: "gtm", State: derive.CoupledTensioned, Verdict: Within}
	for _, o := range []struct {
		other Check
		want  bool
	}{
		{Check{Rating: "gtm", State: derive.CoupledSlack, Verdict: Over}, true},
		{Check{Rating: "gtm", State: derive.CoupledSlack, Verdict: Unsettled}, true},
		{Check{Rating: "gtm", State: derive.CoupledSlack, Verdict: NotWeighed}, false},
		{Check{Rating: "gvm", State: derive.CoupledSlack, Verdict: Over}, false},
		{Check{Rating: "gtm", State: derive.VehicleAlone, Verdict: Over}, false},
		{Check{Rating: "gtm", State: derive.CoupledSlack, Verdict: Over, Set: "springs"}, false},
		{Check{Rating: "gtm", State: derive.CoupledSlack, Verdict: Over, On: "rear"}, false},
	} {
		if got := failsSlack([]Check{c, o.other}, &c); got != o.want {
			t.Errorf("beside %s %s %s %s: %v (want %v)", o.other.Rating, o.other.On, o.other.State, o.other.Verdict, got, o.want)
		}
	}
}

// What the unlisted mass rests on: a weighing, with listed loads taken off a
// difference, and moments wherever the vehicle alone is only known by them.
func TestBasisOfUnlisted(t *testing.T) {
	moments := levered(jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, "", 1260, "front")}, slack()))
	tools := []tickets.Load{{Name: "tools", Kg: decimal.NewFromInt(45), UKg: 3, On: tickets.OnVehicle}}
	for _, c := range []struct {
		name  string
		job   *tickets.Job
		loads []tickets.Load
		want  derive.Basis
		kg    float64 // 2760 alone, less kerb 2300 and tools 45
	}{
		{"weighed", plated(), nil, derive.Weighed, 460},
		{"weighed, tools listed", plated(), tools, derive.Difference, 415},
		{"by moments", moments, nil, derive.ByMoment, 460},
		{"by moments, tools listed", moments, tools, derive.ByMoment, 415},
	} {
		c.job.Loads = c.loads
		a := checkerOf(t, c.job).unlisted(2300)
		if a == nil || a.Basis != c.want || math.Abs(a.Value-c.kg) > 3 {
			t.Errorf("%s: %+v (want %g, %s)", c.name, a, c.kg, c.want)
		}
	}
}

// What a load adds to a side is open by (what its group carries)/(2√3). 40 kg
// over the rear axle leave the front axle alone, and both sides together carry
// all; of no known place half of them, 20 kg, is on each axle.
func TestSidesOfALoad(t *testing.T) {
	job := modified()
	h := checkerOf(t, job)
	side := func(g tickets.Group, s tickets.Side) derive.Part {
		return derive.Part{Factor: 1, State: derive.CoupledSlack, Support: tickets.Term{Group: g, Side: s}}
	}
	rearLeft, rearRight, frontLeft := side(tickets.Rear, tickets.Left), side(tickets.Rear, tickets.Right), side(tickets.Front, tickets.Left)
	nowhere := job.Loads[0]
	nowhere.Place = ""
	for _, c := range []struct {
		name  string
		l     *tickets.Load
		parts []derive.Part
		want  float64
	}{
		{"rear left", &job.Loads[0], []derive.Part{rearLeft}, 40 / (2 * math.Sqrt(3))},
		{"rear right", &job.Loads[0], []derive.Part{rearRight}, 40 / (2 * math.Sqrt(3))},
		{"both", &job.Loads[0], []derive.Part{rearLeft, rearRight}, 0},
		{"front left", &job.Loads[0], []derive.Part{frontLeft}, 0},
		{"nowhere, rear left", &nowhere, []derive.Part{rearLeft}, 20 / (2 * math.Sqrt(3))},
		{"nowhere, front left", &nowhere, []derive.Part{frontLeft}, 20 / (2 * math.Sqrt(3))},
		{"nowhere, front and rear left", &nowhere, []derive.Part{frontLeft, rearLeft}, math.Sqrt2 * 20 / (2 * math.Sqrt(3))},
	} {
		rest, _ := derive.AssumedShare(&tickets.Outfit{}, c.l)
		if got := h.sidesU(c.l, c.parts, rest); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: u %g (want %g)", c.name, got, c.want)
		}
	}
}

// In New Zealand a trailer of 2,000 kg laden needs brakes, one below does not
// (Light-vehicle Brakes Rule 2002, as tagged in the table).
func TestBrakesNotStatedBelow(t *testing.T) {
	for kg, want := range map[float64]bool{1990: false, 2000: true, 2010: true} {
		job := jobOf([]tickets.Reading{weigh(tickets.TrailerAlone, "", kg, "whole trailer")})
		job.Region = tickets.NewZealand
		if said := slices.Contains(codes(mustHold(t, job)), "brakes_not_stated"); said != want {
			t.Errorf("%g kg: cautioned %v (want %v)", kg, said, want)
		}
	}
}

// What a line for a tensioned hitch replaces: the held line of the same rating,
// on and set, for a slack hitch, that 250 kg with U 20 kg does not keep.
func TestWhatATensionedLineReplaces(t *testing.T) {
	line := with(rate("download_max", "", 300), func(r *tickets.Rating) { r.When = "tensioned" })
	slackLine := func(kg float64, change func(*tickets.Rating)) tickets.Rating {
		return with(rate("download_max", "", kg), change)
	}
	same := func(*tickets.Rating) {}
	for _, c := range []struct {
		name  string
		other tickets.Rating
		want  bool
	}{
		{"200", slackLine(200, same), true},
		{"260, not settled", slackLine(260, same), true},
		{"280, kept", slackLine(280, same), false},
		{"replaced", slackLine(200, func(r *tickets.Rating) { r.Replaced = true }), false},
		{"another rating", rate("towing", "", 200), false},
		{"another on", slackLine(200, func(r *tickets.Rating) { r.On = "ball" }), false},
		{"a set's", planned(slackLine(200, same)), false},
		{"alone", slackLine(200, func(r *tickets.Rating) { r.When = "alone" }), false},
	} {
		h := checkerOf(t, plated(line, c.other))
		check := &Check{Line: &h.job.Ratings[0], Rating: "download_max", Found: &Found{Value: 250, U: 10}}
		if got := h.failsReplaced(check); got != c.want {
			t.Errorf("%s: %v (want %v)", c.name, got, c.want)
		}
	}
}

// A tyre whose load index is in no table has no limit, and takes no other's
// place: both lines decide, whichever comes first.
func TestUnknownLimitHidesNone(t *testing.T) {
	unknown, known := tyreIndex("front", 2, 999, 0), with(rate("tyre", "front", 900), func(r *tickets.Rating) { r.Fitted = 2 })
	for _, lines := range [][]tickets.Rating{{unknown, known}, {known, unknown}} {
		for _, c := range mustHold(t, plated(lines...)).Checks {
			if c.State == derive.CoupledSlack && !c.Decides {
				t.Errorf("line %d (limit %v) does not decide", c.Line.Line, c.LimitKg)
			}
			if weighed := c.Verdict != NotWeighed; c.State == derive.CoupledSlack && weighed != c.LimitKg.Valid {
				t.Errorf("line %d (limit %v) is %s", c.Line.Line, c.LimitKg, c.Verdict)
			}
		}
	}
}

// A set that repeats the plate raises nothing.
func TestRepeatedIsNotRaised(t *testing.T) {
	for kg, want := range map[float64]bool{2990: false, 3000: false, 3010: true} {
		h := checkerOf(t, plated(rate("gvm", "", 3000), planned(rate("gvm", "", kg))))
		if got := h.raised("springs", "gvm"); got != want {
			t.Errorf("3,000 kg to %g: raised %v (want %v)", kg, got, want)
		}
		if all := h.ofRaised(); len(all) > 0 { // nothing is plated that could stay
			t.Errorf("3,000 kg to %g: cautions %v", kg, all)
		}
	}
}

// A set's load that a reading names, and nothing tells its mass from what else
// was weighed, counts as declared: 600 kg, u 400 kg, over the vehicle.
func TestSetLoadThatStaysVague(t *testing.T) {
	job := rated(jobOf(slack(), []tickets.Reading{weigh(tickets.VehicleAlone, "", 3360, "vehicle")}), rate("gvm", "", 3500), planned(rate("gvm", "", 4500)))
	job.Loads = []tickets.Load{{Name: "kit", Kg: decimal.NewFromInt(600), UKg: 400, On: tickets.OnVehicle, Set: "springs"}}
	job.Readings[3].With = []string{"kit"}
	s := mustSolve(t, job)
	if mass, named := s.LoadMass("kit"); !named || mass.Determined() {
		t.Fatal("the kit's mass is known, so that nothing is tested")
	}
	f := Find(job, s, Options{})
	as, set := row(t, f, "gvm", "", derive.CoupledSlack, ""), row(t, f, "gvm", "", derive.CoupledSlack, "springs")
	if set.Found == nil || !near(set.Found.Value, as.Found.Value+600) || !near(set.Found.U, math.Hypot(as.Found.U, 400)) {
		t.Errorf("with the kit: %+v (want 600 kg more than %+v, u 400 kg beside)", set.Found, as.Found)
	}
}

// The only axle of a group has two ends and one side of the group one: the
// side is the smaller.
func TestAroundATyreOfOneAxle(t *testing.T) {
	h := &checker{job: &tickets.Job{Outfit: tickets.Outfit{RearAxles: 1}}}
	at := tickets.Term{Group: tickets.Rear, Axle: 1, Side: tickets.Left}
	want := []tickets.Term{at, {Group: tickets.Rear, Side: tickets.Left}, {Group: tickets.Rear, Axle: 1}, {Group: tickets.Rear}}
	if got := h.around(at); !slices.Equal(got, want) {
		t.Errorf("around %v: %v (want %v)", at, got, want)
	}
}

// One tyre on one side is stated.
func TestOneFittedIsStated(t *testing.T) {
	for fitted, want := range map[int]bool{0: true, 1: false} {
		job := sided(with(rate("tyre", "rear.left", 1100), func(r *tickets.Rating) { r.Fitted = fitted }))
		assumed := row(t, mustHold(t, job), "tyre", "rear.left", derive.CoupledSlack, "").Assumed
		if got := slices.Contains(assumed, Fitted); got != want {
			t.Errorf("%d fitted: %q", fitted, assumed)
		}
	}
}

// A class without a number of axles does not count them: in the United Kingdom
// 700 kg on two axles need no brakes, 800 kg do (as tagged in the table).
func TestBrakesOfAnyAxles(t *testing.T) {
	for kg, want := range map[float64]bool{700: false, 800: true} {
		job := rated(jobOf([]tickets.Reading{weigh(tickets.TrailerAlone, "", 600, "whole trailer")}), rate("atm", "", kg))
		job.Region, job.Outfit.TrailerAxles = tickets.UnitedKingdom, 2
		if said := slices.Contains(codes(mustHold(t, job)), "brakes_not_stated"); said != want {
			t.Errorf("%g kg: cautioned %v (want %v)", kg, said, want)
		}
	}
}

// A D-value that is not known is no load of the vehicle.
func TestDValueOfHalfAnOutfit(t *testing.T) {
	c := mustHold(t, rated(jobOf([]tickets.Reading{weigh(tickets.Coupled, tickets.Slack, 3000, "vehicle")}), dValue(14))).Checks[0]
	if _, _, ok := c.Quantity.Number(); ok || c.Found != nil || c.Verdict != NotWeighed {
		t.Errorf("%s: %+v, determined %v", c.Verdict, c.Found, ok)
	}
}

// Of two tyres that carry the same the vaguer one stands worse.
func TestVaguerOfTwoAlike(t *testing.T) {
	a, b := corner{summed: summed{value: 700, u: 4, ok: true}}, corner{summed: summed{value: 700, u: 3, ok: true}}
	if !a.worse(&b) || b.worse(&a) || a.worse(&a) {
		t.Error("700 kg with u 4 and with u 3: the vaguer is not the worse alone")
	}
}
