package limits

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

func rooms(f *Findings) map[string]headroom {
	all := map[string]headroom{}
	for _, r := range f.Headroom {
		all[r.Place] = r
	}
	return all
}

// Worked by hand from each check's limit − value − U and its lever: gvm alone
// decides here. On the vehicle all of it counts, on the trailer 1 m ahead of
// the axle a fifth (L = 5 m); over and behind the axle gvm never comes nearer.
func TestHeadroomOfOneRating(t *testing.T) {
	f := mustHold(t, placed(levered(plated(rate("gvm", "", 3500)))))
	c := row(t, f, "gvm", "", derive.CoupledSlack, "")
	slack := 3500 - c.Found.Value - 2*c.Found.U
	got := rooms(f)
	for place, want := range map[string]float64{
		"at_front_axle": slack, "midway": slack, "at_rear_axle": slack, "ahead": 5 * slack,
	} {
		r, ok := got[place]
		if !ok || r.Kg != math.Floor(want) || r.Rating != "gvm" || r.State != derive.CoupledSlack {
			t.Errorf("%s: %+v (want %g to the gvm)", place, r, want)
		}
	}
	if r, ok := got["at_axle"]; ok {
		t.Errorf("at_axle: %+v (want none: nothing limits it)", r)
	}
	// behind the axle nothing but the floor: 250 kg less a fifth of the load
	if r := got["behind"]; r.Kg != math.Floor(5*row(t, f, "download_min", "", noState, "").Found.Value) || r.Rating != "download_min" {
		t.Errorf("behind: %+v", r)
	}
}

// A load behind the trailer's axle takes download away: the least one is
// reached first. Over the axle it is the atm.
func TestHeadroomOnTheTrailer(t *testing.T) {
	f := mustHold(t, placed(levered(plated(rate("atm", "", 3000), rate("download_min", "", 100), rate("download_max", "", 320)))))
	least, most, atm := row(t, f, "download_min", "", noState, ""), row(t, f, "download_max", "", noState, ""), row(t, f, "atm", "", noState, "")
	got := rooms(f)
	if r := got["behind"]; r.Rating != "atm" && r.Rating != "download_min" || r.Kg != math.Floor(math.Min((least.Found.Value-2*least.Found.U-100)*5, 3000-atm.Found.Value-2*atm.Found.U)) {
		t.Errorf("behind: %+v", r)
	}
	if r := got["ahead"]; r.Kg != math.Floor(math.Min((320-most.Found.Value-2*most.Found.U)*5, 3000-atm.Found.Value-2*atm.Found.U)) {
		t.Errorf("ahead: %+v", r)
	}
	if r := got["at_axle"]; r.Rating != "atm" || r.Kg != math.Floor(3000-atm.Found.Value-2*atm.Found.U) {
		t.Errorf("over: %+v", r)
	}
}

// Whatever fits, fits: each headroom is added to the fixture's readings by the
// lever law, and the outfit weighed again is within, and no longer within with
// a kilogram more. The limits are such that one of each kind is reached.
func TestHeadroomIsKept(t *testing.T) {
	lines := func() []tickets.Rating {
		return []tickets.Rating{
			rate("gvm", "", 3500), rate("gcm", "", 6200), rate("atm", "", 3000), rate("gtm", "", 2900), rate("axle", "front", 1400), rate("axle", "rear", 2000),
			rate("download_max", "", 290), rate("download_min", "", 210), dValue(13.6),
			with(rate("tyre", "front", 750), func(r *tickets.Rating) { r.Fitted = 2 }),
		}
	}
	job := placed(levered(plated(lines()...)))
	f := mustHold(t, job)
	seen := map[string]bool{}
	places := map[string]func(derive.State) derive.Shares{
		"at_front_axle": onVehicle(1, 0), "midway": onVehicle(0.5, 0.5), "at_rear_axle": onVehicle(0, 1), "at_axle": overTrailerAxle,
	}
	for z, place := range map[float64]string{1000: "ahead", -1000: "behind"} {
		places[place] = func(s derive.State) derive.Shares {
			sh, _, ok := derive.Share(job, tickets.OnTrailer, z, s)
			if !ok {
				t.Fatalf("no share at %g in %s", z, s)
			}
			return sh
		}
	}
	looked := 0
	for _, r := range f.Headroom {
		if places[r.Place] == nil {
			continue
		}
		looked++
		seen[r.Rating] = true
		for _, more := range []struct {
			kg   float64
			want bool
		}{{r.Kg, true}, {r.Kg + 1, false}} {
			if got := keptWith(t, job, f, places[r.Place], more.kg); got != more.want {
				t.Errorf("%s: %.1f kg (first %s %s): kept %v (want %v)", r.Place, more.kg, r.Rating, r.On, got, more.want)
			}
		}
	}
	if looked != len(places) {
		t.Fatalf("%d places (want %d): %+v", looked, len(places), f.Headroom)
	}
	for _, word := range []string{"tyre", "axle", "download_max", "download_min", "d_value"} {
		if !seen[word] {
			t.Errorf("no place reaches the %s first: %v", word, f.Headroom)
		}
	}
}

