package tickets

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// ticketLine is a line of tickets.csv with its readings.
type ticketLine struct {
	row      *ticketRow
	from, to int // its readings in the job
}

// defaultInterval is e where nobody states it, in kilograms.
var defaultInterval = decimal.NewFromInt(20)

func (j *jobReader) readTickets() {
	f := j.forms["tickets.csv"]
	if f == nil {
		return
	}
	rows := decode[ticketRow](f.records(f.byJob[j.job.Name], j.found))
	j.lines, j.job.Readings = make([]ticketLine, 0, len(rows)), make([]Reading, 0, len(rows))
	for i := range rows {
		l := ticketLine{row: &rows[i], from: len(j.job.Readings)}
		j.readLine(&rows[i])
		l.to = len(j.job.Readings)
		j.lines = append(j.lines, l)
	}
	j.checkRepeats()
	j.checkHitches()
}

// readLine reads a line and its readings.
func (j *jobReader) readLine(row *ticketRow) {
	base := j.common(row)
	scale := j.scaleFor(row.Scale)
	unit, unitOK := row.Unit.massUnit(j.job.Region)
	base.Unit = unit
	intervalOK := unitOK && j.interval(&base, row, *scale)
	j.checkPeople(base, row)
	for _, c := range j.figures(row) {
		r := base
		r.CellColumn = int(c.at().column)
		deck := row.OnDeck
		if c.name != "reading" {
			r.Column, r.OnDeck, deck = c.name, c.name, c
		}
		deckOK := j.deck(&r, row, deck, scale.Deck)
		if unitOK {
			j.figure(&r, c, row, intervalOK)
		}
		if deckOK {
			j.checkLoads(r, row)
		}
		j.job.Readings = append(j.job.Readings, r)
	}
}

// common reads the cells that all readings of a line share.
func (j *jobReader) common(row *ticketRow) Reading {
	row.Ticket.require("the number as printed", "where none is printed, give it one of your own")
	row.Setup.require("vehicle_alone, trailer_alone or coupled", "")
	setup, _ := row.Setup.choice("vehicle_alone", "trailer_alone", "coupled")
	r := Reading{Line: row.Job.line(), Ticket: row.Ticket.code(), WeighedAt: row.WeighedAt.moment(j.job.Region),
		Scale: row.Scale.text, Setup: Setup(setup), OnDeck: row.OnDeck.text,
		Without: row.Without.names(), With: row.With.names(), Use: UseYes,
		VehicleID: row.VehicleID.code(), TrailerID: row.TrailerID.code(), WeighedBy: row.WeighedBy.text,
		Copy: row.Copy.copyName(j.copies), Note: row.Note.text}
	if n, ok := row.People.count(0, 99); ok {
		r.People = &n
	}
	use, _ := row.Use.choice("yes", "no", "calculated")
	if use != "" {
		r.Use = Use(use)
	}
	if use == "no" && row.Note.blank() {
		row.Note.refuse("required cell note left blank", "why the line with use no is not used", "say why in note")
	}
	hitch, _ := row.Hitch.choice("slack", "tensioned")
	r.Hitch, r.HitchStated = Hitch(hitch), hitch != ""
	switch {
	case setup == string(Coupled) && row.Hitch.blank():
		r.Hitch = Slack
	case setup != string(Coupled) && setup != "" && hitch != "":
		row.Hitch.refuse(row.Hitch.shown()+" stands on a line with setup "+setup, "a hitch on coupled lines only", "leave it blank")
	}
	return r
}

// interval resolves the scale interval of a line: its own, its scale's, or the
// assumed one.
func (j *jobReader) interval(r *Reading, row *ticketRow, s Scale) bool {
	switch {
	case !row.Interval.blank():
		n, ok := row.Interval.positive("the scale interval in the reading's unit, like 20")
		if !ok {
			return false
		}
		r.IntervalKg, ok = row.Interval.toKg(n, r.Unit)
		return ok
	case s.IntervalKg.Valid:
		r.IntervalKg = s.IntervalKg.Decimal
	default:
		r.IntervalKg, r.IntervalAssumed = defaultInterval, true
	}
	return true
}

// figures lists the cells of a line that hold a reading; none is refused.
func (j *jobReader) figures(row *ticketRow) []cell {
	var cells []cell
	if !row.Reading.blank() {
		cells = append(cells, row.Reading)
	}
	for _, i := range j.terms {
		if c := row.Job.rec.cell(i); !c.blank() {
			cells = append(cells, c)
		}
	}
	switch {
	case len(cells) == 0 && row.Reading.col < 0 && len(j.terms) > 0:
		row.Reading.refuse("the line holds no reading", "a figure in one of the columns named like a support", "")
	case len(cells) == 0:
		row.Reading.require("the figure as printed", notWeighedHint)
	case row.Reading.blank() && !row.OnDeck.blank():
		row.OnDeck.refuse(row.OnDeck.shown()+" stands without a reading", "a figure in the column reading", "leave on_deck blank where columns name the supports")
	}
	return cells
}

