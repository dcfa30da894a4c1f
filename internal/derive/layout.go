package derive

import "reconcile/internal/tickets"

// splitOf says how far a group is solved separately: axles 0 is not by axle.
type splitOf struct {
	axles int
	sides bool
}

// layout gives every unknown its column.
type layout struct {
	split    map[tickets.Group]splitOf
	cells    map[State]map[tickets.Group][]cell
	mass     map[string]int  // load → its mass
	share    map[string]int  // load → what it puts on the rear axle, coupling or nose
	side     map[sideKey]int // load and group → what its left side carries beyond half
	gain     map[string]int  // scale → its relative error
	zero     map[string]int  // scale → what it shows with nothing on the deck
	columns  int
	supports int // the first columns are support loads, in kg
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

// newLayout splits each group as far as some used reading distinguishes it, in
// all states alike.
func newLayout(o *tickets.Outfit, readings []tickets.Reading) *layout {
	l := &layout{
		split: map[tickets.Group]splitOf{}, cells: map[State]map[tickets.Group][]cell{},
		mass: map[string]int{}, share: map[string]int{}, side: map[sideKey]int{}, gain: map[string]int{}, zero: map[string]int{},
	}
	for i := range readings {
		for _, t := range readings[i].Terms {
			s := l.split[t.Group]
			if t.Axle > 0 {
				s.axles = axlesOf(o, t.Group)
			}
			s.sides = s.sides || t.Side != tickets.Both
			l.split[t.Group] = s
		}
	}
	for _, state := range States {
		l.cells[state] = map[tickets.Group][]cell{}
		for _, g := range GroupsOf(o, state) {
			for _, t := range finest(g, l.split[g]) {
				l.cells[state][g] = append(l.cells[state][g], cell{t, l.columns})
				l.columns++
			}
		}
	}
	l.supports = l.columns
	return l
}

// finest lists the smallest supports of a group that is split so.
func finest(g tickets.Group, s splitOf) []tickets.Term {
	first, last := 0, 0
	if s.axles > 0 {
		first, last = 1, s.axles
	}
	var terms []tickets.Term
	for a := first; a <= last; a++ {
		if s.sides {
			terms = append(terms, tickets.Term{Group: g, Axle: a, Side: tickets.Left}, tickets.Term{Group: g, Axle: a, Side: tickets.Right})
		} else {
			terms = append(terms, tickets.Term{Group: g, Axle: a})
		}
	}
	return terms
}

// covers says whether a cell is part of a support. Axle 1 of a group with one
// axle is the group.
func covers(support, c tickets.Term, axles int) bool {
	if support.Group != c.Group {
		return false
	}
	axleIn := support.Axle == 0 || support.Axle == c.Axle || axles == 1 && c.Axle == 0
	return axleIn && (support.Side == tickets.Both || support.Side == c.Side)
}

// columnsOf lists the columns that make up a support in a state; nil where it
// is not solved separately or not loaded in that state.
func (l *layout) columnsOf(o *tickets.Outfit, s State, support tickets.Term) []int {
	var cols []int
	l.eachColumn(o, s, support, func(c int) { cols = append(cols, c) })
	return cols
}

// eachColumn hands over the columns that make up a support in a state.
func (l *layout) eachColumn(o *tickets.Outfit, s State, support tickets.Term, do func(int)) {
	split := l.split[support.Group]
	axles := axlesOf(o, support.Group)
	if support.Axle > 0 && split.axles == 0 && axles != 1 || support.Side != tickets.Both && !split.sides {
		return
	}
	for _, c := range l.cells[s][support.Group] {
		if covers(support, c.term, axles) {
			do(c.column)
		}
	}
}

// add makes room for one more unknown. The columns of supports come first, so that
// a load is known by its place; masses, shares, gains and zeros follow as the
// readings need them.
func (l *layout) add() int {
	l.columns++
	return l.columns - 1
}
