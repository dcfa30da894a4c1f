package limits

import (
	"fmt"
	"slices"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// drawn is a random job: some of the fixture's readings, a region, a way of
// travelling, and rating lines around the fixture's loads with every column.
func drawn(t *rapid.T) *tickets.Job {
	all := slices.Concat(alone(), slack(), tensioned())
	kept := slices.DeleteFunc(all, func(tickets.Reading) bool { return !rapid.Bool().Draw(t, "weighed") })
	job := rated(jobOf(kept), lines(t)...)
	job.Region = rapid.SampledFrom([]string{"au", "nz", "uk", "eu", "us"}).Draw(t, "region")
	travel(job, rapid.SampledFrom(waysToTravel).Draw(t, "travels"))
	job.Outfit.TrailerBrakes = rapid.SampledFrom([]string{"", "none", "overrun", "driver"}).Draw(t, "brakes")
	job.Outfit.RearAxles = rapid.IntRange(0, 2).Draw(t, "rear axles")
	job.Outfit.TrailerAxles = rapid.IntRange(0, 2).Draw(t, "trailer axles")
	if rapid.Bool().Draw(t, "lengths") {
		levered(job)
	}
	return job
}

func lines(t *rapid.T) (all []tickets.Rating) {
	words := []string{"gvm", "gcm", "atm", "gtm", "axle front", "axle rear", "axle trailer", "axle rear.1", "towing", "download_max", "download_min",
		"d_value", "tyre front", "tyre rear", "tyre trailer", "wheel rear", "kerb vehicle", "tare trailer"}
	for n := rapid.IntRange(0, 12).Draw(t, "lines"); n > 0; n-- {
		r := lineOf(rapid.SampledFrom(words).Draw(t, "rating"))
		if r.Word == "d_value" {
			r.LimitKN = decimal.NewNullDecimal(decimal.NewFromInt(int64(rapid.IntRange(10, 16).Draw(t, "kN"))))
		} else {
			r.LimitKg = decimal.NewNullDecimal(decimal.NewFromInt(int64(rapid.SampledFrom([]int{25, 240, 250, 300, 640, 1000, 1300, 1860, 2450, 2700, 3010, 3500, 6000}).Draw(t, "kg"))))
		}
		r.None, r.Replaced = rapid.IntRange(0, 9).Draw(t, "none") == 0, rapid.IntRange(0, 9).Draw(t, "replaced") == 0
		if r.None {
			r.LimitKg, r.LimitKN = decimal.NullDecimal{}, decimal.NullDecimal{}
		}
		r.When = rapid.SampledFrom([]string{"", "", "", "coupled", "slack", "tensioned"}).Draw(t, "when")
		r.Set = rapid.SampledFrom([]string{"", "", "", "springs"}).Draw(t, "set")
		r.Fitted = rapid.SampledFrom([]int{0, 2, 4}).Draw(t, "fitted")
		all = append(all, r)
	}
	return all
}

func heldOf(t *rapid.T, job *tickets.Job, rule string) *Findings {
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return Find(job, s, rule)
}

// Nothing that is not a number leaves the package, each row agrees with
// itself, and a job is within only where all that decides is.
func TestFindingsAreComplete(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := drawn(t)
		f := heldOf(t, job, rapid.SampledFrom([]string{Guarded, string(simple)}).Draw(t, "rule"))
		for i := range f.Checks {
			wholeRow(t, f, &f.Checks[i])
		}
		for _, g := range f.Guides {
			for _, v := range []*float64{g.Value, g.U, g.Low, g.High} {
				if v != nil && !finite(*v) {
					t.Fatalf("guide %+v", g)
				}
			}
		}
		for _, h := range f.Headroom {
			if !finite(h.Kg) || h.Kg < 0 || h.Rating == "" {
				t.Fatalf("headroom %+v", h)
			}
		}
		if f.Verdict == Within {
			within(t, job, f)
		}
	})
}

func wholeRow(t *rapid.T, f *Findings, c *Check) {
	if (c.Found == nil) != (c.Verdict == notWeighed) {
		t.Fatalf("%s: %s with %+v", c.Rating, c.Verdict, c.Found)
	}
	if len(c.HeldOn) == 0 && c.Found != nil || !c.Floor && (c.Line.None || c.Line.Replaced) || c.Decides && c.Set != "" {
		t.Fatalf("row %+v", c)
	}
	if c.Found == nil {
		return
	}
	if f := c.Found; !finite(f.Value) || !finite(f.U) || !finite(f.Margin) || !finite(f.POver) || c.Found.U <= 0 || c.Found.POver < 0 || c.Found.POver > 1 {
		t.Fatalf("%s: %+v", c.Rating, c.Found)
	}
	limit := *c.Limit
	if !c.Floor && judge(c.Found.Value, c.Found.U, limit, c.Lower, rule(f.Rule), c.LimitKN.Valid) != c.Verdict {
		t.Fatalf("%s: %s for %+v against %g", c.Rating, c.Verdict, c.Found, limit)
	}
	// within and over mean at least the odds that U = 2u promises (JCGM 106)
	if p := c.Found.POver; f.Rule == Guarded && (c.Verdict == Within && p > 0.02276 || c.Verdict == Over && p < 0.97724) {
		t.Fatalf("%s: %s with p %g", c.Rating, c.Verdict, p)
	}
}

