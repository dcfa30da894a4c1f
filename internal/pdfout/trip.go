package pdfout

import (
	"slices"

	"reconcile/internal/record"
)

// tripRows is how many checks page 2 shows of those that the trip keeps; the
// evidence has them all.
const tripRows = 6

// trip prints the verdict over the loads that vary and, for the checks that
// matter most, a table with a small drawing: as weighed, lightest and heaviest
// against the limit.
func (s *sheet) trip() {
	if s.rec.Trip == nil {
		return
	}
	s.heading(s.label("s_trip"), 60*pt)
	s.para(style{sizeStrong, true, s.newChart().dotInk(s.rec.Trip.Verdict)}, side, s.wide(), sentence(s.say.Report().Trip.Text))
	s.gap(3 * pt)
	rows, all := s.shownTrip(), s.say.Report().Trip.Checks
	c := s.newChart()
	var axis []*rated
	for _, i := range rows {
		if worst := all[i].Worst.Of; worst.ValueKg != nil {
			axis = append(axis, &rated{Check: worst}, &rated{Check: all[i].Weighed})
		}
	}
	c.span(axis)
	c.need(c.headRoom() + 2*rowRoom)
	c.inside("Table", func() {
		c.inside("TR", func() { c.tripHead(false) })
		for _, i := range rows {
			c.inside("TR", func() { c.tripRow(i) })
		}
	})
	c.foot()
	if more := len(all) - len(rows); more > 0 {
		c.gap(2 * pt)
		c.para(noteStyle, side+11*pt, c.wide()-11*pt, c.say.Head("trip_more", more))
	}
}

// tripInFull lists every check of the trip where page 2 has not room for all.
func (s *sheet) tripInFull() {
	if s.rec.Trip == nil {
		return
	}
	all := s.say.Report().Trip.Checks
	if len(s.shownTrip()) == len(all) {
		return
	}
	g := s.newGrid(col(s.label("rating"), 40, false), col(s.label("state"), 32, false), col(s.label("limit_unit"), 18, true), col(s.label("at_worst_value"), 26, true),
		col(s.label("verdict"), 22, false), col(s.label("at_worst"), 40, false))
	g.marked = 4
	for i := range all {
		worst := &all[i].Worst
		g.add(worst.Label, orNone(worst.State), worst.Limit, all[i].Value, worst.Verdict, all[i].At).verdict = s.markOf(worst.Of.Verdict)
	}
	s.section(s.label("s_trip_all"), "", g)
}

// shownTrip gives the places of those checks of the trip that page 2 shows, in the
// order of the record.
func (s *sheet) shownTrip() []int {
	all := s.say.Report().Trip.Checks
	ranks, ranked, grave := make([]int, len(all)), make([]int, len(all)), 0
	for i := range all {
		ranked[i], ranks[i] = i, tripRank(all[i].Worst.Of, all[i].Weighed)
		if all[i].Worst.Of.Verdict != "within" {
			grave++
		}
	}
	slices.SortStableFunc(ranked, func(a, b int) int { return ranks[a] - ranks[b] })
	ranked = ranked[:min(len(ranked), max(tripRows, grave))]
	slices.Sort(ranked)
	return ranked
}

// tripRank orders the checks for page 2: what the trip does not keep or know, then
// by what is left, in thousandths of a kilogram; a floor that is kept comes last.
func tripRank(worst, weighed *record.Check) int {
	const last = 1 << 40
	switch {
	case worst.Verdict != "within":
		return -last
	case weighed.Floor || worst.MarginKg == nil:
		return last
	}
	return min(thousandths(*worst.MarginKg), last)
}

