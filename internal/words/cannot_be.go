package words

import (
	"strings"

	"reconcile/internal/record"
)

// CannotBe says what cannot be, at its line, and for a ticket that does not add
// up the figures that would mend it.
func (w *Words) CannotBe(c record.CannotBe) string { return say(w.cannotBe(c)) }

func (w *Words) cannotBe(c record.CannotBe) string {
	a := argsOf(c.Args)
	at := formLine(c.File, c.Line)
	if c.Code == "impossible" {
		return w.whereNoun(c.On, c.State) + " would carry " + w.value(a.Kg, a.UKg) + ", and no load can be below zero: compare " + at + w.figureAt(c) + " with the ticket"
	}
	text := "ticket " + a.Ticket + " does not add up: " + typed(a.Typed, w.unitAt(c.Line)) + " on " + at +
		" is entered as calculated, and is no sum or difference of the ticket's other figures"
	if len(a.Figures) == 0 {
		return text
	}
	var mends []string
	for _, f := range a.Figures {
		mends = append(mends, mend(f))
	}
	return text + "; it would add up with " + strings.Join(mends, ", or ")
}

// figureAt names the figure of a line by its ticket, in brackets.
func (w *Words) figureAt(c record.CannotBe) string {
	if g := w.readingAt(c.Line, ""); g != nil {
		return " (" + w.ticketName(g) + ")"
	}
	return ""
}

// mend says what one figure would have to be.
func mend(f record.Figure) string {
	text := typed(f.Should, f.Unit) + " in place of " + typed(f.Was, f.Unit)
	if f.OnDeck != "" {
		text += " for " + strings.ReplaceAll(f.OnDeck, "+", " + ")
	}
	text += " (line " + itoa(f.Line)
	if f.Digit {
		text += ", one digit"
	}
	return text + ")"
}
