package limits

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// allUsual is a line for every usual rating of a region, kept with room.
func allUsual() []tickets.Rating {
	return []tickets.Rating{
		rate("gvm", "", 3500), rate("gcm", "", 6200), rate("atm", "", 3000), rate("axle", "front", 1500),
		rate("axle", "rear", 2100), rate("gtm", "", 2800), rate("towing", "", 3500), rate("download_max", "", 350),
	}
}

func au(lines ...tickets.Rating) *tickets.Job {
	job := plated(lines...)
	job.Region, job.Outfit.TrailerBrakes = "au", "driver"
	return job
}

// change replaces the line of a rating and on.
func change(lines []tickets.Rating, word, on string, by tickets.Rating) []tickets.Rating {
	for i := range lines {
		if lines[i].Word == word && lines[i].On == on {
			lines[i] = by
		}
	}
	return lines
}

func TestJobVerdicts(t *testing.T) {
	torn := au(allUsual()...)
	torn.Readings = append(torn.Readings, weigh(tickets.VehicleAlone, 2260, "vehicle"))
	torn.Ratings = change(torn.Ratings, "gvm", "", rate("gvm", "", 100))
	noTrailer := au(allUsual()...)
	noTrailer.Readings = noTrailer.Readings[:3]
	for _, c := range []struct {
		name string
		job  *tickets.Job
		want Verdict
	}{
		{"all kept", au(allUsual()...), Within},
		{"gvm 2,900 for 3,010", au(change(allUsual(), "gvm", "", rate("gvm", "", 2900))...), Over},
		{"download 250 for 250", au(change(allUsual(), "download_max", "", rate("download_max", "", 250))...), Unsettled},
		{"no gcm line", au(allUsual()[:1]...), incomplete},
		{"gcm none", au(change(allUsual(), "gcm", "", none("gcm", ""))...), Within},
		{"no rating", au(), incomplete},
		{"nothing but none", rated(plated(), none("gvm", ""), none("atm", ""), none("axle", "front"), none("axle", "rear"), none("download_max", "")), incomplete},
		{"over before incomplete", au(rate("gvm", "", 2900)), Over},
		{"over before unsettled", au(rate("gvm", "", 2900), rate("download_max", "", 250)), Over},
		{"conflict before over", torn, conflict},
		{"trailer not weighed", noTrailer, incomplete},
	} {
		if got := found(t, c.job).Verdict; got != c.want {
			t.Errorf("%s: %s (want %s)", c.name, got, c.want)
		}
	}
}

// A rating counts as given only where it holds as the outfit travels: each of
// these would pass for a load within its limit if it counted.
func TestNotGiven(t *testing.T) {
	later := func(r *tickets.Rating) {
		r.CertifiedOn, _ = tickets.ParseMoment("2026-04-01", "")
	}
	for _, c := range []struct {
		name string
		line tickets.Rating
		on   string
	}{
		{"superseded gvm", with(rate("gvm", "", 3500), func(r *tickets.Rating) { r.Replaced = true }), ""},
		{"superseded none", with(none("gvm", ""), func(r *tickets.Rating) { r.Replaced = true }), ""},
		{"gvm not yet in force", with(rate("gvm", "", 3500), later), ""},
		{"gvm of a set", with(rate("gvm", "", 3500), func(r *tickets.Rating) { r.Set = "springs" }), ""},
		{"none of a set", with(none("gvm", ""), func(r *tickets.Rating) { r.Set = "springs" }), ""},
		{"gvm alone only", with(rate("gvm", "", 3500), func(r *tickets.Rating) { r.When = "alone" }), ""},
		{"gvm tensioned only", with(rate("gvm", "", 3500), func(r *tickets.Rating) { r.When = "tensioned" }), ""},
		{"none tensioned only", with(none("gvm", ""), func(r *tickets.Rating) { r.When = "tensioned" }), ""},
		{"unbraked towing", with(rate("towing", "", 750), func(r *tickets.Rating) { r.Kind = "unbraked" }), ""},
		{"download tensioned only", with(rate("download_max", "", 350), func(r *tickets.Rating) { r.When = "tensioned" }), ""},
		{"one axle of two", rate("axle", "rear.1", 1300), "rear"},
	} {
		on := ""
		if c.line.Word == "axle" {
			on = "rear"
		}
		job := au(change(allUsual(), c.line.Word, on, c.line)...)
		job.Outfit.RearAxles = 2
		for i := range job.Readings {
			job.Readings[i].WeighedAt, _ = tickets.ParseMoment("2026-03-14 09:20", "")
		}
		f := found(t, job)
		want := regions.On{Rating: c.line.Word, On: c.on}
		if !slices.Equal(f.NotGiven, []regions.On{want}) || f.Verdict != incomplete {
			t.Errorf("%s: not given %q, %s (want %q, incomplete)", c.name, f.NotGiven, f.Verdict, want)
		}
	}
}