// deck reads what stood on the deck.
func (j *jobReader) deck(r *Reading, row *ticketRow, c cell, kind DeckKind) bool {
	text := c.text
	if r.Column != "" {
		text = r.Column
	}
	if text == "" {
		if r.Use == UseCalculated {
			return true
		}
		return row.OnDeck.require(wantTerm, "")
	}
	terms, bad := parseDeck(text, r.Setup, j.axles)
	for _, b := range bad {
		what := "on_deck " + b.what
		if r.Column != "" {
			what = "column " + b.what
		}
		c.refuse(what, b.wanted, b.hint)
	}
	r.Terms = terms
	if gauge := len(terms) == 1 && terms[0].Group == Coupling; kind == DeckGauge && !gauge && len(bad) == 0 {
		c.refuse(fmt.Sprintf("%s does not stand on scale %s, a gauge", quote(text), quote(r.Scale)), "coupling", "")
	}
	return len(bad) == 0
}

// notWeighedHint is the cure of a line that waits for its figure.
const notWeighedHint = "delete the line where nothing was weighed"

// isPlaceholder says whether a cell holds a word, like NOT WEIGHED, or a dash.
func isPlaceholder(c cell) bool {
	return !strings.ContainsAny(c.text, "0123456789") && !strings.HasPrefix(c.text, "=")
}

// figure reads one figure of a line.
func (j *jobReader) figure(r *Reading, c cell, row *ticketRow, intervalOK bool) {
	if isPlaceholder(c) {
		hint := notWeighedHint
		if r.Column != "" {
			hint = "leave the cell blank where nothing was weighed"
		}
		c.refuse(c.shown()+" is not a number", "the figure as printed, like 3240", hint)
		return
	}
	n, ok := c.number("the figure as printed, like 3240")
	if !ok {
		return
	}
	r.Typed = n.typed
	if r.Kg, ok = c.toKg(n, r.Unit); !ok {
		return
	}
	switch {
	case n.hasPoint && row.Unit.blank():
		c.refuse(c.shown()+" has a decimal sign and no unit", "kg, t or lb in the column unit", "fill in unit as on the ticket")
	case r.Use != UseYes:
	case r.Kg.Sign() <= 0:
		c.refuse(c.shown()+" is not more than 0", "a used reading above 0", "write no in the column use and say why in note")
	case !intervalOK || !r.IntervalKg.GreaterThan(r.Kg):
	case r.IntervalAssumed && !r.names(Front) && !r.names(Rear) && !r.names(Trailer): // a nose may carry so little
	case r.IntervalAssumed:
		c.refuse(fmt.Sprintf("%s %s is less than %s kg, the interval of a scale that states none", c.shown(), r.Unit, r.IntervalKg), "a reading above the scale interval", "look at unit, or fill in interval")
	case row.Interval.blank():
		c.refuse(fmt.Sprintf("%s is less than the interval of scale %s", c.shown(), quote(r.Scale)), "a reading above the scale interval", "look at the units of both")
	default:
		row.Interval.refuse(fmt.Sprintf("%s is larger than the reading %s", row.Interval.shown(), quote(c.text)), "the scale interval in the reading's unit", "look at unit")
	}
}

// checkPeople refuses a line that counts other people aboard than travel and
// names no load that would explain it.
func (j *jobReader) checkPeople(r Reading, row *ticketRow) {
	travel := j.job.Outfit.People
	if r.People == nil || travel == nil || *r.People == *travel || len(r.Without)+len(r.With) > 0 || r.Use != UseYes || r.Setup == TrailerAlone {
		return
	}
	row.People.refuse(fmt.Sprintf("%s differs from people %s in outfit.csv", row.People.shown(), quote(j.typed.people)),
		"the same number, or a load in without or with", "name who was not aboard in without")
}

// checkLoads refuses loads that a reading cannot have or lack.
func (j *jobReader) checkLoads(r Reading, row *ticketRow) {
	for _, name := range r.Without {
		if slices.Contains(r.With, name) {
			row.With.refuse(fmt.Sprintf("%s stands in without too", row.With.with(name)), "a load in one of them", "")
			continue
		}
		j.checkLoad(r, row.Without, name, true)
	}
	for _, name := range r.With {
		if !slices.Contains(r.Without, name) {
			j.checkLoad(r, row.With, name, false)
		}
	}
}