// within asks what no job may be without: every usual rating compared as it
// travels, or said to be none, and kept wherever it decides.
func within(t *rapid.T, job *tickets.Job, f *Findings) {
	if len(f.NotGiven) > 0 || len(f.Deciding) == 0 {
		t.Fatalf("within, and not given %q, %d decide", f.NotGiven, len(f.Deciding))
	}
	now := job.Outfit.Travels
	for i := range f.Checks {
		c := &f.Checks[i]
		if c.Set == "" && (c.State == noState || c.State == now) && c.Verdict != Within {
			t.Fatalf("within, and %s %s (%s) is %s", c.Rating, c.On, c.State, c.Verdict)
		}
	}
}

// verdicts prints what decides, without the lines' order.
func decided(f *Findings) []string {
	var all []string
	for _, c := range f.Deciding {
		limit := *c.Limit
		all = append(all, fmt.Sprintf("%s %s %s %g %s", c.Rating, c.HeldOn, c.State, limit, c.Verdict))
	}
	slices.Sort(all)
	return append(all, string(f.Verdict))
}

// The order of the lines changes nothing that decides.
func TestOrderOfLines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := drawn(t)
		first := decided(heldOf(t, job, Guarded))
		job.Ratings = rapid.Permutation(job.Ratings).Draw(t, "order")
		if again := decided(heldOf(t, job, Guarded)); !slices.Equal(first, again) {
			t.Fatalf("%q\nreordered:\n%q", first, again)
		}
	})
}

// Plans change nothing in force: neither lines of a set nor loads of one.
func TestPlansChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		job := drawn(t)
		job.Loads = []tickets.Load{{Name: "tank", Kg: decimal.NewFromInt(300), UKg: 15, On: tickets.OnVehicle, Set: "water"}}
		with := decided(heldOf(t, job, Guarded))
		job.Loads = nil
		job.Ratings = slices.DeleteFunc(job.Ratings, func(r tickets.Rating) bool { return r.Set != "" })
		if without := decided(heldOf(t, job, Guarded)); !slices.Equal(with, without) {
			t.Fatalf("with plans %q\nwithout: %q", with, without)
		}
	})
}

// One more upper limit in force never makes a job better, and a lower one of
// the same rating never does either.
func TestMoreLimitsNeverBetter(t *testing.T) {
	worth := map[Verdict]int{Within: 0, incomplete: 0, Unsettled: 1, Over: 2, conflict: 3}
	rapid.Check(t, func(t *rapid.T) {
		job := drawn(t)
		before := heldOf(t, job, Guarded)
		more := lineOf(rapid.SampledFrom([]string{"gvm", "gcm", "atm", "gtm", "axle rear", "axle trailer", "towing", "download_max", "tyre rear"}).Draw(t, "more"))
		more.LimitKg = decimal.NewNullDecimal(decimal.NewFromInt(int64(rapid.IntRange(1, 4000).Draw(t, "kg"))))
		job.Ratings = append(job.Ratings, more)
		if after := heldOf(t, job, Guarded); worth[after.Verdict] < worth[before.Verdict] {
			t.Fatalf("%s, and with %s %s more %s", before.Verdict, more.Word, more.LimitKg.Decimal, after.Verdict)
		}
	})
}

// headroom shrinks by what is added: with the load on board, as much less fits.
func TestHeadroomShrinks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kg := float64(rapid.IntRange(1, 60).Draw(t, "kg"))
		limits := []tickets.Rating{rate("gvm", "", 3500), rate("axle", "rear", 2100), rate("gcm", "", 6000)}
		room := rooms(heldOf(t, plated(limits...), Guarded))["at_rear_axle"].Kg
		for i := range limits {
			limits[i].LimitKg.Decimal = limits[i].LimitKg.Decimal.Sub(decimal.NewFromFloat(kg))
		}
		if less := rooms(heldOf(t, plated(limits...), Guarded))["at_rear_axle"].Kg; room-less != kg || room <= 60 {
			t.Fatalf("%g fit, and with %g on board %g", room, kg, less)
		}
	})
}

// Every rating of the table can be the one that is over: all are generous, one
// is tight, and that one alone gives the verdict.
func TestEachRatingGoverns(t *testing.T) {
	tight := map[string]tickets.Rating{
		"gvm": rate("gvm", "", 2500), "gcm": rate("gcm", "", 5000), "atm": rate("atm", "", 2500), "gtm": rate("gtm", "", 2200),
		"axle front": rate("axle", "front", 1000), "axle rear": rate("axle", "rear", 1400), "axle trailer": rate("axle", "trailer", 2200),
		"towing": rate("towing", "", 2500), "download_max": rate("download_max", "", 150), "download_min": rate("download_min", "", 350),
		"d_value": dValue(12), "tyre trailer": tyreIndex("trailer", 4, 70, 0), "wheel rear": with(rate("wheel", "rear", 500), func(r *tickets.Rating) { r.Fitted = 2 }),
	}
	words := 0
	for _, region := range []string{"au", "nz", "uk", "eu", "us"} {
		for name, line := range tight {
			words++
			job := au(append(allUsual(), rate("download_min", "towbar", 25), dValue(30), line)...)
			job.Region = region
			if region == "eu" && name == "towing" {
				job.Ratings[len(job.Ratings)-1].LimitKg = decimal.NewNullDecimal(decimal.NewFromInt(2200))
			}
			job.Outfit.TrailerAxles = 2
			f := found(t, job)
			if f.Verdict != Over {
				t.Errorf("%s, %s tight: %s (want over)", region, name, f.Verdict)
			}
			for _, c := range f.Deciding {
				if over := c.Verdict == Over; over && c.Rating != line.Word {
					t.Errorf("%s, %s tight: %s %s is over", region, name, c.Rating, c.On)
				}
			}
		}
	}
	if words != 65 {
		t.Errorf("%d cases (want 65)", words)
	}
}
