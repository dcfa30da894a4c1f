package limits

import (
	"math"
	"slices"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// sided is the fixture with the rear axle's sides read apart, coupled: 980 left
// and 880 right of 1,860.
func sided(lines ...tickets.Rating) *tickets.Job {
	job := plated(lines...)
	job.Readings = append(job.Readings,
		weigh(tickets.Coupled, tickets.Slack, 980, "rear.left"),
		weigh(tickets.Coupled, tickets.Slack, 880, "rear.right"))
	job.Outfit.RearAxles = 1
	return job
}

// Where the sides are solved a tyre is held by its side's load, the heavier
// one; where they are not, in another state, by an equal share.
func TestTyreBySide(t *testing.T) {
	f := mustHold(t, sided(with(rate("tyre", "rear", 1100), func(r *tickets.Rating) { r.Fitted = 2 })))
	c := row(t, f, "tyre", "rear", derive.CoupledSlack, "")
	if c.Found == nil || math.Abs(c.Found.Value-980) > 0.01 || len(c.Assumed) > 0 || !slices.Equal(c.HeldOn, []string{"rear.left"}) {
		t.Errorf("coupled: %+v, assumed %q, %q (want 980 of rear.left, nothing assumed)", c.Found, c.Assumed, c.HeldOn)
	}
	if _, u, _ := c.Quantity.Number(); !near(c.Found.U, u) {
		t.Errorf("coupled: u %g (want that of the side, %g)", c.Found.U, u)
	}
	a := row(t, f, "tyre", "rear", derive.VehicleAlone, "")
	v, u, _ := a.Quantity.Number()
	if math.Abs(a.Found.Value-750) > 0.01 || !slices.Equal(a.Assumed, []string{EqualShare}) || !slices.Equal(a.HeldOn, []string{"rear"}) || math.Abs(a.Found.U-math.Hypot(u, 0.06*v)) > 2e-6 {
		t.Errorf("alone: %+v, assumed %q (want 750, an equal share of rear by 2)", a.Found, a.Assumed)
	}
	if !a.Decides || !c.Decides {
		t.Error("a tyre row does not decide")
	}
}

// Dual tyres halve their side's load, which is solved: 980/2 with u/2, nothing
// assumed, and the dual index 118 (1,320 kg) is their limit.
func TestDualTyres(t *testing.T) {
	f := mustHold(t, sided(tyreIndex("rear", 4, 121, 118)))
	c := row(t, f, "tyre", "rear", derive.CoupledSlack, "")
	side, u, _ := mustSolve(t, sided()).Load(derive.CoupledSlack, tickets.Term{Group: tickets.Rear, Side: tickets.Left}).Number()
	if math.Abs(c.Found.Value-side/2) > 1e-6 || math.Abs(c.Found.U-u/2) > 1e-6 {
		t.Errorf("%+v (want %g, u %g)", c.Found, side/2, u/2)
	}
	if c.LimitKg.Decimal.String() != "1320" || len(c.Assumed) > 0 {
		t.Errorf("limit %s, %q, assumed %q", c.LimitKg.Decimal, c.HeldOn, c.Assumed)
	}
}

// Axles of a group read apart: the heavier axle's tyre; not apart: an equal
// share of the group, and an axle rating is not weighed.
func TestTyresOfAGroup(t *testing.T) {
	four := with(rate("tyre", "trailer", 900), func(r *tickets.Rating) { r.Fitted = 4 })
	two := with(rate("tyre", "trailer.2", 900), func(r *tickets.Rating) { r.Fitted = 2 })
	job := plated(four, two, rate("axle", "trailer.1", 1400))
	job.Outfit.TrailerAxles = 2
	f := mustHold(t, job)
	for _, on := range []string{"trailer", "trailer.2"} {
		c := row(t, f, "tyre", on, derive.CoupledSlack, "")
		if math.Abs(c.Found.Value-2430.0/4) > 0.01 || !slices.Equal(c.Assumed, []string{EqualShare}) || !slices.Equal(c.HeldOn, []string{"trailer"}) {
			t.Errorf("%s: %+v, assumed %q (want 607.5, a quarter of the trailer's axles)", on, c.Found, c.Assumed)
		}
	}
	if c := row(t, f, "axle", "trailer.1", derive.CoupledSlack, ""); c.Verdict != NotWeighed || !c.Decides || c.Found != nil || f.Verdict != jobIncomplete {
		t.Errorf("axle trailer.1 not read apart: %s, decides %v, job %s", c.Verdict, c.Decides, f.Verdict)
	}
	job.Readings = append(job.Readings, weigh(tickets.Coupled, tickets.Slack, 1300, "trailer.1"), weigh(tickets.Coupled, tickets.Slack, 1130, "trailer.2"))
	f = mustHold(t, job)
	if c := row(t, f, "tyre", "trailer", derive.CoupledSlack, ""); math.Abs(c.Found.Value-650) > 0.01 || !slices.Equal(c.HeldOn, []string{"trailer.1"}) {
		t.Errorf("read apart: %+v, %q (want 650 of trailer.1)", c.Found, c.HeldOn)
	}
	if c := row(t, f, "tyre", "trailer.2", derive.CoupledSlack, ""); math.Abs(c.Found.Value-565) > 0.01 {
		t.Errorf("trailer.2 read apart: %+v (want 565)", c.Found)
	}
	if c := row(t, f, "axle", "trailer.1", derive.CoupledSlack, ""); c.Verdict != Within {
		t.Errorf("axle trailer.1 read apart: %s", c.Verdict)
	}
}

// One side read and nothing else of the axle: its own tyre has a load, the
// other has none, and the line is not weighed.
func TestOneSideOnly(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.Coupled, tickets.Slack, 600, "rear.left")}),
		with(rate("tyre", "rear", 1100), func(r *tickets.Rating) { r.Fitted = 2 }),
		with(rate("tyre", "rear.left", 1100), func(r *tickets.Rating) { r.Fitted = 1 }))
	f := mustHold(t, job)
	if c := row(t, f, "tyre", "rear", derive.CoupledSlack, ""); c.Verdict != NotWeighed || c.Found != nil || !c.Decides {
		t.Errorf("both sides: %s, %+v (want not_weighed)", c.Verdict, c.Found)
	}
	if c := row(t, f, "tyre", "rear.left", derive.CoupledSlack, ""); c.Verdict != Within || math.Abs(c.Found.Value-600) > 0.01 {
		t.Errorf("left side: %s, %+v (want 600, within)", c.Verdict, c.Found)
	}
}

