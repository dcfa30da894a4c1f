package search

import "math"

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
	spare []*tableau
}

// minimise searches for the best plan of a task, starting from a plan known
// (or nil).
func (s *session) minimise(t task, known []int64) outcome {
	b := &searcher{model: s.model, task: t, p: s.build(t), best: known, value: math.Inf(1), nodes: s.limit}
	if known != nil {
		b.value = b.worth(known)
	}
	open := b.dive(newTableau(b.p), 0)
	s.nodes += s.limit - b.nodes
	return outcome{b.best, math.Min(open, b.proven()), math.IsInf(open, 1)}
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

// proven is what best proves of the objective once nothing is left open.
func (s *searcher) proven() float64 {
	if s.aim == aimExcess {
		return s.value - excessGap
	}
	return s.value
}

// threshold is the bound above which a branch cannot hold a better plan.
func (s *searcher) threshold() float64 {
	if s.aim == aimExcess {
		return s.proven()
	}
	return s.value - 1 + 1e-6 + float64(1e-12*s.value) // objectives are whole numbers
}

// dive searches below the node of t, whose bound is known to be at least
// least, and uses t up. It returns the least bound of what it left unvisited
// for want of nodes, +Inf if nothing.
func (s *searcher) dive(t *tableau, least float64) float64 {
	open := math.Inf(1)
	for {
		if least > s.threshold() {
			return open
		}
		if s.nodes == 0 {
			return math.Min(open, least)
		}
		s.nodes--
		var dead bool
		if least, dead = s.relax(t, least); dead {
			return open
		}
		v, x := s.branchOn(t)
		if v < 0 {
			return open // everything is fixed, and was offered
		}
		first := s.copyOf(t)
		down := math.Floor(x + integral)
		if down >= t.hi[v] {
			down--
		}
		up := x-down > 0.5
		first.narrow(v, down, up)
		open = math.Min(open, s.dive(first, least))
		s.spare = append(s.spare, first)
		t.narrow(v, down, !up)
	}
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

// relax solves the node without regard to integers, takes its solution,
// rounded, for a plan if it is one, and tells whether the node is done with.
func (s *searcher) relax(t *tableau, least float64) (bound float64, dead bool) {
	r, _ := t.optimise()
	if r >= 0 {
		zero := make([]float64, t.n)
		if gap, _ := s.p.least(zero, t.ray(r), t.lo, t.hi); gap > 0 {
			return least, true
		}
	}
	lower, factor := s.p.least(s.p.cost, t.prices(), t.lo, t.hi)
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
func (s *searcher) offer(t *tableau) {
	x := make([]int64, len(s.cols))
	for j := range x {
		x[j] = int64(math.Round(math.Min(math.Max(t.at(j), t.lo[j]), t.hi[j])))
	}
	if value := s.worth(x); value < s.value && s.accepts(x) {
		s.best, s.value = x, value
	}
}

// accepts tells whether x does all that the task asks, in integers.
func (s *searcher) accepts(x []int64) bool {
	if s.task.left.set && s.model.left(x) > s.task.left.grams || s.task.moved.set && s.model.moved(x) > s.task.moved.grams {
		return false
	}
	if s.elastic {
		return s.fits(x, s.skipPlace) && (s.aim == aimExcess || s.total(x) <= s.task.excess+excessSlack)
	}
	return s.holds(x, s.skipRow, s.skipPlace)
}

// branchOn chooses the variable to split: the one that most mass depends on,
// or, where the solution is in whole numbers but no plan, any still open; −1
// if all are fixed.
func (s *searcher) branchOn(t *tableau) (v int, x float64) {
	v, score := -1, 0.0
	for j := range s.p.whole {
		if t.lo[j] == t.hi[j] {
			continue
		}
		at := math.Min(math.Max(t.at(j), t.lo[j]), t.hi[j])
		f := math.Abs(at - math.Round(at))
		if f <= integral {
			f = 0
		}
		if w := float64(f * s.weight(j)); v < 0 || w > score {
			v, x, score = j, at, w
		}
	}
	return v, x
}

func (s *searcher) weight(j int) float64 {
	if j >= len(s.cols) {
		return 1e9 // whether an item is touched at all
	}
	return float64(s.cols[j].unit)
}

// grams converts a bound in quanta to grams.
func (m *model) grams(quanta float64) int64 { return int64(roundUp(quanta)) * m.quantum }

// roundUp returns the least whole number that a bound allows, 0 at least.
func roundUp(bound float64) float64 { return math.Max(0, math.Ceil(bound-1e-6)) }
