package adjust

import (
	"cmp"
	"context"
	"math"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/portable"
)

// purpose is what a further reading could do for a check.
type purpose string

// The needs, gravest first.
const (
	toDetermine  purpose = "not_weighed"
	toSettle     purpose = "unsettled"
	toCrossCheck purpose = "not_checked"
	// toSeparate: over by an equal share of wheels or axles that were not
	// weighed separately.
	toSeparate purpose = "over"
)

// service is what one further reading does for one check. Uncertainties are
// standard, in kilograms, for a D-value in kilonewtons.
type service struct {
	Check   limits.Check // as it is now
	Need    purpose
	Now     float64 // u now; 0 where the load is not determined
	Then    float64
	Solved  bool           // determined, settled or cross-checked then
	Verdict limits.Verdict // then, if the load is what it now seems to be
	// MistakeKg is the largest effect that a mistake could then have unseen;
	// nil where a reading would still be unchecked.
	MistakeKg *float64
}

// weighing is one further reading, its figure as it is expected, and what it
// does.
type weighing struct {
	candidate
	Serves []service
}

// location is the reading that separates those that a conflict leaves
// inseparable. Readings are indices into Job.Readings; Separable lists those
// that it would single out.
type location struct {
	candidate
	Readings  []int
	Separable []int
}

// Advice is what to do next, besides looking for the ratings that are not given.
type Advice struct {
	Weigh []weighing
	// Remove are the checks of whose loads something has to come off, as no reading
	// settles them or they are over: their ExcessKg, of a least download what has to go
	// on. Where wheels or axles were not weighed separately a higher rating is not the
	// first thing to look for, and NeededKg is left out.
	Remove  []limits.Check
	Locate  *location
	Compare []int // where readings contradict each other: those to compare with their tickets, as indices
	Look    []int // the questions that are not answered, as indices into the Findings
}

const (
	mostWeighings = 3
	worthwhile    = 0.95 // of U now: a reading that leaves more is not worth the drive
	mostAlike     = 0.95 // correlation of two tests that count as separate
)

// Next advises: for each deciding check that is not weighed, unsettled or not
// cross-checked, the one further reading that would determine it, settle it or
// check it, or else reduce its U most; the fewest different readings for all of
// them first. What no reading settles, and what is over, has to lose mass. In
// a conflict it names instead the reading that would locate the mistake.
//
// Each reading is tried on the job solved with it, and with those advised
// before it; U is promised for figures as they are expected to be.
//
// Somebody who may stop waiting gives a stop, which is asked between the
// readings that are tried; nil never stops. It fails only with
// [context.Canceled], once stop has said yes: what was found until then is no
// advice.
func Next(s *derive.Solution, f *limits.Findings, stop func() bool) (*Advice, error) {
	a := &adviser{s: s, f: f, stop: stop}
	out := Advice{Look: open(f)}
	if f.Conflict {
		out.Locate, out.Compare = a.locate(), doubtful(s)
	} else {
		out.Weigh, out.Remove = a.weighings(), a.removals()
	}
	if a.stopped {
		return nil, context.Canceled
	}
	return &out, nil
}

// weighings are the readings to take: the fewest that serve what can be served,
// then those that reduce what none settles, then those of single axles.
func (a *adviser) weighings() []weighing {
	var all []weighing
	a.findNeeds()
	for len(all) < mostWeighings && a.tryAll() {
		t := a.best()
		if t < 0 {
			break
		}
		all = append(all, a.take(t))
	}
	for i := range a.needs {
		if n := &a.needs[i]; n.need == toSettle && !n.served && len(all) < mostWeighings {
			all = append(all, a.reduce(i)...)
		}
	}
	return append(all, a.separately()...)
}

// open lists the questions that are not answered, those of a set aside.
func open(f *limits.Findings) []int {
	var all []int
	for i := range f.Questions {
		if q := &f.Questions[i]; !q.Answered && q.Args.Set == "" {
			all = append(all, i)
		}
	}
	return all
}

// adviser tries every candidate against every need.
type adviser struct {
	s       *derive.Solution // with the readings advised so far
	f       *limits.Findings
	needs   []need
	tried   []trial
	stop    func() bool // nil: never
	stopped bool        // it has said yes
}

type need struct {
	check  *limits.Check // as weighed
	now    *limits.Check // with the readings advised so far
	need   purpose
	served bool
}

// trial is a candidate, and what it does for each need: at best, and once it
// is solved.
type trial struct {
	candidate
	hopes  []hope // by need
	then   *derive.Solution
	after  *limits.Findings
	serves []service // by need; nil until solved, or where it cannot be
	solved bool
}

// findNeeds lists what a further reading could serve: a number, a verdict or, for
// a check that has both, a second way to its load, without which a mistake would
// not show.
func (a *adviser) findNeeds() {
	for _, c := range a.f.Deciding {
		switch {
		case c.Found == nil:
			a.needs = append(a.needs, need{check: c, now: c, need: toDetermine})
		case c.Verdict == limits.Unsettled:
			a.needs = append(a.needs, need{check: c, now: c, need: toSettle})
		case !c.Checked:
			a.needs = append(a.needs, need{check: c, now: c, need: toCrossCheck})
		}
	}
}

