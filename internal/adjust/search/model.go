package search

import (
	"encoding/binary"
	"math"
)

// model is a problem in whole numbers: one column for each way a class of
// items can go, counted in units of mass.
type model struct {
	Problem
	classes []class
	cols    []column
	rows    []int // the rows that some plan could exceed
	places  []int // the places that some plan could overfill
	exact   []exactRow
	quantum int64 // greatest common divisor of the columns' units, grams
}

// class is a set of items alike in everything, or one divisible item.
type class struct {
	items       []int
	first, last int   // its columns are cols[first:last]
	supply      int64 // Σ weight·count over its columns is at most this
	parts       bool  // one divisible item
}

// column counts the units of a class that go to one option.
type column struct {
	class, option int
	unit          int64 // grams of one unit
	weight        int64 // of the class's supply that one unit uses up
	left          bool
}

// most returns how many units column j can take at most.
func (m *model) most(j int) int64 {
	return m.classes[m.cols[j].class].supply / m.cols[j].weight
}

// newModel puts items that differ in nothing but their name into one class: how
// many of them go is one number, where which of them go would be searched in
// every combination.
func newModel(p Problem) *model {
	m := &model{Problem: p}
	alike := map[string]int{}
	for i, it := range p.Items {
		// A kilogram or less is not divided: parts are whole kilograms.
		if it.Divisible && it.Mass > 1000 {
			m.addParts(i)
			continue
		}
		k := key(it)
		if c, seen := alike[k]; seen {
			m.classes[c].items = append(m.classes[c].items, i)
			m.classes[c].supply++
			continue
		}
		alike[k] = len(m.classes)
		m.addClass(class{items: []int{i}, supply: 1}, column{unit: it.Mass, weight: 1})
	}
	m.seal()
	return m
}

// addParts adds a divisible item: whole kilograms to each option or, where
// its mass is no whole number of them, all of it to one.
func (m *model) addParts(i int) {
	mass := m.Items[i].Mass
	kg := mass / 1000
	shapes := []column{{unit: 1000, weight: 1}}
	if mass%1000 != 0 {
		shapes = append(shapes, column{unit: mass, weight: kg})
	}
	m.addClass(class{items: []int{i}, supply: kg, parts: true}, shapes...)
}

// addClass adds a class with a column of each shape for each of its options.
func (m *model) addClass(c class, shapes ...column) {
	c.first = len(m.cols)
	options := m.Items[c.items[0]].Options
	for o, opt := range options {
		// Two options with one effect are one column: the search would try both.
		if repeated(options[:o], opt) {
			continue
		}
		for _, col := range shapes {
			col.class, col.option, col.left = len(m.classes), o, opt.Left
			m.cols = append(m.cols, col)
			m.quantum = gcd(m.quantum, col.unit)
		}
	}
	c.last = len(m.cols)
	m.classes = append(m.classes, c)
}

// seal works out which rows and places can bind at all, and the exact rows.
func (m *model) seal() {
	m.quantum = max(m.quantum, 1)
	m.exact = make([]exactRow, len(m.Limits))
	for r, limit := range m.Limits {
		// A row that the worst of everything cannot exceed needs no place in the
		// program.
		if m.largest(func(j int) float64 { return m.coef(r, j) }) <= limit {
			continue
		}
		coef := make([]float64, len(m.cols))
		for j := range m.cols {
			coef[j] = m.option(j).Coef[r]
		}
		m.rows, m.exact[r] = append(m.rows, r), newExactRow(coef, limit)
	}
	for l, room := range m.Rooms {
		// The same for a place that all of it together cannot fill.
		if m.largest(func(j int) float64 { return m.inflow(l, j) }) > float64(room)/1000 {
			m.places = append(m.places, l)
		}
	}
}

// largest bounds from above what effect, given per unit, can add up to.
func (m *model) largest(effect func(j int) float64) float64 {
	sum := 0.0
	for _, c := range m.classes {
		most := 0.0
		for j := c.first; j < c.last; j++ {
			most = math.Max(most, float64(effect(j)*float64(m.most(j))))
		}
		sum += most
	}
	return float64(sum * (1 + 1e-12)) // above any rounding of the sum
}

func (m *model) item(j int) Item     { return m.Items[m.classes[m.cols[j].class].items[0]] }
func (m *model) option(j int) Option { return m.item(j).Options[m.cols[j].option] }
func (m *model) kg(j int) float64    { return float64(m.cols[j].unit) / 1000 }

// coef is what one unit of column j adds to row r.
func (m *model) coef(r, j int) float64 { return float64(m.option(j).Coef[r] * m.kg(j)) }

// inflow is what one unit of column j adds to place l, in kilograms.
func (m *model) inflow(l, j int) float64 {
	kg := 0.0
	if m.option(j).Place == l {
		kg += m.kg(j)
	}
	if m.item(j).From == l {
		kg -= m.kg(j)
	}
	return kg
}

