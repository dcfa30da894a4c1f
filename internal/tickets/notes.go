package tickets

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// note gathers what was not refused and must be shown: first of the job, then
// of its lines.
func (j *jobReader) note() {
	j.noteTravels()
	j.noteDays()
	for _, l := range j.lines {
		readings := j.job.Readings[l.from:l.to]
		if len(readings) == 0 {
			continue
		}
		if readings[0].Used {
			j.noteLine(readings)
		}
		for i := range readings {
			j.noteReading(&readings[i])
		}
	}
}

func (j *jobReader) add(code string, line int, column, detail string) {
	j.job.Notes = append(j.job.Notes, note{Code: code, Line: line, Column: column, Detail: detail})
}

// noteTravels notes what was assumed of how the outfit travels. Only a centre-axle
// trailer can have a load-distribution hitch that nobody stated.
func (j *jobReader) noteTravels() {
	switch o := j.job.Outfit; {
	case o.TravelsStated || len(j.lines) == 0:
	case o.TravelsPlain && !o.Drawbar && !o.Semi:
		j.add("no_hitch_stated", 0, "travels", "")
	case o.TravelsPlain:
	default:
		j.add("travels_assumed", 0, "travels", tensioned)
	}
}

// noteDays notes that used readings are of different days.
func (j *jobReader) noteDays() {
	days := make([]string, 0, 4) // mostly one
	for i := range j.job.Readings {
		r := &j.job.Readings[i]
		if !r.Used || !r.WeighedAt.Known {
			continue
		}
		if day := r.WeighedAt.day(); len(days) == 0 || day != days[len(days)-1] {
			days = append(days, day)
		}
	}
	slices.Sort(days)
	if days = slices.Compact(days); len(days) > 1 {
		j.add("different_days", 0, "weighed_at", strings.Join(days, ", "))
	}
}

// noteLine notes what a used line leaves open.
func (j *jobReader) noteLine(readings []Reading) {
	r := &readings[0]
	if !r.WeighedAt.HasTime || !r.WeighedAt.Known {
		j.add("no_time", r.Line, "weighed_at", r.WeighedAt.Typed)
	}
	if r.People == nil && (anyNames(readings, Front) || anyNames(readings, Rear)) {
		j.add("people_not_stated", r.Line, "people", "")
	}
	if r.State == TrailerAlone && anyNames(readings, Trailer) && !anyNames(readings, Nose) && !j.job.Outfit.Drawbar {
		j.add("nose_off_deck", r.Line, "on_deck", r.OnDeck)
	}
	if r.IntervalAssumed {
		j.add("interval_assumed", r.Line, "interval", r.IntervalKg.String())
	}
	s := j.job.Scale(r.Scale)
	if s.VerifiedOn.Known && r.WeighedAt.Known && s.VerifiedOn.day() > r.WeighedAt.day() {
		j.add("scale_verified_later", r.Line, "scale", s.Name)
	}
}

// names says whether a group was on the deck.
func (r *Reading) names(g Group) bool {
	return slices.ContainsFunc(r.Terms, func(t Term) bool { return t.Group == g })
}

// anyNames says whether a group was on the deck in any of some readings.
func anyNames(readings []Reading, g Group) bool {
	for i := range readings {
		if readings[i].names(g) {
			return true
		}
	}
	return false
}

// noteReading notes what is odd about a figure.
func (j *jobReader) noteReading(r *Reading) {
	column := r.Column
	if column == "" {
		column = "reading"
	}
	switch {
	case slices.Contains(j.looks, r):
		j.add("looks_calculated", r.Line, column, r.Typed)
	case r.TakenAsCalculated:
		j.add("taken_as_calculated", r.Line, column, r.Typed)
	case r.Calculated && !addsUp(r, j.figuresBut(r)):
		j.add("does_not_add_up", r.Line, column, r.Typed)
	}
	if !r.Used || r.Empty || r.IntervalKg.Sign() <= 0 {
		return
	}
	s := j.job.Scale(r.Scale)
	k := int64(j.job.Outfit.Weighers(s, r.Terms))
	if compareTimes(r.Kg, minimumIntervals[s.Class]*k, r.IntervalKg) < 0 {
		j.add("below_minimum", r.Line, column, r.Typed)
	}
	most := maximumIntervals[s.Class]
	if most > 0 && compareTimes(r.Kg, most*k, r.IntervalKg) > 0 || s.MaxKg.Valid && compareTimes(r.Kg, k, s.MaxKg.Decimal) > 0 {
		j.add("above_max", r.Line, column, r.Typed)
	}
	if r.NotMultiple {
		j.add("not_a_multiple", r.Line, column, r.Typed)
	}
}

// minimumIntervals is the least load of a scale in intervals, by class; OIML R
// 76-1:2006, Table 3. A class not listed has none here.
var minimumIntervals = map[string]int64{"III": 20, "IIII": 10}

// maximumIntervals is the most intervals that a scale of the class can have,
// OIML R 76-1:2006, Table 3; beyond mostIntervals a reading is refused. A class
// not listed has no other bound here.
var maximumIntervals = map[string]int64{"IIII": 1000}

// The sums tried for one figure: beyond so many other figures on a ticket some
// sum is met by chance.
const (
	mostParts   = 10
	mostFigures = 60
)

// addsUp says whether a calculated figure is, to one interval, a sum of other
// lines of its ticket, or one of them less others. Of a ticket too long to try
// that on, nothing is said.
func addsUp(r *Reading, others []decimal.Decimal) bool {
	if len(others) > mostParts || meetsSum(r.Kg, r.IntervalKg, others, 2) {
		return true
	}
	for i, whole := range others {
		rest := slices.Delete(slices.Clone(others), i, i+1)
		if meetsSum(whole.Sub(r.Kg), r.IntervalKg, rest, 1) {
			return true
		}
	}
	return false
}

// figuresBut lists the other figures of a reading's ticket, of its first
// mostFigures.
func (j *jobReader) figuresBut(r *Reading) []decimal.Decimal {
	var others []decimal.Decimal
	met := 0
	for i := range j.job.Readings {
		o := &j.job.Readings[i]
		if o.Ticket != r.Ticket {
			continue
		}
		if met++; met > mostFigures {
			break
		}
		if o != r {
			others = append(others, o.Kg)
		}
	}
	return others
}

// meetsSum says whether least or more of the parts add up to the total within
// the tolerance.
func meetsSum(total, tolerance decimal.Decimal, parts []decimal.Decimal, least int) bool {
	if least <= 0 && total.Abs().LessThanOrEqual(tolerance) {
		return true
	}
	for i, p := range parts {
		if meetsSum(total.Sub(p), tolerance, parts[i+1:], least-1) {
			return true
		}
	}
	return false
}
