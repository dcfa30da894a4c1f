package limits

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// sided is the fixture with the rear axle's sides read separately, coupled: 980 left
// and 880 right of 1,860.
func sided(lines ...tickets.Rating) *tickets.Job {
	job := plated(lines...)
	job.Readings = append(job.Readings,
		weigh(tickets.CoupledSlack, 980, "rear.left"),
		weigh(tickets.CoupledSlack, 880, "rear.right"))
	job.Outfit.RearAxles = 1
	return job
}

// Where the sides are solved a tyre is compared by its side's load, the heavier
// one; where they are not, in another state, by an equal share.
func TestTyreBySide(t *testing.T) {
	f := found(t, sided(with(rate("tyre", "rear", 1100), func(r *tickets.Rating) { r.Fitted = 2 })))
	c := row(t, f, "tyre", "rear", tickets.CoupledSlack, "")
	if c.Found == nil || math.Abs(c.Found.Value-980) > 0.01 || len(c.Assumed) > 0 || !slices.Equal(c.HeldOn, []string{"rear.left"}) {
		t.Errorf("coupled: %+v, assumed %q, %q (want 980 of rear.left, nothing assumed)", c.Found, c.Assumed, c.HeldOn)
	}
	if _, u, _ := c.Quantity.Number(); !near(c.Found.U, u) {
		t.Errorf("coupled: u %g (want that of the side, %g)", c.Found.U, u)
	}
	a := row(t, f, "tyre", "rear", tickets.VehicleAlone, "")
	v, u, _ := a.Quantity.Number()
	if math.Abs(a.Found.Value-750) > 0.01 || !slices.Equal(a.Assumed, []string{equalShare}) || !slices.Equal(a.HeldOn, []string{"rear"}) || math.Abs(a.Found.U-math.Hypot(u, 0.06*v)) > 2e-6 {
		t.Errorf("alone: %+v, assumed %q (want 750, an equal share of rear by 2)", a.Found, a.Assumed)
	}
	if !a.Decides || !c.Decides {
		t.Error("a tyre row does not decide")
	}
}

// Dual tyres halve their side's load, which is solved: 980/2 with u/2, nothing
// assumed, and the dual index 118 (1,320 kg) is their limit.
func TestDualTyres(t *testing.T) {
	f := found(t, sided(tyreIndex("rear", 4, 121, 118)))
	c := row(t, f, "tyre", "rear", tickets.CoupledSlack, "")
	side, u, _ := mustSolve(t, sided()).Sum(derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: tickets.Term{Group: tickets.Rear, Side: tickets.Left}}).Number()
	if math.Abs(c.Found.Value-side/2) > 1e-6 || math.Abs(c.Found.U-u/2) > 1e-6 {
		t.Errorf("%+v (want %g, u %g)", c.Found, side/2, u/2)
	}
	if c.LimitKg.Decimal.String() != "1320" || len(c.Assumed) > 0 {
		t.Errorf("limit %s, %q, assumed %q", c.LimitKg.Decimal, c.HeldOn, c.Assumed)
	}
}

// Axles of a group read separately: the heavier axle's tyre; not so: an equal
// share of the group, and an axle rating is not weighed.
func TestTyresOfAGroup(t *testing.T) {
	four := with(rate("tyre", "trailer", 900), func(r *tickets.Rating) { r.Fitted = 4 })
	two := with(rate("tyre", "trailer.2", 900), func(r *tickets.Rating) { r.Fitted = 2 })
	job := plated(four, two, rate("axle", "trailer.1", 1400))
	job.Outfit.TrailerAxles = 2
	f := found(t, job)
	for _, on := range []string{"trailer", "trailer.2"} {
		c := row(t, f, "tyre", on, tickets.CoupledSlack, "")
		if math.Abs(c.Found.Value-2430.0/4) > 0.01 || !slices.Equal(c.Assumed, []string{equalShare}) || !slices.Equal(c.HeldOn, []string{"trailer"}) {
			t.Errorf("%s: %+v, assumed %q (want 607.5, a quarter of the trailer's axles)", on, c.Found, c.Assumed)
		}
	}
	if c := row(t, f, "axle", "trailer.1", tickets.CoupledSlack, ""); c.Verdict != notWeighed || !c.Decides || c.Found != nil || f.Verdict != incomplete {
		t.Errorf("axle trailer.1 not read separately: %s, decides %v, job %s", c.Verdict, c.Decides, f.Verdict)
	}
	job.Readings = append(job.Readings, weigh(tickets.CoupledSlack, 1300, "trailer.1"), weigh(tickets.CoupledSlack, 1130, "trailer.2"))
	f = found(t, job)
	if c := row(t, f, "tyre", "trailer", tickets.CoupledSlack, ""); math.Abs(c.Found.Value-650) > 0.01 || !slices.Equal(c.HeldOn, []string{"trailer.1"}) {
		t.Errorf("read separately: %+v, %q (want 650 of trailer.1)", c.Found, c.HeldOn)
	}
	if c := row(t, f, "tyre", "trailer.2", tickets.CoupledSlack, ""); math.Abs(c.Found.Value-565) > 0.01 {
		t.Errorf("trailer.2 read separately: %+v (want 565)", c.Found)
	}
	if c := row(t, f, "axle", "trailer.1", tickets.CoupledSlack, ""); c.Verdict != Within {
		t.Errorf("axle trailer.1 read separately: %s", c.Verdict)
	}
}

