package limits

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

func mass(kg float64) decimal.NullDecimal { return decimal.NewNullDecimal(decimal.NewFromFloat(kg)) }

// touring is the fixture with a fresh-water tank 1 m ahead of the trailer's
// axle, 60 kg as weighed and 0 to 100 on the road, and fuel over the vehicle's
// rear axle, 50 kg as weighed and at least 10.
func touring(lines ...tickets.Rating) *tickets.Job {
	job := levered(plated(lines...))
	job.Places = []tickets.Place{{Name: "nose", On: tickets.OnTrailer, HasAt: true, AtMm: 1000}, {Name: "tank", On: tickets.OnVehicle, HasAt: true, AtMm: 2850}}
	job.Loads = []tickets.Load{
		{Name: "water", Kg: decimal.NewFromInt(60), UKg: 3, On: tickets.OnTrailer, Place: "nose", Least: mass(0), Most: mass(100)},
		{Name: "fuel", Kg: decimal.NewFromInt(50), UKg: 2, On: tickets.OnVehicle, Place: "tank", Least: mass(10)},
		{Name: "tools", Kg: decimal.NewFromInt(40), UKg: 2, On: tickets.OnVehicle, Place: "tank"},
	}
	return job
}

// tripRow is a check with its worst corner.
func tripRow(t *testing.T, f *Findings, word, on string) *Check {
	t.Helper()
	for _, c := range f.Deciding {
		if c.Rating == word && c.On == on && c.State != tickets.VehicleAlone && c.Worst != nil {
			return c
		}
	}
	t.Fatalf("no row %s %s in the trip", word, on)
	return nil
}

// By hand, L 5 m: 40 kg more water puts 8 on the coupling, 60 less takes 12
// off; its u is in proportion, 3/60 of the change, times the share. Fuel is
// at most as weighed, at least 40 less.
func TestTripByHand(t *testing.T) {
	f := found(t, touring(rate("download_max", "", 270), rate("download_min", "", 200), rate("axle", "rear", 2000), rate("gtm", "", 2900)))
	for _, c := range []struct {
		word, on   string
		adds, more float64 // to the value; standard uncertainty added in squares
		other      float64 // added to the value at the other end
		at         string
	}{
		{"download_max", "", 8, 0.2 * 2, -12, "water 100"},
		{"download_min", "", -12, 0.2 * 3, 8, "water 0"},
		{"axle", "rear", 40 * 0.2 * (1 + 1250.0/2850), 0.2 * (1 + 1250.0/2850) * 2, -60*0.2*(1+1250.0/2850) - 40, "water 100 fuel 50"},
		{"gtm", "", 32, 0.8 * 2, -48, "water 100"},
	} {
		row := tripRow(t, f, c.word, c.on)
		was, worst := row.Found, row.Worst
		at := ""
		for _, l := range worst.At {
			at += fmt.Sprintf(" %s %s", l.Load, l.Kg)
		}
		if math.Abs(worst.Found.Value-was.Value-c.adds) > 1e-5 || math.Abs(worst.Found.U-math.Hypot(was.U, c.more)) > 1e-5 || math.Abs(worst.Other-was.Value-c.other) > 1e-5 || at != " "+c.at {
			t.Errorf("%s %s: %+v at%s (was %+v; want %+g, u %g more, at %s)", c.word, c.on, worst.Found, at, was, c.adds, c.more, c.at)
		}
	}
	// 250 + 8 + U against 270, 250 − 12 against 200: over neither, and not settled
	if f.Trip != Unsettled || row(t, f, "download_max", "", noState, "").Verdict != Unsettled && tripRow(t, f, "download_max", "").Worst.Verdict != Unsettled {
		t.Errorf("trip %s", f.Trip)
	}
	if f := found(t, plated(rate("gvm", "", 3500))); f.Trip != "" {
		t.Errorf("no load varies: %s", f.Trip)
	}
}

// The floor is kept on the value: D 10, less 12 when the water is used, lifts.
func TestTripOfTheFloor(t *testing.T) {
	for d, want := range map[float64]Verdict{10: Over, 14: Within} {
		job := touring(rate("gvm", "", 3500))
		for i, kg := range map[int]float64{4: 1260 - 0.44*d, 5: 1500 + 1.44*d, 6: 2680 - d} {
			job.Readings[i].Kg = decimal.NewFromFloat(kg)
		}
		f := found(t, job)
		if r := f.Checks[len(f.Checks)-1]; !r.Floor || r.Worst.Verdict != want {
			t.Errorf("D %g: %+v (want %s)", d, r.Worst, want)
		}
	}
}

