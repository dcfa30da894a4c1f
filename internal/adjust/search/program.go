package search

import "math"

// aim is the objective of one search.
type aim int

const (
	aimAny     aim = iota // any plan will do
	aimLeft               // least mass left behind
	aimMoved              // least mass moved
	aimTouched            // fewest items
	aimExcess             // least total excess over the rows
)

// ceiling keeps an earlier objective at what was reached. Where that was
// proved to be the least, it is a floor as well, which tightens the bounds.
type ceiling struct {
	set    bool
	grams  int64
	proved bool
}

func upTo(grams int64) ceiling { return ceiling{set: true, grams: grams} }

// task is one search: an objective and what must hold.
type task struct {
	aim         aim
	left, moved ceiling
	elastic     bool    // rows may be exceeded,
	excess      float64 // unless that is the aim by this much in total
	skipRow     []bool  // rows and places that do not count
	skipPlace   []bool
}

func skips(skip []bool, i int) bool { return skip != nil && skip[i] }

// build writes the linear program of a task: one variable for each column,
// then one for each divisible item touched, then one for each row's excess.
func (m *model) build(t task) *program {
	b := &builder{model: m, task: t, program: &program{}}
	b.addColumns()
	b.addSwitches()
	b.addExcess()
	b.addRows()
	b.addPlaces()
	b.addClasses()
	b.addCeiling(t.left, true)
	b.addCeiling(t.moved, false)
	b.addTotal()
	b.addSums()
	b.index()
	return b.program
}

type builder struct {
	*model
	task
	*program
	excessAt, switchAt map[int]int // row, class → variable
}

// variable adds a variable from 0 to hi and gives its number: cost is its part of
// the objective, guide what the simplex is given instead.
func (b *builder) variable(cost, guide, hi float64) int {
	b.cost, b.guide = append(b.cost, cost), append(b.guide, guide)
	b.lo, b.hi, b.quanta = append(b.lo, 0), append(b.hi, hi), append(b.quanta, 1)
	return len(b.cost) - 1
}

// addColumns adds the columns, counted in their units. Costs are masses in
// quanta, so that every objective is a whole number and the next better plan is
// better by 1.
func (b *builder) addColumns() {
	for j := range b.cols {
		// A ceiling below one unit is met by none of it: narrower bounds cost the
		// simplex nothing, a row would.
		hi := float64(b.most(j))
		if c := b.ceilingOf(j); c.set && c.grams < b.cols[j].unit {
			hi = 0
		}
		cost := b.costOf(j)
		b.variable(cost, cost+b.hint(j), hi)
		b.quanta[j] = float64(b.cols[j].unit / b.quantum)
	}
	b.whole = len(b.cols)
}

// ceilingOf is the ceiling that a column counts towards.
func (b *builder) ceilingOf(j int) ceiling {
	if b.cols[j].left {
		return b.task.left
	}
	return b.task.moved
}

// costOf is what one unit of column j adds to the objective.
func (b *builder) costOf(j int) float64 {
	col := b.cols[j]
	switch {
	case b.aim == aimLeft && col.left, b.aim == aimMoved && !col.left:
		return float64(col.unit / b.quantum)
	case b.aim == aimTouched && !b.model.classes[col.class].parts:
		return 1
	}
	return 0
}

// hint is a small cost for columns that the objective does not count, so that
// the simplex prefers plans with little in them.
func (b *builder) hint(j int) float64 {
	if b.aim != aimMoved && b.aim != aimTouched && b.costOf(j) == 0 {
		return float64(b.kg(j) * 1e-7)
	}
	return 0
}

// addSwitches adds, where items are counted, a variable from 0 to 1 for each
// divisible item: 1 once any of its parts goes (see addClasses).
func (b *builder) addSwitches() {
	b.switchAt = map[int]int{}
	if b.aim != aimTouched {
		return
	}
	for c, class := range b.model.classes {
		if class.parts {
			b.switchAt[c] = b.variable(1, 1, 1)
		}
	}
	b.whole = len(b.cost)
}

// addExcess adds, to an elastic program, what each row may be exceeded by,
// bounded by more than can be reached: least needs finite bounds.
func (b *builder) addExcess() {
	b.excessAt = map[int]int{}
	if !b.elastic {
		return
	}
	price := 0.0
	if b.aim == aimExcess {
		price = 1
	}
	for _, r := range b.model.rows {
		most := b.largest(func(j int) float64 { return b.coef(r, j) }) - b.Limits[r]
		b.excessAt[r] = b.variable(price, price, math.Max(0, most)+1)
	}
}

// addRow adds Σ entry(j)·x(j) ≤ limit, scaled to a largest entry of 1, and
// returns the row for further entries of variables beyond the columns.
func (b *builder) addRow(entry func(j int) float64, limit float64) (row []float64, scale float64) {
	row = make([]float64, len(b.cost))
	largest := 0.0
	for j := range b.cols {
		row[j] = entry(j)
		largest = math.Max(largest, math.Abs(row[j]))
	}
	scale = 1.0
	if largest > 0 {
		scale = 1 / largest
	}
	for j := range row {
		row[j] = float64(row[j] * scale)
	}
	b.a, b.b = append(b.a, row), append(b.b, float64(limit*scale))
	return row, scale
}

