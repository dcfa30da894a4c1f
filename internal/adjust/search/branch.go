package search

import (
	"math"
	"slices"
)

// integral is how far from a whole number a variable may be to count as one.
const integral = 1e-6

// outcome is what a search of one objective came to. Of masses, bound counts
// in quanta of the model.
type outcome struct {
	x      []int64 // best plan found, nil if none
	bound  float64 // no plan is better than this
	proved bool    // nor better than x; or, without x, there is none
}

// searcher is one branch-and-bound search.
type searcher struct {
	*model
	task
	p     *program
	best  []int64
	value float64 // of best; +Inf without
	nodes int     // left to visit
	asked func() bool
	spare []*tableau
	seen  []pseudocost // one per variable
}

// minimise searches for the best plan of a task, starting from a plan known
// (or nil): a first part of the nodes looks for any better plan, the rest for
// plans within a little of the bound, then within twice as much, and so on.
// So a poor first plan costs little.
func (s *solver) minimise(t task, known []int64) outcome {
	b := &searcher{model: s.model, task: t, p: s.build(t), best: known, value: math.Inf(1), nodes: s.limit, asked: s.asked}
	if known != nil {
		b.value = b.worth(known)
	}
	b.p.strengthen()
	b.seen = make([]pseudocost, len(b.p.cost)+len(b.p.b))
	bound, proved := b.search()
	s.nodes += s.limit - b.nodes
	return outcome{b.best, bound, proved}
}

func (s *searcher) search() (bound float64, proved bool) {
	// A tenth of the nodes looks for a plan of any worth.
	spare := s.nodes - s.nodes/10 - 1
	s.nodes -= spare
	bound = s.within(math.Inf(1))
	s.nodes += spare
	// Near the bound most branches close at once, so the limit is raised from
	// there and doubled, and not lowered from the first plan.
	for step := s.step(); s.nodes > 0 && bound < s.floor(s.value); step = float64(step * 2) {
		bound = math.Max(bound, s.within(bound+step))
	}
	return bound, bound >= s.floor(s.value)
}

// within searches for a plan better than the best and than limit. It returns
// the bound that this proves.
func (s *searcher) within(limit float64) (bound float64) {
	before := s.value
	s.value = math.Min(before, limit)
	sought := s.value
	s.spare = nil // of another size
	if p := s.p; len(p.cost) > 0 && !math.IsInf(sought, 1) && slices.Max(p.cost) > 0 {
		s.p = s.tightened()
		defer func() { s.p = p }()
	}
	open := s.branch(newTableau(s.p), 0)
	// A plan that was not seen is in a branch left open, or no better than the
	// value sought.
	bound = math.Min(open, s.floor(s.value))
	if s.value == sought {
		s.value = before
	}
	if s.aim == aimExcess || math.IsInf(bound, 1) {
		return bound
	}
	// Masses count in quanta, items in ones: what is above a bound is at least
	// the next whole number.
	return roundUp(bound)
}

// tightened returns the program with what follows from a plan having to be
// better than the value sought: a row that says so, narrower variables, and
// cuts of both.
func (s *searcher) tightened() *program {
	p := *s.p
	p.a, p.b = slices.Clone(p.a), slices.Clone(p.b)
	p.lo, p.hi = slices.Clone(p.lo), slices.Clone(p.hi)
	largest := slices.Max(p.cost)
	p.a, p.b = append(p.a, scaled(p.cost, 1/largest)), append(p.b, s.threshold()/largest)
	p.index()
	// What one round narrows lets the next one cut deeper.
	for range 3 {
		t := newTableau(&p)
		bound, dead, factor := s.solveOf(&p, t)
		if dead || bound > s.threshold() {
			break
		}
		s.fix(t, bound, factor)
		copy(p.lo, t.lo)
		copy(p.hi, t.hi)
		p.strengthen()
	}
	return &p
}

// step is by how much the first search near the bound goes beyond it.
func (s *searcher) step() float64 {
	if s.aim == aimExcess {
		return 50 * excessGap
	}
	return 1
}

// floor is what is proved of the objective when nothing better than value
// was found and nothing left open.
func (s *searcher) floor(value float64) float64 {
	if s.aim == aimExcess {
		return value - excessGap
	}
	return value
}

// worth is the objective of plan x.
func (s *searcher) worth(x []int64) float64 {
	switch s.aim {
	case aimLeft:
		return float64(s.model.left(x) / s.quantum)
	case aimMoved:
		return float64(s.model.moved(x) / s.quantum)
	case aimTouched:
		return float64(s.touched(x))
	case aimExcess:
		return s.total(x)
	}
	return 0
}

// threshold is the bound above which a branch cannot hold a better plan.
func (s *searcher) threshold() float64 {
	if s.aim == aimExcess {
		return s.floor(s.value)
	}
	// A better plan is better by 1 at least; the rest is more than the rounding
	// of the bound.
	return s.value - 1 + 1e-6 + float64(1e-12*s.value) // objectives are whole numbers
}

