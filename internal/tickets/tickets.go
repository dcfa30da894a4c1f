package tickets

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// ticketLine is a line of tickets.csv with its readings.
type ticketLine struct {
	row      *ticketRow
	from, to int // its readings in the job
}

// mostReadings is the most readings that one job may have.
const mostReadings = 200

func (j *jobReader) readTickets() {
	if j.forms[ticketsForm] == nil {
		return
	}
	rows := decode(j.desk, &j.desk.tickets, j.ownLines(ticketsForm))
	if !j.options.NeedTickets { // a plan: lines that wait for their figures say nothing yet
		rows = slices.DeleteFunc(rows, func(r ticketRow) bool { return j.waiting(&r) })
	}
	figures := min(len(rows)*max(1, len(j.terms)+1), mostReadings+len(j.terms)+1)
	j.lines, j.cells = j.desk.lines.List(len(rows))[:0], j.desk.cells.List(figures)[:0]
	j.job.Readings = j.memory.readings.List(figures)[:0]
	for i := range rows {
		l := ticketLine{row: &rows[i], from: len(j.job.Readings)}
		if j.readLine(&rows[i]); len(j.job.Readings) > mostReadings {
			j.refuse(rows[i].Ticket, fmt.Sprintf("the job has more than %d readings", mostReadings), fmt.Sprintf("at most %d readings per job", mostReadings), "make two jobs of them")
			j.job.Readings = j.job.Readings[:l.from]
			return
		}
		l.to = len(j.job.Readings)
		j.lines = append(j.lines, l)
	}
	j.job.Readings = slices.Clip(j.job.Readings)
	j.takeCalculated()
	j.assumeIntervals()
	j.checkIntervals()
	j.checkPeople()
	j.checkRepeats()
	j.checkHitches()
	j.checkDrawbarLoads()
}

// waiting says whether a line waits for its figure, as forms and plan write it:
// how the outfit is to be and what is to be on the deck, and nothing that a
// ticket would say.
func (j *jobReader) waiting(row *ticketRow) bool {
	for _, c := range []cell{row.Ticket, row.WeighedAt, row.Reading, row.Without, row.With, row.Use, row.Confirmed, row.VehicleID, row.TrailerID, row.Copy, row.Note} {
		if !c.blank() {
			return false
		}
	}
	for _, i := range j.terms {
		if !row.Job.rec.cell(i).blank() {
			return false
		}
	}
	return !row.OnDeck.blank()
}

// readLine reads a line and its readings.
func (j *jobReader) readLine(row *ticketRow) {
	base := j.common(row)
	scale := j.scaleFor(row.Scale)
	unit, unitOK := row.Unit.massUnit(j.region)
	base.Unit = unit
	j.interval(&base, row, scale, unitOK)
	j.checkLoads(&base, row)
	for _, c := range j.figures(row) {
		r := base
		deck := row.OnDeck
		if name := c.name(); name != "reading" {
			r.Column, r.OnDeck, deck = name, name, c
			r.Empty = false // refused on a line of an empty deck, and judged as what its column says
		}
		if !r.Empty {
			j.deck(&r, row, deck, scale)
		}
		j.figure(&r, c, row, unitOK)
		j.job.Readings = append(j.job.Readings, r)
		j.cells = append(j.cells, c)
	}
}

