package oldpdfout

import (
	"slices"
	"strconv"

	record "reconcile/internal/oldrecord"
)

// The chart has every deciding load next to its rating on one kilogram axis:
// what is left to the limit, so that all limits are one upright line and a
// kilogram is as long in every row. Its arithmetic is on whole grams.

// chart is the axis and where its parts are on the paper.
type chart struct {
	*sheet
	value, limit, from, to, word length // edges of the columns
	low, high                    int    // grams left of the limit and right of it
	step                         int    // grams between marks of the axis
	room                         length // least height of a row
}

// Heights of a row of one line: as it should be, and at the least.
const (
	rowRoom  = 18 * pt
	rowLeast = 13.3 * pt
)

// deciding are the checks that decide and that a kilogram axis can hold, and
// those in kilonewtons.
func deciding(r *record.Record) (inKg, inKN []record.Check) {
	for _, c := range r.Checks {
		switch {
		case !c.Decides:
		case c.LimitKN != nil:
			inKN = append(inKN, c)
		default:
			inKg = append(inKg, c)
		}
	}
	return inKg, inKN
}

// beyond is how far a value is on the wrong side of its limit, and its U, in
// grams.
func beyond(c record.Check) (grams, expanded int, ok bool) {
	if c.MarginKg == nil || c.UKg == nil || c.Verdict == "not_weighed" {
		return 0, 0, false
	}
	return -thousandths(*c.MarginKg), 2 * thousandths(*c.UKg), true
}

// span finds the axis: all of what is beyond a limit, and of what is within
// it so much that a typical ± stays visible, or two rows of three if that is
// more. What is farther is shown by an arrow at the edge.
func (c *chart) span(checks []record.Check) {
	const least = 50 * 1000
	c.low, c.high = least, least
	var expanded, room []int
	for _, check := range checks {
		if grams, u, ok := beyond(check); ok {
			c.low, c.high = max(c.low, u-grams), max(c.high, grams+u)
			expanded, room = append(expanded, u), append(room, u-grams)
		}
	}
	if len(expanded) > 0 {
		slices.Sort(expanded)
		slices.Sort(room)
		enough := max(20*expanded[len(expanded)/2], room[len(room)*2/3])
		c.low = min(c.low, max(c.high, enough))
	}
	c.step = niceStep((c.low + c.high) / 6)
	c.low = (c.low + c.step - 1) / c.step * c.step
	c.high = (c.high + c.step - 1) / c.step * c.step
}

// niceStep is the next of 1, 2, 5, 10, 20, … kg from v grams upwards.
func niceStep(v int) int {
	for unit := 1000; ; unit *= 10 {
		for _, n := range []int{1, 2, 5} {
			if n*unit >= v || unit > 1e12 {
				return n * unit
			}
		}
	}
}

// x is where a load is drawn that is so many grams beyond its limit.
func (c *chart) x(grams int) length {
	grams = min(max(grams, -c.low), c.high)
	return c.from + (c.to-c.from).part(grams+c.low, c.low+c.high)
}

// ratingChart prints the chart into the flow.
func (s *sheet) ratingChart(r *record.Record) {
	inKg, inKN := deciding(r)
	if len(inKg)+len(inKN) == 0 {
		return
	}
	w := s.wide()
	c := &chart{sheet: s, value: side + w.part(40, 100), limit: side + w.part(50, 100), from: side + w.part(53, 100), to: side + w.part(85, 100), word: side + w.part(87, 100)}
	c.span(inKg)
	s.need(4 * rowRoom)
	c.settle(r, append(append([]record.Check{}, inKg...), inKN...))
	governs := r.GovCheck()
	if r.Verdict == "conflict" {
		governs = nil // nothing governs while the readings disagree
	}
	c.title(r, governs != nil)
	c.head()
	for _, check := range inKg {
		c.row(r, check, sameCheck(governs, check))
	}
	c.foot()
	for _, check := range inKN {
		c.row(r, check, sameCheck(governs, check))
	}
}

// settle finds the height of the rows: a little less than it should be if that
// keeps the chart on its page.
func (c *chart) settle(r *record.Record, checks []record.Check) {
	left := c.bottom() - c.y - style{size: sizeStrong}.line() - 2*headStyle.line() - 3.4*pt
	for c.room = rowRoom; c.room >= rowLeast; c.room -= 0.3 * pt {
		sum := length(0)
		for _, check := range checks {
			sum += c.height(len(c.label(r, check, style{size: sizeTable, bold: true})))
		}
		if sum <= left {
			return
		}
	}
	c.room = rowRoom
}

// label is the wrapped name of a check, next to its value.
func (c *chart) label(r *record.Record, check record.Check, t style) []string {
	label := r.CheckLabel(check)
	if check.State != "" {
		label += " · " + r.StateWord(check.State)
	}
	return c.wrap(t, label, c.value-side-11*pt-c.width(t, check.ValueText())-6*pt)
}

// height is that of a row with a label of so many lines.
func (c *chart) height(lines int) length {
	return max(c.room, style{size: sizeTable}.rows(lines)+c.room.part(29, 100))
}

// sameCheck reports whether c is the check that governs.
func sameCheck(governs *record.Check, c record.Check) bool {
	return governs != nil && governs.Rating == c.Rating && governs.On == c.On && governs.State == c.State &&
		governs.Source == c.Source && governs.LimitText() == c.LimitText()
}

