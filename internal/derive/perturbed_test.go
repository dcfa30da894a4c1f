package derive

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// step is by how much a reading is perturbed, in kilograms.
const step = 0.5

// perturbed solves a job again with one reading a step heavier.
func perturbed(t *testing.T, job *tickets.Job, reading int) *Solution {
	t.Helper()
	other := *job
	other.Readings = append([]tickets.Reading{}, job.Readings...)
	other.Readings[reading].Kg = other.Readings[reading].Kg.Add(decimal.NewFromFloat(step))
	return mustSolve(t, &other)
}

// certainJob is a complete weighing on scales of chosen u and next to no gain, so
// that the readings alone are uncertain; lengths by letters are forgotten.
func certainJob(missing string) *tickets.Job {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
	readings = append(readings, coupledReadings(tickets.CoupledTensioned, 125)...)
	readings = append(readings, weigh(tickets.VehicleAlone, 2764, "vehicle"), weigh(tickets.CoupledSlack, 5436, "outfit"))
	for i := range readings {
		readings[i] = on([]string{"a", "b", "c"}[i%3], readings[i])
	}
	job := measured(jobOf(readings...))
	job.Scales = []tickets.Scale{certain("a", 4), certain("b", 7), certain("c", 12)}
	job.Outfit.LengthUncertaintyMm = 0
	forget(&job.Outfit, missing)
	return job
}

// propagated is u of anything by differences: Σ (∂value/∂reading·u)².
func propagated(t *testing.T, job *tickets.Job, s *Solution, value func(*Solution) float64) float64 {
	t.Helper()
	u := 0.0
	for i := range job.Readings {
		d := (value(perturbed(t, job, i)) - value(s)) / step
		u = math.Hypot(u, d*s.Observations[i].U)
	}
	return u
}

// u of every load is what the readings' u come to, taken one reading at a time.
func TestUncertaintyByPerturbation(t *testing.T) {
	job := certainJob("w a L n")
	s := mustSolve(t, job)
	held := 0
	for name, q := range numbers(s) {
		_, u, ok := q.Number()
		if !ok {
			continue
		}
		held++
		want := propagated(t, job, s, func(s *Solution) float64 { v, _, _ := numbers(s)[name].Number(); return v })
		if math.Abs(u-want) > 5e-5 { // values are on a grid of 1e-6, the steps small
			t.Errorf("u(%s) = %.8f (want %.8f)", name, u, want)
		}
	}
	if held != 18 {
		t.Errorf("%d quantities (want all 18)", held)
	}
}

// The same for quotients, which are right to first order only.
func TestUncertaintyOfFiguresByPerturbation(t *testing.T) {
	for _, c := range []struct {
		name    string
		missing string // so that no tie is in force, but for the lengths the figure needs
		figure  func(figures) Quantity
	}{
		{"download share", "w a L n", func(f figures) Quantity { return f.DownloadShare }},
		{"trailer to vehicle", "w a L n", func(f figures) Quantity { return f.TrailerToVehicle }},
		{"restoration", "w a L n", func(f figures) Quantity { return f.Restoration }},
		{"vehicle cg", "a L n", func(f figures) Quantity { return f.VehicleCG }},
		{"trailer cg", "w a n", func(f figures) Quantity { return f.TrailerCG }},
	} {
		job := certainJob(c.missing)
		s := mustSolve(t, job)
		if names := tieNames(s); names != "" {
			t.Errorf("%s: ties %s in force (want none)", c.name, names)
		}
		want := propagated(t, job, s, func(s *Solution) float64 { v, _, _ := c.figure(*s.Figures()).Number(); return v })
		if _, u, ok := c.figure(*s.Figures()).Number(); !ok || math.Abs(u-want) > 5e-3*want {
			t.Errorf("u(%s) = %.8g, %v (want %.8g)", c.name, u, ok, want)
		}
	}
}

// What affects a quantity is what moves it by more than 0.01 of itself, also
// through ties; and a mistake in it of the smallest size that would show moves
// it by no more than is said.
func TestBearingByPerturbation(t *testing.T) {
	job := certainJob("")
	s := mustSolve(t, job)
	for name, q := range numbers(s) {
		v, _, _ := q.Number()
		var bearing []int
		effect := 0.0
		for i := range job.Readings {
			w, _, _ := numbers(perturbed(t, job, i))[name].Number()
			d := math.Abs(w-v) / step
			if math.Abs(d-0.01) < 1e-4 {
				t.Fatalf("reading %d is at the boundary for %s: choose other figures", i, name)
			}
			if d > 0.01 {
				bearing = append(bearing, i)
				effect = math.Max(effect, d*s.Observations[i].Smallest)
			}
		}
		b := s.Behind(q)
		if !slices.Equal(b.Readings, bearing) {
			t.Errorf("%s: readings %v affect it (want %v)", name, b.Readings, bearing)
		}
		if !b.Checked || !b.Tested || math.Abs(b.MistakeKg-effect) > 1e-3 {
			t.Errorf("%s: checked %v, a mistake moves it by %v (want %.5f)", name, b.Checked, b.MistakeKg, effect)
		}
	}
}