// spellKeys writes ratings as word and on.
func spellKeys(keys []regions.On) string {
	var words []string
	for _, k := range keys {
		words = append(words, strings.TrimSpace(k.Rating+" "+k.On))
	}
	return strings.Join(words, ", ")
}

// The usual ratings as the forms spell them: all eight of a region, five without.
func TestUsualRatings(t *testing.T) {
	regions := []string{"au", "nz", "uk", "eu", "us"}
	for _, r := range regions {
		job := plated()
		job.Region = r
		want := "gvm, gcm, atm, axle front, axle rear, axle trailer_or_gtm, towing, download_max"
		if got := spellKeys(found(t, job).NotGiven); got != want {
			t.Errorf("%s: not given %s (want %s)", r, got, want)
		}
	}
	drawbar := plated()
	drawbar.Region, drawbar.Outfit.Drawbar = "eu", true
	want := "gvm, gcm, atm, axle front, axle rear, axle trailer_or_gtm, towing"
	if got := spellKeys(Applies(drawbar).NotGiven); got != want {
		t.Errorf("a drawbar, whose coupling carries nothing: not given %s (want %s)", got, want)
	}
	want = "gvm, atm, axle front, axle rear, download_max"
	if got := spellKeys(found(t, plated()).NotGiven); got != want {
		t.Errorf("no region: not given %s (want %s)", got, want)
	}
	every := au(change(allUsual(), "gtm", "", rate("axle", "trailer", 2800))...)
	every.Outfit.RearAxles = 2
	every.Ratings = append(change(every.Ratings, "axle", "rear", rate("axle", "rear.1", 1300)), rate("axle", "rear.2", 1300))
	if got := found(t, every).NotGiven; len(got) != 0 {
		t.Errorf("every rear axle rated, and the trailer's: not given %q", got)
	}
}

// Of several upper limits on one quantity the lowest decides, of equal ones the
// first line; of several leasts the highest.
func TestWhichLimitGoverns(t *testing.T) {
	decides := func(f *Findings) (lines []int) {
		for _, c := range f.Deciding {
			if !c.Floor {
				lines = append(lines, c.Line.Line)
			}
		}
		return lines
	}
	for _, c := range []struct {
		name   string
		region string
		lines  []tickets.Rating
		want   []int
	}{
		{"gtm and axle trailer", "au", []tickets.Rating{rate("gtm", "", 2800), rate("axle", "trailer", 2700)}, []int{2, 3}},
		{"atm and towing", "au", []tickets.Rating{rate("atm", "", 3000), rate("towing", "", 2500)}, []int{2, 3}},
		{"two atm", "au", []tickets.Rating{rate("atm", "", 3000), rate("atm", "", 2900)}, []int{3}},
		{"two atm, equal", "au", []tickets.Rating{rate("atm", "", 3000), rate("atm", "", 3000)}, []int{2}},
		{"eu towing is not the atm", "eu", []tickets.Rating{rate("atm", "", 3000), rate("towing", "", 2500)}, []int{2, 3}},
		{"eu towing and gtm", "eu", []tickets.Rating{rate("gtm", "", 2600), rate("towing", "", 2500)}, []int{2, 3}},
		{"four downloads", "au", []tickets.Rating{rate("download_max", "vehicle", 350), rate("download_max", "towbar", 300), rate("download_max", "ball", 320), rate("download_max", "coupling", 300)}, []int{3}},
		{"least downloads", "au", []tickets.Rating{rate("download_min", "", 25), rate("download_min", "coupling", 50), rate("download_max", "", 350)}, []int{3, 4}},
		{"two d_values", "au", []tickets.Rating{with(dValue(20), func(r *tickets.Rating) { r.On = "towbar" }), with(dValue(17), func(r *tickets.Rating) { r.On = "coupling" })}, []int{3}},
		{"tyre and rim", "au", []tickets.Rating{with(rate("tyre", "front", 900), func(r *tickets.Rating) { r.Fitted = 2 }), with(rate("wheel", "front", 850), func(r *tickets.Rating) { r.Fitted = 2 })}, []int{2, 2, 3, 3}},
		{"gvm and axles", "au", []tickets.Rating{rate("gvm", "", 3500), rate("axle", "front", 1500), rate("axle", "rear", 2100)}, []int{2, 2, 3, 3, 4, 4}},
	} {
		job := plated(c.lines...)
		job.Region = c.region
		if got := decides(found(t, job)); !slices.Equal(got, c.want) {
			t.Errorf("%s: lines %v decide (want %v)", c.name, got, c.want)
		}
	}
}

