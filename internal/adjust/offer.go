package adjust

import (
	"math"

	"reconcile/internal/adjust/search"
	"reconcile/internal/tickets"
)

// notOffered is a load that may move by its form and is left where it is,
// because what it puts where is not known without Missing: place, or a
// length's column in outfit.csv. To is the place it cannot go to, "" where it
// cannot move at all.
type notOffered struct{ Load, To, Missing string }

// item is a load that may move, with its item in the search.
type item struct {
	load *tickets.Load
	to   []*tickets.Place // by option; nil is left behind
}

// offer lists what may move. A load of a set is part of that modification and
// stays where it is, and of one that weighs nothing as it travels there is
// nothing to move.
func (p *planner) offer(at map[string]int) {
	for i := range p.job.Loads {
		l := &p.job.Loads[i]
		if l.Set != "" || !l.Kg.IsPositive() || !p.travels(l) || !l.MayLeave && len(l.MayGo) == 0 {
			continue
		}
		from := p.job.Place(l.Place)
		if missing := p.missing(l.Place, from); missing != "" {
			p.plan.NotOffered = append(p.plan.NotOffered, notOffered{l.Name, "", missing})
			continue
		}
		p.addItem(l, from, at)
	}
	p.plan.Offered = len(p.items)
}

// missing names the number without which it is not known what a load in a
// place puts where; blank where all is known.
func (p *planner) missing(name string, pl *tickets.Place) string {
	if missing, ok := p.s.KnownAt(name); !ok {
		return missing
	}
	for _, b := range p.bounds {
		if _, missing, ok := b.effect(pl); !ok {
			return missing
		}
	}
	return ""
}

// addItem adds a load with every place it may go to.
func (p *planner) addItem(l *tickets.Load, from *tickets.Place, at map[string]int) {
	it := item{load: l}
	found := search.Item{Name: l.Name, Mass: grams(l), Divisible: l.Divisible && !varies(l), From: indexOf(at, l.Place)}
	for _, name := range l.MayGo {
		pl := p.job.Place(name)
		if name == l.Place || pl == nil {
			continue
		}
		if missing := p.missing(name, pl); missing != "" {
			p.plan.NotOffered = append(p.plan.NotOffered, notOffered{l.Name, name, missing})
			continue
		}
		it.to = append(it.to, pl)
		found.Options = append(found.Options, search.Option{Place: indexOf(at, name), Coef: p.coefficients(l, from, pl)})
	}
	if l.MayLeave {
		it.to = append(it.to, nil)
		found.Options = append(found.Options, search.Option{Left: true, Place: -1, Coef: p.coefficients(l, from, nil)})
	}
	if len(it.to) > 0 {
		p.items, p.problem.Items = append(p.items, it), append(p.problem.Items, found)
	}
}

// grams is a load's mass for the search, at least one.
// The search refuses a mass of 0.
func grams(l *tickets.Load) int64 { return max(l.Kg.Shift(3).Round(0).IntPart(), 1) }

// indexOf is the number of a place with a capacity; −1 of any other.
func indexOf(at map[string]int, place string) int {
	if i, ok := at[place]; ok {
		return i
	}
	return -1
}

// coefficients are what a kilogram of a load that goes from one place to
// another, or nowhere, adds to the left side of every bound, with its guard.
// With e the effect of a kilogram, k the guard's factor and u that of the stated
// mass:
//
//	e + k·|e|·u/kg
//
// A mass that moves brings its own doubt along wherever it goes.
func (p *planner) coefficients(l *tickets.Load, from, to *tickets.Place) []float64 {
	relative := l.UKg / l.Kg.InexactFloat64()
	coef := make([]float64, len(p.bounds))
	for i := range p.bounds {
		b := &p.bounds[i]
		e := b.change(from, to)
		coef[i] = e + float64(float64(b.k*math.Abs(e))*relative)
		if b.varies != nil {
			coef[i] += b.varies(l, from, to)
		}
	}
	return coef
}

// change is the effect of a kilogram that goes from one place to another, nil
// being nowhere. Both are known.
func (b *bound) change(from, to *tickets.Place) float64 {
	was, _, _ := b.effect(from)
	if to == nil {
		return -was
	}
	will, _, _ := b.effect(to)
	return will - was
}
