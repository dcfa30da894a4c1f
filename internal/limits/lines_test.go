package limits

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// Lines that compute and that no other test here would miss: found by turning
// them wrong one at a time. Expected numbers are worked out by hand.

// near allows for the grid on which masses leave the package.
func near(a, b float64) bool { return math.Abs(a-b) <= 3e-6 }

// Dc = g·T·C/(T+C) of T = 2,000 kg and C = 3,000 kg is 9.81·2·3/5 = 11.772 kN:
// a trailer may be heavier than what draws it.
func TestCouplerOfAHeavyTrailer(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.Coupled, tickets.Slack, 2000, "vehicle"), weigh(tickets.Coupled, tickets.Slack, 3000, "trailer")}), dValue(12.5))
	c := mustHold(t, job).Checks[0]
	if c.Found == nil || math.Abs(c.Found.Value-11.772) > 0.001 {
		t.Errorf("Dc %+v (want 11.772)", c.Found)
	}
	if limit, ok := c.Limit(); !ok || limit != 12.5 {
		t.Errorf("limit %g, %v", limit, ok)
	}
}

func TestLowestOn(t *testing.T) {
	check := func(word, on string, state derive.State, set string, kg int64) Check {
		return Check{Rating: word, On: on, State: state, Set: set, LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(kg))}
	}
	slack, alone := derive.CoupledSlack, derive.VehicleAlone
	f := &Findings{Checks: []Check{
		check("axle", "front", slack, "", 1500), check("axle", "rear", slack, "", 1400), check("axle", "front", slack, "", 1450),
		check("gvm", "", slack, "", 900), check("axle", "front", alone, "", 800), check("axle", "front", slack, "springs", 700),
	}}
	for _, c := range []struct {
		word, on string
		want     float64
	}{{"axle", "", 1400}, {"axle", "front", 1450}, {"axle", "rear", 1400}, {"gvm", "", 900}} {
		if got, ok := f.lowestOn(c.word, c.on, slack); !ok || got != c.want {
			t.Errorf("%s %q: %g, %v (want %g)", c.word, c.on, got, ok, c.want)
		}
	}
	if _, ok := f.lowestOn("atm", "", slack); ok {
		t.Error("a limit of a rating that is not there")
	}
}

// Only the same line in the same state, as plated, counts as over.
func TestIsOver(t *testing.T) {
	line := func(n int) *tickets.Rating { return &tickets.Rating{Line: n} }
	c := Check{Line: line(2), State: derive.CoupledSlack}
	for what, o := range map[string]Check{
		"another state": {Line: line(2), State: derive.VehicleAlone, Verdict: Over}, "another line": {Line: line(3), State: derive.CoupledSlack, Verdict: Over},
		"a planned set": {Line: line(2), State: derive.CoupledSlack, Set: "x", Verdict: Over}, "within": {Line: line(2), State: derive.CoupledSlack, Verdict: Within},
	} {
		if (&Findings{Checks: []Check{o}}).isOver(&c) {
			t.Errorf("over because of %s", what)
		}
	}
	if !(&Findings{Checks: []Check{{Line: line(2), State: derive.CoupledSlack, Verdict: Over}}}).isOver(&c) {
		t.Error("not over")
	}
}

// A line `none` for one axle gives nothing for the other.
func TestNoneOfOneAxle(t *testing.T) {
	f := mustHold(t, au(change(change(allUsual(), "axle", "front", none("axle", "front")), "axle", "rear", none("gvm", ""))...))
	if !slices.Equal(f.NotGiven, []RatingKey{{"axle", "rear"}}) {
		t.Errorf("not given: %v (want axle rear alone)", f.NotGiven)
	}
}

// One tyre on each end of each axle is even.
func TestSingleTyresAreEven(t *testing.T) {
	for fitted, uneven := range map[int]bool{2: false, 4: false, 3: true, 1: true, 6: true} {
		job := plated(tyreIndex("rear", fitted, 110, 105))
		got := slices.ContainsFunc(mustHold(t, job).Cautions, func(c Caution) bool { return c.Code == "tyres_uneven" })
		if got != uneven {
			t.Errorf("%d tyres on one axle: uneven %v (want %v)", fitted, got, uneven)
		}
	}
}

// An axle of a group split by axles alone, whose sum leaves less than nothing.
func TestImpossibleAxle(t *testing.T) {
	job := jobOf([]tickets.Reading{weigh(tickets.Coupled, tickets.Slack, 2430, "trailer"), weigh(tickets.Coupled, tickets.Slack, 2600, "trailer.1")})
	job.Outfit.TrailerAxles = 2
	f := mustHold(t, job)
	if len(f.CannotBe) != 1 || f.CannotBe[0].Code != derive.Impossible || f.CannotBe[0].On != "trailer.2" || f.Verdict != JobConflict {
		t.Errorf("%+v, %s (want trailer.2 impossible, conflict)", f.CannotBe, f.Verdict)
	}
}

func TestAroundATyre(t *testing.T) {
	for _, side := range []tickets.Side{tickets.Left, tickets.Right} {
		h := &checker{job: &tickets.Job{Outfit: tickets.Outfit{TrailerAxles: 3}}}
		at := tickets.Term{Group: tickets.Trailer, Axle: 2, Side: side}
		want := []tickets.Term{at, {Group: tickets.Trailer, Axle: 2}, {Group: tickets.Trailer, Side: side}, {Group: tickets.Trailer}}
		if got := h.around(at); !slices.Equal(got, want) {
			t.Errorf("around %v: %v (want %v)", at, got, want)
		}
	}
}

