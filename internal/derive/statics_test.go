package derive

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// planetarium is the outfit of the worked example: statics of a two-axle
// vehicle with a load behind its rear axle, derived from the definitions.
// Metres and kilograms: D = 250, o = 1.25, L = 2.85, l = 5.0; the nose
// support is 4.5 m ahead of the trailer's axle.
const (
	download250 = 250.0
	overhang    = 1.25
	wheelbase   = 2.85
	drawbar     = 5.0
	noseSupport = 4.5
	aloneFront  = 1260.0
	aloneRear   = 1500.0
	trailerMass = 2680.0
)

// statics are the axle loads of the example at a hitch moment in kg·m:
//
//	dF = −D·o/L + M·(o + l)/(l·L)   dR = D·(1 + o/L) − M·(L + o + l)/(l·L)   dG = M/l
func statics(moment float64) (front, rear, trailer float64) {
	front = aloneFront - download250*overhang/wheelbase + moment*(overhang+drawbar)/(drawbar*wheelbase)
	rear = aloneRear + download250*(1+overhang/wheelbase) - moment*(wheelbase+overhang+drawbar)/(drawbar*wheelbase)
	return front, rear, trailerMass - download250 + moment/drawbar
}

// exactly is a reading of exactly that load: no rounding.
func coupledReadings(state tickets.State, moment float64) []tickets.Reading {
	f, r, g := statics(moment)
	return []tickets.Reading{
		weigh(state, f, "front"),
		weigh(state, r, "rear"),
		weigh(state, g, "trailer"),
	}
}

func aloneReadings() []tickets.Reading {
	nose := download250 * drawbar / noseSupport
	return []tickets.Reading{
		weigh(tickets.VehicleAlone, aloneFront, "front"),
		weigh(tickets.VehicleAlone, aloneRear, "rear"),
		weigh(tickets.TrailerAlone, trailerMass-nose, "trailer"),
		weigh(tickets.TrailerAlone, nose, "nose"),
	}
}

// measured puts the lengths of the example into a job.
func measured(job *tickets.Job) *tickets.Job {
	o := &job.Outfit
	o.Wheelbase, o.RearAxleToCoupling = known(1000*wheelbase), known(1000*overhang)
	o.CouplingToTrailerAxle, o.NoseSupportToTrailerAxle = known(1000*drawbar), known(1000*noseSupport)
	return job
}

// The table of a load-distribution hitch at 0, 50 and 100 % restoration of the
// front axle, as printed to 0.1 kg (derived from the definitions; 100 % where
// M = D·o·l/(o + l) = 250 kg·m). The download is 250 kg in every row: tension
// leaves it as it was while the axle loads change (common practice, no source).
var hitchTable = []struct {
	restored, moment, dF, dR, dG, apparent float64
}{
	{0, 0, -109.6, 359.6, 0, 250},
	{0.5, 125, -54.8, 279.8, 25, 225},
	{1, 250, 0, 200, 50, 200},
}

func TestHitchMoment(t *testing.T) {
	for _, withSlack := range []bool{true, false} {
		for _, row := range hitchTable {
			t.Run(fmt.Sprintf("%g restored, slack weighed %v", row.restored, withSlack), func(t *testing.T) {
				readings := append(aloneReadings(), coupledReadings(tickets.CoupledTensioned, row.moment)...)
				if withSlack {
					readings = append(readings, coupledReadings(tickets.CoupledSlack, 0)...)
				}
				s := mustSolve(t, measured(jobOf(readings...)))
				holdHitch(t, s, row.restored, row.moment, [4]float64{row.dF, row.dR, row.dG, row.apparent})
			})
		}
	}
}