// holds reports whether x is a plan, leaving out the rows and places to skip
// (nil: none): all in integers.
func (m *model) holds(x []int64, skipRow, skipPlace []bool) bool {
	if !m.fits(x, skipPlace) {
		return false
	}
	grams := m.mass(x)
	for _, r := range m.rows {
		if !skips(skipRow, r) && !m.exact[r].holds(grams) {
			return false
		}
	}
	return true
}

// fits reports whether x uses no more of a class than there is and overfills
// no place.
func (m *model) fits(x []int64, skipPlace []bool) bool {
	for _, c := range m.classes {
		used := int64(0)
		for j := c.first; j < c.last; j++ {
			used += m.cols[j].weight * x[j]
		}
		// Items of a class cannot go twice, nor more kilograms than a divisible
		// item has.
		if used > c.supply {
			return false
		}
	}
	room := make([]int64, len(m.Rooms))
	for j, n := range x {
		if to := m.option(j).Place; to != nowhere {
			room[to] += n * m.cols[j].unit
		}
		if from := m.item(j).From; from != nowhere {
			room[from] -= n * m.cols[j].unit
		}
	}
	for l, in := range room {
		if in > m.Rooms[l] && !skips(skipPlace, l) {
			return false
		}
	}
	return true
}

// mass returns the grams of each column.
func (m *model) mass(x []int64) []int64 {
	grams := make([]int64, len(x))
	for j, n := range x {
		grams[j] = n * m.cols[j].unit
	}
	return grams
}

// excess returns by how much x exceeds each row of the problem.
// Below the allowance a row counts as met, as in the exact test.
func (m *model) excess(x []int64) []float64 {
	e := make([]float64, len(m.Limits))
	for _, r := range m.rows {
		sum := -m.Limits[r]
		for j, n := range x {
			if n != 0 {
				sum += float64(m.coef(r, j) * float64(n))
			}
		}
		if sum > allowance(m.Limits[r]) {
			e[r] = sum
		}
	}
	return e
}

// total is the sum of all excesses, which the elastic search minimises.
func (m *model) total(x []int64) float64 {
	sum := 0.0
	for _, e := range m.excess(x) {
		sum += e
	}
	return sum
}

// left and moved are the grams of x that stay behind, and that change place.
func (m *model) left(x []int64) int64  { return m.sum(x, true) }
func (m *model) moved(x []int64) int64 { return m.sum(x, false) }

func (m *model) sum(x []int64, left bool) int64 {
	var grams int64
	for j, n := range x {
		if m.cols[j].left == left {
			grams += n * m.cols[j].unit
		}
	}
	return grams
}

// touched counts the items that x moves; a divisible one counts once, in however
// many parts it goes.
func (m *model) touched(x []int64) int {
	count := 0
	for _, c := range m.classes {
		units := 0
		for j := c.first; j < c.last; j++ {
			units += int(x[j])
		}
		if c.parts {
			units = min(units, 1)
		}
		count += units
	}
	return count
}

// parts writes x out by item; of items alike the first ones go.
func (m *model) parts(x []int64) []part {
	byItem := make([][]part, len(m.Items))
	for _, c := range m.classes {
		next := 0
		for j := c.first; j < c.last; j++ {
			col := m.cols[j]
			if c.parts {
				byItem[c.items[0]] = merge(byItem[c.items[0]], part{c.items[0], col.option, x[j] * col.unit})
				continue
			}
			for range x[j] {
				i := c.items[next]
				byItem[i] = []part{{i, col.option, col.unit}}
				next++
			}
		}
	}
	var all []part
	for _, parts := range byItem {
		all = append(all, parts...)
	}
	return all
}

// merge appends a part unless it is empty.
func merge(parts []part, p part) []part {
	if p.Grams == 0 {
		return parts
	}
	return append(parts, p)
}

// repeated reports whether an option before has the same place and does the same
// to every row.
func repeated(before []Option, o Option) bool {
	for _, b := range before {
		if string(optionKey(nil, b)) == string(optionKey(nil, o)) {
			return true
		}
	}
	return false
}

// key is equal for items that differ in nothing but their name.
func key(it Item) string {
	b := binary.AppendVarint(nil, it.Mass)
	b = binary.AppendVarint(b, int64(it.From))
	for _, o := range it.Options {
		b = optionKey(b, o)
	}
	return string(b)
}

// optionKey appends what an option does. Coefficients count by their bits: items
// that differ by a rounding are not alike, and each is judged by its own.
func optionKey(b []byte, o Option) []byte {
	if o.Left {
		b = append(b, 'L')
	}
	b = binary.AppendVarint(b, int64(o.Place))
	for _, c := range o.Coef {
		b = binary.BigEndian.AppendUint64(b, math.Float64bits(c+0)) // +0: no −0
	}
	return b
}

// gcd is Euclid's greatest common divisor; of 0 and b it is b.
func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
