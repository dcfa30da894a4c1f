package limits

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/regions"
	"reconcile/internal/shelf"
	"reconcile/internal/tickets"
)

// Check is one rating line in force in one state, under the ratings in force
// (Set "") or planned ones, or the floor of the download. Its limit is in
// kilograms, or in kilonewtons for a D-value; a limit that is neither is not
// known and the check is not_weighed.
//
// A row is made for every state in which a line applies, also where nothing was weighed:
// what is missing has to be seen (contract, section 3, checks).
type Check struct {
	Line      *tickets.Rating // nil for the floor
	Floor     bool
	Rating    string        // first-column word
	On        string        // as in the form
	State     tickets.State // "" for a load that has no state
	Set       string
	LimitKg   decimal.NullDecimal
	LimitKN   decimal.NullDecimal
	Limit     *float64        // as a number, in the check's unit; nil where it is not known
	Found     *valueFound     // nil: not weighed
	Quantity  derive.Quantity // the load as derived, not stretched; of one tyre, or the mass whose weight Dc is
	Verdict   Verdict
	Lower     bool // a least, not a most
	Governs   bool // decides, if its set's ratings applied; for Set "" the same as Decides
	Decides   bool
	HeldOn    []string // the supports whose load is compared: vehicle, rear.1.left, coupling …
	NeededKg  *float64 // what an upper rating would have to be; nil where within, not weighed, kN or a least
	ExcessKg  *float64 // what has to change until it is within, whole kilograms, at least 1; nil where not weighed or kN
	Checked   bool     // a mistake in a reading behind it would show
	MistakeKg *float64 // the largest effect of a mistake that would not show; kN for a D-value
	Assumed   []string // codes of what the value rests on beyond the readings
	// OnlyTensioned: within only because the hitch is tensioned.
	OnlyTensioned bool
	// PlatedKN is Dc of the plated masses, which UN R55 means; nil where they
	// are not given, and for every other row.
	PlatedKN *float64

	// Worst is the check while the loads that vary weigh what is worst for it; nil
	// where none varies, or the check does not decide.
	Worst *worstCase

	// Unequal is u of a tyre's equal share, in parts of the share; 0 where it is no share.
	Unequal float64

	Parts []derive.Part // what is compared, as a sum of support loads
}

// ratingLine is a line of the form with what all its rows have: what it is compared with,
// and its limit.
type ratingLine struct {
	*tickets.Rating
	compares *comparison
	limit    decimal.NullDecimal
	number   *float64 // see numberOf
}

// line is line i of the ratings, which is no empty mass.
func (h *checker) line(i int) ratingLine {
	r, a := &h.job.Ratings[i], h.st.compares[i]
	limit := h.limitOf(r)
	return ratingLine{r, a, limit, h.numberOf(limit, a.Load == couplerForce)}
}

// numberOf is a limit as a number in its unit; nil where it is not known. A decimal is
// slow to turn into one, so that it is done once per line.
func (h *checker) numberOf(limit decimal.NullDecimal, kN bool) *float64 {
	if !limit.Valid {
		return nil
	}
	return h.memory.limits.Of(grid(limit.Decimal.InexactFloat64(), kN))
}

// formLine is the check's line in ratings.csv; 0 for the floor.
func (c *Check) formLine() int {
	if c.Line == nil {
		return 0
	}
	return c.Line.Line
}

// is reports whether two checks are of the same line (or the floor), state and set.
func (c *Check) is(o *Check) bool {
	return c.formLine() == o.formLine() && c.Floor == o.Floor && c.State == o.State && c.Set == o.Set
}

// valueFound is the value of a check that is determined: in kilograms, for a
// D-value in kilonewtons. U is the standard uncertainty, stretched where the
// readings are strained, so that no check needs to know why.
type valueFound struct {
	Value, U, Margin, POver float64
}

