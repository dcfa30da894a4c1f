package derive

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// mpeTable is OIML R 76-1:2006, 3.5.1, Table 6 for classes III and IIII at and
// one tenth of an interval beyond the end of every band (upper bounds
// inclusive), in units of e; beyond the last band its error applies. III L: 0.5 e
// for every 500 e begun (from memory).
var mpeTable = []struct {
	class string
	load  string
	mpe   float64
}{
	{"III", "0", 0.5}, {"III", "1", 0.5}, {"III", "500", 0.5},
	{"III", "500.1", 1}, {"III", "2000", 1},
	{"III", "2000.1", 1.5}, {"III", "10000", 1.5}, {"III", "10000.1", 1.5},
	{"IIII", "0", 0.5}, {"IIII", "50", 0.5},
	{"IIII", "50.1", 1}, {"IIII", "200", 1},
	{"IIII", "200.1", 1.5}, {"IIII", "1000", 1.5}, {"IIII", "1000.1", 1.5},
	{"III L", "0", 0.5}, {"III L", "500", 0.5},
	{"III L", "500.1", 1}, {"III L", "1000", 1}, {"III L", "1000.1", 1.5},
	{"III L", "1500", 1.5}, {"III L", "10000", 10}, {"III L", "10000.1", 10.5},
	{"none", "0", 0}, {"none", "5000", 0},
}

// Every row on intervals of 20 kg, 0.5 kg, and 20 lb, whose multiples are no
// round binary fractions.
func TestMaximumPermissibleErrors(t *testing.T) {
	rows := 0
	for _, interval := range []string{"20", "0.5", "9.0718474"} {
		e := decimal.RequireFromString(interval)
		for _, c := range mpeTable {
			rows++
			load := decimal.RequireFromString(c.load).Mul(e)
			want := c.mpe * e.InexactFloat64()
			for _, l := range []decimal.Decimal{load, load.Neg()} {
				if got := mpe(c.class, l, e); math.Abs(got-want) > 1e-12 {
					t.Errorf("class %s, load %s e, e = %s kg: mpe %g kg (want %g)", c.class, c.load, interval, got, want)
				}
			}
		}
	}
	if rows != 75 {
		t.Errorf("%d rows (want 75)", rows)
	}
}

// A load per weigher is a quotient; at a band's end it must still count as
// inside: 3 weighers with 1500 e between them carry 500 e each.
func TestBandEndPerWeigher(t *testing.T) {
	e := decimal.RequireFromString("9.0718474")
	load := e.Mul(decimal.NewFromInt(1500)).Div(decimal.NewFromInt(3))
	if got, want := mpe("III", load, e), 0.5*9.0718474; math.Abs(got-want) > 1e-12 {
		t.Errorf("mpe %g (want %g)", got, want)
	}
}

// u of the gain by hand: the smaller of 2·mpe(X)/(√3·X) at the largest reading
// and at 500 e (100 e for IIII); or U/2/stated_at.
var gainTable = []struct {
	name    string
	scale   tickets.Scale
	e       int64
	largest []int64
	want    float64
}{
	// 3000/20 = 150 e: mpe 10; 2·10/(√3·3000) = 0.003849; at 500 e: 20/(√3·10000) = 0.0011547
	{"III, below 500 e", tickets.Scale{Class: "III"}, 20, []int64{1200, 3000}, 0.0011547},
	// 6000/10 = 600 e: mpe 10; 20/(√3·6000) = 0.0019245; at 500 e: 10/(√3·5000) = 0.0011547
	{"III, a little beyond 500 e", tickets.Scale{Class: "III"}, 10, []int64{6000}, 0.0011547},
	// 20000/10 = 2000 e: mpe 10; 20/(√3·20000) = 0.00057735; less than at 500 e
	{"III, 2000 e", tickets.Scale{Class: "III"}, 10, []int64{20000, 5000}, 0.00057735},
	// 600/5 = 120 e: mpe 5; 10/(√3·600) = 0.0096225; at 100 e: mpe 5; 10/(√3·500) = 0.011547
	{"IIII, 120 e", tickets.Scale{Class: "IIII"}, 5, []int64{600}, 0.0096225},
	// 1500/5 = 300 e: mpe 7.5; 15/(√3·1500) = 0.0057735; at 100 e 0.011547
	{"IIII, 300 e", tickets.Scale{Class: "IIII"}, 5, []int64{1500}, 0.0057735},
	// 100/5 = 20 e: mpe 2.5; 5/(√3·100) = 0.028868; at 100 e 0.011547
	{"IIII, 20 e", tickets.Scale{Class: "IIII"}, 5, []int64{100}, 0.011547},
	// 12000/10 = 1200 e: mpe 15; 30/(√3·12000) = 0.0014434; at 500 e: 10/(√3·5000) = 0.0011547
	{"III L, 1200 e", tickets.Scale{Class: "III L"}, 10, []int64{12000}, 0.0011547},
	// 24/2/4000, whatever the class
	{"certificate with its load", tickets.Scale{Class: "III", ExpandedKg: whole(24), StatedAtKg: whole(4000)}, 10, []int64{3000}, 0.003},
	// 24/2/3000: the job's largest reading
	{"certificate without a load", tickets.Scale{Class: "none", ExpandedKg: whole(24)}, 10, []int64{1000, 3000, 2000}, 0.004},
	// vehicle on pads: 4 weighers, 3200/4 = 800; 24/2/800
	{"certificate, pads", tickets.Scale{Class: "none", Pads: true, ExpandedKg: whole(24)}, 10, []int64{3200}, 0.015},
	// a gauge without a certificate: 3 % of 240 is 7.2, half of it 3.6; of 80 2.4, so 3 kg, half of it 1.5
	{"gauge, assumed", tickets.Scale{Class: "none", Gauge: true}, 2, []int64{240}, 0.015},
	{"gauge, assumed, at least 3 kg", tickets.Scale{Class: "none", Gauge: true}, 2, []int64{80}, 0.01875},
	// 3200/4 = 800 per pad, 160 e: mpe 5; 10/(√3·800) = 0.0072169; at 100 e 0.011547
	{"IIII, pads", tickets.Scale{Class: "IIII", Pads: true}, 5, []int64{3200}, 0.0072169},
}

