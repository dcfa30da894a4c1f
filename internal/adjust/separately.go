package adjust

import (
	"slices"

	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// sharedEqually says whether a check's value is an equal share of what was
// weighed together.
func sharedEqually(c *limits.Check) bool { return c.Unequal > 0 }

// finer lists the readings of a single axle, or of a single side, that would
// replace the equal shares of deciding checks with a verdict.
func (a *adviser) finer(verdict limits.Verdict) []candidate {
	var all []candidate
	for _, c := range a.f.Deciding {
		if c.Verdict != verdict || !sharedEqually(c) || c.Line == nil || len(c.Line.Terms) == 0 {
			continue
		}
		if further, ok := a.separate(c); ok && !slices.ContainsFunc(all, func(o candidate) bool {
			return o.Reading.OnDeck == further.Reading.OnDeck && o.Reading.State == further.Reading.State
		}) {
			all = append(all, further)
		}
	}
	return all
}

// separate is the reading of the first axle of the group that a check is on, or
// of its left side where it has one axle, in the state of the check.
func (a *adviser) separate(c *limits.Check) (candidate, bool) {
	t := c.Line.Terms[0]
	switch {
	case t.Axle == 0 && a.s.Job.Outfit.Axles(t.Group) > 1:
		t.Axle = 1
	case t.Side == "":
		t.Side = tickets.Left
	}
	for _, further := range candidates(a.s.Job) {
		r := &further.Reading
		if len(r.Terms) != 1 || r.Terms[0] != (tickets.Term{Group: t.Group}) || r.State != c.State {
			continue
		}
		r.Terms = []tickets.Term{t}
		r.OnDeck = tickets.Spell(r.Terms...)
		return further, true
	}
	return candidate{}, false
}

// separately advises, for what is over by an equal share, to weigh axles or
// wheels by themselves: they may be loaded unequally either way.
func (a *adviser) separately() []weighing {
	var all []weighing
	for _, further := range a.finer(limits.Over) {
		if a.asked() {
			return nil
		}
		then, err := a.s.WithReading(&further.Reading, &further.Scale)
		if err != nil {
			continue
		}
		w := weighing{candidate: further}
		for _, c := range a.f.Deciding {
			if c.Verdict == limits.Over && sharedEqually(c) && c.State == further.Reading.State {
				after := limits.Compare(then.Job, then, a.f.Rule, c)
				w.Serves = append(w.Serves, a.serves(&need{check: c, need: toSeparate}, after))
				after.Release()
			}
		}
		all = append(all, w)
	}
	return all
}