// Findings is everything that the ratings say of a job.
type Findings struct {
	Verdict         Verdict
	Conflict        bool     // the readings contradict each other, or say what cannot be
	Deciding        []*Check // of the ratings in force
	Governing       *Check   // the check that gives the verdict, of least margin; nil where none decides
	Checks          []Check
	Status          []status          // by rating line
	NotInForce      []*tickets.Rating // lines with a limit that are certified after the last weighing
	NotGiven        []regions.On
	Sets            []plannedSet // in the order of the forms
	Given           int          // rating lines with a deciding check
	UsualKnown      int          // of the region's usual ratings, those with a value
	UsualAll        int          // all of them
	NotCrossChecked bool         // a deciding check is not checked
	Questions       []question
	Guides          []guide
	Cautions        []caution
	Headroom        []headroom
	Levers          []lever
	Trip            Verdict     // the gravest of the deciding checks at their worst; "": no load varies
	HitchRange      *hitchRange // nil: no such hitch, or not known
	Payloads        []payload
	Rule            string // guarded or simple
	Unguarded       bool   // the value alone is compared, as the simple rule has it; else with U = 2u
	memory          *memory
	shelf.Lent[Findings]
	// leftOutOver: with a reading that was left out and disagrees, a deciding
	// check would be over.
	leftOutOver bool
}

// plannedSet is a set of planned ratings, or of the loads that come with them, with the
// checks that would decide if it applied.
type plannedSet struct {
	Name     string
	Deciding []*Check
}

// checker compares one job's loads with its ratings.
//
// It holds what all rows need, worked out once: which lines are in force, and by how
// much strained readings stretch every uncertainty.
type checker struct {
	job    *tickets.Job
	s      *derive.Solution
	region *regions.Row
	rule   rule
	st     inForce
	sets   []string // see sets
	// assumed is nil until asked for, see assumptions
	assumed []ofScale
	loads   []*measured        // see known
	used    []*tickets.Reading // see usedReadings
	under   []plates           // see plates
	// together is what was tried, see knownTogether
	together []together
	memory   *memory
	// stretch is √(χ²/dof) where the readings are strained, else 1
	stretch float64
}

func newChecker(job *tickets.Job, s *derive.Solution, word string) *checker {
	// A word that is no rule must not switch the guard off.
	by := rule(word)
	if by != simple {
		by = Guarded
	}
	m := memories.Get().(*memory)
	h := &m.checker
	*h = checker{job: job, s: s, region: regions.Of(job.Region), rule: by, st: m.inForce(job), sets: sets(job), memory: m, stretch: s.Agreement.Scaling}
	h.loads, h.under = m.loads.List(loadsExpected)[:0], m.under.List(len(h.sets))[:0]
	return h
}

// loadsExpected is the number of loads that several lines may limit, of most jobs.
const loadsExpected = 16

// usedReadings are the job's used readings, looked up once.
func (h *checker) usedReadings() []*tickets.Reading {
	if h.used == nil {
		h.used = h.memory.readings.List(len(h.job.Readings))[:0]
		for i := range h.job.Readings {
			if r := &h.job.Readings[i]; r.Used && !r.Empty {
				h.used = append(h.used, r)
			}
		}
	}
	return h.used
}

// Find compares every load of a solved job with every rating by a rule, guarded or simple,
// and says all that follows from it.
func Find(job *tickets.Job, s *derive.Solution, rule string) *Findings {
	h := newChecker(job, s, rule)
	f := h.compare()
	// In this order: the verdict rests on the rows, on conflicts and on the questions; all
	// that follows may read it, and nothing of it goes back into the verdict.
	f.NotInForce = h.notInForce()
	f.Questions = h.questions(f)
	f.leftOutOver = h.leftOutOver(f)
	f.judge(s.Agreement.Conflict || len(s.Doubts().CannotBe) > 0)
	f.Payloads = h.payloads(f)
	f.Guides = h.guides(f)
	f.Cautions = h.cautions(f)
	standard := h.standardPlaces()
	f.Headroom = h.headroom(f, standard)
	f.Levers = h.levers(standard)
	f.Trip = h.trip(f)
	f.HitchRange = h.hitchRange(f)
	return f
}

