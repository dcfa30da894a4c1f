package tickets

import (
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"
)

// lastWeighing gives the time of the last dated used reading; false where none
// is dated.
func (j *Job) lastWeighing() (time.Time, bool) {
	var last Moment
	for _, r := range j.Readings {
		if r.Use == UseYes && r.WeighedAt.Known && (!last.Known || r.WeighedAt.Time.After(last.Time)) {
			last = r.WeighedAt
		}
	}
	return last.Time, last.Known
}

// NotInForce says whether a rating is certified on a day after the last
// weighing. A line of a set is a plan and stands outside this.
func (j *Job) NotInForce(r *Rating) bool {
	last, ok := j.lastWeighing()
	return ok && r.Set == "" && r.CertifiedOn.Known && r.CertifiedOn.day().After(Moment{Time: last}.day())
}

// note gathers what was not refused and must be told: first of the job, then
// of its lines, then of its ratings.
func (j *jobReader) note() {
	j.noteTravels()
	j.noteDays()
	tickets := j.byTicket()
	for _, l := range j.lines {
		readings := j.job.Readings[l.from:l.to]
		if len(readings) == 0 {
			continue
		}
		if readings[0].Use == UseYes {
			j.noteLine(readings)
		}
		for i := range readings {
			j.noteReading(&readings[i], tickets[readings[i].Ticket])
		}
	}
	for i := range j.job.Ratings {
		if r := &j.job.Ratings[i]; !r.Replaced && !r.None && j.job.NotInForce(r) {
			j.add("rating_not_in_force", r.Line, "certified_on", r.Typed)
		}
	}
}

func (j *jobReader) add(code string, line int, column, detail string) {
	j.job.Notes = append(j.job.Notes, Note{Code: code, Line: line, Column: column, Detail: detail})
}

// noteTravels tells what was assumed of how the outfit travels.
func (j *jobReader) noteTravels() {
	switch o := j.job.Outfit; {
	case o.TravelsStated || len(j.lines) == 0:
	case o.Travels == TravelsPlain:
		j.add("no_hitch_stated", 0, "travels", "")
	default:
		j.add("travels_assumed", 0, "travels", string(o.Travels))
	}
}

// noteDays tells that used readings are of different days.
func (j *jobReader) noteDays() {
	days := map[string]bool{}
	for _, r := range j.job.Readings {
		if r.Use == UseYes && r.WeighedAt.Known {
			days[r.WeighedAt.Time.Format(time.DateOnly)] = true
		}
	}
	if len(days) > 1 {
		j.add("different_days", 0, "weighed_at", strings.Join(slices.Sorted(maps.Keys(days)), ", "))
	}
}

// noteLine tells what a used line leaves open.
func (j *jobReader) noteLine(readings []Reading) {
	r := readings[0]
	if !r.WeighedAt.HasTime {
		j.add("no_time", r.Line, "weighed_at", r.WeighedAt.Typed)
	}
	if r.People == nil && slices.ContainsFunc(readings, func(r Reading) bool { return r.names(Front) || r.names(Rear) }) {
		j.add("people_not_stated", r.Line, "people", "")
	}
	trailer := slices.ContainsFunc(readings, func(r Reading) bool { return r.names(Trailer) })
	nose := slices.ContainsFunc(readings, func(r Reading) bool { return r.names(Nose) })
	if r.Setup == TrailerAlone && trailer && !nose {
		j.add("nose_off_deck", r.Line, "on_deck", r.OnDeck)
	}
	if r.IntervalAssumed {
		j.add("interval_assumed", r.Line, "interval", r.IntervalKg.String())
	}
	s := j.job.Scale(r.Scale)
	if s.VerifiedOn.Known && r.WeighedAt.Known && s.VerifiedOn.day().After(r.WeighedAt.day()) {
		j.add("scale_verified_later", r.Line, "scale", s.Name)
	}
}

// names says whether a group stood on the deck.
func (r *Reading) names(g Group) bool {
	return slices.ContainsFunc(r.Terms, func(t Term) bool { return t.Group == g })
}

// noteReading tells what is odd about a figure.
func (j *jobReader) noteReading(r *Reading, ticket []*Reading) {
	column := r.Column
	if column == "" {
		column = "reading"
	}
	switch {
	case r.Use == UseYes && looksCalculated(r, ticket):
		j.add("looks_calculated", r.Line, column, r.Typed)
	case r.Use == UseCalculated && !addsUp(r, ticket):
		j.add("does_not_add_up", r.Line, column, r.Typed)
	}
	if r.Use != UseYes || r.IntervalKg.Sign() <= 0 {
		return
	}
	s := j.job.Scale(r.Scale)
	k := decimal.NewFromInt(int64(r.weighers(s.Deck, j.axles)))
	if least := minimumIntervals[s.Class]; r.Kg.LessThan(r.IntervalKg.Mul(decimal.NewFromInt(least)).Mul(k)) {
		j.add("below_minimum", r.Line, column, r.Typed)
	}
	most := r.IntervalKg.Mul(decimal.NewFromInt(maximumIntervals[s.Class]))
	if s.MaxKg.Valid && (most.IsZero() || s.MaxKg.Decimal.LessThan(most)) {
		most = s.MaxKg.Decimal
	}
	if most.Sign() > 0 && r.Kg.GreaterThan(most.Mul(k)) {
		j.add("above_max", r.Line, column, r.Typed)
	}
	if !r.IntervalAssumed && !r.Kg.Mod(r.IntervalKg).IsZero() {
		j.add("not_a_multiple", r.Line, column, r.Typed)
	}
}

