package limits

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// What every single line turned wrong has shown beside. Expected numbers are
// worked out by hand where nothing else is said.

// A download may be nothing within its U: half a kilogram either side of it.
func TestDownloadOfItsU(t *testing.T) {
	job := func(download float64) *tickets.Job {
		return jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, "", 2760, "vehicle"), weigh(tickets.Coupled, tickets.Slack, 2760+download, "vehicle")})
	}
	_, u, _ := mustSolve(t, job(30)).Download().Number()
	for past, want := range map[float64]bool{-0.5: true, 0.5: false} {
		j := job(2*u + past)
		v, now, _ := mustSolve(t, j).Download().Number()
		if math.Abs(v-2*now-past) > 0.1 {
			t.Fatalf("%g, u %g: not half a kilogram from the end", v, now)
		}
		if said := slices.Contains(codes(mustHold(t, j)), "download_not_positive"); said != want {
			t.Errorf("%g kg above U: cautioned %v (want %v)", past, said, want)
		}
	}
}

// A group that is not read apart is impossible once.
func TestImpossibleOnce(t *testing.T) {
	job := jobOf([]tickets.Reading{weigh(tickets.VehicleAlone, "", 2760, "vehicle"), weigh(tickets.VehicleAlone, "", 2980, "front")})
	f := mustHold(t, job)
	if len(f.CannotBe) != 1 || f.CannotBe[0].On != "rear" || f.Verdict != JobConflict {
		t.Errorf("%+v, %s (want one: the rear axle carries 2760 − 2980)", f.CannotBe, f.Verdict)
	}
}

// Only a plate of the United Kingdom that says no train weight forbids to tow.
func TestNoTrainWeight(t *testing.T) {
	for _, c := range []struct {
		name   string
		region tickets.Region
		line   tickets.Rating
		want   bool
	}{
		{"uk plate without", "uk", none("gcm", ""), true},
		{"au plate without", "au", none("gcm", ""), false},
		{"uk plate with", "uk", rate("gcm", "", 6000), false},
		{"uk, no towing", "uk", none("towing", ""), false},
		{"uk, planned", "uk", planned(none("gcm", "")), false},
	} {
		job := plated(c.line)
		job.Region = c.region
		if said := slices.Contains(codes(mustHold(t, job)), "no_train_weight"); said != c.want {
			t.Errorf("%s: cautioned %v (want %v)", c.name, said, c.want)
		}
	}
}

// Traps of tyres are those of tyres that are held: no rim, no plan, no old
// plate, and no single tyre that wants a dual index.
func TestTyreTrapsOnlyWhereHeld(t *testing.T) {
	wheel := with(rate("wheel", "rear", 900), func(r *tickets.Rating) { r.Fitted = 3 })
	for _, c := range []struct {
		name string
		line tickets.Rating
		want []string
	}{
		{"dual", tyreIndex("rear", 4, 112, 0), []string{"dual_index_missing"}},
		{"single", tyreIndex("rear", 2, 112, 0), nil},
		{"uneven", tyreIndex("rear", 3, 112, 110), []string{"tyres_uneven"}},
		{"uneven rims", wheel, nil},
		{"planned", planned(tyreIndex("rear", 4, 112, 0)), nil},
		{"replaced", with(tyreIndex("rear", 4, 112, 0), func(r *tickets.Rating) { r.Replaced = true }), nil},
	} {
		if got := codes(mustHold(t, plated(c.line))); !slices.Equal(got, c.want) {
			t.Errorf("%s: cautions %q (want %q)", c.name, got, c.want)
		}
	}
}

// Tyres of which nobody said how many are one an end: of 1,860 kg on two rear
// axles each carries a quarter, on one axle half.
func TestTyresOfARearTandem(t *testing.T) {
	for axles, want := range map[int]float64{1: 930, 2: 465} {
		job := plated(rate("tyre", "rear", 900))
		job.Outfit.RearAxles = axles
		if c := row(t, mustHold(t, job), "tyre", "rear", derive.CoupledSlack, ""); math.Abs(c.Found.Value-want) > 0.01 {
			t.Errorf("%d axles: %g kg (want %g)", axles, c.Found.Value, want)
		}
	}
}

// The missing number is named of the state that misses it, and a unit that is
// not there bears on nothing.
func TestEffectByState(t *testing.T) {
	job := levered(plated(rate("gvm", "", 9999), rate("axle", "rear", 9999)))
	job.Outfit.NoseSupportToTrailerAxle = tickets.Length{}
	nose := []derive.Part{{Factor: 1, State: derive.TrailerAlone, Support: tickets.Term{Group: tickets.Nose}}}
	if e := effectAt(job, position{tickets.OnTrailer, 1000, true}, nose); e.exact() || e.missing != "nose_support_to_trailer_axle" {
		t.Errorf("on the nose support: %+v (want its length missing)", e)
	}
	f := mustHold(t, job)
	for _, c := range []struct {
		word, on string
		unit     tickets.Unit
		want     float64
	}{{"gvm", "", tickets.OnVehicle, 1}, {"gvm", "", tickets.OnTrailer, 0}, {"axle", "rear", tickets.OnTrailer, 0}} {
		got, missing, ok := row(t, f, c.word, c.on, derive.VehicleAlone, "").Effect(job, c.unit, 0, false)
		if got != c.want || !ok {
			t.Errorf("vehicle alone, %s, load on %s: %g, missing %q (want %g)", c.word, c.unit, got, missing, c.want)
		}
	}
}

