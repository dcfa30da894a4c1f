package limits

import (
	"fmt"
	"math"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// unequalShare is the standard uncertainty of a tyre's share of a load that
// several tyres carry, in parts of the share: ±10 %, rectangular.
//
// Source: common practice, no source.
const unequalShare = 0.06

// ends counts the ends of axles that supports stand on: two an axle, one a side of it.
func (h *holder) ends(terms ...tickets.Term) float64 {
	n := 0.0
	for _, t := range terms {
		n += 2 * float64(axlesOf(&h.job.Outfit, t.Group)) * fraction(h.job, t)
	}
	return n
}

// perEnd is the number of tyres on one end of an axle: 1 single, 2 dual. A
// line that does not say how many are fitted is held as single tyres.
func (h *holder) perEnd(r *tickets.Rating) float64 {
	if r.Fitted <= 0 {
		return 1
	}
	return float64(r.Fitted) / h.ends(r.Terms...)
}

// corner is the smallest solved support under a tyre and how many tyres share it.
type corner struct {
	summed
	parts  []derive.Part
	term   tickets.Term
	tyres  float64
	shared bool
}

// worstTyre is the load of one tyre or rim in a state. Where finer supports
// than `on` are solved it is the one that stands worst against its limit: one
// that is not determined, else by verdict, then by least margin, so that a vaguer
// support that is not settled is not hidden behind a sharper one that is.
func (h *holder) worstTyre(r *tickets.Rating, set string, state derive.State) measured {
	limit := h.limitOf(r)
	var worst *corner
	for _, t := range h.finest(r.Terms) {
		c := h.cornerOf(r, t, set, state)
		if worst == nil || h.worse(c, *worst, limit) {
			worst = &c
		}
	}
	m := measured{key: fmt.Sprintf("one of %d on %s %s", r.Fitted, r.On, state)}
	if worst == nil {
		m.words = "one " + h.tyreWord(r)
		return m
	}
	m.summed, m.parts = worst.summed, worst.parts
	m.shared = worst.shared
	m.words = h.inState(h.cornerWords(r, worst), state)
	m.assumed = h.assumedShare(r, worst)
	return m
}

// finest lists the smallest supports that are solved apart within supports.
func (h *holder) finest(terms []tickets.Term) []tickets.Term {
	var all []tickets.Term
	for _, t := range terms {
		axles, sides := h.s.Split(t.Group)
		first, last := t.Axle, t.Axle
		if t.Axle == 0 && axles > 0 {
			first, last = 1, axles
		}
		for a := first; a <= last; a++ {
			if sides && t.Side == tickets.Both {
				all = append(all, tickets.Term{Group: t.Group, Axle: a, Side: tickets.Left}, tickets.Term{Group: t.Group, Axle: a, Side: tickets.Right})
			} else {
				all = append(all, tickets.Term{Group: t.Group, Axle: a, Side: t.Side})
			}
		}
	}
	return all
}

// cornerOf finds the load of one tyre on a support: that of the support where
// it is determined, else an equal share of the smallest determined support
// around it. A share of more than one end of an axle carries
//
//	u² = (u/n)² + (0.06·share)²
//
// Dual tyres on one end halve its load and carry nothing more.
func (h *holder) cornerOf(r *tickets.Rating, t tickets.Term, set string, state derive.State) corner {
	var c corner
	for _, around := range h.around(t) {
		whole := []derive.Part{{Factor: 1, State: state, Support: around}}
		c = corner{summed: h.sum(set, whole), term: around, tyres: h.perEnd(r) * h.ends(around)}
		c.parts = scaled(whole, 1/c.tyres)
		if c.ok {
			break
		}
	}
	if !c.ok {
		return c
	}
	c.shared = h.ends(c.term) != 1
	share := h.sum(set, c.parts)
	if c.shared {
		share.u = math.Hypot(share.u, unequalShare*share.value)
	}
	c.summed = share
	return c
}

// around lists a support and those around it, smallest first.
func (h *holder) around(t tickets.Term) []tickets.Term {
	axle, side, group := t, t, tickets.Term{Group: t.Group}
	axle.Side, side.Axle = tickets.Both, 0
	all := []tickets.Term{t, axle, side, group}
	if h.ends(side) < h.ends(axle) {
		all[1], all[2] = side, axle
	}
	return all
}

// worse reports whether a tyre stands worse against the limit than another.
func (h *holder) worse(a, b corner, limit decimal.NullDecimal) bool {
	if a.ok != b.ok {
		return !a.ok
	}
	l := limit.Decimal.InexactFloat64()
	va, vb := h.judgeScaled(a.summed, l, false), h.judgeScaled(b.summed, l, false)
	if va != vb {
		return severity[va] > severity[vb]
	}
	if math.Abs(a.value-b.value) > sameLoad {
		return a.value > b.value
	}
	return a.u > b.u+sameLoad
}

// sameLoad is the difference, in kilograms, below which two tyres stand alike,
// so that rounding noise does not choose between them.
const sameLoad = 1e-6

// severity orders the verdicts of a check.
var severity = map[Verdict]int{Within: 0, NotWeighed: 1, Unsettled: 2, Over: 3}

func (h *holder) judgeScaled(m summed, limit float64, lower bool) Verdict {
	return judge(m.value, m.u*h.scaling, limit, lower, h.rule)
}

// tyreWord is what the region calls the thing held.
func (h *holder) tyreWord(r *tickets.Rating) string {
	return regions.Label(r.Word, h.job.Region)
}

// cornerWords says which tyre is held, and how its limit was found.
func (h *holder) cornerWords(r *tickets.Rating, c *corner) string {
	words := []string{fmt.Sprintf("one %s of %s: its load", h.tyreWord(r), derive.SupportName(c.term))}
	if !c.shared && c.tyres != 1 {
		words[0] = fmt.Sprintf("one of the %s %ss of %s: an equal part of its load", count(c.tyres), h.tyreWord(r), derive.SupportName(c.term))
	}
	if c.shared {
		words[0] = fmt.Sprintf("one %s of %s: one of %s equal shares", h.tyreWord(r), derive.SupportName(c.term), count(c.tyres))
	}
	if r.Index != nil {
		words = append(words, fmt.Sprintf("load index %d", indexFitted(r.Index, h.perEnd(r))))
	}
	if derated(h.job, r) {
		words = append(words, "a passenger "+h.tyreWord(r)+" on a trailer counts its rating ÷ 1.10")
	}
	return strings.Join(words, "; ")
}

// assumedShare says what a tyre's load rests on; blank where it was solved.
func (h *holder) assumedShare(r *tickets.Rating, c *corner) string {
	var words []string
	if c.shared && c.ok {
		words = append(words, fmt.Sprintf("equal share of %s by %s", derive.SupportName(c.term), count(c.tyres)))
	}
	if r.Fitted <= 0 {
		words = append(words, "fitted not stated: one "+h.tyreWord(r)+" an end of an axle")
	}
	if r.Index != nil && !r.Index.HasDual && h.perEnd(r) > 1 {
		words = append(words, "no load index for dual fitting given: the single one stands for it")
	}
	return strings.Join(words, "; ")
}

// count prints a number of tyres.
func count(n float64) string { return fmt.Sprintf("%.4g", n) }
