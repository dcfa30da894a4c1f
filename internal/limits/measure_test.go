package limits

import (
	"math"
	"slices"
	"testing"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// A sum is one quantity in whatever order it is written.
func TestSameLoadsInAnyOrder(t *testing.T) {
	part := func(g tickets.Group) derive.Part {
		return derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: tickets.Term{Group: g}}
	}
	front, rear := part(tickets.Front), part(tickets.Rear)
	for _, c := range []struct {
		a, b []derive.Part
		same bool
	}{
		{[]derive.Part{front, rear}, []derive.Part{rear, front}, true},
		{[]derive.Part{front, front}, []derive.Part{front, rear}, false},
		{[]derive.Part{front, rear}, []derive.Part{front, front}, false},
		{[]derive.Part{front}, []derive.Part{front, rear}, false},
		{[]derive.Part{front}, []derive.Part{{Factor: -1, State: front.State, Support: front.Support}}, false},
	} {
		if sameLoads(c.a, c.b) != c.same {
			t.Errorf("%v and %v: one quantity %v (want %v)", c.a, c.b, !c.same, c.same)
		}
	}
}

// A check names the supports whose load it compares, in the words of the forms. A
// hinged drawbar has no nose: the whole trailer is on its axles.
func TestHeldOn(t *testing.T) {
	job := au(append(allUsual(), rate("axle", "trailer", 2700), dValue(14))...)
	drawbar := au(allUsual()...)
	drawbar.Outfit.Drawbar = true
	for _, tt := range []struct {
		job      *tickets.Job
		word, on string
		want     []string
	}{
		{job, "gvm", "", []string{"vehicle"}},
		{job, "gcm", "", []string{"vehicle", "trailer"}},
		{job, "atm", "", []string{"trailer", "nose"}},
		{job, "axle", "front", []string{"front"}},
		{job, "axle", "rear", []string{"rear"}},
		{job, "axle", "trailer", []string{"trailer"}},
		{job, "gtm", "", []string{"trailer"}},
		{job, "towing", "", []string{"trailer", "nose"}},
		{job, "download_max", "", []string{"coupling"}},
		{job, "d_value", "", []string{"vehicle", "trailer"}},
		{drawbar, "atm", "", []string{"trailer"}},
		{drawbar, "towing", "", []string{"trailer"}},
	} {
		rows := 0
		for _, c := range found(t, tt.job).Checks {
			if c.Rating == tt.word && c.On == tt.on {
				if rows++; !slices.Equal(c.HeldOn, tt.want) {
					t.Errorf("%s %s %s, drawbar %v, is compared on %q (want %q)", c.Rating, c.On, c.State, tt.job.Outfit.Drawbar, c.HeldOn, tt.want)
				}
			}
		}
		if rows == 0 {
			t.Errorf("no row of %s %s", tt.word, tt.on)
		}
	}
}

// A D-value that is not known is no load of the vehicle.
func TestDValueOfHalfAnOutfit(t *testing.T) {
	c := found(t, rated(jobOf([]tickets.Reading{weigh(tickets.CoupledSlack, 3000, "vehicle")}), dValue(14))).Checks[0]
	if _, _, ok := c.Quantity.Number(); ok || c.Found != nil || c.Verdict != notWeighed {
		t.Errorf("%s: %+v, determined %v", c.Verdict, c.Found, ok)
	}
}

// Dc = g·T·C/(T+C) of T = 2,000 kg and C = 3,000 kg is 9.81·2·3/5 = 11.772 kN:
// a trailer may be heavier than what draws it.
func TestCouplerOfAHeavyTrailer(t *testing.T) {
	job := rated(jobOf([]tickets.Reading{weigh(tickets.CoupledSlack, 2000, "vehicle"), weigh(tickets.CoupledSlack, 3000, "trailer")}), dValue(12.5))
	c := found(t, job).Checks[0]
	if c.Found == nil || math.Abs(c.Found.Value-11.772) > 0.001 {
		t.Errorf("Dc %+v (want 11.772)", c.Found)
	}
	if c.Limit == nil || *c.Limit != 12.5 {
		t.Errorf("limit %v", c.Limit)
	}
}

// covariance is that of two sums, by the u of their sum and difference.
func covariance(s *derive.Solution, a, b []derive.Part) float64 {
	_, sum, _ := s.Sum(slices.Concat(a, b)...).Number()
	_, difference, _ := s.Sum(slices.Concat(a, scaled(b, -1))...).Number()
	return (sum*sum - difference*difference) / 4
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
	c := row(t, Find(job, s, Guarded), "d_value", "", noState, "")
	vehicle, axles := groupLoads(1, tickets.CoupledSlack, tickets.Front, tickets.Rear), groupLoads(1, tickets.CoupledSlack, tickets.Trailer)
	tv, tu, _ := s.Sum(vehicle...).Number()
	cv, cu, _ := s.Sum(axles...).Number()
	// numerical derivatives, one gram each way
	const h = 1e-3
	dT, dC := (dc(tv+h, cv)-dc(tv-h, cv))/(2*h), (dc(tv, cv+h)-dc(tv, cv-h))/(2*h)
	u := math.Sqrt(dT*dT*tu*tu + dC*dC*cu*cu + 2*dT*dC*covariance(s, vehicle, axles))
	if math.Abs(c.Found.Value-dc(tv, cv)) > 1e-9 || math.Abs(c.Found.U-u) > 1e-7 {
		t.Errorf("%+v (want %g kN, u %g)", c.Found, dc(tv, cv), u)
	}
	if c.Verdict != Within || c.NeededKg != nil || math.Abs(c.Found.Margin-(14-dc(tv, cv))) > 1e-9 {
		t.Errorf("%s, margin %g, needed %v", c.Verdict, c.Found.Margin, c.NeededKg)
	}
	// 9.81·3.5·2.8/6.3 = 15.26 with the plates; without a gvm none is given
	withPlates := row(t, found(t, plated(dValue(14), rate("gvm", "", 3500), rate("gtm", "", 2800))), "d_value", "", noState, "")
	if withPlates.PlatedKN == nil || math.Abs(*withPlates.PlatedKN-15.26) > 1e-6 || c.PlatedKN != nil {
		t.Errorf("plated %v and %v (want 15.26 and none)", withPlates.PlatedKN, c.PlatedKN)
	}
	if over := row(t, found(t, plated(dValue(13))), "d_value", "", noState, ""); over.Verdict != Over || over.NeededKg != nil {
		t.Errorf("13 kN: %s, needed %v kg (want over; kN have no kg)", over.Verdict, over.NeededKg)
	}
}
