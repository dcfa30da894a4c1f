package words

import (
	"strings"

	"reconcile/internal/record"
)

// mistakes says the likely single mistakes in the record's order, named by
// ticket, support and figure. Two of one wording are said once.
func (w *Words) mistakes() []string {
	var all []string
	for i := range w.Record.Mistakes {
		all = addOnce(all, w.mistake(&w.Record.Mistakes[i]))
	}
	return all
}

// searchStopped says that not every likely mistake was tried; blank where all were.
func (w *Words) searchStopped() string {
	if w.Record.MistakesComplete || w.Record.Verdict != "conflict" { // mistakes are looked for in a conflict alone
		return ""
	}
	return "the search for mistakes stopped at its limit: less likely mistakes were not tried"
}

// mistake says one likely mistake: where it is, what would be wrong, and how
// well the readings would then agree.
func (w *Words) mistake(m *record.Mistake) string {
	text := w.mistakeText(m)
	if place := w.mistakePlace(m); place != "" {
		text = place + ": " + text
	}
	switch {
	case m.PValue == nil:
		text += " (nothing would then be left to test it)"
	case m.Poorly:
		text += " (the readings would still agree poorly)"
	}
	return text
}

// mistakePlace names the figure, its ticket, and its file and line.
func (w *Words) mistakePlace(m *record.Mistake) string {
	var name string
	switch {
	case m.Scope == "length" || m.Kind == "length_wrong" || m.Scope == "scale":
		return ""
	case m.Scope == "visit":
		return "tickets " + listed(w.ticketsOf(m.Readings))
	case m.Ticket != "":
		name = "ticket " + m.Ticket
	case m.Line == 0:
		return ""
	}
	if m.Scope == "ticket" && m.Kind != "exchanged" { // an exchange is of two figures, each named
		return name
	}
	if m.OnDeck != "" && m.Scope != "line" {
		name += ", " + w.onDeckText(m.OnDeck, m.Line)
	}
	if m.Line == 0 {
		return name
	}
	if name == "" {
		return w.formLine(m.File, m.Line)
	}
	return name + " (" + w.formLine(m.File, m.Line) + ")"
}

// ticketsOf names the tickets of figures, each once.
func (w *Words) ticketsOf(places []record.Place) []string {
	var names []string
	for _, p := range places {
		if g := w.readingAt(p.Line, p.Column); g != nil {
			names = addOnce(names, g.Ticket)
		}
	}
	return names
}

// mistakeText says what would be wrong, and what would then be right.
func (w *Words) mistakeText(m *record.Mistake) string {
	switch m.Kind {
	case "digits_swapped":
		return "two digits are swapped: " + wasShould(m)
	case "digit_wrong":
		return "one digit is wrong: " + wasShould(m)
	case "digit_count":
		return "a digit is lost or typed twice: " + wasShould(m)
	case "unit_wrong":
		return unitText(m)
	case "exchanged":
		return w.exchangeText(m)
	case "hitch_wrong":
		return hitchText(m) + w.inAll(m)
	case "load_wrong":
		return w.loadText(m) + w.inAll(m)
	case "setup_wrong":
		return w.setupText(m) + w.inAll(m)
	case "calculated":
		return w.calculatedText(m)
	case "length_wrong":
		return lengthText(m)
	case "zero_wrong":
		return w.zeroText(m)
	}
	return codeWord(m.Kind)
}

// wasShould says what a figure says and what would agree.
func wasShould(m *record.Mistake) string {
	return "it says " + typed(m.Was, m.Unit) + ", and " + typed(m.Should, m.Unit) + " would agree"
}

// unitText says a wrong unit: the figures where they are given, else the units.
func unitText(m *record.Mistake) string {
	_, isFigure := decimalOf(m.Was)
	switch {
	case isFigure:
		return "the unit is wrong: " + wasShould(m)
	case m.Was != "" && m.Should != "":
		return "the unit is wrong: it says " + m.Was + ", and " + m.Should + " would agree"
	}
	return "the unit is wrong"
}

// exchangeText names the figure with which one is exchanged.
func (w *Words) exchangeText(m *record.Mistake) string {
	for _, p := range m.Readings {
		if p.Line != m.Line || p.Column != m.Column {
			return "its figure and that of " + w.readingName(p.Line, p.Column) + " are exchanged: " + wasShould(m)
		}
	}
	return "its figure is exchanged with another: " + wasShould(m)
}

func hitchText(m *record.Mistake) string {
	if m.Should == "tensioned" {
		return "the hitch was tensioned, not " + otherHitch(m.Was, "slack")
	}
	return "the hitch was slack, not " + otherHitch(m.Was, "tensioned")
}

func otherHitch(was, usual string) string {
	if was == "" {
		return usual
	}
	return codeWord(was)
}