// download_min is the only least: margin value − limit, p_over of not being kept.
func TestLeastDownload(t *testing.T) {
	f := found(t, plated(rate("download_min", "", 25), rate("download_min", "ball", 400), rate("download_min", "towbar", 250)))
	kept, not, near := row(t, f, "download_min", "", noState, ""), row(t, f, "download_min", "ball", noState, ""), row(t, f, "download_min", "towbar", noState, "")
	if kept.Verdict != Within || not.Verdict != Over || near.Verdict != Unsettled {
		t.Errorf("25: %s, 400: %s, 250: %s (want within, over, unsettled)", kept.Verdict, not.Verdict, near.Verdict)
	}
	if math.Abs(kept.Found.Margin-225) > 0.01 || math.Abs(not.Found.Margin+150) > 0.01 {
		t.Errorf("margins %g and %g (want 225 and −150)", kept.Found.Margin, not.Found.Margin)
	}
	if !(kept.Found.POver < 0.001) || !(not.Found.POver > 0.999) || math.Abs(near.Found.POver-0.5) > 1e-4 {
		t.Errorf("p_over %g, %g, %g (want about 0, 1 and 0.5)", kept.Found.POver, not.Found.POver, near.Found.POver)
	}
	if not.NeededKg != nil || near.NeededKg != nil {
		t.Error("a least download says what it would have to be")
	}
}

// A row's figures follow from value and u: margin, p_over, needed.
func TestRowFigures(t *testing.T) {
	job := plated(rate("axle", "rear", 1850))
	c := row(t, found(t, job), "axle", "rear", tickets.CoupledSlack, "")
	q := c.Quantity
	v, u, ok := q.Number()
	if !ok || !near(c.Found.Value, v) || !near(c.Found.U, u) {
		t.Fatalf("found %+v (want %g, %g)", c.Found, v, u)
	}
	if c.Found.Margin != portable.Kg(1850-v) || !near(c.Found.POver, pOver(v, u, 1850, false)) || c.Verdict != Unsettled {
		t.Errorf("found %+v, %s", c.Found, c.Verdict)
	}
	if c.NeededKg == nil || *c.NeededKg < v+2*u || *c.NeededKg-10 >= v+2*u || math.Mod(*c.NeededKg, 10) != 0 {
		t.Errorf("needed %v for %g + %g", c.NeededKg, v, 2*u)
	}
	if alone := row(t, found(t, job), "axle", "rear", tickets.VehicleAlone, ""); alone.Verdict != Within || alone.NeededKg != nil {
		t.Errorf("alone: %s, needed %v (want within, none)", alone.Verdict, alone.NeededKg)
	}
	if simple := row(t, foundBy(t, job, "simple"), "axle", "rear", tickets.CoupledSlack, ""); simple.Verdict != Over {
		t.Errorf("simple rule: %s (want over: 1860 > 1850)", simple.Verdict)
	}
	if other := foundBy(t, job, "other"); other.Rule != Guarded {
		t.Errorf("an unknown rule became %s (want guarded)", other.Rule)
	}
}

// Strained readings multiply u of every check by √(χ²/dof); quantities keep theirs.
func TestStrained(t *testing.T) {
	job := plated(rate("axle", "rear", 2000), rate("tyre", "rear", 1000))
	job.Ratings[1].Fitted = 2
	job.Readings[2].Kg = decimal.NewFromInt(2808)
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	a := s.Agreement
	if !a.Strained {
		t.Fatalf("the readings %s (want strained); p %g", a.Degree, a.P)
	}
	f := Find(job, s, Guarded)
	scaling := a.Scaling
	c := row(t, f, "axle", "rear", tickets.CoupledSlack, "")
	if _, u, _ := c.Quantity.Number(); !(scaling > 1) || math.Abs(c.Found.U-u*scaling) > 1e-6 {
		t.Errorf("u %g (want %g × %g)", c.Found.U, u, scaling)
	}
	tyre := row(t, f, "tyre", "rear", tickets.CoupledSlack, "")
	v, u, _ := tyre.Quantity.Number()
	if want := scaling * math.Hypot(u, 0.06*v); math.Abs(tyre.Found.U-want) > 2e-6 {
		t.Errorf("tyre u %g (want %g)", tyre.Found.U, want)
	}
}

