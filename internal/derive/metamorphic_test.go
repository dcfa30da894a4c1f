package derive

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// The relations that must hold between a job and the same job said otherwise.

// numbers are all solved quantities by name.
func wholeTrailer(s *Solution) Quantity { return s.Figures().TrailerMass }

func numbers(s *Solution) map[string]Quantity {
	all := map[string]Quantity{}
	for _, q := range s.quantities() {
		all[q.Name] = q.Quantity
	}
	return all
}

// sameNumbers holds two solutions against each other, value and u.
func sameNumbers(t *testing.T, a, b *Solution, tolerance float64) {
	t.Helper()
	other := numbers(b)
	for name, q := range numbers(a) {
		v, u, ok := q.Number()
		w, x, same := other[name].Number()
		if ok != same || math.Abs(v-w) > tolerance || math.Abs(u-x) > tolerance {
			t.Errorf("%s is %g, u %g, %v and %g, u %g, %v", name, v, u, ok, w, x, same)
		}
	}
}

// movesOnly asks that the quantities named move by what is given, all others not
// at all, and that no u moves.
func movesOnly(t *testing.T, before, after *Solution, by map[string]float64) {
	t.Helper()
	now := numbers(after)
	for name, q := range numbers(before) {
		v, u, ok := q.Number()
		w, x, same := now[name].Number()
		if ok != same || math.Abs(w-v-by[name]) > 1e-6 || math.Abs(u-x) > 1e-9 {
			t.Errorf("%s went from %.6f, u %.9f to %.6f, u %.9f (want %+g and the same u)", name, v, u, w, x, by[name])
		}
	}
}

// typedIn reads the fixture's figures from a form in a unit. The masses are
// multiples of 0.45359237 kg so that all three spell exactly the same.
func typedIn(t *testing.T, unit string, kg decimal.Decimal) *Solution {
	t.Helper()
	figure := func(pounds int64) string {
		return decimal.NewFromInt(pounds).Mul(decimal.RequireFromString("0.45359237")).Div(kg).String()
	}
	form := "ticket,setup,on_deck,reading,interval,unit\n"
	for i, l := range []struct {
		setup, on string
		pounds    int64
	}{
		{"vehicle_alone", "front", 2780}, {"vehicle_alone", "vehicle", 6080}, {"trailer_alone", "all", 5900},
		{"coupled", "front", 2540}, {"coupled", "rear", 4100}, {"coupled", "trailer", 5340},
	} {
		form += fmt.Sprintf("%d,%s,%s,%s,%s,%s\n", i+1, l.setup, l.on, figure(l.pounds), figure(20), unit)
	}
	jobs, faults := tickets.Read([]tickets.Form{{Name: "tickets.csv", Bytes: []byte(form)}}, tickets.Options{NeedTickets: true}).All()
	if len(jobs) != 1 {
		t.Fatalf("%s: %+v", unit, faults)
	}
	return mustSolve(t, jobs[0])
}

func TestUnitsSayTheSame(t *testing.T) {
	kg := typedIn(t, "kg", decimal.NewFromInt(1))
	sameNumbers(t, kg, typedIn(t, "t", decimal.NewFromInt(1000)), 1e-9)
	sameNumbers(t, kg, typedIn(t, "lb", decimal.RequireFromString("0.45359237")), 1e-9)
	wantNumber(t, "vehicle", kg.total(tickets.VehicleAlone, vehicleGroups...), 6080*0.45359237, 60)
}

// The order of readings, loads and places says nothing, in eight drawn jobs of each of 17 kinds.
func TestOrderSaysNothing(t *testing.T) {
	jobs := 0
	for _, kind := range outfitKinds {
		for seed := range uint64(8) {
			jobs++
			job := draw(kind, 900+seed).job
			before := mustSolve(t, job)
			turned := *job
			turned.Readings = append([]tickets.Reading{}, job.Readings...)
			turned.Loads = append([]tickets.Load{}, job.Loads...)
			rng := rand.New(rand.NewPCG(seed, 3))
			rng.Shuffle(len(turned.Readings), func(i, j int) {
				turned.Readings[i], turned.Readings[j] = turned.Readings[j], turned.Readings[i]
			})
			rng.Shuffle(len(turned.Loads), func(i, j int) { turned.Loads[i], turned.Loads[j] = turned.Loads[j], turned.Loads[i] })
			sameNumbers(t, before, mustSolve(t, &turned), 1e-6)
		}
	}
	if jobs != 136 {
		t.Errorf("%d jobs (want 136)", jobs)
	}
}

