package derive

import (
	"math"
	"sort"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// said lists the names of what has a number, in the order of the alphabet.
func said(s *Solution) string {
	var names []string
	for _, q := range s.Quantities() {
		if q.Determined() {
			names = append(names, q.Name)
		}
	}
	sort.Strings(names)
	return strings.Join(names, " ")
}

// What little was weighed says, and no more: each row is all that conservation
// of mass and the levers leave (from the definitions).
func TestLittleWeighed(t *testing.T) {
	alone, slack, tight := aloneReadings(), coupledReadings(tickets.Slack, 0), coupledReadings(tickets.Tensioned, 125)
	v := weigh(tickets.VehicleAlone, "", 2760, "vehicle")
	trailer := weigh(tickets.TrailerAlone, "", 2680, "whole trailer")
	vc := weigh(tickets.Coupled, tickets.Slack, 3010, "vehicle")
	both := weigh(tickets.Coupled, tickets.Slack, 5440, "outfit")
	bothTight := weigh(tickets.Coupled, tickets.Tensioned, 5440, "outfit")
	gauge := weigh(tickets.TrailerAlone, "", 250, "coupling")
	calculated := v
	calculated.Use = tickets.UseCalculated
	for _, c := range []struct {
		name     string
		readings []tickets.Reading
		lengths  bool
		want     string
	}{
		{"one axle", alone[:1], true, "vehicle_alone.front"},
		{"vehicle", []tickets.Reading{v}, true, "vehicle_alone.vehicle"},
		{"whole trailer", []tickets.Reading{trailer}, false, "trailer_mass"},
		{"combination", []tickets.Reading{both}, false, "combination"},
		{"combination, tensioned", []tickets.Reading{bothTight}, false, "combination"},
		{"trailer's axles, coupled", slack[2:], true, "coupled_slack.trailer"},
		{"nose off the deck", alone[2:3], false, "trailer_alone.trailer"},
		{"nose alone, without lengths", alone[3:], false, "trailer_alone.nose"},
		{"nose alone, with lengths", alone[3:], true, "download trailer_alone.nose"},
		{"gauge, without lengths", []tickets.Reading{gauge}, false, "download"},
		{"gauge, with lengths", []tickets.Reading{gauge}, true, "download trailer_alone.nose"},
		{"calculated only", []tickets.Reading{calculated}, true, ""},
		{"V, T and the combination", []tickets.Reading{v, trailer, both}, true, "combination trailer_mass vehicle_alone.vehicle"},
		{"V and the combination", []tickets.Reading{v, both}, false, "combination trailer_mass vehicle_alone.vehicle"},
		{"V and V coupled", []tickets.Reading{v, vc}, false, "coupled_slack.vehicle download vehicle_alone.vehicle"},
		{"no vehicle reading", []tickets.Reading{trailer, slack[2]}, false, "coupled_slack.trailer download trailer_mass"},
		{"front lift alone", []tickets.Reading{alone[0], slack[0]}, false, "coupled_slack.front front_lift vehicle_alone.front"},
		{"front lift and levers", []tickets.Reading{alone[0], slack[0]}, true, "coupled_slack.front download front_lift vehicle_alone.front"},
		{"V coupled, tensioned: no download", []tickets.Reading{v, weigh(tickets.Coupled, tickets.Tensioned, 2985, "vehicle")}, false, "coupled_tensioned.vehicle vehicle_alone.vehicle"},
		{"T and G, tensioned: no download", []tickets.Reading{trailer, tight[2]}, false, "coupled_tensioned.trailer trailer_mass"},
		{"nose off the deck, but moments", []tickets.Reading{v, vc, alone[2]}, true,
			"combination coupled_slack.trailer coupled_slack.vehicle download front_lift trailer_alone.nose trailer_alone.trailer trailer_mass vehicle_alone.vehicle"},
	} {
		job := jobOf(c.readings...)
		if c.lengths {
			job = measured(job)
		}
		if got := said(mustSolve(t, job)); got != c.want {
			t.Errorf("%s: %s\nwant %s", c.name, got, c.want)
		}
	}
}

// The same line twice, at different times: rounding and zero are renewed,
// position and linearity not. One axle, e = 20: u² = 41.6667/2 + 133.3333 =
// 154.1667, and the gain 1260·0.0011547 = 1.4549 (numbers as in uTable and gainTable).
func TestTheSameLineTwice(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, "", 1260, "front"), weigh(tickets.VehicleAlone, "", 1280, "front")))
	q := s.Load(VehicleAlone, tickets.Term{Group: tickets.Front})
	wantNumber(t, "front", q, 1270, 0.01)
	if _, u, _ := q.Number(); math.Abs(u*u-154.1667-1270*1270*0.0011547*0.0011547) > 0.01 {
		t.Errorf("u² = %.4f (want 156.317)", u*u)
	}
	if q.Basis != Weighed || s.Fit().DOF != 1 {
		t.Errorf("basis %s, dof %d (want weighed, 1)", q.Basis, s.Fit().DOF)
	}
}

