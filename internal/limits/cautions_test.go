package limits

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// A download may be nothing within its U: half a kilogram either side of it.
func TestDownloadNotPositive(t *testing.T) {
	job := func(download float64) *tickets.Job {
		return jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, 2760, "vehicle"), weigh(tickets.CoupledSlack, 2760+download, "vehicle")})
	}
	_, u, _ := mustSolve(t, job(30)).Figures().Download.Number()
	for past, want := range map[float64]bool{-0.5: true, 0.5: false} {
		j := job(2*u + past)
		v, now, _ := mustSolve(t, j).Figures().Download.Number()
		if math.Abs(v-2*now-past) > 0.1 {
			t.Fatalf("%g, u %g: not half a kilogram from the end", v, now)
		}
		if said := slices.Contains(codes(found(t, j)), "download_not_positive"); said != want {
			t.Errorf("%g kg above U: cautioned %v (want %v)", past, said, want)
		}
	}
}

// Only a plate of the United Kingdom that says no train weight forbids to tow.
func TestNoTrainWeight(t *testing.T) {
	for _, c := range []struct {
		name   string
		region string
		line   tickets.Rating
		want   bool
	}{
		{"uk plate without", "uk", none("gcm", ""), true},
		{"au plate without", "au", none("gcm", ""), false},
		{"uk plate with", "uk", rate("gcm", "", 6000), false},
		{"uk, no towing", "uk", none("towing", ""), false},
		{"uk, planned", "uk", planned(none("gcm", "")), false},
	} {
		job := plated(c.line)
		job.Region = c.region
		if said := slices.Contains(codes(found(t, job)), "no_train_weight"); said != c.want {
			t.Errorf("%s: cautioned %v (want %v)", c.name, said, c.want)
		}
	}
}

// Only tyre lines in force are cautioned of: no rim, no plan, no old
// plate, and no single tyre that wants a dual index.
func TestTyreCautionsOfLinesInForce(t *testing.T) {
	wheel := with(rate("wheel", "rear", 900), func(r *tickets.Rating) { r.Fitted = 3 })
	for _, c := range []struct {
		name string
		line tickets.Rating
		want []string
	}{
		{"dual", tyreIndex("rear", 4, 112, 0), []string{"dual_index_missing"}},
		{"single", tyreIndex("rear", 2, 112, 0), nil},
		{"uneven", tyreIndex("rear", 3, 112, 110), []string{"tyres_uneven"}},
		{"uneven rims", wheel, nil},
		{"planned", planned(tyreIndex("rear", 4, 112, 0)), nil},
		{"replaced", with(tyreIndex("rear", 4, 112, 0), func(r *tickets.Rating) { r.Replaced = true }), nil},
	} {
		if got := codes(found(t, plated(c.line))); !slices.Equal(got, c.want) {
			t.Errorf("%s: cautions %q (want %q)", c.name, got, c.want)
		}
	}
}

// Tyres of the front axle twice on each end are doubted on lines in force:
// four on the front axle, not two, not four on the rear axle, none that are planned or replaced.
func TestDualFrontOfLinesInForce(t *testing.T) {
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
		if said := slices.Contains(codes(found(t, plated(c.line))), "front_dual"); said != c.want {
			t.Errorf("%s: cautioned %v (want %v)", c.name, said, c.want)
		}
	}
}

// A passenger tyre counts less in the us alone (49 CFR 571.120): on a trailer
// the limit says so, on the vehicle a caution does.
func TestPassengerTyres(t *testing.T) {
	for _, c := range []struct {
		region   string
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
		f := found(t, job)
		for _, code := range []string{"passenger_tyre", "tyre_kind_not_stated"} {
			if said := slices.Contains(codes(f), code); said != (code == c.caution) {
				t.Errorf("%s %q %s: %s %v (want %q)", c.region, c.kind, c.on, code, said, c.caution)
			}
		}
		if got := row(t, f, "tyre", c.on, tickets.CoupledSlack, "").LimitKg.Decimal.String(); (got != "1060") != c.words { // load index 110
			t.Errorf("%s %q %s: limit %s (its rating ÷ 1.10: %v)", c.region, c.kind, c.on, got, c.words)
		}
	}
}

