package mistakes

import (
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// pound is what a figure in pounds typed as kilograms has to be multiplied by: the
// international pound in kilograms, exact by definition.
var pound = decimal.RequireFromString("0.45359237")

// thousand is kilograms in a tonne.
var thousand = decimal.NewFromInt(1000)

// group is the used readings of one line, or of one ticket.
// Both are tried because a slip reaches as far as what was copied in one go: a
// line, or the printout of one weighing.
type group struct {
	scope    scope
	readings []int
}

// groups returns the lines, then the tickets that hold more than one line,
// each with the used readings that pass.
func (s *search) groups(pass func(*tickets.Reading) bool) []group {
	var lines, perTicket []group
	line, ticket := map[int]int{}, map[string]int{}
	for _, i := range s.used {
		r := &s.Job.Readings[i]
		if !pass(r) {
			continue
		}
		if at, ok := line[r.Line]; ok {
			lines[at].readings = append(lines[at].readings, i)
		} else {
			line[r.Line] = len(lines)
			lines = append(lines, group{oneLine, []int{i}})
		}
		if at, ok := ticket[r.Ticket]; ok {
			perTicket[at].readings = append(perTicket[at].readings, i)
		} else {
			ticket[r.Ticket] = len(perTicket)
			perTicket = append(perTicket, group{oneTicket, []int{i}})
		}
	}
	// A ticket of one line is tried as that line already.
	return append(lines, slices.DeleteFunc(perTicket, func(g group) bool { return s.ofOneLine(g.readings) })...)
}

// ofOneLine says whether readings were typed on one line: a line may hold several
// figures, of single axles or sides.
func (s *search) ofOneLine(readings []int) bool {
	for _, i := range readings {
		if s.Job.Readings[i].Line != s.Job.Readings[readings[0]].Line {
			return false
		}
	}
	return true
}

// observed gives the observations of readings.
func (s *search) observed(readings []int) []int {
	var obs []int
	for o, i := range s.used { // readings are the first observations
		if slices.Contains(readings, i) {
			obs = append(obs, o)
		}
	}
	return obs
}

// figure is the hypothesis that one reading should have been another.
// Nothing else changes, so that χ² with that figure is known without a solution,
// see Without of a derive.Solution.
func (s *search) figure(kind kind, index int, should tickets.Reading, prior float64) hypothesis {
	return hypothesis{
		Mistake: Mistake{Kind: kind, Scope: oneFigure, Readings: []int{index}},
		prior:   prior, touched: s.observed([]int{index}), figure: &should,
		change: func(j *tickets.Job) { j.Readings[index] = should },
	}
}

// typed is a figure as it was typed, and what one unit of it weighs.
func typed(r *tickets.Reading) (digits string, unit decimal.Decimal) {
	v, err := decimal.NewFromString(r.Typed)
	// A nought has no ratio to its kilograms; it is the same in every unit.
	if err != nil || v.IsZero() {
		return r.Kg.String(), decimal.NewFromInt(1)
	}
	return r.Typed, r.Kg.Div(v)
}

// digitMistakes: two digits of one reading swapped, one digit wrong, one lost or
// typed twice. What the reading should have been is a multiple of the scale
// interval. A calculated figure that its ticket contradicts may be mistyped too.
func (s *search) digitMistakes() []hypothesis {
	var all []hypothesis
	for _, i := range s.mistypable() {
		neighbours, others := s.swaps(i)
		all = append(all, s.figures(digitsSwapped, "neighbours", i, neighbours)...)
		all = append(all, s.figures(digitsSwapped, "further off", i, others)...)
		all = append(all, s.figures(digitWrong, "", i, s.otherDigits(i))...)
		all = append(all, s.figures(digitCount, "lost", i, s.lostDigits(i))...)
		all = append(all, s.figures(digitCount, "twice", i, s.doubledDigits(i))...)
	}
	return all
}

// mistypable lists the used readings, and the calculated figures that their
// tickets contradict, in the order of the form.
func (s *search) mistypable() []int {
	all := slices.Clone(s.used)
	all = append(all, s.contradicted...)
	slices.Sort(all)
	return all
}

// figures makes a hypothesis of each figure that a reading should have been. They
// share the prior of their row in equal parts: a figure with more digits is not
// miscopied more often because it can be miscopied in more ways.
func (s *search) figures(kind kind, which string, index int, should []tickets.Reading) []hypothesis {
	var all []hypothesis
	for _, r := range should {
		all = append(all, s.figure(kind, index, r, priorOf(kind, which, len(should))))
	}
	return all
}

// swaps lists what a reading was before two of its digits changed places.
func (s *search) swaps(index int) (neighbours, others []tickets.Reading) {
	digits, _ := typed(&s.Job.Readings[index])
	at := digitsOf(digits)
	for a := range at {
		for b := a + 1; b < len(at); b++ {
			d := []byte(digits)
			// Equal digits that change places leave the figure as it is.
			if d[at[a]] == d[at[b]] {
				continue
			}
			d[at[a]], d[at[b]] = d[at[b]], d[at[a]]
			r, ok := s.retyped(index, string(d))
			// Neighbours are counted among the digits alone: the 3 and the 4 of
			// 3.420 are.
			switch {
			case ok && b == a+1:
				neighbours = append(neighbours, r)
			case ok:
				others = append(others, r)
			}
		}
	}
	return neighbours, others
}

// otherDigits lists what a reading was before one of its digits went wrong.
// The interval leaves few of the nine: with e = 20 kg the last digit can only be
// 0 and the one before it only even.
func (s *search) otherDigits(index int) []tickets.Reading {
	digits, _ := typed(&s.Job.Readings[index])
	var all []tickets.Reading
	for _, a := range digitsOf(digits) {
		for c := byte('0'); c <= '9'; c++ {
			d := []byte(digits)
			if d[a] == c {
				continue
			}
			d[a] = c
			if r, ok := s.retyped(index, string(d)); ok {
				all = append(all, r)
			}
		}
	}
	return all
}

// lostDigits lists what a reading was before one of its digits was lost.
// A digit can have been lost from any place, the first and the last among them.
func (s *search) lostDigits(index int) []tickets.Reading {
	digits, _ := typed(&s.Job.Readings[index])
	var all []tickets.Reading
	for a := 0; a <= len(digits); a++ {
		for c := byte('0'); c <= '9'; c++ {
			if a > 0 && digits[a-1] == c { // the same figure as with it one place before
				continue
			}
			if r, ok := s.retyped(index, digits[:a]+string(c)+digits[a:]); ok {
				all = append(all, r)
			}
		}
	}
	return all
}

// doubledDigits lists what a reading was before one of its digits was typed twice.
func (s *search) doubledDigits(index int) []tickets.Reading {
	digits, _ := typed(&s.Job.Readings[index])
	var all []tickets.Reading
	for _, a := range digitsOf(digits) {
		// Which of a run of equal digits is taken away makes no difference: the
		// second serves for all.
		if a == 0 || digits[a-1] != digits[a] || a > 1 && digits[a-2] == digits[a] {
			continue
		}
		if r, ok := s.retyped(index, digits[:a]+digits[a+1:]); ok {
			all = append(all, r)
		}
	}
	return all
}

// digitsOf gives the places of the digits. The sign and the point keep theirs: a
// slip of the point is one of the unit, see unitFactors.
func digitsOf(s string) []int {
	var at []int
	for i := range len(s) {
		if s[i] >= '0' && s[i] <= '9' {
			at = append(at, i)
		}
	}
	return at
}

// retyped is a reading with other digits; ok is false where it then starts
// with a nought, is nothing, or is no multiple of the interval.
func (s *search) retyped(index int, digits string) (tickets.Reading, bool) {
	r := s.Job.Readings[index]
	_, unit := typed(&r)
	// No display shows a leading nought but the one before a point.
	v, err := decimal.NewFromString(digits)
	if err != nil || !v.IsPositive() || len(digits) > 1 && digits[0] == '0' && !strings.HasPrefix(digits, "0.") {
		return r, false
	}
	r.Typed, r.Kg = digits, v.Mul(unit)
	return r, s.onGrid(index, &r)
}

// onGrid says whether the scale can have shown a figure: a multiple of its
// interval, unless another reading of that scale is none either, and the
// interval typed is then not the one that was used.
func (s *search) onGrid(index int, r *tickets.Reading) bool {
	if multiple(r.Kg, r.IntervalKg) {
		return true
	}
	for _, i := range s.used {
		o := &s.Job.Readings[i]
		if i != index && o.Scale == r.Scale && o.IntervalKg.Equal(r.IntervalKg) && !multiple(o.Kg, o.IntervalKg) {
			return true
		}
	}
	return false
}

// multiple says whether a mass is a multiple of the interval, to 1e-6 of it: that
// is far above the rounding of the quotient (about 1e-16 of a count below 1e6)
// and far below the step from one multiple to the next. Without an interval every
// mass is one.
func multiple(kg, interval decimal.Decimal) bool {
	if !interval.IsPositive() {
		return true
	}
	n := kg.InexactFloat64() / interval.InexactFloat64()
	return math.Abs(n-math.Round(n)) < 1e-6
}

// unitFactors are what a figure has to be multiplied by, by the unit it was typed in:
// tonnes taken for kilograms and the other way, pounds for kilograms and the
// other way.
var unitFactors = map[string][]struct {
	by   decimal.Decimal
	unit string // the unit it should have had
}{
	"":   {{thousand, "t"}, {thousand.Pow(decimal.NewFromInt(-1)), "kg"}, {pound, "lb"}},
	"kg": {{thousand, "t"}, {thousand.Pow(decimal.NewFromInt(-1)), "kg"}, {pound, "lb"}},
	"t":  {{thousand.Pow(decimal.NewFromInt(-1)), "kg"}},
	"lb": {{decimal.NewFromInt(1).DivRound(pound, 16), "kg"}},
}

// unitMistakes: the unit of one reading, or of all of a ticket, is wrong.
func (s *search) unitMistakes() []hypothesis {
	var all []hypothesis
	for _, i := range s.used {
		factors := unitFactors[s.Job.Readings[i].Unit]
		for _, f := range factors {
			if r := s.inUnit(i, f.by, f.unit); s.onGrid(i, &r) {
				all = append(all, s.figure(unitWrong, i, r, priorOf(unitWrong, "figure", len(factors))))
			}
		}
	}
	for _, g := range s.groups(func(*tickets.Reading) bool { return true }) {
		if len(g.readings) > 1 {
			all = append(all, s.ticketUnits(g)...)
		}
	}
	return all
}

// ticketUnits tries the other units on all figures of a line or ticket that
// share one unit.
func (s *search) ticketUnits(g group) []hypothesis {
	unit := s.Job.Readings[g.readings[0]].Unit
	for _, i := range g.readings {
		// Where the units differ already, no single slip made them all wrong.
		if s.Job.Readings[i].Unit != unit {
			return nil
		}
	}
	var all []hypothesis
	for _, f := range unitFactors[unit] {
		all = append(all, hypothesis{
			Mistake: Mistake{Kind: unitWrong, Scope: g.scope, Readings: g.readings},
			prior:   priorOf(unitWrong, "ticket", len(unitFactors[unit])), touched: s.observed(g.readings),
			change: func(j *tickets.Job) {
				for _, i := range g.readings {
					j.Readings[i] = s.inUnit(i, f.by, f.unit)
				}
			},
		})
	}
	return all
}

// inUnit is a reading with another unit. An interval typed on the line had the
// same unit and changes with it; one of the scale, or assumed, does not, but
// for an assumed one between kilograms and pounds.
func (s *search) inUnit(index int, by decimal.Decimal, unit string) tickets.Reading {
	r := s.Job.Readings[index]
	r.Unit, r.Kg = unit, r.Kg.Mul(by)
	scale := s.Job.Scale(r.Scale)
	ofScale := scale.IntervalKg.Valid && scale.IntervalKg.Decimal.Equal(r.IntervalKg)
	pounds := unit == "lb" || s.Job.Readings[index].Unit == "lb"
	if !ofScale && !r.IntervalAssumed || r.IntervalAssumed && pounds {
		r.IntervalKg = r.IntervalKg.Mul(by)
	}
	return r
}

// exchanges: two readings of a ticket are exchanged.
func (s *search) exchanges() []hypothesis {
	var all []hypothesis
	used := s.used
	for n, a := range used {
		for m, b := range used[n+1:] {
			x, y := &s.Job.Readings[a], &s.Job.Readings[b]
			// Equal figures and repeats of one reading fit as well the one way as
			// the other, so that nothing could show the exchange.
			if x.Ticket != y.Ticket || x.Kg.Equal(y.Kg) || s.Observations[n].First == s.Observations[n+1+m].First {
				continue
			}
			// Neighbours are two used figures that follow each other in the form.
			which := "further off"
			if m == 0 {
				which = "neighbours"
			}
			all = append(all, hypothesis{
				Mistake: Mistake{Kind: exchanged, Scope: oneTicket, Readings: []int{a, b}},
				prior:   priorOf(exchanged, which, 1), touched: s.observed([]int{a, b}),
				change: func(j *tickets.Job) { exchange(&j.Readings[a], &j.Readings[b]) },
			})
		}
	}
	return all
}

// exchange swaps what the display showed, not where it was read.
func exchange(a, b *tickets.Reading) {
	a.Typed, b.Typed = b.Typed, a.Typed
	a.Unit, b.Unit = b.Unit, a.Unit
	a.Kg, b.Kg = b.Kg, a.Kg
}
