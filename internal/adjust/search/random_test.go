package search

import (
	"math"
	"math/rand/v2"
	"reconcile/internal/study"
	"slices"
	"testing"
)

// The oracle of this file enumerates every plan. It has arithmetic of its
// own: whole thousandths for coefficients and limits, so that no rounding is
// in it, and shares with the search nothing but the problem.

// milli is a problem with coefficients and limits in thousandths.
type milli struct {
	Problem
	coef  [][][]int64 // item, option, row
	limit []int64
}

// problem fills in the float64 forms.
func (q *milli) problem() Problem {
	for r, l := range q.limit {
		q.Limits[r] = float64(l) / 1000
	}
	for i, it := range q.Items {
		for o := range it.Options {
			it.Options[o].Coef = make([]float64, len(q.limit))
			for r, c := range q.coef[i][o] {
				it.Options[o].Coef[r] = float64(c) / 1000
			}
		}
	}
	return q.Problem
}

// choice is one way an item can go: grams to each option.
type choice []int64

// choices enumerates the ways of an item.
func choices(it Item) []choice {
	var all []choice
	if !it.Divisible {
		all = append(all, make(choice, len(it.Options)))
	} else {
		all = spread(it.Mass/1000, len(it.Options))
	}
	for o := range it.Options {
		whole := make(choice, len(it.Options))
		whole[o] = it.Mass
		if !it.Divisible || it.Mass%1000 != 0 {
			all = append(all, whole)
		}
	}
	return all
}

// spread enumerates kg whole kilograms over n options, the rest staying.
func spread(kg int64, n int) []choice {
	if n == 0 {
		return []choice{{}}
	}
	var all []choice
	for first := int64(0); first <= kg; first++ {
		for _, rest := range spread(kg-first, n-1) {
			all = append(all, append(choice{1000 * first}, rest...))
		}
	}
	return all
}

// truth is what enumeration finds.
type truth struct {
	found       bool
	left, moved int64
	touched     int64
	excess      int64 // least total, in millionths
	plans       int
}

type walk struct {
	q     *milli
	ways  [][]choice
	best  truth
	sum   []int64 // rows, millionths
	in    []int64 // places, grams
	score [3]int64
}

// enumerate tries every plan of q.
func enumerate(q *milli) truth {
	w := &walk{q: q, sum: make([]int64, len(q.limit)), in: make([]int64, len(q.Rooms)), best: truth{excess: math.MaxInt64}}
	for _, it := range q.Items {
		w.ways = append(w.ways, choices(it))
	}
	w.visit(0)
	return w.best
}

func (w *walk) visit(i int) {
	if i == len(w.ways) {
		w.judge()
		return
	}
	for _, way := range w.ways[i] {
		w.apply(i, way, 1)
		w.visit(i + 1)
		w.apply(i, way, -1)
	}
}

func (w *walk) apply(i int, way choice, sign int64) {
	it, touched := w.q.Items[i], int64(0)
	for o, grams := range way {
		if grams == 0 {
			continue
		}
		touched = 1
		for r, c := range w.q.coef[i][o] {
			w.sum[r] += sign * c * grams
		}
		if to := it.Options[o].Place; to != nowhere {
			w.in[to] += sign * grams
		}
		if it.From != nowhere {
			w.in[it.From] -= sign * grams
		}
		if it.Options[o].Left {
			w.score[0] += sign * grams
		} else {
			w.score[1] += sign * grams
		}
	}
	w.score[2] += sign * touched
}

func (w *walk) judge() {
	w.best.plans++
	for l, room := range w.q.Rooms {
		if w.in[l] > room {
			return
		}
	}
	excess := int64(0)
	for r, l := range w.q.limit {
		excess += max(0, w.sum[r]-1000*l)
	}
	w.best.excess = min(w.best.excess, excess)
	if excess > 0 {
		return
	}
	b := &w.best
	if now := [3]int64{b.left, b.moved, b.touched}; !b.found || slices.Compare(w.score[:], now[:]) < 0 {
		b.found, b.left, b.moved, b.touched = true, w.score[0], w.score[1], w.score[2]
	}
}

// plans counts the ways of all items together.
func (q *milli) plans() int {
	n := 1
	for _, it := range q.Items {
		n *= len(choices(it))
	}
	return n
}

// random makes a problem of up to eight items of the kind its seed asks for:
// every adversarial kind comes up many times in a thousand seeds.
func random(seed uint64) *milli {
	rng := rand.New(rand.NewPCG(seed, 7))
	most := 2 << rng.IntN(16)
	for {
		q := draw(rng, seed)
		if n := q.plans(); n > most/16 && n <= most {
			return q
		}
	}
}