// In New Zealand a trailer of 2,000 kg laden needs brakes, one below does not
// (Light-vehicle Brakes Rule 2002, as tagged in the table).
func TestBrakesFromAMass(t *testing.T) {
	for kg, want := range map[float64]bool{1990: false, 2000: true, 2010: true} {
		job := jobOf([]tickets.Reading{weigh(tickets.TrailerAlone, kg, "whole trailer")})
		job.Region = "nz"
		if said := slices.Contains(codes(found(t, job)), "brakes_not_stated"); said != want {
			t.Errorf("%g kg: cautioned %v (want %v)", kg, said, want)
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

// A class without a number of axles does not count them: in the United Kingdom
// 700 kg on two axles need no brakes, 800 kg do (as tagged in the table).
func TestBrakesWhateverTheAxles(t *testing.T) {
	for kg, want := range map[float64]bool{700: false, 800: true} {
		job := rated(jobOf([]tickets.Reading{weigh(tickets.TrailerAlone, 600, "whole trailer")}), rate("atm", "", kg))
		job.Region, job.Outfit.TrailerAxles = "uk", 2
		if said := slices.Contains(codes(found(t, job)), "brakes_not_stated"); said != want {
			t.Errorf("%g kg: cautioned %v (want %v)", kg, said, want)
		}
	}
}

// One tyre on each end of each axle is even.
func TestSingleTyresAreEven(t *testing.T) {
	for fitted, uneven := range map[int]bool{2: false, 4: false, 3: true, 1: true, 6: true} {
		job := plated(tyreIndex("rear", fitted, 110, 105))
		got := slices.ContainsFunc(found(t, job).Cautions, func(c caution) bool { return c.Code == "tyres_uneven" })
		if got != uneven {
			t.Errorf("%d tyres on one axle: uneven %v (want %v)", fitted, got, uneven)
		}
	}
}

// In Australia a trailer of up to 750 kg needs no brakes on a single axle (ADR 38).
func TestBrakesOfASingleAxle(t *testing.T) {
	for axles, wanted := range map[int]bool{1: false, 2: true} {
		job := rated(jobOf([]tickets.Reading{weigh(tickets.TrailerAlone, 600, "whole trailer")}), rate("atm", "", 700))
		job.Region, job.Outfit.TrailerAxles = "au", axles
		got := slices.ContainsFunc(found(t, job).Cautions, func(c caution) bool { return c.Code == "brakes_not_stated" })
		if got != wanted {
			t.Errorf("%d axles: cautioned %v (want %v)", axles, got, wanted)
		}
	}
}

// The rear axle over by at most 15 %, or the gross mass by at most the lower of
// 10 % and 100 kg, coupled, in the eu: the handbook may allow it. Loads coupled:
// rear 1,860, vehicle 3,010, each with U of about 23.
func TestAllowance(t *testing.T) {
	for _, c := range []struct {
		name   string
		line   tickets.Rating
		region string
		want   string
	}{
		{"rear 1,700: 9 % over", rate("axle", "rear", 1700), "eu", "line=2 rating=axle on=rear kg=160.00"},
		{"rear 1,600: 16 % over", rate("axle", "rear", 1600), "eu", ""},
		{"rear 1,700, au", rate("axle", "rear", 1700), "au", ""},
		{"rear 1,900, kept", rate("axle", "rear", 1900), "eu", ""},
		{"rear 1,700 of a towing line", with(rate("axle", "rear", 1700), func(r *tickets.Rating) { r.When = "coupled" }), "eu", ""},
		{"front 1,050", rate("axle", "front", 1050), "eu", ""},
		{"gvm 2,920: 90 over", rate("gvm", "", 2920), "eu", "line=2 rating=gvm kg=90.00"},
		{"gvm 2,900: 110 over", rate("gvm", "", 2900), "eu", ""},
	} {
		job := plated(c.line)
		job.Region = c.region
		if got := cautionText(found(t, job), "eu_allowance"); got != c.want {
			t.Errorf("%s: %q (want %q)", c.name, got, c.want)
		}
	}
}

// A certificate in force gives the gross mass and the axles are below it: a
// caution in place of the question.
func TestAxlesBelowACertificate(t *testing.T) {
	line := with(rate("gvm", "", 3500), func(r *tickets.Rating) { r.Certificate = "ENG 4" })
	job := plated(line, rate("axle", "front", 1500), rate("axle", "rear", 1990))
	if got, want := cautionText(found(t, job), "axles_below_certificate"), "line=3 kg=3490.00 limit_kg=3500.00"; got != want {
		t.Errorf("%q (want %q)", got, want)
	}
	job.Ratings[0].Certificate = ""
	if got := cautionText(found(t, job), "axles_below_certificate"); got != "" {
		t.Errorf("without a certificate: %q", got)
	}
}

// A zero that did not return: front and rear coupled, and the vehicle alone, on
// one deck: all three too heavy by as much fits as well. With the vehicle's
// whole draft as well as its axles it would show: the axles' sum is too heavy twice.
func TestZeroUnseen(t *testing.T) {
	each := []tickets.Reading{
		weigh(tickets.VehicleAlone, 1260, "front"), weigh(tickets.VehicleAlone, 1500, "rear"),
		weigh(tickets.CoupledSlack, 1150, "front"), weigh(tickets.CoupledSlack, 1860, "rear"),
		weigh(tickets.CoupledSlack, 1150, "front"),
	}
	unseen := rated(jobOf(each), rate("gvm", "", 3500))
	s := mustSolve(t, unseen)
	if s.Agreement.Degree != "agree" {
		t.Fatalf("the readings %s", s.Agreement.Degree)
	}
	if got := codes(found(t, unseen)); !slices.Contains(got, "zero_unseen") {
		t.Errorf("cautions %v (want zero_unseen)", got)
	}
	seen := rated(jobOf(each, []tickets.Reading{weigh(tickets.VehicleAlone, 2760, "vehicle")}), rate("gvm", "", 3500))
	if got := codes(found(t, seen)); slices.Contains(got, "zero_unseen") {
		t.Errorf("with the whole draft: cautions %v", got)
	}
	empty := rated(jobOf(each, []tickets.Reading{{OnDeck: "empty", Empty: true, Used: true, IntervalKg: decimal.NewFromInt(20)}}), rate("gvm", "", 3500))
	if got := codes(found(t, empty)); slices.Contains(got, "zero_unseen") {
		t.Errorf("with an empty deck read: cautions %v", got)
	}
}

// Each caution, the job that draws it and the words that must be in it.
func TestCautions(t *testing.T) {
	lifting := au()
	for i := range lifting.Readings { // the coupling carries nothing
		if r := &lifting.Readings[i]; r.State.Coupled() {
			r.Kg = decimal.NewFromInt(map[string]int64{"front": 1260, "rear": 1500, "trailer": 2680}[r.OnDeck])
		}
	}
	restored := rated(jobOf(alone(), slack(), []tickets.Reading{
		weigh(tickets.CoupledTensioned, 1330, "front"), weigh(tickets.CoupledTensioned, 1600, "rear"), weigh(tickets.CoupledTensioned, 2510, "trailer")}))
	heavy := plated()
	heavy.Region = "uk"
	heavy.Readings = []tickets.Reading{weigh(tickets.VehicleAlone, 1800, "vehicle"), weigh(tickets.TrailerAlone, 2000, "whole trailer")}
	plate := plated(none("gcm", ""))
	plate.Region = "uk"
	light := plated()
	light.Region = "eu"
	light.Readings = []tickets.Reading{weigh(tickets.TrailerAlone, 2000, "whole trailer"), weigh(tickets.CoupledSlack, 1990, "trailer")}
	us := plated(with(tyreIndex("trailer", 4, 108, 0), func(r *tickets.Rating) { r.Kind = "" }), with(tyreIndex("front", 2, 110, 0), func(r *tickets.Rating) { r.Kind = "passenger" }))
	us.Region, us.Outfit.TrailerAxles = "us", 2
	dual := plated(tyreIndex("rear", 4, 112, 0))
	dual.Outfit.RearAxles = 1
	uneven := plated(tyreIndex("trailer", 6, 112, 110))
	uneven.Outfit.TrailerAxles = 2
	frontDual := plated(tyreIndex("front", 4, 112, 110))
	brakes := au(rate("gtm", "", 2000))
	brakes.Outfit.TrailerBrakes = ""
	together := plated(rate("axle", "front", 1500), with(rate("tyre", "front", 700), func(r *tickets.Rating) { r.Fitted = 2 }))
	together.Region = "us"
	for _, c := range []struct {
		code  string
		job   *tickets.Job
		words []string
	}{
		{"download_not_positive", lifting, []string{"kg="}},
		{"over_restored", restored, []string{"kg="}},
		{"trailer_heavier", heavy, []string{"of=common_practice", "value=1.11", "limit=1.00"}},
		{"no_train_weight", plate, []string{"line=2"}},
		{"minimum_download", light, []string{"kg=10.00", "limit_kg=25.00", "of=stvzo_44_3"}},
		{"tyre_kind_not_stated", us, []string{"line=2 on=trailer"}},
		{"passenger_tyre", us, []string{"line=3 on=front"}},
		{"dual_index_missing", dual, []string{"line=2 on=rear"}},
		{"tyres_uneven", uneven, []string{"number=6"}},
		{"front_dual", frontDual, []string{"rating=tyre on=front number=4"}},
		{"brakes_not_stated", brakes, []string{"of=adr_38"}},
		{"tyres_together", together, []string{"on=front", "kg=1400.00 limit_kg=1500.00", "of=cfr_571_120"}},
		{"raised_alone", modified(), []string{"rating=gvm set=springs", "rating=axle front"}},
	} {
		if c.code == "raised_alone" { // the rear axle rises with it, the front one does not
			c.words = append(c.words, "rating=axle front")
		}
		text := cautionText(found(t, c.job), c.code)
		for _, w := range c.words {
			if !strings.Contains(text, w) {
				t.Errorf("%s: %q does not say %q", c.code, text, w)
			}
		}
	}
	quiet := au(allUsual()...)
	if got := codes(found(t, quiet)); len(got) != 0 {
		t.Errorf("cautions of a job without fault: %q", got)
	}
}

// The raised gross rating while others stay (common practice, no source): what
// stays is listed, what rises with it is not, and nothing is said where nothing rises.
func TestRaisedAlone(t *testing.T) {
	lines := func(more ...tickets.Rating) []tickets.Rating {
		return append([]tickets.Rating{
			rate("gvm", "", 3000), rate("gcm", "", 6000), rate("axle", "rear", 1900), rate("axle", "trailer", 2500), rate("atm", "", 2700),
			with(rate("tyre", "rear", 1000), func(r *tickets.Rating) { r.Fitted = 2 }),
		}, more...)
	}
	for _, c := range []struct {
		name string
		more []tickets.Rating
		want string
	}{
		{"gvm alone", []tickets.Rating{planned(rate("gvm", "", 3500))}, "rating=gvm set=springs rating=gcm rating=axle rear rating=tyre rear"},
		{"gvm and rear axle", []tickets.Rating{planned(rate("gvm", "", 3500)), planned(rate("axle", "rear", 2100))}, "rating=gvm set=springs rating=gcm rating=tyre rear"},
		{"gvm lowered", []tickets.Rating{planned(rate("gvm", "", 2900))}, ""},
		{"atm alone", []tickets.Rating{planned(rate("atm", "", 3000))}, "rating=atm set=springs rating=gcm rating=axle trailer"},
		{"a certificate in force", []tickets.Rating{with(rate("gvm", "", 2800), func(r *tickets.Rating) { r.Replaced = true })}, "rating=gvm rating=gcm rating=axle rear rating=tyre rear"},
		{"with its axle", []tickets.Rating{with(rate("gvm", "", 2800), func(r *tickets.Rating) { r.Replaced = true }), with(rate("axle", "rear", 1800), func(r *tickets.Rating) { r.Replaced = true })}, "rating=gvm rating=gcm rating=tyre rear"},
	} {
		if got := cautionText(found(t, plated(lines(c.more...)...)), "raised_alone"); got != c.want {
			t.Errorf("%s: %q (want %q)", c.name, got, c.want)
		}
	}
}

// TestOtherID: a ticket of another outfit, by its marks. Spaces, dashes and case
// do not make another one; a mark on a line without its unit says nothing.
func TestOtherID(t *testing.T) {
	for _, c := range []struct {
		outfit, reading, setup string
		want                   string
	}{
		{"DOME 1", "dome-1", "", ""},
		{"DOME 1", "", "", ""},
		{"", "KITE 7", "", ""},
		{"DOME 1", "KITE 7", "", "line=2 other=DOME 1 column=vehicle_id typed=KITE 7"},
		{"DOME 1", "KITE 7", "trailer_alone", ""},
	} {
		job := plated()
		job.Outfit.VehicleID = c.outfit
		at := 0
		if c.setup == "trailer_alone" {
			at = 3
		}
		job.Readings[at].VehicleID = c.reading
		if got := cautionText(found(t, job), "other_id"); got != c.want {
			t.Errorf("%+v: caution %q", c, got)
		}
	}
	between := plated()
	between.Readings[3].TrailerID, between.Readings[6].TrailerID = "DOME 2", "DOME 3"
	if got := cautionText(found(t, between), "other_id"); got != "line=8 other=DOME 2 column=trailer_id typed=DOME 3" {
		t.Errorf("two trailers: caution %q", got)
	}
}

// The hitch is called overdone only where front_restored exceeds front_lift by
// more than U: 5 kg more do not show.
func TestRestoredWithinU(t *testing.T) {
	job := rated(jobOf(alone(), slack(), []tickets.Reading{
		weigh(tickets.CoupledTensioned, 1265, "front"), weigh(tickets.CoupledTensioned, 1695, "rear"), weigh(tickets.CoupledTensioned, 2480, "trailer")}))
	if f := found(t, job); len(f.Cautions) != 0 {
		t.Errorf("cautions %v (want none)", f.Cautions)
	}
}

// A share of the trailer below the region's usual one: 100/2680 = 3.73 %.
func TestSmallShare(t *testing.T) {
	for region, want := range map[string]string{"au": "0.08", "uk": "0.05", "us": "0.10"} {
		job := plated()
		job.Region = region
		job.Readings = []tickets.Reading{weigh(tickets.TrailerAlone, 2680, "whole trailer"), weigh(tickets.CoupledSlack, 2580, "trailer")}
		text := cautionText(found(t, job), "share_below_guide")
		if text != "of=common_practice value=0.04 limit="+want {
			t.Errorf("%s: %q", region, text)
		}
	}
}
