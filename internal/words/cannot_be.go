package words

import (
	"strings"

	"reconcile/internal/record"
)

// cannotBe says the i-th thing that cannot be, at its line, and for a ticket that
// does not add up the figures that would mend it.
func (w *Words) cannotBe(i int) string {
	c := &w.Record.CannotBe[i]
	a := argsOf(c.Args)
	if c.Code == "impossible" {
		where := w.whereNoun(c.On, c.State)
		switch {
		case c.On == "all": // of the states, only a trailer alone is listed as a whole
			where = "the whole trailer" + w.inState(c.State)
		case strings.Contains(c.On, "+"):
			where = w.deckNouns(c.On) + " together" + w.inState(c.State)
		}
		return where + " would carry " + w.value(a.Kg, a.UKg) + ", and no load can be below zero: compare " + w.linesToCompare(c.File, c.Line, a.Lines)
	}
	at := w.formLine(c.File, c.Line)
	text := "ticket " + a.Ticket + " does not add up: " + typed(a.Typed, w.unitAt(c.Line)) + " on " + at +
		" is entered as calculated, but is not a sum or difference of the ticket's other figures"
	if len(a.Figures) == 0 {
		return text
	}
	var mends []string
	for i := range a.Figures {
		mends = append(mends, w.mend(a, i))
	}
	return text + "; it would add up with " + strings.Join(mends, ", or ")
}

// linesToCompare names the lines that an impossible load rests on, each with its
// figure in brackets, and what to compare them with. Where the record does not say
// which lines they are, it is the one at which the load is listed.
func (w *Words) linesToCompare(file string, at int, lines []int) string {
	if len(lines) == 0 {
		lines = []int{at}
	}
	var names []string
	for _, line := range lines {
		name := w.ticketLines(line)
		if line == at {
			name = w.formLine(file, line)
		}
		if g := w.readingAt(line, ""); g != nil {
			name += " (" + w.ticketName(g) + ")"
		}
		names = append(names, name)
	}
	if len(names) == 1 {
		return names[0] + " with the ticket"
	}
	return listed(names) + " with their tickets"
}

// mend says what one of the figures would have to be.
func (w *Words) mend(a *record.Args, i int) string {
	f := &a.Figures[i]
	text := typed(f.Should, f.Unit) + " in place of " + typed(f.Was, f.Unit)
	if f.OnDeck != "" {
		text += " for " + w.onDeckText(f.OnDeck, f.Line)
	}
	text += " (" + w.ticketLines(f.Line)
	if f.Digit {
		text += ", one digit"
	}
	return text + ")"
}