func holdHitch(t *testing.T, s *Solution, restored, moment float64, want [4]float64) {
	t.Helper()
	difference := func(a tickets.State, b tickets.State, g tickets.Group) Quantity {
		return s.Sum(supportLoad(1, a, tickets.Term{Group: g}), supportLoad(-1, b, tickets.Term{Group: g}))
	}
	const printed = 0.051 // the table is printed to 0.1
	wantNumber(t, "dF", difference(tickets.CoupledTensioned, tickets.VehicleAlone, tickets.Front), want[0], printed)
	wantNumber(t, "dR", difference(tickets.CoupledTensioned, tickets.VehicleAlone, tickets.Rear), want[1], printed)
	wantNumber(t, "dG", difference(tickets.CoupledTensioned, tickets.CoupledSlack, tickets.Trailer), want[2], printed)
	apparent := s.Sum(supportLoad(1, tickets.TrailerAlone, tickets.Term{Group: tickets.Trailer}), supportLoad(1, tickets.TrailerAlone, tickets.Term{Group: tickets.Nose}),
		supportLoad(-1, tickets.CoupledTensioned, tickets.Term{Group: tickets.Trailer}))
	wantNumber(t, "apparent T − G", apparent, want[3], printed)
	wantNumber(t, "download", s.Figures().Download, download250, 1e-6)
	wantNumber(t, "front lift", s.Figures().FrontLift, download250*overhang/wheelbase, 1e-6)
	wantNumber(t, "restoration", s.Figures().Restoration, restored, 1e-8)
	wantNumber(t, "hitch moment", s.Figures().HitchMoment, moment, 1e-5)
	wantNumber(t, "combination", s.combination(), aloneFront+aloneRear+trailerMass, 1e-6)
}

// without a length the tension and the download cannot be distinguished, and no
// route says a download of weighings that were tensioned.
func TestTensionWithoutALength(t *testing.T) {
	for _, missing := range []string{lengthW, lengthA, lengthL} {
		job := measured(jobOf(append(aloneReadings()[:2], append(coupledReadings(tickets.CoupledTensioned, 125),
			weigh(tickets.TrailerAlone, trailerMass, "whole trailer"))...)...))
		o := &job.Outfit
		*map[string]*tickets.Length{lengthW: &o.Wheelbase, lengthA: &o.RearAxleToCoupling, lengthL: &o.CouplingToTrailerAxle}[missing] = tickets.Length{}
		s := mustSolve(t, job)
		if s.Figures().Download.Determined || s.Figures().FrontRestored.Determined {
			t.Errorf("without %s the download or the tension has a number", missing)
		}
		if len(s.routes()) != 0 {
			t.Errorf("without %s: routes %+v (want none)", missing, s.routes())
		}
		wantNumber(t, "tensioned front", s.load(tickets.CoupledTensioned, tickets.Term{Group: tickets.Front}), 1260-109.6+54.8, 0.1)
	}
}

// Centres of gravity by the levers: w·rear/vehicle = 2850·1500/2760 = 1548.913
// and L·D/T = 5000·250/2680 = 466.418; share 250/2680 = 0.0932836.
func TestCentresOfGravity(t *testing.T) {
	s := mustSolve(t, measured(jobOf(append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)...)))
	wantNumber(t, "vehicle cg", s.Figures().VehicleCG, 1548.913, 1e-3)
	wantNumber(t, "trailer cg", s.Figures().TrailerCG, 466.418, 1e-3)
	wantNumber(t, "download share", s.Figures().DownloadShare, 0.0932836, 1e-7)
}

// Two readings F, R on one scale: the gain cancels in R/(F + R), so
//
//	u²(cg) = w²·(R²·u²(F) + F²·u²(R))/(F + R)⁴ + (R/(F + R)·u(w))²
//
// (first order, from the definition); u(F) and u(R) as of readingU, which has a
// test of its own.
func TestUncertaintyOfACentreOfGravity(t *testing.T) {
	job := measured(jobOf(aloneReadings()[:2]...))
	job.Outfit.RearAxleToCoupling = tickets.Length{}
	s := mustSolve(t, job)
	f, r := readingU(job, &job.Readings[0], 1), readingU(job, &job.Readings[1], 1)
	const v = aloneFront + aloneRear
	want := math.Hypot(1000*wheelbase*math.Hypot(aloneRear*f, aloneFront*r)/(v*v), aloneRear/v*10)
	if _, u, _ := s.Figures().VehicleCG.Number(); math.Abs(u-want) > 1e-6 {
		t.Errorf("u(cg) = %g (want %g)", u, want)
	}
}

