package mistakes

import (
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// The invented outfit of these tests: a travelling planetarium.

// deck lists the supports that words name.
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

func mustSolve(t *testing.T, job *tickets.Job) *derive.Solution {
	t.Helper()
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// listed is what the search lists.
func listed(s *derive.Solution) []Mistake {
	list, _ := Find(s, nil)
	return list
}

func known(mm float64) tickets.Length { return tickets.Length{Known: true, Mm: mm} }

// suspected says whether an observation of a solution is suspect.
func suspected(s *derive.Solution) bool {
	for i := range s.Observations {
		if s.Observations[i].Suspect {
			return true
		}
	}
	return false
}

func b2i(b bool) int {
	if b {
		return 1
	}
	return 0
}
