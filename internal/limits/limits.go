package limits

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// Options choose how loads are held against ratings.
type Options struct {
	Rule Rule // Guarded unless Simple
}

// Check is one rating line in force in one state, under the ratings in force
// (Set "") or planned ones. Its limit is in kilograms, or in kilonewtons for a
// D-value; a limit that is neither is not known and the check is not_weighed.
type Check struct {
	Line        *tickets.Rating
	Rating      string       // first-column word
	On          string       // as in the form
	State       derive.State // "" for a load that has no state
	Set         string
	LimitKg     decimal.NullDecimal
	LimitKN     decimal.NullDecimal
	Found       *Found          // nil: not weighed
	Quantity    derive.Quantity // the load as derived, unscaled; of one tyre where one is held
	Verdict     Verdict
	Lower       bool // a least, not a most
	Governs     bool // decides, if its set's ratings applied; for Set "" the same as Decides
	Decides     bool
	HeldAgainst string
	NeededKg    *float64 // what an upper rating would have to be; nil where within, not weighed, kN or a least
	Checked     bool     // a mistake in a reading behind it would show
	MistakeKg   *float64 // the largest effect of a mistake that would not show; kN for a D-value
	Assumed     string   // what the value rests on beyond the readings; "" for nothing
	// OnlyTensioned: within only because the hitch is tensioned.
	OnlyTensioned bool
	Source        string

	key    string
	parts  []derive.Part
	shared bool // an equal share among tyres: u grows with the load
}

// Limit is the limit as a number, in the check's unit; ok is false where it is
// not known.
func (c *Check) Limit() (limit float64, ok bool) {
	switch {
	case c.LimitKN.Valid:
		return c.LimitKN.Decimal.InexactFloat64(), true
	case c.LimitKg.Valid:
		return c.LimitKg.Decimal.InexactFloat64(), true
	}
	return 0, false
}

// Findings is everything that the ratings say of a job.
type Findings struct {
	Verdict         JobVerdict
	Checks          []Check
	Status          []Status // by rating line
	NotGiven        []string
	Given           int  // rating lines with a deciding check
	NotCrossChecked bool // a deciding check is not checked
	Guides          []Guide
	Cautions        []Caution
	Headroom        []Headroom
	Payload         Payload
	Rule            Rule
}

// Hold holds every load of a solved job against every rating.
func Hold(job *tickets.Job, s *derive.Solution, o Options) *Findings {
	if o.Rule != Simple {
		o.Rule = Guarded
	}
	h := &holder{job: job, s: s, rule: o.Rule, st: newStanding(job), scaling: s.Scaling()}
	f := &Findings{Rule: o.Rule, Checks: h.checks(), Status: slices.Clone(h.st.status)}
	f.markDisplaced(job)
	f.NotGiven = h.notGiven(f.Checks)
	f.judge(s.Agreement())
	f.Payload = h.payload(f)
	f.Guides = h.guides(f)
	f.Cautions = h.cautions(f)
	f.Headroom = h.headroom(f)
	return f
}

// checks makes one row per line in force and state, in the order of the form's
// lines, then of the sets (in force first), then of the states.
func (h *holder) checks() []Check {
	var all []Check
	for i := range h.job.Ratings {
		a, ok := againstOf(h.job, &h.job.Ratings[i])
		if !ok {
			continue
		}
		for _, set := range sets(h.job) {
			for _, state := range a.States {
				if h.st.stands(i, set, state) {
					all = append(all, h.check(&h.job.Ratings[i], a, set, state))
				}
			}
		}
	}
	h.markTensioned(all)
	h.govern(all)
	return all
}

// check holds one line in one state.
func (h *holder) check(r *tickets.Rating, a against, set string, state derive.State) Check {
	m := h.measure(r, a, set, state)
	c := Check{
		Line: r, Rating: r.Word, On: r.On, State: state, Set: set, Lower: a.Lower,
		Quantity: m.quantity, HeldAgainst: m.words, Assumed: m.assumed, Source: r.Source,
		Verdict: NotWeighed, key: m.key, parts: m.parts, shared: m.shared,
	}
	if a.Load == couplerForce {
		c.LimitKN = h.limitOf(r)
	} else {
		c.LimitKg = h.limitOf(r)
	}
	if limit, known := c.Limit(); known && m.ok {
		h.find(&c, m, limit)
	}
	return c
}

