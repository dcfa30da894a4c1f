// Package search finds the best way to shift items between places, or to
// leave some of them behind, so that every linear limit holds. It knows
// nothing of what the items and the limits are.
//
// An item stays where it is or goes to one of its options in one piece; a
// divisible one may also go in parts of whole kilograms, if its mass is a whole
// number of kilograms. With kg(i, o) the mass of item i that goes to option o, a
// plan satisfies
//
//	Σ coef(row, i, o)·kg(i, o) ≤ limit(row)     for every row
//	Σ mass brought − Σ mass taken away ≤ room   for every place
//
// and among all such plans has, in this order, the least mass left behind,
// the least mass moved (what is left behind not counted), and the fewest
// items touched.
//
// Method: branch and bound over a bounded dual simplex, one objective after
// the other, depth first, in a fixed order, with rows rounded beforehand
// (cuts) and variables narrowed row by row. Floating point only guides the
// search:
//
//   - a plan counts only after a check in integers: masses are int64 grams,
//     every float64 coefficient and limit is the exact binary number it is;
//   - a branch is given up only on a bound computed again from the rows and
//     the multipliers of the simplex, which holds for any multipliers; so an
//     error of rounding in the simplex costs nodes, never the optimum. Cuts
//     and narrowing allow for more than the rounding in them.
//
// A row holds when it is exceeded by no more than 1e-9·max(1, |limit|), in
// the row's unit: decimal coefficients that meet a limit exactly are not
// refused for the last bit of their binary form.
//
// Ties: of plans equal in all three objectives the first one met in the fixed
// order of the search is given, the same on every platform (no operation
// depends on fused arithmetic, on a clock or on a map's order). Items alike
// in everything are used in the order given; of two options alike, the first.
package search

import (
	"context"
	"math"
)

// nowhere is the index of no place: outside every place with a capacity.
const nowhere = -1

// defaultNodes is a sensible node limit for one objective: some seconds at
// 40 items with four options each.
const defaultNodes = 30_000

// tolerance is the part of max(1, |limit|) by which a row may be exceeded.
const tolerance = 1e-9

// excessGap is how far above the proved bound the least total excess may be
// and still count as proved, in the rows' unit (one gram, where rows are kg).
const excessGap = 1e-3

// excessSlack is by how much a plan as near may differ in total excess.
const excessSlack = 1e-6

// Item is a load that may go elsewhere.
type Item struct {
	Name      string
	Mass      int64 // grams, > 0
	Divisible bool  // may go in parts of whole kilograms
	From      int   // the place it is in, as index into Problem.Rooms; -1: in none with a capacity
	Options   []Option
}

// Option is one destination of an item.
type Option struct {
	Left  bool      // left behind, not moved
	Place int       // index into Problem.Rooms, or -1
	Coef  []float64 // one per row: change of the row's left side per kilogram
}

// Problem is what Solve works on. Row r is Σ coef·kg ≤ Limits[r]; all rows are
// best given in one unit, because the least total excess adds them up. Place l
// has room for Rooms[l] more grams than are in it at present (≥ 0).
type Problem struct {
	Items  []Item
	Limits []float64
	Rooms  []int64
}

// part is a mass of one item that goes to one of its options.
type part struct {
	Item, Option int // indices into Problem.Items and Item.Options
	Grams        int64
}

// bound is what was proved of each objective: no plan leaves less than Left
// grams; none that leaves no more than the plan found moves less than Moved
// grams; none that also moves no more touches fewer than Touched items. Equal
// to the plan's own figures where the plan is proved best.
type bound struct {
	Left, Moved int64
	Touched     int
}

// Result is the answer. The four cases:
//
//	Found, Proved    Parts is a best plan
//	Found            Parts is a plan; Bound says how far a better one could go
//	Proved           no plan exists; Conflict says by how much and why
//	neither          no plan was found up to the node limit; one may exist
type Result struct {
	Found, Proved bool
	Parts         []part // by item, then by option; empty if nothing need move
	Left, Moved   int64  // grams
	Touched       int    // items
	Bound         bound
	Nodes         int      // nodes visited for the plan or the proof that there is none
	Conflict      conflict // none if Found
}

// conflict tells how near one can come when no plan holds every row. The
// capacities of the places are kept all the same.
type conflict struct {
	Total   float64   // least total excess over all rows, in the rows' unit
	AtLeast float64   // proved: no plan has a smaller total excess
	Excess  []float64 // one per row, under Parts; their sum is Total
	Proved  bool      // Total is within 0.001 of the least
	Nodes   int       // nodes visited for this
	Parts   []part    // a plan with that excess; of those, the best found

	// Rows and Places (indices) conflict: they cannot be
	// met together. If Irreducible, they can without any one of them.
	Rows, Places []int
	Irreducible  bool
}