func (j *jobReader) checkLoad(r Reading, c cell, name string, away bool) {
	e := j.loads.find(name)
	if e == nil {
		if !j.unreadable("loads.csv") {
			c.refuse(fmt.Sprintf("%s is not declared in loads.csv", c.with(name)), "a load that it lists", nearestHint("load", name, j.loads.names(), &j.guesses))
		}
		return
	}
	switch {
	case e.On == "" && e.Place == "":
		j.refuse(e.row.On, fmt.Sprintf("required cell on left blank for load %s", quote(name)), "vehicle or trailer, for a load named in tickets.csv", "fill in on, or a place")
	case e.On == OnTrailer && r.Setup == VehicleAlone, e.On == OnVehicle && r.Setup == TrailerAlone:
		c.refuse(fmt.Sprintf("%s rides on the %s, which setup %s does not have", c.with(name), e.On, r.Setup), "a load of the unit weighed", "")
	case away && e.Set != "":
		c.refuse(fmt.Sprintf("%s is aboard only in set %s, so it cannot be missing", c.with(name), quote(e.Set)), "a load that travels", "")
	}
	j.checkTravelling(r, c, name, away)
}

// checkTravelling refuses a load that one used line says travels and another
// says does not.
func (j *jobReader) checkTravelling(r Reading, c cell, name string, away bool) {
	if r.Use != UseYes {
		return
	}
	before, ok := j.named[name]
	if !ok {
		j.named[name] = r
		return
	}
	if wasAway := slices.Contains(before.Without, name); wasAway != away {
		other := "with"
		if wasAway {
			other = "without"
		}
		c.refuse(fmt.Sprintf("%s stands in %s on line %d", c.with(name), other, before.Line), "without for a load that travels, with for one that does not", "")
	}
}

// checkRepeats refuses a line that repeats another.
func (j *jobReader) checkRepeats() {
	first := map[string]int{}
	for _, l := range j.lines {
		for i := l.from; i < l.to; i++ {
			r := j.job.Readings[i]
			key := r.repeatKey(j.axles)
			before, ok := first[key]
			if !ok {
				first[key] = i
				continue
			}
			c := l.row.Ticket
			if r.Column != "" {
				c = l.row.Job.rec.cell(l.row.Job.rec.form.index[r.Column])
			}
			c.refuse(fmt.Sprintf("ticket %s, setup %s, on_deck %s repeats line %d", quote(r.Ticket), r.Setup, quote(r.OnDeck), j.job.Readings[before].Line),
				"another ticket, setup, hitch, on_deck or weighed_at", "delete the line, or fill in weighed_at where it was weighed again")
		}
	}
}

// repeatKey tells whether two readings say the same of the same weighing. A
// calculated figure without a deck is told apart by its figure.
func (r *Reading) repeatKey(axles axleCounts) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%q %s %s ", r.Ticket, r.Setup, r.Hitch)
	if r.WeighedAt.Known {
		fmt.Fprintf(&b, "%d %v ", r.WeighedAt.Time.Unix(), r.WeighedAt.HasTime)
	}
	for _, t := range r.Terms {
		if axles.of(t.Group) == 1 {
			t.Axle = 0
		}
		b.WriteString(t.String() + "+")
	}
	if len(r.Terms) == 0 {
		fmt.Fprintf(&b, "%q %s", r.OnDeck, r.Kg)
	}
	return b.String()
}

// checkHitches refuses a coupled line with a blank hitch where another line of
// the job, or the outfit, says tensioned.
func (j *jobReader) checkHitches() {
	says := ""
	if j.job.Outfit.Travels == TravelsTensioned {
		says = "travels in outfit.csv"
	}
	for _, l := range j.lines {
		if says == "" && strings.EqualFold(l.row.Hitch.text, "tensioned") {
			says = fmt.Sprintf("line %d", l.row.Job.line())
		}
	}
	for _, l := range j.lines {
		if says != "" && strings.EqualFold(l.row.Setup.text, "coupled") && l.row.Hitch.blank() {
			l.row.Hitch.refuse("required cell hitch left blank where "+says+" says tensioned", "slack or tensioned", "slack where the bars were off or hung loose, tensioned where they were set as on the road")
		}
	}
}

// resolveTravels decides how the outfit travels where outfit.csv does not say.
func (j *jobReader) resolveTravels() {
	o := &j.job.Outfit
	if !o.TravelsStated {
		o.Travels = TravelsPlain
		for _, r := range j.job.Readings {
			if r.Use == UseYes && r.Hitch == Tensioned {
				o.Travels = TravelsTensioned
			}
		}
	}
	if o.Travels != TravelsPlain {
		return
	}
	for _, l := range j.lines {
		if !strings.EqualFold(l.row.Hitch.text, "tensioned") || !strings.EqualFold(l.row.Setup.text, "coupled") {
			continue
		}
		what, hint := " contradicts travels plain in outfit.csv", "plain is an outfit without a load-distribution hitch"
		if !o.TravelsStated {
			what, hint = " stands on no used line, so how the outfit travels is not known", "fill in travels in outfit.csv"
		}
		l.row.Hitch.refuse(l.row.Hitch.shown()+what, "slack, or travels tensioned", hint)
	}
}
