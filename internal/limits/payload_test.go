package limits

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// What the unlisted mass rests on: a weighing, with listed loads taken off a
// difference, and moments wherever the vehicle alone is only known by them.
func TestBasisOfUnlisted(t *testing.T) {
	moments := levered(jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, 1260, "front")}, slack()))
	tools := []tickets.Load{{Name: "tools", Kg: decimal.NewFromInt(45), UKg: 3, On: tickets.OnVehicle}}
	for _, c := range []struct {
		name  string
		job   *tickets.Job
		loads []tickets.Load
		want  string
		kg    float64 // 2760 alone, less kerb 2300 and tools 45
	}{
		{"weighed", plated(), nil, "weighed", 460},
		{"weighed, tools listed", plated(), tools, "difference", 415},
		{"by moments", moments, nil, "moment", 460},
		{"by moments, tools listed", moments, tools, "moment", 415},
	} {
		c.job.Loads = c.loads
		a := checkerOf(t, c.job).unlisted(2300)
		if a == nil || a.Weighed != (c.want == "weighed") || a.ByMoment != (c.want == "moment") || math.Abs(a.Value-c.kg) > 3 {
			t.Errorf("%s: %+v (want %g, %s)", c.name, a, c.kg, c.want)
		}
	}
}

// Of what a vehicle weighs empty kerb comes before tare, wherever in the form it stands; a
// line of the trailer says nothing of it.
func TestEmptyMassOfAUnit(t *testing.T) {
	st := checkerOf(t, plated(rate("tare", "trailer", 1500), rate("tare", "vehicle", 2200), rate("kerb", "vehicle", 2300))).st
	for on, want := range map[string]string{"vehicle": "kerb", "trailer": "tare"} {
		if r := st.emptyMass(on, ""); r == nil || r.Word != want || r.On != on {
			t.Errorf("%s: %+v (want its %s)", on, r, want)
		}
	}
	if r := st.emptyMass("vehicle", "springs"); r == nil || r.Word != "kerb" {
		t.Errorf("with a set that has none: %+v (want the plated one)", r)
	}
}

func TestLowestOn(t *testing.T) {
	check := func(word, on string, state tickets.State, set string, kg int64) Check {
		return Check{Rating: word, On: on, State: state, Set: set, LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(kg))}
	}
	slack, alone := tickets.CoupledSlack, tickets.VehicleAlone
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

// Stated loads that no reading names add their uncertainties in quadrature.
func TestUnlistedWithStatedLoads(t *testing.T) {
	job := plated(rate("gvm", "", 3500))
	plain := found(t, job)
	job.Loads = []tickets.Load{
		{Name: "one", Kg: decimal.NewFromInt(30), UKg: 3, On: tickets.OnVehicle}, {Name: "two", Kg: decimal.NewFromInt(50), UKg: 4, On: tickets.OnVehicle},
	}
	h := checkerOf(t, job)
	without, with := checkerOf(t, plated()).unlisted(1900), h.unlisted(1900)
	if plain == nil || without == nil || with == nil || !near(with.Value, without.Value-80) || !near(with.U, math.Hypot(without.U, 5)) {
		t.Errorf("unlisted %v with, %v without (want 80 less, and 5 kg of u)", with, without)
	}
}

