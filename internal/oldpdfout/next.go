package oldpdfout

import (
	"slices"

	record "reconcile/internal/oldrecord"
)

// next prints what to do next.
func (s *sheet) next(r *record.Record) {
	sentences := r.Next()
	if len(sentences) == 0 {
		return
	}
	g := newGrid(column{"", 6, true}, column{"", 172, false})
	if slices.ContainsFunc(r.Advice, func(a record.Advice) bool { return a.UThen != nil }) {
		g = newGrid(column{"", 6, true}, column{"", 128, false}, column{"U now, kg", 22, true}, column{"U then, kg", 22, true})
	}
	for i, text := range sentences {
		now, then := none, none
		for _, a := range r.Advice {
			if a.Text == text {
				now, then = expandedOr(a.UNow), expandedOr(a.UThen)
			}
		}
		g.add([]string{count(i + 1), text, now, then}[:len(g.columns)]...)
	}
	s.section("What next", "", g)
}

func expandedOr(u *float64) string {
	if u == nil {
		return none
	}
	return record.PlusMinus(*u)
}

// headroom prints how much more fits where, and how evenly the wheels stand.
func (s *sheet) headroom(r *record.Record) {
	if len(r.Headroom) > 0 {
		g := newGrid(column{"place", 54, false}, column{"fits, kg", 24, true}, column{"until this rating is reached", 64, false}, column{"state", 36, false})
		for _, h := range r.Headroom {
			g.add(h.Place, record.Kg(h.Kg), r.CheckLabel(record.Check{Rating: h.Rating, On: h.On}), orNone(r.StateWord(h.State)))
		}
		s.section("Room left, by place", "", g)
	}
	if len(r.Imbalance) == 0 {
		return
	}
	g := newGrid(column{"where", 120, false}, column{"difference ± U, kg", 58, true})
	for _, i := range r.Imbalance {
		g.add(r.ImbalanceLabel(i.Support), record.KgU(i.Kg, i.UKg))
	}
	s.section("Left less right, or one axle less the next", "", g)
}

// plan prints what to move and what to leave behind, where anything is.
func (s *sheet) plan(r *record.Record) {
	p := r.Plan
	if p == nil || p.Found && len(p.Moves) == 0 {
		return // none was asked for, or none is needed
	}
	s.heading("Plan: what to move or leave behind", 57*pt)
	s.para(plainText, side, s.wide(), p.Summary())
	s.gap(3 * pt)
	g := newGrid(column{"load", 66, false}, column{"from", 44, false}, column{"to", 44, false}, column{"kg", 24, true})
	for _, m := range p.Moves {
		to := "left behind"
		if m.To != nil {
			to = *m.To
		}
		g.add(m.Load, m.From, to, m.Kg)
	}
	s.table(g)
	s.beforeAfter(r, p)
	if len(p.Blocking) > 0 {
		s.subheading("Limits that cannot be met together", 34*pt)
		b := newGrid(column{"rating", 70, false}, column{"state", 60, false}, column{"still too much, kg", 48, true})
		for _, c := range p.Blocking {
			b.add(r.CheckLabel(record.Check{Rating: c.Rating, On: c.On}), orNone(r.StateWord(c.State)), record.Kg(c.ExcessKg))
		}
		s.table(b)
	}
}

// beforeAfter prints the deciding loads before and after the plan.
func (s *sheet) beforeAfter(r *record.Record, p *record.Plan) {
	if len(p.Before) == 0 {
		return
	}
	g := newGrid(column{"rating", 48, false}, column{"state", 36, false}, column{"limit, kg", 18, true}, column{"before ± U, kg", 26, true},
		column{"after ± U, kg", 26, true}, column{"then", 28, false})
	g.marked = 5
	for i, b := range p.Before {
		after, verdict := none, b.Verdict
		if i < len(p.After) {
			after, verdict = p.After[i].ValueText(), p.After[i].Verdict
		}
		g.add(r.CheckLabel(record.Check{Rating: b.Rating, On: b.On}), orNone(r.StateWord(b.State)), b.LimitText(), b.ValueText(), after, record.CheckVerdictWord(verdict))
		g.rows[len(g.rows)-1].verdict = verdict
	}
	s.gap(6 * pt)
	s.table(g)
}