// find judges a determined value.
func (h *holder) find(c *Check, m measured, limit float64) {
	u := m.u * h.scaling
	c.Verdict = judge(m.value, u, limit, c.Lower, h.rule)
	if c.Verdict == NotWeighed {
		return
	}
	margin := limit - m.value
	if c.Lower {
		margin = m.value - limit
	}
	c.Found = &Found{Value: m.value, U: u, Margin: margin, POver: pOver(m.value, u, limit, c.Lower)}
	if c.Verdict != Within && !c.Lower && c.LimitKg.Valid {
		n := needed(m.value, u)
		c.NeededKg = &n
	}
	h.crossCheck(c, m.quantity)
}

// crossCheck says whether a mistake in a reading behind the value would show.
// A D-value is looked at as the mass it is worth, for what counts as bearing on
// it is so many kilograms a kilogram.
func (h *holder) crossCheck(c *Check, q derive.Quantity) {
	unit := 1.0
	if c.LimitKN.Valid {
		unit = gravity / 1000
		q = h.s.Add(q, 1/unit-1, q)
	}
	checked, effect, have := h.s.Checked(q)
	c.Checked = checked
	if have {
		effect *= unit
		c.MistakeKg = &effect
	}
}

// markTensioned marks what is within only because the hitch is tensioned: the
// same rating is held slack and is not within there, or the line holds for a
// tensioned hitch alone and another of its rating, which it replaces, would not
// be kept.
func (h *holder) markTensioned(all []Check) {
	for i := range all {
		c := &all[i]
		if c.Verdict != Within {
			continue
		}
		switch {
		case c.State == derive.CoupledTensioned:
			c.OnlyTensioned = failsSlack(all, c)
		case c.State == noState && c.Line.When == "tensioned":
			c.OnlyTensioned = h.failsReplaced(c)
		}
	}
}

func failsSlack(all []Check, c *Check) bool {
	for i := range all {
		o := &all[i]
		if o.State == derive.CoupledSlack && o.Rating == c.Rating && o.On == c.On && o.Set == c.Set &&
			(o.Verdict == Over || o.Verdict == Unsettled) {
			return true
		}
	}
	return false
}

// failsReplaced holds a stateless value against the lines for a slack hitch
// that a line for a tensioned one replaces.
func (h *holder) failsReplaced(c *Check) bool {
	for i := range h.job.Ratings {
		r := &h.job.Ratings[i]
		if h.st.status[i] != Held || r.Word != c.Rating || r.On != c.On || r.Set != c.Line.Set ||
			r.When == "tensioned" || !h.st.names(r, derive.CoupledSlack) {
			continue
		}
		if l := h.limitOf(r); l.Valid && judge(c.Found.Value, c.Found.U, l.Decimal.InexactFloat64(), c.Lower, h.rule) != Within {
			return true
		}
	}
	return false
}

// govern marks which of several limits on one quantity governs, and which of
// the governing ones decide: those of the state the outfit travels in, of the
// vehicle alone where determined, and those without a state. Ratings that are
// only planned decide nothing.
func (h *holder) govern(all []Check) {
	for i := range all {
		c := &all[i]
		decidesHere := c.State == noState || c.State == travelled(h.job) ||
			c.State == derive.VehicleAlone && c.Verdict != NotWeighed
		c.Governs = decidesHere && governs(all, i)
		c.Decides = c.Governs && c.Set == ""
	}
}

// governs reports whether no other limit on the same quantity is lower (for a
// least: higher), nor equal and earlier. A limit that is not known yields to none.
func governs(all []Check, i int) bool {
	c := &all[i]
	limit, known := limitOf(c)
	for j := range all {
		o := &all[j]
		if j == i || o.Set != c.Set || o.State != c.State || o.key != c.key || o.Lower != c.Lower {
			continue
		}
		other, otherKnown := limitOf(o)
		if !known || !otherKnown {
			continue
		}
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

func limitOf(c *Check) (decimal.Decimal, bool) {
	if c.LimitKN.Valid {
		return c.LimitKN.Decimal, true
	}
	return c.LimitKg.Decimal, c.LimitKg.Valid
}

// markDisplaced gives its status to every line with a limit that makes no row
// under its own set.
func (f *Findings) markDisplaced(job *tickets.Job) {
	for i := range job.Ratings {
		r := &job.Ratings[i]
		if _, limits := againstOf(job, r); !limits || f.Status[i] != Held {
			continue
		}
		held := false
		for j := range f.Checks {
			held = held || f.Checks[j].Line == r && f.Checks[j].Set == r.Set
		}
		if !held {
			f.Status[i] = Displaced
		}
	}
}
