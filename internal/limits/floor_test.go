package limits

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// floorOf is the floor's row; nil where there is none.
func floorOf(f *Findings) *Check {
	for i := range f.Checks {
		if f.Checks[i].Floor {
			return &f.Checks[i]
		}
	}
	return nil
}

// lifting is the fixture with another download, kg.
func lifting(d float64) *tickets.Job {
	return coupledAt(map[string]float64{"coupled front": 1260 - 0.44*d, "coupled rear": 1500 + 1.44*d, "coupled trailer": 2680 - d})
}

// The floor: D + U < 0 over, D < 0 ≤ D + U unsettled, else within; U is 23 kg
// here. The last row, of no line, no rating given; it decides.
func TestFloor(t *testing.T) {
	for d, want := range map[float64]Verdict{250: Within, 0.5: Within, -10: Unsettled, -60: Over} {
		f := mustHold(t, lifting(d))
		c := floorOf(f)
		if c == nil || c.Verdict != want || !c.Decides || c != &f.Checks[len(f.Checks)-1] || c.Line != nil || c.Rating != "download_min" {
			t.Fatalf("D %g: %+v (want %s, last, deciding)", d, c, want)
		}
		if math.Abs(c.Found.Value-d) > 1 || c.Found.Margin != c.Found.Value || c.NeededKg != nil || !slices.Equal(c.HeldOn, []string{"coupling"}) {
			t.Errorf("D %g: %+v on %v", d, c.Found, c.HeldOn)
		}
		if p := c.Found.POver; (want == Over) != (p > 0.97) || (want == Within && d > 100) != (p < 0.01) {
			t.Errorf("D %g: p_over %g", d, p)
		}
		if f.Given != 8 {
			t.Errorf("D %g: %d ratings given (want 8: the floor is none)", d, f.Given)
		}
	}
	// a least of the form and the floor decide both
	job := lifting(250)
	job.Ratings = append(job.Ratings, rate("download_min", "", 25))
	if c := row(t, mustHold(t, job), "download_min", "", noState, ""); !c.Decides || c.Floor {
		t.Errorf("the form's least: %+v", c)
	}
	if f := mustHold(t, job); !floorOf(f).Decides {
		t.Error("the form's least displaces the floor")
	}
	// simple rule: the value alone
	if c := floorOf(holdBy(t, lifting(-10), Simple)); c.Verdict != Over {
		t.Errorf("D −10, simple rule: %s (want over)", c.Verdict)
	}
	// none where D is not determined, or the drawbar is hinged
	drawbar := lifting(250)
	drawbar.Outfit.TrailerKind = tickets.Drawbar
	apart := rated(jobOf(alone()), allUsual()...)
	for name, job := range map[string]*tickets.Job{"drawbar": drawbar, "uncoupled alone": apart} {
		if c := floorOf(mustHold(t, job)); c != nil {
			t.Errorf("%s: %+v (want no floor)", name, c)
		}
	}
	// nothing but the floor decides: incomplete, with all given as none
	only := rated(lifting(250), none("gvm", ""), none("gcm", ""), none("atm", ""), none("axle", "front"), none("axle", "rear"), none("gtm", ""), none("towing", ""), none("download_max", ""))
	if f := mustHold(t, only); f.Verdict != jobIncomplete || f.UsualKnown != 0 || f.UsualAll != 8 {
		t.Errorf("nothing but the floor: %s, %d of %d known (want incomplete, 0 of 8)", f.Verdict, f.UsualKnown, f.UsualAll)
	}
}

