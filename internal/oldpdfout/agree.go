package oldpdfout

import (
	"strings"

	record "reconcile/internal/oldrecord"
)

var plainText = style{sizeBody, false, black}

// agreement prints how far the readings agree, what is in doubt and the
// mistakes that would explain it, and the ties and loads behind it.
func (s *sheet) agreement(r *record.Record) {
	if r.Agreement == "" {
		return
	}
	s.heading("How far the readings agree", 57*pt)
	s.para(style{sizeStrong, true, black}, side, s.wide(), r.AgreementText())
	s.gap(1.5 * pt)
	s.para(plainText, side, s.wide(), r.Fit.Text())
	s.doubtful(r)
	s.mistakes(r)
	s.ties(r)
	s.loads(r)
}

// doubtful names the sets of readings that cannot be told apart.
func (s *sheet) doubtful(r *record.Record) {
	for i, set := range r.Doubtful {
		var names []string
		for _, p := range set {
			names = append(names, r.PlaceWord(p))
		}
		head := "in doubt"
		if i > 0 {
			head = "may be smeared"
		}
		s.labelledLine(head, strings.Join(names, "; "))
	}
}

func (s *sheet) mistakes(r *record.Record) {
	if len(r.Mistakes) == 0 {
		return
	}
	s.subheading("Single mistakes under which the readings would agree; none of them is applied", 34*pt)
	g := newGrid(column{"line", 10, true}, column{"what", 122, false}, column{"it would read, kg", 26, true}, column{"p then", 20, true})
	for _, m := range r.Mistakes {
		line := none
		if m.Line > 0 {
			line = count(m.Line)
		}
		p := m.PValue
		g.add(line, m.What, orNone(m.ReadingKg), record.Probability(&p))
	}
	s.table(g)
}

func orNone(text string) string {
	if text == "" {
		return none
	}
	return text
}

func (s *sheet) ties(r *record.Record) {
	if len(r.Ties) == 0 {
		return
	}
	s.subheading("Moment ties in force", 34*pt)
	g := newGrid(column{"tie", 20, false}, column{"what is held together", 86, false}, column{"residual, kg", 24, true}, column{"u, kg", 20, true}, column{"doubt", 28, true})
	for _, t := range r.Ties {
		g.add(t.Name, r.TieWord(t.Name), record.Kg(t.ResidualKg), record.Kg(t.UKg), doubtOf(t.Standardised, t.Suspect))
		g.rows[len(g.rows)-1].bold = t.Suspect
	}
	s.table(g)
}

func doubtOf(w *float64, suspect bool) string {
	switch {
	case w == nil:
		return "untested"
	case suspect:
		return ratio(w) + " suspect"
	}
	return ratio(w)
}

func (s *sheet) loads(r *record.Record) {
	if len(r.Loads) == 0 {
		return
	}
	s.subheading("Declared loads in the readings", 34*pt)
	g := newGrid(column{"load", 72, false}, column{"declared, kg", 28, true}, column{"solved ± U, kg", 36, true}, column{"doubt", 42, true})
	for _, l := range r.Loads {
		solved := none
		if l.SolvedKg != nil && l.UKg != nil {
			solved = record.KgU(*l.SolvedKg, *l.UKg)
		}
		g.add(l.Load, l.DeclaredKg, solved, doubtOf(l.Standardised, l.Suspect))
		g.rows[len(g.rows)-1].bold = l.Suspect
	}
	s.table(g)
}