func draw(rng *rand.Rand, seed uint64) *milli {
	q := &milli{}
	for range rng.IntN(4) {
		q.Rooms = append(q.Rooms, rng.Int64N(40_000))
	}
	rows := 1 + rng.IntN(14)
	q.Limits, q.limit = make([]float64, rows), make([]int64, rows)
	for range 1 + rng.IntN(8) {
		drawItem(rng, q, seed)
	}
	if seed%10 == 0 { // items alike in everything, and options alike
		q.Items = append(q.Items, q.Items[0])
		q.coef = append(q.coef, q.coef[0])
		last := len(q.Items) - 1
		q.Items[last].Options = append(slices.Clone(q.Items[0].Options), q.Items[0].Options...)
		q.coef[last] = append(slices.Clone(q.coef[0]), q.coef[0]...)
		q.Items, q.coef = q.Items[:min(last+1, 8)], q.coef[:min(last+1, 8)]
	}
	drawLimits(rng, q, seed)
	if seed%11 == 0 && rows > 1 { // a contradiction: row 1 is the opposite of row 0
		for i := range q.coef {
			for o := range q.coef[i] {
				q.coef[i][o][1] = -q.coef[i][o][0]
			}
		}
		q.limit[1] = -q.limit[0] - rng.Int64N(3)
	}
	return q
}

func drawItem(rng *rand.Rand, q *milli, seed uint64) {
	place := func() int { return rng.IntN(len(q.Rooms)+1) - 1 }
	it := Item{Name: "item", Mass: 500 * (1 + rng.Int64N(160)), From: place()}
	if seed%7 == 0 {
		it.Mass = 20_000 // equal masses
	}
	if rng.IntN(4) == 0 {
		it.Divisible, it.Mass = true, 500*(1+rng.Int64N(13))
	}
	var coef [][]int64
	for range rng.IntN(4) {
		o := Option{Left: rng.IntN(4) == 0, Place: place()}
		if o.Left {
			o.Place = nowhere
		}
		it.Options, coef = append(it.Options, o), append(coef, drawCoef(rng, len(q.limit), seed))
	}
	q.Items, q.coef = append(q.Items, it), append(q.coef, coef)
}

func drawCoef(rng *rand.Rand, rows int, seed uint64) []int64 {
	coef := make([]int64, rows)
	for r := range coef {
		switch {
		case seed%3 == 0: // one step only: many plans meet a limit exactly
			coef[r] = 1000 * (rng.Int64N(3) - 1)
		case rng.IntN(3) > 0:
			coef[r] = rng.Int64N(3001) - 1500
		}
	}
	return coef
}

// drawLimits takes limits that one random plan meets, often exactly; in every
// third problem each limit has a plan of its own, so that they may contradict
// one another.
func drawLimits(rng *rand.Rand, q *milli, seed uint64) {
	var plan []choice
	for r := range q.limit {
		if plan == nil || seed%3 == 1 {
			plan = drawPlan(rng, q)
		}
		sum := int64(0)
		for i, way := range plan {
			for o, grams := range way {
				sum += q.coef[i][o][r] * grams
			}
		}
		q.limit[r] = int64(math.Ceil(float64(sum)/1000)) + max(0, rng.Int64N(8001)-4000)
		if seed%3 == 1 {
			q.limit[r] += rng.Int64N(20_000)
		}
	}
}

func drawPlan(rng *rand.Rand, q *milli) []choice {
	var plan []choice
	for _, it := range q.Items {
		ways := choices(it)
		plan = append(plan, ways[rng.IntN(len(ways))])
	}
	return plan
}