// tripHead prints how to read the drawing, the heads and the axis.
func (c *chart) tripHead(again bool) {
	c.in(furniture, func() {
		c.putRight(noteStyle, c.w-side, c.y+noteStyle.ascent(), c.label("trip_legend"))
	})
	c.y += noteStyle.line()
	t := headStyle
	y := c.y + t.ascent() + 1.7*pt
	c.th(again, func() { c.put(t, side+11*pt, y, c.label("rating")) })
	c.th(again, func() { c.putRight(t, c.value, y, c.label("at_worst_value")) })
	c.th(again, func() { c.putRight(t, c.limit, y, c.label("limit_unit")) })
	c.th(again, func() { c.put(t, c.word, y, c.label("row_verdict")) })
	c.axisHead(t, y)
	c.y += t.line() + 3*pt
	c.ticks()
	c.y += t.line()
	c.hline(side, c.w-side, c.y, 0.7*pt, black)
}

// tripRow prints the i-th check: its worst value, the drawing, and with which loads.
func (c *chart) tripRow(i int) {
	said, t := &c.say.Report().Trip.Checks[i], style{sizeTable, false, black}
	worst := &said.Worst
	names := c.wrap(t, joined(" · ", worst.Label, worst.State), c.value-side-17*pt-c.width(t, said.Value))
	var with []string
	if said.At != "" {
		with = c.wrap(noteStyle, said.At, c.limit-side-11*pt)
	}
	h := max(rowRoom, t.rows(len(names))+noteStyle.rows(len(with))+4*pt)
	if c.y+h > c.bottom() {
		c.foot()
		c.begin()
		c.tripHead(true)
	}
	y := c.y + (h-t.rows(len(names))-noteStyle.rows(len(with)))/2
	c.td(func() { c.lines(noteStyle, side+11*pt, c.lines(t, side+11*pt, y, names), with) })
	c.td(func() { c.putRight(t, c.value, y+t.ascent(), said.Value) })
	c.td(func() { c.putRight(t, c.limit, y+t.ascent(), worst.Limit) })
	c.in(furniture, func() { c.tripBar(i, c.y+h/2, h) })
	if mark := c.markOf(worst.Of.Verdict); mark != "" {
		c.verdictMark(mark, c.word+4.2*pt, c.y+h/2, 4*pt)
	}
	c.td(func() { c.put(t, c.word+12*pt, c.y+h/2+t.size.part(35, 100), worst.Verdict) })
	c.y += h
	c.hline(side, c.w-side, c.y, 0.3*pt, rule)
}

// tripBar draws the limit, the load from its lightest to its heaviest, a ring
// where it was weighed and a dot with its ± where it is worst. What is farther
// left of the limit than the axis reaches is drawn at its edge.
func (c *chart) tripBar(i int, y, h length) {
	c.grid(y, h)
	said, otherKg := &c.say.Report().Trip.Checks[i], c.rec.Trip.Checks[i].OtherKg
	check := said.Worst.Of
	worst, u, ok := c.beyond(check)
	weighed, _, known := c.beyond(said.Weighed)
	if check.LimitKN != nil || !ok || !known || otherKg == nil {
		text := c.label("not_known")
		if check.LimitKN != nil {
			text = c.label("off_axis")
		}
		c.box((c.from+c.to-c.width(noteStyle, text))/2-2*pt, y-4.5*pt, c.width(noteStyle, text)+4*pt, 9*pt, paper)
		c.putMid(noteStyle, (c.from+c.to)/2, y+2.7*pt, text)
		return
	}
	if worst < -c.low {
		c.farLeft(said.Worst.Margin, y)
		return
	}
	shift := c.inUnit(*otherKg) - c.inUnit(*check.ValueKg)
	if check.Rating == "download_min" {
		shift = -shift
	}
	c.stroke(c.x(worst+shift), y, c.x(worst), y, 3*pt, rule)
	c.stroke(c.x(worst-u), y, c.x(worst+u), y, 1.1*pt, black)
	c.vline(c.x(worst-u), y-3*pt, y+3*pt, 1.1*pt, black)
	c.vline(c.x(worst+u), y-3*pt, y+3*pt, 1.1*pt, black)
	if weighed >= -c.low {
		c.ring(c.x(weighed), y, 2.6*pt, 1.1*pt, black, paper)
	}
	c.disc(c.x(worst), y, 2.3*pt, c.dotInk(check.Verdict))
}