// u of exactly what is allowed, and a little more. A certain scale of u has
// u = 2u: 500 kg at 250.
func TestTooVague(t *testing.T) {
	for _, c := range []struct {
		u     float64
		vague bool
	}{{249.99, false}, {250.01, true}, {300, true}} {
		job := jobOf(on("a", weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
		job.Scales = []tickets.Scale{certain("a", c.u)}
		q := mustSolve(t, job).Total(VehicleAlone, vehicleGroups...)
		v, u, ok := q.Number()
		U, vague := q.fixedOnlyTo()
		if ok == c.vague || vague != c.vague {
			t.Errorf("u %g: determined %v, vague %v", c.u, ok, vague)
		}
		if c.vague && (v != 0 || u != 0 || math.Abs(U-2*c.u) > 1e-3) {
			t.Errorf("u %g: a number leaks: %g, %g; fixed only to %g", c.u, v, u, U)
		}
	}
}

// without a reading to spare nothing is tested, and nothing passes for checked.
func TestNoRedundancy(t *testing.T) {
	s := mustSolve(t, jobOf(append(aloneReadings(), coupledReadings(tickets.Slack, 0)[2])...))
	if s.Agreement() != untested || s.Fit().DOF != 0 || s.Scaling() != 1 || s.Inseparable() != nil {
		t.Errorf("agreement %s, %+v, scaling %g", s.Agreement(), s.Fit(), s.Scaling())
	}
	for i, o := range s.Observations {
		if o.Redundancy > 1e-12 || o.Testable || o.Suspect || o.Standardised != 0 || o.Smallest != 0 {
			t.Errorf("observation %d: %+v (want no redundancy, no test)", i, o)
		}
	}
	checked, effect, have := s.Checked(s.Download())
	if checked || have || effect != 0 {
		t.Errorf("the download passes for checked (%v, %g, %v)", checked, effect, have)
	}
	if got := len(s.Bearing(s.Download())); got != 3 {
		t.Errorf("%d readings bear on the download (want 3: trailer, nose, trailer coupled)", got)
	}
	if checked, _, _ := s.Checked(s.Total(VehicleAlone, vehicleGroups...)); checked {
		t.Error("the vehicle passes for checked")
	}
}

// triple weighs two axles and both: u 6, 8 and 10, so that a misclosure c has
// u² = 200 and everything can be worked out by hand.
func triple(c float64) *tickets.Job {
	job := jobOf(
		on("a", weigh(tickets.VehicleAlone, "", 1260, "front")), on("b", weigh(tickets.VehicleAlone, "", 1500, "rear")),
		on("c", weigh(tickets.VehicleAlone, "", 2760+c, "vehicle")),
	)
	job.Scales = []tickets.Scale{certain("a", 6), certain("b", 8), certain("c", 10)}
	return job
}

// By hand: redundancy u²/200, residuals −c·u²/200, −c·u²/200, +c·u²/200, w =
// ∓c/√200, smallest detectable 4.1321·u/√redundancy = 4.1321·√200 = 58.437 each;
// a mistake of that size moves the sum by half of it: 29.218.
func TestReliabilityByHand(t *testing.T) {
	s := mustSolve(t, triple(20))
	for i, want := range []struct{ redundancy, residual, w float64 }{
		{0.18, -3.6, -1.414214}, {0.32, -6.4, -1.414214}, {0.5, 10, 1.414214},
	} {
		o := s.Observations[i]
		if math.Abs(o.Redundancy-want.redundancy) > 1e-6 || math.Abs(o.Residual-want.residual) > 1e-4 || math.Abs(o.Standardised-want.w) > 1e-5 {
			t.Errorf("observation %d: %+v (want %+v)", i, o, want)
		}
		if math.Abs(o.Smallest-58.437) > 1e-3 {
			t.Errorf("observation %d: smallest detectable %g (want 58.437)", i, o.Smallest)
		}
	}
	q := s.Total(VehicleAlone, vehicleGroups...)
	wantNumber(t, "vehicle", q, 2770, 1e-4)
	if checked, effect, have := s.Checked(q); !checked || !have || math.Abs(effect-29.218) > 1e-3 {
		t.Errorf("checked %v, effect %g (want true, 29.218)", checked, effect)
	}
	if _, u, _ := q.Number(); math.Abs(u-math.Sqrt(50)) > 1e-6 {
		t.Errorf("u = %g (want √50: two of u 10)", u)
	}
}

// The bounds of agreement with one degree of freedom, chi-square c²/200: p =
// 0.05 at 3.8415 and |w| = 3.2905 (p = 0.001) at 10.8276 (published tables of
// the chi-square distribution).
func TestAgreementBounds(t *testing.T) {
	for _, c := range []struct {
		chi  float64
		want Agreement
	}{{0, Agree}, {3.84, Agree}, {3.843, Strained}, {10.82, Strained}, {10.83, Conflict}, {50, Conflict}} {
		s := mustSolve(t, triple(math.Sqrt(200*c.chi)))
		if got := s.Agreement(); got != c.want {
			t.Errorf("chi-square %g: %s (want %s)", c.chi, got, c.want)
		}
		scaling := 1.0
		if c.want == Strained {
			scaling = math.Sqrt(c.chi)
		}
		if math.Abs(s.Scaling()-scaling) > 1e-4 {
			t.Errorf("chi-square %g: scaling %g (want %g)", c.chi, s.Scaling(), scaling)
		}
		sets := s.Inseparable()
		if (c.want == Conflict) != (len(sets) == 1 && len(sets[0]) == 3) {
			t.Errorf("chi-square %g: inseparable %v (want all three readings in a conflict, else none)", c.chi, sets)
		}
	}
}

// A wheelbase 700 mm short does not fit the vehicle's tie; the readings among themselves agree.
func TestOnlyTheTiesDisagree(t *testing.T) {
	job := measured(jobOf(append(aloneReadings(), coupledReadings(tickets.Slack, 0)...)...))
	for i := range job.Readings {
		job.Readings[i] = on("a", job.Readings[i])
	}
	job.Scales = []tickets.Scale{certain("a", 2)}
	if s := mustSolve(t, job); s.Agreement() != Agree || s.OnlyTiesDisagree() {
		t.Errorf("agreement %s, only the ties %v (want agree, false)", s.Agreement(), s.OnlyTiesDisagree())
	}
	job.Outfit.Wheelbase = known(1000*wheelbase - 700)
	s := mustSolve(t, job)
	if s.Agreement() != Conflict || !s.OnlyTiesDisagree() {
		t.Errorf("agreement %s, only the ties %v (want conflict, true)", s.Agreement(), s.OnlyTiesDisagree())
	}
	if f := s.FitWithoutTies(); f.ChiSquare > 1e-6 || f.DOF != s.Fit().DOF-2 || f.Observations != s.Fit().Observations-2 {
		t.Errorf("without ties %+v, with them %+v", f, s.Fit())
	}
	job.Readings[0].Kg = job.Readings[0].Kg.Add(decimal.NewFromInt(200))
	job.Readings = append(job.Readings, on("a", weigh(tickets.VehicleAlone, "", 2760, "vehicle")))
	if mustSolve(t, job).OnlyTiesDisagree() {
		t.Error("a front axle 200 kg too heavy passes for a wrong length")
	}
}

// A budget accounts for all of u where it has room for all of it.
func TestBudgetAddsUp(t *testing.T) {
	s := mustSolve(t, triple(0))
	q := s.Total(VehicleAlone, vehicleGroups...)
	sum := 0.0
	causes := s.Budget(q)
	for i, c := range causes {
		sum += c.U * c.U
		if i > 0 && c.U > causes[i-1].U {
			t.Errorf("cause %d is larger than the one before it", i)
		}
	}
	// by hand: 0.5·(10, 8, 6)
	if len(causes) != 3 || math.Abs(sum-50) > 1e-6 || math.Abs(causes[0].U-5) > 1e-6 || causes[0].Index != 2 {
		t.Errorf("%+v (want 5, 4, 3 of readings 2, 1, 0)", causes)
	}
}

// What leans on a tie names the tie and its lengths: the download of the front
// lift alone, D = lift·w/a, has ∂D/∂tie = w/a = 2.28 and so 2.28·5 = 11.4 of
// the tie, and of the lengths 250·10/1250 = 2 (a) and 250·10/2850 = 0.8772 (w).
func TestBudgetOfATie(t *testing.T) {
	job := measured(jobOf(on("a", weigh(tickets.VehicleAlone, "", aloneFront, "front")),
		on("a", weigh(tickets.Coupled, tickets.Slack, aloneFront-download250*overhang/wheelbase, "front"))))
	job.Scales = []tickets.Scale{certain("a", 2)}
	s := mustSolve(t, job)
	want := map[string]float64{tieVehicle: 11.4, lengthA: 2, lengthW: 0.877193}
	for _, c := range s.Budget(s.Download()) {
		if w, ok := want[c.Name]; ok && math.Abs(c.U-w) > 1e-4 {
			t.Errorf("%s %s: %g (want %g)", c.Kind, c.Name, c.U, w)
		}
		delete(want, c.Name)
	}
	if len(want) != 0 {
		t.Errorf("not in the budget: %v", want)
	}
	if s.Download().Basis != ByMoment {
		t.Errorf("basis %s (want moment)", s.Download().Basis)
	}
}

// Each route by hand: T − G = 2680 − 2430, Vc − V = 3010 − 2760, the lift
// 109.649·2850/1250, the gauge as it stands; u of the lift's route has the
// lengths and t = 5 kg of the tie in it: hypot(√2·5·2.28, 5·2.28,
// 250·u(a/w)/(a/w)) = hypot(16.122, 11.4, 2.1839).
func TestRoutesByHand(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.Slack, 0)...)
	readings = append(readings, weigh(tickets.TrailerAlone, "", 252, "coupling"))
	for i := range readings {
		readings[i] = on("a", readings[i])
	}
	job := measured(jobOf(readings...))
	job.Scales = []tickets.Scale{certain("a", 5)}
	want := []route{{"trailer", 250, 5 * math.Sqrt(3)}, {"vehicle", 250, 10}, {"front_lift", 250, math.Hypot(math.Hypot(16.122, 11.4), 2.18391)}, {"gauge", 252, 5}}
	got := mustSolve(t, job).Routes()
	if len(got) != len(want) {
		t.Fatalf("%+v (want %+v)", got, want)
	}
	for i, r := range got {
		if r.Name != want[i].Name || math.Abs(r.Value-want[i].Value) > 1e-6 || math.Abs(r.U-want[i].U) > 1e-3 {
			t.Errorf("%+v (want %+v)", r, want[i])
		}
	}
}