// What hangs on a missing number, or was not weighed, is not known.
func TestTripNotKnown(t *testing.T) {
	job := touring(rate("axle", "rear", 2100), rate("atm", "", 3200))
	job.Outfit.CouplingToTrailerAxle = tickets.Length{}
	f := found(t, job)
	if r := tripRow(t, f, "axle", "rear").Worst; r.Verdict != notKnown || r.Found != nil {
		t.Errorf("rear without L: %s, %+v (want not_known)", r.Verdict, r.Found)
	}
	if r := tripRow(t, f, "atm", "").Worst; r.Verdict != Within {
		t.Errorf("atm without L: %s (want within: it needs no length)", r.Verdict)
	}
	if f.Trip != notKnown {
		t.Errorf("trip %s (want not_known)", f.Trip)
	}
	// a load of 0 kg as weighed: 5 % of the change, at least 1 kg
	v := varying{Load: &tickets.Load{}, most: decimal.NewFromInt(10)}
	if _, u := v.change(decimal.NewFromInt(10)); u != 1 {
		t.Errorf("10 kg more of nothing: u %g (want 1)", u)
	}
	if _, u := v.change(decimal.NewFromInt(100)); u != 5 {
		t.Errorf("100 kg more of nothing: u %g (want 5)", u)
	}
}

// A load whose place on the trailer is not known goes to T or to C, and where they are
// alike Dc does not ask which: both 2700 kg as weighed, one of them 300 more.
func TestTripOfAForceWithoutAPlace(t *testing.T) {
	job := rated(jobOf(slack()), dValue(14))
	for i, kg := range []int64{1200, 1500, 2700} {
		job.Readings[i].Kg = decimal.NewFromInt(kg)
	}
	job.Loads = []tickets.Load{{Name: "water", Kg: decimal.NewFromInt(60), UKg: 3, On: tickets.OnTrailer, Least: mass(60), Most: mass(360)}}
	row := tripRow(t, found(t, job), "d_value", "")
	if was, worst := row.Found.Value, row.Worst.Found; worst == nil || !near(was, dc(2700, 2700)) || !near(worst.Value, dc(2700, 3000)) {
		t.Errorf("Dc %.6f, at worst %+v (want %.6f, %.6f)", was, worst, dc(2700, 2700), dc(2700, 3000))
	}
}

// Every corner of up to five varying loads tried, on 200 drawn jobs: the same
// worst value. The effects are found by adding 1 kg to the loads of the model
// of a check, and Dc by its own formula.
func TestTripAgainstEveryCorner(t *testing.T) {
	random := rand.New(rand.NewPCG(2026, 15))
	tried := 0
	for range 200 {
		job := levered(plated(rate("gvm", "", 3400), rate("axle", "front", 1500), rate("axle", "rear", 2100), rate("gtm", "", 2700),
			rate("atm", "", 3000), rate("gcm", "", 6200), rate("download_max", "", 300), rate("download_min", "", 150), dValue(14)))
		for i := range 1 + random.IntN(5) {
			p := tickets.Place{Name: fmt.Sprint("place", i), On: tickets.OnVehicle, HasAt: true, AtMm: float64(random.IntN(4000) - 500)}
			if random.IntN(2) == 0 {
				p.On, p.AtMm = tickets.OnTrailer, float64(random.IntN(6000)-2500)
			}
			least := random.IntN(40)
			kg := least + random.IntN(60)
			job.Places = append(job.Places, p)
			job.Loads = append(job.Loads, tickets.Load{Name: fmt.Sprint("load", i), Kg: decimal.NewFromInt(int64(kg)), UKg: 2, On: p.On, Place: p.Name,
				Least: mass(float64(least)), Most: mass(float64(kg + random.IntN(80)))})
		}
		f := found(t, job)
		for _, row := range f.Deciding {
			tried++
			worst := cornersOf(t, job, f, row)
			if row.Worst.Found == nil || math.Abs(row.Worst.Found.Value-worst) > 2e-5 {
				t.Fatalf("%s %s: %+v (want %g)", row.Rating, row.On, row.Worst.Found, worst)
			}
			margin := *row.Limit - row.Worst.Found.Value
			if row.Lower {
				margin = -margin
			}
			if math.Abs(row.Worst.Found.Margin-margin) > 1e-6 {
				t.Fatalf("%s %s: margin %g at its worst (want %g)", row.Rating, row.On, row.Worst.Found.Margin, margin)
			}
		}
	}
	if tried < 2000 {
		t.Errorf("%d rows tried", tried)
	}
}

