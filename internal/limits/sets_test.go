package limits

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

func known(mm float64) tickets.Length { return tickets.Length{Known: true, Mm: mm} }

// levered gives the fixture its lengths, in millimetres.
func levered(job *tickets.Job) *tickets.Job {
	o := &job.Outfit
	o.Wheelbase, o.RearAxleToCoupling, o.CouplingToTrailerAxle, o.NoseSupportToTrailerAxle = known(2850), known(1250), known(5000), known(4500)
	return job
}

// placed adds places midway between the vehicle's axles and 1 m ahead of and
// behind the trailer's.
func placed(job *tickets.Job) *tickets.Job {
	job.Places = []tickets.Place{
		{Name: "midway", On: tickets.OnVehicle, HasAt: true, AtMm: 1425},
		{Name: "ahead", On: tickets.OnTrailer, HasAt: true, AtMm: 1000},
		{Name: "behind", On: tickets.OnTrailer, HasAt: true, AtMm: -1000},
	}
	return job
}

func planned(r tickets.Rating) tickets.Rating { r.Set = "springs"; return r }

// modified is over on its rear axle as plated, with a planned set: a higher
// gvm and rear axle rating, and 40 kg of springs over the rear axle.
func modified() *tickets.Job {
	job := levered(plated(
		rate("gvm", "", 3050), rate("axle", "rear", 1800), rate("axle", "front", 1500),
		planned(rate("gvm", "", 3500)), planned(rate("axle", "rear", 2100)), rate("download_max", "", 350), rate("atm", "", 3000)))
	job.Loads = []tickets.Load{{Name: "kit", Kg: decimal.NewFromInt(40), UKg: 2, On: tickets.OnVehicle, Place: "chassis", Set: "springs"}}
	job.Places = []tickets.Place{{Name: "chassis", On: tickets.OnVehicle, HasAt: true, AtMm: 2850}}
	return job
}

