package limits

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

func guideNamed(f *Findings, name string) *guide {
	for i := range f.Guides {
		if f.Guides[i].Guide == name {
			return &f.Guides[i]
		}
	}
	return nil
}

func codes(f *Findings) (all []string) {
	for _, c := range f.Cautions {
		all = append(all, c.Code)
	}
	return all
}

// caution writes a caution's line and arguments; blank where it is not there.
func cautionText(f *Findings, code string) string {
	for _, c := range f.Cautions {
		if c.Code == code {
			return spell(c.Line, c.Args)
		}
	}
	return ""
}

// spell writes line and arguments as key=value, masses to 0.01 kg.
func spell(line int, a Args) string {
	var words []string
	add := func(key, value string) {
		if value != "" {
			words = append(words, key+"="+value)
		}
	}
	number := func(key string, v *float64) {
		if v != nil {
			add(key, strconv.FormatFloat(*v, 'f', 2, 64))
		}
	}
	if line > 0 {
		add("line", strconv.Itoa(line))
	}
	add("rating", a.Rating)
	add("on", a.On)
	add("state", a.State)
	add("set", a.Set)
	add("other", a.Other)
	add("of", a.Of)
	add("column", a.Column)
	add("name", a.Name)
	add("typed", a.Typed)
	number("kg", a.Kg)
	number("limit_kg", a.LimitKg)
	number("value", a.Value)
	number("limit", a.Limit)
	if a.Number != nil {
		add("number", strconv.Itoa(*a.Number))
	}
	add("names", strings.Join(a.Names, "+"))
	for _, r := range a.Ratings {
		add("rating", strings.TrimSpace(r.Rating+" "+r.On))
	}
	return strings.Join(words, " ")
}

// The usual download by region (trade guidance, no rule behind it), and the
// fixture's 250/2680 = 9.33 % compared with it.
func TestDownloadShare(t *testing.T) {
	for _, c := range []struct {
		region    string
		low, high float64
		kept      bool
	}{{"au", 0.08, 0.15, true}, {"nz", 0.08, 0.15, true}, {"uk", 0.05, 0.07, false}, {"us", 0.10, 0.15, false}} {
		job := plated()
		job.Region = c.region
		f := found(t, job)
		g := guideNamed(f, "download_share")
		if g == nil || *g.Low != c.low || *g.High != c.high || *g.Kept != c.kept || math.Abs(*g.Value-250.0/2680) > 1e-4 || !(*g.U > 0) {
			t.Errorf("%s: %+v (want %g to %g, kept %v)", c.region, g, c.low, c.high, c.kept)
		}
		// above the upper guide is no caution, below the lower one is
		if below := slices.Contains(codes(f), "share_below_guide"); below != (c.region == "us") {
			t.Errorf("%s: caution of a small share %v", c.region, below)
		}
	}
	eu := plated()
	eu.Region = "eu"
	if g := guideNamed(found(t, eu), "download_share"); g != nil {
		t.Errorf("eu has a share guide: %+v", g)
	}
	if f := found(t, plated()); len(f.Guides) != 0 {
		t.Errorf("guides without a region: %+v", f.Guides)
	}
}

// Guides never decide: every guide broken, and the verdict stays.
func TestGuidesDecideNothing(t *testing.T) {
	job := au(allUsual()...)
	job.Outfit.TrailerBrakes, job.Outfit.TrailerAxles = "none", 2
	job.Ratings = append(job.Ratings, with(rate("tyre", "front", 700), func(r *tickets.Rating) { r.Fitted = 2 }))
	job.Ratings[6] = none("towing", "")
	job.Ratings = append(job.Ratings, rate("kerb", "vehicle", 2000))
	f := found(t, job)
	broken := 0
	for _, g := range f.Guides {
		if g.Kept != nil && !*g.Kept {
			broken++
		}
	}
	if broken != 3 || f.Verdict != Unsettled && f.Verdict != Within {
		t.Errorf("%d guides broken (want 3: brakes, towing default, tyres together), job %s: %+v", broken, f.Verdict, f.Guides)
	}
	for _, c := range f.Checks {
		if c.Verdict == Over {
			t.Errorf("%s is over", c.Rating)
		}
	}
}