// cornersOf is the worst value of a check over all corners, by enumeration.
func cornersOf(t *testing.T, job *tickets.Job, f *Findings, c *Check) float64 {
	t.Helper()
	worst := math.Inf(-1)
	if c.Lower {
		worst = math.Inf(1)
	}
	for corner := range 1 << len(job.Loads) {
		value := c.Found.Value
		vehicle, axles := row(t, f, "gvm", "", tickets.CoupledSlack, ""), row(t, f, "gtm", "", tickets.CoupledSlack, "")
		tv, cv := vehicle.Found.Value, axles.Found.Value
		for i := range job.Loads {
			l := &job.Loads[i]
			end := l.Least.Decimal
			if corner>>i&1 == 1 {
				end = l.Most.Decimal
			}
			delta := end.Sub(l.Kg).InexactFloat64()
			p := job.Place(l.Place)
			effect := func(parts []derive.Part) (sum float64) { // by the shares of the lever law
				for _, part := range parts {
					sum += part.Factor * onGroups(&job.Outfit, p, part.State)[part.Support.Group]
				}
				return sum
			}
			value += effect(c.Parts) * delta
			tv += effect(vehicle.Parts) * delta
			cv += effect(axles.Parts) * delta
		}
		if c.LimitKN.Valid {
			value = 9.81 / 1000 * tv * cv / (tv + cv)
		}
		if c.Lower {
			worst = min(worst, value)
		} else {
			worst = max(worst, value)
		}
	}
	return worst
}

// barred is the fixture weighed slack, travelling with a load-distribution hitch.
func barred(lines ...tickets.Rating) *tickets.Job {
	job := levered(plated(lines...))
	travel(job, "tensioned")
	return job
}

// The statics of the references (section 5 and 8): w 2.85 m, a 1.25, L 5.0;
// half of the front's 110 kg restored: front 1,205, rear 1,780, trailer 2,455.
func TestHitchTable(t *testing.T) {
	r := found(t, barred(rate("gvm", "", 3500))).HitchRange
	if r == nil || len(r.Table) != 5 {
		t.Fatalf("%+v", r)
	}
	for i, want := range map[int][3]float64{0: {1150, 1860, 2430}, 2: {1205, 1780, 2455}, 4: {1260, 1700, 2480}} {
		got := r.Table[i]
		if math.Abs(got.FrontKg-want[0]) > 1 || math.Abs(got.RearKg-want[1]) > 1 || math.Abs(got.TrailerKg-want[2]) > 1 || got.Verdict != Within {
			t.Errorf("restored %g: %+v (want %v)", got.Restored, got, want)
		}
	}
	if r.LowBy.Rating != endSlack || r.HighBy.Rating != endFrontLift || *r.LowKg != 0 || math.Abs(*r.HighKg-110) > 1 {
		t.Errorf("no limit near: %v to %v, %v, %v", *r.LowKg, *r.HighKg, r.LowBy, r.HighBy)
	}
	// the lengths' u, by numerical derivatives: 1.456·x of the rear, 10 mm each
	ratio := func(w, a, l float64) float64 { return w / (l + a) }
	u := 0.0
	for _, d := range [][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}} {
		u = math.Hypot(u, 10*(ratio(2850+d[0], 1250+d[1], 5000+d[2])-ratio(2850-d[0], 1250-d[1], 5000-d[2]))/2)
	}
	lift := r.Table[4].FrontKg - r.Table[0].FrontKg
	if want := math.Hypot(r.Table[0].URearKg, u*lift); math.Abs(r.Table[4].URearKg-want) > 1e-5 {
		t.Errorf("u of the rear %g (want %g)", r.Table[4].URearKg, want)
	}
}

