package adjust

import (
	"cmp"
	"math"

	"reconcile/internal/limits"
	"reconcile/internal/portable"
)

// merit is how much a trial does for the needs that nothing serves yet.
type merit struct {
	grave, other int     // needs solved: not weighed and unsettled; not cross-checked
	left         float64 // Σ of u then, as a share of the limits
}

// compare puts the better one first: more of the gravest needs, then more of
// the others, then less U left.
func (m merit) compare(o merit) int {
	return cmp.Or(cmp.Compare(o.grave, m.grave), cmp.Compare(o.other, m.other), cmp.Compare(m.left, o.left))
}

// add counts a need that is solved, and the u it is then left with.
func (m *merit) add(n *need, then float64) {
	if n.need == toCrossCheck {
		m.other++
	} else {
		m.grave++
	}
	m.left = portable.Ratio(m.left + then/math.Max(limitOf(n.check), 1))
}

// merit is what a trial was found to do once it was solved.
func (a *adviser) merit(t *trial) merit {
	var m merit
	for i := range t.serves {
		if v := &t.serves[i]; !a.needs[i].served && v.Solved {
			m.add(&a.needs[i], v.Then)
		}
	}
	return m
}

// promise is the most that a trial could do. Its merit once solved never
// comes before it: it solves no more needs than these, and where it solves as
// many they are the same ones, each with at least the u that is hoped for.
func (a *adviser) promise(t *trial) merit {
	var m merit
	for i := range t.hopes {
		if h := &t.hopes[i]; !a.needs[i].served && h.solved {
			m.add(&a.needs[i], h.least)
		}
	}
	return m
}

// hope is the best that a candidate could do for one need.
type hope struct {
	solved bool    // it may be
	least  float64 // u of the check then, at least
}

// anything is the hope where nothing can be said beforehand.
var anything = hope{solved: true}

// hopes bounds what a candidate does for every need, from the row of its check as the
// readings advised so far leave it.
func (a *adviser) hopes(of *candidate) []hope {
	p := a.s.Prospect(&of.Reading, &of.Scale)
	all := make([]hope, len(a.needs))
	for i := range a.needs {
		n := &a.needs[i]
		if n.now == nil || !a.bounded(n.now, p.Refines) {
			all[i] = anything
			continue
		}
		all[i] = n.hope(p.Of(n.now.Quantity, steady(n.now)))
	}
	return all
}

// hope is what a need may be served by, if its quantity comes to so much at best.
func (n *need) hope(least float64, possible, checked bool) hope {
	if !possible {
		return hope{}
	}
	h := hope{least: least}
	if n.now.LimitKN.Valid { // its u follows the masses too
		h.least = 0
	}
	switch n.need {
	case toSettle:
		h.solved = verdictAt(n.check.Found.Margin, gridOf(n.now, float64(coverage*h.least))) != limits.Unsettled
	case toCrossCheck:
		h.solved = checked
	default:
		h.solved = true
	}
	return h
}

// steady is the part to which the factors of a check's quantity do not fall by a further
// reading: those of a D-value go with the squares of two masses' parts of their sum.
func steady(c *limits.Check) float64 {
	const halved = 0.5
	if c.LimitKN.Valid {
		return halved
	}
	return 1
}

// bounded reports whether a check would be of the same quantity with a further
// reading, as far as its kind says. A force has other slopes, and is of no quantity until
// it is determined; a tyre's load is that of the worst of the supports solved, which
// may become another one where there are several, or where the reading refines them.
func (a *adviser) bounded(c *limits.Check, refines bool) bool {
	switch {
	case c.LimitKN.Valid:
		return c.Found != nil
	case c.Rating == "tyre", c.Rating == "wheel":
		return c.Found != nil && !refines && a.oneSupport(c)
	}
	return true
}

// oneSupport reports whether a tyre's load is that of a single support, which
// no finer one could replace.
func (a *adviser) oneSupport(c *limits.Check) bool {
	if c.Line == nil || len(c.Line.Terms) != 1 {
		return false
	}
	axles, sides := a.s.Split(c.Line.Terms[0].Group)
	return axles == 0 && !sides
}
