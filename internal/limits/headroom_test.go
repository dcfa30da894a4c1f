package limits

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
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
	f := found(t, placed(levered(plated(rate("gvm", "", 3500)))))
	c := row(t, f, "gvm", "", tickets.CoupledSlack, "")
	slack := 3500 - c.Found.Value - 2*c.Found.U
	got := rooms(f)
	for place, want := range map[string]float64{
		"at_front_axle": slack, "midway": slack, "at_rear_axle": slack, "ahead": 5 * slack,
	} {
		r, ok := got[place]
		if !ok || r.Kg != math.Floor(want) || r.Rating != "gvm" || r.State != tickets.CoupledSlack {
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
	f := found(t, placed(levered(plated(rate("atm", "", 3000), rate("download_min", "", 100), rate("download_max", "", 320)))))
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
	f := found(t, job)
	seen := map[string]bool{}
	places := map[string]*tickets.Place{
		"at_front_axle": at(tickets.OnVehicle, 0), "midway": at(tickets.OnVehicle, 1425), "at_rear_axle": at(tickets.OnVehicle, 2850),
		"at_axle": at(tickets.OnTrailer, 0), "ahead": at(tickets.OnTrailer, 1000), "behind": at(tickets.OnTrailer, -1000),
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

// onGroups is the lever law by hand: what a kilogram at a place puts on each group.
func onGroups(o *tickets.Outfit, p *tickets.Place, state tickets.State) map[tickets.Group]float64 {
	w, a, l, n := o.Wheelbase.Mm, o.RearAxleToCoupling.Mm, o.CouplingToTrailerAxle.Mm, o.NoseSupportToTrailerAxle.Mm
	switch {
	case p.On == tickets.OnVehicle && state != tickets.TrailerAlone:
		return map[tickets.Group]float64{tickets.Front: 1 - p.AtMm/w, tickets.Rear: p.AtMm / w}
	case p.On == tickets.OnTrailer && state == tickets.TrailerAlone:
		return map[tickets.Group]float64{tickets.Nose: p.AtMm / n, tickets.Trailer: 1 - p.AtMm/n}
	case p.On == tickets.OnTrailer && state != tickets.VehicleAlone:
		d := p.AtMm / l
		return map[tickets.Group]float64{tickets.Front: -a / w * d, tickets.Rear: (1 + a/w) * d, tickets.Trailer: 1 - d}
	}
	return nil
}

// keptWith holds every deciding check with a load added to its value; what is
// weighed keeps its u, an equal share its 6 %.
func keptWith(t *testing.T, job *tickets.Job, f *Findings, p *tickets.Place, kg float64) bool {
	t.Helper()
	add := func(c *Check, parts []derive.Part) float64 {
		sum := 0.0
		for _, part := range parts {
			sum += part.Factor * onGroups(&job.Outfit, p, part.State)[part.Support.Group] * derive.Fraction(&job.Outfit, part.Support)
		}
		return kg * sum
	}
	for _, c := range f.Deciding {
		limit := *c.Limit
		v, u := c.Found.Value, c.Found.U
		switch {
		case c.LimitKN.Valid:
			vehicle, axles := row(t, f, "gvm", "", tickets.CoupledSlack, ""), row(t, f, "gtm", "", tickets.CoupledSlack, "")
			v = dc(vehicle.Found.Value+add(c, vehicle.Parts), axles.Found.Value+add(c, axles.Parts))
		case c.Unequal > 0:
			_, own, _ := c.Quantity.Number()
			v += add(c, c.Parts)
			u = math.Hypot(own, 0.06*v)
		default:
			v += add(c, c.Parts)
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
	conflict.Readings = append(conflict.Readings, weigh(tickets.VehicleAlone, 2260, "vehicle"))
	if f := found(t, conflict); len(f.Headroom) != 0 {
		t.Errorf("readings in conflict: %+v", f.Headroom)
	}
	unweighed := rated(jobOf(alone()[:3]), rate("gvm", "", 3500), rate("axle", "front", 1500))
	if f := found(t, unweighed); len(f.Headroom) != 0 {
		t.Errorf("coupled not weighed: %+v", f.Headroom)
	}
	bare := rooms(found(t, plated(rate("axle", "rear", 2000), rate("atm", "", 3000))))
	if _, ok := bare["ahead"]; ok {
		t.Error("no lengths, and a load ahead of the trailer's axle is promised")
	}
	if _, ok := bare["at_rear_axle"]; !ok {
		t.Error("no lengths: a load over the rear axle is not answered")
	}
	for place, r := range rooms(found(t, levered(plated(rate("gvm", "", 2900), rate("atm", "", 3000))))) {
		if r.Kg != 0 || r.Rating != "gvm" {
			t.Errorf("gvm not kept, %s: %+v (want 0)", place, r)
		}
	}
	// A load behind the rear axle takes some off the front one, which is over all the same:
	// 1,150 kg against 600, and against 1,120, which a heavy enough load would keep.
	for _, limit := range []float64{600, 1120} {
		job := levered(plated(rate("gvm", "", 3500), rate("axle", "front", limit)))
		job.Places = []tickets.Place{{Name: "tail", On: tickets.OnVehicle, HasAt: true, AtMm: 4500}}
		if r := rooms(found(t, job))["tail"]; r.Kg != 0 || r.Rating != "axle" || r.On != "front" {
			t.Errorf("front axle of %g not kept, at the tail: %+v (want 0)", limit, r)
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
	got := rooms(found(t, job))
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
	if _, ok := rooms(found(t, job))["somewhere"]; ok {
		t.Error("a place without at is promised room over an axle")
	}
}

// The same job gives the same findings, to the last bit.
func TestSameFindings(t *testing.T) {
	print := func() string {
		job := modified()
		job.Region = "eu"
		f := found(t, job)
		var b strings.Builder
		for i := range f.Checks {
			c := &f.Checks[i]
			fmt.Fprintln(&b, c.Rating, c.On, c.State, c.Set, c.Found, c.HeldOn, c.Parts)
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

// A metre behind the axle takes a fifth of itself off the download, L 5 m.
func TestHeadroomAMetreBehind(t *testing.T) {
	f := found(t, placed(levered(plated(rate("download_min", "", 100)))))
	c := row(t, f, "download_min", "", noState, "")
	want := math.Floor(5 * (c.Found.Value - 2*c.Found.U - 100))
	if r := rooms(f)["behind"]; math.Abs(r.Kg-want) > 1e-6 {
		t.Errorf("%+v (want %g)", r, want)
	}
}

// A place that holds more than it may has no room.
func TestOverfullPlace(t *testing.T) {
	job := levered(plated(rate("gvm", "", 3500)))
	job.Places = []tickets.Place{{Name: "roof", On: tickets.OnVehicle, HasAt: true, AtMm: 1500, CapacityKg: decimal.NewNullDecimal(decimal.NewFromInt(20))}}
	job.Loads = []tickets.Load{{Name: "ladder", Kg: decimal.NewFromInt(30), UKg: 2, On: tickets.OnVehicle, Place: "roof"}}
	if r := rooms(found(t, job))["roof"]; r.Kg != 0 || r.Rating != "capacity" {
		t.Errorf("%+v (want 0 kg, its capacity)", r)
	}
}

// The room under a tyre's limit ends where value and U meet it, for whatever
// the uncertainties are stretched by: the whole kilogram that keeps it, and not
// one more. By hand: e + 2·stretch·√(4² + (0.06·e)²) ≤ 900 at e = 400 + kg/4.
func TestRoomOfAShareEndsAtTheLimit(t *testing.T) {
	for _, stretch := range []float64{1, 1.5, 3} {
		h := &checker{stretch: stretch, rule: Guarded}
		c := &Check{Found: &valueFound{Value: 400, U: stretch * math.Hypot(4, 0.06*400)}, Unequal: 0.06, LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(900))}
		kg := mostWhole(mostRoom, func(kg float64) bool { return h.keeps(c, 900, 0.25, kg) })
		at := func(kg float64) float64 {
			e := 400 + kg/4
			return e + 2*stretch*math.Hypot(4, 0.06*e)
		}
		if at(kg) > 900+1e-5 || at(kg+1) <= 900 || kg <= 0 {
			t.Errorf("stretched by %g: %g kg more end at %g, one more at %g", stretch, kg, at(kg), at(kg+1))
		}
	}
}

// A division finds the same room as trying by halves, over random checks, places and
// rules: kept or not, near the limit or far, of a kilogram that adds much, little or
// nothing to the load, or takes some off.
func TestRoomAsByHalves(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	of := map[string]int{}
	for range 20_000 {
		h := &checker{stretch: 1, rule: []rule{Guarded, simple}[rng.IntN(2)]}
		limit, u := portable.Kg(1000*rng.Float64()), portable.Kg(0.1+20*rng.Float64())
		c := &Check{Limit: &limit, Lower: rng.IntN(2) == 0}
		left := []float64{5, 300, 3000}[rng.IntN(3)] * (rng.Float64() - 0.3)
		if c.Floor = c.Lower && rng.IntN(4) == 0; c.Floor {
			limit = 0
		}
		if c.Lower {
			left = -left
		}
		value := portable.Kg(limit - left)
		margin := limit - value
		if c.Lower {
			margin = -margin
		}
		c.Found = &valueFound{Value: value, U: u, Margin: portable.Kg(margin)}
		perKg := []float64{1, 0.5, 0.2, 1e-2, 1e-4, 0}[rng.IntN(6)] * (rng.Float64() - 0.4)
		enough := []float64{0, 1, 100, 4000, mostRoom}[rng.IntN(5)]
		want := mostWhole(enough, func(kg float64) bool { return h.keeps(c, limit, perKg, kg) })
		if got := h.roomUnder(&bound{Check: c, kept: h.keeps(c, limit, 0, 0)}, perKg, enough); got != want {
			t.Fatalf("%s, lower %v, floor %v, limit %g, %+v, %g a kg, enough %g: %g (want %g)", h.rule, c.Lower, c.Floor, limit, *c.Found, perKg, enough, got, want)
		}
		switch {
		case want == 0:
			of["none"]++
		case want < enough:
			of["some"]++
		default:
			of["enough"]++
		}
	}
	for _, how := range []string{"none", "some", "enough"} {
		if of[how] < 1000 {
			t.Errorf("%d cases with %s room", of[how], how)
		}
	}
}