// Where nothing keeps a class, or a tyre, from its bound it is kept: a rating
// has no U, four tyres of 450 kg are 1,800 together, 750 kg is up to 750.
func TestBoundsAreKept(t *testing.T) {
	job := plated(rate("atm", "", 750), rate("axle", "rear", 1800), with(rate("tyre", "rear", 450), func(r *tickets.Rating) { r.Fitted = 4 }))
	job.Region, job.Outfit.TrailerBrakes = tickets.UnitedKingdom, "none"
	f := mustHold(t, job)
	for name, want := range map[string]float64{"trailer_brakes": 750, "tyres_together": 1800} {
		if g := guide(f, name); g == nil || g.Value == nil || *g.Value != want || g.U != nil || !*g.Kept {
			t.Errorf("%s: %+v (want %g, kept, without U)", name, g, want)
		}
	}
	job.Outfit.TrailerBrakes = ""
	if slices.Contains(codes(mustHold(t, job)), "brakes_not_stated") {
		t.Error("750 kg is cautioned as above 750")
	}
}

// A metre behind the axle takes a fifth of itself off the download, L 5 m.
func TestHeadroomAMetreBehind(t *testing.T) {
	f := mustHold(t, placed(levered(plated(rate("download_min", "", 100)))))
	c := row(t, f, "download_min", "", noState, "")
	want := math.Floor(5 * (c.Found.Value - 2*c.Found.U - 100))
	if r := rooms(f)["behind"]; math.Abs(r.Kg-want) > 1e-6 {
		t.Errorf("%+v (want %g)", r, want)
	}
}

// A place that holds more than it may has no room.
func TestOverfullPlace(t *testing.T) {
	job := levered(plated(rate("gvm", "", 3500)))
	job.Places = []tickets.Place{{Name: "roof", On: tickets.OnVehicle, HasAt: true, AtMm: 1500, CapacityKg: decimal.NewNullDecimal(decimal.NewFromInt(20))}}
	job.Loads = []tickets.Load{{Name: "ladder", Kg: decimal.NewFromInt(30), UKg: 2, On: tickets.OnVehicle, Place: "roof"}}
	if r := rooms(mustHold(t, job))["roof"]; r.Kg != 0 || r.Rating != "capacity" {
		t.Errorf("%+v (want 0 kg, its capacity)", r)
	}
}

// The mistake behind a load is in kilograms: as far as the load moves when the
// job is solved again with a reading a kilogram heavier, times the smallest
// mistake that would show in it.
func TestMistakeBehindALoad(t *testing.T) {
	lines := rate("axle", "rear", 2100)
	s := mustSolve(t, plated(lines))
	was := row(t, Find(plated(lines), s, Options{}), "axle", "rear", derive.CoupledSlack, "")
	want := 0.0
	for i := range s.Observations {
		if o := &s.Observations[i]; o.Kind == derive.ByReading {
			heavier := plated(lines)
			heavier.Readings[o.Index].Kg = heavier.Readings[o.Index].Kg.Add(decimal.NewFromInt(1))
			is := row(t, mustHold(t, heavier), "axle", "rear", derive.CoupledSlack, "")
			want = math.Max(want, math.Abs(is.Found.Value-was.Found.Value)*o.Smallest)
		}
	}
	if was.MistakeKg == nil || want == 0 || math.Abs(*was.MistakeKg/want-1) > 1e-3 {
		t.Errorf("mistake %v (want %g kg)", was.MistakeKg, want)
	}
}

// A sum is one quantity in whatever order it is spelt.
func TestKeyOfAnyOrder(t *testing.T) {
	part := func(g tickets.Group) derive.Part {
		return derive.Part{Factor: 1, State: derive.CoupledSlack, Support: tickets.Term{Group: g}}
	}
	front, rear := part(tickets.Front), part(tickets.Rear)
	if a, b := keyOf([]derive.Part{front, rear}), keyOf([]derive.Part{rear, front}); a != b {
		t.Errorf("%q and %q", a, b)
	}
}

// Half of a side is open by half as much: 40/(2√3)/2.
func TestHalfASideOfALoad(t *testing.T) {
	job := modified()
	parts := []derive.Part{{Factor: 0.5, State: derive.CoupledSlack, Support: tickets.Term{Group: tickets.Rear, Side: tickets.Left}}}
	if got := checkerOf(t, job).sidesU(&job.Loads[0], parts, 0); math.Abs(got-10/math.Sqrt(3)) > 1e-9 {
		t.Errorf("u %g (want %g)", got, 10/math.Sqrt(3))
	}
}

// A trailer without brakes puts aside the towing lines of braked ones alone.
func TestKindsOfOthers(t *testing.T) {
	for _, c := range []struct {
		line tickets.Rating
		want status
	}{
		{with(rate("towing", "", 3500), func(r *tickets.Rating) { r.Kind = "braked" }), OtherKind},
		{with(rate("towing", "", 750), func(r *tickets.Rating) { r.Kind = "unbraked" }), held},
		{rate("towing", "", 750), held},
		{with(rate("tyre", "front", 900), func(r *tickets.Rating) { r.Kind, r.Fitted = "passenger", 2 }), held},
	} {
		job := plated(c.line)
		job.Outfit.TrailerBrakes = "none"
		if got := mustHold(t, job).Status[0]; got != c.want {
			t.Errorf("%s %s: %s (want %s)", c.line.Word, c.line.Kind, got, c.want)
		}
	}
}

// What is over in the only hypothesis is over in all.
func TestOverInTheOnlyHypothesis(t *testing.T) {
	f := mustHold(t, plated(rate("gvm", "", 2500)))
	if n := len(f.OverInAll([]*Findings{f})); n != 2 {
		t.Errorf("%s over (want alone and coupled)", fmt.Sprint(n))
	}
}