// A tyre of a group of two axles or more on springs whose axles were not read
// apart carries u² = (u/n)² + (0.12·share)²; with a rocker beam, one axle, or the
// axles read apart, 0.06.
func TestUnequalAxles(t *testing.T) {
	job := func(axles int, suspension string, more ...tickets.Reading) *tickets.Job {
		j := plated(with(rate("tyre", "trailer", 900), func(r *tickets.Rating) { r.Fitted = 2 * axles }))
		j.Outfit.TrailerAxles, j.Outfit.Suspension = axles, suspension
		j.Readings = append(j.Readings, more...)
		return j
	}
	apart := []tickets.Reading{weigh(tickets.Coupled, tickets.Slack, 1250, "trailer.1"), weigh(tickets.Coupled, tickets.Slack, 1180, "trailer.2")}
	for _, c := range []struct {
		name string
		job  *tickets.Job
		part float64
	}{
		{"two axles on springs", job(2, "springs"), 0.12}, {"two axles, not said", job(2, ""), 0.12}, {"three axles", job(3, ""), 0.12},
		{"rocker beam", job(2, "rocker"), 0.06}, {"one axle", job(1, "springs"), 0.06}, {"axles read apart", job(2, "springs", apart...), 0.06},
	} {
		row := row(t, mustHold(t, c.job), "tyre", "trailer", derive.CoupledSlack, "")
		v, u, _ := row.Quantity.Number()
		if want := math.Hypot(u, c.part*v); math.Abs(row.Found.U-want) > 3e-6 || !slices.Contains(row.Assumed, EqualShare) {
			t.Errorf("%s: u %g (want %g), assumed %v", c.name, row.Found.U, want, row.Assumed)
		}
	}
	// the rear axles are on springs whatever the trailer has
	rear := plated(with(rate("tyre", "rear", 900), func(r *tickets.Rating) { r.Fitted = 4 }))
	rear.Outfit.RearAxles, rear.Outfit.Suspension = 2, "rocker"
	c := row(t, mustHold(t, rear), "tyre", "rear", derive.CoupledSlack, "")
	v, u, _ := c.Quantity.Number()
	if want := math.Hypot(u, 0.12*v); math.Abs(c.Found.U-want) > 3e-6 {
		t.Errorf("rear of two axles: u %g (want %g)", c.Found.U, want)
	}
}

// What nobody typed of the instruments behind a value, and of how the outfit
// travels, is said of the value and as a caution.
func TestAssumed(t *testing.T) {
	job := au(allUsual()...)
	if c := row(t, mustHold(t, job), "gvm", "", derive.CoupledSlack, ""); len(c.Assumed) != 0 {
		t.Errorf("everything typed: assumed %v", c.Assumed)
	}
	job.Scales[0].Typed = map[string]string{}
	job.Outfit.TravelsStated = false
	for i := range job.Readings {
		job.Readings[i].HitchStated = true
		job.Readings[i].IntervalAssumed = job.Readings[i].Setup == tickets.Coupled
	}
	f := mustHold(t, job)
	for _, c := range []struct {
		word  string
		state derive.State
		want  string
	}{
		{"gvm", derive.CoupledSlack, "scale_class deck interval travels"}, {"atm", noState, "scale_class deck interval"},
	} {
		if got := strings.Join(row(t, f, c.word, "", c.state, "").Assumed, " "); got != c.want {
			t.Errorf("%s %s: assumed %q (want %q)", c.word, c.state, got, c.want)
		}
	}
	var got []string
	for _, c := range f.Cautions {
		if c.Code == "assumed" {
			got = append(got, c.Args.Of)
		}
	}
	if want := "scale_class deck interval travels"; strings.Join(got, " ") != want {
		t.Errorf("cautions of %v (want %s)", got, want)
	}
}

// A support of less than nothing by more than U is a conflict: 2,980 on the
// front of 2,760. By moments it is none.
func TestImpossibleIsAConflict(t *testing.T) {
	f := mustHold(t, rated(jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, "", 2760, "vehicle"), weigh(tickets.VehicleAlone, "", 2980, "front")}), rate("gvm", "", 3500)))
	if f.Verdict != JobConflict || len(f.CannotBe) != 1 {
		t.Fatalf("%s, %+v (want conflict, one)", f.Verdict, f.CannotBe)
	}
	c := f.CannotBe[0]
	if c.Code != derive.Impossible || c.On != "rear" || c.State != derive.VehicleAlone || c.Line != 2 && c.Line != 3 || math.Abs(c.Kg+220) > 1 {
		t.Errorf("%+v (want rear, −220 kg)", c)
	}
}

// The rear axle over by at most 15 %, or the gross mass by at most the lower of
// 10 % and 100 kg, coupled, in the eu: the handbook may allow it. Loads coupled:
// rear 1,860, vehicle 3,010, each with U of about 23.
func TestAllowance(t *testing.T) {
	for _, c := range []struct {
		name   string
		line   tickets.Rating
		region tickets.Region
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
		if got := caution(mustHold(t, job), "eu_allowance"); got != c.want {
			t.Errorf("%s: %q (want %q)", c.name, got, c.want)
		}
	}
}

// A certificate in force gives the gross mass and the axles are below it: a
// caution in place of the question.
func TestAxlesBelowACertificate(t *testing.T) {
	line := with(rate("gvm", "", 3500), func(r *tickets.Rating) { r.Certificate = "ENG 4" })
	job := plated(line, rate("axle", "front", 1500), rate("axle", "rear", 1990))
	if got, want := caution(mustHold(t, job), "axles_below_certificate"), "line=3 kg=3490.00 limit_kg=3500.00"; got != want {
		t.Errorf("%q (want %q)", got, want)
	}
	job.Ratings[0].Certificate = ""
	if got := caution(mustHold(t, job), "axles_below_certificate"); got != "" {
		t.Errorf("without a certificate: %q", got)
	}
}

