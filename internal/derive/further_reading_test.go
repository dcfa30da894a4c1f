package derive

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// further is a reading of each deck of an outfit, on the first deck that it was
// weighed on or else on a new one, and that scale.
func further(s *Solution) (all []tickets.Reading, scale tickets.Scale) {
	scale = tickets.Scale{Name: "next", Class: "III"}
	interval := decimal.NewFromInt(20)
	for _, r := range s.system.used {
		if at := s.Job.Scale(r.Scale); at != nil && !onGauge(r) {
			scale, interval = *at, r.IntervalKg
			break
		}
	}
	for _, state := range []tickets.State{tickets.VehicleAlone, tickets.TrailerAlone, tickets.CoupledSlack} {
		for _, groups := range DecksOf(&s.Job.Outfit, state) {
			r := tickets.Reading{State: state, Terms: groupTerms(groups), Scale: scale.Name, IntervalKg: interval, Used: true}
			if groups[0] != tickets.Coupling { // under which no deck is
				all = append(all, r)
			}
		}
	}
	return all, scale
}

// u promised is U obtained: the advised reading, typed into the form with the
// figure it was predicted to show, and the form solved (our own promise).
func TestPromiseIsKept(t *testing.T) {
	tried := 0
	for n := uint64(0); n < 60; n++ {
		s := drawn(91, n)
		all, scale := further(s)
		r := all[rand.New(rand.NewPCG(91, n)).IntN(len(all))]
		promised, err := s.WithReading(&r, &scale)
		if err != nil {
			t.Fatal(err)
		}
		form := *s.Job
		form.Readings = append(slices.Clone(form.Readings), r)
		if form.Scale(scale.Name) == nil {
			form.Scales = append(slices.Clone(form.Scales), scale)
		}
		obtained := mustSolve(t, &form)
		for i, q := range promised.quantities() {
			o := obtained.quantities()[i]
			v, u, ok := q.Number()
			ov, ou, ook := o.Number()
			if ok != ook || math.Abs(u-ou) > 1e-6 || math.Abs(v-ov) > 1e-6 {
				t.Errorf("job %d, %s %s: %s promised ± %g, obtained ± %g", n, r.State, tickets.Spell(r.Terms...), q.Name, u, ou)
			}
			if ok {
				tried++
			}
		}
	}
	if tried < 500 {
		t.Errorf("only %d quantities compared (want 500)", tried)
	}
}

// A further reading of what is determined leaves values as they are, to its
// rounding, and makes nothing less certain but by its own rounding.
func TestFurtherReadingHelps(t *testing.T) {
	s := mustSolve(t, fixture())
	all, scale := further(s)
	for _, r := range all {
		then, err := s.WithReading(&r, &scale)
		if err != nil {
			t.Fatal(err)
		}
		_, before, _ := s.Figures().Download.Number()
		_, after, ok := then.Figures().Download.Number()
		// A repeat renews rounding only, and its kind of reading is then worth less each.
		if !ok || after > before+1e-9 {
			t.Errorf("%s %s: u of the download from %g to %g", r.State, tickets.Spell(r.Terms...), before, after)
		}
	}
}

func TestWithRefusesNothingOnTheDeck(t *testing.T) {
	s := mustSolve(t, fixture())
	if _, err := s.WithReading(&tickets.Reading{State: tickets.CoupledSlack}, &s.Job.Scales[0]); err == nil {
		t.Error("a reading of nothing was solved")
	}
}

// A gauge under the coupling determines the download of an outfit that was
// weighed whole only.
func TestGaugeDetermines(t *testing.T) {
	s := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, 2760, "vehicle"),
		weigh(tickets.TrailerAlone, 2680, "whole trailer"),
		weigh(tickets.CoupledSlack, 5440, "outfit"),
	))
	gauge := tickets.Scale{Name: "gauge", Class: "III", Gauge: true}
	r := weigh(tickets.TrailerAlone, 0, "coupling")
	r.Scale, r.IntervalKg = gauge.Name, decimal.NewFromInt(2)
	then, err := s.WithReading(&r, &gauge)
	if err != nil {
		t.Fatal(err)
	}
	// u² = 2²/12 + 0.5²/3 + 1²/3·… + 3²: mpe of class III, e = 2, at 200 kg is 0.5 e
	want := math.Sqrt(4.0/12 + 0.25/3 + 1.0/3 + 9)
	_, u, ok := then.Figures().Download.Number()
	if !ok || math.Abs(u-want) > 0.05 {
		t.Errorf("download determined %v, u %g (want about %g)", ok, u, want)
	}
}