// common reads the cells that all readings of a line share.
func (j *jobReader) common(row *ticketRow) Reading {
	row.Ticket.require("the number as printed", "where none is printed, give it one of your own")
	r := Reading{Line: row.Job.line(), Ticket: row.Ticket.code(), WeighedAt: row.WeighedAt.moment(j.region),
		Scale: row.Scale.text(), OnDeck: row.OnDeck.text(),
		Without: row.Without.names(), With: row.With.names(), Used: true,
		VehicleID: row.VehicleID.code(), TrailerID: row.TrailerID.code(), WeighedBy: row.WeighedBy.text(),
		Copy: row.Copy.copyName(j.copies), Note: row.Note.text(), Confirmed: row.Confirmed.confirmed()}
	if n, ok := row.People.count(0, 99); ok {
		r.People = j.memory.people.Of(n)
	}
	use, _ := row.Use.choice(yes, no, calculated)
	if use != "" {
		r.Used, r.Calculated, r.UseStated = use == yes, use == calculated, true
	}
	if use == no && row.Note.blank() {
		row.Note.refuse("required cell note left blank", "why the line with use no is not used", "say why in note")
	}
	if strings.EqualFold(row.OnDeck.text(), "empty") {
		j.emptyDeck(&r, row)
		return r
	}
	row.Setup.require("vehicle_alone, trailer_alone or coupled", "")
	setup, _ := row.Setup.choice(string(VehicleAlone), string(TrailerAlone), coupled)
	r.State = State(setup)
	j.hitch(&r, row, setup)
	return r
}

// emptyDeck reads a line that says what the display showed with nothing on the
// deck: nothing on it may speak of an outfit.
func (j *jobReader) emptyDeck(r *Reading, row *ticketRow) {
	r.OnDeck, r.Empty = "empty", true
	for _, c := range []cell{row.Setup, row.Hitch, row.People, row.Without, row.With} {
		if !c.blank() {
			c.refuse(fmt.Sprintf("%s is on a line with on_deck empty", c.shown()), c.name()+" left blank where nothing was on the deck", "")
		}
	}
	if r.Calculated {
		row.Use.refuse(row.Use.shown()+" is on a line with on_deck empty", "yes or no, or use left blank", "")
	}
	for _, i := range j.terms {
		if c := row.Job.rec.cell(i); !c.blank() {
			c.refuse(c.shown()+" is on a line with on_deck empty", "the figure in the column reading", "")
		}
	}
	r.People, r.With, r.Without = nil, nil, nil
}

// hitch reads how the hitch was on a coupled line.
func (j *jobReader) hitch(r *Reading, row *ticketRow, setup string) {
	hitch, _ := row.Hitch.choice(slack, tensioned, unknown)
	set := hitch == tensioned || hitch == unknown
	if setup == coupled {
		r.State = coupledState(set)
	}
	r.HitchUnknown, r.HitchStated = hitch == unknown, hitch != ""
	switch {
	case setup != coupled && setup != "" && hitch != "":
		row.Hitch.refuse(fmt.Sprintf("%s is on a line with setup %s", row.Hitch.shown(), setup), "a hitch on coupled lines only", "leave it blank")
	case j.job.Outfit.Semi && set:
		row.Hitch.refuse(row.Hitch.shown()+" does not go with trailer_kind semi", "slack, or hitch left blank", "a semi-trailer has no load-distribution hitch")
	}
}

// interval reads the scale interval of a line, its own or its scale's; where
// neither states one it is assumed when all lines are read. In a unit that was
// refused it is no more than a number.
func (j *jobReader) interval(r *Reading, row *ticketRow, s *Scale, unitOK bool) {
	switch {
	case !row.Interval.blank():
		r.IntervalKg = row.Interval.mass(row.Interval.positive, "the scale interval in the reading's unit, like 20", r.Unit, unitOK).Decimal
	case !unitOK:
	case s.IntervalKg.Valid:
		r.IntervalKg = s.IntervalKg.Decimal
	default:
		r.IntervalAssumed = true
	}
}

// figures lists the cells of a line that hold a reading; none is refused.
func (j *jobReader) figures(row *ticketRow) []cell {
	cells := j.desk.figures[:0]
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
		row.Reading.refuse("the line has no reading", "a figure in one of the columns named like a position", "")
	case len(cells) == 0:
		row.Reading.require("the figure as printed", notWeighedHint)
	case row.Reading.blank() && !row.OnDeck.blank():
		row.OnDeck.refuse(row.OnDeck.shown()+" has no reading", "a figure in the column reading", "leave on_deck blank where columns name the positions")
	}
	j.desk.figures = cells
	return cells
}