// certain is a scale whose readings have the u that the test chooses: class
// none, so no mpe; an interval of nothing much; all of u in split_uncertainty.
func certain(name string, u float64) tickets.Scale {
	return tickets.Scale{
		Name: name, Class: "none", Multi: true,
		ExpandedKg: decimal.NewNullDecimal(decimal.New(1, -9)), StatedAtKg: whole(5000),
		SplitKg: decimal.NewNullDecimal(decimal.NewFromFloat(u)),
	}
}

// on puts a reading on a certain scale.
func on(scale string, r tickets.Reading) tickets.Reading {
	r.Scale, r.IntervalKg = scale, decimal.New(1, -6)
	return r
}

// A reading of a group is as good as one of each of its two supports whose u
// add up in quadrature: 10² = 6² + 8².
func TestOneReadingSplitInTwo(t *testing.T) {
	rest := []tickets.Reading{
		on("a", weigh(tickets.VehicleAlone, 2740, "vehicle")), on("a", weigh(tickets.TrailerAlone, 2680, "whole trailer")),
		on("a", weigh(tickets.CoupledSlack, 2450, "trailer")), on("a", weigh(tickets.CoupledSlack, 1150, "front")),
	}
	scales := []tickets.Scale{certain("a", 10), certain("b", 6), certain("c", 8)}
	whole := jobOf(append(rest, on("a", weigh(tickets.CoupledSlack, 3010, "vehicle")))...)
	halves := jobOf(append(rest[:3:3], on("b", weigh(tickets.CoupledSlack, 1160, "front")), on("c", weigh(tickets.CoupledSlack, 1850, "rear")))...)
	whole.Readings = append(whole.Readings[:3:3], whole.Readings[4])
	whole.Scales, halves.Scales = scales[:1], scales
	a, b := mustSolve(t, whole), mustSolve(t, halves)
	for _, q := range []func(*Solution) Quantity{(*Solution).download, wholeTrailer, (*Solution).combination} {
		v, u, _ := q(a).Number()
		w, x, ok := q(b).Number()
		if !ok || math.Abs(v-w) > 1e-6 || math.Abs(u-x) > 1e-6 {
			t.Errorf("%.9f, u %.9f and %.9f, u %.9f", v, u, w, x)
		}
	}
	if v, x := a.Agreement, b.Agreement; math.Abs(v.ChiSquare-x.ChiSquare) > 1e-6 || v.DOF != x.DOF || v.DOF != 1 {
		t.Errorf("%+v and %+v (want the same, dof 1)", v, x)
	}
}

// One tonne over the trailer's axle shows on the trailer and in the
// combination and nowhere else; u is held by scales of a chosen one.
func TestOneTonneOnTheTrailer(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
	readings = append(readings, coupledReadings(tickets.CoupledTensioned, 125)...)
	for i := range readings {
		readings[i] = on("a", readings[i])
		readings[i].Kg = readings[i].Kg.Add(decimal.NewFromInt(int64(i%3 - 1))) // they do not quite agree
	}
	heavier := append([]tickets.Reading{}, readings...)
	for i := range heavier {
		if heavier[i].Terms[0].Group == tickets.Trailer {
			heavier[i].Kg = heavier[i].Kg.Add(decimal.NewFromInt(1000))
		}
	}
	light, heavy := measured(jobOf(readings...)), measured(jobOf(heavier...))
	light.Scales, heavy.Scales = []tickets.Scale{certain("a", 5)}, []tickets.Scale{certain("a", 5)}
	movesOnly(t, mustSolve(t, light), mustSolve(t, heavy), map[string]float64{
		"trailer_alone.trailer": 1000, "trailer_mass": 1000, "combination": 1000,
		"coupled_slack.trailer": 1000, "coupled_tensioned.trailer": 1000,
	})
}