// The only axle of a group is the group, under either name.
func TestOnlyAxle(t *testing.T) {
	job := plated(rate("axle", "rear", 2100), rate("axle", "rear.1", 2000))
	job.Outfit.RearAxles = 1
	f := mustHold(t, job)
	c := row(t, f, "axle", "rear.1", derive.CoupledSlack, "")
	if c.Found == nil || math.Abs(c.Found.Value-1860) > 0.01 || !c.Decides {
		t.Errorf("rear.1: %+v, decides %v (want 1860, the lower limit decides)", c.Found, c.Decides)
	}
	if row(t, f, "axle", "rear", derive.CoupledSlack, "").Decides {
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

// A line that does not say how many tyres are fitted is held as one an end:
// fewer tyres carry more each, so that this lets nothing pass.
func TestFittedNotStated(t *testing.T) {
	job := plated(rate("tyre", "trailer", 900))
	job.Outfit.TrailerAxles = 2
	c := row(t, mustHold(t, job), "tyre", "trailer", derive.CoupledSlack, "")
	if math.Abs(c.Found.Value-607.5) > 0.01 || !slices.Contains(c.Assumed, Fitted) {
		t.Errorf("%+v, assumed %q (want 607.5, said)", c.Found, c.Assumed)
	}
}

// The worked values of UN R55: T 3.2 t with R 3.0 t is 15.19 kN, with C 2.7 t
// 14.37 kN.
func TestDValue(t *testing.T) {
	for _, c := range []struct{ t, c, want float64 }{{3200, 3000, 15.19}, {3200, 2700, 14.37}} {
		if got := dc(c.t, c.c); math.Abs(got-c.want) > 0.005 {
			t.Errorf("Dc of %g and %g kg is %.3f kN (want %.2f)", c.t, c.c, got, c.want)
		}
	}
	job := plated(dValue(14))
	s := mustSolve(t, job)
	c := row(t, Find(job, s, Options{}), "d_value", "", noState, "")
	vehicle, axles := s.Total(derive.CoupledSlack, tickets.Front, tickets.Rear), s.Total(derive.CoupledSlack, tickets.Trailer)
	tv, tu, _ := vehicle.Number()
	cv, cu, _ := axles.Number()
	// numerical derivatives, one gram each way
	const h = 1e-3
	dT, dC := (dc(tv+h, cv)-dc(tv-h, cv))/(2*h), (dc(tv, cv+h)-dc(tv, cv-h))/(2*h)
	u := math.Sqrt(dT*dT*tu*tu + dC*dC*cu*cu + 2*dT*dC*s.Covariance(vehicle, axles))
	if math.Abs(c.Found.Value-dc(tv, cv)) > 1e-9 || math.Abs(c.Found.U-u) > 1e-7 {
		t.Errorf("%+v (want %g kN, u %g)", c.Found, dc(tv, cv), u)
	}
	if c.Verdict != Within || c.NeededKg != nil || math.Abs(c.Found.Margin-(14-dc(tv, cv))) > 1e-9 {
		t.Errorf("%s, margin %g, needed %v", c.Verdict, c.Found.Margin, c.NeededKg)
	}
	// 9.81·3.5·2.8/6.3 = 15.26 with the plates; without a gvm none is given
	withPlates := row(t, mustHold(t, plated(dValue(14), rate("gvm", "", 3500), rate("gtm", "", 2800))), "d_value", "", noState, "")
	if withPlates.PlatedKN == nil || math.Abs(*withPlates.PlatedKN-15.26) > 1e-6 || c.PlatedKN != nil {
		t.Errorf("plated %v and %v (want 15.26 and none)", withPlates.PlatedKN, c.PlatedKN)
	}
	if over := row(t, mustHold(t, plated(dValue(13))), "d_value", "", noState, ""); over.Verdict != Over || over.NeededKg != nil {
		t.Errorf("13 kN: %s, needed %v kg (want over; kN have no kg)", over.Verdict, over.NeededKg)
	}
}

func mustSolve(t *testing.T, job *tickets.Job) *derive.Solution {
	t.Helper()
	s, err := derive.Solve(job)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