func TestAgainstEnumeration(t *testing.T) {
	problems := uint64(study.Size(1500, 150, 150))
	var nodes []int
	count, items := map[string]int{}, map[int]int{}
	for seed := uint64(1); seed <= problems; seed++ {
		q := random(seed)
		p := q.problem()
		want := enumerate(q)
		got, err := Solve(p, defaultNodes, nil)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		nodes = append(nodes, got.Nodes)
		items[len(p.Items)]++
		if !got.Proved {
			t.Errorf("seed %d: not proved", seed)
		}
		if got.Found != want.found {
			t.Errorf("seed %d: found %v, enumeration of %d plans %v", seed, got.Found, want.plans, want.found)
			continue
		}
		switch {
		case !got.Found:
			count["impossible"]++
			checkConflict(t, seed, q, got, want)
			continue
		case len(got.Parts) == 0:
			count["nothing to do"]++
		case got.Left > 0:
			count["something left"]++
		default:
			count["moved only"]++
		}
		if got.Left != want.left || got.Moved != want.moved || int64(got.Touched) != want.touched {
			t.Errorf("seed %d: left %d moved %d touched %d, enumeration %d %d %d", seed, got.Left, got.Moved, got.Touched, want.left, want.moved, want.touched)
		}
		checkParts(t, seed, q, got.Parts, [3]int64{want.left, want.moved, want.touched}, 0)
		if got.Bound != (bound{got.Left, got.Moved, got.Touched}) {
			t.Errorf("seed %d: proved, but bound %+v", seed, got.Bound)
		}
	}
	for _, kind := range []string{"impossible", "nothing to do", "something left", "moved only"} {
		if uint64(count[kind]) < problems/20 {
			t.Errorf("%d problems of the kind %q (want at least %d)", count[kind], kind, problems/20)
		}
	}
	slices.Sort(nodes)
	median, most := nodes[len(nodes)/2], nodes[len(nodes)-1]
	t.Logf("%d problems %v, by number of items %v; nodes: median %d, most %d", problems, count, items, median, most)
	if most > 100*median {
		t.Errorf("most nodes %d (want at most 100 times the median %d)", most, median)
	}
}

// checkParts applies a plan in the oracle's arithmetic.
func checkParts(t *testing.T, seed uint64, q *milli, parts []part, score [3]int64, excess int64) {
	t.Helper()
	w := &walk{q: q, sum: make([]int64, len(q.limit)), in: make([]int64, len(q.Rooms)), best: truth{excess: math.MaxInt64}}
	ways := make([]choice, len(q.Items))
	for i, it := range q.Items {
		ways[i] = make(choice, len(it.Options))
	}
	for _, p := range parts {
		ways[p.Item][p.Option] += p.Grams
	}
	for i, way := range ways {
		if !slices.ContainsFunc(choices(q.Items[i]), func(c choice) bool { return slices.Equal(c, way) }) {
			t.Errorf("seed %d: item %d cannot go as %v", seed, i, way)
		}
		w.apply(i, way, 1)
	}
	w.judge()
	if excess == 0 && w.score != score {
		t.Errorf("seed %d: parts make %v, want %v", seed, w.score, score)
	}
	if d := w.best.excess - excess; d > 1000 || d < 0 { // thousandths of a kilogram are millions
		t.Errorf("seed %d: parts exceed by %d millionths, want %d", seed, w.best.excess, excess)
	}
}

func checkConflict(t *testing.T, seed uint64, q *milli, got Result, want truth) {
	t.Helper()
	c := got.Conflict
	if !c.Proved || !c.Irreducible {
		t.Errorf("seed %d: conflict %+v, want it proved and irreducible", seed, c)
		return
	}
	least := float64(want.excess) / 1e6
	if math.Abs(c.Total-least) > 0.00101 || c.AtLeast > least+1e-6 || c.AtLeast < c.Total-0.00101 {
		t.Errorf("seed %d: least excess %v, at least %v, enumeration %v", seed, c.Total, c.AtLeast, least)
	}
	checkParts(t, seed, q, c.Parts, [3]int64{}, want.excess)
	if seed%4 == 0 {
		checkIrreducible(t, seed, q, c)
	}
}

// checkIrreducible enumerates with only the rows and places of the set, then
// without each of them.
func checkIrreducible(t *testing.T, seed uint64, q *milli, c conflict) {
	t.Helper()
	free := int64(math.MaxInt64 / 4000)
	only := func(rows, places []int) bool {
		sub := &milli{Problem: q.Problem, coef: q.coef, limit: slices.Clone(q.limit)}
		sub.Rooms = slices.Clone(q.Rooms)
		for r := range sub.limit {
			if !slices.Contains(rows, r) {
				sub.limit[r] = free
			}
		}
		for l := range sub.Rooms {
			if !slices.Contains(places, l) {
				sub.Rooms[l] = free
			}
		}
		return enumerate(sub).found
	}
	if only(c.Rows, c.Places) {
		t.Errorf("seed %d: rows %v and places %v can be met together", seed, c.Rows, c.Places)
	}
	for k := range c.Rows {
		if !only(slices.Delete(slices.Clone(c.Rows), k, k+1), c.Places) {
			t.Errorf("seed %d: row %d is not needed in %v", seed, c.Rows[k], c.Rows)
		}
	}
	for k := range c.Places {
		if !only(c.Rows, slices.Delete(slices.Clone(c.Places), k, k+1)) {
			t.Errorf("seed %d: place %d is not needed in %v", seed, c.Places[k], c.Places)
		}
	}
}
