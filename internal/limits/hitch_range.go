package limits

import (
	"math"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/portable"
	"reconcile/internal/regions"
	"reconcile/internal/tickets"
)

// The names of the ends of a hitch range that no limit sets.
const (
	endSlack     = "slack"
	endFrontLift = "front_lift"
)

// hitchRange is how tight the bars of a load-distribution hitch may be, as the
// load that they restore to the front axle. LowKg and HighKg are nil where no
// tension keeps every limit; LowBy and HighBy are then those that exclude each
// other.
type hitchRange struct {
	LowKg, HighKg *float64
	LowBy, HighBy regions.On
	Table         []hitchRow
}

// hitchRow is the outfit at one tension, Restored of the front lift. The u are
// those of the loads; the verdict is that of the lines, stretched where strained.
type hitchRow struct {
	Restored                      float64
	FrontKg, RearKg, TrailerKg    float64
	UFrontKg, URearKg, UTrailerKg float64
	Verdict                       Verdict
}

// quarters are the parts of the lift that a table has, for reading between them: the
// loads are straight lines of what is restored, their U nearly so.
var quarters = [...]float64{0, 0.25, 0.5, 0.75, 1}

// perStep is the steps of a kilogram to which the ends are found.
//
// The contract (section 3, how tight the bars may be) wants the ends to 0.01 kg, low
// rounded up and high rounded down: in whole steps of that size both come out so by
// counting, and no rounding of a number that was found has to go the right way.
const perStep = 100

// bars are the lengths of a tension, by what a kilogram restored to the front
// axle does elsewhere:
//
//	front +1, rear −(1 + r), trailer +r, r = w/(L + a)
//
// The bars hang a moment M between vehicle and trailer. Moments about the rear axle give
// the front M/w and the trailer's axle M/(L + a); a kilogram restored to the front
// means M = w, the trailer gains w/(L + a), and what both gain the rear loses. The
// length of the bars themselves never enters.
type bars struct{ r, uR float64 }

// on is what a kilogram restored does to a group, and its part of u(r).
func (b bars) on(g tickets.Group) (perKg, perR float64) {
	switch g {
	case tickets.Front:
		return 1, 0
	case tickets.Rear:
		return -(1 + b.r), -1
	case tickets.Trailer:
		return b.r, 1
	}
	return 0, 0
}

// tensionLine is a rating line on a load that tension moves.
type tensionLine struct {
	key      regions.On
	limit    float64
	value, u float64 // hitch slack
	perKg    float64
	perKgU   float64 // standard uncertainty of perKg
	unequal  float64
}

// at is the load and its u with x restored.
//
// x is taken as known: it is what the owner sets by the chains and reads on the scale
// under the front axle. Its effect elsewhere is not, as the lengths are measured, so
// that the uncertainty grows with x. A tyre's share is unequal in proportion to what it
// is a share of, which x changes too.
func (l *tensionLine) at(x, stretch float64) (value, u float64) {
	value = portable.Kg(l.value + float64(l.perKg*x))
	u = portable.Hypot(portable.Hypot(l.u, float64(l.perKgU*x)), float64(l.unequal*value))
	return value, portable.Kg(float64(stretch * u))
}

// hitchRange finds the range; nil where a length is missing, a load is not
// known, nothing was lifted, or the outfit has no such hitch.
func (h *checker) hitchRange(f *Findings) *hitchRange {
	b, ok := h.bars()
	// Where nothing surely was lifted there is nothing to restore, and the percentages
	// of the lift that the pages print would be noise.
	lift, uLift, okLift := h.s.Figures().FrontLift.Number()
	if !ok || !okLift || lift <= portable.Kg(float64(coverage*uLift)) {
		return nil
	}
	lines, ok := h.tensionLines(b, f.Checks)
	if !ok {
		return nil
	}
	r := h.between(lines, int(math.Floor(portable.Kg(float64(lift*perStep)))))
	r.Table = h.memory.hitchRows.List(len(quarters))
	for i, part := range quarters {
		r.Table[i] = h.hitchRow(b, lines, part, float64(part*lift))
	}
	return r
}

// bars gives the lengths of a tension where the outfit can have one.
func (h *checker) bars() (b bars, ok bool) {
	o := &h.job.Outfit
	w, a, l := o.Wheelbase, o.RearAxleToCoupling, o.CouplingToTrailerAxle
	// Whoever states that the outfit travels plain has no bars to tighten. Where nothing
	// is stated the range may still answer the question whether bars would help.
	plain := o.TravelsStated && o.TravelsPlain
	if !w.Known || !a.Known || !l.Known || plain || !h.centreAxle() {
		return bars{}, false
	}
	arm := l.Mm + a.Mm
	b.r = w.Mm / arm
	// First order: ∂r/∂w = 1/(L + a), and ∂r/∂L = ∂r/∂a = −w/(L + a)², the three lengths
	// measured independently, each with the uncertainty that the form states.
	perW, perArm := 1/arm, b.r/arm
	b.uR = float64(o.LengthUncertaintyMm * math.Sqrt(portable.Square(perW)+float64(2*portable.Square(perArm))))
	for _, g := range []tickets.Group{tickets.Front, tickets.Rear, tickets.Trailer} {
		if !h.load(tickets.CoupledSlack, g).Determined {
			return bars{}, false
		}
	}
	return b, true
}