// title prints the title and, next to it, how to read the chart.
func (c *chart) title(r *record.Record, governs bool) {
	t := style{sizeStrong, true, black}
	text, legend := "Loads against the ratings that decide", "dot and whisker: value ± U · heavy line: the limit"
	if r.Verdict == "conflict" {
		text = "Not to be relied on: the readings disagree"
	}
	if governs {
		legend += " · shaded: what governs"
	}
	base := c.y + t.ascent()
	c.put(t, side, base, text)
	c.putRight(noteStyle, c.w-side, base, legend)
	c.y += t.line()
}

// head prints the heads of the columns and the axis.
func (c *chart) head() {
	t := headStyle
	y := c.y + t.ascent() + 1.7*pt
	c.put(t, side+11*pt, y, "rating")
	c.putRight(t, c.value, y, "value ± U, kg")
	c.putRight(t, c.limit, y, "limit, kg")
	c.put(t, c.word, y, "verdict")
	c.axisHead(t, y)
	c.y += t.line() + 3*pt
	c.ticks()
	c.y += t.line()
	c.hline(side, c.w-side, c.y, 0.7*pt, black)
}

// axisHead names the two sides of the limit, if there is room for both.
func (c *chart) axisHead(t style, y length) {
	limit, half := c.x(0), c.width(t, "limit")/2+6*pt
	c.putMid(t, limit, y, "limit")
	if limit-half-c.from > c.width(t, "kg left") {
		c.put(t, c.from-3*pt, y, "kg left")
	}
	if c.to-limit-half > c.width(t, "kg over") {
		c.putRight(t, c.to+3*pt, y, "kg over")
	}
}

// ticks prints the figures of the axis: what is left on one side, too much
// on the other. Figures that would touch the one before are left out.
func (c *chart) ticks() {
	t := style{sizeSmall, false, grey}
	last := length(0)
	for at := -c.low; at <= c.high; at += c.step {
		text := strconv.Itoa(max(at, -at) / 1000)
		x := c.x(at)
		if w := c.width(t, text) / 2; x-w > last+3.4*pt {
			c.putMid(t, x, c.y+t.ascent(), text)
			last = x + w
		}
	}
}

// row prints one load. The one that governs is bold on a tint.
func (c *chart) row(r *record.Record, check record.Check, governs bool) {
	t := style{sizeTable, governs, black}
	lines := c.label(r, check, t)
	h := c.height(len(lines))
	if c.y+h > c.bottom() {
		c.foot()
		c.page()
		c.head()
	}
	if governs {
		c.box(side, c.y+0.4*pt, c.wide(), h-0.8*pt, tint)
		c.shape(0.3*pt, black, black, point{side + 1.7*pt, c.y + h/2 - 3.4*pt}, point{side + 8*pt, c.y + h/2}, point{side + 1.7*pt, c.y + h/2 + 3.4*pt})
	}
	mid := c.y + h/2
	base := mid + t.size.part(35, 100)
	c.lines(t, side+11*pt, mid-t.rows(len(lines))/2, lines)
	c.putRight(t, c.value, base, check.ValueText())
	c.putRight(t, c.limit, base, check.LimitText())
	c.bar(check, mid, h)
	c.mark(check.Verdict, c.word+4.2*pt, mid, 4*pt)
	c.put(t, c.word+12*pt, base, record.CheckVerdictWord(check.Verdict))
	c.y += h
	c.hline(side, c.w-side, c.y, 0.3*pt, rule)
}

// bar draws the limit and the whisker value − U … value + U.
func (c *chart) bar(check record.Check, y, h length) {
	if check.LimitKN != nil {
		c.putMid(noteStyle, (c.from+c.to)/2, y+2.7*pt, "in kN, not on this axis")
		return
	}
	for at := -c.low; at <= c.high; at += c.step {
		c.vline(c.x(at), y-h/2, y+h/2, 0.25*pt, rule)
	}
	c.vline(c.x(0), y-h/2, y+h/2, 1.7*pt, black)
	grams, u, ok := beyond(check)
	switch {
	case !ok:
		return
	case grams < -c.low:
		c.stroke(c.from+6*pt, y, c.from+14*pt, y, 1.1*pt, black)
		c.shape(0.3*pt, black, black, point{c.from, y}, point{c.from + 6.2*pt, y - 2.6*pt}, point{c.from + 6.2*pt, y + 2.6*pt})
		text := record.Kg(*check.MarginKg) + " left"
		c.box(c.from+15*pt, y-4.5*pt, c.width(noteStyle, text)+4*pt, 9*pt, paper)
		c.put(noteStyle, c.from+17*pt, y+2.7*pt, text)
	default:
		c.stroke(c.x(grams-u), y, c.x(grams+u), y, 1.4*pt, black)
		c.vline(c.x(grams-u), y-3*pt, y+3*pt, 1.1*pt, black)
		c.vline(c.x(grams+u), y-3*pt, y+3*pt, 1.1*pt, black)
		c.disc(c.x(grams), y, 2.3*pt, inkOf(check.Verdict))
	}
}

// foot ends the axis.
func (c *chart) foot() { c.hline(side, c.w-side, c.y, 0.7*pt, black) }