func TestGainUncertainty(t *testing.T) {
	for _, c := range gainTable {
		var readings []tickets.Reading
		for _, kg := range c.largest {
			r := weigh(tickets.VehicleAlone, float64(kg), "vehicle")
			r.IntervalKg = decimal.NewFromInt(c.e)
			readings = append(readings, r)
		}
		job := jobOf(readings...)
		job.Scales = []tickets.Scale{c.scale}
		s := mustSolve(t, job)
		gain := s.Observations[len(s.Observations)-1]
		if gain.Kind != byScale || math.Abs(gain.U-c.want) > 1e-5*c.want {
			t.Errorf("%s: %s has u = %.8g (want gain, %.8g)", c.name, gain.Kind, gain.U, c.want)
		}
	}
}

// The largest reading per weigher need not be the largest reading: an axle of
// 1400 kg is 700 a pad, a vehicle of 2700 kg 675.
func TestLargestPerWeigher(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2700, "vehicle"), weigh(tickets.VehicleAlone, 1400, "rear"))
	job.Scales[0].Pads = true
	if l := largestOn(job, &job.Scales[0], pointers(job.Readings)); !l.load.Equal(decimal.NewFromInt(700)) {
		t.Errorf("largest %s (want 700)", l.load)
	}
	job.Readings[1].Scale = "another"
	if l := largestOn(job, &job.Scales[0], pointers(job.Readings)); !l.load.Equal(decimal.NewFromInt(675)) {
		t.Errorf("largest %s with the axle on another scale (want 675)", l.load)
	}
}

// Weighers under supports on pads: two an axle, one for a side of an axle, one
// for the nose; 1 on any other deck.
func TestWeighers(t *testing.T) {
	o := &tickets.Outfit{RearAxles: 2, TrailerAxles: 3}
	term := func(g tickets.Group, axle int, side tickets.Side) tickets.Term {
		return tickets.Term{Group: g, Axle: axle, Side: side}
	}
	for _, c := range []struct {
		terms []tickets.Term
		k     int
	}{
		{deck("front"), 2}, {deck("rear"), 4}, {deck("vehicle"), 6}, {deck("trailer"), 6}, {deck("whole trailer"), 7},
		{deck("nose"), 1}, {deck("coupling"), 1}, {deck("outfit"), 12},
		{[]tickets.Term{term(tickets.Rear, 1, "")}, 2}, {[]tickets.Term{term(tickets.Rear, 1, tickets.Left)}, 1},
		{[]tickets.Term{term(tickets.Trailer, 0, tickets.Right)}, 3}, {[]tickets.Term{term(tickets.Front, 0, tickets.Left)}, 1},
	} {
		r := tickets.Reading{Terms: c.terms}
		for _, d := range []string{"pads", "pads_in_turn"} {
			s := scaleOf(d)
			if k := weighers(o, &s, &r); k != c.k {
				t.Errorf("%s, %v: %d weighers (want %d)", d, c.terms, k, c.k)
			}
		}
		for _, d := range []string{"single", "multi", "gauge"} {
			s := scaleOf(d)
			if k := weighers(o, &s, &r); k != 1 {
				t.Errorf("%s, %v: %d weighers (want 1)", d, c.terms, k)
			}
		}
	}
	r := tickets.Reading{Terms: deck("trailer")}
	if k := weighers(&tickets.Outfit{}, &tickets.Scale{Pads: true}, &r); k != 2 {
		t.Errorf("axles not counted: %d weighers (want 2, as of one axle)", k)
	}
}

// A class that no form can hold has no error of 0: that would be a certainty.
func TestUnknownClassHasNoError(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("class IIJ has an error")
		}
	}()
	mpe("IIJ", decimal.NewFromInt(1000), decimal.NewFromInt(20))
}
