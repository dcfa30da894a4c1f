package adjust

import (
	"math"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// statedJob reads a job of forms without tickets.
func statedJob(t *testing.T, outfit, ratings, loads, places string) *tickets.Job {
	t.Helper()
	var forms []tickets.Form
	for name, text := range map[string]string{"outfit.csv": outfit, "ratings.csv": ratings, "loads.csv": loads, "places.csv": places} {
		if text != "" {
			forms = append(forms, tickets.Form{Name: name, Bytes: []byte(text)})
		}
	}
	jobs, faults := tickets.Read(forms, tickets.Options{}).All()
	for _, f := range faults {
		t.Fatal(f.Error())
	}
	if len(jobs) != 1 {
		t.Fatalf("%d jobs (want 1)", len(jobs))
	}
	return jobs[0]
}

func isStated(t *testing.T, what string, got *statedMass, kg, u float64) {
	t.Helper()
	if got == nil || math.Abs(got.ValueKg-kg) > 1e-6 || math.Abs(got.UKg-u) > 1e-6 {
		t.Errorf("%s is %+v (want %v, u %v)", what, got, kg, u)
	}
}

// rowOf finds the row of a rating in force.
func rowOf(t *testing.T, e *Estimated, rating, on, state, set string) *statedCheck {
	t.Helper()
	for i := range e.Checks {
		c := &e.Checks[i]
		if c.Line.Word == rating && c.Line.On == on && c.Set == set && (string(c.State) == state || state == "coupled" && c.State == tickets.CoupledSlack) {
			return c
		}
	}
	t.Fatalf("no row %s %s %s %s", rating, on, state, set)
	return nil
}

func isRow(t *testing.T, c *statedCheck, value, u float64, verdict likely) {
	t.Helper()
	if c.Value == nil || math.Abs(c.Value.Value-value) > 1e-6 || math.Abs(c.Value.U-u) > 1e-6 || c.Verdict != verdict {
		t.Errorf("%s %s %s is %+v %s (want %v, u %v, %s)", c.Line.Word, c.Line.On, c.State, c.Value, c.Verdict, value, u, verdict)
	}
}

const plates = "rating,on,value\ngvm,,3350\nkerb,vehicle,2740\natm,,3500\n"

// Facts of the trade (common practice, no source): a gvm of 3,350 less a kerb
// mass of 2,740 is a payload of 610; a trailer of 3,500 at 10 % puts 350 down and
// leaves 260; two people of 80 leave 100.
func TestFactsOfTheTrade(t *testing.T) {
	e := Estimate(statedJob(t, "region,download_share\nau,10\n", plates, "", "")).Cases[0]
	if got := e.Payload.Decimal.String(); got != "610" {
		t.Errorf("payload %s (want 610)", got)
	}
	// by hand: u(V) = 0.02·2740 = 54.8, u(D) = 3500·0.01 = 35, √(54.8² + 35²) = √4228.04
	isStated(t, "vehicle", e.Vehicle, 2740, 54.8)
	isStated(t, "trailer", e.Trailer, 3500, 0)
	isStated(t, "download", e.Download, 350, 35)
	isStated(t, "combination", e.Combination, 6240, 54.8)
	isStated(t, "payload left", e.PayloadLeft, 260, math.Sqrt(4228.04))

	two := Estimate(statedJob(t, "region,download_share\nau,10\n", plates, "load,mass,on\ndriver,80,vehicle\nfriend,80,vehicle\n", "")).Cases[0]
	// 5 % of 80 is 4 each: 4228.04 + 16 + 16
	isStated(t, "left with two people", two.PayloadLeft, 100, math.Sqrt(4260.04))
	var then []float64
	for _, s := range two.PayloadSum {
		then = append(then, s.ThenKg)
	}
	want := []float64{3350, 610, 530, 450, 100}
	if len(then) != len(want) {
		t.Fatalf("running sum %v (want %v)", then, want)
	}
	for i := range want {
		if then[i] != want[i] {
			t.Errorf("running sum %v (want %v)", then, want)
		}
	}
}

// The trailer comes to its empty mass and what is on it: by hand 2,900 + 400 + 50.
func TestTrailerSum(t *testing.T) {
	e := Estimate(statedJob(t, "region\nau\n", plates+"tare,trailer,2900\n", "load,mass,on\ndome,400,trailer\ntools,50,trailer\n", "")).Cases[0]
	var then []float64
	for _, s := range e.TrailerSum {
		then = append(then, s.ThenKg)
	}
	if want := []float64{2900, 3300, 3350}; !slices.Equal(then, want) {
		t.Errorf("running sum %v (want %v)", then, want)
	}
}

// The expected share of each region, and of each kind of trailer (contract,
// section 8; common practice, no source), of a trailer of 2,000 as its atm.
func TestExpectedShare(t *testing.T) {
	for _, c := range []struct {
		outfit string
		kg, u  float64
	}{
		{"region\nau\n", 200, 40}, {"region\nnz\n", 200, 40}, {"region\nuk\n", 120, 20}, {"region\neu\n", 100, 30},
		{"region\nus\n", 250, 40}, {"owner\nus two\n", 200, 80}, {"region,download_share\nuk,9.5\n", 190, 20},
	} {
		e := Estimate(statedJob(t, c.outfit, "rating,value,unit\natm,2000,kg\n", "", ""))
		isStated(t, c.outfit, e.Cases[0].Download, c.kg, c.u)
	}
	for kind, want := range map[string][2]float64{"semi": {400, 100}, "drawbar": {0, 0}} {
		job := statedJob(t, "region\neu\n", "rating,value\natm,2000\n", "", "")
		job.Outfit.Semi, job.Outfit.Drawbar = kind == "semi", kind == "drawbar"
		isStated(t, string(kind), Estimate(job).Cases[0].Download, want[0], want[1])
	}
}

const axled = `rating,on,value,unit,fitted
gvm,,3350,,
gcm,,6400,,
kerb,vehicle,2740,,
kerb,front,1300,,
kerb,rear,1440,,
tare,trailer,2900,,
atm,,3500,,
gtm,,3150,,
axle,front,1300,,
axle,rear,2100,,
axle,trailer,3150,,
towing,,3500,,
download_max,towbar,350,,
d_value,towbar,17.2,,
tyre,rear,1060,kg,2
`

// By hand: two people of 80 in the middle of w = 3 m, 600 on the trailer, so
// T = 3500, u(T)² = 58² + 30² = 4264; D = 350, u(D)² = 35² + 0.01·4264 = 1267.64.
func TestEstimatedAxles(t *testing.T) {
	job := statedJob(t, "region,download_share,wheelbase,rear_axle_to_coupling,trailer_axles,rear_axles\nau,10,3000,1200,2,1\n", axled,
		"load,mass,place\ndriver,80,cabin\nfriend,80,cabin\ndome,600,floor\n", "place,on,at\ncabin,vehicle,1500\nfloor,trailer,0\n")
	e := Estimate(job)
	uV2, uD2 := 54.8*54.8+32, 1267.64
	isRow(t, rowOf(t, e, "gvm", "", "coupled", ""), 3250, math.Sqrt(uV2+uD2), likelyOpen)
	isRow(t, rowOf(t, e, "gcm", "", "", ""), 6400, math.Sqrt(uV2+4264), likelyOpen)
	isRow(t, rowOf(t, e, "atm", "", "", ""), 3500, math.Sqrt(4264), likelyOpen)
	// G = 0.9·T, u² = 0.81·4264 + 35²
	isRow(t, rowOf(t, e, "gtm", "", "coupled", ""), 3150, math.Sqrt(0.81*4264+1225), likelyOpen)
	// front: 1300 + 80 alone, less 0.4·350 coupled; each person's u of 4 half there
	isRow(t, rowOf(t, e, "axle", "front", "vehicle_alone", ""), 1380, math.Sqrt(26*26+4+4), likelyOver)
	isRow(t, rowOf(t, e, "axle", "front", "coupled", ""), 1240, math.Sqrt(26*26+8+0.16*uD2), likelyWithin)
	// rear: 1440 + 80 + 1.4·350
	uR2 := 28.8*28.8 + 8 + 1.96*uD2
	isRow(t, rowOf(t, e, "axle", "rear", "coupled", ""), 2010, math.Sqrt(uR2), likelyOpen)
	// one of two tyres: half, and 6 % of it
	isRow(t, rowOf(t, e, "tyre", "rear", "coupled", ""), 1005, math.Sqrt(uR2/4+60.3*60.3), likelyOpen)
	isRow(t, rowOf(t, e, "download_max", "towbar", "", ""), 350, math.Sqrt(uD2), likelyOpen)
	// Dc = 9.81·3.25·3.15/6.4 = 15.692167969; ∂/∂P = 9.81·(3.15/6.4)² = 2.376469, ∂/∂C = 9.81·(3.25/6.4)² = 2.529724
	// kN a tonne; u² = (2.376469·u(V))² + ((0.1·2.376469 + 0.9·2.529724)·u(T))² + ((2.376469 − 2.529724)·35)², over 1000
	byP, byC := 9.81*math.Pow(3.15/6.4, 2), 9.81*math.Pow(3.25/6.4, 2)
	u := math.Sqrt(byP*byP*uV2+math.Pow(0.1*byP+0.9*byC, 2)*4264+math.Pow((byP-byC)*35, 2)) / 1000
	isRow(t, rowOf(t, e, "d_value", "towbar", "", ""), 15.692167969, u, likelyWithin)
	// nothing fits: the front axle is over with no trailer at all
	if f := e.Cases[0].Fits; f.Ok || f.StopsFirst == nil || f.StopsFirst.Line.On != "front" {
		t.Errorf("fits %+v (want none, by the front axle)", f)
	}
}

// A line for the vehicle alone has nothing of the download: 1440, u 28.8.
func TestTheRearAloneCarriesNoDownload(t *testing.T) {
	e := Estimate(statedJob(t, "region,download_share,wheelbase,rear_axle_to_coupling,rear_axles\nau,10,3000,1200,1\n", strings.NewReplacer("unit,fitted", "unit,fitted,when", "axle,rear,2100,,", "axle,rear,2100,,,\naxle,rear,1600,,,alone").Replace(axled), "", ""))
	isRow(t, rowOf(t, e, "axle", "rear", "vehicle_alone", ""), 1440, 28.8, likelyWithin)
}

// By hand: V = 2740. gvm (3350 − 2740)/0.1 = 6100; gcm 6400 − 2740 = 3660; atm 3500;
// gtm 3150/0.9 = 3500, later than atm; rear (2100 − 1440)/(1.4·0.1) = 4714;
// download_max 350/0.1 = 3500, later than atm; with 300: 3000.
func TestWhatFits(t *testing.T) {
	outfit := "region,download_share,wheelbase,rear_axle_to_coupling,rear_axles\nau,10,3000,1200,1\n"
	f := Estimate(statedJob(t, outfit, axled, "", "")).Cases[0].Fits
	if !f.Ok || f.TrailerKg != 3500 || f.DownloadKg != 350 || f.StopsFirst.Line.Word != "atm" {
		t.Errorf("fits %+v (want 3500, 350, by atm)", f)
	}
	f = Estimate(statedJob(t, outfit, strings.Replace(axled, "towbar,350", "towbar,300", 1), "", "")).Cases[0].Fits
	if !f.Ok || f.TrailerKg != 3000 || f.DownloadKg != 300 || f.StopsFirst.Line.Word != "download_max" {
		t.Errorf("fits %+v (want 3000, 300, by download_max)", f)
	}
	// what is not known is left out: no empty vehicle, no axles
	f = Estimate(statedJob(t, outfit, "rating,value\ngvm,3350\ngcm,6400\natm,3500\n", "", "")).Cases[0].Fits
	if !f.Ok || f.TrailerKg != 3500 {
		t.Errorf("fits %+v (want 3500)", f)
	}
	// and none is known
	if f = Estimate(statedJob(t, outfit, "rating,value\ngvm,3350\n", "", "")).Cases[0].Fits; f.Ok || f.StopsFirst != nil {
		t.Errorf("fits %+v (want none known)", f)
	}
}

// A mass in running order has a driver of 75 kg in it, half on each axle.
func TestRunningOrder(t *testing.T) {
	const ratings = "rating,on,value\ngvm,,3350\nrunning_order,vehicle,2815\nrunning_order,front,1337.5\nrunning_order,rear,1477.5\natm,,1000\naxle,front,1500\naxle,rear,2000\n"
	outfit := "region,wheelbase,rear_axle_to_coupling,rear_axles,length_unit\neu,3000,1200,1,mm\n"
	ratingsKg := strings.ReplaceAll(ratings, "1337.5", "1337.5,kg")
	ratingsKg = strings.ReplaceAll(strings.Replace(ratingsKg, "1477.5", "1477.5,kg", 1), "rating,on,value", "rating,on,value,unit")
	without := Estimate(statedJob(t, outfit, ratingsKg, "", ""))
	isStated(t, "vehicle", without.Cases[0].Vehicle, 2815, 56.3)
	if without.Remarks[1].Code != driverIncluded {
		t.Errorf("remarks %v (want %s second)", without.Remarks, driverIncluded)
	}
	with := Estimate(statedJob(t, outfit, ratingsKg, "load,mass,place\ndriver,90,seat\n", "place,on,at\nseat,vehicle,1500\n"))
	// 2740 + 90; u(2740) = 54.8, u(90) = 4.5; D = 50 ± 15
	isStated(t, "vehicle", with.Cases[0].Vehicle, 2830, math.Sqrt(54.8*54.8+4.5*4.5))
	if got := with.Cases[0].Payload.Decimal.String(); got != "610" {
		t.Errorf("payload %s (want 610)", got)
	}
	isRow(t, rowOf(t, with, "axle", "front", "vehicle_alone", ""), 1345, math.Sqrt(26*26+2.25*2.25), likelyWithin)
	isRow(t, rowOf(t, with, "axle", "rear", "coupled", ""), 1440+45+70, math.Sqrt(28.8*28.8+2.25*2.25+1.96*225), likelyWithin)
	if with.Remarks[1].Code != fuelIncluded {
		t.Errorf("remarks %v (want %s second)", with.Remarks, fuelIncluded)
	}
}

// A set replaces the plated line of the same rating and `on`, the others carry
// over, and its loads are on board: what a raised gvm raises and does not raise.
func TestEstimatedSets(t *testing.T) {
	const ratings = "rating,on,value,set\ngvm,,3350,\nkerb,vehicle,2740,\natm,,3500,\ngvm,,3800,upgrade\n"
	e := Estimate(statedJob(t, "region,download_share\nau,10\n", ratings, "load,mass,on,set\nsprings,40,vehicle,upgrade\n", ""))
	if len(e.Cases) != 2 || e.Cases[1].Payload.Decimal.String() != "1060" {
		t.Fatalf("cases %+v (want the second with a payload of 1060)", e.Cases)
	}
	isStated(t, "left", e.Cases[0].PayloadLeft, 260, math.Sqrt(4228.04))
	isStated(t, "left with the set", e.Cases[1].PayloadLeft, 3800-2740-40-350, math.Sqrt(4228.04+4))
	isRow(t, rowOf(t, e, "gvm", "", "coupled", "upgrade"), 3130, math.Sqrt(4228.04+4), likelyWithin)
	isRow(t, rowOf(t, e, "atm", "", "", "upgrade"), 3500, 0, likelyWithin)
	if len(e.Checks) != 4 {
		t.Errorf("%d rows (want 4)", len(e.Checks))
	}
}

// A line with `when` replaces the blank one in the states it names; the blank
// one then applies to the vehicle alone.
func TestEstimatedWhen(t *testing.T) {
	const ratings = "rating,on,value,when\ngvm,,2800,\ngvm,,2900,coupled\nkerb,vehicle,2740,\natm,,1000,\n"
	e := Estimate(statedJob(t, "region\neu\n", ratings, "load,mass,on\nbags,70,vehicle\n", ""))
	isRow(t, rowOf(t, e, "gvm", "", "vehicle_alone", ""), 2810, math.Sqrt(54.8*54.8+3.5*3.5), likelyOpen)
	isRow(t, rowOf(t, e, "gvm", "", "coupled", ""), 2860, math.Sqrt(54.8*54.8+3.5*3.5+225), likelyOpen)
	if len(e.Checks) != 3 {
		t.Errorf("%d rows (want 3)", len(e.Checks))
	}
}

// Region eu holds the towing rating against the trailer's axles, others against
// the whole trailer.
func TestEstimatedTowing(t *testing.T) {
	for region, want := range map[string][2]float64{"eu": {950, 15}, "uk": {1000, 0}} {
		e := Estimate(statedJob(t, "region\n"+region+"\n", "rating,value\natm,1000\ntowing,980\n", "", ""))
		state := map[string]string{"eu": "coupled"}[region]
		verdict := map[string]likely{"eu": likelyWithin, "uk": likelyOver}[region]
		isRow(t, rowOf(t, e, "towing", "", state, ""), want[0], want[1], verdict)
	}
}

// value + U equal to the limit is likely within, value − U equal to it is not
// likely over; a least the other way round.
func TestEstimateBoundaries(t *testing.T) {
	for _, c := range []struct {
		value, limit float64
		lower        bool
		want         likely
	}{
		{100, 120, false, likelyWithin}, {100, 119.999999, false, likelyOpen}, {100, 80, false, likelyOpen}, {100, 79.999999, false, likelyOver},
		{100, 80, true, likelyWithin}, {100, 80.000001, true, likelyOpen}, {100, 120, true, likelyOpen}, {100, 120.000001, true, likelyOver},
	} {
		row := statedCheck{}
		row.Lower = c.lower
		row.judge(c.value, 10, c.limit, portable.Kg)
		if row.Verdict != c.want {
			t.Errorf("%+v: %s", c, row.Verdict)
		}
	}
}

// A number that is missing makes what needs it not known, and is named.
func TestEstimateNotKnown(t *testing.T) {
	outfit := "region,wheelbase,rear_axle_to_coupling,rear_axles\nau,3000,1200,2\n"
	places := "place,on,at\ncabin,vehicle,1500\nloft,vehicle,\n"
	for _, c := range []struct {
		name, outfit, ratings, loads string
		on, remark, about            string
	}{
		{"overhang", strings.Replace(outfit, "1200", "", 1), axled, "", "rear", noLength, "rear_axle_to_coupling"},
		{"wheelbase", strings.Replace(outfit, "3000", "", 1), axled, "load,mass,place\nbag,20,cabin\n", "rear", noLength, "wheelbase"},
		{"position", outfit, axled, "load,mass,place\nbag,20,loft\n", "rear", noPosition, "bag"},
		{"place", outfit, axled, "load,mass,on\nbag,20,vehicle\n", "front", noPosition, "bag"},
		{"empty axle", outfit, strings.Replace(axled, "kerb,rear,1440,,\n", "", 1), "", "rear", noAxleMass, "rear"},
		{"one axle of two", outfit, strings.Replace(axled, "axle,rear,", "axle,rear.1,", 1), "", "rear.1", partOfGroup, "rear.1"},
		{"load on neither", outfit, axled, "load,mass\nbag,20\n", "rear", loadOnNeither, "bag"},
	} {
		e := Estimate(statedJob(t, c.outfit, strings.Replace(c.ratings, "tyre,rear,1060,kg,2\n", "", 1), c.loads, places))
		if row := rowOf(t, e, "axle", c.on, "coupled", ""); row.Verdict != notKnown || row.Value != nil {
			t.Errorf("%s: %+v (want not known)", c.name, row)
		}
		named := false
		for _, r := range e.Remarks {
			named = named || r.Code == c.remark && r.Name == c.about
		}
		if !named {
			t.Errorf("%s: remarks %v (want %s %s)", c.name, e.Remarks, c.remark, c.about)
		}
	}
	// The vehicle alone needs no lever: nothing rests on its coupling.
	e := Estimate(statedJob(t, "region\nau\n", "rating,on,value,unit,when\naxle,rear,1600,kg,alone\n", "", ""))
	if !slices.ContainsFunc(e.Remarks, func(r remark) bool { return r.Code == noAxleMass && r.Name == "rear" }) {
		t.Errorf("remarks %v (want one of the empty rear axle)", e.Remarks)
	}
	if slices.ContainsFunc(e.Remarks, func(r remark) bool { return r.Code == noLength }) {
		t.Errorf("remarks %v (want none of a length)", e.Remarks)
	}
	e = Estimate(statedJob(t, "region\nau\n", "rating,value\ngvm,3350\ndownload_max,350\n", "", ""))
	if c := e.Cases[0]; c.Vehicle != nil || c.Trailer != nil || c.Download != nil || c.Combination != nil || c.PayloadLeft != nil || c.Payload.Valid {
		t.Errorf("%+v (want nothing known)", c)
	}
}