// Compare makes the rows of a solved job alone, for whoever tries many: no
// verdict of the job, no questions, guides, cautions or headroom.
//
// Where some checks are given, of a job solved again, it makes theirs alone, for
// whoever tries very many: of each the same row, but for what the rows say of
// each other (Governs, Decides, OnlyTensioned). They are of the job's own rating
// lines; one that does not apply is left out.
func Compare(job *tickets.Job, s *derive.Solution, rule string, only ...*Check) *Findings {
	h := newChecker(job, s, rule)
	if len(only) == 0 {
		return h.compare()
	}
	f := h.newFindings()
	f.Checks = h.memory.checks.List(len(only))[:0]
	for _, c := range only {
		f.Checks = h.recheck(f.Checks, c)
	}
	return f
}

// recheck adds the row of a check of the same ratings once more.
func (h *checker) recheck(rows []Check, c *Check) []Check {
	if c.Floor {
		return h.floor(rows)
	}
	for i := range h.job.Ratings {
		if r := &h.job.Ratings[i]; r == c.Line && h.st.compares[i] != nil && h.st.appliesIn(i, c.Set, c.State) {
			l := h.line(i)
			return h.check(rows, &l, c.Set, c.State)
		}
	}
	return rows
}

// newFindings are findings without anything in them.
func (h *checker) newFindings() *Findings {
	f := &Findings{Rule: string(h.rule), Unguarded: h.rule == simple, memory: h.memory}
	shelf.Lend(&f.Lent, f, takeBack)
	return f
}

// compare makes the rows and what they give, without the verdict of the job.
func (h *checker) compare() *Findings {
	f := h.newFindings()
	f.Checks, f.Status = h.checks(), h.memory.statuses.List(len(h.st.status))
	f.Deciding = f.choose(h.memory.chosen.List(len(f.Checks))[:0], "")
	copy(f.Status, h.st.status)
	f.markDisplaced(&h.st)
	f.NotGiven = h.notGiven(f.Checks)
	f.UsualAll = len(h.usual())
	f.UsualKnown = h.usualKnown(f.Checks)
	for _, set := range h.sets[1:] {
		f.Sets = append(f.Sets, plannedSet{set, f.choose(h.memory.chosen.List(len(f.Checks))[:0], set)})
	}
	return f
}

// checks makes one row per line in force and state, in the order of the form's
// lines, then of the sets (in force first), then of the states; last the floor
// of the download.
func (h *checker) checks() []Check {
	all := h.memory.checks.List(h.countChecks())[:0]
	for i := range h.job.Ratings {
		if h.st.compares[i] == nil {
			continue
		}
		l := h.line(i)
		// By line, then set, then state: the order of the contract, which record and
		// pages keep.
		for _, set := range h.sets {
			for _, state := range l.compares.States {
				if h.st.appliesIn(i, set, state) {
					all = h.check(all, &l, set, state)
				}
			}
		}
	}
	// Which rows decide can be said only once all are there, the floor with them.
	all = h.floor(all)
	h.markTensioned(all)
	h.govern(all)
	return all
}

// countChecks is the number of checks, the floor included. Counting what may apply, each
// line in each set, would make room for the square of a job's lines.
func (h *checker) countChecks() int {
	n := 1 // the floor
	for i, a := range h.st.compares {
		if a == nil {
			continue
		}
		for _, set := range h.sets {
			for _, state := range a.States {
				if h.st.appliesIn(i, set, state) {
					n++
				}
			}
		}
	}
	return n
}

// check adds the row of one line in one state.
func (h *checker) check(rows []Check, l *ratingLine, set string, state tickets.State) []Check {
	m := h.measure(l.Rating, l.compares.Load, set, state)
	rows = append(rows, Check{})
	c := &rows[len(rows)-1] // filled where it is: it is large
	c.Line, c.Rating, c.On, c.State, c.Set, c.Lower = l.Rating, l.Word, l.On, state, set, l.compares.Lower
	c.of(m)
	if l.compares.Load == couplerForce {
		c.LimitKN, c.PlatedKN = l.limit, h.platedDc(set)
	} else {
		c.LimitKg = l.limit
	}
	c.Limit = l.number
	// A limit that is not known, such as a load index outside the table, leaves the row
	// not_weighed and deciding: incomplete, and never within.
	if c.Limit != nil && m.ok {
		h.find(c, m)
	}
	return rows
}

