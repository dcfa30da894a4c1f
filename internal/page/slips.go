package page

import (
	"slices"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

const (
	ticketsForm = "tickets.csv"
	scalesForm  = "scales.csv"
	loadsForm   = "loads.csv"
	placesForm  = "places.csv"
	outfitForm  = "outfit.csv"
)

// slip is one slip of paper: lines of tickets.csv that follow each other under
// one number.
type slip struct {
	key  string
	rows []int
}

// slips puts the lines of tickets.csv together. While a number is typed it may
// for a moment be that of the slip before: where a slip begins is remembered.
func (pg *page) slips() []slip {
	var all []slip
	for row := range pg.forms.rows(ticketsForm) {
		before := row > 0 && pg.forms.cell(ticketsForm, row, "ticket") == pg.forms.cell(ticketsForm, row-1, "ticket")
		if !before || slices.Contains(pg.view.Starts, row) {
			all = append(all, slip{key: itoa(len(all))})
		}
		s := &all[len(all)-1]
		s.rows = append(s.rows, row)
	}
	return all
}

// shiftRows moves what is remembered of lines of slips behind one that came
// (by 1) or went (by -1), as the lines themselves moved.
func (pg *page) shiftRows(row, by int) {
	var kept []int
	for _, s := range pg.view.Starts {
		if s > row || by > 0 && s == row {
			s += by
		}
		kept = append(kept, s)
	}
	pg.view.Starts = kept
	pg.shiftOpen([]string{"wheels-", "apart-", "how-", "line-"}, row, by)
}

// shiftOpen moves what is remembered as open under a number behind one that came
// or went; that of one that went is forgotten.
func (pg *page) shiftOpen(prefixes []string, from, by int) {
	moved := map[string]bool{}
	for key, open := range pg.view.Open {
		for _, prefix := range prefixes {
			n := number(strings.TrimPrefix(key, prefix))
			if !strings.HasPrefix(key, prefix) || n < from {
				continue
			}
			if key = ""; by > 0 || n > from {
				key = prefix + itoa(n+by)
			}
			break
		}
		if key != "" {
			moved[key] = open
		}
	}
	pg.view.Open = moved
}

// ofSlips begins the names under which something of a slip is remembered.
var ofSlips = []string{"no-date-", "no-time-", "no-scale-", "photo-", "head-"}

func (pg *page) drawSlips() string {
	inside := heading("slip", say("the_slip")) +
		p("help", say("type_the_lines_as_the"))
	for i, s := range pg.slips() {
		inside += pg.drawSlip(i, s)
	}
	add, more, answer := say("type_a_slip"), "", ""
	if pg.forms.rows(ticketsForm) > 0 {
		add, more, answer = say("add_another_slip"), pg.drawRiders()+pg.drawScales(), el("p", at{"class", "go"}, button("main", "goto", "", "answer", say("see_the_answer")))
	}
	return inside + el("p", nil, button("main", "add-slip", "", "", add)) + more + pg.otherFaults(ticketsForm, scalesForm, loadsForm, placesForm) + answer
}

func (pg *page) drawSlip(i int, s slip) string {
	first := s.rows[0]
	ticket := pg.forms.cell(ticketsForm, first, "ticket")
	title := say("slip_x", itoa(i+1))
	if ticket != "" && !strings.HasPrefix(ticket, unnumbered) {
		title = say("slip_x_number_x", itoa(i+1), ticket)
	}
	inside := el("legend", nil, esc(title)) + pg.piece("slip-head-"+s.key, itoa(first)+pg.rowState(ticketsForm, first), func() string { return pg.drawSlipHead(i, s) })
	for n, row := range s.rows {
		from := itoa(n) + "," + map[bool]string{true: "repeats"}[pg.repeats(row)] + map[bool]string{true: "adds up"}[pg.addsUp(row)] + pg.rowState(ticketsForm, row)
		for _, column := range headColumns {
			from += "\x1f" + pg.forms.cell(ticketsForm, first, column)
		}
		inside += pg.piece("slip-line-"+itoa(row), from, func() string { return pg.drawLineOf(n, row, first) })
	}
	return el("fieldset", at{"class", "slip panel"}, inside, el("p", nil, button("main", "add-line", s.key, "", say("next_line_of_this_slip"))))
}

// drawSlipHead is what a slip has once, above its lines; folded, it is read back in
// one sentence.
func (pg *page) drawSlipHead(i int, s slip) string {
	first, more := s.rows[0], "photo-"+s.key
	inside := el("div", at{"class", "row"}, pg.slipNumber(i, s), pg.slipWhen(i, s), pg.slipPlace(i, s),
		pg.slipField(i, s, "unit", say("figures_in"), "select", unitChoices...),
		pg.slipField(i, s, "interval", say("smallest_step_of_the_scale"), "decimal")) +
		el("details", at{"class", "more", "data-open", more, "open", when(pg.view.Open[more] || pg.forms.cell(ticketsForm, first, "copy") != "", "")}, el("summary", nil, say("a_photo_of_the_slip")), pg.photo(ticketsForm, first, say("photo")))
	key, must := "head-"+s.key, strings.Contains(inside, "data-fault")
	return pg.folded(key, pg.headTitle(first, pg.view.Open[key] || must), inside, must)
}

// headTitle is what the head of a slip is called while it is open, and what it says
// while it is folded.
func (pg *page) headTitle(row int, open bool) string {
	if open {
		return say("number_date_and_place")
	}
	cell := func(column string) string { return pg.forms.cell(ticketsForm, row, column) }
	when, where, unit := or(cell("weighed_at"), say("no_date")), cell("scale"), say("in_x", cell("unit"))
	if where != "" {
		where = say("weighbridge_x_in_text", where)
	}
	if step := cell("interval"); step != "" {
		unit += say("in_steps_of_x", step)
	}
	return titleOf(when, where, unit)
}

// headColumns are the cells that the head of a slip shows for all its lines.
var headColumns = []string{"ticket", "weighed_at", "scale", "unit", "interval"}

// headFaults are the faults of a later line at cells that the head shows: that a
// line repeats another, or has a date of its own. What the head says already, of
// the same cell of the first line, is not said again.
func (pg *page) headFaults(row, first int) string {
	if row == first {
		return ""
	}
	out := ""
	for _, column := range headColumns {
		said := pg.said(ticketsForm, row, column)
		cell := pg.forms.cell(ticketsForm, row, column)
		if cell != pg.forms.cell(ticketsForm, first, column) || column == "ticket" && cell != "" {
			out += said
		}
	}
	return out
}

// slipField is a field that all lines of a slip share.
func (pg *page) slipField(i int, s slip, column, label, kind string, choices ...choice) string {
	return pg.field(input{do: "slip", at: s.key + "|" + column, label: label, kind: kind, choices: choices,
		value: pg.forms.cell(ticketsForm, s.rows[0], column), form: ticketsForm, row: s.rows[0], columns: []string{column}})
}

// unnumbered begins the number of a slip that has none on it.
const unnumbered = "unnumbered "

func (pg *page) slipNumber(i int, s slip) string {
	ticket := pg.forms.cell(ticketsForm, s.rows[0], "ticket")
	none := strings.HasPrefix(ticket, unnumbered)
	tick := pg.notOnIt(s, "ticket", none)
	if none {
		return el("div", at{"class", "field"}, el("span", at{"class", "label"}, say("number_none_printed")), pg.said(ticketsForm, s.rows[0], "ticket"), tick)
	}
	return el("div", nil, pg.slipField(i, s, "ticket", say("number"), "text"), tick)
}

// notOnIt is the tick that says that something is not on the slip.
func (pg *page) notOnIt(s slip, column string, ticked bool) string {
	id := fieldID("not-on-it", s.key+"-"+column)
	return el("label", at{"class", "tick"}, el("input", at{"type", "checkbox", "id", id, "data-do", "not-on-it", "data-at", s.key + "|" + column, "checked", when(ticked, "")}), say("not_on_it"))
}

// moment splits a cell of weighed_at into the fields of date and time;
// false where it is written in a way of its own.
func (pg *page) moment(cell string) (date, clock string, ok bool) {
	m, known := tickets.ParseMoment(cell, pg.region())
	if !known || m.HasZone {
		return "", "", cell == ""
	}
	if d, t, both := strings.Cut(m.Printed, " "); both {
		return d, t, true
	}
	if m.Known {
		return m.Printed, "", true
	}
	return "", m.Printed, true
}

func (pg *page) slipWhen(i int, s slip) string {
	cell := pg.forms.cell(ticketsForm, s.rows[0], "weighed_at")
	date, clock, ok := pg.moment(cell)
	if !ok {
		return pg.slipField(i, s, "weighed_at", say("date_and_time"), "text")
	}
	said := pg.said(ticketsForm, s.rows[0], "weighed_at")
	out := ""
	for _, f := range []struct{ column, label, value string }{{"date", say("date"), date}, {"time", say("time"), clock}} {
		missing := pg.view.Open["no-"+f.column+"-"+s.key]
		if missing {
			out += el("div", at{"class", "field"}, el("span", at{"class", "label"}, esc(say("x_not_printed", f.label))), pg.notOnIt(s, f.column, true))
			continue
		}
		out += el("div", nil, pg.field(input{do: "when", at: s.key + "|" + f.column, label: f.label, kind: f.column, value: f.value}), pg.notOnIt(s, f.column, false))
	}
	return out + said
}

func (pg *page) slipPlace(i int, s slip) string {
	if pg.view.Open["no-scale-"+s.key] {
		return el("div", at{"class", "field"}, el("span", at{"class", "label"}, say("weighbridge_not_printed")), pg.said(ticketsForm, s.rows[0], "scale"), pg.notOnIt(s, "scale", true))
	}
	return el("div", nil, pg.slipField(i, s, "scale", say("which_weighbridge"), "text"), pg.notOnIt(s, "scale", false))
}

// doNotOnIt says that something is not printed on a slip, or takes that back.
func (pg *page) doNotOnIt(e event, where []string, _ *Reply) {
	s, ok := pg.slipOf(where[0])
	if !ok {
		return
	}
	yes := e.Value == "true"
	switch where[1] {
	case "ticket":
		number := ""
		if yes {
			number = pg.freeNumber()
		}
		pg.setAll(s, "ticket", number)
		return
	case "scale":
		pg.setAll(s, "scale", "")
	case "date", "time":
		pg.setWhen(s, where[1], "")
	}
	pg.view.Open["no-"+where[1]+"-"+s.key] = yes
}

// freeNumber is a number for a slip without one.
func (pg *page) freeNumber() string {
	for n := 1; ; n++ {
		number, taken := unnumbered+itoa(n), false
		for row := range pg.forms.rows(ticketsForm) {
			taken = taken || pg.forms.cell(ticketsForm, row, "ticket") == number
		}
		if !taken {
			return number
		}
	}
}

func (pg *page) slipOf(key string) (slip, bool) {
	for _, s := range pg.slips() {
		if s.key == key {
			return s, true
		}
	}
	return slip{}, false
}

func (pg *page) setAll(s slip, column, value string) {
	if column == "ticket" && s.rows[0] > 0 && !slices.Contains(pg.view.Starts, s.rows[0]) {
		pg.view.Starts = append(pg.view.Starts, s.rows[0])
	}
	if next := s.rows[len(s.rows)-1] + 1; column == "ticket" && next < pg.forms.rows(ticketsForm) && !slices.Contains(pg.view.Starts, next) {
		pg.view.Starts = append(pg.view.Starts, next)
	}
	for _, row := range s.rows {
		pg.forms.set(ticketsForm, row, column, value)
	}
}

func (pg *page) doSlip(e event, where []string, _ *Reply) {
	if s, ok := pg.slipOf(where[0]); ok {
		pg.setAll(s, where[1], e.Value)
		if where[1] == "scale" {
			pg.nameScales()
		}
	}
}

func (pg *page) doWhen(e event, where []string, _ *Reply) {
	if s, ok := pg.slipOf(where[0]); ok {
		pg.setWhen(s, where[1], e.Value)
	}
}

// setWhen puts date and time of a slip together.
func (pg *page) setWhen(s slip, part, value string) {
	date, clock, _ := pg.moment(pg.forms.cell(ticketsForm, s.rows[0], "weighed_at"))
	if part == "date" {
		date = value
	} else {
		clock = value
	}
	pg.setAll(s, "weighed_at", strings.TrimSpace(date+" "+clock))
}

func (pg *page) doAddSlip(_ event, _ []string, r *Reply) {
	row := pg.forms.add(ticketsForm, -1, map[string]string{"unit": pg.unit()})
	if row > 0 {
		pg.view.Starts = append(pg.view.Starts, row)
	}
	key := itoa(len(pg.slips()) - 1)
	for _, prefix := range ofSlips {
		delete(pg.view.Open, prefix+key)
	}
	pg.view.Open["head-"+key], pg.view.Open["line-"+itoa(row)] = true, true
	r.Focus = fieldID("slip", key+"|ticket")
}

// inherited are the cells that the next line of a slip begins with.
var inherited = []string{"ticket", "weighed_at", "scale", "unit", "interval", "setup", "hitch", "people", "without", "with", "copy"}

func (pg *page) doAddLine(_ event, where []string, r *Reply) {
	s, ok := pg.slipOf(where[0])
	if !ok {
		return
	}
	last := s.rows[len(s.rows)-1]
	cells := map[string]string{}
	for _, column := range inherited {
		if v := pg.forms.cell(ticketsForm, last, column); v != "" {
			cells[column] = v
		}
	}
	pg.shiftRows(last+1, 1)
	row := pg.forms.add(ticketsForm, last, cells)
	for _, above := range s.rows {
		delete(pg.view.Open, "line-"+itoa(above))
	}
	delete(pg.view.Open, "head-"+s.key)
	pg.view.Open["line-"+itoa(row)] = true
	r.Focus = fieldID("cell", ticketsForm+"|"+itoa(row)+"|note")
}

// setups are how the outfit can be weighed, in the core's words and in plain ones.
var setups = []choice{{"coupled", say("hitched_together")}, {"vehicle_alone", say("vehicle_alone")}, {"trailer_alone", say("trailer_alone_unhitched")}, {"empty", say("nothing_on_it_what_it")}}

// drawLineOf is one line of a slip. One that is filled in is folded once the next
// line is begun, and read back in one sentence; where something is to be mended or
// is asked of it, it is open.
func (pg *page) drawLineOf(n, row, first int) string {
	cell := func(c string) string { return pg.forms.cell(ticketsForm, row, c) }
	where := ticketsForm + "|" + itoa(row)
	byWheel := pg.byWheel(row)
	figure := ""
	if !byWheel {
		figure = pg.field(input{do: "cell", at: where + "|reading", label: say("figure"), kind: "decimal", value: cell("reading"), form: ticketsForm, row: row,
			columns: []string{"reading", "unit", "interval", ""}, noted: words.ReadBack(cell("reading"), cell("unit"))})
	}
	inside := el("div", at{"class", "pair"}, pg.cellField(ticketsForm, row, "note", say("word_printed"), "text"), figure)
	inside += pg.drawHow(n, row, byWheel)
	inside += pg.headFaults(row, first) + pg.drawAdded(row) + pg.questions(ticketsForm, row)
	leave := pg.field(input{do: "leave-out", at: where, label: say("keep_this_figure_but_leave"), kind: "check", value: when2(cell("use") == "no", "yes"), form: ticketsForm, row: row, columns: []string{"use"}, help: ""})
	inside += el("div", at{"class", "actions"}, leave, button("quiet", "remove", where, "", say("take_this_line_away")))
	key, title := "line-"+itoa(row), say("line_x", itoa(n+1))
	must := strings.Contains(inside, "data-fault") || strings.Contains(inside, `data-do="confirm"`)
	said := title
	if !must && !pg.view.Open[key] {
		said += ": " + pg.lineWords(row, byWheel)
	}
	return el("fieldset", at{"class", "line", "id", fieldID("line", itoa(row)), "aria-label", title}, pg.folded(key, said, inside, must))
}

// lineWords reads a line back: "STEER 1380 kg, front axle, hitched together".
func (pg *page) lineWords(row int, byWheel bool) string {
	cell := func(c string) string { return pg.forms.cell(ticketsForm, row, c) }
	var figures, on []string
	if !byWheel {
		figures = append(figures, cell("reading"))
		deck, known := pg.onDeck(row)
		for _, t := range deck {
			on = append(on, supportName(t))
		}
		if !known {
			on = append(on, cell("on_deck"))
		}
	}
	for _, c := range pg.forms.columns(ticketsForm, row) {
		if isWheel(c) && cell(c) != "" {
			figures = append(figures, wheelName(c)+" "+cell(c))
		}
	}
	use := map[string]string{"no": say("left_out"), "calculated": say("added_up_by_the_printer")}[strings.ToLower(cell("use"))]
	if cell("use") == "" && pg.addsUp(row) {
		use = say("added_up_by_the_printer")
	}
	return titleOf(strings.TrimSpace(cell("note")+" "+strings.Join(figures, "; ")+" "+cell("unit")), strings.Join(on, " + "), pg.howWords(row), use)
}

// drawHow asks how the outfit was, what was on the deck, and who was on board.
// A later line that repeats the line before it says so in one line, which can be
// opened: of its questions only the wheels are left to tap.
func (pg *page) drawHow(n, row int, byWheel bool) string {
	setup := pg.setupChosen(row)
	how := pg.radios("setup", ticketsForm+"|"+itoa(row)+"|setup", say("how_the_outfit_was"), setup, setups, pg.said(ticketsForm, row, "setup"))
	deck, board := "", ""
	if pg.forms.cell(ticketsForm, row, "setup") != "" {
		deck, board = pg.drawDeckOf(row, byWheel), pg.drawBars(row)+pg.drawBoard(row)
	}
	if n == 0 {
		return how + deck + board
	}
	key, title, open := "how-"+itoa(row), say("how_the_outfit_was"), true
	if pg.repeats(row) {
		title, open = say("as_in_the_line_before")+": "+pg.howWords(row), strings.Contains(how+board, "data-fault")
	}
	return el("details", at{"class", "more", "data-open", key, "open", when(pg.view.Open[key] || open, "")}, el("summary", nil, esc(title)), how, board) + deck
}

// setupChosen is how the outfit was, as the page offers it.
func (pg *page) setupChosen(row int) string {
	if strings.EqualFold(pg.forms.cell(ticketsForm, row, "on_deck"), "empty") {
		return "empty"
	}
	return pg.forms.cell(ticketsForm, row, "setup")
}

// repeats says whether the outfit was as in the line before.
func (pg *page) repeats(row int) bool {
	if pg.setupChosen(row) == "" || pg.setupChosen(row) == "empty" {
		return false
	}
	for _, column := range []string{"setup", "hitch", "people", "without", "with"} {
		if pg.forms.cell(ticketsForm, row, column) != pg.forms.cell(ticketsForm, row-1, column) {
			return false
		}
	}
	return true
}

// howWords says how the outfit was in a few words.
func (pg *page) howWords(row int) string {
	cell := func(c string) string { return pg.forms.cell(ticketsForm, row, c) }
	var all []string
	for _, c := range setups {
		if c.value == cell("setup") {
			all = append(all, c.text)
		}
	}
	for _, c := range barsChoices {
		if c.value == cell("hitch") {
			all = append(all, say("bars_x", c.text))
		}
	}
	if people := cell("people"); people != "" {
		all = append(all, say("people_x", people))
	}
	if names := terms(cell("without")); len(names) > 0 {
		all = append(all, say("x_not_on_board", strings.Join(names, ", ")))
	}
	if names := terms(cell("with")); len(names) > 0 {
		all = append(all, say("x_on_board", strings.Join(names, ", ")))
	}
	return strings.Join(all, ", ")
}

func when2(holds bool, value string) string {
	if holds {
		return value
	}
	return ""
}

// radios is one choice of a few, each in view.
func (pg *page) radios(do, where, label, now string, choices []choice, said string) string {
	name := fieldID(do, where)
	inside := el("legend", nil, esc(label))
	for _, c := range choices {
		inside += el("label", at{"class", "radio"}, el("input", at{"type", "radio", "name", name, "id", name + "-" + fieldID("", c.value), "value", c.value, "data-do", do, "data-at", where, "checked", when(c.value == now, "")}), " ", esc(c.text))
	}
	return el("fieldset", at{"class", "radios"}, inside, said)
}

func (pg *page) doSetup(e event, where []string, _ *Reply) {
	row := number(where[1])
	if e.Value == "empty" {
		for _, column := range []string{"setup", "hitch", "people", "without", "with"} {
			pg.forms.set(ticketsForm, row, column, "")
		}
		pg.forms.set(ticketsForm, row, "on_deck", "empty")
		return
	}
	if pg.forms.cell(ticketsForm, row, "setup") == e.Value {
		return
	}
	pg.forms.set(ticketsForm, row, "setup", e.Value)
	pg.forms.set(ticketsForm, row, "on_deck", "")
	for _, column := range pg.forms.columns(ticketsForm, row) {
		if isWheel(column) {
			pg.forms.set(ticketsForm, row, column, "")
		}
	}
	if e.Value != "coupled" {
		pg.forms.set(ticketsForm, row, "hitch", "")
	}
	if e.Value == "trailer_alone" {
		pg.forms.set(ticketsForm, row, "people", "")
	}
}

// drawDeckOf asks what was on the deck: wheels to tap, or a figure for each.
func (pg *page) drawDeckOf(row int, byWheel bool) string {
	where := ticketsForm + "|" + itoa(row)
	toggle := el("label", at{"class", "tick"}, el("input", at{"type", "checkbox", "id", fieldID("wheels", where), "data-do", "wheels", "data-at", where, "checked", when(byWheel, "")}), say("a_figure_for_each_wheel"))
	if byWheel {
		return el("fieldset", at{"class", "deck"}, el("legend", nil, say("the_figure_at_each_wheel")), pg.drawWheels(row), pg.said(ticketsForm, row, "on_deck", "reading", ""), toggle)
	}
	typed := pg.forms.cell(ticketsForm, row, "on_deck")
	on, known := pg.onDeck(row)
	said := pg.said(ticketsForm, row, "on_deck")
	inside := el("legend", nil, say("tap_the_wheels_that_were"))
	if !known && typed != "" {
		return el("fieldset", at{"class", "deck"}, inside, pg.cellField(ticketsForm, row, "on_deck", say("on_the_weighbridge_as_written"), "text"), toggle)
	}
	setup := pg.forms.cell(ticketsForm, row, "setup")
	inside += deckDrawing(deckView{setup: setup, row: row, on: on, axles: pg.apart(row), rear: pg.rearAxles(), trailer: pg.trailerAxles(), drawbar: pg.kind() == "drawbar"})
	all := supportsOf(setup, pg.kind() == "drawbar")
	actions := button("quiet", "whole-deck", where, "", say("all_of_it"))
	if pg.rearAxles() > 1 && setup != "trailer_alone" || pg.trailerAxles() > 1 && setup != "vehicle_alone" {
		actions += el("label", at{"class", "tick"}, el("input", at{"type", "checkbox", "id", fieldID("axle-by-axle", itoa(row)), "data-do", "open", "data-at", "apart-" + itoa(row), "checked", when(pg.apart(row), "")}), say("axle_by_axle"))
	}
	if setup == "trailer_alone" && pg.kind() != "drawbar" {
		actions += el("label", at{"class", "tick"}, el("input", at{"type", "checkbox", "id", fieldID("gauge", itoa(row)), "data-do", "deck", "data-at", where + "|coupling", "checked", when(slices.Contains(on, "coupling"), "")}), say("a_gauge_under_the_coupling"))
	}
	return el("fieldset", at{"class", "deck"}, inside, p("noted", deckWords(on, all)), said, el("div", at{"class", "actions"}, actions, toggle))
}

// deckWords says what is marked as standing on the deck.
func deckWords(on, all []string) string {
	if len(on) == 0 {
		return ""
	}
	var named []string
	for _, t := range on {
		named = append(named, supportName(t))
	}
	return say("on_the_weighbridge_x", strings.Join(named, ", "))
}

func supportName(term string) string {
	switch term {
	case "nose":
		return say("jockey_wheel")
	case "coupling":
		return say("coupling_on_a_gauge")
	}
	return words.OnWord(term) + when2(!strings.Contains(term, "."), say("axle"))
}

// supportsOf are the supports that a setup has.
func supportsOf(setup string, drawbar bool) []string {
	switch setup {
	case "vehicle_alone":
		return []string{"front", "rear"}
	case "trailer_alone":
		if drawbar {
			return []string{"trailer"}
		}
		return []string{"trailer", "nose"}
	}
	return []string{"front", "rear", "trailer"}
}

// onDeck splits the cell on_deck into supports; false where it holds more
// than the drawing can show.
func (pg *page) onDeck(row int) ([]string, bool) {
	all := supportsOf(pg.forms.cell(ticketsForm, row, "setup"), pg.kind() == "drawbar")
	var on []string
	for _, t := range terms(strings.ToLower(pg.forms.cell(ticketsForm, row, "on_deck"))) {
		switch {
		case t == "all":
			on = append(on, all...)
		case t == "vehicle":
			on = append(on, "front", "rear")
		case t == "coupling" || slices.Contains(all, t):
			on = append(on, t)
		case slices.Contains(all, strings.Split(t, ".")[0]) && len(t) == strings.Index(t, ".")+2 && t[len(t)-1] >= '1' && t[len(t)-1] <= '3':
			on = append(on, t)
		default:
			return nil, false
		}
	}
	return on, true
}

// apart says whether the axles of a group are tapped one by one.
func (pg *page) apart(row int) bool {
	on, _ := pg.onDeck(row)
	return pg.view.Open["apart-"+itoa(row)] || slices.ContainsFunc(on, func(t string) bool { return strings.Contains(t, ".") })
}

func (pg *page) doDeck(e event, where []string, _ *Reply) {
	row, term := number(where[1]), where[2]
	on, _ := pg.onDeck(row)
	if group, _, one := strings.Cut(term, "."); one {
		on = pg.axleByAxle(on, group)
	}
	if term == "coupling" || slices.Contains(on, "coupling") {
		on = slices.DeleteFunc(on, func(t string) bool { return t == "coupling" || term == "coupling" && e.Value == "true" })
	}
	if at := slices.Index(on, term); at >= 0 {
		on = slices.Delete(on, at, at+1)
	} else if term != "coupling" || e.Value == "true" {
		on = append(on, term)
	}
	pg.setDeck(row, on)
}

// axleByAxle names the axles of a group in its place, so that one of them can be
// taken off the deck.
func (pg *page) axleByAxle(on []string, group string) []string {
	at := slices.Index(on, group)
	if at < 0 {
		return on
	}
	on = slices.Delete(on, at, at+1)
	for n := range map[string]int{"rear": pg.rearAxles(), "trailer": pg.trailerAxles()}[group] {
		on = append(on, group+"."+itoa(n+1))
	}
	return on
}

// setDeck writes what is on the deck, in the order of the outfit.
func (pg *page) setDeck(row int, on []string) {
	setup := pg.forms.cell(ticketsForm, row, "setup")
	all := supportsOf(setup, pg.kind() == "drawbar")
	order := append(slices.Clone(all), "coupling")
	slices.SortStableFunc(on, func(a, b string) int {
		rank := func(t string) int { return slices.Index(order, strings.Split(t, ".")[0]) }
		if d := rank(a) - rank(b); d != 0 {
			return d
		}
		return strings.Compare(a, b)
	})
	text := strings.Join(on, "+")
	switch {
	case slices.Equal(on, all) && setup == "vehicle_alone":
		text = "vehicle"
	case slices.Equal(on, all) && len(all) > 1:
		text = "all"
	}
	pg.forms.set(ticketsForm, row, "on_deck", text)
}

func (pg *page) doWholeDeck(_ event, where []string, _ *Reply) {
	row := number(where[1])
	pg.setDeck(row, slices.Clone(supportsOf(pg.forms.cell(ticketsForm, row, "setup"), pg.kind() == "drawbar")))
}

func isWheel(column string) bool {
	word := strings.Split(column, ".")[0]
	return slices.Contains([]string{"front", "rear", "trailer", "nose", "vehicle", "coupling", "all"}, word)
}

// byWheel says whether a line has a figure for each wheel.
func (pg *page) byWheel(row int) bool {
	return pg.view.Open["wheels-"+itoa(row)] || slices.ContainsFunc(pg.forms.columns(ticketsForm, row), isWheel)
}

func (pg *page) doWheels(e event, where []string, _ *Reply) {
	row := number(where[1])
	pg.view.Open["wheels-"+itoa(row)] = e.Value == "true"
	if e.Value == "true" {
		pg.forms.set(ticketsForm, row, "on_deck", "")
		pg.forms.set(ticketsForm, row, "reading", "")
		return
	}
	for _, column := range pg.forms.columns(ticketsForm, row) {
		if isWheel(column) {
			pg.forms.set(ticketsForm, row, column, "")
		}
	}
}

// wheelColumns are the wheels of a setup, axle by axle.
func (pg *page) wheelColumns(setup string) []string {
	var all []string
	for _, group := range supportsOf(setup, pg.kind() == "drawbar") {
		axles := map[string]int{"rear": pg.rearAxles(), "trailer": pg.trailerAxles()}[group]
		switch {
		case group == "nose":
			all = append(all, "nose")
		case axles > 1:
			for n := 1; n <= axles; n++ {
				all = append(all, group+"."+itoa(n)+".left", group+"."+itoa(n)+".right")
			}
		default:
			all = append(all, group+".left", group+".right")
		}
	}
	return all
}

func (pg *page) drawWheels(row int) string {
	columns := pg.wheelColumns(pg.forms.cell(ticketsForm, row, "setup"))
	for _, c := range pg.forms.columns(ticketsForm, row) {
		if isWheel(c) && !slices.Contains(columns, c) {
			columns = append(columns, c)
		}
	}
	inside := ""
	for _, c := range columns {
		inside += pg.cellField(ticketsForm, row, c, wheelName(c), "decimal")
	}
	return el("div", at{"class", "wheels"}, inside)
}

func wheelName(column string) string {
	if column == "nose" {
		return say("jockey_wheel")
	}
	return words.OnWord(column)
}

// barsChoices are how a load-distribution hitch can be.
var barsChoices = []choice{{"plain", say("none")}, {"slack", say("loose")}, {"tensioned", say("tight")}, {"unknown", say("i_dont_know")}}

// drawBars asks how a load-distribution hitch was.
func (pg *page) drawBars(row int) string {
	if pg.forms.cell(ticketsForm, row, "setup") != "coupled" || pg.kind() != "centre_axle" {
		return ""
	}
	now := pg.forms.cell(ticketsForm, row, "hitch")
	if now == "" {
		now = pg.forms.one(outfitForm, "travels")
		if now != "plain" {
			now = ""
		}
	}
	return pg.radios("bars", ticketsForm+"|"+itoa(row), say("load_distribution_bars"), now,
		barsChoices, pg.said(ticketsForm, row, "hitch"))
}

// doBars says how the bars were. That there are none is true of the outfit.
func (pg *page) doBars(e event, where []string, _ *Reply) {
	row := number(where[1])
	if e.Value == "plain" {
		pg.forms.set(ticketsForm, row, "hitch", "")
		if pg.forms.one(outfitForm, "travels") == "" {
			pg.forms.setOne(outfitForm, "travels", "plain")
		}
		return
	}
	if pg.forms.one(outfitForm, "travels") == "plain" {
		pg.forms.setOne(outfitForm, "travels", "")
	}
	pg.forms.set(ticketsForm, row, "hitch", e.Value)
}

// drawBoard asks who and what was on board.
func (pg *page) drawBoard(row int) string {
	setup := pg.forms.cell(ticketsForm, row, "setup")
	inside := ""
	if setup != "trailer_alone" {
		inside += pg.cellField(ticketsForm, row, "people", say("people_on_board"), "number")
	}
	for load := range pg.forms.rows(loadsForm) {
		name := pg.forms.cell(loadsForm, load, "load")
		if name == "" {
			continue
		}
		now := ""
		if slices.Contains(terms(pg.forms.cell(ticketsForm, row, "without")), name) {
			now = "without"
		} else if slices.Contains(terms(pg.forms.cell(ticketsForm, row, "with")), name) {
			now = "with"
		}
		inside += pg.field(input{do: "rides", at: ticketsForm + "|" + itoa(row) + "|" + itoa(load), label: name, kind: "select", value: now,
			choices: []choice{{"", say("as_when_it_travels")}, {"without", say("was_not_on_board")}, {"with", say("on_board_but_does_not")}}})
	}
	return el("div", at{"class", "row"}, inside) + pg.said(ticketsForm, row, "without", "with")
}

// doRides names a load as missing or extra in a line, or takes that back.
func (pg *page) doRides(e event, where []string, _ *Reply) {
	row, name := number(where[1]), pg.forms.cell(loadsForm, number(where[2]), "load")
	for _, column := range []string{"without", "with"} {
		names := slices.DeleteFunc(terms(pg.forms.cell(ticketsForm, row, column)), func(n string) bool { return n == name })
		if column == e.Value {
			names = append(names, name)
		}
		pg.forms.set(ticketsForm, row, column, strings.Join(names, "+"))
	}
}

// drawAdded asks whether a figure was weighed or added up, where it adds up.
func (pg *page) drawAdded(row int) string {
	use := strings.ToLower(pg.forms.cell(ticketsForm, row, "use"))
	if use != "calculated" && !pg.addsUp(row) {
		return ""
	}
	now := use
	if now == "" {
		now = "calculated" // as the core takes it
	}
	return el("div", at{"class", "question"}, pg.radios("cell", ticketsForm+"|"+itoa(row)+"|use", say("this_figure_is_the_sum"), now,
		[]choice{{"calculated", say("added_up_by_the_printer")}, {"yes", say("weighed_by_itself")}}, ""))
}

// addsUp says whether the core found that a figure adds up.
func (pg *page) addsUp(row int) bool {
	r := pg.record()
	if r == nil {
		return false
	}
	line := pg.forms.lineOf(ticketsForm, row)
	return slices.ContainsFunc(r.Footnotes, func(f record.Note) bool {
		return f.Line == line && (f.Code == "taken_as_calculated" || f.Code == "looks_calculated")
	})
}

func (pg *page) doLeaveOut(e event, where []string, _ *Reply) {
	pg.forms.set(ticketsForm, number(where[1]), "use", when2(e.Value == "true", "no"))
}

// drawRiders lists the people and things that were on board in some lines only.
func (pg *page) drawRiders() string {
	inside := p("help", say("everything_that_normally_travels_is"))
	for row := range pg.forms.rows(loadsForm) {
		inside += pg.loadLine(row, false)
	}
	return pg.folded("riders", say("who_or_what_was_not"), inside+el("p", nil, button("", "add-load", "slip", "", say("add_somebody_or_something"))), pg.forms.rows(loadsForm) > 0)
}

// drawScales describes each weighbridge that a slip names.
func (pg *page) drawScales() string {
	inside := ""
	for row := range pg.forms.rows(scalesForm) {
		inside += el("fieldset", at{"class", "box wide"}, el("legend", nil, esc(say("weighbridge_x", pg.forms.cell(scalesForm, row, "scale")))), el("div", at{"class", "row"},
			el("div", at{"class", "full"}, pg.cellField(scalesForm, row, "deck", say("what_it_was"), "select", choice{"", say("not_stated_one_deck")}, choice{"single", say("deck_single")}, choice{"multi", say("deck_multi")},
				choice{"pads", say("deck_pads")}, choice{"pads_in_turn", say("deck_pads_in_turn")}, choice{"gauge", say("deck_gauge")})),
			pg.cellField(scalesForm, row, "interval", say("smallest_step_e_or_d"), "decimal"),
			pg.cellField(scalesForm, row, "unit", "in", "select", unitChoices...),
			pg.cellField(scalesForm, row, "class", say("accuracy_class_on_its_plate"), "select", choice{"", say("not_stated")}, choice{"III", "III"}, choice{"IIII", "IIII"}, choice{"III L", "III L"}, choice{"none", say("none_a_certificate_states")}),
			pg.cellField(scalesForm, row, "expanded_uncertainty", say("on_its_certificate_kg"), "decimal"),
			pg.cellField(scalesForm, row, "site", say("where_it_is"), "text")), pg.said(scalesForm, row, "scale", ""))
	}
	described := pg.forms.rows(scalesForm) > 0
	return el("section", at{"class", "panel"}, el("h3", nil, say("the_weighbridge")), inside,
		el("label", at{"class", "tick"}, el("input", at{"type", "checkbox", "id", "f-scale-described", "data-do", "scale", "data-at", "described", "checked", when(described, "")}), say("i_know_what_kind_of")))
}

// doScale begins to describe the weighbridges that the slips name, or stops.
func (pg *page) doScale(e event, _ []string, _ *Reply) {
	if e.Value != "true" {
		pg.forms.drop(scalesForm)
		return
	}
	for row := range pg.forms.rows(ticketsForm) {
		if pg.forms.cell(ticketsForm, row, "scale") == "" {
			pg.forms.set(ticketsForm, row, "scale", "weighbridge")
			for key := range pg.view.Open {
				if strings.HasPrefix(key, "no-scale-") {
					delete(pg.view.Open, key)
				}
			}
		}
	}
	pg.describeScales()
}

// describeScales has a line of scales.csv for every scale that a slip names,
// and no other.
func (pg *page) describeScales() {
	named := map[string]bool{}
	for row := range pg.forms.rows(ticketsForm) {
		name := pg.forms.cell(ticketsForm, row, "scale")
		if name == "" || named[name] {
			continue
		}
		named[name] = true
		known := false
		for s := range pg.forms.rows(scalesForm) {
			known = known || pg.forms.cell(scalesForm, s, "scale") == name
		}
		if !known {
			pg.forms.add(scalesForm, -1, map[string]string{"scale": name, "unit": pg.forms.cell(ticketsForm, row, "unit")})
		}
	}
}

// nameScales keeps the lines of scales.csv in step while the name of the one
// weighbridge is typed.
func (pg *page) nameScales() {
	if pg.forms.rows(scalesForm) == 0 {
		return
	}
	if pg.forms.rows(scalesForm) == 1 && len(pg.slips()) == 1 {
		pg.forms.set(scalesForm, 0, "scale", pg.forms.cell(ticketsForm, 0, "scale"))
		return
	}
	pg.describeScales()
}