// keptWith holds every deciding check with a load added to its value; what is
// weighed keeps its u, an equal share its 6 %.
func keptWith(t *testing.T, job *tickets.Job, f *Findings, shares func(derive.State) derive.Shares, kg float64) bool {
	t.Helper()
	add := func(c *Check, parts []derive.Part) float64 { return kg * sharesEffect(job, shares, parts) }
	for _, c := range f.Deciding("") {
		limit, _ := c.Limit()
		v, u := c.Found.Value, c.Found.U
		switch {
		case c.LimitKN.Valid:
			vehicle, axles := row(t, f, "gvm", "", derive.CoupledSlack, ""), row(t, f, "gtm", "", derive.CoupledSlack, "")
			v = dc(vehicle.Found.Value+add(c, vehicle.parts), axles.Found.Value+add(c, axles.parts))
		case c.unequal > 0:
			_, own, _ := c.Quantity.Number()
			v += add(c, c.parts)
			u = math.Hypot(own, 0.06*v)
		default:
			v += add(c, c.parts)
		}
		if c.Floor {
			if v < 0 {
				return false
			}
		} else if judge(v, u, limit, c.Lower, Guarded, c.LimitKN.Valid) != Within {
			return false
		}
	}
	return true
}

// Nothing is promised where it cannot be: in a conflict, where a deciding check
// is not weighed or a length is missing; nothing fits where a rating is not kept.
func TestNoHeadroom(t *testing.T) {
	conflict := plated(rate("gvm", "", 3500))
	conflict.Readings = append(conflict.Readings, weigh(tickets.VehicleAlone, "", 2260, "vehicle"))
	if f := mustHold(t, conflict); len(f.Headroom) != 0 {
		t.Errorf("readings in conflict: %+v", f.Headroom)
	}
	unweighed := rated(jobOf(alone()[:3]), rate("gvm", "", 3500), rate("axle", "front", 1500))
	if f := mustHold(t, unweighed); len(f.Headroom) != 0 {
		t.Errorf("coupled not weighed: %+v", f.Headroom)
	}
	bare := rooms(mustHold(t, plated(rate("axle", "rear", 2000), rate("atm", "", 3000))))
	if _, ok := bare["ahead"]; ok {
		t.Error("no lengths, and a load ahead of the trailer's axle is promised")
	}
	if _, ok := bare["at_rear_axle"]; !ok {
		t.Error("no lengths: a load over the rear axle is not answered")
	}
	for place, r := range rooms(mustHold(t, levered(plated(rate("gvm", "", 2900), rate("atm", "", 3000))))) {
		if r.Kg != 0 || r.Rating != "gvm" {
			t.Errorf("gvm not kept, %s: %+v (want 0)", place, r)
		}
	}
}

// Places of the form, with what their capacity leaves.
func TestHeadroomOfPlaces(t *testing.T) {
	job := levered(plated(rate("gvm", "", 3500)))
	job.Places = []tickets.Place{
		{Name: "roof", On: tickets.OnVehicle, HasAt: true, AtMm: 1500, CapacityKg: decimal.NewNullDecimal(decimal.NewFromInt(100))},
		{Name: "tray", On: tickets.OnVehicle, HasAt: true, AtMm: 2500},
		{Name: "somewhere", On: tickets.OnVehicle},
	}
	job.Loads = []tickets.Load{{Name: "ladder", Kg: decimal.NewFromInt(30), UKg: 2, On: tickets.OnVehicle, Place: "roof"},
		{Name: "rope", Kg: decimal.NewFromInt(20), UKg: 1, On: tickets.OnVehicle, Place: "tray"},
		{Name: "basket", Kg: decimal.NewFromInt(25), UKg: 1, On: tickets.OnVehicle, Place: "roof", Set: "rack"}}
	got := rooms(mustHold(t, job))
	if r := got["roof"]; r.Kg != 70 || r.Rating != "capacity" {
		t.Errorf("roof: %+v (want 70 kg, its capacity)", r)
	}
	if r := got["tray"]; r.Rating != "gvm" {
		t.Errorf("tray: %+v (want to the gvm)", r)
	}
	if r := got["somewhere"]; r.Rating != "gvm" {
		t.Errorf("a place without at, gvm alone: %+v (want to the gvm, which needs no position)", r)
	}
	job.Ratings = append(job.Ratings, rate("axle", "rear", 2100))
	if _, ok := rooms(mustHold(t, job))["somewhere"]; ok {
		t.Error("a place without at is promised room over an axle")
	}
}