// inAll says that a mistake is in more than one figure, and in which.
func (w *Words) inAll(m *record.Mistake) string {
	var lines []int
	for _, p := range m.Readings {
		lines = append(lines, p.Line)
	}
	switch {
	case len(m.Readings) < 2:
		return ""
	case m.Scope == "line":
		return ", in the entire line"
	}
	return ", in " + w.ticketLines(lines...)
}

// loadText says who or what was on board, or was not, and where.
func (w *Words) loadText(m *record.Mistake) string {
	onBoard := m.Should == "on_board"
	if m.Load == "" {
		return w.personText(m, onBoard)
	}
	text := m.Load + " was not on board, although the " + w.reader("form", "slip") + " says so"
	if onBoard {
		text = m.Load + " was on board after all"
	}
	return text + placesText(m.Places)
}

// personText says that somebody whom no form lists was there, or was not.
func (w *Words) personText(m *record.Mistake, onBoard bool) string {
	person := "somebody of about " + w.massUnit(80)
	switch {
	case w.isTrailerAlone(m):
		return person + " was in the trailer or on the deck"
	case onBoard:
		return person + " whom " + w.reader("the forms do not name", "you have not listed") + " was on board" + placesText(m.Places)
	}
	return person + " who travels was not on board" + placesText(m.Places)
}

func (w *Words) isTrailerAlone(m *record.Mistake) bool {
	g := w.readingAt(m.Line, m.Column)
	return g != nil && g.Setup == "trailer_alone"
}

// placesText names the places where a load may have been.
func placesText(places []string) string {
	var names []string
	for _, p := range places {
		if p != "" {
			names = append(names, p)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " (" + either(names) + ")"
}

// setupText says what was on the deck instead, or how it was weighed.
func (w *Words) setupText(m *record.Mistake) string {
	was, should := m.Was, m.Should
	switch {
	case isSetup(should):
		return "it was weighed " + w.weighedWord(should) + ", not " + w.weighedWord(was)
	case was == "trailer+nose" && should == "trailer":
		return w.noseWas() + " off the deck"
	case was == "trailer" && should == "trailer+nose":
		return w.noseWas() + " on the deck"
	}
	return w.deckNouns(should) + " on the deck, not " + w.deckNouns(was)
}

func isSetup(code string) bool {
	return code == "vehicle_alone" || code == "trailer_alone" || strings.HasPrefix(code, "coupled")
}

// weighedWord says a setup, or a state, in which something was weighed.
func (w *Words) weighedWord(code string) string {
	if code == "vehicle_alone" || code == "trailer_alone" {
		return w.setupWord(code, "")
	}
	return w.stateWord(code)
}

// calculatedText says that a figure was typed as a reading and nobody weighed it.
func (w *Words) calculatedText(m *record.Mistake) string {
	figure := "the figure"
	if g := w.readingAt(m.Line, m.Column); g != nil {
		figure = typed(g.Reading, g.Unit)
	}
	return figure + " is a total, a net or a preset tare that the ticket prints; it was not weighed" + w.reader(" (use: calculated)", ": say there that it was added up")
}

// setupWord says how a reading was weighed: "with the vehicle uncoupled".
func (w *Words) setupWord(setup, hitch string) string {
	switch {
	case setup == "vehicle_alone":
		return "with the vehicle uncoupled"
	case setup == "trailer_alone":
		return "with the trailer uncoupled"
	case hitch == "":
		return "coupled"
	case hitch == "tensioned":
		return w.stateWord("coupled_tensioned")
	}
	return w.stateWord("coupled_slack")
}

// lengthText names the lengths that affect what does not fit, and what else may
// be the cause.
func lengthText(m *record.Mistake) string {
	level := "the outfit was not level, or an axle group did not share its load"
	var names []string
	for _, l := range m.Lengths {
		names = append(names, codeWord(l))
	}
	switch len(names) {
	case 0:
		return level
	case 1:
		return "the length " + names[0] + " is wrong, or " + level
	}
	return "a length is wrong (" + either(names) + "), or " + level
}

// zeroText says that a scale's zero had not returned.
func (w *Words) zeroText(m *record.Mistake) string {
	scale := "the scale"
	if name := w.scaleOf(m); name != "" {
		scale += " " + name
	}
	text := "the zero of " + scale + " had not returned: all its readings are off by one amount"
	if _, ok := decimalOf(m.Should); ok {
		text += ", " + typed(m.Should, m.Unit)
	}
	return text
}

// scaleOf names the scale that a mistake is in, by its readings.
func (w *Words) scaleOf(m *record.Mistake) string {
	for _, p := range m.Readings {
		if g := w.readingAt(p.Line, p.Column); g != nil {
			return g.Scale
		}
	}
	if g := w.readingAt(m.Line, m.Column); g != nil {
		return g.Scale
	}
	return ""
}
