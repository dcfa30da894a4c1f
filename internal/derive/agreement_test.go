package derive

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// towing is the synthetic layout of vehicle, its axles, trailer, combination,
// and the coupled axles, every reading with u = 10 kg: class none, no split,
// and an interval of which e²/12 + e²/48 is 100 kg².
func towing(extra ...tickets.Reading) *tickets.Job {
	job := jobOf(append([]tickets.Reading{
		weigh(tickets.VehicleAlone, 2480, "vehicle"),
		weigh(tickets.VehicleAlone, 1180, "front"),
		weigh(tickets.VehicleAlone, 1290, "rear"),
		weigh(tickets.TrailerAlone, 1860, "whole trailer"),
		weigh(tickets.CoupledSlack, 4340, "outfit"),
		weigh(tickets.CoupledSlack, 1080, "front"),
		weigh(tickets.CoupledSlack, 1560, "rear"),
		weigh(tickets.CoupledSlack, 1690+100, "trailer"),
	}, extra...)...)
	for i := range job.Readings {
		job.Readings[i].IntervalKg = decimal.NewFromFloat(math.Sqrt(960))
		job.Readings[i].Ticket = fmt.Sprint(i + 1)
	}
	job.Scales[0] = tickets.Scale{
		Class:   "none",
		SplitKg: decimal.NewNullDecimal(decimal.Zero), ExpandedKg: decimal.NewNullDecimal(decimal.RequireFromString("0.000001")),
	}
	job.Outfit.Travels, job.Outfit.TravelsPlain, job.Outfit.TravelsStated = tickets.CoupledSlack, true, true
	return job
}

// Synthetic towing layout with the trailer's axles read 100 kg too high
// (constructed for this purpose, recomputed independently; not published):
// equal constraint columns make front, rear and trailer inseparable.
func TestTowingInseparable(t *testing.T) {
	s := mustSolve(t, towing())
	if chi := s.Agreement.ChiSquare; math.Abs(chi-23.344828) > 1e-5 {
		t.Errorf("χ² %.6f (want 23.344828)", chi)
	}
	for _, i := range []int{5, 6, 7} {
		if w := math.Abs(s.Observations[i].Standardised); math.Abs(w-4.792685) > 1e-5 {
			t.Errorf("|w| of reading %d is %.6f (want 4.792685)", i+1, w)
		}
	}
	if sets := s.inseparable(); len(sets) != 1 || !slices.Equal(sets[0], []int{5, 6, 7}) {
		t.Errorf("inseparable sets %v (want front, rear, trailer)", sets)
	}
}

// An overlapping draft of front and rear locates the trailer; front and rear
// stay inseparable. A second one over rear and trailer separates all three.
func TestTowingOverlappingDrafts(t *testing.T) {
	over := weigh(tickets.CoupledSlack, 2640, "vehicle")
	s := mustSolve(t, towing(over))
	wantW(t, s, map[int]float64{7: 6.027777, 8: 3.655717, 5: 2.147988, 6: 2.147988})
	if sets := s.inseparable(); len(sets) == 0 || !slices.Equal(sets[0], []int{7}) {
		t.Errorf("inseparable sets %v (want the trailer alone first)", sets)
	}
	if set := s.alike(5); !slices.Equal(set, []int{5, 6}) {
		t.Errorf("the front cannot be distinguished from %v (want front and rear)", set)
	}
	s = mustSolve(t, towing(over, weigh(tickets.CoupledSlack, 3250, "rear", "trailer")))
	wantW(t, s, map[int]float64{5: 0.026444, 6: 3.535534, 7: 6.901961, 8: 3.464203, 9: 3.411314})
	for _, i := range []int{5, 6, 7} {
		if set := s.alike(i); len(set) != 1 {
			t.Errorf("reading %d cannot be distinguished from %v", i+1, set)
		}
	}
}