// u of the hitch moment: front_restored's u and each length's, by differences
// of the formula M = F·w·L/(L + a).
func TestUncertaintyOfTheHitchMoment(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledTensioned, 125)...)
	s := mustSolve(t, measured(jobOf(append(readings, coupledReadings(tickets.CoupledSlack, 0)...)...)))
	f, u, _ := s.Figures().FrontRestored.Number()
	moment := func(f, w, l, a float64) float64 { return f * w * l / (l + a) / 1000 }
	const h = 1e-3
	w, l, a := 1000*wheelbase, 1000*drawbar, 1000*overhang
	want := 0.0
	for _, part := range []float64{
		u * (moment(f+h, w, l, a) - moment(f, w, l, a)) / h,
		10 * (moment(f, w+h, l, a) - moment(f, w, l, a)) / h,
		10 * (moment(f, w, l+h, a) - moment(f, w, l, a)) / h,
		10 * (moment(f, w, l, a+h) - moment(f, w, l, a)) / h,
	} {
		want = math.Hypot(want, part)
	}
	if _, got, _ := s.Figures().HitchMoment.Number(); math.Abs(got-want) > 1e-5 {
		t.Errorf("u(M) = %g (want %g)", got, want)
	}
}

// Restoration is said only where the front lift exceeds its U.
func TestRestorationNeedsALift(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
	readings = append(readings, coupledReadings(tickets.CoupledTensioned, 125)...)
	readings[4].Kg = decimal.NewFromInt(aloneFront - 10) // a lift of 10 kg, U about 40
	readings[5].Kg = decimal.NewFromInt(aloneRear + download250 + 10)
	s := mustSolve(t, jobOf(readings...))
	if !s.Figures().FrontLift.Determined || s.Figures().Restoration.Determined {
		t.Error("a restoration of a lift within its U has a number")
	}
}

// TestTiesInForce has the rule of each tie as a table: which used readings and
// lengths it needs.
func TestTiesInForce(t *testing.T) {
	v, trailer := aloneReadings()[0], aloneReadings()[2]
	gauge := weigh(tickets.TrailerAlone, 250, "coupling")
	slack, tensioned := coupledReadings(tickets.CoupledSlack, 0)[0], coupledReadings(tickets.CoupledTensioned, 125)[2]
	for _, c := range []struct {
		name     string
		readings []tickets.Reading
		missing  string // lengths
		want     string
	}{
		{"vehicle alone only", []tickets.Reading{v}, "", ""},
		{"slack only", []tickets.Reading{slack}, "", ""},
		{"tensioned only", []tickets.Reading{tensioned}, "", "hitch"},
		{"trailer only", []tickets.Reading{trailer}, "", "nose"},
		{"gauge only", []tickets.Reading{gauge}, "", "nose"},
		{"vehicle and slack", []tickets.Reading{v, slack}, "", "vehicle"},
		{"vehicle and tensioned", []tickets.Reading{v, tensioned}, "", "vehicle hitch"},
		{"vehicle and trailer", []tickets.Reading{v, trailer}, "", "nose"},
		{"slack and tensioned", []tickets.Reading{slack, tensioned}, "", "hitch"},
		{"all", []tickets.Reading{v, trailer, slack, tensioned}, "", "vehicle nose hitch"},
		{"all but w", []tickets.Reading{v, trailer, slack, tensioned}, "w", "nose"},
		{"all but a", []tickets.Reading{v, trailer, slack, tensioned}, "a", "nose"},
		{"all but L", []tickets.Reading{v, trailer, slack, tensioned}, "L", "vehicle"},
		{"all but n", []tickets.Reading{v, trailer, slack, tensioned}, "n", "vehicle hitch"},
		{"no lengths", []tickets.Reading{v, trailer, slack, tensioned}, "w a L n", ""},
	} {
		job := measured(jobOf(c.readings...))
		forget(&job.Outfit, c.missing)
		if got := tieNames(mustSolve(t, job)); got != c.want {
			t.Errorf("%s: ties %q (want %q)", c.name, got, c.want)
		}
	}
}

// A reading that is kept as evidence only puts no tie in force.
func TestTiesNeedUsedReadings(t *testing.T) {
	job := measured(jobOf(aloneReadings()[0], coupledReadings(tickets.CoupledSlack, 0)[0]))
	job.Readings[1].Used = false
	if got := tieNames(mustSolve(t, job)); got != "" {
		t.Errorf("ties %q (want none)", got)
	}
}