// What an errorless scale would have shown, also for what was not used: the
// fitted loads, less who was away.
func TestReconciled(t *testing.T) {
	job := jobOf(append(aloneReadings()[:2], coupledReadings(tickets.Slack, 0)...)...)
	job.Outfit = levers()
	add := func(use tickets.Use, without string, terms ...tickets.Term) {
		r := weigh(tickets.VehicleAlone, "", 1, "")
		r.Use, r.Terms = use, terms
		if without != "" {
			r.Without = []string{without}
		}
		job.Readings = append(job.Readings, r)
	}
	job.Loads = []tickets.Load{{Name: "driver", Kg: decimal.NewFromInt(80), UKg: 1, On: tickets.OnVehicle, Place: "seat"}}
	job.Places = []tickets.Place{{Name: "seat", On: tickets.OnVehicle, HasAt: true, AtMm: 1200}}
	job.Readings[0].Without, job.Readings[0].Kg = []string{"driver"}, job.Readings[0].Kg.Sub(decimal.NewFromInt(48)) // 0.6 of him
	add(tickets.UseNo, "", deck("vehicle")...)
	add(tickets.UseNo, "driver", deck("vehicle")...)
	add(tickets.UseNo, "", support(tickets.Front, 0, tickets.Left)...)
	add(tickets.UseCalculated, "")
	forget(&job.Outfit, "a")
	s := mustSolve(t, job)
	for i, want := range []float64{1212, 1500, 1150.351, 0, 0, 2760, 2680} {
		if kg, ok := s.Reconciled(i); want != 0 && (!ok || math.Abs(kg-want) > 1e-3) {
			t.Errorf("reading %d: %.4f, %v (want %g)", i, kg, ok, want)
		}
	}
	for _, i := range []int{7, 8} { // a side not solved apart; nothing on the deck
		if kg, ok := s.Reconciled(i); ok {
			t.Errorf("reading %d has %g (want nothing)", i, kg)
		}
	}
}
