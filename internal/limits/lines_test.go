package limits

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// Lines that compute and that no other test here would miss: found by turning
// them wrong one at a time. Expected numbers are worked out by hand.

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-9*math.Max(1, math.Abs(b)) }

func pointer(v float64) *float64 { return &v }

func TestGuideFigures(t *testing.T) {
	for want, g := range map[string]*Guide{
		"20.0 ± 3.0 %, at most 15 %":   {Guide: "download_share", Value: pointer(0.2), U: pointer(0.015), High: pointer(0.15)},
		"5.0 ± 1.0 %, at least 10 %":   {Guide: "download_share", Value: pointer(0.05), U: pointer(0.005), Low: pointer(0.1), High: pointer(0.15)},
		"3.50 ± 0.50 times, at most 3": {Guide: "trailer_to_vehicle", Value: pointer(3.5), U: pointer(0.25), High: pointer(3)},
	} {
		if got := g.figures(); got != want {
			t.Errorf("figures %q (want %q)", got, want)
		}
	}
	for want, got := range map[string]string{"100 ± 20 kg": kgU(100, 10), "100 ± 1 kg": kgU(100, 0.1), "100 kg": kgU(100, 0), "1,234 kg": kg(1234.4), "0 kg": kg(-0.2)} {
		if got != want {
			t.Errorf("%q (want %q)", got, want)
		}
	}
}

// Dc = g·T·C/(T+C) of T = 2,000 kg and C = 3,000 kg is 9.81·2·3/5 = 11.772 kN:
// a trailer may be heavier than what draws it.
func TestCouplerOfAHeavyTrailer(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.Coupled, tickets.Slack, 2000, "vehicle"), weigh(tickets.Coupled, tickets.Slack, 3000, "trailer")}), dValue(12.5))
	c := mustHold(t, job).Checks[0]
	if v, _, ok := c.Quantity.Number(); !ok || math.Abs(v-11.772) > 0.001 {
		t.Errorf("Dc %g, %v (want 11.772)", v, ok)
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
	if !slices.Equal(f.NotGiven, []string{"axle rear"}) {
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
	found := ""
	for _, c := range mustHold(t, job).Cautions {
		if c.Code == "impossible_reading" {
			found += c.Text
		}
	}
	if !strings.Contains(found, "trailer axle 2") {
		t.Errorf("no axle is impossible: %q", found)
	}
}

func TestAroundATyre(t *testing.T) {
	for _, side := range []tickets.Side{tickets.Left, tickets.Right} {
		h := &holder{job: &tickets.Job{Outfit: tickets.Outfit{TrailerAxles: 3}}}
		at := tickets.Term{Group: tickets.Trailer, Axle: 2, Side: side}
		want := []tickets.Term{at, {Group: tickets.Trailer, Axle: 2}, {Group: tickets.Trailer, Side: side}, {Group: tickets.Trailer}}
		if got := h.around(at); !slices.Equal(got, want) {
			t.Errorf("around %v: %v (want %v)", at, got, want)
		}
	}
}

// The room under a tyre's limit ends where value and U meet it, for whatever
// the uncertainties are scaled by.
func TestSharedRoomEndsAtTheLimit(t *testing.T) {
	for _, scaling := range []float64{1, 1.5, 3} {
		h := &holder{scaling: scaling}
		const v, perKg, limit = 400.0, 0.25, 900.0
		own := 4.0
		u := scaling * math.Hypot(own, unequalShare*v)
		kg := h.sharedRoom(v, u, perKg, limit)
		end := v + perKg*kg
		if got := end + coverage*scaling*math.Hypot(own, unequalShare*end); math.Abs(got-limit) > 1e-6 || kg <= 0 {
			t.Errorf("scaled by %g: %g kg more end at %g (want %g)", scaling, kg, got, limit)
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
	h := holderOf(t, job)
	without, with := holderOf(t, plated()).unlisted(1900), h.unlisted(1900)
	if plain == nil || without == nil || with == nil || !near(with.Value, without.Value-80) || !near(with.U, math.Hypot(without.U, 5)) {
		t.Errorf("unlisted %v with, %v without (want 80 less, and 5 kg of u beside)", with, without)
	}
}

func holderOf(t *testing.T, job *tickets.Job) *holder {
	t.Helper()
	s := mustSolve(t, job)
	return &holder{job: job, s: s, rule: Guarded, st: newStanding(job), scaling: s.Scaling()}
}

// A load of no known place on the trailer puts a tenth of its mass on the
// coupling (the model of the readings; no source); coupled, the axles carry the
// rest and the vehicle that.
func TestDeclaredTrailerLoad(t *testing.T) {
	job := plated()
	l := &tickets.Load{Name: "box", Kg: decimal.NewFromInt(200), UKg: 2, On: tickets.OnTrailer}
	job.Loads = []tickets.Load{*l}
	h := holderOf(t, job)
	for on, want := range map[tickets.Group]float64{tickets.Trailer: 200 * (1 - 0.1), tickets.Rear: 200 * 0.1 * 1.45, tickets.Front: -200 * 0.1 * 0.45} {
		want /= 4 // of one tyre of four
		parts := []derive.Part{{State: derive.CoupledSlack, Support: tickets.Term{Group: on}, Factor: 0.25}}
		var extra spread
		h.aboard(derive.Quantity{}, l, parts, &extra)
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
	h := holderOf(t, job)
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

// The single load index stands for a missing dual one only where tyres are dual.
func TestMissingDualIndex(t *testing.T) {
	const words = "no load index for dual fitting given: the single one stands for it"
	for fitted, said := range map[int]bool{2: false, 4: true} {
		assumed := mustHold(t, plated(tyreIndex("rear", fitted, 110, 0))).Checks[0].Assumed
		if strings.Contains(assumed, words) != said {
			t.Errorf("%d tyres: %q", fitted, assumed)
		}
	}
	if assumed := mustHold(t, plated(tyreIndex("rear", 4, 110, 105))).Checks[0].Assumed; strings.Contains(assumed, words) {
		t.Errorf("with a dual index: %q", assumed)
	}
}
