package adjust

import (
	"cmp"
	"math"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// Need is what a further reading could do for a check.
type Need string

// The needs, gravest first.
const (
	ToDetermine  Need = "not_weighed"
	ToSettle     Need = "unsettled"
	ToCrossCheck Need = "not_checked"
)

// Served is what one further reading does for one check. Uncertainties are
// expanded (k = 2), in kilograms, for a D-value in kilonewtons.
type Served struct {
	Check  limits.Check // as it is now
	Need   Need
	Now    float64 // U now; 0 where the load is not determined
	Then   float64
	Solved bool           // determined, settled or cross-checked then
	Holds  limits.Verdict // then, if the load is what it now seems to be
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
// over: kilograms on what the check holds, rounded up to 10, until it is
// within with its U as it is. Of a least download it is what has to go on.
type Removal struct {
	Check    limits.Check
	Kg       float64
	NeededKg *float64 // what the rating would have to be; nil for a least
}

// Location is the reading that tells apart those that cannot be told apart
// when readings disagree. Readings are indices into Job.Readings; Apart lists
// those that would then each stand alone.
type Location struct {
	Candidate derive.Candidate
	Readings  []int
	Apart     []int
}

// Advice is what to weigh next and what to take off.
type Advice struct {
	Weigh  []Weighing
	Remove []Removal
	Locate *Location
}

const (
	mostWeighings = 3
	worthwhile    = 0.95 // of U now: a reading that leaves more is not worth the drive
	wholeTens     = 10.0 // kg
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
func Next(s *derive.Solution, f *limits.Findings) *Advice {
	if f.Verdict == limits.JobConflict {
		return &Advice{Locate: locate(s)}
	}
	a := &adviser{s: s, f: f}
	a.findNeeds()
	var out Advice
	for len(out.Weigh) < mostWeighings && a.tryAll() {
		t := a.best()
		if t < 0 {
			break
		}
		out.Weigh = append(out.Weigh, a.take(t))
	}
	for i := range a.needs {
		if n := &a.needs[i]; n.need == ToSettle && !n.served && len(out.Weigh) < mostWeighings {
			out.Weigh = append(out.Weigh, a.reduce(i)...)
		}
	}
	out.Remove = a.removals()
	return &out
}

// adviser tries every candidate against every need.
type adviser struct {
	s     *derive.Solution // with the readings advised so far
	f     *limits.Findings
	needs []need
	tried []trial
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
			a.needs = append(a.needs, need{check: c, need: ToDetermine})
		case c.Verdict == limits.Unsettled:
			a.needs = append(a.needs, need{check: c, need: ToSettle})
		case !c.Checked:
			a.needs = append(a.needs, need{check: c, need: ToCrossCheck})
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
	for _, c := range a.s.Candidates() {
		c.Reading = a.s.Predict(c.Reading)
		then, err := a.s.WithReading(c.Reading, c.Scale)
		if err != nil {
			continue
		}
		held := limits.Find(then.Job, then, limits.Options{Rule: a.f.Rule})
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
	v := Served{Check: *n.check, Need: n.need, Holds: limits.NotWeighed}
	if n.check.Found != nil {
		v.Now = float64(coverageOf * n.check.Found.U)
	}
	c := held.Again(n.check)
	if c == nil || c.Found == nil {
		return v
	}
	v.Then, v.Holds = float64(coverageOf*c.Found.U), c.Verdict
	if c.Checked {
		v.MistakeKg = c.MistakeKg
	}
	switch n.need {
	case ToDetermine:
		v.Solved = true
	case ToSettle:
		v.Holds = verdictAt(n.check.Found.Margin, v.Then)
		v.Solved = v.Holds != limits.Unsettled
	case ToCrossCheck:
		v.Solved = c.Checked
	}
	return v
}

const coverageOf = 2 // U = 2u

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
	left         float64 // Σ of U then, as a share of the largest limit it is held against
}

func (a *adviser) merit(t *trial) merit {
	var m merit
	for i := range t.serves {
		v := &t.serves[i]
		if a.needs[i].served || !v.Solved {
			continue
		}
		if v.Need == ToCrossCheck {
			m.other++
		} else {
			m.grave++
		}
		limit, _ := v.Check.Limit()
		m.left += v.Then / math.Max(limit, 1)
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
		if v.Then > 0 && v.Then <= float64(worthwhile*v.Now) && (best < 0 || v.Then < a.tried[best].serves[n].Then) {
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
		if c.Verdict != limits.Over && !unsettled || c.LimitKN.Valid || c.Found == nil {
			continue
		}
		excess := float64(coverageOf*c.Found.U) - c.Found.Margin
		if a.f.Rule == limits.Simple {
			excess = -c.Found.Margin
		}
		all = append(all, Removal{Check: *c, Kg: float64(wholeTens * math.Ceil(excess/wholeTens-1e-9)), NeededKg: c.NeededKg})
	}
	return all
}

func (a *adviser) isServed(c *limits.Check) bool {
	return slices.ContainsFunc(a.needs, func(n need) bool { return n.check == c && n.served })
}

// locate finds the reading that parts most of a doubtful set; nil where no
// set holds several readings, or none parts any.
func locate(s *derive.Solution) *Location {
	doubtful := doubtfulReadings(s)
	if len(doubtful) < 2 {
		return nil
	}
	var best *Location
	closest := math.Inf(1)
	for _, c := range s.Candidates() {
		c.Reading = s.Predict(c.Reading)
		then, err := s.WithReading(c.Reading, c.Scale)
		if err != nil {
			continue
		}
		apart, alike := told(then, doubtful)
		if len(apart) > 0 && (best == nil || len(apart) > len(best.Apart) || len(apart) == len(best.Apart) && alike < closest) {
			best, closest = &Location{Candidate: c, Readings: doubtful, Apart: apart}, alike
		}
	}
	return best
}

// doubtfulReadings are those of the first doubtful set.
func doubtfulReadings(s *derive.Solution) []int {
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

// told lists the readings that stand apart from all others of a set, and the
// largest correlation that one of these has with another.
func told(s *derive.Solution, set []int) (apart []int, alike float64) {
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
			apart, alike = append(apart, a), math.Max(alike, most)
		}
	}
	return apart, alike
}

// Setup is what to weigh, by the words of the forms.
func (w *Weighing) Setup() (setup tickets.Setup, hitch tickets.Hitch, onDeck string) {
	r := &w.Candidate.Reading
	return r.Setup, r.Hitch, r.OnDeck
}