// At the ends a line is at its limit, inside none is beyond, outside one is:
// tried with the plain formula at every tenth of a kilogram.
func TestHitchRangeEnds(t *testing.T) {
	for _, c := range []struct {
		name      string
		lines     []tickets.Rating
		low, high string
		none      bool
	}{
		{"rear and trailer", []tickets.Rating{rate("axle", "rear", 1830), rate("gtm", "", 2480)}, "axle", "gtm", false},
		{"front from above", []tickets.Rating{rate("axle", "front", 1230)}, endSlack, "axle", false},
		{"gvm from below", []tickets.Rating{rate("gvm", "", 3010)}, "gvm", endFrontLift, false},
		{"exclude each other", []tickets.Rating{rate("axle", "rear", 1780), rate("gtm", "", 2460)}, "axle", "gtm", true},
		{"never kept by a kilogram", []tickets.Rating{rate("axle", "front", 1165)}, "axle", "axle", true},
		{"never kept", []tickets.Rating{rate("axle", "front", 1100)}, "axle", "axle", true},
		{"slack and alone aside", []tickets.Rating{with(rate("axle", "rear", 1000), func(r *tickets.Rating) { r.When = "slack" }), rate("axle", "rear", 1830)}, "axle", endFrontLift, false},
		{"tyres", []tickets.Rating{with(rate("tyre", "rear", 1030), func(r *tickets.Rating) { r.Fitted = 2 })}, "tyre", endFrontLift, false},
	} {
		job := barred(c.lines...)
		s := mustSolve(t, job)
		r := Find(job, s, Guarded).HitchRange
		if r == nil || r.LowBy.Rating != c.low || r.HighBy.Rating != c.high || (r.LowKg == nil) != c.none {
			t.Errorf("%s: %+v (want %s to %s, none %v)", c.name, r, c.low, c.high, c.none)
			continue
		}
		if c.none {
			continue
		}
		lift := r.Table[4].FrontKg - r.Table[0].FrontKg
		for x := 0.0; x <= lift; x += 0.1 {
			inside := x >= *r.LowKg && x <= *r.HighKg
			if kept := tensionKept(job, s, x); kept != inside && math.Abs(x-*r.LowKg) > 0.02 && math.Abs(x-*r.HighKg) > 0.02 {
				t.Errorf("%s: %.1f kg restored: kept %v, range %g to %g", c.name, x, kept, *r.LowKg, *r.HighKg)
				break
			}
		}
	}
}

// tensionKept compares the slack loads, moved by x, with the lines.
func tensionKept(job *tickets.Job, s *derive.Solution, x float64) bool {
	const ratio = 2850.0 / 6250
	uR := 10 * math.Sqrt(1/6250.0/6250+2*math.Pow(ratio/6250, 2))
	for i := range job.Ratings {
		line := &job.Ratings[i]
		if line.When == "slack" {
			continue
		}
		on := tickets.Term{Group: tickets.Trailer}
		per, perR, n, unequal := ratio, 1.0, 1.0, 0.0
		q := s.Sum(derive.Part{Factor: 1, State: tickets.CoupledSlack, Support: on})
		switch {
		case line.Word == "gvm":
			q, per = s.Sum(groupLoads(1, tickets.CoupledSlack, tickets.Front, tickets.Rear)...), -ratio
		case line.On == "front":
			q, per, perR = s.Sum(groupLoads(1, tickets.CoupledSlack, tickets.Front)...), 1, 0
		case line.On == "rear":
			q, per = s.Sum(groupLoads(1, tickets.CoupledSlack, tickets.Rear)...), -1-ratio
		}
		if line.Word == "tyre" {
			n, unequal = 2, 0.06
		}
		v, u, _ := q.Number()
		value := (v + per*x) / n
		u = math.Sqrt(math.Pow(u/n, 2) + math.Pow(perR*uR*x/n, 2) + math.Pow(unequal*value, 2))
		if value+2*u > line.LimitKg.Decimal.InexactFloat64() {
			return false
		}
	}
	return true
}

// No range where the outfit says plain, a length is missing, nothing was
// lifted, or the trailer is a semi-trailer.
func TestNoHitchRange(t *testing.T) {
	for name, change := range map[string]func(*tickets.Job){
		"plain":      func(j *tickets.Job) { travel(j, "plain") },
		"no L":       func(j *tickets.Job) { j.Outfit.CouplingToTrailerAxle = tickets.Length{} },
		"semi":       func(j *tickets.Job) { j.Outfit.Semi = true },
		"no trailer": func(j *tickets.Job) { j.Readings = j.Readings[:6] },
		"no lift": func(j *tickets.Job) {
			for i, kg := range map[int]int64{4: 1260, 5: 1500, 6: 2680} {
				j.Readings[i].Kg = decimal.NewFromInt(kg)
			}
		},
	} {
		job := barred(rate("gvm", "", 3500))
		change(job)
		if name == "no trailer" {
			job.Readings = append(job.Readings[:3:3], job.Readings[4:]...)
		}
		if r := found(t, job).HitchRange; r != nil {
			t.Errorf("%s: %+v (want none)", name, r)
		}
	}
	unstated := barred(rate("gvm", "", 3500))
	travel(unstated, "plain")
	unstated.Outfit.TravelsStated = false
	if r := found(t, unstated).HitchRange; r == nil {
		t.Error("plain but not stated: no range")
	}
}