// One side read and nothing else of the axle: its own tyre has a load, the
// other has none, and the line is not weighed.
func TestOneSideOnly(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.CoupledSlack, 600, "rear.left")}),
		with(rate("tyre", "rear", 1100), func(r *tickets.Rating) { r.Fitted = 2 }),
		with(rate("tyre", "rear.left", 1100), func(r *tickets.Rating) { r.Fitted = 1 }))
	f := found(t, job)
	if c := row(t, f, "tyre", "rear", tickets.CoupledSlack, ""); c.Verdict != notWeighed || c.Found != nil || !c.Decides {
		t.Errorf("both sides: %s, %+v (want not_weighed)", c.Verdict, c.Found)
	}
	if c := row(t, f, "tyre", "rear.left", tickets.CoupledSlack, ""); c.Verdict != Within || math.Abs(c.Found.Value-600) > 0.01 {
		t.Errorf("left side: %s, %+v (want 600, within)", c.Verdict, c.Found)
	}
}

// The only axle of a group is the group, under either name.
func TestOnlyAxle(t *testing.T) {
	job := plated(rate("axle", "rear", 2100), rate("axle", "rear.1", 2000))
	job.Outfit.RearAxles = 1
	f := found(t, job)
	c := row(t, f, "axle", "rear.1", tickets.CoupledSlack, "")
	if c.Found == nil || math.Abs(c.Found.Value-1860) > 0.01 || !c.Decides {
		t.Errorf("rear.1: %+v, decides %v (want 1860, the lower limit decides)", c.Found, c.Decides)
	}
	if row(t, f, "axle", "rear", tickets.CoupledSlack, "").Decides {
		t.Error("rear decides too, with the higher limit on the same load")
	}
}

// Of several supports the one of least margin; one that is not determined
// before all.
func TestWorstTyre(t *testing.T) {
	at := func(v, u float64) corner { return corner{summed: summed{value: v, u: u, ok: true}} }
	for _, c := range []struct {
		name string
		a, b corner
		want bool
	}{
		{"heavier", at(790, 1), at(780, 1), true},
		{"lighter", at(780, 1), at(790, 1), false},
		{"vaguer, with more margin", at(785, 10), at(790, 1), false},
		{"not determined", corner{}, at(900, 1), true},
	} {
		if got := c.a.worse(&c.b); got != c.want {
			t.Errorf("%s: worse %v (want %v)", c.name, got, c.want)
		}
	}
}

// A line that does not say how many tyres are fitted is taken as one per end:
// fewer tyres carry more each, so that this lets nothing pass.
func TestFittedNotStated(t *testing.T) {
	job := plated(rate("tyre", "trailer", 900))
	job.Outfit.TrailerAxles = 2
	c := row(t, found(t, job), "tyre", "trailer", tickets.CoupledSlack, "")
	if math.Abs(c.Found.Value-607.5) > 0.01 || !slices.Contains(c.Assumed, fittedAssumed) {
		t.Errorf("%+v, assumed %q (want 607.5, said)", c.Found, c.Assumed)
	}
}

