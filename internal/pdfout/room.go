package pdfout

import "reconcile/internal/record"

// roomLeft prints how much more fits where, what a load does at each place, and
// how evenly the wheels carry.
func (s *sheet) roomLeft() {
	if len(s.rec.Headroom) > 0 {
		g := s.newGrid(col(s.label("place"), 54, false), col(s.label("fits"), 24, true), col(s.label("until"), 64, false), col(s.label("state"), 36, false))
		for _, h := range s.say.Report().Headroom {
			g.add(h.Cells[0], h.Cells[1], h.Cells[2], orNone(h.Cells[3]))
		}
		s.section(s.label("s_headroom"), "", g)
	}
	s.levers()
	if len(s.rec.Imbalance) == 0 {
		return
	}
	g := s.newGrid(col(s.label("where"), 120, false), col(s.label("difference"), 58, true))
	for _, said := range s.say.Evidence().Imbalance {
		g.add(said...)
	}
	s.section(s.label("s_imbalance"), "", g)
}

func (s *sheet) levers() {
	if len(s.rec.Levers) == 0 {
		return
	}
	heads := s.say.Report().Levers.Heads
	g := s.newGrid(col(heads[0], 58, false), col(heads[1], 30, true), col(heads[2], 30, true), col(heads[3], 30, true), col(heads[4], 30, true))
	for _, said := range s.say.Report().Levers.Rows {
		g.add(said...)
	}
	s.section(sentence(s.say.Report().Levers.Head), "", g)
}

// plan prints what to move and what to leave behind, where anything is.
func (s *sheet) plan() {
	p := s.rec.Plan
	if p == nil || p.Found && len(p.Moves) == 0 {
		return // none was asked for, or none is needed
	}
	text := s.say.Report().Plan
	s.heading(s.label("s_plan"), 57*pt)
	s.para(plainText, side, s.wide(), sentence(text.Summary))
	s.gap(3 * pt)
	g := s.newGrid(col(s.label("load"), 66, false), col(s.label("from"), 44, false), col(s.label("to"), 44, false), col(s.label("mass"), 24, true))
	for _, m := range text.Moves {
		g.add(m...)
	}
	s.table(g)
	s.beforeAfter(p)
	if len(text.Blocking) > 0 {
		s.subheading(s.label("s_blocking"), 34*pt)
		b := s.newGrid(col(s.label("rating"), 70, false), col(s.label("state"), 60, false), col(s.label("still_over"), 48, true))
		for _, c := range text.Blocking {
			b.add(c[0], orNone(c[1]), c[2])
		}
		s.table(b)
	}
}

// beforeAfter prints the deciding loads before and after the plan, or, where no
// plan was found, as they are.
func (s *sheet) beforeAfter(p *record.Plan) {
	if len(p.Before) == 0 {
		return
	}
	planned := p.Found && len(p.After) == len(p.Before)
	g := s.newGrid(col(s.label("rating"), 48, false), col(s.label("state"), 36, false), col(s.label("limit_unit"), 18, true), col(s.label("before_unit"), 26, true),
		col(s.label("after_unit"), 26, true), col(s.label("then"), 28, false))
	if !planned {
		g = s.newGrid(col(s.label("rating"), 60, false), col(s.label("state"), 44, false), col(s.label("limit_unit"), 20, true), col(s.label("value_unit"), 28, true),
			col(s.label("verdict"), 28, false))
	}
	g.marked = len(g.columns) - 1
	for i, l := range s.say.Report().Plan.Loads {
		cells, verdict := []string{l.Label, orNone(l.State), l.Limit, l.Before, l.Verdict}, p.Before[i].Verdict
		if planned {
			cells, verdict = []string{l.Label, orNone(l.State), l.Limit, l.Before, l.After, l.Then}, p.After[i].Verdict
		}
		g.add(cells...).verdict = s.markOf(verdict)
	}
	s.gap(6 * pt)
	s.table(g)
}