// branch searches below the node of t, whose bound is known to be at least
// least, and uses t up. It returns the least bound of what it left unvisited
// for want of nodes, +Inf if nothing.
func (s *searcher) branch(t *tableau, least float64) float64 {
	open := math.Inf(1)
	for {
		if least > s.threshold() {
			return open
		}
		if s.spent() {
			return math.Min(open, least)
		}
		s.nodes--
		var dead bool
		if least, dead = s.relax(t, least); dead {
			return open
		}
		v, x, retry := s.branchOn(t, least)
		if retry {
			continue
		}
		if v < 0 { // everything is fixed
			s.offer(t)
			return open
		}
		first := s.copyOf(t)
		down := math.Floor(x + integral)
		// At its upper bound a variable is split just below it, so that both
		// halves are smaller.
		if down >= t.hi[v] {
			down--
		}
		// The half that the solution is nearer to comes first, as the likelier
		// one to hold a plan. The other takes over t and needs no copy.
		up := x-down > 0.5
		first.narrow(v, down, up)
		open = math.Min(open, s.branch(first, least))
		s.spare = append(s.spare, first)
		t.narrow(v, down, !up)
	}
}

// spent reports whether no node is left to visit; a yes from stop takes all.
func (s *searcher) spent() bool {
	if s.nodes > 0 && s.asked() {
		s.nodes = 0
	}
	return s.nodes == 0
}

// narrow keeps variable v above or not above a whole number.
func (t *tableau) narrow(v int, down float64, up bool) {
	if up {
		t.bound(v, down+1, t.hi[v])
		return
	}
	t.bound(v, t.lo[v], down)
}

func (s *searcher) copyOf(t *tableau) *tableau {
	if n := len(s.spare); n > 0 {
		c := s.spare[n-1]
		s.spare = s.spare[:n-1]
		c.copyFrom(t)
		return c
	}
	return t.clone()
}

// solve solves the node without regard to integers. It returns its bound and
// the factors that go with it, or that it holds nothing.
func (s *searcher) solve(t *tableau, least float64) (bound float64, dead bool, factor []float64) {
	if bound, dead, factor = s.solveOf(s.p, t); dead {
		bound = least
	}
	return bound, dead, factor
}

// solveOf solves a program at a node. That the simplex found a row impossible is
// not believed by itself: its multipliers must prove it in the program's own
// numbers (see least), or rounding could cut off a plan.
func (s *searcher) solveOf(p *program, t *tableau) (bound float64, dead bool, factor []float64) {
	if !p.propagate(t) {
		return 0, true, nil
	}
	if r, _ := t.optimise(); r >= 0 {
		zero := make([]float64, t.n)
		if gap, _ := p.least(zero, t.ray(r), t.lo, t.hi); gap > 0 {
			return 0, true, nil
		}
	}
	bound, factor = p.least(p.cost, t.prices(), t.lo, t.hi)
	return bound, false, factor
}

// relax solves the node, takes its solution, rounded, for a plan if it is one,
// and reports whether the node is done with.
func (s *searcher) relax(t *tableau, least float64) (bound float64, dead bool) {
	lower, dead, factor := s.solve(t, least)
	if dead {
		return least, true
	}
	s.offer(t)
	bound = math.Max(least, lower)
	if bound > s.threshold() {
		return bound, true
	}
	s.fix(t, lower, factor)
	return bound, false
}

// fix narrows each integer variable to the values that leave the bound below
// the threshold.
// By the factors f of the bound, each step away from the cheaper end costs |f|:
//
//	bound + |f|·steps ≤ threshold
func (s *searcher) fix(t *tableau, bound float64, factor []float64) {
	room := s.threshold() - bound
	if math.IsInf(room, 1) {
		return
	}
	for j := range s.p.whole {
		lo, hi := t.lo[j], t.hi[j]
		f := math.Abs(factor[j])
		if lo == hi || float64(f*(hi-lo)) <= room {
			continue
		}
		steps := math.Floor(room/f + 1e-6)
		if factor[j] > 0 {
			t.bound(j, lo, math.Min(hi, lo+steps))
		} else {
			t.bound(j, math.Max(lo, hi-steps), hi)
		}
	}
}

// offer takes the node's solution, rounded, if it is a better plan.
// Whether it is a plan is decided in integers, so that an inexact tableau costs
// time and never a wrong plan.
func (s *searcher) offer(t *tableau) {
	x := make([]int64, len(s.cols))
	for j := range x {
		x[j] = int64(math.Round(math.Min(math.Max(t.at(j), t.lo[j]), t.hi[j])))
	}
	if value := s.worth(x); value < s.value && s.accepts(x) {
		s.best, s.value = x, value
	}
}

// accepts reports whether x does all that the task asks, in integers.
func (s *searcher) accepts(x []int64) bool {
	if s.task.left.set && s.model.left(x) > s.task.left.grams || s.task.moved.set && s.model.moved(x) > s.task.moved.grams {
		return false
	}
	// Elastic rows do not bind one by one; places always do.
	if s.elastic {
		return s.fits(x, s.skipPlace) && (s.aim == aimExcess || s.total(x) <= s.task.excess+excessSlack)
	}
	return s.holds(x, s.skipRow, s.skipPlace)
}

// grams converts a bound in quanta to grams.
func (m *model) grams(quanta float64) int64 { return int64(roundUp(quanta)) * m.quantum }

// roundUp returns the least whole number that a bound allows, 0 at least.
func roundUp(bound float64) float64 { return math.Max(0, math.Ceil(bound-1e-6)) }