func TestStatuses(t *testing.T) {
	certified := func(on string) func(*tickets.Rating) {
		return func(r *tickets.Rating) { r.CertifiedOn, _ = tickets.ParseMoment(on, "") }
	}
	lines := []tickets.Rating{
		rate("gvm", "", 3500), // no other line of it
		with(rate("gvm", "", 3600), func(r *tickets.Rating) { r.When = "coupled" }),
		with(rate("gvm", "", 3300), func(r *tickets.Rating) { r.Replaced = true }),
		none("gcm", ""),
		with(rate("towing", "", 3500), func(r *tickets.Rating) { r.Kind = "braked" }),
		with(rate("towing", "", 750), func(r *tickets.Rating) { r.Kind = "unbraked" }),
		with(none("towing", ""), func(r *tickets.Rating) { r.Kind = "unbraked" }),
		with(rate("atm", "", 3200), certified("2026-03-15")),
		with(rate("atm", "", 3000), certified("2026-03-14")),
		rate("download_max", "", 350), // displaced where the outfit travels tensioned
		with(rate("download_max", "", 300), func(r *tickets.Rating) { r.When = "tensioned" }),
		with(rate("gtm", "", 2900), func(r *tickets.Rating) { r.Set = "axles"; certified("2027-01-01")(r) }),
		rate("kerb", "vehicle", 2200),
	}
	job := rated(jobOf(alone(), slack(), tensioned()), lines...)
	travel(job, "tensioned")
	job.Region, job.Outfit.TrailerBrakes = "au", "overrun"
	for i := range job.Readings {
		job.Readings[i].WeighedAt, _ = tickets.ParseMoment("2026-03-14", "")
	}
	f := found(t, job)
	want := []status{held, held, replaced, saysNone, held, ofOtherKind, ofOtherKind, notInForce, held, displaced, held, held, held}
	if !slices.Equal(f.Status, want) {
		t.Errorf("statuses %v (want %v)", f.Status, want)
	}
	if n := f.NotInForce; len(n) != 1 || n[0] != &job.Ratings[7] {
		t.Errorf("not in force: %v (want the atm of the day after)", n)
	}
	// gvm: the blank line alone, the coupled line in both coupled states
	var gvm []string
	for i := range f.Checks {
		if c := &f.Checks[i]; c.Rating == "gvm" && c.Set == "" {
			gvm = append(gvm, c.LimitKg.Decimal.String()+" "+string(c.State))
		}
	}
	if got := strings.Join(gvm, ", "); got != "3500 vehicle_alone, 3600 coupled_slack, 3600 coupled_tensioned" {
		t.Errorf("gvm rows: %s", got)
	}
	for i := range f.Checks {
		if r := f.Checks[i].Line; f.Checks[i].Floor {
			continue
		} else if r.Replaced || r.None || r.LimitKg.Decimal.Equal(decimal.NewFromInt(3200)) || r.Kind == "unbraked" {
			t.Errorf("line %d makes a row", r.Line)
		}
	}
	// the other way of travelling: the blank download holds, the tensioned one never comes
	travel(job, "slack")
	if got := found(t, job).Status[9:11]; got[0] != held || got[1] != displaced {
		t.Errorf("travelling slack: download lines %v (want held, displaced)", got)
	}
}

// The last weighing is the latest of the used readings.
func TestLastDay(t *testing.T) {
	job := jobOf(alone())
	if got := lastDay(job); got != "" {
		t.Errorf("undated: %q", got)
	}
	for i, on := range []string{"2026-03-13 09:20", "2026-03-14 09:20", "2026-03-12", "2026-03-20"} {
		job.Readings[i].WeighedAt, _ = tickets.ParseMoment(on, "")
	}
	job.Readings[3].Used = false
	if got := lastDay(job); got != "2026-03-14" {
		t.Errorf("the last weighing was on %q (want 2026-03-14)", got)
	}
}