// Rows of a set: its own lines, and the plated ones that it does not replace
// carried over, in the order of the form; none decides.
func TestSetRows(t *testing.T) {
	f := found(t, modified())
	var got []string
	for i := range f.Checks {
		c := &f.Checks[i]
		if c.State == tickets.CoupledSlack || c.State == noState {
			got = append(got, fmt.Sprintf("%s %s %s %s %v", c.Rating, c.On, c.Set, c.LimitKg.Decimal, c.Decides))
		}
		if c.Set != "" && c.Decides {
			t.Errorf("%s of set %s decides", c.Rating, c.Set)
		}
	}
	want := []string{
		"gvm   3050 true", "axle rear  1800 true", "axle front  1500 true", "axle front springs 1500 false",
		"gvm  springs 3500 false", "axle rear springs 2100 false", "download_max   350 true", "download_max  springs 350 false",
		"atm   3000 true", "atm  springs 3000 false", "download_min   0 true",
	}
	if !slices.Equal(got, want) {
		t.Errorf("rows:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if f.Verdict != Over || f.Given != 5 {
		t.Errorf("job %s with %d ratings (want over as plated, 5)", f.Verdict, f.Given)
	}
	if n := len(f.Sets[0].Deciding); n != 8 {
		t.Errorf("%d checks would decide (want 8: three of two states each, two of none)", n)
	}
	for _, c := range f.Sets[0].Deciding {
		if c.Verdict != Within {
			t.Errorf("if the springs applied: %s %s (want all within)", c.Rating, c.Verdict)
		}
	}
}

// The set's own load counts in its rows by its shares, with its uncertainty:
// 40 kg over the rear axle, u 2 kg.
func TestSetLoadIsAdded(t *testing.T) {
	f := found(t, modified())
	for _, c := range []struct {
		word, on string
		state    tickets.State
		adds     float64
	}{
		{"axle", "rear", tickets.CoupledSlack, 40}, {"axle", "rear", tickets.VehicleAlone, 40},
		{"gvm", "", tickets.CoupledSlack, 40}, {"axle", "front", tickets.CoupledSlack, 0}, {"download_max", "", noState, 0},
	} {
		as, set := row(t, f, c.word, c.on, c.state, ""), row(t, f, c.word, c.on, c.state, "springs")
		if d := set.Found.Value - as.Found.Value; math.Abs(d-c.adds) > 3e-6 {
			t.Errorf("%s %s %s: the set adds %g (want %g)", c.word, c.on, c.state, d, c.adds)
		}
		if u := math.Hypot(as.Found.U, c.adds/40*2); math.Abs(set.Found.U-u) > 3e-6 {
			t.Errorf("%s %s %s: u %g (want %g)", c.word, c.on, c.state, set.Found.U, u)
		}
	}
}

// By the lever law, worked by hand: 100 kg on the trailer 1 m ahead of its
// axle, L 5 m, a/w = 1250/2850: 20 kg on the coupling, 80 kg on the axle, front
// −8.772, rear 28.772; 60 kg on the vehicle 0.95 m behind the front axle: 40
// front, 20 rear.
func TestSetLoadsByTheLever(t *testing.T) {
	lines := []tickets.Rating{
		rate("gvm", "", 9999), rate("gcm", "", 9999), rate("atm", "", 9999), rate("gtm", "", 9999), rate("axle", "front", 9999), rate("axle", "rear", 9999),
		rate("download_max", "", 9999), with(rate("tyre", "rear", 9999), func(r *tickets.Rating) { r.Fitted = 2 }), dValue(99),
	}
	for i := range lines {
		lines = append(lines, planned(lines[i]))
	}
	job := levered(plated(lines...))
	job.Loads = []tickets.Load{
		{Name: "frame", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnTrailer, Place: "nose", Set: "springs"},
		{Name: "box", Kg: decimal.NewFromInt(60), UKg: 3, On: tickets.OnVehicle, Place: "cab", Set: "springs"},
	}
	job.Places = []tickets.Place{{Name: "nose", On: tickets.OnTrailer, HasAt: true, AtMm: 1000}, {Name: "cab", On: tickets.OnVehicle, HasAt: true, AtMm: 950}}
	f := found(t, job)
	for _, c := range []struct {
		word, on string
		state    tickets.State
		adds, u  float64
	}{
		{"gvm", "", tickets.VehicleAlone, 60, 3}, {"gvm", "", tickets.CoupledSlack, 80, math.Hypot(3, 1)},
		{"gcm", "", noState, 160, math.Hypot(5, 3)}, {"atm", "", noState, 100, 5}, {"gtm", "", tickets.CoupledSlack, 80, 4},
		{"axle", "front", tickets.CoupledSlack, 40 - 8.7719, math.Hypot(2, 0.4386)}, {"axle", "rear", tickets.CoupledSlack, 20 + 28.7719, math.Hypot(1, 1.4386)},
		{"axle", "front", tickets.VehicleAlone, 40, 2}, {"download_max", "", noState, 20, 1},
	} {
		as, set := row(t, f, c.word, c.on, c.state, ""), row(t, f, c.word, c.on, c.state, "springs")
		if d := set.Found.Value - as.Found.Value; math.Abs(d-c.adds) > 1e-3 {
			t.Errorf("%s %s %s: the set adds %.4f (want %.4f)", c.word, c.on, c.state, d, c.adds)
		}
		if u := math.Hypot(as.Found.U, c.u); math.Abs(set.Found.U-u) > 1e-3 {
			t.Errorf("%s %s %s: u %.4f (want %.4f)", c.word, c.on, c.state, set.Found.U, u)
		}
	}
	tyre, rear := row(t, f, "tyre", "rear", tickets.CoupledSlack, "springs"), row(t, f, "axle", "rear", tickets.CoupledSlack, "springs")
	if math.Abs(tyre.Found.Value-rear.Found.Value/2) > 3e-6 || math.Abs(tyre.Found.U-math.Hypot(rear.Found.U/2, 0.06*tyre.Found.Value)) > 3e-6 {
		t.Errorf("tyre %+v of rear %+v", tyre.Found, rear.Found)
	}
	gvm, gtm := row(t, f, "gvm", "", tickets.CoupledSlack, "springs"), row(t, f, "gtm", "", tickets.CoupledSlack, "springs")
	if d := row(t, f, "d_value", "", noState, "springs"); math.Abs(d.Found.Value-dc(gvm.Found.Value, gtm.Found.Value)) > 3e-6 {
		t.Errorf("Dc %+v of %g and %g", d.Found, gvm.Found.Value, gtm.Found.Value)
	}
}

// Where it is not known where a set's load rides, its share is open: half on
// the rear axle, u m/(2√3); totals stay exact. Where not even its unit is
// known, nothing of the set is weighed.
func TestSetLoadOfUnknownPlace(t *testing.T) {
	job := modified()
	job.Loads[0].Place = ""
	f := found(t, job)
	as, set := row(t, f, "axle", "rear", tickets.CoupledSlack, ""), row(t, f, "axle", "rear", tickets.CoupledSlack, "springs")
	if d := set.Found.Value - as.Found.Value; math.Abs(d-20) > 3e-6 {
		t.Errorf("rear: the set adds %g (want 20)", d)
	}
	if u := math.Hypot(as.Found.U, 40/(2*math.Sqrt(3))); math.Abs(set.Found.U-u) > 3e-6 {
		t.Errorf("rear: u %g (want %g)", set.Found.U, u)
	}
	as, set = row(t, f, "gvm", "", tickets.CoupledSlack, ""), row(t, f, "gvm", "", tickets.CoupledSlack, "springs")
	if u := math.Hypot(as.Found.U, 2); math.Abs(set.Found.U-u) > 3e-6 || math.Abs(set.Found.Value-as.Found.Value-40) > 3e-6 {
		t.Errorf("gvm: %+v (want 40 kg more, u %g)", set.Found, u)
	}
	job.Loads[0].On = ""
	f = found(t, job)
	if c := row(t, f, "axle", "front", tickets.CoupledSlack, "springs"); c.Found != nil || c.Verdict != notWeighed {
		t.Errorf("a load on no unit: %s", c.Verdict)
	}
	if c := row(t, f, "axle", "front", tickets.CoupledSlack, ""); c.Verdict != Within {
		t.Errorf("a set's load spoils the row in force: %s", c.Verdict)
	}
}

// A set's load that a reading names counts with its solved mass and its
// covariance: the readings that were taken with the kit on board already hold it.
func TestSetLoadThatWasWeighed(t *testing.T) {
	job := modified()
	for i := range job.Readings {
		r := &job.Readings[i]
		if r.State.Coupled() && r.OnDeck == "rear" || r.State == tickets.VehicleAlone && r.OnDeck != "front" {
			r.With, r.Kg = []string{"kit"}, r.Kg.Add(decimal.NewFromInt(40))
		}
	}
	s := mustSolve(t, job)
	f := Find(job, s, Guarded)
	set := row(t, f, "axle", "rear", tickets.CoupledSlack, "springs")
	want := s.Sum(append(groupLoads(1, tickets.CoupledSlack, tickets.Rear), derive.Part{Factor: 1, Load: "kit"})...)
	v, u, _ := want.Number()
	if math.Abs(v-1900) > 0.1 || math.Abs(set.Found.Value-v) > 3e-6 || math.Abs(set.Found.U-u) > 3e-6 {
		t.Errorf("rear with the kit: %+v (want %g, u %g)", set.Found, v, u)
	}
}

// When a set's lines have `when`, and sets that only loads name.
func TestSetStates(t *testing.T) {
	tow := planned(rate("gvm", "", 3600))
	tow.When = "coupled"
	job := plated(rate("gvm", "", 3050), tow)
	job.Loads = []tickets.Load{{Name: "tank", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnVehicle, Set: "water"}}
	f := found(t, job)
	var got []string
	for i := range f.Checks {
		got = append(got, strings.TrimSpace(fmt.Sprintf("%s %s %s", f.Checks[i].LimitKg.Decimal, f.Checks[i].State, f.Checks[i].Set)))
	}
	want := []string{
		"3050 vehicle_alone", "3050 coupled_slack", "3050 coupled_tensioned", "3050 vehicle_alone springs",
		"3050 vehicle_alone water", "3050 coupled_slack water", "3050 coupled_tensioned water",
		"3600 coupled_slack springs", "3600 coupled_tensioned springs", "0", // the floor
	}
	if !slices.Equal(got, want) {
		t.Errorf("rows:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A set's load rides in its own set only.
func TestLoadsOfOtherSets(t *testing.T) {
	job := modified()
	job.Loads = append(job.Loads, tickets.Load{Name: "tank", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnVehicle, Place: "chassis", Set: "water"})
	f := found(t, job)
	as := row(t, f, "axle", "front", tickets.CoupledSlack, "").Found.Value
	gvm := row(t, f, "gvm", "", tickets.CoupledSlack, "").Found.Value
	for set, adds := range map[string]float64{"springs": 40, "water": 100} {
		if d := row(t, f, "gvm", "", tickets.CoupledSlack, set).Found.Value - gvm; math.Abs(d-adds) > 3e-6 {
			t.Errorf("%s adds %g to the gvm (want %g)", set, d, adds)
		}
		if d := row(t, f, "axle", "front", tickets.CoupledSlack, set).Found.Value - as; math.Abs(d) > 3e-6 {
			t.Errorf("%s adds %g to the front axle (want 0)", set, d)
		}
	}
}

// 100 kg on the trailer 1 m ahead of its axle, L 5 m, the lever of the overhang
// missing: 20 kg on the coupling put 20·1.45 on the rear axle, and 1.5 % of the
// mass more uncertainty. Their sum needs no lever.
func TestSetLoadWithoutTheLever(t *testing.T) {
	job := plated(rate("gvm", "", 9999), rate("axle", "rear", 9999), planned(rate("gcm", "", 9999)))
	job.Outfit.CouplingToTrailerAxle = known(5000)
	job.Loads = []tickets.Load{{Name: "frame", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnTrailer, Place: "nose", Set: "springs"}}
	job.Places = []tickets.Place{{Name: "nose", On: tickets.OnTrailer, HasAt: true, AtMm: 1000}}
	f := found(t, job)
	for _, c := range []struct {
		word, on string
		adds, u  float64
	}{{"axle", "rear", 29, math.Hypot(0.29*5, 1.5)}, {"gvm", "", 20, 1}} {
		as, set := row(t, f, c.word, c.on, tickets.CoupledSlack, ""), row(t, f, c.word, c.on, tickets.CoupledSlack, "springs")
		if d := set.Found.Value - as.Found.Value; math.Abs(d-c.adds) > 3e-6 || math.Abs(set.Found.U-math.Hypot(as.Found.U, c.u)) > 3e-6 {
			t.Errorf("%s %s: the set adds %g, u %g (want %g, u %g)", c.word, c.on, d, set.Found.U, c.adds, math.Hypot(as.Found.U, c.u))
		}
	}
}

// Where sides are read separately a set's load rides half on each, and nobody said
// which side it leans to: 40 kg over the rear axle, u² = (0.5·2)² + (40/(2√3))².
func TestSetLoadOnASide(t *testing.T) {
	job := modified()
	job.Ratings = append(job.Ratings, with(rate("tyre", "rear", 1100), func(r *tickets.Rating) { r.Fitted = 2 }))
	job.Readings = append(job.Readings, weigh(tickets.CoupledSlack, 980, "rear.left"), weigh(tickets.CoupledSlack, 880, "rear.right"))
	job.Outfit.RearAxles = 1
	f := found(t, job)
	as, set := row(t, f, "tyre", "rear", tickets.CoupledSlack, ""), row(t, f, "tyre", "rear", tickets.CoupledSlack, "springs")
	u := math.Hypot(as.Found.U, math.Hypot(1, 40/(2*math.Sqrt(3))))
	if d := set.Found.Value - as.Found.Value; math.Abs(d-20) > 3e-6 || math.Abs(set.Found.U-u) > 3e-6 {
		t.Errorf("the set adds %g, u %g (want 20, u %g)", d, set.Found.U, u)
	}
}

// A set's load that a reading names, and nothing tells its mass from what else
// was weighed, counts with its stated mass: 600 kg, u 400 kg, over the vehicle.
func TestSetLoadThatStaysVague(t *testing.T) {
	job := rated(jobOf(slack(), []tickets.Reading{weigh(tickets.VehicleAlone, 3360, "vehicle")}), rate("gvm", "", 3500), planned(rate("gvm", "", 4500)))
	job.Loads = []tickets.Load{{Name: "kit", Kg: decimal.NewFromInt(600), UKg: 400, On: tickets.OnVehicle, Set: "springs"}}
	job.Readings[3].With = []string{"kit"}
	s := mustSolve(t, job)
	if len(s.Masses) != 1 || s.Sum(derive.Part{Factor: 1, Load: "kit"}).Determined {
		t.Fatal("the kit's mass is known, so that nothing is tested")
	}
	f := Find(job, s, Guarded)
	as, set := row(t, f, "gvm", "", tickets.CoupledSlack, ""), row(t, f, "gvm", "", tickets.CoupledSlack, "springs")
	if set.Found == nil || !near(set.Found.Value, as.Found.Value+600) || !near(set.Found.U, math.Hypot(as.Found.U, 400)) {
		t.Errorf("with the kit: %+v (want 600 kg more than %+v, and u 400 kg)", set.Found, as.Found)
	}
}

// Only a plated line in force stays in a set, and only where the set has none
// of its own.
func TestStaysInASet(t *testing.T) {
	job := plated(rate("gvm", "", 3000), planned(rate("gvm", "", 3500)), rate("atm", "", 3000), planned(rate("axle", "rear", 2100)))
	h := checkerOf(t, job)
	for i, want := range []bool{false, false, true, false} {
		if got := h.stays(i, "springs"); got != want {
			t.Errorf("line %d stays: %v (status %v)", i, got, h.st.status[i])
		}
	}
	for i, want := range []bool{true, false, true, false} {
		if got := h.stays(i, ""); got != want {
			t.Errorf("line %d stays as plated: %v", i, got)
		}
	}
}