// A zero that did not return: front and rear coupled, and the vehicle alone, on
// one deck: all three too heavy by as much fits as well. With the vehicle's
// whole draft beside its axles it would show: the axles' sum is too heavy twice.
func TestZeroUnseen(t *testing.T) {
	each := []tickets.Reading{
		weigh(tickets.VehicleAlone, "", 1260, "front"), weigh(tickets.VehicleAlone, "", 1500, "rear"),
		weigh(tickets.Coupled, tickets.Slack, 1150, "front"), weigh(tickets.Coupled, tickets.Slack, 1860, "rear"),
		weigh(tickets.Coupled, tickets.Slack, 1150, "front"),
	}
	unseen := rated(jobOf(each), rate("gvm", "", 3500))
	s := mustSolve(t, unseen)
	if s.Agreement() != derive.Agree {
		t.Fatalf("the readings %s", s.Agreement())
	}
	if got := codes(mustHold(t, unseen)); !slices.Contains(got, "zero_unseen") {
		t.Errorf("cautions %v (want zero_unseen)", got)
	}
	seen := rated(jobOf(each, []tickets.Reading{weigh(tickets.VehicleAlone, "", 2760, "vehicle")}), rate("gvm", "", 3500))
	if got := codes(mustHold(t, seen)); slices.Contains(got, "zero_unseen") {
		t.Errorf("with the whole draft: cautions %v", got)
	}
	empty := rated(jobOf(each, []tickets.Reading{{OnDeck: "empty", Use: tickets.UseYes, IntervalKg: decimal.NewFromInt(20)}}), rate("gvm", "", 3500))
	if got := codes(mustHold(t, empty)); slices.Contains(got, "zero_unseen") {
		t.Errorf("with an empty deck read: cautions %v", got)
	}
}

// What 10 kg at each place add, by the lever law: w 2,850, a 1,250, L 5,000, n
// 4,500: over the coupling front −10·1250/2850 = −4.386, rear 14.386; at the
// nose 9 on the coupling, 1 on the axle.
func TestLevers(t *testing.T) {
	spellLever := func(l lever) string {
		words := []string{l.Place, string(l.On)}
		for _, v := range []*float64{l.FrontKg, l.RearKg, l.TrailerKg, l.DownloadKg} {
			if v == nil {
				words = append(words, "null")
			} else {
				words = append(words, fmt.Sprintf("%.3f", *v))
			}
		}
		return strings.Join(words, " ")
	}
	check := func(name string, job *tickets.Job, want []string) {
		t.Helper()
		var got []string
		for _, l := range mustHold(t, job).Levers {
			got = append(got, spellLever(l))
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s:\n%s\nwant:\n%s", name, strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	}
	check("all lengths", placed(levered(plated())), []string{
		"midway vehicle 5.000 5.000 0.000 0.000", "ahead trailer -0.877 2.877 8.000 2.000", "behind trailer 0.877 -2.877 12.000 -2.000",
		"at_front_axle vehicle 10.000 0.000 0.000 0.000", "at_rear_axle vehicle 0.000 10.000 0.000 0.000",
		"at_coupling vehicle -4.386 14.386 0.000 0.000", "at_coupling trailer -4.386 14.386 0.000 10.000",
		"at_nose trailer -3.947 12.947 1.000 9.000", "at_axle trailer 0.000 0.000 10.000 0.000",
	})
	drawbar := levered(plated())
	drawbar.Outfit.TrailerKind = tickets.Drawbar
	check("drawbar", drawbar, []string{
		"at_front_axle vehicle 10.000 0.000 0.000 0.000", "at_rear_axle vehicle 0.000 10.000 0.000 0.000",
		"at_coupling vehicle -4.386 14.386 0.000 0.000", "at_axle trailer 0.000 0.000 10.000 0.000",
	})
	bare := placed(plated())
	bare.Outfit.CouplingToTrailerAxle = known(5000)
	check("L alone", bare, []string{
		"midway vehicle null null 0.000 0.000", "ahead trailer null null 8.000 2.000", "behind trailer null null 12.000 -2.000",
		"at_front_axle vehicle 10.000 0.000 0.000 0.000", "at_rear_axle vehicle 0.000 10.000 0.000 0.000",
		"at_coupling trailer null null 0.000 10.000", "at_axle trailer 0.000 0.000 10.000 0.000",
	})
}
