package adjust

import (
	"cmp"
	"math"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// Need is what a further reading could do for a check.
type Need string

// The needs, gravest first.
const (
	toDetermine  Need = "not_weighed"
	toSettle     Need = "unsettled"
	toCrossCheck Need = "not_checked"
	// toSeparate: over by an equal share of wheels or axles that were not
	// weighed separately.
	toSeparate Need = "over"
)

// Served is what one further reading does for one check. Uncertainties are
// standard, in kilograms, for a D-value in kilonewtons.
type Served struct {
	Check   limits.Check // as it is now
	Need    Need
	Now     float64 // u now; 0 where the load is not determined
	Then    float64
	Solved  bool           // determined, settled or cross-checked then
	Verdict limits.Verdict // then, if the load is what it now seems to be
	// MistakeKg is the largest effect that a mistake could then have unseen;
	// nil where a reading would still be unchecked.
	MistakeKg *float64
}

// Weighing is one further reading, its figure as it is expected, and what it
// does.
type Weighing struct {
	Candidate derive.Candidate
	Serves    []Served
}

// Removal is what has to come off where no reading settles a check or it is
// over: whole kilograms of what the check is about, until it is within with its
// U as it is. Of a least download it is what has to go on. Of a force it is not
// said. Where wheels or axles were not weighed separately a higher rating is
// not the first thing to look for.
type Removal struct {
	Check    limits.Check
	Kg       *float64
	NeededKg *float64 // what the rating would have to be; nil for a least
}

// location is the reading that separates those that a conflict leaves
// inseparable. Readings are indices into Job.Readings; Separable lists those
// that it would single out.
type location struct {
	Candidate derive.Candidate
	Readings  []int
	Separable []int
}

// Advice is what to do next. Compare are the readings, by their indices, to
// compare with their tickets when readings contradict each other.
type Advice struct {
	Weigh   []Weighing
	Remove  []Removal
	Locate  *location
	Compare []int
	Look    []limits.Question  // not answered
	Find    []limits.RatingKey // ratings not given
}

const (
	mostWeighings = 3
	worthwhile    = 0.95 // of U now: a reading that leaves more is not worth the drive
	firmlyApart   = 0.95 // correlation of two tests
)

// Next advises: for each deciding check that is not weighed, unsettled or not
// cross-checked, the one further reading that would determine it, settle it or
// check it, or else reduce its U most; the fewest different readings for all of
// them first. What no reading settles, and what is over, has to lose mass. In
// a conflict it names instead the reading that would locate the mistake.
//
// Each reading is tried on the job solved with it, and with those advised
// before it; U is promised for figures as they are expected to be.
func Next(s *derive.Solution, f *limits.Findings) *Advice { return NextUnless(s, f, nil) }

// NextUnless is [Next] for somebody who may stop waiting: it asks stop before
// each candidate, and what it returns once stop has said yes is of no use.
func NextUnless(s *derive.Solution, f *limits.Findings, stop func() bool) *Advice {
	out := Advice{Look: open(f), Find: f.NotGiven}
	if f.Verdict == limits.JobConflict {
		out.Locate, out.Compare = locate(s), doubtful(s, f)
		return &out
	}
	a := &adviser{s: s, f: f, stop: stop}
	a.findNeeds()
	for len(out.Weigh) < mostWeighings && a.tryAll() {
		t := a.best()
		if t < 0 {
			break
		}
		out.Weigh = append(out.Weigh, a.take(t))
	}
	for i := range a.needs {
		if n := &a.needs[i]; n.need == toSettle && !n.served && len(out.Weigh) < mostWeighings {
			out.Weigh = append(out.Weigh, a.reduce(i)...)
		}
	}
	out.Weigh = append(out.Weigh, a.separately()...)
	out.Remove = a.removals()
	return &out
}

// open lists the questions that are not answered, those of a set aside.
func open(f *limits.Findings) []limits.Question {
	var all []limits.Question
	for _, q := range f.Questions {
		if !q.Answered && q.Args.Set == "" {
			all = append(all, q)
		}
	}
	return all
}

// adviser tries every candidate against every need.
type adviser struct {
	s     *derive.Solution // with the readings advised so far
	f     *limits.Findings
	needs []need
	tried []trial
	stop  func() bool // nil: never
}

type need struct {
	check  *limits.Check
	need   Need
	served bool
}

// trial is a candidate, and what it does for each need.
type trial struct {
	candidate derive.Candidate
	then      *derive.Solution
	serves    []Served // by need
}

func (a *adviser) findNeeds() {
	for _, c := range a.f.Deciding("") {
		switch {
		case c.Verdict == limits.NotWeighed:
			a.needs = append(a.needs, need{check: c, need: toDetermine})
		case c.Verdict == limits.Unsettled:
			a.needs = append(a.needs, need{check: c, need: toSettle})
		case !c.Checked:
			a.needs = append(a.needs, need{check: c, need: toCrossCheck})
		}
	}
}

// tryAll tries every candidate on top of what is advised already; false where
// nothing is left to be served.
func (a *adviser) tryAll() bool {
	a.tried = nil
	if !slices.ContainsFunc(a.needs, func(n need) bool { return !n.served }) {
		return false
	}
	for _, c := range append(a.s.Candidates(), a.finer(limits.Unsettled)...) {
		if a.stop != nil && a.stop() {
			return false
		}
		c.Reading = a.s.Predict(c.Reading)
		then, err := a.s.WithReading(c.Reading, c.Scale)
		if err != nil {
			continue
		}
		held := limits.Compare(then.Job, then, limits.Options{Rule: a.f.Rule})
		t := trial{candidate: c, then: then}
		for i := range a.needs {
			t.serves = append(t.serves, a.serves(&a.needs[i], held))
		}
		a.tried = append(a.tried, t)
	}
	return true
}

// serves compares a check now and then.
func (a *adviser) serves(n *need, held *limits.Findings) Served {
	v := Served{Check: *n.check, Need: n.need, Verdict: limits.NotWeighed}
	if n.check.Found != nil {
		v.Now = n.check.Found.U
	}
	c := held.Again(n.check)
	if c == nil || c.Found == nil {
		return v
	}
	v.Then, v.Verdict = c.Found.U, c.Verdict
	if c.Checked {
		v.MistakeKg = c.MistakeKg
	}
	switch n.need {
	case toDetermine:
		v.Solved = true
	case toSettle:
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

// merit is how much a trial does for the needs that nothing serves yet.
type merit struct {
	grave, other int     // needs solved: not weighed and unsettled; not cross-checked
	left         float64 // Σ of u then, as a share of the limits
}

func (a *adviser) merit(t *trial) merit {
	var m merit
	for i := range t.serves {
		v := &t.serves[i]
		if a.needs[i].served || !v.Solved {
			continue
		}
		if v.Need == toCrossCheck {
			m.other++
		} else {
			m.grave++
		}
		limit, _ := v.Check.Limit()
		m.left = portable.Ratio(m.left + v.Then/math.Max(limit, 1))
	}
	return m
}

// best is the trial that solves most of the gravest needs, then of all, then
// leaves the least U; −1 where none solves any.
func (a *adviser) best() int {
	best, of := -1, merit{}
	for i := range a.tried {
		m := a.merit(&a.tried[i])
		if m.grave+m.other == 0 {
			continue
		}
		if best < 0 || cmp.Or(cmp.Compare(of.grave, m.grave), cmp.Compare(of.other, m.other), cmp.Compare(m.left, of.left)) < 0 {
			best, of = i, m
		}
	}
	return best
}

// take marks as served what a trial solves, and returns it.
func (a *adviser) take(t int) Weighing {
	w := Weighing{Candidate: a.tried[t].candidate}
	a.s = a.tried[t].then
	for i, v := range a.tried[t].serves {
		if v.Solved && !a.needs[i].served {
			a.needs[i].served = true
			w.Serves = append(w.Serves, v)
		}
	}
	return w
}

// reduce is the reading that reduces most a U that none settles, if any is
// worth the drive.
func (a *adviser) reduce(n int) []Weighing {
	best := -1
	for i := range a.tried {
		v := &a.tried[i].serves[n]
		if v.Then > 0 && v.Then <= gridOf(&v.Check, float64(worthwhile*v.Now)) && (best < 0 || v.Then < a.tried[best].serves[n].Then) {
			best = i
		}
	}
	if best < 0 {
		return nil
	}
	return []Weighing{{Candidate: a.tried[best].candidate, Serves: []Served{a.tried[best].serves[n]}}}
}

// removals says what has to come off: of what is over, and of what is
// unsettled and no reading settles.
func (a *adviser) removals() []Removal {
	var all []Removal
	for _, c := range a.f.Deciding("") {
		unsettled := c.Verdict == limits.Unsettled && !a.isServed(c)
		if c.Verdict != limits.Over && !unsettled || c.Found == nil {
			continue
		}
		r := Removal{Check: *c, Kg: Excess(c, a.f.Rule)}
		if !sharedEqually(c) {
			r.NeededKg = c.NeededKg
		}
		all = append(all, r)
	}
	return all
}

// Excess is what has to change until a check is within: to the limit with U as
// it is; with the simple rule, and of the floor of the download, to the limit
// alone. It is whole kilograms, rounded up, at least 1; nil for a force.
func Excess(c *limits.Check, rule limits.Rule) *float64 {
	if c.LimitKN.Valid || c.Found == nil {
		return nil
	}
	kg := -c.Found.Margin
	if rule != limits.Simple && !c.Floor {
		kg += float64(coverage * c.Found.U)
	}
	kg = max(1, math.Ceil(portable.Kg(kg)))
	return &kg
}

func (a *adviser) isServed(c *limits.Check) bool {
	return slices.ContainsFunc(a.needs, func(n need) bool { return n.check == c && n.served })
}

// locate finds the reading that separates most of a doubtful set; nil where no
// set holds several readings, or none separates any.
func locate(s *derive.Solution) *location {
	set := doubtfulSet(s)
	if len(set) < 2 {
		return nil
	}
	var best *location
	closest := math.Inf(1)
	for _, c := range s.Candidates() {
		c.Reading = s.Predict(c.Reading)
		then, err := s.WithReading(c.Reading, c.Scale)
		if err != nil {
			continue
		}
		single, alike := separable(then, set)
		if len(single) > 0 && (best == nil || len(single) > len(best.Separable) || len(single) == len(best.Separable) && alike < closest) {
			best, closest = &location{Candidate: c, Readings: set, Separable: single}, alike
		}
	}
	return best
}

// doubtfulSet are the readings of the first doubtful set of several.
func doubtfulSet(s *derive.Solution) []int {
	var readings []int
	for _, set := range s.Inseparable() {
		for _, i := range set {
			if o := s.Observations[i]; o.Kind == derive.ByReading {
				readings = append(readings, o.Index)
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
func doubtful(s *derive.Solution, f *limits.Findings) []int {
	var all []int
	add := func(i int) {
		if !slices.Contains(all, i) {
			all = append(all, i)
		}
	}
	if sets := s.Inseparable(); len(sets) > 0 {
		for _, i := range sets[0] {
			if o := s.Observations[i]; o.Kind == derive.ByReading {
				add(o.Index)
			}
		}
	}
	for i := range f.CannotBe {
		c := &f.CannotBe[i]
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
				r = 1
			}
			most = math.Max(most, math.Abs(r))
		}
		if most <= firmlyApart {
			single, alike = append(single, a), math.Max(alike, most)
		}
	}
	return single, alike
}

// setup is what to weigh, by the words of the forms.
func (w *Weighing) setup() (setup tickets.Setup, hitch tickets.Hitch, onDeck string) {
	r := &w.Candidate.Reading
	return r.Setup, r.Hitch, r.OnDeck
}
