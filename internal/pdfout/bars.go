package pdfout

import (
	"slices"

	"reconcile/internal/record"
)

// bars prints how tight the bars of a load-distribution hitch may be: what the
// front axle must show, a drawing from slack to all of the lift put back with
// the allowed band and what was weighed, and the loads at five tensions.
func (s *sheet) bars() {
	h := s.rec.HitchRange
	if h == nil {
		return
	}
	s.heading(s.label("s_bars"), 120*pt)
	s.para(style{sizeBody, true, black}, side, s.wide(), sentence(s.say.Report().Bars.Text))
	if s.rec.Verdict == "conflict" {
		return // no tension is called right while the readings disagree
	}
	s.gap(4 * pt)
	if len(h.Table) > 1 {
		figure := s.new("Figure")
		figure.alt = s.say.Report().Bars.Alt
		s.in(figure, func() { s.barsAxis() })
	}
	g := s.newGrid(col(s.label("restored"), 42, false), col(s.label("front"), 34, true), col(s.label("rear"), 34, true), col(s.label("trailer"), 38, true), col(s.label("verdict"), 30, false))
	g.marked = 4
	for i, e := range h.Table {
		g.add(s.say.Report().Bars.Tensions[i]...).verdict = s.markOf(e.Verdict)
	}
	s.table(g)
}

// barsAxis draws the front axle's load from slack to as much as uncoupled.
func (s *sheet) barsAxis() {
	h := s.rec.HitchRange
	const high = 9 * pt
	t := style{sizeSmall, false, black}
	slack, full := h.Table[0].FrontKg, h.Table[len(h.Table)-1].FrontKg
	from, to := length(side+60*pt), s.w-side-60*pt
	x := func(kg float64) length {
		span := max(1, thousandths(full)-thousandths(slack))
		return from + (to-from).part(min(max(0, thousandths(kg)-thousandths(slack)), span), span)
	}
	s.need(52 * pt)
	y := s.y + 20*pt
	if h.LowKg != nil && h.HighKg != nil {
		low, top := x(slack+*h.LowKg), x(slack+*h.HighKg)
		s.box(low, y-high/2, max(top-low, 1*pt), high, verdictInk["within"])
		s.putMid(style{sizeTable, true, black}, min(max((low+top)/2, side+60*pt), s.w-side-60*pt), y-high, s.say.Report().Bars.Front)
	}
	s.hline(from, to, y, 0.7*pt, black)
	s.vline(from, y-high, y+high, 0.7*pt, black)
	s.vline(to, y-high, y+high, 0.7*pt, black)
	s.putRight(t, from-4*pt, y+2.7*pt, s.say.Report().Bars.Slack)
	s.put(t, to+4*pt, y+2.7*pt, s.say.Report().Bars.Tight)
	if q := s.rec.Quantities.Get("coupled_tensioned.front"); q != nil && slices.ContainsFunc(s.rec.Readings, tensioned) {
		at := x(q.Value)
		s.shape(0.3*pt, black, black, point{at, y + high/2}, point{at - 3*pt, y + high/2 + 7*pt}, point{at + 3*pt, y + high/2 + 7*pt})
		s.putMid(t, at, y+high/2+16*pt, s.label("weighed")+" "+s.say.Quantity("coupled_tensioned.front").Text)
	}
	s.y += 46 * pt
}

func tensioned(v record.Reading) bool { return v.Hitch == "tensioned" && v.Use == "yes" }
