package pdfout

import (
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// readings prints every figure of the tickets next to what it became.
func (s *sheet) readings() {
	if len(s.rec.Readings) == 0 {
		return
	}
	g := newGrid(col(s.label("line"), 8, true), col(s.label("ticket"), 14, false), col(s.label("when_where"), 33, false), col(s.label("how"), 29, false),
		col(s.label("entered"), 19, true), col(s.label("how_weighed"), 19, false), col(s.label("correction"), 18, true), col(s.label("reconciled"), 18, true),
		col(s.label("residual"), 15, true), col(s.label("doubt"), 16, true))
	g.notesAt = 1
	for _, v := range s.rec.Readings {
		g.rows = append(g.rows, s.readingRow(v))
	}
	s.section(s.label("s_readings"), s.say.ReadingsRemark(), g)
}

func (s *sheet) readingRow(v record.Reading) row {
	return row{
		cells: []cell{{count(v.Line)}, {v.Ticket}, paragraphs(v.WeighedAt, joined(", ", v.Scale, v.Site)), paragraphs(s.say.SetupText(v), joined(" ", deck(v), columnOf(v)), people(v)),
			s.entered(v), {words.HowWeighed(v)}, {s.signed(v.CorrectionKg)}, {s.mass(v.ReconciledKg)}, {s.mass(v.ResidualKg)}, s.doubt(v)},
		bold:  v.Suspect,
		notes: s.readingNotes(v),
	}
}

// entered is a figure as typed, what it is in the unit printed, and its
// interval, marked where that was assumed.
func (s *sheet) entered(v record.Reading) cell {
	typed := cell{words.Entered(v)}
	if v.ReadingKg != "" && v.Unit != s.say.UnitWord() && v.Unit != "" {
		typed = append(typed, "= "+s.say.MassText(v.ReadingKg)+" "+s.say.UnitWord())
	}
	if interval := s.say.IntervalText(v); interval != "" {
		typed = append(typed, interval)
	}
	return typed
}

// paragraphs is a cell of some paragraphs, the blank ones left out.
func paragraphs(texts ...string) cell {
	var c cell
	for _, t := range texts {
		if t != "" {
			c = append(c, t)
		}
	}
	return c
}

// columnOf names the column a figure was in, where the deck does not say it.
func columnOf(v record.Reading) string {
	if v.Column == v.OnDeck {
		return ""
	}
	return labelled("column ", v.Column)
}

// deck says what was on the deck.
func deck(v record.Reading) string { return strings.ReplaceAll(v.OnDeck, "+", " + ") }

// people says how many were in the vehicle.
func people(v record.Reading) string {
	if v.People == nil {
		return ""
	}
	return count(*v.People) + " on board"
}

// doubt is the standardised residual and the smallest mistake that would show.
func (s *sheet) doubt(v record.Reading) cell {
	switch {
	case v.Use == "no" || v.Use == "calculated":
		return cell{none}
	case v.Standardised == nil:
		return cell{words.DoubtText(nil, false)}
	}
	c := cell{words.DoubtText(v.Standardised, v.Suspect)}
	if v.SmallestDetectableKg != nil {
		c = append(c, s.mass(v.SmallestDetectableKg)+" "+s.say.UnitWord())
	}
	return c
}

// readingNotes is what else was on the ticket, and the footnotes about it.
func (s *sheet) readingNotes(v record.Reading) string {
	var numbers []int
	for i, f := range s.rec.Footnotes {
		if f.Line == v.Line && words.OfTickets(f) {
			numbers = append(numbers, i+1)
		}
	}
	notes := ""
	if len(numbers) > 0 {
		notes = "footnote " + words.Runs(numbers)
	}
	if len(numbers) > 1 {
		notes = "footnotes " + words.Runs(numbers)
	}
	return joined(" · ", labelled("without ", strings.Join(v.Without, ", ")), labelled("with ", strings.Join(v.With, ", ")),
		labelled("vehicle ", v.VehicleID), labelled("trailer ", v.TrailerID), labelled("copy ", v.Copy), v.Note, notes)
}

// scales prints the weighing instruments as they were stated.
func (s *sheet) scales() {
	if len(s.rec.Scales) == 0 {
		return
	}
	g := newGrid(col(s.label("scale"), 22, false), col(s.label("site"), 44, false), col(s.label("class"), 12, false), col(s.label("interval"), 16, true), col(s.label("max"), 18, true),
		col(s.label("deck"), 20, false), col(s.label("certificate"), 40, false), col(s.label("stated_uncertainty"), 26, false))
	for _, c := range s.rec.Scales {
		stated := joined(" ", labelled("U ", inKg(c.ExpandedUncertainty)), labelled("at ", inKg(c.StatedAt)), labelled("split u ", inKg(c.SplitUncertainty)))
		g.rows = append(g.rows, row{cells: []cell{{c.Scale}, paragraphs(c.Site, c.Operator), {c.Class}, {asTyped(c.Interval, c.Unit)}, {asTyped(c.Max, c.Unit)},
			{strings.ReplaceAll(c.Deck, "_", " ")}, paragraphs(labelled("certificate ", c.Certificate), labelled("verified ", c.VerifiedOn), labelled("copy ", c.Copy)), {orNone(stated)}}})
	}
	s.section(s.label("s_scales"), "", g)
}

// inKg is a figure of a column that is in kilograms whatever the pages print.
func inKg(figure string) string { return asTyped(figure, "kg") }

func asTyped(figure, unit string) string {
	if figure == "" {
		return ""
	}
	return words.Typed(figure, unit)
}
