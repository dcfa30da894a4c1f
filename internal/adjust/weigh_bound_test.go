package adjust

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// exhaustive advises as Next does, but solves every candidate, and compares for
// each of them what was hoped for with what it does. It counts the candidates,
// and those that Next had not solved.
type exhaustive struct {
	t          *testing.T
	name       string
	all, spare int
}

// weighings is adviser.weighings with every candidate solved.
func (e *exhaustive) weighings(a *adviser) []weighing {
	var all []weighing
	a.findNeeds()
	for len(all) < mostWeighings && a.tryAll() {
		lazy := a.best()
		for i := range a.tried {
			e.all++
			if !a.tried[i].solved {
				e.spare++
			}
			a.solve(&a.tried[i])
			e.bounds(a, &a.tried[i])
		}
		if t := firstOfTheBest(a); t != lazy {
			e.t.Errorf("%s: candidate %d is the best of all, %d of those solved", e.name, t, lazy)
		}
		if lazy < 0 {
			break
		}
		all = append(all, a.take(lazy))
	}
	for i := range a.needs {
		if n := &a.needs[i]; n.need == toSettle && !n.served && len(all) < mostWeighings {
			all = append(all, e.reduce(a, i)...)
		}
	}
	return append(all, a.separately()...)
}

// bounds compares what a candidate does with what was hoped for.
func (e *exhaustive) bounds(a *adviser, t *trial) {
	for i := range t.serves {
		v, h := &t.serves[i], &t.hopes[i]
		if v.Solved && !h.solved {
			e.t.Errorf("%s: %s %s on %s solves %s %s, which was thought impossible", e.name,
				t.Reading.State, t.Reading.OnDeck, t.Reading.Scale, v.Check.Rating, v.Check.On)
		}
		if v.Then > 0 && v.Then < h.least {
			e.t.Errorf("%s: %s %s leaves u %.6f of %s %s, less than the least, %.6f", e.name,
				t.Reading.State, t.Reading.OnDeck, v.Then, v.Check.Rating, v.Check.On, h.least)
		}
	}
}

// firstOfTheBest goes through all candidates in their order.
func firstOfTheBest(a *adviser) int {
	best, of := -1, merit{}
	for i := range a.tried {
		m := a.merit(&a.tried[i])
		if m.grave+m.other > 0 && (best < 0 || m.compare(of) < 0) {
			best, of = i, m
		}
	}
	return best
}