// Every reading taller by a part g, and its u with it: with one scale and
// neither loads nor lengths, all loads and residuals stretch by 1 + g, and
// chi-square and the fitted gain stay what they were. (With u held the gain
// would move a little: it takes its part of what does not add up, which grew.)
func TestAllReadingsTaller(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
	for i := range readings {
		readings[i] = on("a", readings[i])
		readings[i].Kg = readings[i].Kg.Add(decimal.NewFromInt(int64(7 * (i%3 - 1)))).Round(3)
	}
	job := jobOf(readings...)
	job.Scales = []tickets.Scale{certain("a", 5)}
	job.Scales[0].ExpandedKg = whole(40) // a gain with something to say
	before := mustSolve(t, job)
	const g = 0.25
	taller := *job
	taller.Scales = []tickets.Scale{certain("a", 5*(1+g))}
	taller.Scales[0].ExpandedKg = whole(40)
	taller.Readings = append([]tickets.Reading{}, job.Readings...)
	for i := range taller.Readings {
		taller.Readings[i].Kg = taller.Readings[i].Kg.Mul(decimal.NewFromFloat(1 + g))
	}
	after := mustSolve(t, &taller)
	now := numbers(after)
	for name, q := range numbers(before) {
		v, _, ok := q.Number()
		if w, _, same := now[name].Number(); ok != same || math.Abs(w-(1+g)*v) > 1e-6 {
			t.Errorf("%s went from %.6f to %.6f (want %.6f)", name, v, w, (1+g)*v)
		}
	}
	if a, b := before.Agreement, after.Agreement; math.Abs(a.ChiSquare-b.ChiSquare) > 1e-6 || a.ChiSquare < 1e-3 {
		t.Errorf("chi-square went from %g to %g (want the same, and not nothing)", a.ChiSquare, b.ChiSquare)
	}
	for i, o := range before.Observations {
		want := o.Residual * (1 + g)
		if o.Kind == byScale {
			want = o.Residual
		}
		if got := after.Observations[i].Residual; math.Abs(got-want) > 2e-6 {
			t.Errorf("residual %d went from %g to %g (want %g)", i, o.Residual, got, want)
		}
	}
}

// Somebody who was away, and the same weighings as if he had been on board with
// his mass put on by the levers: readings that agree give the same loads.
func TestAwayOrOnBoard(t *testing.T) {
	for _, load := range []struct {
		on tickets.Unit
		at float64
	}{{tickets.OnVehicle, 1000}, {tickets.OnVehicle, 3500}, {tickets.OnTrailer, 1500}, {tickets.OnTrailer, -800}} {
		readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
		readings = append(readings, coupledReadings(tickets.CoupledTensioned, 125)...)
		onBoard, away := measured(jobOf(readings...)), measured(jobOf(append([]tickets.Reading{}, readings...)...))
		away.Loads = []tickets.Load{{Name: "load", Kg: decimal.NewFromInt(80), UKg: 1, On: load.on, Place: "spot"}}
		away.Places = []tickets.Place{{Name: "spot", On: load.on, HasAt: true, AtMm: load.at}}
		for i := range away.Readings {
			r := &away.Readings[i]
			sh, _, _ := share(away, load.on, load.at, r.State)
			part := map[tickets.Group]float64{tickets.Front: sh.front, tickets.Rear: sh.rear, tickets.Trailer: sh.trailer, tickets.Nose: sh.nose}[r.Terms[0].Group]
			if part != 0 && i%2 == 0 {
				r.Without = []string{"load"}
				r.Kg = r.Kg.Sub(decimal.NewFromFloat(80 * part))
			}
		}
		a, b := numbers(mustSolve(t, onBoard)), numbers(mustSolve(t, away))
		for name, q := range a {
			v, _, ok := q.Number()
			if w, _, same := b[name].Number(); ok != same || math.Abs(v-w) > 1e-6 {
				t.Errorf("load on the %s at %g: %s is %.7f on board, %.7f away", load.on, load.at, name, v, w)
			}
		}
	}
}

// The names left and right are only names: with every side turned round, each
// left has what the right had.
func TestLeftIsRightTurnedRound(t *testing.T) {
	turn := map[tickets.Side]tickets.Side{tickets.Left: tickets.Right, tickets.Right: tickets.Left, "": ""}
	kind := outfitKinds[11] // wheels, loads unplaced
	for seed := range uint64(10) {
		job := draw(kind, 70+seed).job
		turned := *job
		turned.Readings = append([]tickets.Reading{}, job.Readings...)
		for i := range turned.Readings {
			r := &turned.Readings[i]
			r.Terms = append([]tickets.Term{}, r.Terms...)
			for j := range r.Terms {
				r.Terms[j].Side = turn[r.Terms[j].Side]
			}
		}
		a, b := mustSolve(t, job), mustSolve(t, &turned)
		for _, g := range coupledGroups {
			for _, term := range a.finer(g) {
				v, u, _ := a.load(tickets.CoupledSlack, term).Number()
				term.Side = turn[term.Side]
				w, x, ok := b.load(tickets.CoupledSlack, term).Number()
				if !ok || math.Abs(v-w) > 1e-6 || math.Abs(u-x) > 1e-6 {
					t.Errorf("seed %d, %s: %g, u %g turned round is %g, u %g, %v", seed, tickets.Spell(term), v, u, w, x, ok)
				}
			}
		}
	}
}
