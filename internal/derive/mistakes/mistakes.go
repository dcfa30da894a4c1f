package mistakes

import (
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// kind is a kind of single mistake that a form can hold.
type kind string

// The kinds of mistake, in the order in which equally good ones are listed.
const (
	digitsSwapped kind = "digits_swapped"
	digitWrong    kind = "digit_wrong"
	unitWrong     kind = "unit_wrong"
	exchanged     kind = "exchanged"
	hitchWrong    kind = "hitch_wrong"
	loadWrong     kind = "load_wrong"
	setupWrong    kind = "setup_wrong"
	calculated    kind = "calculated"
	lengthWrong   kind = "length_wrong"
	digitCount    kind = "digit_count"
	zeroWrong     kind = "zero_wrong"
)

// scope says how much of the form a mistake is in.
type scope string

// The scopes: one figure, the figures of one line, those of one ticket, of
// several tickets of one visit, of one scale, and no figure at all (a length).
const (
	oneFigure scope = "figure"
	oneLine   scope = "line"
	oneTicket scope = "ticket"
	oneVisit  scope = "visit"
	oneScale  scope = "scale"
	oneLength scope = "length"
)

// unlistedPerson is the name, in the Job of a Mistake, of a person of about 80 kg whom
// no form lists. No form can hold this name: it has a control character.
const unlistedPerson = "\x01person"

// The limits of the list of mistakes.
const (
	longestList  = 30
	mostAlike    = 3    // of one kind in the same figures
	prefilterP   = 1e-4 // p below which the linear estimate drops a hypothesis
	reachableP   = 5e-4 // the same for the bound that no correction can beat
	lostDOFScore = 4.0  // see Mistake.Score
)

// The bounds of the search in multiplications or so, of its solutions and of
// its estimates: together some 2 s of a processor of 2025, reached by jobs of
// more than a hundred readings alone.
const (
	mostWork      = 1_000_000_000
	mostEstimates = 300_000_000
)

// worthNoMention is the difference of scores up to which two hypotheses are
// equally good: a ratio of likelihoods of 3.
//
// Source: R. Kass and A. Raftery, Bayes factors, J. Am. Stat. Assoc. 90 (1995)
// 773, 3.2: 1 to 3 is not worth more than a bare mention (from memory).
var worthNoMention = portable.Ratio(portable.Log(3))

// Mistake is one likely single mistake under which nothing would be in conflict.
// It is never applied: Job is a changed copy, Solution that copy solved.
type Mistake struct {
	Kind     kind
	Scope    scope
	Readings []int // the figures it is in, as indices into Job.Readings, ascending
	// Load is the load of a load_wrong, blank for a person whom no form lists; OnBoard says that it
	// was on board after all, against the form.
	// Places are those of places.csv where that load may have been.
	Load    string
	OnBoard bool
	Places  []string
	// Was and Should are what the first of Readings says and what it should say: figures
	// in Unit as typed, or codes.
	Was, Should, Unit string
	zeroKg            float64 // of a zero_wrong: what its scale showed with nothing on the deck
	// Ties are the moment ties that a length_wrong leaves out; Lengths, by their
	// columns, are those that affect just these ties: any of them may be wrong.
	// None: the outfit was not level, or the suspension did not share its load.
	Ties    []string
	Lengths []string

	Job      *tickets.Job // as it should have been typed
	Solution *derive.Solution
	P        float64 // of the changed job, at least 0.001; 1 where nothing is left to test it
	Tested   bool    // false where dof is 0
	// Score is ln(prior) − χ²/2 + 4·(dof − dof as typed). A hypothesis that
	// uses up a degree of freedom has, in place of a reading that had to come
	// out right to ± 20 kg, one that could have been anything over some 2 t:
	// e⁻⁴ is the density of the one against the other. One that gains a degree
	// of freedom had as much chance to fail and is credited alike.
	Score float64
	// Rank counts from 1; hypotheses that explain equally well share it.
	Rank int

	place int // among the hypotheses, which come in the order of kinds and of the form
}

// hypothesis is a mistake to be tried.
type hypothesis struct {
	Mistake
	prior   float64
	touched []int // observations, as indices
	// estimate is what the score will be about: ln(prior) − χ²/2 by the linear estimate.
	estimate float64
	change   func(*tickets.Job) // nil where the job stays
	figure   *tickets.Reading   // the one changed figure, where that is all
	without  map[string]bool    // ties left out
	zero     *string            // the scale whose zero is unknown; nil for none
}

// search is the search for the single mistakes of a Job in conflict.
type search struct {
	*derive.Solution
	used []int // its used readings, as indices into Job.Readings: observation i is of used[i]
	ties []int // its moment ties, as indices into Observations
	// lengths are those that the ratios of its ties are made of.
	lengths []string
	// contradicted are the calculated figures that their tickets contradict, as
	// indices into Job.Readings.
	contradicted []int
	tensioned    bool // whether some used reading was taken with the bars tensioned, or perhaps so
}

func newSearch(s *derive.Solution) *search {
	f := &search{Solution: s}
	for i := range s.Used {
		index := s.Used[i].Index
		f.used = append(f.used, index)
		f.tensioned = f.tensioned || s.Job.Readings[index].State == tickets.CoupledTensioned
	}
	for i := range s.Ties { // the last observations
		f.ties = append(f.ties, len(s.Observations)-len(s.Ties)+i)
		f.addLengths(s.Ties[i].Lengths)
	}
	for _, c := range s.Doubts().CannotBe {
		if c.State == "" { // a figure, no load
			f.contradicted = append(f.contradicted, c.Reading)
		}
	}
	return f
}

// Find tries each single likely mistake, as a changed copy of the job solved
// again, and returns those under which nothing would be in conflict (p ≥ 0.001,
// no suspect, nothing that cannot be), best first, at most thirty; those that
// leave nothing to test come after all that were tested. It returns none unless
// the job is in conflict, or holds what cannot be.
//
// A linear estimate on the residuals as they are decides which hypotheses are
// worth solving, and in which order: what no correction of its figures could
// mend is dropped. The work is counted, not timed, and bounded: the same
// hypotheses are tried on every machine. complete is false where the search
// stopped at its bound: what it had not tried by then is less likely than what
// it had, as far as the estimate goes.
//
// stop, if it is not nil, is asked before each hypothesis; what is returned once
// it has said yes is of no use.
func Find(s *derive.Solution, stop func() bool) (list []Mistake, complete bool) {
	return find(s, mostWork, mostEstimates, stop)
}

// find is Find with bounds on the work of solutions and estimates.
func find(solved *derive.Solution, solutions, estimates int, stop func() bool) (list []Mistake, complete bool) {
	s := newSearch(solved)
	if !solved.Agreement.Conflict && len(solved.Doubts().CannotBe) == 0 {
		return nil, true
	}
	worth, complete := newPrefilter(s).sorted(s.hypotheses(), estimates)
	var found []Mistake
	work := 0
	for i := range worth {
		if work > solutions || stop != nil && stop() {
			complete = false
			break
		}
		m, cost, ok := s.try(worth[i])
		work += cost
		if ok {
			found = append(found, m)
		}
	}
	list = ranked(found)
	for i := range list {
		list[i].say(solved.Job)
	}
	return list, complete
}

// hypotheses lists every single mistake, in the order of the kinds.
func (s *search) hypotheses() []hypothesis {
	all := slices.Concat(
		s.digitMistakes(), s.unitMistakes(), s.exchanges(),
		s.hitchMistakes(), s.loadMistakes(), s.setupMistakes(),
		s.calculatedFigures(), s.lengthMistakes(), s.zeroMistakes(),
	)
	for i := range all {
		all[i].place = i
	}
	return all
}

// try solves a hypothesis and keeps it where nothing is then in conflict. cost
// is the work of it, in multiplications or so.
func (s *search) try(h hypothesis) (m Mistake, cost int, ok bool) {
	m = h.Mistake
	m.Job = s.Job
	if h.change != nil {
		m.Job = changed(s.Job, h.change)
	}
	solved, cost := s.Try(m.Job, derive.Options{WithoutTies: h.without, FreeZero: h.zero}, m.Readings)
	if solved == nil {
		return m, cost, false
	}
	a := solved.Agreement
	m.Solution, m.P, m.Tested = solved, a.P, a.DOF > 0
	if !m.Tested {
		m.P = 1
	}
	if h.zero != nil {
		m.zeroKg, _, _ = solved.Freed.Number()
	}
	// Loads that hardly any trailer has speak against a hypothesis, however well
	// it fits.
	if improbable(solved) {
		h.prior /= improbability
	}
	m.Score = portable.Ratio(portable.Log(h.prior) - float64(a.ChiSquare/2) + float64(lostDOFScore*float64(a.DOF-s.Agreement.DOF)))
	return m, cost, true
}

// changed copies a job as deep as a change may reach, and changes it.
func changed(job *tickets.Job, change func(*tickets.Job)) *tickets.Job {
	c := *job
	// A change writes to readings and adds loads; all else is shared and only
	// read.
	c.Readings = slices.Clone(job.Readings)
	c.Loads = slices.Clone(job.Loads)
	change(&c)
	return &c
}