// Payloads. Facts of the trade (common practice, no source): a rating of 3,350
// kg with 2,740 kg empty leaves 610 kg; with two people of 80 kg and 350 kg on
// the coupling 100 kg are left; 3,900 kg against 4,495 kg leave 595 kg.
func TestPayload(t *testing.T) {
	vehicle := func(alone, coupled float64, lines ...tickets.Rating) Payload {
		trailer := weigh(tickets.TrailerAlone, "", 3500, "whole trailer")
		job := rated(jobOf([]tickets.Reading{
			weigh(tickets.VehicleAlone, "", alone, "vehicle"), weigh(tickets.Coupled, tickets.Slack, coupled, "vehicle"), trailer}), lines...)
		return mustHold(t, job).Payload
	}
	near := func(name string, a *Amount, want float64) {
		t.Helper()
		if a == nil || math.Abs(a.Value-want) > 0.01 || !(a.U > 0) {
			t.Errorf("%s: %+v (want %g)", name, a, want)
		}
	}
	p := vehicle(2740, 2740+350, rate("gvm", "", 3350), rate("kerb", "vehicle", 2740), rate("atm", "", 3500), rate("tare", "trailer", 2100))
	near("used", p.Used, 350)
	near("left", p.Left, 260)
	near("unlisted", p.Unlisted, 0)
	near("trailer used", p.TrailerUsed, 1400)
	near("trailer left", p.TrailerLeft, 0)
	if p.Empty != "kerb" || p.TrailerEmpty != "tare" {
		t.Errorf("empty masses %q, %q (want kerb, tare)", p.Empty, p.TrailerEmpty)
	}
	near("the lower of two", vehicle(2740, 3000, rate("gvm", "", 3350), rate("gvm", "", 3200)).Left, 200)
	near("610 less two people and 350 on the coupling", vehicle(2740+160, 2740+160+350, rate("gvm", "", 3350)).Left, 100)
	near("3,900 against 4,495", vehicle(3650, 3900, rate("gvm", "", 4495)).Left, 595)
	// 1,400 lb of load, 750 lb of people: 650 lb are left (load limit text of
	// 49 CFR 575.6); 1 lb = 0.45359237 kg
	const lb = 0.45359237
	near("650 lb", vehicle(2000, 2000+750*lb, rate("gvm", "", 2000+1400*lb)).Left, 650*lb)
	none := vehicle(2740, 3090)
	if none.Used != nil || none.Left != nil || none.TrailerLeft != nil || none.TrailerUsed != nil || none.Unlisted != nil {
		t.Errorf("payload without ratings: %+v", none)
	}
}

// 2,930 − 1,820 = 1,110 kg (Road Safety Authority, IE: towing capacity from the
// plate): a vehicle at its 1,820 kg with a trailer of 1,000 has 110 kg left.
func TestCombinationFromThePlate(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, "", 1820, "vehicle"), weigh(tickets.TrailerAlone, "", 1000, "whole trailer")}), rate("gcm", "", 2930))
	c := row(t, mustHold(t, job), "gcm", "", noState, "")
	if c.Found == nil || math.Abs(c.Found.Margin+1000-1110) > 0.01 {
		t.Errorf("%+v (want a trailer of 1,110 kg to reach the plate)", c.Found)
	}
}

// What the vehicle carries that no form lists: alone 2,760 − kerb 2,300 −
// driver 80 − tools 45; the crate is aboard only when weighed, the kit only in
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
		r := weigh(tickets.VehicleAlone, "", 3260, "vehicle")
		r.With = []string{"crate"}
		return r
	}())
	s := mustSolve(t, job)
	p := Find(job, s, Options{}).Payload
	driver, _ := s.LoadMass("driver")
	rest := s.Add(s.Total(derive.VehicleAlone, tickets.Front, tickets.Rear), -1, driver)
	v, u, _ := rest.Number()
	if p.Unlisted == nil || !near(p.Unlisted.Value, v-2300-45) || !near(p.Unlisted.U, math.Hypot(u, 3)) {
		t.Errorf("unlisted %+v (want %g, u %g)", p.Unlisted, v-2345, math.Hypot(u, 3))
	}
	if math.Abs(v-2680) > 0.5 || p.Unlisted.Basis != derive.Difference || p.Empty != "running_order" {
		t.Errorf("alone less driver %g, basis %s, empty %s", v, p.Unlisted.Basis, p.Empty)
	}
}

// The same job gives the same findings, to the last bit.
func TestSameFindings(t *testing.T) {
	print := func() string {
		job := modified()
		job.Region = tickets.Europe
		f := mustHold(t, job)
		var b strings.Builder
		for i := range f.Checks {
			c := &f.Checks[i]
			fmt.Fprintln(&b, c.Rating, c.On, c.State, c.Set, c.Found, c.HeldOn, c.key)
		}
		for _, c := range f.Cautions {
			fmt.Fprintln(&b, c.Code, spell(c.Line, c.Args))
		}
		for _, q := range f.Questions {
			fmt.Fprintln(&b, q.Code, spell(q.Line, q.Args))
		}
		fmt.Fprint(&b, f.Headroom, f.NotGiven)
		return b.String()
	}
	first := print()
	for range 5 {
		if again := print(); again != first {
			t.Fatalf("findings differ:\n%s\n%s", first, again)
		}
	}
}