// Trailer brakes by mass class (vehicle rules of each region, as tagged in the
// table): by the GTM rating in au, by the laden mass in nz, by the maximum mass in uk and eu.
func TestTrailerBrakes(t *testing.T) {
	for _, c := range []struct {
		name   string
		region string
		brakes string
		axles  int
		lines  []tickets.Rating
		most   float64
		value  float64
		kept   bool
	}{
		{"au unbraked, gtm 700", "au", "none", 1, []tickets.Rating{rate("gtm", "", 700)}, 750, 700, true},
		{"au unbraked, gtm 750, tandem", "au", "none", 2, []tickets.Rating{rate("gtm", "", 750)}, 750, 750, false},
		{"au unbraked, gtm 751", "au", "none", 1, []tickets.Rating{rate("gtm", "", 751)}, 750, 751, false},
		{"au over-run, gtm 2,000", "au", "overrun", 2, []tickets.Rating{rate("gtm", "", 2000), rate("atm", "", 2200)}, 2000, 2000, true},
		{"au over-run, axle 2,100", "au", "overrun", 2, []tickets.Rating{rate("axle", "trailer", 2100)}, 2000, 2100, false},
		{"au over-run, atm only", "au", "overrun", 2, []tickets.Rating{rate("atm", "", 1900)}, 2000, 1900, true},
		{"nz over-run, 2,680 laden", "nz", "overrun", 1, nil, 2500, 2680, false},
		{"uk over-run, 3,500", "uk", "overrun", 1, []tickets.Rating{rate("atm", "", 3500)}, 3500, 3500, true},
		{"uk unbraked, 800", "uk", "none", 1, []tickets.Rating{rate("atm", "", 800)}, 750, 800, false},
		{"eu unbraked, 750", "eu", "none", 1, []tickets.Rating{rate("atm", "", 750)}, 750, 750, true},
		{"eu over-run, 3,501", "eu", "overrun", 1, []tickets.Rating{rate("atm", "", 3501)}, 3500, 3501, false},
		{"us unbraked, 2,680 laden", "us", "none", 1, nil, 1360.77711, 2680, false},
	} {
		job := plated(c.lines...)
		job.Region, job.Outfit.TrailerBrakes, job.Outfit.TrailerAxles = c.region, c.brakes, c.axles
		f := found(t, job)
		g := guideNamed(f, "trailer_brakes")
		if g == nil || g.Kept == nil || *g.Kept != c.kept || *g.High != c.most || math.Abs(*g.Value-c.value) > 0.01 {
			t.Errorf("%s: %+v (want %g of %g, kept %v)", c.name, g, c.value, c.most, c.kept)
		}
		if said := slices.Contains(codes(f), "trailer_brakes"); said == c.kept {
			t.Errorf("%s: caution %v", c.name, said)
		}
	}
	driver := au()
	if g := guideNamed(found(t, driver), "trailer_brakes"); g != nil {
		t.Errorf("driver-operated brakes: %+v (want no guide)", g)
	}
	// nz: below 2,000 kg, not up to it
	at := plated()
	at.Region, at.Outfit.TrailerBrakes = "nz", "none"
	at.Readings = []tickets.Reading{weigh(tickets.TrailerAlone, 2000, "whole trailer")}
	if g := guideNamed(found(t, at), "trailer_brakes"); *g.Value < 2000 || *g.Kept {
		t.Errorf("nz, 2,000 kg unbraked: %+v (want not kept)", g)
	}
}