// minimumIntervals is the least load of a scale in intervals, by class; OIML R
// 76-1:2006, Table 3. A class not listed has none here.
var minimumIntervals = map[Class]int64{ClassIII: 20, ClassIIII: 10}

// maximumIntervals is the most intervals that a scale of the class can have,
// OIML R 76-1:2006, Table 3: a reading beyond them shows an interval in the
// wrong unit. A class not listed has no bound here.
var maximumIntervals = map[Class]int64{ClassIII: 10000, ClassIIII: 1000}

// weighers is the number of pads under a reading: two an axle, one for a side
// of an axle, one for the nose; 1 on any other deck. Axles not counted are one.
func (r *Reading) weighers(deck DeckKind, axles axleCounts) int {
	if deck != DeckPads && deck != DeckPadsInTurn {
		return 1
	}
	n := 0
	for _, t := range r.Terms {
		k := 1
		if t.Axle == 0 {
			k = max(1, axles.of(t.Group))
		}
		if t.Side == Both && t.Group != Nose && t.Group != Coupling {
			k *= 2
		}
		n += k
	}
	return max(1, n)
}

// byTicket gathers the readings of each ticket.
func (j *jobReader) byTicket() map[string][]*Reading {
	m := map[string][]*Reading{}
	for i := range j.job.Readings {
		r := &j.job.Readings[i]
		m[r.Ticket] = append(m[r.Ticket], r)
	}
	return m
}

// The sums tried for one figure: beyond so many other figures on a ticket some
// sum is met by chance, and only the parts of the figure's own deck are added.
const (
	mostParts   = 7
	mostFigures = 60
)

// looksCalculated says whether a used reading is the sum or the difference of
// other lines of its ticket that somebody weighed: a net that is entered as
// calculated makes no gross and no tare of it look so. Columns named like a support are one line; there,
// as on a long ticket, the parts of its deck are added.
func looksCalculated(r *Reading, ticket []*Reading) bool {
	others := figuresBut(r, ticket)
	if r.Column != "" || len(others) > mostParts {
		return isSumOfParts(r, ticket)
	}
	for i, a := range others {
		for k, b := range others {
			if i != k && a.Sub(b).Equal(r.Kg) {
				return true
			}
		}
	}
	return meetsSum(r.Kg, decimal.Zero, others, 2)
}

// isSumOfParts says whether the readings of the same ticket and setup that
// stand inside the deck of r, and beside one another, add up to it.
func isSumOfParts(r *Reading, ticket []*Reading) bool {
	sum, n := decimal.Zero, 0
	for _, o := range ticket[:min(len(ticket), mostFigures)] {
		if o != r && o.Use != UseCalculated && o.Setup == r.Setup && o.Hitch == r.Hitch && o.inside(r) && !r.inside(o) {
			sum, n = sum.Add(o.Kg), n+1
		}
	}
	return n > 1 && sum.Equal(r.Kg)
}

// inside says whether every support of o is part of one of r's.
func (r *Reading) inside(o *Reading) bool {
	for _, t := range r.Terms {
		if !slices.ContainsFunc(o.Terms, func(u Term) bool {
			return t.Group == u.Group && (u.Axle == 0 || u.Axle == t.Axle) && (u.Side == Both || u.Side == t.Side)
		}) {
			return false
		}
	}
	return true
}

// addsUp says whether a calculated figure is, to one interval, a sum of other
// lines of its ticket, or one of them less others. Of a ticket too long to try
// that on, nothing is said.
func addsUp(r *Reading, ticket []*Reading) bool {
	others := figuresBut(r, ticket)
	if len(others) > mostParts+3 || meetsSum(r.Kg, r.IntervalKg, others, 2) {
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

// figuresBut lists the other figures of a ticket, the first mostFigures of
// them; a column of a line of columns counts for a calculated figure only.
func figuresBut(r *Reading, ticket []*Reading) []decimal.Decimal {
	var others []decimal.Decimal
	for _, o := range ticket[:min(len(ticket), mostFigures)] {
		weighed := o.Column == "" && o.Use != UseCalculated
		if o != r && (weighed || r.Use == UseCalculated) {
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