// Undated weighings put no certificate off; a line that says none for a state
// does not lift the limit that holds there.
func TestNothingLiftsALimitByAccident(t *testing.T) {
	dated := with(rate("gvm", "", 2900), func(r *tickets.Rating) {
		r.CertifiedOn, _ = tickets.ParseMoment("2030-01-01", "")
	})
	if f := found(t, plated(dated)); f.Status[0] != held || f.Verdict != Over {
		t.Errorf("undated weighings: %s, %s (want held, over)", f.Status[0], f.Verdict)
	}
	for _, change := range []func(*tickets.Rating){
		func(r *tickets.Rating) { r.None, r.LimitKg = true, decimal.NullDecimal{} },
		func(r *tickets.Rating) { r.Replaced = true },
	} {
		when := with(rate("gvm", "", 4000), func(r *tickets.Rating) { r.When = "coupled" })
		change(&when)
		if f := found(t, plated(rate("gvm", "", 2900), when)); f.Verdict != Over {
			t.Errorf("gvm 2,900 for 3,010 with a coupled line not in force: %s (want over)", f.Verdict)
		}
	}
}

// Each word of `when` lifts the blank line's limit in the states it names and
// in no other: 2,900 is over in every coupled state, 3,500 in none.
func TestWhen(t *testing.T) {
	for _, c := range []struct {
		when string
		want []string // verdict by state: alone, slack, tensioned
	}{
		{"alone", []string{"within 3500", "over 2900", "over 2900"}},
		{"coupled", []string{"within 2900", "within 3500", "within 3500"}},
		{"slack", []string{"within 2900", "within 3500", "over 2900"}},
		{"tensioned", []string{"within 2900", "over 2900", "within 3500"}},
	} {
		job := rated(jobOf(alone(), slack(), tensioned()), rate("gvm", "", 2900), with(rate("gvm", "", 3500), func(r *tickets.Rating) { r.When = c.when }))
		f := found(t, job)
		got := map[tickets.State]string{}
		for i := range f.Checks {
			got[f.Checks[i].State] += string(f.Checks[i].Verdict) + " " + f.Checks[i].LimitKg.Decimal.String()
		}
		for i, state := range threeStates {
			if got[state] != c.want[i] {
				t.Errorf("when %s, %s: %s (want %s)", c.when, state, got[state], c.want[i])
			}
		}
	}
}

func TestGivenAndCrossChecked(t *testing.T) {
	f := found(t, au(allUsual()...))
	// 8 lines, each of a word of its own: every one decides
	if f.Given != 8 || f.NotCrossChecked {
		t.Errorf("given %d, not cross-checked %v (want 8, false)", f.Given, f.NotCrossChecked)
	}
	// only three readings, nothing left over: a mistake would not show
	bare := rated(jobOf([]tickets.Reading{alone()[2], alone()[3], weigh(tickets.CoupledSlack, 2430, "trailer")}), allUsual()...)
	if f := found(t, bare); !f.NotCrossChecked {
		t.Error("untested readings pass for cross-checked")
	}
}

// The vehicle alone decides only where it is determined: not having weighed it
// leaves nothing open that the outfit travels with.
func TestVehicleAloneNotWeighed(t *testing.T) {
	f := found(t, rated(jobOf(slack()), rate("gvm", "", 3500)))
	if c := row(t, f, "gvm", "", tickets.VehicleAlone, ""); c.Verdict != notWeighed || c.Decides {
		t.Errorf("alone: %s, decides %v (want not_weighed, no)", c.Verdict, c.Decides)
	}
	if c := row(t, f, "gvm", "", tickets.CoupledSlack, ""); c.Verdict != Within || !c.Decides {
		t.Errorf("coupled: %s, decides %v", c.Verdict, c.Decides)
	}
	tense := rated(jobOf(alone(), slack()), rate("gvm", "", 3500))
	travel(tense, "tensioned")
	f = found(t, tense)
	if c := row(t, f, "gvm", "", tickets.CoupledTensioned, ""); c.Verdict != notWeighed || !c.Decides || f.Verdict != incomplete {
		t.Errorf("travels tensioned, weighed slack: %s, decides %v, job %s (want not_weighed, yes, incomplete)", c.Verdict, c.Decides, f.Verdict)
	}
}