// deck reads what was on the deck.
func (j *jobReader) deck(r *Reading, row *ticketRow, c cell, s *Scale) {
	text := c.text()
	if r.Column != "" {
		text = r.Column
	}
	if text == "" {
		if !r.Calculated {
			row.OnDeck.require(wantTerm, "")
		}
		return
	}
	terms, bad := parseDeck(j.memory.terms.List(mostTerms(text))[:0], text, r.State, j.job.Outfit.Drawbar, j.axles)
	for _, b := range bad {
		what := "on_deck " + b.what
		if r.Column != "" {
			what = "column " + b.what
		}
		c.refuse(what, b.wanted, b.hint)
	}
	if len(terms) > 0 {
		r.Terms = slices.Clip(terms)
	}
	if coupling := len(terms) == 1 && terms[0].Group == Coupling; s.Gauge && !coupling && len(bad) == 0 {
		c.refuse(fmt.Sprintf("%s is not weighed by scale %s, a gauge", quote(text), quote(r.Scale)), "coupling", "")
	}
}

// notWeighedHint is the cure of a line that waits for its figure.
const notWeighedHint = "delete the line where nothing was weighed"

// isPlaceholder says whether a cell holds a word, like NOT WEIGHED, or a dash.
func isPlaceholder(c cell) bool {
	return !strings.ContainsAny(c.text(), "0123456789") && !strings.HasPrefix(c.text(), "=")
}

// figure reads one figure of a line; in a unit that was refused it is no more
// than a number.
func (j *jobReader) figure(r *Reading, c cell, row *ticketRow, unitOK bool) {
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
	switch {
	case unitOK && n.hasPoint && row.Unit.blank():
		c.refuse(c.shown()+" has a decimal sign and no unit", "kg, t or lb in the column unit", "fill in unit as on the ticket")
	case r.Used && !r.Empty && n.value.Sign() <= 0:
		c.refuse(c.shown()+" is not more than 0", "a used reading above 0", "write no in the column use and say why in note")
	case unitOK:
		if kg, ok := c.toKg(n, r.Unit); ok {
			r.Kg = kg
		}
	}
}

// vehicleOnDeck says whether any of the vehicle is on the deck; a figure that
// names no deck may be of it.
func (r *Reading) vehicleOnDeck() bool {
	if r.Empty || r.State == TrailerAlone {
		return false
	}
	return len(r.Terms) == 0 || r.names(Front) || r.names(Rear)
}

// checkPeople refuses a line that counts other people on board than travel and
// names no load that would explain it. Where outfit.csv does not say how many
// travel, the largest number on any line of the job does.
func (j *jobReader) checkPeople() {
	travel, line := j.job.Outfit.People, 0 // of the form that counts those who travel; 0 is outfit.csv
	if travel == nil && j.typed.people == "" {
		for i := range j.job.Readings {
			if r := &j.job.Readings[i]; r.People != nil && r.vehicleOnDeck() && (travel == nil || *r.People > *travel) {
				travel, line = r.People, r.Line
			}
		}
	}
	for _, l := range j.lines {
		for i := l.from; i < l.to; i++ {
			r := &j.job.Readings[i]
			if r.People == nil || travel == nil || *r.People == *travel || len(r.Without)+len(r.With) > 0 || !r.Used || !r.vehicleOnDeck() {
				continue
			}
			hint := "name under without who was not on board"
			if *r.People > *travel {
				hint = "name under with who was on board in this weighing only"
			}
			shown := "people " + quote(j.typed.people) + " in outfit.csv"
			if line > 0 {
				shown = fmt.Sprintf("people %q on line %d", strconv.Itoa(*travel), line)
			}
			l.row.People.refuse(l.row.People.shown()+" differs from "+shown, "the same number, or a load in without or with", hint)
			break
		}
	}
}

