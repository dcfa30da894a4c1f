package search

import "testing"

// TestRay: where the simplex says that a program cannot be met, the rows
// themselves, added up with its multipliers, must say so too; from a variable
// below its lower bound and from one above its upper.
func TestRay(t *testing.T) {
	below, above := 0, 0
	for seed := range uint64(400) {
		m := newModel(random(seed).problem())
		p := m.build(task{aim: aimMoved, left: upTo(0)})
		tab := newTableau(p)
		r, done := tab.optimise()
		if !done {
			t.Errorf("seed %d: the simplex did not come to an end", seed)
		}
		if r < 0 {
			continue
		}
		if tab.miss(r) < 0 {
			below++
		} else {
			above++
		}
		if gap, _ := p.least(make([]float64, tab.n), tab.ray(r), tab.lo, tab.hi); gap <= 0 {
			t.Errorf("seed %d: not confirmed, gap %v", seed, gap)
		}
	}
	t.Logf("%d below, %d above", below, above)
	if below < 20 || above < 1 {
		t.Errorf("%d below, %d above, want 20 and 1", below, above)
	}
}

// TestFix: bound 4, at most 9 wanted (better than 10, whole numbers): at 2.4 a
// unit two units may go, 4 + 4.8 = 8.8, three may not, 4 + 7.2 = 11.2.
func TestFix(t *testing.T) {
	p := &program{cost: []float64{2.4, -2.4}, guide: []float64{2.4, 2.4}, lo: []float64{0, 0}, hi: []float64{10, 10}, whole: 2}
	s := &searcher{task: task{aim: aimMoved}, p: p, value: 10}
	tab := newTableau(p)
	s.fix(tab, 4, p.cost)
	if tab.lo[0] != 0 || tab.hi[0] != 2 || tab.lo[1] != 8 || tab.hi[1] != 10 {
		t.Errorf("%v to %v, want 0 to 2 and 8 to 10", tab.lo, tab.hi)
	}
}

// TestPropagate: 30x + 20y ≤ 50 with y ≥ 1 leaves x at most 1; with y ≥ 2,
// none; with y = 3 nothing is left.
func TestPropagate(t *testing.T) {
	for _, c := range []struct {
		y, x float64
		ok   bool
	}{{1, 1, true}, {2, 0, true}, {3, 0, false}} {
		p := &program{a: [][]float64{{30, 20}}, b: []float64{50}, cost: make([]float64, 2), guide: make([]float64, 2),
			lo: []float64{0, c.y}, hi: []float64{5, 3}, whole: 2}
		p.index()
		tab := newTableau(p)
		if ok := p.propagate(tab); ok != c.ok || ok && tab.hi[0] != c.x {
			t.Errorf("y at least %v: %v, x at most %v, want %v, %v", c.y, ok, tab.hi[0], c.ok, c.x)
		}
	}
}