// The figure expected is what the loads solved put on the deck, rounded to the
// interval: the fixture's trailer axles, coupled, are 2,430 kg, with e = 50 2,450.
func TestPredict(t *testing.T) {
	s := mustSolve(t, fixture())
	r := weigh(tickets.CoupledSlack, 0, "trailer")
	r.IntervalKg = decimal.NewFromInt(50)
	if got := s.predict(r).Kg; got.IntPart() != 2450 {
		t.Errorf("trailer axles %s (want 2450)", got)
	}
	if got := s.predict(weigh(tickets.CoupledSlack, 2500, "vehicle")).Kg; got.IntPart() != 2500 {
		t.Errorf("a reading with a figure became %s", got)
	}
	none := mustSolve(t, jobOf())
	if got := none.predict(weigh(tickets.CoupledTensioned, 0, "rear", "trailer")).Kg; got.IntPart() != 3440 {
		t.Errorf("supposed rear and trailer %s (want 1425 + 2020, to 20 kg)", got)
	}
}

func TestAlike(t *testing.T) {
	s := mustSolve(t, towing())
	if r, ok := s.Alike(5, 7); !ok || math.Abs(r) < 0.999999 {
		t.Errorf("front and trailer: %g, %v (equal constraint columns)", r, ok)
	}
	if r, ok := s.Alike(0, 7); !ok || math.Abs(r) > 0.99 {
		t.Errorf("vehicle alone and trailer: %g, %v", r, ok)
	}
	if _, ok := s.Alike(0, 99); ok {
		t.Error("a reading that is not there is tested")
	}
	if o, ok := s.observed(7); !ok || o.Index != 7 || math.Abs(o.U-10) > 1e-6 {
		t.Errorf("reading 8: %+v, %v (u is 10 kg)", o, ok)
	}
	if _, ok := s.observed(99); ok {
		t.Error("a reading that is not there was observed")
	}
}

// What a prospect says beforehand, of each load and each further reading: nothing that
// comes of the reading is better than it says, and what it says is near enough to what
// comes to spare solving.
func TestProspects(t *testing.T) {
	var determined, near, open, ruledOut, unchecked, seen int
	for n := range uint64(60) {
		s := drawn(17, n)
		all, scale := further(s)
		for i := range all {
			r := all[i]
			p := s.Prospect(&r, &scale)
			then, err := s.WithReading(&r, &scale)
			if err != nil {
				t.Fatal(err)
			}
			before := s.quantities()
			for k, after := range then.quantities() {
				name := fmt.Sprintf("job %d, %s %s: %s", n, r.State, tickets.Spell(r.Terms...), after.Name)
				u, possible, checked := p.Of(before[k].Quantity, 1)
				_, obtained, ok := after.Number()
				switch {
				case !ok && possible:
					open++
				case !ok:
					open, ruledOut = open+1, ruledOut+1
				case !possible:
					t.Errorf("%s is determined, which was thought impossible", name)
				case u > obtained:
					t.Errorf("%s has u %g, less than the least, %g", name, obtained, u)
				default:
					determined++
					if u >= 0.99*obtained {
						near++
					}
				}
				if !ok {
					continue
				}
				switch b := then.Behind(after.Quantity); {
				case b.Checked && !checked:
					t.Errorf("%s is checked, which was thought impossible", name)
				case !b.Checked:
					unchecked++
					if !checked {
						seen++
					}
				}
			}
		}
	}
	for _, c := range []struct {
		what     string
		said, of int
		least    float64
		atLeast  int // of them
	}{
		{"of determined loads the least u is within a hundredth of u", near, determined, 0.9, 10000},
		{"of loads left open this is said beforehand", ruledOut, open, 0.99, 5000},
		{"of loads not checked this is said beforehand", seen, unchecked, 0.98, 4000},
	} {
		if c.of < c.atLeast || float64(c.said) < c.least*float64(c.of) {
			t.Errorf("%s: %d of %d (want %g of at least %d)", c.what, c.said, c.of, c.least, c.atLeast)
		}
	}
}

