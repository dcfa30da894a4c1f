package pdfout

import (
	"slices"

	"reconcile/internal/record"
)

// tripRows is how many checks page 2 shows of those that the trip keeps; the
// evidence has them all.
const tripRows = 6

// tripRow is a check as if the outfit had been weighed at its worst corner, next
// to the same check as weighed; at is its place among the checks of the trip.
type tripRow struct {
	worst   *record.Check
	weighed *record.Check // blank where there is none
	otherKg *float64      // the value with the loads at their other ends
	at      int
}

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
	rows, all := s.shownTrip()
	c := s.newChart()
	var axis []*rated
	for i := range rows {
		if rows[i].worst.ValueKg != nil {
			axis = append(axis, &rated{Check: rows[i].worst}, &rated{Check: rows[i].weighed})
		}
	}
	c.span(axis)
	c.need(c.headRoom() + 2*rowRoom)
	c.inside("Table", func() {
		c.inside("TR", func() { c.tripHead(false) })
		for i := range rows {
			c.inside("TR", func() { c.tripRow(&rows[i]) })
		}
	})
	c.foot()
	if more := len(all) - len(rows); more > 0 {
		c.gap(2 * pt)
		c.para(noteStyle, side+11*pt, c.wide()-11*pt, c.say.Counted("trip_more", more))
	}
}

// tripInFull lists every check of the trip where page 2 has not room for all.
func (s *sheet) tripInFull() {
	if s.rec.Trip == nil {
		return
	}
	rows, all := s.shownTrip()
	if len(rows) == len(all) {
		return
	}
	g := s.newGrid(col(s.label("rating"), 40, false), col(s.label("state"), 32, false), col(s.label("limit_unit"), 18, true), col(s.label("at_worst_value"), 26, true),
		col(s.label("verdict"), 22, false), col(s.label("at_worst"), 40, false))
	g.marked = 4
	for i := range all {
		c := s.rated(all[i].worst)
		worst := s.say.Report().Trip.Checks[i]
		g.add(c.said.Label, orNone(c.said.State), c.said.Limit, worst.Value, worst.Verdict, worst.At).verdict = s.markOf(c.Verdict)
	}
	s.section(s.label("s_trip_all"), "", g)
}

// shownTrip gives the checks of the trip that page 2 shows, in the order of
// the record, and all of them.
func (s *sheet) shownTrip() (shown, all []tripRow) {
	for at, t := range s.rec.Trip.Checks {
		row := tripRow{weighed: &record.Check{}, otherKg: t.OtherKg, at: at}
		for i := range s.rec.Checks {
			c := &s.rec.Checks[i]
			if c.Decides && c.Set == "" && c.Rating == t.Rating && c.On == t.On && c.State == t.State && equal(c.LimitKg, t.LimitKg) && equal(c.LimitKN, t.LimitKN) {
				row.weighed = c
				break
			}
		}
		worst := *row.weighed
		worst.Rating, worst.On, worst.State, worst.Verdict = t.Rating, t.On, t.State, t.Verdict
		worst.LimitKg, worst.ValueKg, worst.UKg, worst.MarginKg = t.LimitKg, t.ValueKg, t.UKg, t.MarginKg
		worst.LimitKN, worst.ValueKN, worst.UKN, worst.MarginKN = t.LimitKN, t.ValueKN, t.UKN, t.MarginKN
		row.worst = &worst
		all = append(all, row)
	}
	ranked := make([]int, len(all))
	for i := range ranked {
		ranked[i] = i
	}
	slices.SortStableFunc(ranked, func(a, b int) int { return all[a].rank() - all[b].rank() })
	grave := 0
	for _, row := range all {
		if row.worst.Verdict != "within" {
			grave++
		}
	}
	ranked = ranked[:min(len(ranked), max(tripRows, grave))]
	slices.Sort(ranked)
	for _, i := range ranked {
		shown = append(shown, all[i])
	}
	return shown, all
}

// equal says whether two limits are the same, or both not there.
func equal(a, b *string) bool { return (a == nil) == (b == nil) && (a == nil || *a == *b) }

// rank orders the checks for page 2: what the trip does not keep or know, then
// by what is left, in thousandths of a kilogram; a floor that is kept comes last.
func (r *tripRow) rank() int {
	const last = 1 << 40
	switch {
	case r.worst.Verdict != "within":
		return -last
	case r.weighed.Floor || r.worst.MarginKg == nil:
		return last
	}
	return min(thousandths(*r.worst.MarginKg), last)
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

// tripRow prints one check: its worst value, the drawing, and with which loads.
func (c *chart) tripRow(r *tripRow) {
	check, t := c.rated(r.worst), style{sizeTable, false, black}
	worst := c.say.Report().Trip.Checks[r.at]
	names := c.wrap(t, joined(" · ", check.said.Label, check.said.State), c.value-side-17*pt-c.width(t, worst.Value))
	var with []string
	if worst.At != "" {
		with = c.wrap(noteStyle, worst.At, c.limit-side-11*pt)
	}
	h := max(rowRoom, t.rows(len(names))+noteStyle.rows(len(with))+4*pt)
	if c.y+h > c.bottom() {
		c.foot()
		c.begin()
		c.tripHead(true)
	}
	y := c.y + (h-t.rows(len(names))-noteStyle.rows(len(with)))/2
	c.td(func() { c.lines(noteStyle, side+11*pt, c.lines(t, side+11*pt, y, names), with) })
	c.td(func() { c.putRight(t, c.value, y+t.ascent(), worst.Value) })
	c.td(func() { c.putRight(t, c.limit, y+t.ascent(), check.said.Limit) })
	c.in(furniture, func() { c.tripBar(r, check, c.y+h/2, h) })
	if mark := c.markOf(check.Verdict); mark != "" {
		c.verdictMark(mark, c.word+4.2*pt, c.y+h/2, 4*pt)
	}
	c.td(func() { c.put(t, c.word+12*pt, c.y+h/2+t.size.part(35, 100), worst.Verdict) })
	c.y += h
	c.hline(side, c.w-side, c.y, 0.3*pt, rule)
}

// tripBar draws the limit, the load from its lightest to its heaviest, a ring
// where it was weighed and a dot with its ± where it is worst. What is farther
// left of the limit than the axis reaches is drawn at its edge.
func (c *chart) tripBar(r *tripRow, check *rated, y, h length) {
	c.grid(y, h)
	worst, u, ok := c.beyond(check.Check)
	weighed, _, known := c.beyond(r.weighed)
	if check.LimitKN != nil || !ok || !known || r.otherKg == nil {
		text := c.label("not_known")
		if check.LimitKN != nil {
			text = c.label("off_axis")
		}
		c.box((c.from+c.to-c.width(noteStyle, text))/2-2*pt, y-4.5*pt, c.width(noteStyle, text)+4*pt, 9*pt, paper)
		c.putMid(noteStyle, (c.from+c.to)/2, y+2.7*pt, text)
		return
	}
	if worst < -c.low {
		c.farLeft(check.said.Margin, y)
		return
	}
	shift := c.inUnit(*r.otherKg) - c.inUnit(*r.worst.ValueKg)
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