// What may be towed where no rating says: au 1.5 × unladen with brakes the driver
// operates, 1.0 × without (SA 2013 Sch. 1, NSW r 294-2); a rating takes its place.
func TestTowingDefaults(t *testing.T) {
	for _, c := range []struct {
		name   string
		region string
		brakes string
		lines  []tickets.Rating
		guide  string
		most   float64
		kept   bool
	}{
		{"au braked", "au", "driver", []tickets.Rating{rate("kerb", "vehicle", 2000)}, "towing_default", 3000, true},
		{"au over-run", "au", "overrun", []tickets.Rating{rate("kerb", "vehicle", 2000)}, "towing_default", 2000, false},
		{"au unbraked", "au", "none", []tickets.Rating{rate("kerb", "vehicle", 2000)}, "towing_default", 2000, false},
		{"au not said", "au", "", []tickets.Rating{rate("tare", "vehicle", 2000)}, "towing_default", 2000, false},
		{"au none found", "au", "driver", []tickets.Rating{none("towing", ""), rate("kerb", "vehicle", 2000)}, "towing_default", 3000, true},
		{"eu", "eu", "overrun", []tickets.Rating{rate("gvm", "", 3200)}, "towing_default", 3200, true},
		{"eu unbraked", "eu", "none", []tickets.Rating{rate("kerb", "vehicle", 1225)}, "towing_default", 650, false},
		{"eu unbraked, heavy vehicle", "eu", "none", []tickets.Rating{rate("kerb", "vehicle", 2225)}, "towing_default", 750, false},
		{"nz unbraked", "nz", "none", []tickets.Rating{rate("kerb", "vehicle", 2000)}, "unbraked_share", 1500, false},
		{"uk unbraked, rated", "uk", "none", []tickets.Rating{rate("kerb", "vehicle", 2000), rate("towing", "", 3500)}, "unbraked_share", 1000, false},
	} {
		job := plated(c.lines...)
		job.Region, job.Outfit.TrailerBrakes = c.region, c.brakes
		f := found(t, job)
		g := guideNamed(f, c.guide)
		if g == nil || g.High == nil || math.Abs(*g.High-c.most) > 1e-9 || *g.Kept != c.kept {
			t.Errorf("%s: %+v (want at most %g, kept %v)", c.name, g, c.most, c.kept)
		}
		if said := slices.Contains(codes(f), c.guide); said == c.kept {
			t.Errorf("%s: caution %v", c.name, said)
		}
	}
	rated := au(rate("kerb", "vehicle", 2000), with(rate("towing", "", 3500), func(r *tickets.Rating) { r.Kind = "braked" }))
	if g := guideNamed(found(t, rated), "towing_default"); g != nil {
		t.Errorf("a rating is given: %+v", g)
	}
	unknown := au()
	if g := guideNamed(found(t, unknown), "towing_default"); g == nil || g.High != nil || g.Kept != nil {
		t.Errorf("no kerb mass: %+v (want a guide without a bound)", g)
	}
}

// The trailer by the vehicle, 2680/2760, with the covariance that one scale
// gives both: numerical derivatives.
func TestTrailerToVehicle(t *testing.T) {
	job := au()
	s := mustSolve(t, job)
	a, b := groupLoads(1, tickets.TrailerAlone, tickets.Trailer, tickets.Nose), groupLoads(1, tickets.VehicleAlone, tickets.Front, tickets.Rear)
	x, ux, _ := s.Sum(a...).Number()
	y, uy, _ := s.Sum(b...).Number()
	const h = 1e-3
	dx, dy := 1/y, (x/(y+h)-x/(y-h))/(2*h)
	u := math.Sqrt(dx*dx*ux*ux + dy*dy*uy*uy + 2*dx*dy*covariance(s, a, b))
	g := guideNamed(Find(job, s, Guarded), "trailer_to_vehicle")
	if math.Abs(*g.Value-2680.0/2760) > 1e-6 || math.Abs(*g.U-u) > 1e-9 || !*g.Kept {
		t.Errorf("%+v, u %g (want %g, u %g)", *g.Value, *g.U, x/y, u)
	}
	if math.Abs(covariance(s, a, b)) < 1 {
		t.Error("the two do not covary, so that nothing was tested")
	}
}

// A guide without a value says so, and is neither kept nor broken.
func TestGuideWithoutValue(t *testing.T) {
	job := plated()
	job.Region, job.Readings = "eu", alone()[:3]
	f := found(t, job)
	for _, g := range f.Guides {
		if g.Kept != nil || g.Value != nil {
			t.Errorf("%s: %+v without a trailer weighed", g.Guide, g)
		}
	}
	if len(f.Cautions) != 0 {
		t.Errorf("cautions: %v", f.Cautions)
	}
	if s := mustSolve(t, job); s.Sum(groupLoads(1, tickets.TrailerAlone, tickets.Trailer)...).Determined {
		t.Error("the trailer has a load")
	}
}

