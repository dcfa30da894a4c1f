package derive

import (
	"slices"

	"reconcile/internal/tickets"
)

// splitOf says how far a group is solved separately: axles 0 is not by axle. A
// reading of a group says nothing of its axles, and unknowns that no reading
// distinguishes would only be reported as not determined.
type splitOf struct {
	axles int
	sides bool
}

// layout gives every unknown its column: first the loads on the supports, in kilograms,
// then masses and shares of loads (kg), gains (a ratio), zeros (kg), and last the masses
// and side shares of moved parts (kg).
type layout struct {
	split    [groupCount]splitOf // by groupIndex
	cells    [stateCount][groupCount][]cell
	allCells []cell          // all of these, as columns
	mass     columns         // load → its mass
	share    columns         // load → what it puts on the rear axle, coupling or nose
	side     map[sideKey]int // load and group → what its left side carries beyond half
	gain     columns         // scale → its relative error
	zero     columns         // scale → what it shows with nothing on the deck
	columns  int
	supports int // the first columns are support loads, in kg
}

// columns are those of named unknowns. A job has so few of each kind that going through
// them is quicker than a map is made.
type columns []namedColumn

// namedColumn is the column of an unknown by its name.
type namedColumn struct {
	name   string
	column int
}

// of is the column of a name; ok is false where it has none.
func (c columns) of(name string) (column int, ok bool) {
	for i := range c {
		if c[i].name == name {
			return c[i].column, true
		}
	}
	return 0, false
}

// cell is the smallest support solved separately, and its column.
type cell struct {
	term   tickets.Term
	column int
}

// sideKey names the unknown side share of a load in a group.
type sideKey struct {
	load  string
	group tickets.Group
}

// plan splits each group as far as some used reading distinguishes it, in
// all states alike: a load moved, or a state derived, has to reach the same supports.
// The supports come first, state by state and front to rear: all, or only some where
// nobody asks for others. Nothing is left of what
// the layout was before but its memory.
func (l *layout) plan(o *tickets.Outfit, readings []*tickets.Reading, only []groupsIn) {
	*l = layout{allCells: l.allCells[:0], mass: l.mass[:0], share: l.share[:0], gain: l.gain[:0], zero: l.zero[:0]}
	for _, r := range readings {
		for _, t := range r.Terms {
			s := &l.split[groupIndex(t.Group)]
			if t.Axle > 0 {
				s.axles = axlesOf(o, t.Group)
			}
			s.sides = s.sides || t.Side != ""
		}
	}
	n := 0
	for i, state := range states {
		for _, g := range groupsOf(o, state) {
			if wanted(only, i, g) {
				n += l.splitOf(g).cells()
			}
		}
	}
	all := slices.Grow(l.allCells, n)
	for i, state := range states {
		for _, g := range groupsOf(o, state) {
			if !wanted(only, i, g) {
				continue
			}
			first := len(all)
			eachFinest(g, l.splitOf(g), func(t tickets.Term) {
				all = append(all, cell{t, l.columns})
				l.columns++
			})
			l.cells[i][groupIndex(g)] = all[first:len(all):len(all)]
		}
	}
	l.supports, l.allCells = l.columns, all
}

// wanted says whether a group in a state, by its place, is among those that are asked for;
// none stand for all.
func wanted(only []groupsIn, state int, g tickets.Group) bool {
	for _, in := range only {
		if int(in.state) == state && in.groups>>groupIndex(g)&1 == 1 {
			return true
		}
	}
	return len(only) == 0
}

// cells is the number of the smallest supports of a group that is split so.
func (s splitOf) cells() int {
	n := max(s.axles, 1)
	if s.sides {
		n *= 2
	}
	return n
}

// splitOf is how far a group is solved separately.
func (l *layout) splitOf(g tickets.Group) splitOf { return l.split[groupIndex(g)] }

// cellsOf is the supports of a group that are solved separately in a state; none
// where it carries nothing then.
func (l *layout) cellsOf(s tickets.State, g tickets.Group) []cell {
	return l.cells[stateIndex(s)][groupIndex(g)]
}

// allOf is the columns of groups in a state, as a set.
func (l *layout) allOf(s tickets.State, groups []tickets.Group) (set columnSet) {
	for _, g := range groups {
		for _, c := range l.cellsOf(s, g) {
			set.add(c.column)
		}
	}
	return set
}

// eachFinest hands over the smallest supports of a group that is split so.
func eachFinest(g tickets.Group, s splitOf, do func(tickets.Term)) {
	for a := min(s.axles, 1); a <= s.axles; a++ {
		if s.sides {
			do(tickets.Term{Group: g, Axle: a, Side: tickets.Left})
			do(tickets.Term{Group: g, Axle: a, Side: tickets.Right})
		} else {
			do(tickets.Term{Group: g, Axle: a})
		}
	}
}

// covers says whether a cell is part of a support: rear covers rear.1.left, and
// rear.left covers the left side of every rear axle. Axle 1 of a group with one axle
// is the group.
func covers(support, c tickets.Term, axles int) bool {
	if support.Group != c.Group {
		return false
	}
	axleIn := support.Axle == 0 || support.Axle == c.Axle || axles == 1 && c.Axle == 0
	return axleIn && (support.Side == "" || support.Side == c.Side)
}

// solves says whether a support is solved separately, and loaded, in a state.
func (l *layout) solves(o *tickets.Outfit, s tickets.State, support tickets.Term) (some bool) {
	l.eachColumn(o, s, support, func(int) { some = true })
	return some
}

// eachColumn hands over the columns that make up a support in a state: none where it is
// not solved separately, as an axle of a group that was always read as one.
func (l *layout) eachColumn(o *tickets.Outfit, s tickets.State, support tickets.Term, do func(int)) {
	split := l.splitOf(support.Group)
	axles := axlesOf(o, support.Group)
	if support.Axle > 0 && split.axles == 0 && axles != 1 || support.Side != "" && !split.sides {
		return
	}
	for _, c := range l.cellsOf(s, support.Group) {
		if covers(support, c.term, axles) {
			do(c.column)
		}
	}
}

// add makes room for one more unknown. The columns of supports come first, so that
// a load is known by its place; masses, shares, gains and zeros follow as the
// readings need them. What no reading needs has no column, and is never reported as
// not determined.
func (l *layout) add() int {
	l.columns++
	return l.columns - 1
}

// give adds a column for a name.
func (l *layout) give(to *columns, name string) { *to = append(*to, namedColumn{name, l.add()}) }

// giveSide adds a column for what the left side of a group carries of a load.
func (l *layout) giveSide(k sideKey) {
	if l.side == nil {
		l.side = map[sideKey]int{}
	}
	l.side[k] = l.add()
}
