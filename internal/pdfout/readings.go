package pdfout

import (
	"strings"

	"reconcile/internal/record"
)

// readings prints every figure of the tickets next to what it became.
func (s *sheet) readings() {
	if len(s.rec.Readings) == 0 {
		return
	}
	g := s.newGrid(col(s.label("line"), 8, true), col(s.label("ticket"), 14, false), col(s.label("when_where"), 33, false), col(s.label("how"), 29, false),
		col(s.label("entered"), 19, true), col(s.label("how_weighed"), 19, false), col(s.label("correction"), 18, true), col(s.label("reconciled"), 18, true),
		col(s.label("residual"), 15, true), col(s.label("doubt"), 16, true))
	g.notesAt = 1
	x := s.edges(g)
	room := x[2] - x[1] - padX - g.inset(1)
	for i := range s.rec.Readings {
		s.readingRow(g, i, room)
	}
	s.section(s.label("s_readings"), s.label("readings_remark"), g)
}

// mostTicketLines is how many lines the number of a ticket may take in its narrow
// column; a longer one is printed below its row.
const mostTicketLines = 3

func (s *sheet) readingRow(g *grid, i int, ticketRoom length) {
	v, said, p := s.rec.Readings[i], s.say.Evidence().Readings[i], s.mem.paragraphs
	ticket, below := v.Ticket, ""
	if len(s.wrap(style{sizeTable, v.Suspect, black}, ticket, ticketRoom)) > mostTicketLines {
		ticket, below = s.label("below"), s.labelled("ticket", v.Ticket)
	}
	if len(said.Doubt) == 0 {
		said.Doubt = p(none)
	}
	row := g.addCells(p(count(v.Line)), p(ticket), p(v.WeighedAt, joined(", ", v.Scale, v.Site)), p(said.Setup, joined(" ", deck(v), s.columnOf(v)), s.people(v)),
		said.Entered, p(said.How), p(orNone(said.Correction)), p(orNone(said.Reconciled)), p(orNone(said.Residual)), said.Doubt)
	row.bold = v.Suspect
	row.notes = joined(" · ", below, s.labelled("without", strings.Join(v.Without, ", ")), s.labelled("with", strings.Join(v.With, ", ")),
		s.labelled("vehicle", v.VehicleID), s.labelled("trailer_unit", v.TrailerID), s.labelled("copy", v.Copy), v.Note, said.Footnotes)
}

// columnOf names the column a figure was in, where the deck does not say it.
func (s *sheet) columnOf(v record.Reading) string {
	if v.Column == v.OnDeck {
		return ""
	}
	return s.labelled("of_column", v.Column)
}

// deck says what was on the deck.
func deck(v record.Reading) string { return strings.ReplaceAll(v.OnDeck, "+", " + ") }

// people says how many were in the vehicle.
func (s *sheet) people(v record.Reading) string {
	if v.People == nil {
		return ""
	}
	return count(*v.People) + " " + s.label("on_board")
}

// scales prints the weighing instruments as they were stated.
func (s *sheet) scales() {
	if len(s.rec.Scales) == 0 {
		return
	}
	g := s.newGrid(col(s.label("scale"), 22, false), col(s.label("site"), 44, false), col(s.label("class"), 12, false), col(s.label("interval"), 16, true), col(s.label("max"), 18, true),
		col(s.label("deck"), 20, false), col(s.label("certificate"), 40, false), col(s.label("stated_uncertainty"), 26, false))
	for i, c := range s.rec.Scales {
		said, p := s.say.Evidence().Scales[i], s.mem.paragraphs
		g.addCells(p(c.Scale), p(c.Site, c.Operator), p(c.Class), p(said[0]), p(said[1]), p(strings.ReplaceAll(c.Deck, "_", " ")),
			p(s.labelled("of_certificate", c.Certificate), s.labelled("verified", c.VerifiedOn), s.labelled("copy", c.Copy)), p(orNone(said[2])))
	}
	s.section(s.label("s_scales"), "", g)
}