// of fills in the load that is compared, not judged yet.
func (c *Check) of(m *measured) {
	c.Quantity, c.HeldOn, c.Assumed, c.Unequal, c.Parts = m.quantity, m.heldOn, m.assumed, m.unequal, m.parts
	c.Verdict = notWeighed
}

// floor adds the row of a download that must not lift the coupling, where it is
// determined; a hinged drawbar carries none.
func (h *checker) floor(rows []Check) []Check {
	// It is no rating: it needs no line, gives no `given` rating, and neither displaces
	// a download_min of the form nor is displaced (contract, section 3, floor).
	m := h.measure(nil, download, "", noState)
	if !m.ok || h.job.Outfit.Drawbar {
		return rows
	}
	rows = append(rows, Check{
		Floor: true, Rating: "download_min", Lower: true, LimitKg: decimal.NewNullDecimal(decimal.Zero), Limit: h.memory.limits.Of(0),
	})
	c := &rows[len(rows)-1]
	c.of(m)
	h.find(c, m)
	return rows
}

// find judges a determined value.
func (h *checker) find(c *Check, m *measured) {
	limit := *c.Limit
	kN := c.LimitKN.Valid
	// Stretched before anything is judged: margin, p_over, verdict and needed all follow
	// from this u, while the quantities of the record keep theirs (contract, section 2,
	// strained).
	u := grid(float64(m.u*h.stretch), kN)
	c.Verdict = judge(m.value, u, limit, c.Lower, h.rule, kN)
	if c.Floor {
		c.Verdict = judgeFloor(m.value, u, h.rule)
	}
	if c.Verdict == notWeighed {
		return
	}
	// Below 0 is beyond the limit, whichever side that is on.
	margin := limit - m.value
	if c.Lower {
		margin = m.value - limit
	}
	c.Found = h.memory.found.Of(valueFound{Value: m.value, U: u, Margin: grid(margin, kN), POver: pOver(m.value, u, limit, c.Lower)})
	// A rating to apply for: of a least, or of a force, no figure could be asked of
	// anybody.
	if c.Verdict != Within && !c.Lower && !kN {
		c.NeededKg = h.memory.numbers.Of(needed(m.value, u))
	}
	if !kN {
		c.ExcessKg = h.memory.numbers.Of(excess(c, h.rule))
	}
	h.lookBehind(m, c)
	c.crossCheck(m.checked, m.mistakeKg)
	c.Assumed = m.assumed
}

// lookBehind finds what a load rests on, once for all rows that compare it.
func (h *checker) lookBehind(m *measured, c *Check) {
	if m.looked {
		return
	}
	b := h.s.Behind(m.quantity)
	m.looked, m.checked = true, b.Checked
	if b.Tested {
		m.mistakeKg = h.memory.numbers.Of(b.MistakeKg)
	}
	m.assumed = append(m.assumed, h.assumedBehind(c, b.Readings)...)
}

// crossCheck says whether a mistake in a reading behind the value would show.
func (c *Check) crossCheck(checked bool, mistakeKg *float64) {
	// Whether the readings agree says nothing of a value that rests on one of them
	// alone. The largest mistake that could hide is in the unit of the row.
	c.Checked, c.MistakeKg = checked, mistakeKg
	if mistakeKg != nil && c.LimitKN.Valid {
		c.MistakeKg = of(portable.Ratio(float64(*mistakeKg * kNPerKg)))
	}
}

// markTensioned marks what is within only because the hitch is tensioned: the
// same rating is compared slack and is not within there, or the line is for a
// tensioned hitch alone and another of its rating, which it replaces, would not
// be kept.
func (h *checker) markTensioned(all []Check) {
	for i := range all {
		c := &all[i]
		if c.Verdict != Within || c.Floor {
			continue
		}
		switch {
		// The bars may loosen on the road, or be left off: a check that the tension
		// alone keeps is one to know about.
		case c.State == tickets.CoupledTensioned:
			c.OnlyTensioned = failsSlack(all, c)
		case c.State == noState && c.Line.When == "tensioned":
			c.OnlyTensioned = h.failsReplaced(c)
		}
	}
}

