package pdfout

import (
	"slices"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// The chart has every deciding load next to its rating on one kilogram axis:
// what is left to the limit, so that all limits are one upright line and a
// kilogram is as long in every row. It is drawn in thousandths of the unit
// printed; the figures are those of package words.

// chart is the axis and where its parts are on the paper.
type chart struct {
	*sheet
	value, limit, from, to, word length // edges of the columns
	low, high                    int    // thousandths left of the limit and right of it
	step                         int    // thousandths between marks of the axis
	room                         length // least height of a row
}

// Heights of a row of one line: as it should be, and at the least.
const (
	rowRoom  = 18 * pt
	rowLeast = 11.5 * pt
)

// deciding are the checks of page 1, those that an axis of masses can hold and
// those in kilonewtons: what decides, but for a download that is plainly not
// below 0, and whatever is over all the same.
func (s *sheet) deciding() (inKg, inKN []*rated) {
	for _, c := range s.checked {
		switch {
		case c.Set != "" || !c.Decides && c.Verdict != "over" || c.Floor && c.Verdict == "within":
		case c.LimitKN != nil:
			inKN = append(inKN, c)
		default:
			inKg = append(inKg, c)
		}
	}
	return inKg, inKN
}

// beyond is how far a value is on the wrong side of its limit, and its U, in
// thousandths.
func (c *chart) beyond(check *record.Check) (past, expanded int, ok bool) {
	if check.MarginKg == nil || check.UKg == nil || check.Verdict == "not_weighed" {
		return 0, 0, false
	}
	return -c.inUnit(*check.MarginKg), 2 * c.inUnit(*check.UKg), true
}

// inUnit is a mass in thousandths of the unit printed.
func (c *chart) inUnit(kg float64) int { return thousandths(kg / c.say.PerUnit) }

// span finds the axis: all of what is beyond a limit, and of what is within
// it so much that a typical ± stays visible, or two rows of three if that is
// more. What is farther is shown by an arrow at the edge.
func (c *chart) span(checks []*rated) {
	const least = 50 * 1000
	c.low, c.high = least, least
	var expanded, room []int
	for i := range checks {
		if past, u, ok := c.beyond(checks[i].Check); ok {
			c.low, c.high = max(c.low, u-past), max(c.high, past+u)
			expanded, room = append(expanded, u), append(room, u-past)
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

// niceStep is the next of 1, 2, 5, 10, 20, … units from v thousandths upwards.
func niceStep(v int) int {
	for unit := 1000; ; unit *= 10 {
		for _, n := range []int{1, 2, 5} {
			if n*unit >= v || unit > 1e12 {
				return n * unit
			}
		}
	}
}

// x is where a load is drawn that is so many thousandths beyond its limit.
func (c *chart) x(past int) length {
	past = min(max(past, -c.low), c.high)
	return c.from + (c.to-c.from).part(past+c.low, c.low+c.high)
}

// ratingChart prints the chart into the flow.
func (s *sheet) ratingChart() {
	inKg, inKN := s.deciding()
	if len(inKg)+len(inKN) == 0 {
		return
	}
	c := s.newChart()
	c.span(inKg)
	c.need(c.headRoom() + 3*rowRoom)
	all := slices.Concat(inKg, inKN)
	c.settle(all)
	var governs *record.Check
	if named := s.say.Headline().Named; named != nil && s.rec.Verdict != "conflict" { // nothing governs while the readings disagree
		governs = named.Of
	}
	c.title(governs != nil)
	c.inside("Table", func() {
		c.inside("TR", func() { c.head(false) })
		for i, check := range all {
			if i == len(inKg) {
				c.foot()
			}
			next := length(0)
			if i == len(all)-2 { // the last row is not left alone on a page
				next = c.rowHeight(all[i+1])
			}
			c.inside("TR", func() { c.row(check, sameCheck(governs, check.Check), next) })
		}
	})
	if len(inKN) == 0 {
		c.foot()
	}
	c.gap(2 * pt)
	for _, line := range c.assumptions(all) {
		c.para(noteStyle, side+11*pt, c.wide(), line)
	}
}

func (s *sheet) newChart() *chart {
	w := s.wide()
	return &chart{sheet: s, value: side + w.part(40, 100), limit: side + w.part(50, 100), from: side + w.part(53, 100), to: side + w.part(83, 100), word: side + w.part(85, 100), room: rowRoom}
}

// leastChart is the height that the chart takes at the least.
func (s *sheet) leastChart() length {
	inKg, inKN := s.deciding()
	c := s.newChart()
	c.room = rowLeast
	return c.height(slices.Concat(inKg, inKN))
}

// height is that of the chart with these rows.
func (c *chart) height(checks []*rated) length {
	if len(checks) == 0 {
		return 0
	}
	sum := c.headRoom() + noteStyle.rows(len(c.assumptions(checks))) + 2*pt
	for _, check := range checks {
		sum += c.rowHeight(check)
	}
	return sum
}

// headRoom is the height of the title and the two lines of heads.
func (c *chart) headRoom() length {
	return style{size: sizeStrong}.line() + 2*headStyle.line() + 3.4*pt
}

// assumptions are the lines below the chart on what the values marked so rest on.
func (c *chart) assumptions(checks []*rated) []string {
	var texts, lines []string
	for _, check := range checks {
		plated := check.said.Plated
		if plated != "" {
			plated = check.said.Label + ": " + plated
		}
		for _, text := range []string{check.said.Assumed, plated} {
			if text != "" && !slices.Contains(texts, text) {
				texts = append(texts, text)
				lines = append(lines, c.wrap(noteStyle, text, c.wide()-11*pt)...)
			}
		}
	}
	return lines
}

// settle finds the height of the rows: a little less than it should be if that
// keeps the chart on its page.
func (c *chart) settle(checks []*rated) {
	left := c.bottom() - c.y
	for c.room = rowRoom; c.room > rowLeast; c.room -= 0.5 * pt {
		if c.height(checks) <= left {
			return
		}
	}
}

// name is the wrapped name of a check, next to its value.
func (c *chart) name(check *rated, t style) []string {
	label := joined(" · ", check.said.Label, check.said.State, check.said.NotDeciding)
	return c.wrap(t, label, c.value-side-11*pt-c.width(t, check.said.Value)-6*pt)
}

// rowHeight is that of a row, as if its text were bold.
func (c *chart) rowHeight(check *rated) length {
	t := style{size: sizeTable, bold: true}
	if check.lines == 0 {
		check.lines = max(len(c.name(check, t)), len(c.verdictLines(check, t)))
	}
	return max(c.room, t.rows(check.lines)+c.room.part(29, 100))
}

// verdictLines are the words of the last column.
func (c *chart) verdictLines(check *rated, t style) []string {
	return c.wrap(t, c.verdictText(check), c.w-side-c.word-12*pt)
}

// sameCheck reports whether c is the check that governs.
func sameCheck(governs, c *record.Check) bool {
	if governs == nil || (governs.Line == nil) != (c.Line == nil) || governs.Line != nil && *governs.Line != *c.Line {
		return false
	}
	return governs.Rating == c.Rating && governs.On == c.On && governs.State == c.State
}

// title prints the title and, next to it, how to read the chart.
func (c *chart) title(governs bool) {
	t := style{sizeStrong, true, black}
	text, legend := c.label("s_chart"), c.label("chart_legend")
	if c.rec.Verdict == "conflict" {
		text = sentence(c.label("row_verdict")) + ": " + c.label("conflict")
	}
	if governs {
		legend += " · " + c.label("chart_governs")
	}
	base := c.y + t.ascent()
	c.in(c.new("H2"), func() { c.put(t, side, base, text) })
	c.putRight(noteStyle, c.w-side, base, legend)
	c.y += t.line()
}

// head prints the heads of the columns and the axis; again on another page, where
// they are not read once more.
func (c *chart) head(again bool) {
	t := headStyle
	y := c.y + t.ascent() + 1.7*pt
	c.th(again, func() { c.put(t, side+11*pt, y, c.label("rating")) })
	c.th(again, func() { c.putRight(t, c.value, y, c.label("value_unit")) })
	c.th(again, func() { c.putRight(t, c.limit, y, c.label("limit_unit")) })
	if lines := c.wrap(t, c.label("row_verdict"), c.w-side-c.word); len(lines) < 3 {
		c.th(again, func() { c.lines(t, c.word, c.y+1.7*pt, lines) })
	}
	c.axisHead(t, y)
	c.y += t.line() + 3*pt
	c.ticks()
	c.y += t.line()
	c.hline(side, c.w-side, c.y, 0.7*pt, black)
}

// th prints the head of a column.
func (c *chart) th(again bool, print func()) {
	if again {
		c.in(furniture, print)
		return
	}
	c.in(c.new("TH"), print)
}

// td prints a cell.
func (c *chart) td(print func()) {
	part := c.new("TD")
	part.join() // it is there if it is empty, too
	c.in(part, print)
}

// axisHead names the two sides of the limit, if there is room for both.
func (c *chart) axisHead(t style, y length) {
	before := c.leaf
	defer func() { c.leaf = before }()
	c.leaf = furniture // the figures next to it say it in words
	left, over := c.label("unit_left"), c.label("unit_over")
	word := c.label("limit")
	limit, half := c.x(0), c.width(t, word)/2+6*pt
	c.putMid(t, limit, y, word)
	if limit-half-c.from > c.width(t, left) {
		c.put(t, c.from-3*pt, y, left)
	}
	if c.to-limit-half > c.width(t, over) {
		c.putRight(t, c.to+3*pt, y, over)
	}
}

// ticks prints the figures of the axis: what is left on one side, too much
// on the other. Figures that would touch the one before are left out.
func (c *chart) ticks() {
	t := style{sizeSmall, false, grey}
	last := length(0)
	for at := -c.low; at <= c.high; at += c.step {
		text := words.Count(max(at, -at) / 1000)
		x := c.x(at)
		if w := c.width(t, text) / 2; x-w > last+3.4*pt {
			c.in(furniture, func() { c.putMid(t, x, c.y+t.ascent(), text) })
			last = x + w
		}
	}
}

// row prints one load, together with what has to follow it on its page. The one
// that governs is bold on a tint.
func (c *chart) row(check *rated, governs bool, next length) {
	t := style{sizeTable, governs, black}
	lines, h := c.name(check, t), c.rowHeight(check)
	if c.y+h+next > c.bottom() {
		c.foot()
		c.begin()
		c.head(true)
	}
	if governs {
		c.box(side, c.y+0.4*pt, c.wide(), h-0.8*pt, tint)
		c.shape(0.3*pt, black, black, point{side + 1.7*pt, c.y + h/2 - 3.4*pt}, point{side + 8*pt, c.y + h/2}, point{side + 1.7*pt, c.y + h/2 + 3.4*pt})
	}
	mid := c.y + h/2
	base := mid + t.size.part(35, 100)
	c.td(func() { c.lines(t, side+11*pt, mid-t.rows(len(lines))/2, lines) })
	c.td(func() { c.putRight(t, c.value, base, check.said.Value) })
	c.td(func() { c.putRight(t, c.limit, base, check.said.Limit) })
	c.in(furniture, func() { c.bar(check, mid, h) })
	if verdict := c.markOf(check.Verdict); verdict != "" {
		c.verdictMark(verdict, c.word+4.2*pt, mid, 4*pt)
	}
	words := c.verdictLines(check, t)
	c.td(func() { c.lines(t, c.word+12*pt, mid-t.rows(len(words))/2, words) })
	c.y += h
	c.hline(side, c.w-side, c.y, 0.3*pt, rule)
}

// bar draws the limit and the whisker value − U … value + U.
func (c *chart) bar(check *rated, y, h length) {
	if check.LimitKN != nil {
		c.putMid(noteStyle, (c.from+c.to)/2, y+2.7*pt, c.label("off_axis"))
		return
	}
	c.grid(y, h)
	past, u, ok := c.beyond(check.Check)
	switch {
	case !ok:
		return
	case past < -c.low:
		c.farLeft(check.said.Margin, y)
	default:
		c.stroke(c.x(past-u), y, c.x(past+u), y, 1.4*pt, black)
		c.vline(c.x(past-u), y-3*pt, y+3*pt, 1.1*pt, black)
		c.vline(c.x(past+u), y-3*pt, y+3*pt, 1.1*pt, black)
		c.disc(c.x(past), y, 2.3*pt, c.dotInk(check.Verdict))
	}
}

// grid draws the marks of the axis and the limit in a row.
func (c *chart) grid(y, h length) {
	for at := -c.low; at <= c.high; at += c.step {
		c.vline(c.x(at), y-h/2, y+h/2, 0.25*pt, rule)
	}
	c.vline(c.x(0), y-h/2, y+h/2, 1.7*pt, black)
}

// farLeft says how much is left where that is more than the axis shows.
func (c *chart) farLeft(margin string, y length) {
	c.stroke(c.from+6*pt, y, c.from+14*pt, y, 1.1*pt, black)
	c.shape(0.3*pt, black, black, point{c.from, y}, point{c.from + 6.2*pt, y - 2.6*pt}, point{c.from + 6.2*pt, y + 2.6*pt})
	text := margin + " " + c.label("left")
	c.box(c.from+15*pt, y-4.5*pt, c.width(noteStyle, text)+4*pt, 9*pt, paper)
	c.put(noteStyle, c.from+17*pt, y+2.7*pt, text)
}

// dotInk is the colour of a value's dot: no verdict's while none is to be
// relied on.
func (c *chart) dotInk(verdict string) ink {
	if c.markOf(verdict) == "" {
		return black
	}
	return inkOf(verdict)
}

// foot ends the axis.
func (c *chart) foot() { c.hline(side, c.w-side, c.y, 0.7*pt, black) }
