// Package adjust says what next: which loads to move or to leave behind so
// that every deciding limit holds with its guard, and what a modification
// would leave over. The effects of a move are linear (the lever law, the
// tension moment of the hitch unchanged); the search in the folder below finds the
// best of all moves, and what it finds is recalculated and compared again before
// it is called a plan. It hands over codes and numbers, not sentences. Masses are kilograms.
package adjust

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/adjust/search"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// reason says why there is no plan, or why one is not proved the best.
type reason string

// The reasons. The first four say that nothing was searched.
const (
	noReason       reason = ""
	inConflict     reason = "conflict"          // the readings contradict each other
	tripNotKnown   reason = "trip_not_known"    // a varying load's share hangs on a missing number
	notWeighed     reason = "not_weighed"       // a deciding check has no value
	nothingDecides reason = "nothing_decides"   // no rating decides anything
	cannotHold     reason = "cannot_hold"       // proved: no move keeps every limit
	nodeLimit      reason = "node_limit"        // the search ended before it was done
	failedRecheck  reason = "failed_recheck"    // what the search found did not pass when recalculated
	tightened      reason = "tightened_recheck" // a plan, found under a narrower limit than asked for
)

// Plan is what to move and what to leave behind.
//
//	Found, Proved       Moves is a best plan; none where none is needed
//	Found               a plan, which holds, but may not be the best
//	not Found, Proved   no plan exists; Blocking says by how much
//	neither             nothing was searched, or the search came to no end: Why
type Plan struct {
	Found, Proved bool
	Why           reason
	Set           string
	Left, Moved   decimal.Decimal // mass left behind; mass moved, without it
	Touched       int             // loads
	Bound         proved          // how far from proved, where Why is nodeLimit
	Moves         []Move          // the one with the greatest effect first
	// Before and After are every deciding check with a value, in one order. After is
	// within also where it is exceeded by no more than 10 g.
	Before, After []*limits.Check
	ToWeigh       []*limits.Check // the deciding checks without one
	Blocking      []blocking
	Against       []int  // limits that cannot be met together: their places in Blocking
	Opposed       bool   // no single move brings all of Against nearer to their limits
	Nearest       []Move // where there is no plan: what leaves the least excess
	NotOffered    []notOffered
	Offered       int // loads that may move
	Instead       []modification
}

// proved is what was proved of every plan: none leaves less than Left behind;
// of those that leave no more than the plan found, none moves less than Moved;
// of those that also move no more, none touches fewer than Touched loads.
type proved struct {
	Left, Moved decimal.Decimal
	Touched     int
}

// Move takes part of a load, or all of it, to another place.
type Move struct {
	Load     string
	From, To string // names of places; To "" is left behind
	Kg       decimal.Decimal
	Whole    bool     // all of the load
	Relief   []relief // of the checks that were not kept
}

// relief is by how much a move brings a check nearer to its limit, in
// kilograms; below 0 it takes it further away. A D-value counts by the mass
// whose weight the force is.
type relief struct {
	Check *limits.Check
	Kg    float64
}

// blocking is a limit that no plan meets, with the excess that remains when
// the sum of all excesses is least, guard included, in kilograms. Rating is that of a
// check, or capacity (On is the place), download_share or front_restored. A
// limit that is met, but only because another is not, has excess 0.
type blocking struct {
	Rating, On string
	State      tickets.State
	ExcessKg   float64
}

// mostRounds is how often a limit is narrowed because a plan, recalculated, did
// not keep it.
const mostRounds = 5

// Find plans a solved job under the rule that its findings were made with: for
// the ratings in force (set ""), or as if those of a set applied. It fails where
// the forms contradict themselves (more in a place than it holds). It asks stop
// between the steps of the search, nil never stops it, and fails with
// [context.Canceled] once the answer was yes.
func Find(s *derive.Solution, f *limits.Findings, set string, stop func() bool) (*Plan, error) {
	return newPlanner(s, f, set, stop).find()
}

func newPlanner(s *derive.Solution, f *limits.Findings, set string, stop func() bool) *planner {
	p := &planner{job: s.Job, s: s, f: f, set: set, stop: stop, deciding: decidingUnder(f, set)}
	p.plan = &Plan{Set: set, Instead: modifications(s.Job, f)}
	for _, c := range p.deciding {
		if c.Found == nil {
			p.plan.ToWeigh = append(p.plan.ToWeigh, c)
		} else {
			p.plan.Before = append(p.plan.Before, c)
		}
	}
	return p
}

