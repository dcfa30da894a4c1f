package limits

import (
	"math"
	"slices"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// The invented outfit of these tests is a travelling planetarium: a crew-cab
// utility and a tandem-axle trailer. Its loads are the constructed fixture of
// statics behind the rear axle: wheelbase 2.85 m, overhang 1.25 m, drawbar
// 5.0 m, download 250 kg; tensioned at about half restoration. Every load
// differs from every other, so that a value shows which load was compared.

func terms(on string) []tickets.Term {
	table := map[string][]tickets.Term{
		"front": {{Group: tickets.Front}}, "rear": {{Group: tickets.Rear}}, "trailer": {{Group: tickets.Trailer}},
		"vehicle":       {{Group: tickets.Front}, {Group: tickets.Rear}},
		"whole trailer": {{Group: tickets.Trailer}, {Group: tickets.Nose}},
		"outfit":        {{Group: tickets.Front}, {Group: tickets.Rear}, {Group: tickets.Trailer}},
		"rear.1":        {{Group: tickets.Rear, Axle: 1}}, "rear.2": {{Group: tickets.Rear, Axle: 2}},
		"trailer.1": {{Group: tickets.Trailer, Axle: 1}}, "trailer.2": {{Group: tickets.Trailer, Axle: 2}},
		"trailer.3":           {{Group: tickets.Trailer, Axle: 3}},
		"trailer.1+trailer.2": {{Group: tickets.Trailer, Axle: 1}, {Group: tickets.Trailer, Axle: 2}},
		"trailer.3+trailer.4": {{Group: tickets.Trailer, Axle: 3}, {Group: tickets.Trailer, Axle: 4}},
		"trailer.1.left":      {{Group: tickets.Trailer, Axle: 1, Side: tickets.Left}},
		"rear.left":           {{Group: tickets.Rear, Side: tickets.Left}},
		"rear.right":          {{Group: tickets.Rear, Side: tickets.Right}},
		"trailer.left":        {{Group: tickets.Trailer, Side: tickets.Left}},
		"trailer.right":       {{Group: tickets.Trailer, Side: tickets.Right}},
	}
	return table[on]
}

// waysToTravel are the words of the column travels.
var waysToTravel = []string{"plain", "slack", "tensioned"}

// travel has the outfit of a job travel in one of them.
func travel(job *tickets.Job, word string) {
	job.Outfit.Travels, job.Outfit.TravelsPlain = tickets.CoupledSlack, word == "plain"
	if word == "tensioned" {
		job.Outfit.Travels = tickets.CoupledTensioned
	}
}

func weigh(state tickets.State, kg float64, on string) tickets.Reading {
	return tickets.Reading{
		State: state, Kg: decimal.NewFromFloat(kg), IntervalKg: decimal.NewFromInt(20),
		Terms: terms(on), OnDeck: on, Used: true, Confirmed: []string{"not_a_multiple"},
	}
}

// alone, slack and tensioned are the fixture's weighings by state.
func alone() []tickets.Reading {
	return []tickets.Reading{
		weigh(tickets.VehicleAlone, 1260, "front"),
		weigh(tickets.VehicleAlone, 1500, "rear"),
		weigh(tickets.VehicleAlone, 2760, "vehicle"),
		weigh(tickets.TrailerAlone, 2680, "whole trailer"),
	}
}

func slack() []tickets.Reading {
	return []tickets.Reading{
		weigh(tickets.CoupledSlack, 1150, "front"),
		weigh(tickets.CoupledSlack, 1860, "rear"),
		weigh(tickets.CoupledSlack, 2430, "trailer"),
	}
}

func tensioned() []tickets.Reading {
	return []tickets.Reading{
		weigh(tickets.CoupledTensioned, 1205, "front"),
		weigh(tickets.CoupledTensioned, 1780, "rear"),
		weigh(tickets.CoupledTensioned, 2455, "trailer"),
	}
}

func jobOf(parts ...[]tickets.Reading) *tickets.Job {
	job := &tickets.Job{
		Scales: []tickets.Scale{{Class: "III", Typed: map[string]string{"class": "III", "deck": "single"}}},
		Outfit: tickets.Outfit{Travels: tickets.CoupledSlack, TravelsPlain: true, TravelsStated: true, LengthUncertaintyMm: 10},
	}
	for _, p := range parts {
		job.Readings = append(job.Readings, p...)
	}
	for i := range job.Readings {
		job.Readings[i].Line = i + 2
	}
	return job
}

// plated is the fixture weighed alone and coupled, without a tensioned hitch.
func plated(lines ...tickets.Rating) *tickets.Job { return rated(jobOf(alone(), slack()), lines...) }

func rated(job *tickets.Job, lines ...tickets.Rating) *tickets.Job {
	for i := range lines {
		lines[i].Line = i + 2
	}
	job.Ratings = lines
	return job
}

// rate is a rating line in kilograms, as reading gives it.
func rate(word, on string, kg float64) tickets.Rating {
	r := tickets.Rating{Word: word, Typed: word, On: on, Unit: "kg", Value: decimal.NewFromFloat(kg).String()}
	r.LimitKg = decimal.NewNullDecimal(decimal.NewFromFloat(kg))
	if word == "axle" || word == "tyre" || word == "wheel" {
		r.Terms = terms(on)
	}
	return r
}

func with(r tickets.Rating, change func(*tickets.Rating)) tickets.Rating { change(&r); return r }

func none(word, on string) tickets.Rating {
	r := rate(word, on, 1)
	r.LimitKg, r.None, r.Source, r.Value = decimal.NullDecimal{}, true, "handbook", "none"
	return r
}

func dValue(kN float64) tickets.Rating {
	r := tickets.Rating{Word: "d_value", Unit: "kN"}
	r.LimitKN = decimal.NewNullDecimal(decimal.NewFromFloat(kN))
	return r
}

func tyreIndex(on string, fitted, single, dual int) tickets.Rating {
	r := tickets.Rating{Word: "tyre", On: on, Terms: terms(on), Fitted: fitted}
	r.Index = []int{single}
	if dual > 0 {
		r.Index = append(r.Index, dual)
	}
	return r
}

func found(t *testing.T, job *tickets.Job) *Findings {
	t.Helper()
	return foundBy(t, job, Guarded)
}

func foundBy(t *testing.T, job *tickets.Job, rule string) *Findings {
	t.Helper()
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return Find(job, s, rule)
}

// row finds the check of a rating, on and state in a set.
func row(t *testing.T, f *Findings, word, on string, state tickets.State, set string) *Check {
	t.Helper()
	for i := range f.Checks {
		c := &f.Checks[i]
		if c.Rating == word && c.On == on && c.State == state && c.Set == set {
			return c
		}
	}
	t.Fatalf("no check %s %s %s set %q", word, on, state, set)
	return nil
}

// ofLines are the rows of the rating lines: without the floor of the download.
func ofLines(f *Findings) []Check {
	return slices.DeleteFunc(slices.Clone(f.Checks), func(c Check) bool { return c.Floor })
}

// near allows for the grid on which masses leave the package.
func near(a, b float64) bool { return math.Abs(a-b) <= 3e-6 }

func checkerOf(t *testing.T, job *tickets.Job) *checker {
	t.Helper()
	s := mustSolve(t, job)
	return newChecker(job, s, Guarded)
}