// One scale's gain is in all its readings alike: front 1260 and rear 1500 on
// one scale with a gain of u 0.004 have (2760·0.004)² in their sum; on two
// scales (1260·0.004)² + (1500·0.004)².
func TestGainIsCommonToAScale(t *testing.T) {
	for _, c := range []struct {
		scales [2]string
		want   float64 // beyond 3² + 3²
	}{
		{[2]string{"a", "a"}, 121.8816}, // 11.04²
		{[2]string{"a", "b"}, 61.4016},  // 5.04² + 6²
	} {
		job := jobOf(on(c.scales[0], weigh(tickets.VehicleAlone, 1260, "front")), on(c.scales[1], weigh(tickets.VehicleAlone, 1500, "rear")))
		for _, name := range slices.Compact(c.scales[:]) {
			scale := certain(name, 3)
			scale.ExpandedKg, scale.StatedAtKg = whole(8), whole(1000)
			job.Scales = append(job.Scales, scale)
		}
		_, u, _ := mustSolve(t, job).total(tickets.VehicleAlone, vehicleGroups...).Number()
		if math.Abs(u*u-18-c.want) > 1e-4 {
			t.Errorf("%v: u² = %.5f (want 18 + %.4f)", c.scales, u*u, c.want)
		}
	}
}

// A case of 100 ± 5 kg of unknown place, away from both axles' weighings (u 3
// each): either axle has the share's u, 28.8675, in it; the vehicle only the
// mass's, for what is not on the front is on the rear.
func TestUnknownShareByHand(t *testing.T) {
	job := jobOf(on("a", weigh(tickets.VehicleAlone, 1210, "front")), on("a", weigh(tickets.VehicleAlone, 1450, "rear")))
	job.Scales = []tickets.Scale{certain("a", 3)}
	job.Loads = []tickets.Load{{Name: "case", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnVehicle}}
	job.Readings[0].Without, job.Readings[1].Without = []string{"case"}, []string{"case"}
	s := mustSolve(t, job)
	for _, c := range []struct {
		name   string
		q      Quantity
		kg, u2 float64
	}{
		{"front", s.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Front}), 1260, 9 + 25 + 10000.0/12},
		{"rear", s.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Rear}), 1500, 9 + 10000.0/12},
		{"vehicle", s.total(tickets.VehicleAlone, vehicleGroups...), 2760, 9 + 9 + 25},
	} {
		wantNumber(t, c.name, c.q, c.kg, 1e-6)
		if _, u, _ := c.q.Number(); math.Abs(u*u-c.u2) > 1e-4 {
			t.Errorf("%s: u² = %.4f (want %.4f)", c.name, u*u, c.u2)
		}
	}
}

// The same with both sides of the rear axle read: either side has half the
// share and the side share q = 0 ± 50/(2√3) besides; together they have no q.
func TestSideShareByHand(t *testing.T) {
	left, right := support(tickets.Rear, 0, tickets.Left), support(tickets.Rear, 0, tickets.Right)
	a, b := weigh(tickets.VehicleAlone, 725), weigh(tickets.VehicleAlone, 715)
	a.Terms, b.Terms = left, right
	job := jobOf(on("a", a), on("a", b))
	job.Scales = []tickets.Scale{certain("a", 3)}
	job.Loads = []tickets.Load{{Name: "case", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnVehicle}}
	job.Readings[0].Without, job.Readings[1].Without = []string{"case"}, []string{"case"}
	s := mustSolve(t, job)
	for _, c := range []struct {
		name   string
		q      Quantity
		kg, u2 float64
	}{
		{"left", s.load(tickets.VehicleAlone, left[0]), 750, 9 + 10000.0/48 + 2500.0/12},
		{"right", s.load(tickets.VehicleAlone, right[0]), 740, 9 + 10000.0/48 + 2500.0/12},
		{"rear", s.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Rear}), 1490, 9 + 9 + 10000.0/12},
	} {
		wantNumber(t, c.name, c.q, c.kg, 1e-6)
		if _, u, _ := c.q.Number(); math.Abs(u*u-c.u2) > 1e-4 {
			t.Errorf("%s: u² = %.4f (want %.4f)", c.name, u*u, c.u2)
		}
	}
}

// The solved mass of a load that two weighings show is sharper than stated:
// 2840 with the case, 2740 without, u 3 each; stated 104 ± 6. By hand the
// weights are 1/18 and 1/36: (100·2 + 104)/3 = 101.3333, u² = 12.
func TestMassOfALoadByHand(t *testing.T) {
	job := jobOf(on("a", weigh(tickets.VehicleAlone, 2840, "vehicle")), on("b", weigh(tickets.VehicleAlone, 2740, "vehicle")))
	job.Scales = []tickets.Scale{certain("a", 3), certain("b", 3)}
	job.Loads = []tickets.Load{{Name: "case", Kg: decimal.NewFromInt(104), UKg: 6, On: tickets.OnVehicle}}
	job.Readings[1].Without = []string{"case"}
	s := mustSolve(t, job)
	m := s.Sum(Part{Factor: 1, Load: "case"})
	wantNumber(t, "case", m, 101.3333, 1e-3)
	if _, u, _ := m.Number(); math.Abs(u*u-12) > 1e-4 {
		t.Errorf("u² = %.5f (want 12)", u*u)
	}
	if f := s.Agreement; f.Observations != 5 || f.DOF != 1 {
		t.Errorf("%+v (want 5 observations: 2 readings, 1 load, 2 scales; dof 1)", f)
	}
}