// decidingUnder lists the checks that decide, or that would under a set of planned ratings.
func decidingUnder(f *limits.Findings, set string) []*limits.Check {
	if set == "" {
		return f.Deciding
	}
	for _, planned := range f.Sets {
		if planned.Name == set {
			return planned.Deciding
		}
	}
	return nil
}

func (p *planner) find() (*Plan, error) {
	if p.plan.Why = p.unfit(); p.plan.Why != noReason {
		return p.plan, nil
	}
	if err := p.model(); err != nil {
		return nil, err
	}
	if err := p.rounds(); err != nil {
		return nil, err
	}
	return p.plan, nil
}

// planner is one call of Find.
type planner struct {
	job      *tickets.Job
	s        *derive.Solution
	f        *limits.Findings
	set      string
	stop     func() bool
	nodes    int // of the search, for each objective; 0 is as many as are sensible
	deciding []*limits.Check
	plan     *Plan
	bounds   []bound
	items    []item
	roomy    []string // the places with a capacity, as the problem numbers them
	problem  search.Problem
}

// unfit says why nothing can be searched.
func (p *planner) unfit() reason {
	switch {
	case p.f.Conflict:
		return inConflict
	case !slices.ContainsFunc(p.deciding, func(c *limits.Check) bool { return !c.Floor }):
		return nothingDecides
	case len(p.plan.ToWeigh) > 0:
		return notWeighed
	}
	for _, c := range p.tripChecks() {
		if c.Worst.Found == nil {
			return tripNotKnown
		}
	}
	return noReason
}

// rounds searches, and recalculates what was found. Where that does not pass,
// the limits that failed are narrowed by what they failed by, and it is
// searched again; such a plan is not proved the best.
func (p *planner) rounds() error {
	for round := range mostRounds {
		r, err := search.Solve(p.problem, p.nodes, p.stop)
		if errors.Is(err, context.Canceled) {
			return err
		}
		if err != nil {
			return fmt.Errorf("job %q: plan: %w", p.job.Name, err)
		}
		if !r.Found {
			p.none(r, round > 0)
			return nil
		}
		p.take(r, round > 0)
		short, err := p.recheck()
		if err != nil {
			return err
		}
		if !p.narrow(short) {
			return nil
		}
	}
	p.giveUp()
	return nil
}

// take writes a found plan down.
func (p *planner) take(r search.Result, narrowed bool) {
	q := p.plan
	q.Found, q.Proved, q.Why = true, r.Proved && !narrowed, noReason
	switch {
	case !r.Proved:
		q.Why = nodeLimit
		q.Bound = proved{decimal.New(r.Bound.Left, -3), decimal.New(r.Bound.Moved, -3), r.Bound.Touched}
	case narrowed:
		q.Why = tightened
	}
	q.Moves = p.moves(&r)
	q.Left, q.Moved, q.Touched = decimal.Zero, decimal.Zero, r.Touched
	for _, m := range q.Moves {
		if m.To == "" {
			q.Left = q.Left.Add(m.Kg)
		} else {
			q.Moved = q.Moved.Add(m.Kg)
		}
	}
}

// none says why there is no plan.
func (p *planner) none(r search.Result, narrowed bool) {
	p.clear()
	q := p.plan
	q.Proved = r.Proved && !narrowed
	switch {
	case !r.Proved:
		q.Why = nodeLimit
	case narrowed:
		q.Why = failedRecheck
	default:
		q.Why = cannotHold
	}
	q.Nearest = p.moves(&r)
	p.block(&r)
}

// giveUp ends where narrowing did not help.
func (p *planner) giveUp() {
	p.clear()
	p.plan.Why = failedRecheck
	for i, c := range p.deciding {
		if p.plan.Before[i].Verdict != limits.Within {
			kg := portable.Kg(float64(excess(c, p.guardOf(c)) * p.bounds[i].unit))
			p.plan.Blocking = append(p.plan.Blocking, blocking{c.Rating, c.On, c.State, kg})
		}
	}
	for i, c := range p.tripChecks() {
		if kg := p.tripExcess(c, c.Worst.Found.U, c.Worst.Found.Margin, p.bounds[len(p.deciding)+i].unit); kg > 0 && c.Verdict == limits.Within {
			p.plan.Blocking = append(p.plan.Blocking, blocking{c.Rating, c.On, c.State, kg})
		}
	}
}

// clear takes a plan back that did not hold.
func (p *planner) clear() {
	q := p.plan
	q.Found, q.Proved, q.Moves, q.After = false, false, nil, nil
	q.Left, q.Moved, q.Touched = decimal.Zero, decimal.Zero, 0
}
