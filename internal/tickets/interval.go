package tickets

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// intervalSteps are the scale intervals that are assumed, largest first, in the
// unit of the reading (in tonnes their thousandth).
var intervalSteps = map[string][]int64{"kg": {100, 50, 20, 10, 5}, "t": {100, 50, 20, 10, 5}, "lb": {100, 50, 20, 10}}

// The readings that it takes before a large interval is believed, and before
// one reading is left aside.
const (
	mostSmallInterval  = 20
	readingsForLarge   = 3
	readingsForOneLeft = 5
)

// onScale are the readings of one scale in one unit.
type onScale struct{ scale, unit string }

// assumeIntervals resolves e where neither a line nor its scale states it: the
// largest step of which all used readings of that scale and unit are multiples;
// where none fits the largest that fits all but one, which is then asked
// about; else the smallest.
func (j *jobReader) assumeIntervals() {
	if !slices.ContainsFunc(j.lines, func(l ticketLine) bool { return l.from < l.to && j.job.Readings[l.from].IntervalAssumed }) {
		return
	}
	used := map[onScale][]*Reading{}
	for i := range j.job.Readings {
		if r := &j.job.Readings[i]; r.Used && !r.Empty {
			key := onScale{r.Scale, r.Unit}
			used[key] = append(used[key], r)
		}
	}
	for i := range j.job.Readings {
		r := &j.job.Readings[i]
		if !r.IntervalAssumed || r.Unit == "" {
			continue
		}
		e, aside := assumedInterval(r.Unit, used[onScale{r.Scale, r.Unit}])
		r.IntervalKg = e
		r.NotMultiple = aside == r
	}
}

// assumedInterval gives e in kilograms, and the reading left aside or nil.
func assumedInterval(unit string, used []*Reading) (e decimal.Decimal, aside *Reading) {
	steps := intervalSteps[unit]
	inKg := func(step int64) decimal.Decimal {
		if unit == "t" {
			return decimal.NewFromInt(step)
		}
		return decimal.NewFromInt(step).Mul(massUnits[unit])
	}
	for left := 0; left <= 1; left++ {
		if left == 1 && len(used) < readingsForOneLeft {
			break
		}
		for _, step := range steps {
			if step > mostSmallInterval && len(used) < readingsForLarge {
				continue
			}
			if off := offGrid(used, inKg(step)); len(off) == left {
				if left == 1 {
					aside = off[0]
				}
				return inKg(step), aside
			}
		}
	}
	return inKg(steps[len(steps)-1]), nil
}

// offGrid lists the readings that are no multiple of e.
func offGrid(used []*Reading, e decimal.Decimal) []*Reading {
	var off []*Reading
	for _, r := range used {
		if !isMultiple(r.Kg, e) {
			off = append(off, r)
		}
	}
	return off
}

// mostIntervals is the most scale intervals that a weighing instrument of
// class III can have (OIML R 76-1:2006, Table 3; class IIII has 1,000): a
// reading beyond them has its interval, or itself, in the wrong unit.
const mostIntervals = 10_000

// checkIntervals refuses used readings below their interval or more than
// mostIntervals of them, and marks those that are no multiple of one stated.
func (j *jobReader) checkIntervals() {
	for _, l := range j.lines {
		for i := l.from; i < l.to; i++ {
			if r := &j.job.Readings[i]; r.Used && !r.Empty && r.IntervalKg.Sign() > 0 && r.Kg.Sign() > 0 {
				j.checkInterval(r, l.row, j.cells[i])
			}
		}
	}
}

func (j *jobReader) checkInterval(r *Reading, row *ticketRow, c cell) {
	s := j.job.Scale(r.Scale)
	k := int64(j.job.Outfit.Weighers(s, r.Terms))
	switch {
	case r.IntervalKg.GreaterThan(r.Kg):
		j.refuseBelow(r, row, c, r.intervalText(row, s))
	case s.Class != "none" && len(r.Terms) > 0 && compareTimes(r.Kg, k*mostIntervals, r.IntervalKg) > 0:
		e := r.intervalText(row, s)
		c.refuse(fmt.Sprintf("%s %s is more than %d intervals of %s", c.shown(), r.Unit, mostIntervals, e),
			fmt.Sprintf("at most %d intervals on one weigher, OIML R 76-1, Table 3", mostIntervals), r.intervalHint(row, e))
	case !r.IntervalAssumed && !isMultiple(r.Kg, r.IntervalKg):
		r.NotMultiple = true
	}
}

// intervalText is the interval of a reading as it is read, in the unit in which it
// is stated; one assumed is in that of the reading.
func (r *Reading) intervalText(row *ticketRow, s *Scale) string {
	switch {
	case !row.Interval.blank():
		return pointAndMinus(row.Interval.text()) + " " + r.Unit
	case r.IntervalAssumed:
		return r.IntervalKg.Div(massUnits[r.Unit]).String() + " " + r.Unit
	}
	return pointAndMinus(s.Typed["interval"]) + " " + cmp.Or(strings.ToLower(s.Typed["unit"]), "kg")
}

// intervalHint says in which unit the interval was read, and where it is written.
func (r *Reading) intervalHint(row *ticketRow, e string) string {
	switch {
	case r.IntervalAssumed:
		return "the interval was assumed as " + e + "; look at unit, or fill in interval"
	case row.Interval.blank():
		return "the interval of scale " + quote(r.Scale) + " in scales.csv was read as " + e + "; look at the units of both"
	}
	return "the interval was read as " + e + ", in the unit of the reading; look at both"
}

// refuseBelow refuses a reading below its scale interval. Where the interval is
// assumed, a nose or a coupling may carry so little.
func (j *jobReader) refuseBelow(r *Reading, row *ticketRow, c cell, e string) {
	switch {
	case r.IntervalAssumed && !r.names(Front) && !r.names(Rear) && !r.names(Trailer):
	case r.IntervalAssumed:
		c.refuse(fmt.Sprintf("%s %s is less than %s, the interval assumed of a scale that states none", c.shown(), r.Unit, e), "a reading above the scale interval", "look at unit, or fill in interval")
	case row.Interval.blank():
		c.refuse(fmt.Sprintf("%s %s is less than %s, the interval of scale %s", c.shown(), r.Unit, e, quote(r.Scale)), "a reading above the scale interval", "look at the units of both")
	default:
		row.Interval.refuse(fmt.Sprintf("%s is larger than the reading %s", row.Interval.shown(), quote(c.text())), "the scale interval in the reading's unit", "look at unit")
	}
}
