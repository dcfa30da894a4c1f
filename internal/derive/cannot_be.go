package derive

import (
	"iter"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// The codes of what cannot be, whatever χ² says.
const (
	impossible    = "impossible"
	doesNotAddUp  = "does_not_add_up"
	mostOnOneSlip = 10 // other figures of a ticket, beyond which no sum is tried: some sum is met by chance
)

// A Solution can agree with itself and still be nonsense: with no reading left over
// to contradict, a wrong figure gives a load below nothing, and a figure that was
// only calculated is no observation at all. These are conflicts by themselves.

// cannotBe is a conflict by itself: a support that carries less than nothing,
// or a calculated figure that its ticket contradicts. No check of such a load can be
// called within.
type cannotBe struct {
	Code    string
	Reading int // index in Job.Readings: the line of that load, or the calculated figure
	Line    int // of tickets.csv
	On      string
	State   tickets.State
	Kg, U   float64 // impossible: the load and its standard uncertainty
	RestsOn []int   // impossible: the readings that decide it, Reading among them
	Ticket  string
	Typed   string         // does_not_add_up: the figure
	Figures []mendedFigure // those of the ticket that would mend it, first those a digit away
}

// mendedFigure is a figure of a ticket and what it would have to say for the ticket
// to add up, in its own unit.
type mendedFigure struct {
	Reading     int // index in Job.Readings
	Was, Should string
	Unit        string
	Digit       bool // one digit, or two swapped, make the difference
}

// impossibleLoads lists the supports whose load, not by moments, is less than
// nothing by more than U: value + 2u < 0, in the order of the states. Where a group has no
// such support it lists what is left of the group, and where a state has none the whole
// vehicle or trailer, if those are less than nothing. No support pulls the ground up. A load by moments rests on lengths, which may be
// what is wrong; the nose is included only where it was itself weighed, as it may lift
// where the trailer hangs on the hook.
func (s *Solution) impossibleLoads() (all []cannotBe) {
	row := s.system.row()
	for _, state := range states {
		before := len(all)
		for _, g := range stateGroups(state) {
			listed := len(all)
			for _, t := range append([]tickets.Term{{Group: g}}, s.finer(g)...) {
				if !s.lifted(row, state, t) {
					continue
				}
				q := s.load(state, t)
				v, u, ok := q.Number()
				if !ok || q.ByMoment || g == tickets.Nose && !q.Weighed || portable.Kg(v+float64(coverage*u)) >= 0 {
					continue
				}
				all = append(all, s.impossible(tickets.Spell(t), state, q))
			}
			if len(all) == listed {
				all = append(all, s.impossibleRest(row, state, g)...)
			}
		}
		if len(all) == before {
			all = append(all, s.impossibleUnit(row, state)...)
		}
	}
	return all
}

// impossible is a load that cannot be, at its line.
func (s *Solution) impossible(on string, state tickets.State, q Quantity) cannotBe {
	c := cannotBe{Code: impossible, On: on, State: state}
	c.Kg, c.U, _ = q.Number()
	if i := s.Behind(q).Most; i >= 0 {
		c.Reading, c.Line = i, s.Job.Readings[i].Line
		c.Ticket, c.RestsOn = s.Job.Readings[i].Ticket, s.decidedBy(q)
	}
	return c
}

// impossibleRest is what is left of a group without axles or sides of it, where that
// is known and less than nothing: the first of three axles was read heavier than all
// three. Of each of the others by itself nothing is known.
func (s *Solution) impossibleRest(row []float64, state tickets.State, g tickets.Group) []cannotBe {
	rest := s.system.layout.cellsOf(state, g)
	if len(rest) < 2 || !slices.ContainsFunc(rest, func(c cell) bool { _, known := s.fit.unknown(c.column); return !known }) {
		return nil // each was looked at by itself, and so was a group that is not split
	}
	for _, t := range s.finer(g) {
		var on columnSet
		s.system.layout.eachColumn(&s.Job.Outfit, state, t, on.add)
		clear(row)
		var without []cell
		for _, c := range rest {
			if !on.has(c.column) {
				row[c.column], without = 1, append(without, c)
			}
		}
		if _, _, known := s.fit.estimate(row); known && len(without) > 0 {
			rest = without
		}
	}
	var terms []tickets.Term
	for _, c := range rest {
		terms = append(terms, c.term)
	}
	return s.impossibleTogether(row, tickets.Spell(terms...), state, terms)
}

// impossibleUnit is the whole vehicle, or the whole trailer alone, where it would
// weigh less than nothing. That may be known where none of its axles is: the outfit
// less the trailer is the vehicle, and says nothing of its axles.
func (s *Solution) impossibleUnit(row []float64, state tickets.State) []cannotBe {
	on, groups := "vehicle", vehicleGroups
	if state == tickets.TrailerAlone {
		on, groups = "all", trailerGroups
	}
	var terms [2]tickets.Term
	for i, g := range groups {
		terms[i].Group = g
	}
	return s.impossibleTogether(row, on, state, terms[:])
}

// impossibleTogether is the load on supports together where it is less than nothing.
func (s *Solution) impossibleTogether(row []float64, on string, state tickets.State, terms []tickets.Term) []cannotBe {
	if !s.lifted(row, state, terms...) {
		return nil
	}
	var parts []Part
	for _, t := range terms {
		parts = append(parts, supportLoad(1, state, t))
	}
	q := s.Sum(parts...)
	if v, u, ok := q.Number(); !ok || q.ByMoment || portable.Kg(v+float64(coverage*u)) >= 0 {
		return nil
	}
	return []cannotBe{s.impossible(on, state, q)}
}

// mostLoaded is how many times the middle reading one support may carry: more is
// called impossible, however uncertain that load is.
const mostLoaded = 20.0

// overloaded says whether some support would carry more than that: far more than anything
// that was weighed. A test with U would miss it: a load that is hardly determined has a huge U as
// well.
func (s *Solution) overloaded() bool {
	if len(s.system.used) == 0 {
		return false
	}
	most := float64(mostLoaded * s.middleReading())
	for c := range s.system.layout.supports {
		if kg, ok := s.fit.unknown(c); ok && math.Abs(kg) > most {
			return true
		}
	}
	return false
}

// middleReading is the median of the used readings, in kilograms.
func (s *Solution) middleReading() float64 {
	var kg []float64
	for i := range s.system.used {
		kg = append(kg, s.system.used[i].Kg.InexactFloat64())
	}
	slices.Sort(kg)
	return kg[len(kg)/2]
}

// lifted says quickly whether a load, on supports together, may be less than nothing by
// more than U: only such a load needs its basis, which takes a solution without the ties.
// It writes over the row that it is given.
func (s *Solution) lifted(row []float64, state tickets.State, terms ...tickets.Term) bool {
	clear(row)
	// Where each carries something they do so together, determined or not: what is
	// determined is the same in every solution.
	carried := true
	for _, t := range terms {
		s.system.layout.eachColumn(&s.Job.Outfit, state, t, func(c int) {
			row[c]++
			carried = carried && s.fit.carries(c)
		})
	}
	if carried {
		return false
	}
	kg, u, ok := s.fit.estimate(row)
	return ok && portable.Kg(kg+float64(coverage*u)) < 0
}

// contradictoryTickets lists the calculated figures that are no sum or
// difference of other lines of their ticket, in the order of the form, where those cover the supports
// that the figure names, or it names none, and its line does not confirm it.
// It is arithmetic and no statistics: a net that is not gross less tare was mistyped
// or belongs to another weighing, however well everything else fits.
func (s *Solution) contradictoryTickets() []cannotBe {
	var all []cannotBe
	for i := range s.Job.Readings {
		r := &s.Job.Readings[i]
		if !r.Calculated {
			continue
		}
		others := othersOf(s.Job, i)
		if !contradicted(s.Job, i, others) {
			continue
		}
		all = append(all, cannotBe{
			Code: doesNotAddUp, Reading: i, Line: r.Line, On: r.OnDeck, Ticket: r.Ticket, Typed: r.Typed,
			Figures: mended(s.Job, i, signedSums(s.Job, i, others)),
		})
	}
	return all
}

// contradicted reports whether a reading is a calculated figure that the others of
// its ticket contradict.
func contradicted(job *tickets.Job, i int, others []int) bool {
	r := &job.Readings[i]
	return r.Calculated && !r.Empty && !slices.Contains(r.Confirmed, doesNotAddUp) &&
		len(others) >= 2 && len(others) <= mostOnOneSlip && coveredBy(job, r, others) && !addsUp(job, i, others)
}

// othersOf lists the other figures of a reading's ticket, those kept out of
// the calculation aside.
func othersOf(job *tickets.Job, i int) []int {
	var others []int
	for j := range job.Readings {
		o := &job.Readings[j]
		if j != i && o.Ticket == job.Readings[i].Ticket && (o.Used || o.Calculated) && !o.Empty {
			others = append(others, j)
		}
	}
	return others
}

// coveredBy reports whether other lines together cover the supports that a
// figure names: only then must the figure follow from them. The nose of an uncoupled
// trailer rests on the vehicle in a coupled line of all supports.
func coveredBy(job *tickets.Job, r *tickets.Reading, others []int) bool {
	var need, have wheelSet
	coupled := false
	for _, j := range others {
		o := &job.Readings[j]
		have = have.and(wheels(&job.Outfit, o.Terms))
		coupled = coupled || o.State.Coupled()
	}
	for _, t := range r.Terms {
		if coupled && (t.Group == tickets.Nose || t.Group == tickets.Coupling) {
			continue
		}
		need = need.and(wheels(&job.Outfit, []tickets.Term{t}))
	}
	return have.and(need) == have
}

// and is both sets of wheels together.
func (w wheelSet) and(o wheelSet) wheelSet { return wheelSet{w[0] | o[0], w[1] | o[1]} }

// signedSum is a sum or difference of figures that a calculated one may be.
type signedSum struct {
	added, taken []int           // indices in Job.Readings
	missed       decimal.Decimal // the figure less the sum
	interval     decimal.Decimal // the largest of the figures summed
}

// meets reports whether the figure is the sum to within n/2 of the largest
// interval, at least one: each of n figures is rounded to within half an interval,
// and the roundings may all have gone one way.
func (s signedSum) meets() bool {
	n := decimal.NewFromInt(int64(len(s.added) + len(s.taken)))
	within := decimal.Max(n.Div(decimal.NewFromInt(2)), decimal.NewFromInt(1)).Mul(s.interval)
	return s.missed.Abs().LessThanOrEqual(within)
}

// signs gives, as bits, which of n others are added in a sum and which are taken off,
// in the order of the form: sums of others, and one other less others. A gross is a sum, a
// net the gross less a tare. Sums of several added and several taken off are not printed
// by any scale, and some would be met by chance. There are n·2ⁿ⁻¹ + 2ⁿ − 1 − n: 6,133 of ten.
func signs(n int) iter.Seq2[uint, uint] {
	return func(yield func(added, taken uint) bool) {
		var each func(at int, added, taken uint) bool
		each = func(at int, added, taken uint) bool {
			several := added&(added-1) != 0
			if at == n {
				return added == 0 || several && taken != 0 || yield(added, taken)
			}
			bit := uint(1) << at
			return (added != 0 && taken != 0 || each(at+1, added|bit, taken)) &&
				(several || each(at+1, added, taken|bit)) && each(at+1, added, taken)
		}
		each(0, 0, 0)
	}
}

// signedSums lists the sums that signs gives.
func signedSums(job *tickets.Job, i int, others []int) []signedSum {
	var all []signedSum
	for added, taken := range signs(len(others)) {
		all = append(all, sumOf(job, i, others, added, taken))
	}
	return all
}

func sumOf(job *tickets.Job, i int, others []int, added, taken uint) signedSum {
	s := signedSum{missed: job.Readings[i].Kg}
	for at, j := range others {
		r := &job.Readings[j]
		switch bit := uint(1) << at; {
		case added&bit != 0:
			s.added, s.missed = append(s.added, j), s.missed.Sub(r.Kg)
		case taken&bit != 0:
			s.taken, s.missed = append(s.taken, j), s.missed.Add(r.Kg)
		default:
			continue
		}
		s.interval = decimal.Max(s.interval, r.IntervalKg)
	}
	return s
}

// nearlyMet is more than a sum of binary numbers is off, in kg: what is met to within it
// is summed again in decimal.
const nearlyMet = 1e-6

// addsUp reports whether a figure meets one of the sums. A search for mistakes asks this
// of every ticket that it changes, so that none of them is kept.
func addsUp(job *tickets.Job, i int, others []int) bool {
	var kg, interval [mostOnOneSlip]float64
	for at, j := range others {
		kg[at], interval[at] = job.Readings[j].Kg.InexactFloat64(), job.Readings[j].IntervalKg.InexactFloat64()
	}
	figure := job.Readings[i].Kg.InexactFloat64()
	for added, taken := range signs(len(others)) {
		missed, largest, n := figure, 0.0, 0.0
		for at := range others {
			switch bit := uint(1) << at; {
			case added&bit != 0:
				missed -= kg[at]
			case taken&bit != 0:
				missed += kg[at]
			default:
				continue
			}
			largest, n = max(largest, interval[at]), n+1
		}
		if math.Abs(missed) <= float64(max(n/2, 1)*largest)+nearlyMet && sumOf(job, i, others, added, taken).meets() {
			return true
		}
	}
	return false
}

// mended lists, for the sum that the figure most likely should be, what each
// of its figures would have to say for the sum to be right, all others being so; first
// those a digit away, as a slip of one digit is what mostly happens.
func mended(job *tickets.Job, i int, sums []signedSum) []mendedFigure {
	best, ok := likeliest(job, i, sums)
	if !ok {
		return nil
	}
	// y − (Σ added − Σ taken) = missed: the figure has to change by −missed, or
	// one of those added by +missed, or one of those taken off by −missed.
	all := []mendedFigure{mend(job, i, best.missed.Neg())}
	for _, j := range best.added {
		all = append(all, mend(job, j, best.missed))
	}
	for _, j := range best.taken {
		all = append(all, mend(job, j, best.missed.Neg()))
	}
	all = slices.DeleteFunc(all, func(m mendedFigure) bool { return m.Should == "" })
	slices.SortStableFunc(all, func(a, b mendedFigure) int {
		switch {
		case a.Digit == b.Digit:
			return a.Reading - b.Reading
		case a.Digit:
			return -1
		}
		return 1
	})
	return all
}

// likeliest is the sum that a figure should be. A ticket of several figures has
// many sums; which of them was meant shows in this order: one that fits the supports it
// names, else one that a single digit mends, else the one that misses by least;
// of those alike the first.
func likeliest(job *tickets.Job, i int, sums []signedSum) (best signedSum, ok bool) {
	const fits, digit, neither = 0, 1, 2
	bestRank := neither
	for _, s := range sums {
		if len(s.added)+len(s.taken) < 2 { // one figure is no sum to mend
			continue
		}
		closer := !ok || s.missed.Abs().LessThan(best.missed.Abs())
		rank := neither
		switch {
		case (closer || bestRank > fits) && fitsSupports(job, i, s):
			rank = fits
		case (closer && bestRank == digit || bestRank > digit) && mend(job, i, s.missed.Neg()).Digit:
			rank = digit
		}
		if rank < bestRank || rank == bestRank && closer {
			best, bestRank, ok = s, rank, true
		}
	}
	return best, ok
}

// fitsSupports reports whether the supports of the figures added are those of
// the figure and of the figures taken off it.
func fitsSupports(job *tickets.Job, i int, s signedSum) bool {
	// A figure without supports fits those of any sum, and says nothing for one
	// of them.
	if len(job.Readings[i].Terms) == 0 {
		return false
	}
	count := func(all ...int) (set wheelSet, overlaps bool) {
		for _, j := range all {
			w := wheels(&job.Outfit, slices.DeleteFunc(slices.Clone(job.Readings[j].Terms), func(t tickets.Term) bool { return t.Group == tickets.Nose }))
			overlaps = overlaps || set[0]&w[0] != 0 || set[1]&w[1] != 0
			set = set.and(w)
		}
		return set, overlaps
	}
	whole, twice := count(s.added...)
	parts, twiceParts := count(append(slices.Clone(s.taken), i)...)
	return !twice && !twiceParts && whole == parts
}

// mend is a reading that differs by kg; without a figure where that is nothing
// a scale can have shown.
// The change is made in the unit and with the decimals that were typed:
//
//	typed′ = typed·(kg + change)/kg
func mend(job *tickets.Job, i int, kg decimal.Decimal) mendedFigure {
	r := &job.Readings[i]
	m := mendedFigure{Reading: i, Was: r.Typed, Unit: r.Unit}
	typed, err := decimal.NewFromString(r.Typed)
	should := r.Kg.Add(kg)
	if err != nil || !r.Kg.IsPositive() || !should.IsPositive() {
		return m
	}
	decimals := max(-typed.Exponent(), 0)
	m.Should = should.Mul(typed).DivRound(r.Kg, decimals+8).Round(decimals).StringFixed(decimals)
	m.Digit = aDigitAway(m.Was, m.Should)
	return m
}

// aDigitAway reports whether two figures differ by one digit, or by two
// neighbours exchanged.
func aDigitAway(a, b string) bool {
	a, b = strings.TrimPrefix(a, "+"), strings.TrimPrefix(b, "+")
	if len(a) != len(b) {
		return false
	}
	var unlike []int
	for i := range a {
		if a[i] != b[i] {
			unlike = append(unlike, i)
		}
	}
	switch len(unlike) {
	case 1:
		return true
	case 2:
		i, j := unlike[0], unlike[1]
		return j == i+1 && a[i] == b[j] && a[j] == b[i]
	}
	return false
}