// Solve finds the best plan, visiting at most nodes nodes an objective; 0 is some
// seconds' worth. The same problem and limit give the same result. It fails on a
// number that is not finite, an index out of range, a mass ≤ 0, a room < 0 or
// nodes < 0.
//
// Before each node it asks stop, unless that is nil, and fails with
// [context.Canceled] once the answer was yes: there is no Result, since a search
// that was cut short could be taken for one that found nothing.
func Solve(p Problem, nodes int, stop func() bool) (Result, error) {
	if err := p.check(nodes); err != nil {
		return Result{}, err
	}
	if nodes == 0 {
		nodes = defaultNodes
	}
	s := &solver{model: newModel(p), limit: nodes, stop: stop}
	r := s.run()
	if s.stopped {
		return Result{}, context.Canceled
	}
	return r, nil
}

// solver is one call of Solve: the objectives in turn on one model.
type solver struct {
	*model
	limit   int
	nodes   int         // visited so far
	stop    func() bool // nil: never
	stopped bool        // it has said yes
}

// asked asks whether to stop, and remembers a yes.
func (s *solver) asked() bool {
	s.stopped = s.stopped || s.stop != nil && s.stop()
	return s.stopped
}

// run tries first to leave nothing behind, since that answers the first
// objective without a search of its own.
func (s *solver) run() Result {
	nothing := make([]int64, len(s.cols))
	if s.holds(nothing, nil, nil) {
		return Result{Found: true, Proved: true}
	}
	moved := s.minimise(task{aim: aimMoved, left: upTo(0)}, nil)
	if moved.x != nil {
		return s.finish(bound{}, true, moved)
	}
	left := s.minimise(task{aim: aimLeft}, nil)
	if left.x == nil {
		return s.impossible(left.proved)
	}
	return s.withLeft(left)
}

// withLeft goes on from the least mass left behind.
func (s *solver) withLeft(left outcome) Result {
	if !left.proved { // the plans at the bound itself, ordered by another objective
		if at := s.minimise(task{aim: aimMoved, left: upTo(s.grams(left.bound))}, nil); at.x != nil {
			left = outcome{at.x, left.bound, true}
		}
	}
	grams := s.left(left.x)
	moved := s.minimise(task{aim: aimMoved, left: ceiling{true, grams, left.proved}}, left.x)
	return s.finish(bound{Left: s.grams(left.bound)}, left.proved, moved)
}

// finish looks for the fewest items and puts the result together.
func (s *solver) finish(b bound, proved bool, moved outcome) Result {
	left, mass := s.left(moved.x), s.moved(moved.x)
	b.Moved = s.grams(moved.bound)
	last := s.minimise(task{aim: aimTouched, left: ceiling{true, left, proved}, moved: ceiling{true, mass, proved && moved.proved}}, moved.x)
	b.Touched = int(roundUp(last.bound))
	return Result{
		Found: true, Proved: proved && moved.proved && last.proved,
		Parts: s.parts(last.x), Left: s.left(last.x), Moved: s.moved(last.x), Touched: s.touched(last.x),
		Bound: b, Nodes: s.nodes,
	}
}

// impossible measures how far the rows are from being met. Where the search
// had not proved that they cannot be, it may still come upon a plan.
func (s *solver) impossible(proved bool) Result {
	nothing, before := make([]int64, len(s.cols)), s.nodes
	least := s.minimise(task{aim: aimExcess, elastic: true}, nothing)
	if s.holds(least.x, nil, nil) {
		return s.withLeft(outcome{x: least.x})
	}
	near := s.fewestMoves(least)
	c := conflict{
		Excess: s.excess(near), AtLeast: math.Max(0, least.bound), Proved: least.proved, Parts: s.parts(near),
	}
	for _, e := range c.Excess {
		c.Total += e
	}
	c.AtLeast = math.Min(c.AtLeast, c.Total)
	if proved {
		c.Rows, c.Places, c.Irreducible = s.against()
	}
	c.Nodes = s.nodes - before
	return Result{Proved: proved, Nodes: before, Conflict: c}
}

// fewestMoves chooses, among the plans with the least excess, one that leaves and
// then moves little, so that no pointless move is shown.
func (s *solver) fewestMoves(least outcome) []int64 {
	t := task{aim: aimLeft, elastic: true, excess: s.total(least.x)}
	x := s.minimise(t, least.x).x
	t.aim, t.left = aimMoved, upTo(s.left(x))
	return s.minimise(t, x).x
}