// addRows adds
//
//	Σ coef·x − excess ≤ limit + allowance
func (b *builder) addRows() {
	for _, r := range b.model.rows {
		if skips(b.skipRow, r) {
			continue
		}
		limit := b.Limits[r]
		row, scale := b.addRow(func(j int) float64 { return b.coef(r, j) }, limit+allowance(limit))
		if e, ok := b.excessAt[r]; ok {
			row[e] = -scale
		}
	}
}

// addPlaces adds Σ inflow·x ≤ room in kilograms; what leaves a place makes room
// for what comes.
func (b *builder) addPlaces() {
	for _, l := range b.places {
		if !skips(b.skipPlace, l) {
			b.addRow(func(j int) float64 { return b.inflow(l, j) }, float64(b.Rooms[l])/1000)
		}
	}
}

// addClasses adds
//
//	Σ weight·x ≤ supply,  with a switch  Σ weight·x − supply·switch ≤ 0
func (b *builder) addClasses() {
	for c, class := range b.model.classes {
		s, switched := b.switchAt[c]
		if !switched && class.last-class.first < 2 {
			continue // its bounds say the same
		}
		supply := float64(class.supply)
		limit := supply
		if switched {
			limit = 0
		}
		row, scale := b.addRow(func(j int) float64 {
			if b.cols[j].class != c {
				return 0
			}
			return float64(b.cols[j].weight)
		}, limit)
		if switched {
			row[s] = float64(-supply * scale)
		}
	}
}

// addCeiling adds, in quanta, Σ mass·x ≤ what was reached, and where less was
// proved impossible the same from below.
func (b *builder) addCeiling(c ceiling, left bool) {
	if !c.set || c.grams == 0 {
		return // nothing, or already in the bounds
	}
	units := float64(c.grams / b.quantum)
	mass := func(sign float64) func(j int) float64 {
		return func(j int) float64 {
			if b.cols[j].left != left {
				return 0
			}
			return float64(sign * float64(b.cols[j].unit/b.quantum))
		}
	}
	b.addRow(mass(1), units)
	if c.proved {
		b.addRow(mass(-1), -units)
	}
}

// addSums adds, for all that goes from one place to another, a row that any
// plan satisfies and whose slack counts whole quanta of mass. Items that can
// take each other's part make their own columns poor to branch on and to
// round by; these sums are good.
func (b *builder) addSums() {
	type route struct {
		from, to int
		left     bool
	}
	var routes []route
	members := map[route][]int{}
	for j := range b.cols {
		r := route{b.item(j).From, b.option(j).Place, b.cols[j].left}
		if members[r] == nil {
			routes = append(routes, r)
		}
		members[r] = append(members[r], j)
	}
	for _, r := range routes {
		if len(members[r]) < 2 {
			continue
		}
		row, most := make([]float64, len(b.cost)), 0.0
		for _, j := range members[r] {
			row[j] = b.quanta[j]
			most += float64(row[j] * b.program.hi[j])
		}
		b.a, b.b, b.sums = append(b.a, row), append(b.b, most), append(b.sums, len(b.b))
	}
}

// addTotal adds Σ excess ≤ the least total found, once that is no more the aim.
func (b *builder) addTotal() {
	if !b.elastic || b.aim == aimExcess {
		return
	}
	row, _ := b.addRow(func(int) float64 { return 0 }, b.task.excess+excessSlack)
	for _, r := range b.model.rows {
		row[b.excessAt[r]] = 1
	}
}

// least bounds cost·x from below over all x that satisfy the program, for
// any multipliers y of its rows a·x + slack = b:
//
//	cost·x = cost·x + y·(a·x + slack − b) ≥ −y·b + min (cost + y·a)·x + min y·slack
//
// each minimum over lo..hi, computed from the program itself, not from the
// tableau, and lowered by more than its own rounding. A multiplier below 0 of
// a slack without upper bound counts as 0. It returns the factors cost + y·a
// as well.
func (p *program) least(cost, y, lo, hi []float64) (bound float64, factor []float64) {
	n := len(cost)
	factor = append([]float64(nil), cost...)
	size := 0.0
	add := func(term float64) {
		bound += term
		size += math.Abs(term)
	}
	for i, yi := range y {
		if yi == 0 || yi < 0 && math.IsInf(hi[n+i], 1) {
			continue
		}
		add(-float64(yi * p.b[i]))
		add(leastOf(yi, lo[n+i], hi[n+i]))
		for j, a := range p.a[i] {
			factor[j] += float64(yi * a)
		}
	}
	for j, f := range factor {
		add(leastOf(f, lo[j], hi[j]))
	}
	return bound - float64(1e-12*size), factor
}

// leastOf is the least value of f·x for x from lo to hi.
func leastOf(f, lo, hi float64) float64 {
	if f < 0 {
		return float64(f * hi)
	}
	return float64(f * lo)
}