// tryAll bounds what every candidate does on top of what is advised already;
// false where nothing is left to be served.
func (a *adviser) tryAll() bool {
	// Each reading advised changes what the next one is worth, so all are bounded
	// again.
	a.tried = nil
	if !slices.ContainsFunc(a.needs, func(n need) bool { return !n.served }) {
		return false
	}
	// Single axles and sides are added only where an unsettled check rests on an
	// equal share.
	for _, c := range append(candidates(a.s.Job), a.finer(limits.Unsettled)...) {
		if a.asked() {
			return false
		}
		a.tried = append(a.tried, trial{candidate: c, hopes: a.hopes(&c)})
	}
	return true
}

// asked asks whether to stop, and remembers a yes.
func (a *adviser) asked() bool {
	a.stopped = a.stopped || a.stop != nil && a.stop()
	return a.stopped
}

// solve solves the job with a candidate, once, and sees what that does for each
// need. A reading that cannot be solved with serves nothing.
func (a *adviser) solve(t *trial) {
	if t.solved {
		return
	}
	t.solved = true
	then, err := a.s.WithReading(&t.Reading, &t.Scale)
	if err != nil {
		return
	}
	t.then = then
	checks := make([]*limits.Check, len(a.needs))
	for i := range a.needs {
		checks[i] = a.needs[i].check
	}
	t.after = limits.Compare(then.Job, then, a.f.Rule, checks...)
	for i := range a.needs {
		t.serves = append(t.serves, a.serves(&a.needs[i], t.after))
	}
}

// mistakeOf copies the largest effect of a mistake that would not show in a check: it is
// used after the findings were released.
func mistakeOf(c *limits.Check) *float64 {
	if c.MistakeKg == nil {
		return nil
	}
	kg := *c.MistakeKg
	return &kg
}

// serves compares a check now and then.
func (a *adviser) serves(n *need, after *limits.Findings) service {
	v := service{Check: *n.check, Need: n.need}
	if n.check.Found != nil {
		v.Now = n.check.Found.U
	}
	c := after.FindCheck(n.check)
	if c == nil { // no download any more
		return v
	}
	if v.Verdict = c.Verdict; c.Found == nil {
		return v
	}
	v.Then = c.Found.U
	if c.Checked {
		v.MistakeKg = mistakeOf(c)
	}
	switch n.need {
	case toDetermine:
		v.Solved = true
	case toSettle:
		// The margin stays as it is: a further reading is predicted to agree, so
		// that only U changes.
		v.Verdict = verdictAt(n.check.Found.Margin, gridOf(n.check, float64(coverage*v.Then)))
		v.Solved = v.Verdict != limits.Unsettled
	case toCrossCheck:
		v.Solved = c.Checked
	}
	return v
}

// gridOf rounds a number in the unit of a check as those of a solution are.
func gridOf(c *limits.Check, v float64) float64 {
	if c.LimitKN.Valid {
		return portable.Ratio(v)
	}
	return portable.Kg(v)
}

// limitOf is the limit of a check in its unit, 0 where it is not known: a u is
// then not made a share of anything.
func limitOf(c *limits.Check) float64 {
	if c.Limit == nil {
		return 0
	}
	return *c.Limit
}

// verdictAt judges a margin with another U: the figure to come is rounded, and
// that must not decide whether it would settle anything.
func verdictAt(margin, expanded float64) limits.Verdict {
	switch {
	case margin >= expanded:
		return limits.Within
	case -margin > expanded:
		return limits.Over
	}
	return limits.Unsettled
}

// best is the trial that solves most of the gravest needs, then of all, then
// leaves the least U, of equal ones the first; −1 where none solves any.
//
// Only trials that could be the best are solved: they come in the order of
// what they promise at best, and the first whose promise is worse than what
// another keeps ends the search. A promise is a bound, so the best is the same
// as if all had been solved; TestOnlyTheBestIsSolved does both.
func (a *adviser) best() int {
	order := make([]int, len(a.tried))
	promised := make([]merit, len(a.tried))
	for i := range a.tried {
		order[i], promised[i] = i, a.promise(&a.tried[i])
	}
	slices.SortStableFunc(order, func(i, j int) int { return promised[i].compare(promised[j]) })
	best, of := -1, merit{}
	for _, i := range order {
		// A stop ends the search with whatever was best so far; Next then returns
		// none of it.
		if promised[i].grave+promised[i].other == 0 || best >= 0 && promised[i].compare(of) > 0 || a.asked() {
			break
		}
		a.solve(&a.tried[i])
		m := a.merit(&a.tried[i])
		if m.grave+m.other == 0 {
			continue
		}
		if order := m.compare(of); best < 0 || order < 0 || order == 0 && i < best {
			best, of = i, m
		}
	}
	return best
}