// The room under a tyre's limit ends where value and U meet it, for whatever
// the uncertainties are stretched by: the whole kilogram that keeps it, and not
// one more. By hand: e + 2·stretch·√(4² + (0.06·e)²) ≤ 900 at e = 400 + kg/4.
func TestRoomOfAShareEndsAtTheLimit(t *testing.T) {
	for _, stretch := range []float64{1, 1.5, 3} {
		h := &checker{stretch: stretch, rule: Guarded}
		c := &Check{Found: &Found{Value: 400, U: stretch * math.Hypot(4, 0.06*400)}, unequal: 0.06, LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(900))}
		kg := mostWhole(func(kg float64) bool { return h.keeps(c, 900, 0.25, kg) })
		at := func(kg float64) float64 {
			e := 400 + kg/4
			return e + 2*stretch*math.Hypot(4, 0.06*e)
		}
		if at(kg) > 900+1e-5 || at(kg+1) <= 900 || kg <= 0 {
			t.Errorf("stretched by %g: %g kg more end at %g, one more at %g", stretch, kg, at(kg), at(kg+1))
		}
	}
}

// Declared loads that no reading names add their uncertainties in quadrature.
func TestUnlistedCarriesDeclared(t *testing.T) {
	job := plated(rate("gvm", "", 3500))
	plain := mustHold(t, job)
	job.Loads = []tickets.Load{
		{Name: "one", Kg: decimal.NewFromInt(30), UKg: 3, On: tickets.OnVehicle}, {Name: "two", Kg: decimal.NewFromInt(50), UKg: 4, On: tickets.OnVehicle},
	}
	h := checkerOf(t, job)
	without, with := checkerOf(t, plated()).unlisted(1900), h.unlisted(1900)
	if plain == nil || without == nil || with == nil || !near(with.Value, without.Value-80) || !near(with.U, math.Hypot(without.U, 5)) {
		t.Errorf("unlisted %v with, %v without (want 80 less, and 5 kg of u beside)", with, without)
	}
}

func checkerOf(t *testing.T, job *tickets.Job) *checker {
	t.Helper()
	s := mustSolve(t, job)
	return newChecker(job, s, Options{})
}

// A load of no known place on the trailer puts a tenth of its mass on the
// coupling (the model of the readings; no source); coupled, the axles carry the
// rest and the vehicle that.
func TestDeclaredTrailerLoad(t *testing.T) {
	job := plated()
	l := &tickets.Load{Name: "box", Kg: decimal.NewFromInt(200), UKg: 2, On: tickets.OnTrailer}
	job.Loads = []tickets.Load{*l}
	h := checkerOf(t, job)
	for on, want := range map[tickets.Group]float64{tickets.Trailer: 200 * (1 - 0.1), tickets.Rear: 200 * 0.1 * 1.45, tickets.Front: -200 * 0.1 * 0.45} {
		want /= 4 // of one tyre of four
		parts := []derive.Part{{State: derive.CoupledSlack, Support: tickets.Term{Group: on}, Factor: 0.25}}
		var extra spread
		h.addLoad(derive.Quantity{}, l, parts, &extra)
		if !near(extra.kg, want) {
			t.Errorf("%s carries %g kg more (want %g)", on, extra.kg, want)
		}
		if guessed := derive.LeverUnknown * 200 / 4; (on != tickets.Trailer) != slices.ContainsFunc(extra.causes, func(u float64) bool { return near(u, guessed) }) {
			t.Errorf("%s: causes %v (want %g where the lever matters)", on, extra.causes, guessed)
		}
	}
}

// In Australia a trailer of up to 750 kg needs no brakes on a single axle (ADR 38).
func TestBrakesByAxles(t *testing.T) {
	for axles, wanted := range map[int]bool{1: false, 2: true} {
		job := rated(jobOf([]tickets.Reading{weigh(tickets.TrailerAlone, "", 600, "whole trailer")}), rate("atm", "", 700))
		job.Region, job.Outfit.TrailerAxles = tickets.Australia, axles
		got := slices.ContainsFunc(mustHold(t, job).Cautions, func(c Caution) bool { return c.Code == "brakes_not_stated" })
		if got != wanted {
			t.Errorf("%d axles: cautioned %v (want %v)", axles, got, wanted)
		}
	}
}

// A group with one axle is given by the rating of its axle 1.
func TestSingleAxleByItself(t *testing.T) {
	job := au(change(allUsual(), "axle", "rear", rate("axle", "rear.1", 2100))...)
	job.Outfit.RearAxles = 1
	if f := mustHold(t, job); len(f.NotGiven) > 0 {
		t.Errorf("not given: %v", f.NotGiven)
	}
}

// Only a plated line in force stays in a set, and only where the set has none
// of its own.
func TestStaysInASet(t *testing.T) {
	job := plated(rate("gvm", "", 3000), planned(rate("gvm", "", 3500)), rate("atm", "", 3000), planned(rate("axle", "rear", 2100)))
	h := checkerOf(t, job)
	for i, want := range []bool{false, false, true, false} {
		if got := h.stays(i, "springs"); got != want {
			t.Errorf("line %d stays: %v (status %v)", i, got, h.st.status[i])
		}
	}
	for i, want := range []bool{true, false, true, false} {
		if got := h.stays(i, ""); got != want {
			t.Errorf("line %d stays as plated: %v", i, got)
		}
	}
}
