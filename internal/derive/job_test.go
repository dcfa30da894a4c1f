package derive

import (
	"math"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// The invented outfit of these tests: a travelling planetarium.

// deck spells a support out as reading does.
func deck(words ...string) []tickets.Term {
	table := map[string][]tickets.Term{
		"front": {{Group: tickets.Front}}, "rear": {{Group: tickets.Rear}}, "trailer": {{Group: tickets.Trailer}},
		"nose": {{Group: tickets.Nose}}, "coupling": {{Group: tickets.Coupling}},
		"vehicle":       {{Group: tickets.Front}, {Group: tickets.Rear}},
		"whole trailer": {{Group: tickets.Trailer}, {Group: tickets.Nose}},
		"outfit":        {{Group: tickets.Front}, {Group: tickets.Rear}, {Group: tickets.Trailer}},
	}
	var terms []tickets.Term
	for _, w := range words {
		terms = append(terms, table[w]...)
	}
	return terms
}

// weigh is a reading in kilograms on the unnamed scale.
func weigh(state tickets.State, kg float64, words ...string) tickets.Reading {
	return tickets.Reading{
		State: state, Kg: decimal.NewFromFloat(kg), IntervalKg: decimal.NewFromInt(20),
		Terms: deck(words...), Used: true,
	}
}

func jobOf(readings ...tickets.Reading) *tickets.Job {
	for i := range readings {
		readings[i].Line = i + 2
	}
	return &tickets.Job{
		Readings: readings,
		Scales:   []tickets.Scale{{Class: "III"}},
		Outfit:   tickets.Outfit{LengthUncertaintyMm: 10},
	}
}

// How a quantity came about, in the words of a record.
const weighed, byMoment, difference = "weighed", "moment", "difference"

func basisOf(q Quantity) string {
	switch {
	case q.Weighed:
		return weighed
	case q.ByMoment:
		return byMoment
	}
	return difference
}

func mustSolve(t *testing.T, job *tickets.Job) *Solution {
	t.Helper()
	s, err := Solve(job, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func wantNumber(t *testing.T, name string, q interface {
	Number() (float64, float64, bool)
}, want, tolerance float64) {
	t.Helper()
	v, u, ok := q.Number()
	if !ok {
		t.Errorf("%s is not determined (want %g)", name, want)
		return
	}
	if math.Abs(v-want) > tolerance {
		t.Errorf("%s = %g (want %g)", name, v, want)
	}
	if !(u > 0) {
		t.Errorf("%s has u = %g", name, u)
	}
}

// drawn is a solved job that was drawn with known loads, of the n-th kind of outfit.
func drawn(seed, n uint64) *Solution {
	w := draw(outfitKinds[n%uint64(len(outfitKinds))], 1000*seed+n)
	s, err := Solve(w.job, Options{})
	if err != nil {
		panic(err)
	}
	return s
}

// pointers are readings as a system holds them.
func pointers(readings []tickets.Reading) []*tickets.Reading {
	all := make([]*tickets.Reading, len(readings))
	for i := range readings {
		all[i] = &readings[i]
	}
	return all
}

// finest lists the smallest supports of a group that is split so.
func finest(g tickets.Group, s splitOf) (terms []tickets.Term) {
	eachFinest(g, s, func(t tickets.Term) { terms = append(terms, t) })
	return terms
}

func known(mm float64) tickets.Length { return tickets.Length{Known: true, Mm: mm} }

// whole is a cell of whole kilograms.
func whole(kg int) decimal.NullDecimal { return decimal.NewNullDecimal(decimal.NewFromInt(int64(kg))) }

// observed is how a used reading, by its index in Job.Readings, fared.
func (s *Solution) observed(reading int) (observation, bool) {
	for _, o := range s.Used {
		if o.Index == reading {
			return o, true
		}
	}
	return observation{}, false
}

// scaleOf is a scale with a deck of a kind, in the words of the column.
func scaleOf(deck string) tickets.Scale {
	return tickets.Scale{Multi: deck == "multi", Pads: deck == "pads" || deck == "pads_in_turn", InTurn: deck == "pads_in_turn", Gauge: deck == "gauge"}
}