// take marks as served what a trial solves, and returns it.
func (a *adviser) take(t int) weighing {
	w := weighing{candidate: a.tried[t].candidate}
	// What comes after is tried on top of it.
	a.s = a.tried[t].then
	for i, v := range a.tried[t].serves {
		a.needs[i].now = a.tried[t].after.FindCheck(a.needs[i].check)
		if v.Solved && !a.needs[i].served {
			a.needs[i].served = true
			w.Serves = append(w.Serves, v)
		}
	}
	return w
}

// reduce is the reading that reduces most a U that none settles, of equal ones
// the first, if any is worth the drive. As in best, only those are solved that
// could be it.
func (a *adviser) reduce(n int) []weighing {
	order := make([]int, len(a.tried))
	for i := range order {
		order[i] = i
	}
	least := func(i int) float64 { return a.tried[i].hopes[n].least }
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(least(i), least(j)) })
	best := -1
	then := func(i int) float64 { return a.tried[i].serves[n].Then }
	for _, i := range order {
		if best >= 0 && least(i) > then(best) || a.asked() {
			break
		}
		a.solve(&a.tried[i])
		if a.tried[i].serves == nil {
			continue
		}
		v := &a.tried[i].serves[n]
		if v.Then <= 0 || v.Then > gridOf(&v.Check, float64(worthwhile*v.Now)) {
			continue
		}
		if best < 0 || v.Then < then(best) || v.Then == then(best) && i < best {
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	return []weighing{{candidate: a.tried[best].candidate, Serves: []service{a.tried[best].serves[n]}}}
}

// removals says what has to come off: of what is over, and of what is
// unsettled and no reading settles.
func (a *adviser) removals() []limits.Check {
	var all []limits.Check
	for _, c := range a.f.Deciding {
		unsettled := c.Verdict == limits.Unsettled && !a.isServed(c)
		if c.Verdict != limits.Over && !unsettled || c.Found == nil {
			continue
		}
		r := *c
		// The load of one wheel or axle may be less than its equal share: what
		// was not weighed is no reason to buy a higher rating.
		if sharedEqually(c) {
			r.NeededKg = nil
		}
		all = append(all, r)
	}
	return all
}

// isServed reports whether a reading advised serves a check.
func (a *adviser) isServed(c *limits.Check) bool {
	return slices.ContainsFunc(a.needs, func(n need) bool { return n.check == c && n.served })
}

// locate finds the reading that separates most of a doubtful set; nil where no
// set holds several readings, or none separates any. A reading without a
// residual of its own changes none of the others', and separates nothing.
func (a *adviser) locate() *location {
	set := doubtfulSet(a.s)
	if len(set) < 2 {
		return nil
	}
	var best *location
	closest := math.Inf(1)
	for _, c := range candidates(a.s.Job) {
		if a.asked() {
			return nil
		}
		if !a.s.Prospect(&c.Reading, &c.Scale).Tests {
			continue
		}
		then, err := a.s.WithReading(&c.Reading, &c.Scale)
		if err != nil {
			continue
		}
		single, alike := separable(then, set)
		if len(single) > 0 && (best == nil || len(single) > len(best.Separable) || len(single) == len(best.Separable) && alike < closest) {
			best, closest = &location{candidate: c, Readings: set, Separable: single}, alike
		}
	}
	return best
}

// doubtfulSet are the readings of the first doubtful set of several.
func doubtfulSet(s *derive.Solution) []int {
	var readings []int
	for _, set := range s.Doubts().Inseparable {
		for _, i := range set {
			if i < len(s.Used) { // a reading; those come first
				readings = append(readings, s.Used[i].Index)
			}
		}
		if len(readings) > 1 {
			return readings
		}
		readings = nil
	}
	return nil
}

// doubtful lists the readings to compare with their tickets: those of the most
// doubtful set, then those behind what cannot be.
func doubtful(s *derive.Solution) []int {
	var all []int
	add := func(i int) {
		if !slices.Contains(all, i) {
			all = append(all, i)
		}
	}
	if sets := s.Doubts().Inseparable; len(sets) > 0 {
		for _, i := range sets[0] {
			if i < len(s.Used) {
				add(s.Used[i].Index)
			}
		}
	}
	for _, c := range s.Doubts().CannotBe {
		if c.Line > 0 {
			add(c.Reading)
		}
		for _, m := range c.Figures {
			add(m.Reading)
		}
	}
	return all
}

// separable lists the readings of a set whose mistake could not be one in any
// other of it, and the largest correlation that one of these has with another.
func separable(s *derive.Solution, set []int) (single []int, alike float64) {
	for _, a := range set {
		most := 0.0
		for _, b := range set {
			if a == b {
				continue
			}
			r, tested := s.Alike(a, b)
			if !tested {
				// Without tests of both nothing speaks for separating them.
				r = 1
			}
			most = math.Max(most, math.Abs(r))
		}
		if most <= mostAlike {
			single, alike = append(single, a), math.Max(alike, most)
		}
	}
	return single, alike
}
