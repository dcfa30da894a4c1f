package mistakes

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// What is listed agrees, and has the score that its definition gives it.
func TestWhatIsListedAgrees(t *testing.T) {
	untested := 0
	for n, s := range conflicts(plainOrFull(22, 45)) {
		for _, m := range s.list() {
			f := m.Solution.Agreement
			switch {
			case m.Tested && (f.DOF < 1 || m.P != f.P || f.P < 0.001 || suspected(m.Solution)):
				t.Errorf("job %d: %s has p %g of %d degrees of freedom", n, m.Kind, m.P, f.DOF)
			case !m.Tested && (f.DOF != 0 || m.P != 1):
				t.Errorf("job %d: %s is not tested, dof %d, p %g", n, m.Kind, f.DOF, m.P)
			case impossible(m.Solution):
				t.Errorf("job %d: %s lifts a load", n, m.Kind)
			}
			untested += b2i(!m.Tested)
		}
	}
	three := mustSolve(t, jobOf(
		weigh(tickets.VehicleAlone, 2760, "vehicle"),
		weigh(tickets.TrailerAlone, 2680, "whole trailer"),
		weigh(tickets.CoupledSlack, 5840, "outfit"),
	))
	for _, m := range listed(three) {
		untested += b2i(!m.Tested)
		if !m.Tested && m.P != 1 {
			t.Errorf("%s is not tested and has p %g", m.Kind, m.P)
		}
	}
	if untested == 0 {
		t.Error("no hypothesis without a degree of freedom was seen")
	}
}

// Score: ln(prior) − χ²/2 + 4·(dof − dof as typed), by its definition.
func TestScore(t *testing.T) {
	job := slips()
	job.Readings[8].Typed, job.Readings[8].Kg = "4540", decimal.NewFromInt(4540)
	s := mustSolve(t, job)
	for _, h := range newSearch(s).hypotheses() {
		m, _, ok := newSearch(s).try(h)
		if !ok || improbable(m.Solution) {
			continue
		}
		f := m.Solution.Agreement
		want := math.Log(h.prior) - f.ChiSquare/2 + 4*float64(f.DOF-s.Agreement.DOF)
		if math.Abs(m.Score-want) > 1e-9 {
			t.Errorf("%s: %g (want %g)", m.Kind, m.Score, want)
		}
	}
}

// Ranks: within a ratio of likelihoods of 3 of the first of its rank.
func TestRanks(t *testing.T) {
	m := func(kind kind, at int, score float64) Mistake {
		figures := make([]tickets.Reading, 5)
		figures[at].Typed = fmt.Sprint(score)
		return Mistake{Kind: kind, Readings: []int{at}, Score: score, Tested: true, Job: &tickets.Job{Readings: figures}}
	}
	list := ranked([]Mistake{
		m(digitWrong, 3, -9), m(digitsSwapped, 1, -5), m(digitWrong, 2, -6), m(hitchWrong, 2, -6.2), m(digitWrong, 4, -5),
	})
	var ranks []int
	for _, m := range list {
		ranks = append(ranks, m.Rank)
	}
	if !slices.Equal(ranks, []int{1, 1, 1, 4, 5}) || list[0].Kind != digitsSwapped || list[1].Readings[0] != 4 {
		t.Errorf("ranks %v (want 1 1 1 4 5: −6 is within ln 3 of −5, −6.2 is not)", ranks)
	}
	var many []Mistake
	for i := range 40 {
		many = append(many, m(digitWrong, i/10, float64(-i)))
	}
	list = ranked(many)
	if len(list) != 12 || list[3].Readings[0] != 1 {
		t.Errorf("%d kept (want 12, three of each reading)", len(list))
	}
	if list = ranked(many[:30]); len(list) != 9 {
		t.Errorf("%d kept of 3 readings (want 9)", len(list))
	}
}

// What leaves nothing to test comes after every one that was tested, however
// likely it is.
func TestUntestedComesLast(t *testing.T) {
	list := ranked([]Mistake{
		{Kind: setupWrong, Readings: []int{0}, Score: -1}, {Kind: digitWrong, Readings: []int{1}, Score: -20, Tested: true}, {Kind: hitchWrong, Readings: []int{2}, Score: -3},
	})
	if list[0].Kind != digitWrong || list[1].Kind != setupWrong || list[1].Rank != 2 || list[2].Rank != 3 {
		t.Errorf("%v", names3NoJob(list))
	}
	for n, s := range conflicts(plainOrFull(22, 45)) {
		list := s.list()
		for i := 1; i < len(list); i++ {
			if list[i].Tested && !list[i-1].Tested {
				t.Errorf("job %d: entry %d was tested, the one before it was not", n, i)
			}
		}
		said := map[string]bool{}
		for i := range list {
			if words := list[i].saying(); said[words] {
				t.Errorf("job %d: said twice: %s", n, words)
			} else {
				said[words] = true
			}
		}
	}
}

func names3NoJob(list []Mistake) []kind {
	var all []kind
	for _, m := range list {
		all = append(all, m.Kind)
	}
	return all
}

// Of many explanations the best few are listed, and only some of a kind in the same
// figures.
func TestListIsShort(t *testing.T) {
	var many []Mistake
	for i := range 2 * longestList {
		many = append(many, Mistake{Kind: digitWrong, Readings: []int{i}, Tested: true})
	}
	if got := thinned(many); len(got) != longestList {
		t.Errorf("%d listed (want %d)", len(got), longestList)
	}
	var alike []Mistake
	for i := range 5 {
		m := many[0]
		m.Job = &tickets.Job{Readings: []tickets.Reading{{Typed: strconv.Itoa(i)}}}
		alike = append(alike, m)
	}
	if got := thinned(alike); len(got) != mostAlike {
		t.Errorf("%d of a kind (want %d)", len(got), mostAlike)
	}
	if got := thinned(slices.Repeat(many[:1], 5)); len(got) != 1 {
		t.Errorf("one wording is listed %d times (want once)", len(got))
	}
}
