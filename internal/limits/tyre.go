package limits

import (
	"math/bits"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// The standard uncertainty of a tyre's share of a load that several tyres
// carry, in parts of the share: ±10 %, rectangular. The axles of a group on
// springs share less evenly.
//
// Source: common practice, no source.
//
// A tyre on one end of an axle carries what that end carries, which is weighed only with
// a pad under it. Everything coarser is shared out in equal parts, and how far from
// equal is the larger part of its uncertainty.
const (
	unequalShare = 0.06
	unequalAxles = 0.12
	rockerBeam   = "rocker"
	groupOfAxles = 2
	singleTyres  = 1
	endsOfAnAxle = 2
	oneEndOfAxle = 1
)

// ends counts the ends of axles that supports have: two per axle, one per side of it.
func (h *checker) ends(terms ...tickets.Term) float64 {
	n := 0.0
	for _, t := range terms {
		axles := float64(max(h.job.Outfit.Axles(t.Group), 1))
		n += float64(float64(endsOfAnAxle*axles) * derive.Fraction(&h.job.Outfit, t))
	}
	return n
}

// perEnd is the number of tyres on one end of an axle: 1 single, 2 dual. A
// line that does not say how many are fitted is read as single tyres.
//
// Single is the safer reading of a blank cell: each of two tyres on an end would carry
// half.
func (h *checker) perEnd(r *tickets.Rating) float64 {
	if r.Fitted <= 0 {
		return singleTyres
	}
	return float64(r.Fitted) / h.ends(r.Terms...)
}

// corner is the smallest solved supports under a tyre and how many tyres share them.
type corner struct {
	summed
	parts   []derive.Part
	on      []tickets.Term
	tyres   float64
	unequal float64 // 0: the load of one end of an axle, solved
	verdict Verdict
}

// worstTyre is the load of one tyre or rim in a state. Where finer supports
// than `on` are solved it is the one with the gravest verdict, of those the one
// with the least margin; one that is not determined, not even with those around
// it, comes before all.
func (h *checker) worstTyre(r *tickets.Rating, set string, state tickets.State) measured {
	// A line limits each of its tyres, so the row is that of the worst one. Where one was
	// not weighed it may be the worst, and the row is not_weighed.
	var worst *corner
	limit := h.tyreLimit(r)
	for _, t := range h.finest(r.Terms) {
		c := h.cornerOf(r, t, set, state)
		// A wheel read by itself is known to some kilograms, an equal share only to a fifth
		// or a quarter: the share may be unsettled with more margin than a wheel that is
		// within, and then the line is not kept.
		if limit.Valid {
			c.verdict = judge(c.value, portable.Kg(float64(h.stretch*c.u)), portable.Kg(limit.Decimal.InexactFloat64()), false, h.rule, false)
		}
		if worst == nil || c.worse(worst) {
			worst = &c
		}
	}
	m := measured{heldOn: []string{}}
	if worst == nil {
		return m
	}
	m.summed, m.parts, m.unequal = worst.summed, worst.parts, worst.unequal
	for _, t := range worst.on {
		m.heldOn = append(m.heldOn, tickets.Spell(h.plain(t)))
	}
	m.assumed = h.assumedOfTyre(r, worst)
	return m
}

// eachTyre adds a check to a list; of a check of tyres, one of which is the worst as
// weighed, a check for each: with more on board another may be the worst.
func (h *checker) eachTyre(all []*Check, c *Check) []*Check {
	if c.Found == nil || c.Rating != "tyre" && c.Rating != "wheel" {
		return append(all, c)
	}
	for _, t := range h.finest(c.Line.Terms) {
		tyre, one := h.cornerOf(c.Line, t, c.Set, c.State), *c
		m := &measured{summed: tyre.summed, parts: tyre.parts, unequal: tyre.unequal, looked: true}
		one.of(m)
		h.find(&one, m)
		all = append(all, &one)
	}
	return all
}

// finest lists the smallest supports that are solved separately within supports.
func (h *checker) finest(terms []tickets.Term) []tickets.Term {
	var all []tickets.Term
	for _, t := range terms {
		axles, sides := h.s.Split(t.Group)
		first, last := t.Axle, t.Axle
		if t.Axle == 0 && axles > 0 {
			first, last = 1, axles
		}
		for a := first; a <= last; a++ {
			if sides && t.Side == "" {
				all = append(all, tickets.Term{Group: t.Group, Axle: a, Side: tickets.Left}, tickets.Term{Group: t.Group, Axle: a, Side: tickets.Right})
			} else {
				all = append(all, tickets.Term{Group: t.Group, Axle: a, Side: t.Side})
			}
		}
	}
	return all
}

// cornerOf finds the load of one tyre on a support: that of the support where
// it is determined, else an equal share of the smallest determined supports
// around it. A share of more than one end of an axle carries
//
//	u² = (u/n)² + (0.06·share)²
//
// with 0.12 for 0.06 among the axles of a group on springs. Dual tyres on one
// end halve its load and carry nothing more.
func (h *checker) cornerOf(r *tickets.Rating, t tickets.Term, set string, state tickets.State) corner {
	var c corner
	// From the smallest support outwards: the closer the weighed support is to the tyre,
	// the less is shared by assumption.
	for _, around := range h.around(t) {
		c = corner{summed: h.sum(set, on(state, around)), on: []tickets.Term{around}}
		if c.ok {
			break
		}
	}
	if c.ok && c.on[0].Axle == 0 {
		c.on = h.narrowed(c.on, t, set, state)
	}
	c.tyres = float64(h.perEnd(r) * h.ends(c.on...))
	c.parts = scaled(on(state, c.on...), 1/c.tyres)
	if !c.ok {
		return c
	}
	c.summed = h.sum(set, c.parts)
	// Two tyres on one end stand next to each other on one hub and share by
	// construction; the contract adds nothing for them.
	if h.ends(c.on...) != oneEndOfAxle {
		c.unequal = h.unequalOn(c.on)
		c.u = portable.Kg(portable.Hypot(c.u, float64(c.unequal*c.value)))
	}
	return c
}

// on is the load on supports together in a state, as a sum.
func on(state tickets.State, terms ...tickets.Term) []derive.Part {
	parts := make([]derive.Part, 0, len(terms))
	for _, t := range terms {
		parts = append(parts, derive.Part{Factor: 1, State: state, Support: t})
	}
	return parts
}

// mostNarrowed bounds what is tried: every combination of so many supports. Of more,
// only those that are determined by themselves are taken off.
const mostNarrowed = 8

// narrowed finds the fewest supports within a determined one that are determined
// together and have among them the one that a tyre is on.
//
// Of three axles of which the first was read by itself, the others share what is left.
// That may be more than the mean of the three, which would hide a tyre that is over.
func (h *checker) narrowed(within []tickets.Term, t tickets.Term, set string, state tickets.State) []tickets.Term {
	cells := h.finest(within)
	// A line on one side limits tyres on axles of which no side was read by itself.
	own := slices.IndexFunc(cells, func(c tickets.Term) bool {
		return (c.Axle == 0 || c.Axle == t.Axle) && (c.Side == "" || c.Side == t.Side)
	})
	if own < 0 {
		return within
	}
	best := 1<<len(cells) - 1
	for _, some := range h.knownTogether(within[0], cells, set, state) {
		if some>>own&1 == 1 && bits.OnesCount(uint(some)) < bits.OnesCount(uint(best)) {
			best = some
		}
	}
	if best == 1<<len(cells)-1 {
		return within
	}
	return among(cells, best)
}

// together is which supports within one are determined together in a state, as bits
// by their place in finest. It is the same for all tyres on it, and for rims.
type together struct {
	within tickets.Term
	set    string
	state  tickets.State
	known  []int
}

// knownTogether finds combinations of supports within one that are determined together,
// once.
func (h *checker) knownTogether(within tickets.Term, cells []tickets.Term, set string, state tickets.State) []int {
	for i := range h.together {
		if t := &h.together[i]; t.within == within && t.set == set && t.state == state {
			return t.known
		}
	}
	t := together{within: within, set: set, state: state}
	if len(cells) > mostNarrowed {
		t.known = []int{h.unknownAlone(cells, set, state)}
	} else {
		for some := 1; some < 1<<len(cells)-1; some++ {
			if h.sum(set, on(state, among(cells, some)...)).ok {
				t.known = append(t.known, some)
			}
		}
	}
	h.together = append(h.together, t)
	return t.known
}

// unknownAlone is which supports of a determined one are not determined by themselves, as
// bits: together they are what is left of it.
func (h *checker) unknownAlone(cells []tickets.Term, set string, state tickets.State) (left int) {
	for i, cell := range cells {
		if !h.sum(set, on(state, cell)).ok {
			left |= 1 << i
		}
	}
	return left
}

// among is the supports at the places that are given as bits.
func among(cells []tickets.Term, places int) []tickets.Term {
	some := make([]tickets.Term, 0, len(cells))
	for i, cell := range cells {
		if places>>i&1 == 1 {
			some = append(some, cell)
		}
	}
	return some
}

// unequalOn is how unevenly the tyres of supports share their load.
func (h *checker) unequalOn(terms []tickets.Term) float64 {
	// `suspension` is stated of the trailer's group alone (contract, section 1); a
	// vehicle's rear bogie counts as on springs.
	springs := terms[0].Group != tickets.Trailer || h.job.Outfit.Suspension != rockerBeam
	axles := 0
	for i, t := range terms {
		switch readApart, _ := h.s.Split(t.Group); {
		case t.Axle == 0 && readApart == 0: // in no state
			axles += h.job.Outfit.Axles(t.Group)
		case t.Axle == 0:
		case i == 0 || t.Axle != terms[i-1].Axle:
			axles++
		}
	}
	if axles >= groupOfAxles && springs {
		return unequalAxles
	}
	return unequalShare
}

// around lists a support and those around it, smallest first.
func (h *checker) around(t tickets.Term) []tickets.Term {
	axle, side, group := t, t, tickets.Term{Group: t.Group}
	axle.Side, side.Axle = "", 0
	all := []tickets.Term{t, axle, side, group}
	if h.ends(side) < h.ends(axle) {
		all[1], all[2] = side, axle
	}
	return all
}

// worse reports whether a tyre has a graver verdict than another, of equal ones
// less margin: the limit is one, so the larger load, of equal loads the vaguer.
func (c *corner) worse(than *corner) bool {
	switch {
	case c.ok != than.ok:
		return !c.ok
	case c.verdict != than.verdict:
		return c.verdict == Over || c.verdict == Unsettled && than.verdict == Within
	case c.value != than.value:
		return c.value > than.value
	}
	return c.u > than.u
}

// assumedOfTyre lists what a tyre's load rests on; nothing where it was solved.
func (h *checker) assumedOfTyre(r *tickets.Rating, c *corner) []string {
	var codes []string
	if c.unequal > 0 && c.ok {
		codes = append(codes, equalShare)
	}
	if r.Fitted <= 0 {
		codes = append(codes, fittedAssumed)
	}
	return codes
}

// singleForDual reports whether the load index for single tyres is used for
// dual ones because no other is given.
func (h *checker) singleForDual(r *tickets.Rating) bool {
	return len(r.Index) == 1 && h.perEnd(r) > singleTyres
}

// tyreLimit is the limit of one tyre or rim, in kilograms, as it is fitted;
// invalid where the index is outside the table.
func (h *checker) tyreLimit(r *tickets.Rating) decimal.NullDecimal {
	limit := r.LimitKg
	if r.Index != nil {
		kg, ok := kgOfIndex(indexFitted(r.Index, h.perEnd(r)))
		limit = decimal.NullDecimal{Decimal: kg, Valid: ok}
	}
	if divisor, derated := h.derated(r); derated && limit.Valid {
		limit.Decimal, _ = limit.Decimal.QuoRem(divisor, limitDigits)
	}
	return limit
}

// derated reports whether a tyre line counts less than its figure: in region
// us a passenger tyre on the trailer.
func (h *checker) derated(r *tickets.Rating) (divisor decimal.Decimal, ok bool) {
	divisor = decimal.RequireFromString(h.region.PassengerTyreDivisor)
	return divisor, r.Word == "tyre" && r.Kind == "passenger" && onTrailer(r.Terms) && !divisor.Equal(decimal.NewFromInt(1))
}