// Payloads. Facts of the trade (common practice, no source): a rating of 3,350
// kg with 2,740 kg empty leaves 610 kg; with two people of 80 kg and 350 kg on
// the coupling 100 kg are left; 3,900 kg against 4,495 kg leave 595 kg.
func TestPayload(t *testing.T) {
	vehicle := func(alone, coupled float64, lines ...tickets.Rating) map[string]*amount {
		trailer := weigh(tickets.TrailerAlone, 3500, "whole trailer")
		job := rated(jobOf([]tickets.Reading{
			weigh(tickets.VehicleAlone, alone, "vehicle"), weigh(tickets.CoupledSlack, coupled, "vehicle"), trailer}), lines...)
		return payloadsOf(found(t, job))
	}
	near := func(name string, a *amount, want float64) {
		t.Helper()
		if a == nil || math.Abs(a.Value-want) > 0.01 || !(a.U > 0) {
			t.Errorf("%s: %+v (want %g)", name, a, want)
		}
	}
	p := vehicle(2740, 2740+350, rate("gvm", "", 3350), rate("kerb", "vehicle", 2740), rate("atm", "", 3500), rate("tare", "trailer", 2100))
	near("used", p["payload_used"], 350)
	near("left", p["payload_left"], 260)
	near("unlisted", p["unlisted"], 0)
	near("trailer used", p["trailer_payload_used"], 1400)
	near("trailer left", p["trailer_payload_left"], 0)
	near("the lower of two", vehicle(2740, 3000, rate("gvm", "", 3350), rate("gvm", "", 3200))["payload_left"], 200)
	near("610 less two people and 350 on the coupling", vehicle(2740+160, 2740+160+350, rate("gvm", "", 3350))["payload_left"], 100)
	near("3,900 against 4,495", vehicle(3650, 3900, rate("gvm", "", 4495))["payload_left"], 595)
	// 1,400 lb of load, 750 lb of people: 650 lb are left (load limit text of
	// 49 CFR 575.6); 1 lb = 0.45359237 kg
	const lb = 0.45359237
	near("650 lb", vehicle(2000, 2000+750*lb, rate("gvm", "", 2000+1400*lb))["payload_left"], 650*lb)
	none := vehicle(2740, 3090)
	for name, a := range none {
		if a != nil {
			t.Errorf("%s without ratings: %+v", name, a)
		}
	}
}

// payloadsOf are the payloads by their names.
func payloadsOf(f *Findings) map[string]*amount {
	by := map[string]*amount{}
	for _, p := range f.Payloads {
		by[p.Name] = p.Amount
	}
	return by
}

// 2,930 − 1,820 = 1,110 kg (Road Safety Authority, IE: towing capacity from the
// plate): a vehicle at its 1,820 kg with a trailer of 1,000 has 110 kg left.
func TestCombinationFromThePlate(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, 1820, "vehicle"), weigh(tickets.TrailerAlone, 1000, "whole trailer")}), rate("gcm", "", 2930))
	c := row(t, found(t, job), "gcm", "", noState, "")
	if c.Found == nil || math.Abs(c.Found.Margin+1000-1110) > 0.01 {
		t.Errorf("%+v (want a trailer of 1,110 kg to reach the plate)", c.Found)
	}
}

// What the vehicle carries that no form lists: alone 2,760 − kerb 2,300 −
// driver 80 − tools 45; the crate is on board only when weighed, the kit only in
// a set, and the chairs ride on the trailer.
func TestUnlisted(t *testing.T) {
	job := plated(rate("running_order", "vehicle", 2300))
	job.Loads = []tickets.Load{
		{Name: "driver", Kg: decimal.NewFromInt(80), UKg: 4, On: tickets.OnVehicle},
		{Name: "tools", Kg: decimal.NewFromInt(45), UKg: 3, On: tickets.OnVehicle},
		{Name: "crate", Kg: decimal.NewFromInt(500), UKg: 25, On: tickets.OnVehicle},
		{Name: "kit", Kg: decimal.NewFromInt(40), UKg: 2, On: tickets.OnVehicle, Set: "springs"},
		{Name: "chairs", Kg: decimal.NewFromInt(70), UKg: 4, On: tickets.OnTrailer},
	}
	job.Readings[3].Without = nil
	job.Readings[2].Without = []string{"driver"}
	job.Readings[2].Kg = decimal.NewFromInt(2680)
	job.Readings = append(job.Readings, func() tickets.Reading {
		r := weigh(tickets.VehicleAlone, 3260, "vehicle")
		r.With = []string{"crate"}
		return r
	}())
	s := mustSolve(t, job)
	p := payloadsOf(Find(job, s, Guarded))
	rest := s.Sum(append(groupLoads(1, tickets.VehicleAlone, tickets.Front, tickets.Rear), derive.Part{Factor: -1, Load: "driver"})...)
	v, u, _ := rest.Number()
	if p["unlisted"] == nil || !near(p["unlisted"].Value, v-2300-45) || !near(p["unlisted"].U, math.Hypot(u, 3)) {
		t.Errorf("unlisted %+v (want %g, u %g)", p["unlisted"], v-2345, math.Hypot(u, 3))
	}
	if math.Abs(v-2680) > 0.5 || p["unlisted"].Weighed || p["unlisted"].ByMoment {
		t.Errorf("alone less driver %+v (want 2,680 by difference)", p["unlisted"])
	}
}