// checkLoads refuses loads that a reading cannot have or lack.
func (j *jobReader) checkLoads(r *Reading, row *ticketRow) {
	for _, name := range r.Without {
		if slices.Contains(r.With, name) {
			row.With.refuse(fmt.Sprintf("%s is in without too", row.With.with(name)), "a load in one of them", "")
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

func (j *jobReader) checkLoad(r *Reading, c cell, name string, away bool) {
	e := j.loads.find(name)
	if e == nil {
		if !j.unreadable(loadsForm) {
			c.refuse(fmt.Sprintf("%s is not listed in loads.csv", c.with(name)), "use a name from that form", nearestHint("load", name, j.loads.names(), &j.guesses))
		}
		return
	}
	switch {
	case e.On == "" && e.Place == "":
		j.refuse(e.row.On, fmt.Sprintf("required cell on left blank for load %s", quote(name)), "vehicle or trailer, for a load named in tickets.csv", "fill in on, or a place")
	case e.On == OnTrailer && r.State == VehicleAlone, e.On == OnVehicle && r.State == TrailerAlone:
		c.refuse(fmt.Sprintf("%s rides on the %s, which setup %s does not have", c.with(name), e.On, r.State), "a load of the unit weighed", "")
	case !away && (e.Least.Valid || e.Most.Valid):
		c.refuse(fmt.Sprintf("%s has least or most in loads.csv", c.with(name)), "a load in with whose mass does not vary during a trip", "")
	case away && e.Set != "":
		c.refuse(fmt.Sprintf("%s is on board only in set %s, so it cannot be missing", c.with(name), quote(e.Set)), "a load that travels", "")
	}
	j.checkTravelling(r, c, name, away)
}

// checkTravelling refuses a load that one used line says travels and another
// says does not.
func (j *jobReader) checkTravelling(r *Reading, c cell, name string, away bool) {
	if !r.Used {
		return
	}
	before, ok := j.named[name]
	if !ok {
		if j.named == nil {
			j.named = map[string]Reading{}
		}
		j.named[name] = *r
		return
	}
	if wasAway := slices.Contains(before.Without, name); wasAway != away {
		other := "with"
		if wasAway {
			other = "without"
		}
		c.refuse(fmt.Sprintf("%s is in %s on line %d", c.with(name), other, before.Line), "without for a load that travels, with for one that does not", "")
	}
}

// checkRepeats refuses a line that repeats another.
func (j *jobReader) checkRepeats() {
	for _, l := range j.lines {
		for i := l.from; i < l.to; i++ {
			r := &j.job.Readings[i]
			before := 0
			for before < i && !r.repeats(&j.job.Readings[before], j.axles) {
				before++
			}
			if before == i {
				continue
			}
			c := l.row.Ticket
			if r.Column != "" {
				c = l.row.Job.rec.cell(l.row.Job.rec.form.index[r.Column])
			}
			setup := ""
			if !r.Empty {
				word, _ := r.State.Cells()
				setup = " setup " + word + ","
			}
			c.refuse(fmt.Sprintf("ticket %s,%s on_deck %s repeats line %d", quote(r.Ticket), setup, quote(r.OnDeck), j.job.Readings[before].Line),
				"another ticket, setup, hitch, on_deck or weighed_at", "delete the line, or fill in weighed_at where it was weighed again")
		}
	}
}

// repeats says whether two readings say the same of the same weighing. A
// calculated figure without a deck is known by its figure.
func (r *Reading) repeats(o *Reading, axles axleCounts) bool {
	if r.Ticket != o.Ticket || r.State != o.State || r.HitchUnknown != o.HitchUnknown || r.WeighedAt.Printed != o.WeighedAt.Printed {
		return false
	}
	if !r.State.Coupled() && r.HitchStated != o.HitchStated { // one was refused for its hitch: it may have been coupled
		return false
	}
	if len(r.Terms) == 0 && len(o.Terms) == 0 {
		return r.OnDeck == o.OnDeck && r.Kg.Equal(o.Kg)
	}
	return slices.EqualFunc(r.Terms, o.Terms, func(a, b Term) bool {
		oneAxle := axles.of(a.Group) == 1 // which may be named or not
		return a.Group == b.Group && a.Side == b.Side && (a.Axle == b.Axle || oneAxle)
	})
}

// says reports whether a line is coupled and its hitch cell holds a word.
func (l ticketLine) says(hitch string) bool {
	return strings.EqualFold(l.row.Hitch.text(), hitch) && strings.EqualFold(l.row.Setup.text(), coupled)
}

// checkHitches refuses a coupled line with a blank hitch where another line of
// the job, or the outfit, says tensioned or unknown, and lines that say unknown
// where others say tensioned or nobody says how the outfit travels.
func (j *jobReader) checkHitches() {
	says, word, tight := "", tensioned, 0
	if j.job.Outfit.Travels == CoupledTensioned {
		says = "travels in outfit.csv"
	}
	for _, l := range j.lines {
		for _, hitch := range []string{tensioned, unknown} {
			if says == "" && strings.EqualFold(l.row.Hitch.text(), hitch) {
				says, word = fmt.Sprintf("line %d", l.row.Job.line()), hitch
			}
		}
		if tight == 0 && l.says(tensioned) {
			tight = l.row.Job.line()
		}
	}
	wanted := "slack or tensioned"
	if word == unknown {
		wanted = "slack or unknown"
	}
	for _, l := range j.lines {
		c := l.row.Hitch
		switch {
		case says != "" && strings.EqualFold(l.row.Setup.text(), coupled) && c.blank():
			c.refuse(fmt.Sprintf("required cell hitch left blank where %s says %s", says, word), wanted, "slack where the bars were off or hung loose, tensioned where they were set as on the road")
		case !l.says(unknown):
		case tight > 0:
			c.refuse(fmt.Sprintf("%s contradicts line %d, which says tensioned", c.shown(), tight), "slack or tensioned", "where nobody knows, write unknown on every line with the bars set")
		case !j.job.Outfit.TravelsStated:
			c.refuse(c.shown()+" needs travels in outfit.csv", "travels slack or tensioned", "fill in travels: how the bars are set on the road")
		}
	}
}

// resolveTravels decides how the outfit travels where outfit.csv does not say.
func (j *jobReader) resolveTravels() {
	o := &j.job.Outfit
	if !o.TravelsStated {
		o.Travels, o.TravelsPlain = CoupledSlack, true
		for i := range j.job.Readings {
			if r := &j.job.Readings[i]; r.Used && r.State == CoupledTensioned && !r.HitchUnknown {
				o.Travels, o.TravelsPlain = CoupledTensioned, false
			}
		}
	}
	if !o.TravelsPlain {
		return
	}
	for _, l := range j.lines {
		c := l.row.Hitch
		switch {
		case l.says(tensioned) && o.TravelsStated, l.says(unknown) && o.TravelsStated:
			c.refuse(c.shown()+" contradicts travels plain in outfit.csv", "slack, or travels tensioned", "plain is an outfit without a load-distribution hitch")
		case l.says(tensioned):
			c.refuse(c.shown()+" is on no used line, so how the outfit travels is not known", "slack, or travels tensioned", "fill in travels in outfit.csv")
		}
	}
}

// checkDrawbarLoads refuses, with a drawbar trailer whose axles were weighed
// separately, loads of the trailer in without and with: which axle they are on
// is not known.
func (j *jobReader) checkDrawbarLoads() {
	if !j.job.Outfit.Drawbar || !j.readsTrailerAxles() {
		return
	}
	for _, l := range j.lines {
		for _, c := range []cell{l.row.Without, l.row.With} {
			for _, name := range strings.Split(c.text(), "+") {
				if e := j.loads.find(trim(name)); e != nil && e.On == OnTrailer {
					c.refuse(fmt.Sprintf("%s is on a drawbar trailer whose axles were weighed separately", c.with(trim(name))), "loads of the vehicle only", "weigh the trailer as it travels")
				}
			}
		}
	}
}

func (j *jobReader) readsTrailerAxles() bool {
	return slices.ContainsFunc(j.job.Readings, func(r Reading) bool {
		return r.Used && slices.ContainsFunc(r.Terms, func(t Term) bool { return t.Group == Trailer && t.Axle > 0 })
	})
}