// TestAxlesNotStated: blank counts of axles make the ties of a download by
// moments, and a gauge, more certain than two axles are; with the axles counted,
// or the download weighed otherwise, nothing is said.
func TestAxlesNotStated(t *testing.T) {
	byMoment := func(rear, trailer int) *tickets.Job {
		job := rated(jobOf(alone(), tensioned()))
		o := &job.Outfit
		o.Travels, o.RearAxles, o.TrailerAxles = tickets.CoupledTensioned, rear, trailer
		o.Wheelbase, o.RearAxleToCoupling = tickets.Length{Known: true, Mm: 2850}, tickets.Length{Known: true, Mm: 1250}
		o.CouplingToTrailerAxle = tickets.Length{Known: true, Mm: 5000}
		return job
	}
	gauged := rated(jobOf(alone(), []tickets.Reading{{State: tickets.TrailerAlone, Kg: decimal.NewFromInt(250), IntervalKg: decimal.NewFromInt(20),
		Terms: []tickets.Term{{Group: tickets.Coupling}}, OnDeck: "coupling", Used: true}}))
	for _, c := range []struct {
		job  *tickets.Job
		want string
	}{
		{byMoment(0, 0), "names=rear_axles+trailer_axles"},
		{byMoment(1, 0), "names=trailer_axles"},
		{byMoment(0, 2), "names=rear_axles"},
		{byMoment(1, 2), ""},
		{gauged, "names=trailer_axles"},
		{plated(), ""},
	} {
		if got := cautionText(found(t, c.job), "axles_not_stated"); !strings.HasPrefix(got, c.want) || c.want == "" && got != "" {
			t.Errorf("caution %q (want %q)", got, c.want)
		}
	}
}

// Where nothing keeps a class, or a tyre, from its bound it is kept: a rating
// has no U, four tyres of 450 kg are 1,800 together, 750 kg is up to 750.
func TestGuidesAtTheirBounds(t *testing.T) {
	job := plated(rate("atm", "", 750), rate("axle", "rear", 1800), with(rate("tyre", "rear", 450), func(r *tickets.Rating) { r.Fitted = 4 }))
	job.Region, job.Outfit.TrailerBrakes = "uk", "none"
	f := found(t, job)
	for name, want := range map[string]float64{"trailer_brakes": 750, "tyres_together": 1800} {
		if g := guideNamed(f, name); g == nil || g.Value == nil || *g.Value != want || g.U != nil || !*g.Kept {
			t.Errorf("%s: %+v (want %g, kept, without U)", name, g, want)
		}
	}
	job.Outfit.TrailerBrakes = ""
	if slices.Contains(codes(found(t, job)), "brakes_not_stated") {
		t.Error("750 kg is cautioned as above 750")
	}
}

// A value that is exact has no U.
func TestGuideOfAnExactValue(t *testing.T) {
	if g := bounded("tyres_together rear", 1400, 0, true, nil, nil, "by hand"); g.U != nil || *g.Value != 1400 {
		t.Errorf("%+v (want 1400 without U)", g)
	}
}

// TestLeastOnTheRoad: 4 % of 600 kg is 24 kg (commentary on a driving-theory
// question, Germany); the rest by hand from StVZO § 44(3).
func TestLeastOnTheRoad(t *testing.T) {
	for _, c := range []struct{ trailer, want float64 }{{600, 24}, {625, 25}, {3500, 25}, {3501, 140.04}, {20000, 500}} {
		if got := leastOnTheRoad(regions.Of("eu"), c.trailer); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("least download of %v kg: %v, want %v", c.trailer, got, c.want)
		}
	}
}

// TestLeastDownloadWhereItIsAsked: only a region that states a least download
// compares it, and only of a trailer that rests on the coupling at all times.
func TestLeastDownloadWhereItIsAsked(t *testing.T) {
	for _, c := range []struct {
		region string
		kind   string
		want   bool
	}{{"eu", "", true}, {"eu", "semi", false}, {"eu", "drawbar", false}, {"au", "", false}, {"", "", false}} {
		job := plated()
		job.Region, job.Outfit.Semi, job.Outfit.Drawbar = c.region, c.kind == "semi", c.kind == "drawbar"
		if got := guideNamed(found(t, job), "minimum_download") != nil; got != c.want {
			t.Errorf("region %q, trailer %q: guide %v (want %v)", c.region, c.kind, got, c.want)
		}
	}
}
