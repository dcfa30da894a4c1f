package derive

import (
	"fmt"
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// levers is an outfit of round lengths: w = 3000, a = 1200, L = 5000,
// n = 4000 mm; two rear and two trailer axles.
func levers() tickets.Outfit {
	return tickets.Outfit{
		Wheelbase: known(3000), RearAxleToCoupling: known(1200), CouplingToTrailerAxle: known(5000),
		NoseSupportToTrailerAxle: known(4000), RearAxles: 2, TrailerAxles: 2, LengthUncertaintyMm: 10,
	}
}

// shareTable is the lever law by hand for levers(): each share of 1 kg.
var shareTable = []struct {
	on    tickets.Unit
	at    float64
	state tickets.State
	want  shares
}{
	{tickets.OnVehicle, 0, tickets.VehicleAlone, shares{front: 1}},
	{tickets.OnVehicle, 1800, tickets.VehicleAlone, shares{front: 0.4, rear: 0.6}},     // 1800/3000
	{tickets.OnVehicle, -600, tickets.VehicleAlone, shares{front: 1.2, rear: -0.2}},    // ahead of the front axle
	{tickets.OnVehicle, 4200, tickets.CoupledSlack, shares{front: -0.4, rear: 1.4}},    // behind the rear axle
	{tickets.OnVehicle, 3000, tickets.CoupledTensioned, shares{rear: 1}},               // over the rear axle
	{tickets.OnVehicle, 1800, tickets.TrailerAlone, shares{}},                          // not there
	{tickets.OnTrailer, 1000, tickets.VehicleAlone, shares{}},                          // not there
	{tickets.OnTrailer, 0, tickets.TrailerAlone, shares{trailer: 1}},                   // over the axles
	{tickets.OnTrailer, 1000, tickets.TrailerAlone, shares{nose: 0.25, trailer: 0.75}}, // 1000/4000
	{tickets.OnTrailer, -500, tickets.TrailerAlone, shares{nose: -0.125, trailer: 1.125}},
	{tickets.OnTrailer, 0, tickets.CoupledSlack, shares{trailer: 1}},
	// 1000/5000 = 0.2 on the coupling; a/w = 0.4 of it off the front axle
	{tickets.OnTrailer, 1000, tickets.CoupledSlack, shares{front: -0.08, rear: 0.28, trailer: 0.8}},
	{tickets.OnTrailer, -500, tickets.CoupledTensioned, shares{front: 0.04, rear: -0.14, trailer: 1.1}},
	{tickets.OnTrailer, 5000, tickets.CoupledSlack, shares{front: -0.4, rear: 1.4}}, // over the coupling
}

func TestShare(t *testing.T) {
	job := &tickets.Job{Outfit: levers()}
	for _, c := range shareTable {
		got, missing, ok := share(job, c.on, c.at, c.state)
		if !ok || missing != "" {
			t.Errorf("%s at %g, %s: missing %q", c.on, c.at, c.state, missing)
		}
		for i, pair := range [][2]float64{{got.front, c.want.front}, {got.rear, c.want.rear}, {got.trailer, c.want.trailer}, {got.nose, c.want.nose}} {
			if math.Abs(pair[0]-pair[1]) > 1e-12 {
				t.Errorf("%s at %g, %s, group %d: %g (want %g)", c.on, c.at, c.state, i, pair[0], pair[1])
			}
		}
	}
}

// A share says which length it wants; one that needs none is exact without any.
func TestShareOfAMissingLength(t *testing.T) {
	for _, c := range []struct {
		on      tickets.Unit
		at      float64
		state   tickets.State
		missing string
		want    string
	}{
		{tickets.OnVehicle, 1800, tickets.VehicleAlone, "w", lengthW}, {tickets.OnVehicle, 0, tickets.VehicleAlone, "w a L n", ""},
		{tickets.OnTrailer, 1000, tickets.TrailerAlone, "n", lengthN}, {tickets.OnTrailer, 1000, tickets.TrailerAlone, "w a L", ""},
		{tickets.OnTrailer, 1000, tickets.CoupledSlack, "L", lengthL}, {tickets.OnTrailer, 1000, tickets.CoupledSlack, "a", lengthA},
		{tickets.OnTrailer, 1000, tickets.CoupledSlack, "w", lengthW}, {tickets.OnTrailer, 0, tickets.CoupledSlack, "w a L n", ""},
		{tickets.OnTrailer, 1000, tickets.VehicleAlone, "w a L n", ""}, {tickets.OnVehicle, 1000, tickets.TrailerAlone, "w", ""},
	} {
		job := &tickets.Job{Outfit: levers()}
		forget(&job.Outfit, c.missing)
		if _, missing, ok := share(job, c.on, c.at, c.state); missing != c.want || ok != (c.want == "") {
			t.Errorf("%s at %g, %s without %s: missing %q, ok %v (want %q)", c.on, c.at, c.state, c.missing, missing, ok, c.want)
		}
	}
}

// onDeckCase is a reading from which one load was away: what of its mass m,
// unknown share r and side share q the reading is short of.
type onDeckCase struct {
	name    string
	state   tickets.State
	terms   []tickets.Term
	on      tickets.Unit
	at      float64 // NaN: no position
	missing string  // lengths
	m, r, q float64
}

// away solves a job of that one reading and returns the coefficients of its row.
func (c *onDeckCase) away(t *testing.T) (m, r, q float64, s *Solution) {
	t.Helper()
	reading := weigh(c.state, 1000)
	reading.Terms, reading.Without = c.terms, []string{"case"}
	job := jobOf(reading)
	job.Outfit = levers()
	forget(&job.Outfit, c.missing)
	job.Loads = []tickets.Load{{Name: "case", Kg: decimal.NewFromInt(100), UKg: 5, On: c.on}}
	if !math.IsNaN(c.at) {
		job.Loads[0].Place = "spot"
		job.Places = []tickets.Place{{Name: "spot", On: c.on, HasAt: true, AtMm: c.at}}
	}
	s = mustSolve(t, job)
	l, row := s.system.layout, s.system.rows[0]
	column, _ := l.mass.of("case")
	m = row[column]
	if col, ok := l.share.of("case"); ok {
		r = row[col]
	}
	for _, g := range coupledGroups {
		if col, ok := l.side[sideKey{"case", g}]; ok {
			q += row[col]
		}
	}
	return m, r, q, s
}

var nowhere = math.NaN()

func support(g tickets.Group, axle int, side tickets.Side) []tickets.Term {
	return []tickets.Term{{Group: g, Axle: axle, Side: side}}
}

// onDeckTable is the share of a load by hand, setup by position by deck. A load
// away makes the reading short, hence the signs: front − (m − r) and so on.
var onDeckTable = []onDeckCase{
	{"vehicle load, front", tickets.VehicleAlone, deck("front"), tickets.OnVehicle, 1800, "", -0.4, 0, 0},
	{"vehicle load, rear", tickets.VehicleAlone, deck("rear"), tickets.OnVehicle, 1800, "", -0.6, 0, 0},
	{"vehicle load, both axles", tickets.VehicleAlone, deck("vehicle"), tickets.OnVehicle, 1800, "", -1, 0, 0},
	{"vehicle load, coupled front", tickets.CoupledSlack, deck("front"), tickets.OnVehicle, -600, "", -1.2, 0, 0},
	{"vehicle load, coupled trailer", tickets.CoupledSlack, deck("trailer"), tickets.OnVehicle, 1800, "", 0, 0, 0},
	{"vehicle load, one of two rear axles", tickets.VehicleAlone, support(tickets.Rear, 2, ""), tickets.OnVehicle, 1800, "", -0.3, 0, 0},
	{"vehicle load, place unknown, front", tickets.VehicleAlone, deck("front"), tickets.OnVehicle, nowhere, "", -1, 1, 0},
	{"vehicle load, place unknown, rear", tickets.VehicleAlone, deck("rear"), tickets.OnVehicle, nowhere, "", 0, -1, 0},
	{"vehicle load, place unknown, rear axle", tickets.VehicleAlone, support(tickets.Rear, 1, ""), tickets.OnVehicle, nowhere, "", 0, -0.5, 0},
	{"vehicle load, place unknown, both axles", tickets.VehicleAlone, deck("vehicle"), tickets.OnVehicle, nowhere, "", -1, 0, 0},
	{"vehicle load, w missing", tickets.VehicleAlone, deck("rear"), tickets.OnVehicle, 1800, "w", 0, -1, 0},
	{"vehicle load over the front axle, w missing", tickets.VehicleAlone, deck("front"), tickets.OnVehicle, 0, "w", -1, 0, 0},
	{"trailer load, alone, axles", tickets.TrailerAlone, deck("trailer"), tickets.OnTrailer, 1000, "", -0.75, 0, 0},
	{"trailer load, alone, nose", tickets.TrailerAlone, deck("nose"), tickets.OnTrailer, 1000, "", -0.25, 0, 0},
	{"trailer load, alone, whole", tickets.TrailerAlone, deck("whole trailer"), tickets.OnTrailer, nowhere, "", -1, 0, 0},
	{"trailer load, gauge", tickets.TrailerAlone, deck("coupling"), tickets.OnTrailer, 1000, "", -0.2, 0, 0},
	{"trailer load, gauge, L missing", tickets.TrailerAlone, deck("coupling"), tickets.OnTrailer, 1000, "L", 0, -1, 0},
	{"trailer load, gauge, n missing", tickets.TrailerAlone, deck("coupling"), tickets.OnTrailer, 1000, "n", -0.2, 0, 0},
	{"trailer load, nose, n missing", tickets.TrailerAlone, deck("nose"), tickets.OnTrailer, 1000, "n", 0, -1, 0},
	{"trailer load, axles, n missing", tickets.TrailerAlone, deck("trailer"), tickets.OnTrailer, 1000, "n", -1, 1, 0},
	{"trailer load, nose, L missing", tickets.TrailerAlone, deck("nose"), tickets.OnTrailer, 1000, "L", -0.25, 0, 0},
	{"trailer load over the axles, nothing known", tickets.TrailerAlone, deck("trailer"), tickets.OnTrailer, 0, "w a L n", -1, 0, 0},
	{"trailer load, coupled axles", tickets.CoupledSlack, deck("trailer"), tickets.OnTrailer, 1000, "", -0.8, 0, 0},
	{"trailer load, coupled front", tickets.CoupledSlack, deck("front"), tickets.OnTrailer, 1000, "", 0.08, 0, 0},
	{"trailer load, coupled rear", tickets.CoupledSlack, deck("rear"), tickets.OnTrailer, 1000, "", -0.28, 0, 0},
	{"trailer load, coupled vehicle", tickets.CoupledSlack, deck("vehicle"), tickets.OnTrailer, 1000, "", -0.2, 0, 0},
	{"trailer load, combination", tickets.CoupledSlack, deck("outfit"), tickets.OnTrailer, nowhere, "w a L n", -1, 0, 0},
	// the lever is 0.45 where a or w is missing: 0.45·0.2 = 0.09
	{"trailer load, front, a missing", tickets.CoupledSlack, deck("front"), tickets.OnTrailer, 1000, "a", 0.09, 0, 0},
	{"trailer load, rear, w missing", tickets.CoupledSlack, deck("rear"), tickets.OnTrailer, 1000, "w", -0.29, 0, 0},
	{"trailer load, front, L missing", tickets.CoupledSlack, deck("front"), tickets.OnTrailer, 1000, "L", 0, 0.4, 0},
	{"trailer load, rear, L and a missing", tickets.CoupledSlack, deck("rear"), tickets.OnTrailer, 1000, "L a", 0, -1.45, 0},
	{"trailer load, axles, place unknown", tickets.CoupledSlack, deck("trailer"), tickets.OnTrailer, nowhere, "", -1, 1, 0},
	{"trailer load, one axle, place unknown", tickets.CoupledSlack, support(tickets.Trailer, 1, ""), tickets.OnTrailer, nowhere, "", -0.5, 0.5, 0},
	// sides: half the part ± q, by the number of axles where one axle is read
	{"left of the front", tickets.VehicleAlone, support(tickets.Front, 0, tickets.Left), tickets.OnVehicle, 1800, "", -0.2, 0, -1},
	{"right of the rear", tickets.VehicleAlone, support(tickets.Rear, 0, tickets.Right), tickets.OnVehicle, 1800, "", -0.3, 0, 1},
	{"left of one of two rear axles", tickets.VehicleAlone, support(tickets.Rear, 1, tickets.Left), tickets.OnVehicle, 1800, "", -0.15, 0, -0.5},
	{"left of the trailer, place unknown", tickets.CoupledSlack, support(tickets.Trailer, 0, tickets.Left), tickets.OnTrailer, nowhere, "", -0.5, 0.5, -1},
	{"left and right", tickets.VehicleAlone, append(support(tickets.Rear, 0, tickets.Left), support(tickets.Rear, 0, tickets.Right)...), tickets.OnVehicle, 1800, "", -0.6, 0, 0},
}

func TestLoadsOnTheDeck(t *testing.T) {
	for _, c := range onDeckTable {
		m, r, q, _ := c.away(t)
		if math.Abs(m-c.m) > 1e-12 || math.Abs(r-c.r) > 1e-12 || math.Abs(q-c.q) > 1e-12 {
			t.Errorf("%s: short of %.4f·m %+.4f·r %+.4f·q (want %.4f, %+.4f, %+.4f)", c.name, m, r, q, c.m, c.r, c.q)
		}
	}
}

// The observations of unknown shares of a load of 100 kg ± 5 kg, by hand:
//
//	vehicle: r = 50, u = 100/(2√3) = 28.8675;  trailer: r = 10, u = 20
//	q = 0, u = |part|/(2√3): part 60 on the rear axle at 1800 mm, 17.3205
func TestUnknownShares(t *testing.T) {
	for _, c := range []struct {
		of       onDeckCase
		value, u float64
		missing  string
	}{
		{onDeckCase{"vehicle", tickets.VehicleAlone, deck("rear"), tickets.OnVehicle, nowhere, "", 0, 0, 0}, 50, 28.8675, "place"},
		{onDeckCase{"vehicle, w missing", tickets.VehicleAlone, deck("front"), tickets.OnVehicle, 1800, "w", 0, 0, 0}, 50, 28.8675, lengthW},
		{onDeckCase{"trailer", tickets.CoupledSlack, deck("trailer"), tickets.OnTrailer, nowhere, "", 0, 0, 0}, 10, 20, "place"},
		{onDeckCase{"trailer, L missing", tickets.CoupledSlack, deck("front"), tickets.OnTrailer, 1000, "L", 0, 0, 0}, 10, 20, lengthL},
		{onDeckCase{"trailer, n missing", tickets.TrailerAlone, deck("nose"), tickets.OnTrailer, 1000, "n", 0, 0, 0}, 10, 20, lengthN},
		{onDeckCase{"gauge, L and n missing", tickets.TrailerAlone, deck("coupling"), tickets.OnTrailer, 1000, "L n", 0, 0, 0}, 10, 20, lengthL},
		{onDeckCase{"side", tickets.VehicleAlone, support(tickets.Rear, 0, tickets.Left), tickets.OnVehicle, 1800, "", 0, 0, 0}, 0, 17.3205, "side"},
		{onDeckCase{"side of an axle", tickets.VehicleAlone, support(tickets.Rear, 1, tickets.Left), tickets.OnVehicle, 1800, "", 0, 0, 0}, 0, 17.3205, "side"},
	} {
		_, _, _, s := c.of.away(t)
		var seen []string
		for i, o := range s.Observations {
			if o.Kind != byShare {
				continue
			}
			seen = append(seen, o.Name)
			if v := s.system.values[i]; v != c.value || math.Abs(o.U-c.u) > 1e-4 {
				t.Errorf("%s: share observed %g, u %g (want %g, %g)", c.of.name, v, o.U, c.value, c.u)
			}
		}
		if fmt.Sprint(seen) != "[case]" || len(s.Unknown) != 1 || s.Unknown[0].Missing != c.missing {
			t.Errorf("%s: shares of %v, unknown %+v (want the case's, for want of %s)", c.of.name, seen, s.Unknown, c.missing)
		}
	}
}

// A side share goes by the largest part over the readings that name the load:
// coupled, 100 kg over the coupling puts 140 kg on the rear axle; 140/(2√3) = 40.4145.
func TestSideShareOfTheLargestPart(t *testing.T) {
	job := jobOf(weigh(tickets.CoupledSlack, 900), weigh(tickets.TrailerAlone, 800))
	job.Outfit = levers()
	job.Readings[0].Terms, job.Readings[0].Without = support(tickets.Rear, 0, tickets.Left), []string{"case"}
	job.Readings[1].Terms, job.Readings[1].Without = support(tickets.Trailer, 0, tickets.Left), []string{"case"}
	job.Loads = []tickets.Load{{Name: "case", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnTrailer, Place: "spot"}}
	job.Places = []tickets.Place{{Name: "spot", On: tickets.OnTrailer, HasAt: true, AtMm: 5000}}
	s := mustSolve(t, job)
	var us []float64
	for _, o := range s.Observations {
		if o.Kind == byShare {
			us = append(us, o.U)
		}
	}
	// trailer: alone 100·(1 − 5000/4000) = −25, coupled 0: 25/(2√3) = 7.2169
	if len(us) != 2 || math.Abs(us[0]-40.4145) > 1e-4 || math.Abs(us[1]-7.2169) > 1e-4 {
		t.Errorf("u of side shares %v (want 40.4145 on the rear, 7.2169 on the trailer)", us)
	}
}

// One unknown share is the same in all readings: two weighings of the rear
// axle with and without the case fix it, and the front needs no more.
func TestOneShareInAllReadings(t *testing.T) {
	job := jobOf(
		weigh(tickets.VehicleAlone, 1500, "rear"), weigh(tickets.VehicleAlone, 1430, "rear"),
		weigh(tickets.VehicleAlone, 1230, "front"),
	)
	job.Readings[1].Without, job.Readings[2].Without = []string{"case"}, []string{"case"}
	job.Loads = []tickets.Load{{Name: "case", Kg: decimal.NewFromInt(100), UKg: 1e-3, On: tickets.OnVehicle}}
	job.Scales = []tickets.Scale{{Class: "none", Multi: true, ExpandedKg: decimal.NewNullDecimal(decimal.New(1, -6))}}
	for i := range job.Readings {
		job.Readings[i].IntervalKg = decimal.New(1, -3)
	}
	s := mustSolve(t, job)
	// r = 70, so the front was 100 − 70 short of 1260
	wantNumber(t, "front", s.load(tickets.VehicleAlone, tickets.Term{Group: tickets.Front}), 1260, 0.01)
}

// A load on board only then: a reading is its share too much, not too little.
func TestWithIsTheOppositeOfWithout(t *testing.T) {
	job := jobOf(weigh(tickets.VehicleAlone, 2860, "vehicle"))
	job.Readings[0].With = []string{"case"}
	job.Loads = []tickets.Load{{Name: "case", Kg: decimal.NewFromInt(100), UKg: 5, On: tickets.OnVehicle}}
	wantNumber(t, "vehicle", mustSolve(t, job).total(tickets.VehicleAlone, vehicleGroups...), 2760, 1e-9)
}

// A gauge reading depends on L alone. With n known and L missing the share of
// a trailer load of known place is unknown there, and the gauge is r short of
// the download: r = 0.1·m = 6 kg assumed, so the download is 244 + 6.
func TestGaugeWithoutDrawbarLength(t *testing.T) {
	job := jobOf(weigh(tickets.TrailerAlone, 244, "coupling"))
	job.Readings[0].Without = []string{"battery"}
	job.Outfit.NoseSupportToTrailerAxle = known(4500)
	job.Loads = []tickets.Load{{Name: "battery", Kg: decimal.NewFromInt(60), UKg: 1, On: tickets.OnTrailer, Place: "locker"}}
	job.Places = []tickets.Place{{Name: "locker", On: tickets.OnTrailer, HasAt: true, AtMm: 4000}}
	s := mustSolve(t, job)
	wantNumber(t, "download", s.Figures().Download, 250, 1e-9)
	if len(s.Unknown) != 1 || s.Unknown[0] != (unknownShare{Load: "battery", Missing: lengthL}) {
		t.Errorf("unknown shares %+v (want the battery's, for want of %s)", s.Unknown, lengthL)
	}
}

// a/w is 1250/2500 = 0.5; 0.45 where a length is missing (the model; no source).
func TestLever(t *testing.T) {
	for _, c := range []struct {
		a, w    tickets.Length
		k       float64
		missing string
	}{
		{known(1250), known(2500), 0.5, ""}, {known(1250), tickets.Length{}, 0.45, lengthW}, {tickets.Length{}, known(2500), 0.45, lengthA},
	} {
		if k, missing := lever(&tickets.Outfit{RearAxleToCoupling: c.a, Wheelbase: c.w}); k != c.k || missing != c.missing {
			t.Errorf("a %v, w %v: %g, %q missing (want %g, %q)", c.a, c.w, k, missing, c.k, c.missing)
		}
	}
}