// reduce goes through all candidates in their order.
func (e *exhaustive) reduce(a *adviser, n int) []weighing {
	best := -1
	for i := range a.tried {
		a.solve(&a.tried[i])
		if a.tried[i].serves == nil {
			continue
		}
		v := &a.tried[i].serves[n]
		if v.Then > 0 && v.Then <= gridOf(&v.Check, float64(worthwhile*v.Now)) && (best < 0 || v.Then < a.tried[best].serves[n].Then) {
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	return []weighing{{candidate: a.tried[best].candidate, Serves: []service{a.tried[best].serves[n]}}}
}

// locate solves every candidate of a conflict.
func (e *exhaustive) locate(a *adviser) *location {
	set := doubtfulSet(a.s)
	if len(set) < 2 {
		return nil
	}
	var best *location
	closest := 2.0
	for _, c := range candidates(a.s.Job) {
		then, err := a.s.WithReading(&c.Reading, &c.Scale)
		if err != nil {
			continue
		}
		single, alike := separable(then, set)
		if !a.s.Prospect(&c.Reading, &c.Scale).Tests && len(single) > 0 {
			e.t.Errorf("%s: %s %s separates %v, which was thought impossible", e.name, c.Reading.State, c.Reading.OnDeck, single)
		}
		if len(single) > 0 && (best == nil || len(single) > len(best.Separable) || len(single) == len(best.Separable) && alike < closest) {
			best, closest = &location{candidate: c, Readings: set, Separable: single}, alike
		}
	}
	return best
}

// demoJobs reads every job of testdata.
func demoJobs(t testing.TB) (jobs []*tickets.Job) {
	t.Helper()
	dirs, err := filepath.Glob(filepath.Join("..", "..", "testdata", "tickets", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, dir := range dirs {
		var forms []tickets.Form
		for _, form := range []string{"tickets.csv", "ratings.csv", "outfit.csv", "scales.csv", "loads.csv", "places.csv"} {
			if b, err := os.ReadFile(filepath.Join(dir, form)); err == nil {
				forms = append(forms, tickets.Form{Name: form, Bytes: b})
			}
		}
		read, _ := tickets.Read(forms, tickets.Options{NeedTickets: true}).All()
		for _, job := range read {
			job.Name = filepath.Base(dir) + " " + job.Name
			jobs = append(jobs, job)
		}
	}
	return jobs
}

// incompleteJob draws an outfit of which not everything was weighed: of a drawn
// simulated some readings are left out, some taken on pads or twice, one is wrong,
// lengths are forgotten, and tyres and a coupling are rated too.
func incompleteJob(seed uint64) *tickets.Job {
	w := simulate(simulatedKind{least: 1, loads: 4, choices: 2, tight: true}, seed)
	rng := rand.New(rand.NewPCG(seed, 11))
	j := w.job
	j.Name = fmt.Sprint("drawn ", seed)
	var kept []tickets.Reading
	for _, r := range j.Readings {
		if rng.IntN(3) > 0 {
			kept = append(kept, r)
		}
	}
	j.Readings = kept
	if rng.IntN(2) == 0 {
		j.Outfit.Wheelbase = tickets.Length{}
	}
	if rng.IntN(3) == 0 {
		j.Outfit.CouplingToTrailerAxle = tickets.Length{}
	}
	if rng.IntN(3) == 0 {
		second := tickets.Scale{Name: "pads", Class: "IIII", Pads: true}
		j.Scales = append(j.Scales, second)
		for i := range j.Readings {
			if rng.IntN(3) == 0 {
				j.Readings[i].Scale, j.Readings[i].IntervalKg = "pads", decimal.NewFromInt(10)
				j.Readings[i].Kg = j.Readings[i].Kg.Add(decimal.NewFromInt(10 * rng.Int64N(3)))
			}
		}
	}
	if rng.IntN(4) == 0 && len(j.Readings) > 0 {
		j.Readings = append(j.Readings, j.Readings[rng.IntN(len(j.Readings))])
	}
	if rng.IntN(4) == 0 && len(j.Readings) > 0 {
		r := &j.Readings[rng.IntN(len(j.Readings))]
		r.Kg = r.Kg.Add(decimal.NewFromInt(40 * (1 + rng.Int64N(5))))
	}
	if rng.IntN(3) == 0 {
		for _, on := range []string{"front", "rear", "trailer"} {
			j.Ratings = append(j.Ratings, tickets.Rating{Line: len(j.Ratings) + 2, Word: "tyre", On: on, Unit: "kg", Fitted: 4 - 2*rng.IntN(2),
				Terms: []tickets.Term{{Group: tickets.Group(on)}}, LimitKg: decimal.NewNullDecimal(decimal.NewFromInt(500 + rng.Int64N(400)))})
		}
	}
	if rng.IntN(3) == 0 {
		j.Ratings = append(j.Ratings, tickets.Rating{Line: len(j.Ratings) + 2, Word: "d_value", Unit: "kN", LimitKN: decimal.NewNullDecimal(decimal.NewFromInt(8 + rng.Int64N(8)))})
	}
	for i := range j.Readings {
		j.Readings[i].Line = i + 2
	}
	return j
}

// Only candidates that could be the best are solved; solving every one of them
// gives the same advice to the bit (an independent way), and none of them does
// more than was hoped for.
func TestOnlyTheBestIsSolved(t *testing.T) {
	jobs := demoJobs(t)
	if len(jobs) < 45 {
		t.Fatalf("%d demo jobs (want 45 or more)", len(jobs))
	}
	for seed := range uint64(study.Size(1000, 50, 30)) {
		jobs = append(jobs, incompleteJob(seed))
	}
	e := &exhaustive{t: t}
	advised, conflicts := 0, 0
	for _, job := range jobs {
		for _, rule := range []string{limits.Guarded, "simple"} {
			s, err := derive.Solve(job, derive.Options{})
			if err != nil {
				t.Fatal(err)
			}
			f := limits.Find(job, s, rule)
			e.name = job.Name
			got, err := Next(s, f, nil)
			if err != nil {
				t.Fatal(err)
			}
			a := &adviser{s: s, f: f}
			if f.Conflict {
				conflicts++
				if want := e.locate(a); !reflect.DeepEqual(got.Locate, want) {
					t.Errorf("%s: %+v located (want %+v)", job.Name, got.Locate, want)
				}
				continue
			}
			want := e.weighings(a)
			advised += len(want)
			if !reflect.DeepEqual(got.Weigh, want) {
				t.Errorf("%s: advised\n%+v\nwant\n%+v", job.Name, got.Weigh, want)
			}
			if rule == limits.Guarded && f.Verdict != limits.Unsettled {
				break // the rule matters to what is unsettled
			}
		}
	}
	t.Logf("%d jobs, %d in conflict; %d readings advised; of %d candidates %d were not solved", len(jobs), conflicts, advised, e.all, e.spare)
	if advised < 100 || conflicts < 5 || e.spare < e.all/2 {
		t.Errorf("%d readings advised, %d conflicts, %d of %d candidates not solved: too few to say anything", advised, conflicts, e.spare, e.all)
	}
}