func failsSlack(all []Check, c *Check) bool {
	for i := range all {
		o := &all[i]
		if o.State == tickets.CoupledSlack && o.Rating == c.Rating && o.On == c.On && o.Set == c.Set &&
			(o.Verdict == Over || o.Verdict == Unsettled) {
			return true
		}
	}
	return false
}

// failsReplaced compares a stateless value with the lines for a slack hitch
// that a line for a tensioned one replaces.
func (h *checker) failsReplaced(c *Check) bool {
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if h.st.status[i] != held || r.Word != c.Rating || r.On != c.On || r.Set != c.Line.Set ||
			r.When == "tensioned" || !h.st.names(r, tickets.CoupledSlack) {
			continue
		}
		// A value without a state is the same slack and tensioned; only the line that is
		// compared differs, so the other one is tried on it.
		if limit := h.numberOf(h.limitOf(r), c.LimitKN.Valid); limit != nil && judge(c.Found.Value, c.Found.U, *limit, c.Lower, h.rule, c.LimitKN.Valid) != Within {
			return true
		}
	}
	return false
}

// govern marks which of several limits of one word on one quantity governs, and
// which of the governing ones decide: those of the state the outfit travels in,
// of the vehicle alone where determined, and those without a state. Ratings that
// are only planned decide nothing.
func (h *checker) govern(all []Check) {
	for i := range all {
		c := &all[i]
		// The vehicle alone too: it is driven without the trailer as well, and its front
		// axle is heaviest then.
		decidesHere := c.State == noState || c.State == h.job.Outfit.Travels ||
			c.State == tickets.VehicleAlone && c.Verdict != notWeighed
		c.Governs = decidesHere && governs(all, i)
		c.Decides = c.Governs && c.Set == ""
	}
}

// governs reports whether no other limit of the same word on the same quantity
// is lower (for a least: higher), nor equal and earlier. A limit that is not
// known yields to none. A plate is an offence of its own: another word never
// displaces it.
func governs(all []Check, i int) bool {
	c := &all[i]
	limit, known := limitOf(c)
	for j := range all {
		o := &all[j]
		if o.Rating != c.Rating || j == i || o.State != c.State || o.Set != c.Set || !c.limitsWhat(o) {
			continue
		}
		other, otherKnown := limitOf(o)
		if !known || !otherKnown {
			continue
		}
		// In decimal, as typed: two plates of 3,500 are equal on every machine. Of equal
		// ones the first governs, so that one limit counts once.
		order := other.Cmp(limit)
		if c.Lower {
			order = -order
		}
		if order < 0 || order == 0 && j < i {
			return false
		}
	}
	return true
}

// limitsWhat says whether another row of the same rating word, state and set limits the
// same quantity: two words may limit one load, and one word several.
func (c *Check) limitsWhat(o *Check) bool {
	switch {
	case c.Floor || o.Floor:
		return false
	case c.Rating == "d_value":
		return true
	case c.Rating == "tyre", c.Rating == "wheel":
		return c.On == o.On && c.Line.Fitted == o.Line.Fitted
	}
	return sameLoads(c.Parts, o.Parts)
}

func limitOf(c *Check) (decimal.Decimal, bool) {
	if c.LimitKN.Valid {
		return c.LimitKN.Decimal, true
	}
	return c.LimitKg.Decimal, c.LimitKg.Valid
}

// markDisplaced gives its status to every line with a limit that makes no row
// under its own set.
func (f *Findings) markDisplaced(st *inForce) {
	for i := range st.job.Ratings {
		r := &st.job.Ratings[i]
		if st.compares[i] == nil || f.Status[i] != held {
			continue
		}
		// Under its own set: a plated line that only a set replaces applies as plated.
		compared := false
		for j := range f.Checks {
			compared = compared || f.Checks[j].Line == r && f.Checks[j].Set == r.Set
		}
		if !compared {
			f.Status[i] = displaced
		}
	}
}