// forget removes lengths by their letters.
func forget(o *tickets.Outfit, letters string) {
	for _, f := range strings.Fields(letters) {
		switch f {
		case "w":
			o.Wheelbase = tickets.Length{}
		case "a":
			o.RearAxleToCoupling = tickets.Length{}
		case "L":
			o.CouplingToTrailerAxle = tickets.Length{}
		case "n":
			o.NoseSupportToTrailerAxle = tickets.Length{}
		}
	}
}

func tieNames(s *Solution) string {
	var names []string
	for _, o := range s.Observations {
		if o.Kind == byTie {
			names = append(names, o.Name)
		}
	}
	return strings.Join(names, " ")
}

// u of each tie once the rounds have settled, by hand:
//
//	vehicle  u² = t² + D²·u²(a/w)        u(a/w) = √(10² + (a/w·10)²)/w      = 10·√(1 + 0.438596²)/2850 = 0.00383142
//	nose     u² = t² + D²·u²(L/n)        u(L/n) = 10·√(1 + (10/9)²)/4500                             = 0.00332188
//	hitch    u² = t² + 25²·u²((L + a)/w) u(…)   = 10·√(2 + (6.25/2.85)²)/2850                        = 0.00915593
//
// with D = 250 and a trailer difference of 25 kg, t by the number of axles
// (contract, section 2, moment ties), and on rockers 5 kg in the nose tie.
func TestUncertaintyOfTies(t *testing.T) {
	for _, c := range []struct {
		rear, trailer int
		t             [3]float64
		suspension    string
	}{
		{0, 0, [3]float64{5, 5, 5}, "springs"}, {1, 1, [3]float64{5, 5, 5}, ""},
		{2, 1, [3]float64{15, 5, 10}, ""}, {1, 2, [3]float64{10, 20, 10}, "springs"}, {2, 3, [3]float64{15, 20, 10}, ""},
		{1, 2, [3]float64{10, 5, 10}, "rocker"}, {1, 1, [3]float64{5, 5, 5}, "rocker"},
	} {
		readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
		job := measured(jobOf(append(readings, coupledReadings(tickets.CoupledTensioned, 125)...)...))
		job.Outfit.RearAxles, job.Outfit.TrailerAxles, job.Outfit.Suspension = c.rear, c.trailer, c.suspension
		s := mustSolve(t, job)
		scatter := [3]float64{250 * 0.00383142, 250 * 0.00332188, 25 * 0.00915593}
		for i, o := range s.Observations[len(s.Observations)-3:] {
			if want := math.Hypot(c.t[i], scatter[i]); math.Abs(o.U-want) > 1e-6 {
				t.Errorf("%d rear, %d trailer axles: tie %s has u = %.6f (want %.6f)", c.rear, c.trailer, o.Name, o.U, want)
			}
		}
	}
}

// A nose that weighs 20 times what lengths and gauge say, with lengths good to
// 100 mm: each round swings between the gauge (small D, sharp tie) and the nose
// (large D, blunt tie). What still moves by more than 0.01 kg in round 20 has
// no number; what moves by less has one. Found by trying figures; the rule is
// the model's own, no source.
func TestTwentyRounds(t *testing.T) {
	for _, c := range []struct {
		nose, split float64
		moves       bool
		determined  bool
	}{
		{2000, 20, true, false},     // 733 and 780 kg in turn
		{4000, 150, true, true},     // less than 0.001 kg from each other in round 20
		{1.2 * 20, 20, false, true}, // settles
	} {
		gauge := weigh(tickets.TrailerAlone, 20, "coupling")
		gauge.Scale = "gauge"
		job := measured(jobOf(weigh(tickets.TrailerAlone, c.nose, "nose"), gauge))
		job.Scales = append(job.Scales, tickets.Scale{Name: "gauge", Class: "III", Gauge: true, SplitKg: whole(int(c.split))})
		job.Outfit.LengthUncertaintyMm = 100
		s := mustSolve(t, job)
		if moves := s.previous != nil; moves != c.moves {
			t.Errorf("nose %g: still moving in round 20 %v (want %v)", c.nose, moves, c.moves)
		}
		if got := s.Figures().Download.Determined; got != c.determined {
			t.Errorf("nose %g: download determined %v (want %v)", c.nose, got, c.determined)
		}
		if v, ok := s.Figures().Download.fixedOnlyTo(); ok {
			t.Errorf("nose %g: fixed only to %g kg (want nothing said: it moves)", c.nose, v)
		}
	}
}