func mustSolve(t *testing.T, job *tickets.Job) *derive.Solution {
	t.Helper()
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Tyres of which nobody said how many are one an end: of 1,860 kg on two rear
// axles each carries a quarter, on one axle half.
func TestTyresOfARearTandem(t *testing.T) {
	for axles, want := range map[int]float64{1: 930, 2: 465} {
		job := plated(rate("tyre", "rear", 900))
		job.Outfit.RearAxles = axles
		if c := row(t, found(t, job), "tyre", "rear", tickets.CoupledSlack, ""); math.Abs(c.Found.Value-want) > 0.01 {
			t.Errorf("%d axles: %g kg (want %g)", axles, c.Found.Value, want)
		}
	}
}

// Around one side of an axle are the axle and the group's side, the smaller
// first: of three axles the axle (two ends), of one the side (one end). Of two axles
// both have two ends, and the axle, on which the tyre is, comes first.
func TestAroundATyre(t *testing.T) {
	for _, side := range []tickets.Side{tickets.Left, tickets.Right} {
		h := &checker{job: &tickets.Job{Outfit: tickets.Outfit{RearAxles: 1, TrailerAxles: 3}}}
		middle, only := tickets.Term{Group: tickets.Trailer, Axle: 2, Side: side}, tickets.Term{Group: tickets.Rear, Axle: 1, Side: side}
		for _, want := range [][]tickets.Term{
			{middle, {Group: tickets.Trailer, Axle: 2}, {Group: tickets.Trailer, Side: side}, {Group: tickets.Trailer}},
			{only, {Group: tickets.Rear, Side: side}, {Group: tickets.Rear, Axle: 1}, {Group: tickets.Rear}},
		} {
			if got := h.around(want[0]); !slices.Equal(got, want) {
				t.Errorf("around %v: %v (want %v)", want[0], got, want)
			}
		}
		h.job.Outfit.TrailerAxles = 2
		if got := h.around(middle); got[1] != (tickets.Term{Group: tickets.Trailer, Axle: 2}) {
			t.Errorf("around %v of two axles: %v (want the axle first)", middle, got)
		}
	}
}

// One tyre on one side is stated.
func TestOneFittedIsStated(t *testing.T) {
	for fitted, want := range map[int]bool{0: true, 1: false} {
		job := sided(with(rate("tyre", "rear.left", 1100), func(r *tickets.Rating) { r.Fitted = fitted }))
		assumed := row(t, found(t, job), "tyre", "rear.left", tickets.CoupledSlack, "").Assumed
		if got := slices.Contains(assumed, fittedAssumed); got != want {
			t.Errorf("%d fitted: %q", fitted, assumed)
		}
	}
}

// Of two tyres that carry the same the vaguer one is the worse.
func TestVaguerOfTwoAlike(t *testing.T) {
	a, b := corner{summed: summed{value: 700, u: 4, ok: true}}, corner{summed: summed{value: 700, u: 3, ok: true}}
	if !a.worse(&b) || b.worse(&a) || a.worse(&a) {
		t.Error("700 kg with u 4 and with u 3: the vaguer is not the worse alone")
	}
}

// A tyre of a group of two axles or more on springs whose axles were not read
// separately carries u² = (u/n)² + (0.12·share)²; with a rocker beam, one axle, or the
// axles read separately, 0.06.
func TestUnequalAxles(t *testing.T) {
	job := func(axles int, suspension string, more ...tickets.Reading) *tickets.Job {
		j := plated(with(rate("tyre", "trailer", 900), func(r *tickets.Rating) { r.Fitted = 2 * axles }))
		j.Outfit.TrailerAxles, j.Outfit.Suspension = axles, suspension
		j.Readings = append(j.Readings, more...)
		return j
	}
	byAxle := []tickets.Reading{weigh(tickets.CoupledSlack, 1250, "trailer.1"), weigh(tickets.CoupledSlack, 1180, "trailer.2")}
	for _, c := range []struct {
		name string
		job  *tickets.Job
		part float64
	}{
		{"two axles on springs", job(2, "springs"), 0.12}, {"two axles, not said", job(2, ""), 0.12}, {"three axles", job(3, ""), 0.12},
		{"rocker beam", job(2, "rocker"), 0.06}, {"one axle", job(1, "springs"), 0.06}, {"axles read separately", job(2, "springs", byAxle...), 0.06},
	} {
		row := row(t, found(t, c.job), "tyre", "trailer", tickets.CoupledSlack, "")
		v, u, _ := row.Quantity.Number()
		if want := math.Hypot(u, c.part*v); math.Abs(row.Found.U-want) > 3e-6 || !slices.Contains(row.Assumed, equalShare) {
			t.Errorf("%s: u %g (want %g), assumed %v", c.name, row.Found.U, want, row.Assumed)
		}
	}
	// the rear axles are on springs whatever the trailer has
	rear := plated(with(rate("tyre", "rear", 900), func(r *tickets.Rating) { r.Fitted = 4 }))
	rear.Outfit.RearAxles, rear.Outfit.Suspension = 2, "rocker"
	c := row(t, found(t, rear), "tyre", "rear", tickets.CoupledSlack, "")
	v, u, _ := c.Quantity.Number()
	if want := math.Hypot(u, 0.12*v); math.Abs(c.Found.U-want) > 3e-6 {
		t.Errorf("rear of two axles: u %g (want %g)", c.Found.U, want)
	}
}

// Where some of a group's axles were read apart, a tyre on another carries an
// equal share of what is left for those, not of the whole group.
func TestWhatIsLeftOfAGroup(t *testing.T) {
	weighed := func(kg float64, deck string) tickets.Reading {
		return weigh(tickets.CoupledSlack, kg, deck)
	}
	for _, c := range []struct {
		name     string
		tyres    string
		axles    int
		readings []tickets.Reading
		want     float64
		part     float64
		on       []string
	}{
		// (2,400 − 600)/4, two axles on springs that were not read apart
		{"the first of three", "trailer", 3, []tickets.Reading{weighed(600, "trailer.1"), weighed(2400, "trailer")}, 450, 0.12, []string{"trailer.2", "trailer.3"}},
		// the same for the tyres of one side, of which no side was read
		{"one side", "trailer.left", 3, []tickets.Reading{weighed(600, "trailer.1"), weighed(2400, "trailer")}, 450, 0.12, []string{"trailer.2", "trailer.3"}},
		// 1,700/4; the third carries 700
		{"the last of three", "trailer", 3, []tickets.Reading{weighed(700, "trailer.3"), weighed(2400, "trailer")}, 425, 0.12, []string{"trailer.1", "trailer.2"}},
		{"two and two", "trailer", 4, []tickets.Reading{weighed(2000, "trailer.1+trailer.2"), weighed(1600, "trailer.3+trailer.4")}, 500, 0.12, []string{"trailer.1", "trailer.2"}},
		// (2,400 − 400)/3
		{"one wheel of four", "trailer", 2, []tickets.Reading{weighed(400, "trailer.1.left"), weighed(2400, "trailer")}, 2000.0 / 3, 0.12,
			[]string{"trailer.1.right", "trailer.2.left", "trailer.2.right"}},
		// (6,000 − 400)/9, more supports than are tried in every combination
		{"one wheel of ten", "trailer", 5, []tickets.Reading{weighed(400, "trailer.1.left"), weighed(6000, "trailer")}, 5600.0 / 9, 0.12,
			[]string{"trailer.1.right", "trailer.2.left", "trailer.2.right", "trailer.3.left", "trailer.3.right", "trailer.4.left", "trailer.4.right", "trailer.5.left", "trailer.5.right"}},
		{"one axle of two", "trailer", 2, []tickets.Reading{weighed(1000, "trailer.1"), weighed(2400, "trailer")}, 700, 0.06, []string{"trailer.2"}},
	} {
		job := rated(jobOf(c.readings), with(rate("tyre", c.tyres, 900), func(r *tickets.Rating) {
			if r.Fitted = 2 * c.axles; r.On == "trailer.left" {
				r.Fitted = c.axles
			}
		}))
		job.Outfit.TrailerAxles = c.axles
		row := row(t, found(t, job), "tyre", c.tyres, tickets.CoupledSlack, "")
		if row.Found == nil || math.Abs(row.Found.Value-c.want) > 1e-3 || !slices.Equal(row.HeldOn, c.on) {
			t.Errorf("%s: %+v on %v (want %g on %v)", c.name, row.Found, row.HeldOn, c.want, c.on)
			continue
		}
		v, u, _ := row.Quantity.Number()
		if want := math.Hypot(u, c.part*v); math.Abs(row.Found.U-want) > 3e-6 {
			t.Errorf("%s: u %g (want %g)", c.name, row.Found.U, want)
		}
	}
}

// A group whose axles were read apart in one state was read apart (contract, section 3:
// what decides), also for a state in which only the group was read.
func TestReadApartInOneState(t *testing.T) {
	job := rated(jobOf(slack(), []tickets.Reading{
		weigh(tickets.CoupledTensioned, 1250, "trailer.1"), weigh(tickets.CoupledTensioned, 1205, "trailer.2"),
	}), with(rate("tyre", "trailer", 900), func(r *tickets.Rating) { r.Fitted = 4 }))
	travel(job, "tensioned")
	job.Outfit.TrailerAxles = 2
	for _, state := range []tickets.State{tickets.CoupledSlack, tickets.CoupledTensioned} {
		row := row(t, found(t, job), "tyre", "trailer", state, "")
		v, u, _ := row.Quantity.Number()
		if want := math.Hypot(u, 0.06*v); math.Abs(row.Found.U-want) > 3e-6 {
			t.Errorf("%s: u %g (want %g)", state, row.Found.U, want)
		}
	}
}

// A tyre that is unsettled, or over, decides its row before one with less margin
// and a milder verdict.
func TestGravestTyre(t *testing.T) {
	pads := func(first, both float64) *tickets.Job {
		job := rated(jobOf([]tickets.Reading{
			weigh(tickets.CoupledSlack, first, "trailer.1.left"), weigh(tickets.CoupledSlack, both, "trailer"),
		}), with(rate("tyre", "trailer", 700), func(r *tickets.Rating) { r.Fitted = 4 }))
		job.Outfit.TrailerAxles = 2
		return job
	}
	for _, c := range []struct {
		name    string
		job     *tickets.Job
		verdict Verdict
		value   float64
	}{
		// 660 ± 25 on the wheel that was read; 650 ± 156 on each of the three others
		{"unsettled before within", pads(660, 2610), Unsettled, 650},
		// 760 ± 25, and 780 ± 187
		{"over before unsettled", pads(760, 3100), Over, 760},
		// 660 ± 25, and 400 ± 96
		{"least margin of two within", pads(660, 1860), Within, 660},
	} {
		row := row(t, found(t, c.job), "tyre", "trailer", tickets.CoupledSlack, "")
		if row.Verdict != c.verdict || math.Abs(row.Found.Value-c.value) > 1e-3 {
			t.Errorf("%s: %s, %g kg on %v (want %s, %g kg)", c.name, row.Verdict, row.Found.Value, row.HeldOn, c.verdict, c.value)
		}
	}
}

// With more on board another tyre may be the worst: that of the least margin as
// weighed was read by itself, the others share to within a quarter.
func TestEveryTyreOfALine(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{
		weigh(tickets.CoupledSlack, 600, "trailer.1.left"), weigh(tickets.CoupledSlack, 2250, "trailer"),
	}), with(rate("tyre", "trailer", 700), func(r *tickets.Rating) { r.Fitted = 4 }))
	job.Outfit.TrailerAxles = 2
	job.Places = []tickets.Place{{Name: "floor", On: tickets.OnTrailer, HasAt: true}}
	job.Loads = []tickets.Load{{Name: "water", Kg: decimal.NewFromInt(20), UKg: 1, On: tickets.OnTrailer, Place: "floor", Most: mass(120)}}
	f := found(t, job)
	if row := row(t, f, "tyre", "trailer", tickets.CoupledSlack, ""); row.Verdict != Within || math.Abs(row.Found.Value-600) > 1e-3 {
		t.Fatalf("%s %+v (want within, the wheel of 600 kg)", row.Verdict, row.Found)
	}
	// 550·1.24 = 682 and (550 + 14.5)·1.24 = 700: 4·14.5 kg, a kilogram or two less for u of
	// the readings; the wheel that was read has room for some 300
	if r := rooms(f)["floor"]; r.Rating != "tyre" || r.Kg < 50 || r.Kg > 58 {
		t.Errorf("room %+v (want 50 to 58 kg)", r)
	}
	// (600 + 25) + 25 kg is within 700, and 575 ± 132 is not
	if c := tripRow(t, f, "tyre", "trailer"); f.Trip != Unsettled || math.Abs(c.Worst.Found.Value-575) > 1e-3 {
		t.Errorf("trip %s, %+v (want unsettled, 575 kg)", f.Trip, c.Worst.Found)
	}
}