func wantW(t *testing.T, s *Solution, want map[int]float64) {
	t.Helper()
	for i, w := range want {
		if got := math.Abs(s.Observations[i].Standardised); math.Abs(got-w) > 1e-5 {
			t.Errorf("|w| of reading %d is %.6f (want %.6f)", i+1, got, w)
		}
	}
}

// triple weighs two axles and both: u 6, 8 and 10, so that a misclosure c has
// u² = 200 and everything can be worked out by hand.
func triple(c float64) *tickets.Job {
	job := jobOf(
		on("a", weigh(tickets.VehicleAlone, 1260, "front")), on("b", weigh(tickets.VehicleAlone, 1500, "rear")),
		on("c", weigh(tickets.VehicleAlone, 2760+c, "vehicle")),
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
	q := s.total(tickets.VehicleAlone, vehicleGroups...)
	wantNumber(t, "vehicle", q, 2770, 1e-4)
	if b := s.Behind(q); !b.Checked || !b.Tested || math.Abs(b.MistakeKg-29.218) > 1e-3 {
		t.Errorf("checked %v, effect %v (want true, 29.218)", b.Checked, b.MistakeKg)
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
		want degree
	}{{0, agree}, {3.84, agree}, {3.843, strained}, {10.82, strained}, {10.83, conflict}, {50, conflict}} {
		s := mustSolve(t, triple(math.Sqrt(200*c.chi)))
		a := s.Agreement
		if a.Degree != c.want {
			t.Errorf("chi-square %g: %s (want %s)", c.chi, a.Degree, c.want)
		}
		scaling := 1.0
		if c.want == strained {
			scaling = math.Sqrt(c.chi)
		}
		if math.Abs(a.Scaling-scaling) > 1e-4 {
			t.Errorf("chi-square %g: scaling %g (want %g)", c.chi, a.Scaling, scaling)
		}
		sets := s.inseparable()
		if (c.want == conflict) != (len(sets) == 1 && len(sets[0]) == 3) {
			t.Errorf("chi-square %g: inseparable %v (want all three readings in a conflict, else none)", c.chi, sets)
		}
	}
}

// A wheelbase 700 mm short does not fit the vehicle's tie; the readings among themselves agree.
func TestOnlyTheTiesDisagree(t *testing.T) {
	job := measured(jobOf(append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)...))
	for i := range job.Readings {
		job.Readings[i] = on("a", job.Readings[i])
	}
	job.Scales = []tickets.Scale{certain("a", 2)}
	s := mustSolve(t, job)
	if _, only := s.agreementWithoutTies(); s.Agreement.Degree != agree || only {
		t.Errorf("agreement %s, only the ties %v (want agree, false)", s.Agreement.Degree, only)
	}
	job.Outfit.Wheelbase = known(1000*wheelbase - 700)
	s = mustSolve(t, job)
	all := s.Agreement
	bare, only := s.agreementWithoutTies()
	if !all.Conflict || !only {
		t.Errorf("agreement %s, only the ties %v (want conflict, true)", all.Degree, only)
	}
	if bare.ChiSquare > 1e-6 || bare.DOF != all.DOF-2 || bare.Observations != all.Observations-2 || bare.Degree != agree {
		t.Errorf("without ties %+v, with them %+v", bare, all)
	}
	job.Readings[0].Kg = job.Readings[0].Kg.Add(decimal.NewFromInt(200))
	job.Readings = append(job.Readings, on("a", weigh(tickets.VehicleAlone, 2760, "vehicle")))
	if _, only := mustSolve(t, job).agreementWithoutTies(); only {
		t.Error("a front axle 200 kg too heavy passes for a wrong length")
	}
}

// No reading affects what is not determined, and nothing of it is checked.
func TestNothingChecked(t *testing.T) {
	s := mustSolve(t, jobOf(weigh(tickets.VehicleAlone, 2760, "vehicle")))
	if b := s.Behind(s.Figures().Download); b.Checked || b.Tested || b.MistakeKg != 0 || b.Readings != nil || b.Most != -1 {
		t.Errorf("behind a download that is not determined: %+v", b)
	}
}
