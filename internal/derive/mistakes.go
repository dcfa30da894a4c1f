package derive

import (
	"cmp"
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// MistakeKind is a kind of single mistake that a form can hold.
type MistakeKind string

// The kinds of mistake, in the order in which equally good ones are listed.
const (
	DigitsSwapped MistakeKind = "digits_swapped"
	DigitWrong    MistakeKind = "digit_wrong"
	UnitWrong     MistakeKind = "unit_wrong"
	Exchanged     MistakeKind = "exchanged"
	HitchWrong    MistakeKind = "hitch_wrong"
	LoadWrong     MistakeKind = "load_wrong"
	SetupWrong    MistakeKind = "setup_wrong"
	Calculated    MistakeKind = "calculated"
	LengthWrong   MistakeKind = "length_wrong"
)

// Scope says how much of the form a mistake is in.
type Scope string

// The scopes: one figure, the figures of one line, those of one ticket, and
// no figure at all (a length).
const (
	OneFigure Scope = "figure"
	OneLine   Scope = "line"
	OneTicket Scope = "ticket"
	OneLength Scope = "length"
)

// UnlistedPerson is the name, in a Mistake and in its Job, of a person of
// about 80 kg whom no form lists. No form can hold this name: it has a control
// character.
const UnlistedPerson = "\x01person"

// The limits of the list of mistakes.
const (
	longestList   = 30
	mostAlike     = 3    // of one kind in the same figures
	prefilterP    = 1e-3 // p below which the linear estimate drops a hypothesis
	reachableP    = 0.01 // the same for the bound that no correction can beat
	minEigenvalue = 1e-6 // redundancy of a direction that counts as none
	lostDOFScore  = 4.0  // see Mistake.Score
	mostLoaded    = 20.0 // times the middle reading: more on one group is impossible
)

// worthNoMention is the difference of scores up to which two hypotheses are
// equally good: a ratio of likelihoods of 3.
//
// Source: R. Kass and A. Raftery, Bayes factors, J. Am. Stat. Assoc. 90 (1995)
// 773, 3.2: 1 to 3 is not worth more than a bare mention (from memory).
var worthNoMention = portable.Ratio(portable.Log(3))

// Mistake is one likely single mistake under which the readings would agree.
// It is never applied: Job is a changed copy, Solution that copy solved.
type Mistake struct {
	Kind     MistakeKind
	Scope    Scope
	Readings []int // the figures it is in, as indices into Job.Readings, ascending
	// Load is the load of a load_wrong, or UnlistedPerson; Aboard says that it
	// was aboard after all, against the form.
	Load   string
	Aboard bool
	// Ties are the moment ties that a length_wrong leaves out; Lengths, by their
	// columns, are those that affect just these ties: any of them may be wrong.
	// None: the outfit was not level, or the suspension did not share its load.
	Ties    []string
	Lengths []string

	Job      *tickets.Job // as it should have been typed
	Solution *Solution
	P        float64 // of the changed job; 1 where nothing is left to test it
	Tested   bool    // false where dof is 0
	// Score is ln(prior) − χ²/2 + 4·(dof − dof as typed). A hypothesis that
	// uses up a degree of freedom has, in place of a reading that had to come
	// out right to ± 20 kg, one that could have been anything over some 2 t:
	// e⁻⁴ is the density of the one against the other. One that gains a degree
	// of freedom had as much chance to fail and is credited alike.
	Score float64
	// Rank counts from 1; hypotheses that explain equally well share it.
	Rank int
}

// hypothesis is a mistake to be tried.
type hypothesis struct {
	Mistake
	prior   float64
	touched []int              // observations, as indices
	change  func(*tickets.Job) // nil where the job stays
	figure  *tickets.Reading   // the one changed figure, where that is all
	without map[string]bool    // ties left out
}

// Mistakes tries each single likely mistake, as a changed copy of the job
// solved again, and returns those under which the readings agree (p ≥ 0.05, no
// suspect, no load that cannot be), best first, at most twelve. It
// returns nil unless the readings are in conflict.
//
// A linear estimate on the residuals as they are decides which hypotheses are
// worth solving: what no correction of its figures could mend is dropped.
func (s *Solution) Mistakes() []Mistake { return s.MistakesUnless(nil) }

// MistakesUnless is [Solution.Mistakes] for somebody who may stop waiting: it
// asks stop before each hypothesis, and what it returns once stop has said yes
// is of no use.
func (s *Solution) MistakesUnless(stop func() bool) []Mistake {
	if s.Agreement() != Conflict {
		return nil
	}
	filter := newPrefilter(s)
	var found []Mistake
	for _, h := range s.hypotheses() {
		if stop != nil && stop() {
			return nil
		}
		if !filter.worthSolving(&h) {
			continue
		}
		if m, ok := s.try(h); ok {
			found = append(found, m)
		}
	}
	return ranked(found)
}

// hypotheses lists every single mistake, in the order of the kinds.
func (s *Solution) hypotheses() []hypothesis {
	return slices.Concat(
		s.digitMistakes(), s.unitMistakes(), s.exchanges(),
		s.hitchMistakes(), s.loadMistakes(), s.setupMistakes(),
		s.calculatedFigures(), s.lengthMistakes(),
	)
}

// try solves a hypothesis and keeps it where the readings then agree.
func (s *Solution) try(h hypothesis) (Mistake, bool) {
	m := h.Mistake
	m.Job = s.Job
	if h.change != nil {
		m.Job = changed(s.Job, h.change)
	}
	solved, err := solve(m.Job, options{without: h.without})
	if err != nil {
		return m, false
	}
	a := solved.Agreement()
	if a != Agree && a != Untested || solved.impossible() {
		return m, false
	}
	f := solved.Fit()
	m.Solution, m.P, m.Tested = solved, f.P, a == Agree
	if !m.Tested {
		m.P = 1
	}
	if solved.improbable() {
		h.prior /= improbability
	}
	m.Score = portable.Ratio(portable.Log(h.prior) - float64(f.ChiSquare/2) + float64(lostDOFScore*float64(f.DOF-s.fit.DOF())))
	return m, true
}

// changed copies a job as deep as a change may reach, and changes it.
func changed(job *tickets.Job, change func(*tickets.Job)) *tickets.Job {
	c := *job
	c.Readings = slices.Clone(job.Readings)
	c.Loads = slices.Clone(job.Loads)
	change(&c)
	return &c
}

// impossible says whether the loads cannot be: a group would press upwards by more
// than its U, or one would carry far more than anything that was weighed.
func (s *Solution) impossible() bool {
	most := float64(mostLoaded * s.middleReading())
	for _, state := range States {
		for _, g := range state.Groups() {
			v, u, ok := s.Load(state, tickets.Term{Group: g}).Number()
			if ok && (v+float64(coverage*u) < 0 || v > most) {
				return true
			}
		}
	}
	return false
}

// middleReading is the median of the used readings, in kilograms.
func (s *Solution) middleReading() float64 {
	var kg []float64
	for i := range s.system.used {
		kg = append(kg, s.system.used[i].Kg.InexactFloat64())
	}
	slices.Sort(kg)
	return kg[len(kg)/2]
}

// ranked sorts by score, equal ones in the order of kinds and places; it cuts
// the list and counts the ranks.
func ranked(found []Mistake) []Mistake {
	slices.SortStableFunc(found, func(a, b Mistake) int {
		return cmp.Compare(b.Score, a.Score)
	})
	found = thinned(found)
	for i := range found {
		found[i].Rank = i + 1
		if i > 0 {
			first := found[i-1].Rank - 1
			if portable.Ratio(found[first].Score-found[i].Score) <= worthNoMention {
				found[i].Rank = found[first].Rank
			}
		}
	}
	return found
}

// thinned keeps the best few of one kind in the same figures, so that ten
// digits of one reading do not crowd out the other explanations.
func thinned(found []Mistake) []Mistake {
	var kept []Mistake
	for _, m := range found {
		alike := 0
		for _, k := range kept {
			if k.Kind == m.Kind && slices.Equal(k.Readings, m.Readings) && k.Kind != LengthWrong {
				alike++
			}
		}
		if alike < mostAlike && len(kept) < longestList {
			kept = append(kept, m)
		}
	}
	return kept
}