// A trailer without brakes puts aside the towing lines of braked ones alone.
func TestLinesOfOtherBrakes(t *testing.T) {
	for _, c := range []struct {
		line tickets.Rating
		want status
	}{
		{with(rate("towing", "", 3500), func(r *tickets.Rating) { r.Kind = "braked" }), ofOtherKind},
		{with(rate("towing", "", 750), func(r *tickets.Rating) { r.Kind = "unbraked" }), held},
		{rate("towing", "", 750), held},
		{with(rate("tyre", "front", 900), func(r *tickets.Rating) { r.Kind, r.Fitted = "passenger", 2 }), held},
	} {
		job := plated(c.line)
		job.Outfit.TrailerBrakes = "none"
		if got := found(t, job).Status[0]; got != c.want {
			t.Errorf("%s %s: %s (want %s)", c.line.Word, c.line.Kind, got, c.want)
		}
	}
}

// A tyre whose load index is in no table has no limit, and takes no other's
// place: both lines decide, whichever comes first.
func TestUnknownLimitHidesNone(t *testing.T) {
	unknown, known := tyreIndex("front", 2, 999, 0), with(rate("tyre", "front", 900), func(r *tickets.Rating) { r.Fitted = 2 })
	for _, lines := range [][]tickets.Rating{{unknown, known}, {known, unknown}} {
		for _, c := range found(t, plated(lines...)).Checks {
			if c.State == tickets.CoupledSlack && !c.Decides {
				t.Errorf("line %d (limit %v) does not decide", c.Line.Line, c.LimitKg)
			}
			if weighed := c.Verdict != notWeighed; c.State == tickets.CoupledSlack && weighed != c.LimitKg.Valid {
				t.Errorf("line %d (limit %v) is %s", c.Line.Line, c.LimitKg, c.Verdict)
			}
		}
	}
}

// A line `none` for one axle gives nothing for the other.
func TestNoneOfOneAxle(t *testing.T) {
	f := found(t, au(change(change(allUsual(), "axle", "front", none("axle", "front")), "axle", "rear", none("gvm", ""))...))
	if !slices.Equal(f.NotGiven, []regions.On{{Rating: "axle", On: "rear"}}) {
		t.Errorf("not given: %v (want axle rear alone)", f.NotGiven)
	}
}

// A group with one axle is given by the rating of its axle 1.
func TestSingleAxleByItself(t *testing.T) {
	job := au(change(allUsual(), "axle", "rear", rate("axle", "rear.1", 2100))...)
	job.Outfit.RearAxles = 1
	if f := found(t, job); len(f.NotGiven) > 0 {
		t.Errorf("not given: %v", f.NotGiven)
	}
}

// What governs gives the verdict: a row that is over comes before one of a lesser margin
// that is unsettled, whichever is first; of two that are over the lesser margin governs.
func TestWhatGovernsGivesTheVerdict(t *testing.T) {
	row := func(v Verdict, margin float64) *Check { return &Check{Verdict: v, Found: &valueFound{Margin: margin}} }
	over, worse, unsettled := row(Over, -3), row(Over, -4), row(Unsettled, -9)
	f := &Findings{Verdict: Over}
	for _, c := range []struct {
		rows []*Check
		want *Check
	}{
		{[]*Check{over, unsettled}, over},
		{[]*Check{unsettled, over}, over},
		{[]*Check{worse, unsettled, over}, worse},
		{[]*Check{over, unsettled, worse}, worse},
	} {
		f.Deciding = c.rows
		if got := f.governing(); got != c.want {
			t.Errorf("of %v: %+v (want %+v)", c.rows, got.Found, c.want.Found)
		}
	}
}

// A line has a row in every state and set; the floor is a row apart.
func TestSameRow(t *testing.T) {
	line, other := &tickets.Rating{Line: 3}, &tickets.Rating{Line: 4}
	row := Check{Line: line, State: tickets.CoupledSlack}
	if same := row; !row.is(&same) {
		t.Error("a row is not itself")
	}
	for _, o := range []Check{
		{Line: other, State: tickets.CoupledSlack}, {Line: line, State: tickets.VehicleAlone}, {Line: line, State: tickets.CoupledSlack, Set: "upgrade"},
		{Floor: true, State: tickets.CoupledSlack},
	} {
		if row.is(&o) {
			t.Errorf("%+v is taken for %+v", o, row)
		}
	}
}