// tensionLines lists the lines that would decide with the bars tight, on loads
// that the tension moves. ok is false where one of those is not known.
func (h *checker) tensionLines(b bars, rows []Check) (lines []tensionLine, ok bool) {
	lines = h.memory.lines.List(len(h.job.Ratings))[:0]
	for i := range rows {
		c := &rows[i]
		switch {
		// As if the hitch were tensioned, also where the outfit was never weighed so: the
		// limits are taken from these rows, the loads from the slack ones. The lines of
		// `when` slack or alone are not among them, and gcm, atm and the downloads are
		// left out: the bars move load between supports on the ground and take none of
		// the outfit's mass away.
		case c.Set != "" || c.State != tickets.CoupledTensioned || !governs(rows, i):
			continue
		case c.Limit == nil:
			return nil, false
		}
		// Every corner of a tyre line becomes a line of its own here: which tyre is the
		// worst may change on the way from slack to tight.
		for _, p := range h.tensionParts(c) {
			l := tensionLine{key: regions.On{Rating: c.Rating, On: c.On}, limit: *c.Limit, unequal: p.unequal}
			sum := h.sum("", p.parts)
			if !sum.ok {
				return nil, false
			}
			l.value, l.u = sum.value, sum.u
			perR := 0.0
			for _, part := range p.parts {
				// A sum such as the gvm takes front and rear alike: +1 and −(1 + r)
				// leave −r, the part that the bars move on to the trailer.
				perKg, r := b.on(part.Support.Group)
				f := float64(part.Factor * derive.Fraction(&h.job.Outfit, part.Support))
				l.perKg += float64(f * perKg)
				perR += float64(f * r)
			}
			l.perKgU = math.Abs(float64(perR * b.uR))
			lines = append(lines, l)
		}
	}
	return lines, true
}

// tensionPart is a load of a line, hitch slack: one of several for tyres.
type tensionPart struct {
	parts   []derive.Part
	unequal float64
}

// tensionParts gives a row's load as it is with the hitch slack: of tyres each
// corner's, for the tension may move the worst one.
func (h *checker) tensionParts(c *Check) []tensionPart {
	if c.Rating != "tyre" && c.Rating != "wheel" {
		parts := slices.Clone(c.Parts)
		for i := range parts {
			parts[i].State = tickets.CoupledSlack
		}
		return []tensionPart{{parts: parts}}
	}
	var all []tensionPart
	for _, t := range h.finest(c.Line.Terms) {
		corner := h.cornerOf(c.Line, t, "", tickets.CoupledSlack)
		all = append(all, tensionPart{corner.parts, corner.unequal})
	}
	return all
}

// between finds the steps between which every line is kept. The load with its
// guard is convex in the tension, so that each line allows one run of steps.
func (h *checker) between(lines []tensionLine, last int) *hitchRange {
	r := &hitchRange{LowBy: regions.On{Rating: endSlack}, HighBy: regions.On{Rating: endFrontLift}}
	// Whole steps, so that the ends of two lines compare exactly and of equal ones the
	// first in the form is named, on every machine.
	low, high := 0, last
	for i := range lines {
		l := &lines[i]
		from, to := h.run(l, last)
		if from > low {
			low, r.LowBy = from, l.key
		}
		if to < high {
			high, r.HighBy = to, l.key
		}
	}
	// Where one line asks for more tension than another allows, both are named and no
	// figure is given: nothing between the two is safe.
	if low <= high {
		r.LowKg, r.HighKg = of(float64(low)/perStep), of(float64(high)/perStep)
	}
	return r
}

// run is the steps that a line allows; none where from is after to.
func (h *checker) run(l *tensionLine, last int) (from, to int) {
	// What the load with its guard exceeds the limit by. It is convex: the value is a
	// straight line of x, and the guard the root of a sum of squares of straight lines.
	// So the steps that keep the limit are one run, and halving finds its ends.
	excess := func(n int) float64 {
		v, u := l.at(float64(n)/perStep, h.stretch)
		return portable.Kg(v + h.rule.guard(u) - l.limit)
	}
	// Kept at both ends it is kept between them.
	if excess(0) <= 0 && excess(last) <= 0 {
		return 0, last
	}
	a, b := 0, last // the least excess, by halving on the slope
	for a < b {
		if middle := (a + b) / 2; excess(middle) <= excess(middle+1) {
			b = middle
		} else {
			a = middle + 1
		}
	}
	best := a
	// Not even where the excess is least is the limit kept: an empty run, which no other
	// line can open again.
	if excess(best) > 0 {
		return last + 1, -1
	}
	for from, a = 0, best; from < a; { // the first step kept
		if middle := (from + a) / 2; excess(middle) <= 0 {
			a = middle
		} else {
			from = middle + 1
		}
	}
	for b, to = best, last; b < to; { // the last step kept
		if middle := (b + to + 1) / 2; excess(middle) <= 0 {
			b = middle
		} else {
			to = middle - 1
		}
	}
	return from, to
}

// hitchRow is the outfit at one tension.
func (h *checker) hitchRow(b bars, lines []tensionLine, restored, x float64) hitchRow {
	row := hitchRow{Restored: restored, Verdict: Within}
	group := func(g tickets.Group) (value, u float64) {
		v, uv, _ := h.load(tickets.CoupledSlack, g).Number()
		perKg, perR := b.on(g)
		return portable.Kg(v + float64(perKg*x)), portable.Kg(portable.Hypot(uv, float64(float64(perR*b.uR)*x)))
	}
	row.FrontKg, row.UFrontKg = group(tickets.Front)
	row.RearKg, row.URearKg = group(tickets.Rear)
	row.TrailerKg, row.UTrailerKg = group(tickets.Trailer)
	for i := range lines {
		v, u := lines[i].at(x, h.stretch)
		// The gravest of the lines, as in the verdict of a job: over before unsettled
		// before within. No line can be not weighed here, as the range would then be
		// nil.
		switch verdict := judge(v, u, lines[i].limit, false, h.rule, false); {
		case verdict == Over, verdict == Unsettled && row.Verdict == Within:
			row.Verdict = verdict
		}
	}
	return row
}