// Where no tie and no repetition changes a weight, what a prospect says of the readings
// behind a load is what comes of the reading: the redundancy of each, and how far the
// load follows it.
func TestProspectOfReadingsBehind(t *testing.T) {
	redundancies, sensitivities, moved, fixed := 0, 0, 0, 0
	for n := range uint64(60) {
		s := drawn(17, n)
		all, scale := further(s)
		for i := range all {
			r := all[i]
			p := s.Prospect(&r, &scale)
			then, err := s.WithReading(&r, &scale)
			if err != nil {
				t.Fatal(err)
			}
			if p.fit == nil || p.Refines || len(then.Ties) > 0 || reweighted(s, then) {
				continue
			}
			name := fmt.Sprintf("job %d, %s %s", n, r.State, tickets.Spell(r.Terms...))
			for k, after := range then.quantities() {
				before := s.quantities()[k]
				row, _, ok := p.rest(before.row)
				if !ok || !after.Determined {
					continue
				}
				d, gain := p.fit.exact.Sensitivity(row, nil), p.gain(row)
				for i := range s.Used {
					redundancy, of := p.with(i, d[i], gain)
					if got := then.Used[i].Redundancy; math.Abs(got-redundancy) > 1e-6 {
						t.Errorf("%s: reading %d has redundancy %g, and %g was said", name, i, got, redundancy)
					}
					if got := then.sensitivity(after.Quantity)[i]; math.Abs(got-of) > 1e-6 {
						t.Errorf("%s: %s follows reading %d by %g, and %g was said", name, after.Name, i, got, of)
					}
					if math.Abs(redundancy-s.Used[i].Redundancy) > 0.01 {
						redundancies++
					}
					if before.Determined && math.Abs(of-d[i]) > 0.01 {
						sensitivities++
					}
				}
				if p.moves != nil {
					moved++
				} else {
					fixed++
				}
			}
		}
	}
	if redundancies < 1000 || sensitivities < 1000 || moved < 1000 || fixed < 300 {
		t.Errorf("%d redundancies and %d sensitivities change, of %d loads; %d are first determined (want 1000, 1000, 1000, 300)", redundancies, sensitivities, moved, fixed)
	}
}

// reweighted says whether a reading has another u in a solution than in one before.
func reweighted(before, after *Solution) bool {
	for i := range before.Used {
		if before.Used[i].U != after.Used[i].U {
			return true
		}
	}
	return false
}

// The first reading of one axle of several separates loads of which nothing can be said
// beforehand; of the only axle of a group, or of a side, nothing at all can.
func TestProspectOfOneAxle(t *testing.T) {
	job := fixture()
	job.Outfit.RearAxles = 1
	job.Outfit.TrailerAxles = 2
	s := mustSolve(t, job)
	for _, c := range []struct {
		on      tickets.Term
		known   bool // whether anything can be said
		refines bool
	}{
		{tickets.Term{Group: tickets.Trailer}, true, false},
		{tickets.Term{Group: tickets.Trailer, Axle: 1}, true, true},
		{tickets.Term{Group: tickets.Rear, Axle: 1}, false, true},
		{tickets.Term{Group: tickets.Trailer, Side: tickets.Left}, false, true},
	} {
		r := weigh(tickets.CoupledSlack, 1200, "trailer")
		r.Terms = []tickets.Term{c.on}
		if p := s.Prospect(&r, &s.Job.Scales[0]); p.Refines != c.refines || (p.fit != nil) != c.known {
			t.Errorf("%s: refines %v, known %v (want %v, %v)", tickets.Spell(c.on), p.Refines, p.fit != nil, c.refines, c.known)
		}
	}
}
