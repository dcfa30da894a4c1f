package pdfout

import (
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// checks prints every rating row: those in force, then each set by itself.
func (s *sheet) checks() {
	rows := s.rowsOf("")
	if len(rows) > 0 {
		s.section(s.label("s_checks"), s.label("checks_remark"), s.checkGrid(rows))
	}
	for _, set := range s.say.Report().Sets {
		s.section(sentence(strings.TrimSuffix(set.Head, ":")), s.label("set_remark"), s.checkGrid(s.rowsOf(set.Name)))
		for _, text := range set.Effects {
			s.bullet(text)
		}
		for _, q := range s.say.Headline().Questions {
			if q.Set == set.Name {
				s.bullet(q.Full)
			}
		}
	}
}

// rowsOf are the checks of a set, "" for the ratings in force. A plain outfit
// has no state with the hitch tensioned.
func (s *sheet) rowsOf(set string) []*rated {
	var rows []*rated
	for _, c := range s.checked {
		if c.Set == set && (c.State != "coupled_tensioned" || s.rec.Outfit.Travels != "plain") {
			rows = append(rows, c)
		}
	}
	return rows
}

// rated is a check with what is said of it.
type rated struct {
	*record.Check
	said  *words.Check
	lines int // of its row in the chart of page 1; 0: not yet wrapped
}

func ratedOf(c *words.Check) *rated { return &rated{Check: c.Of, said: c} }

// checkGrid is the table of some checks.
func (s *sheet) checkGrid(checks []*rated) *grid {
	g := s.newGrid(col(s.label("rating"), 40, false), col(s.label("state"), 27, false), col(s.label("limit_unit"), 16, true), col(s.label("value_unit"), 26, true),
		col(s.label("margin_unit"), 17, true), col(s.label("p_over"), 16, true), col(s.label("hidden"), 18, true), col(s.label("row_verdict"), 34, false))
	g.marked = 7
	for _, c := range checks {
		row := g.add(c.said.Label, orNone(c.said.State), c.said.Limit, c.said.Value, orNone(c.said.Margin), c.said.Chance, orNone(c.said.Hidden), s.verdictText(c))
		row.bold, row.verdict, row.notes = c.Decides, s.markOf(c.Verdict), joined(" · ", c.said.Notes...)
	}
	return g
}

// markOf is the verdict whose mark a row has. While the readings disagree no
// row has one but that it was not weighed.
func (s *sheet) markOf(verdict string) string {
	if s.rec.Verdict == "conflict" && verdict != "not_weighed" {
		return ""
	}
	return verdict
}

// verdictText is the word of a verdict, and whether the value rests on something
// that was assumed.
func (s *sheet) verdictText(c *rated) string {
	if len(c.Assumed) == 0 || c.Verdict == "not_weighed" {
		return c.said.Verdict
	}
	return joined(", ", c.said.Verdict, s.label("mark_assumed"))
}

// ratings prints the ratings as they were given.
func (s *sheet) ratings() {
	if len(s.rec.Ratings) == 0 {
		return
	}
	g := s.newGrid(col(s.label("line"), 9, true), col(s.label("rating"), 40, false), col(s.label("entered"), 22, true), col(s.label("applies"), 26, false),
		col(s.label("source_certificate"), 54, false), col(s.label("became"), 32, false))
	g.notesAt = 1
	for i, q := range s.rec.Ratings {
		said := s.say.Evidence().Ratings[i]
		row := g.add(count(q.Line), said[0], said[1], joined(", ", q.Kind, q.When, s.labelled("in_set", q.Set)),
			joined(", ", q.Source, s.labelled("of_certificate", q.Certificate), s.labelled("certified", q.CertifiedOn)), said[2])
		row.notes = q.Note
	}
	s.section(s.label("s_ratings"), "", g)
}
