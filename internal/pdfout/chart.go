package pdfout

import (
	"math"
	"slices"

	record "reconcile/internal/oldrecord"
)

// The chart holds every deciding load against its rating on one kilogram
// axis: what is left to the limit, so that all limits are one upright line
// and a kilogram is as long in every row.

// chart is the axis and where its parts stand on the paper, in mm.
type chart struct {
	*sheet
	value, limit, from, to, word float64 // edges of the columns
	low, high                    float64 // kg left of the limit and right of it
	step                         float64 // kg between marks of the axis
	room                         float64 // least height of a row
}

// Heights of a row of one line: as it should be, and at the least.
const (
	rowRoom  = 6.4
	rowLeast = 4.7
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

// beyond is how far a value stands on the wrong side of its limit, and its U.
func beyond(c record.Check) (kg, expanded float64, ok bool) {
	if c.MarginKg == nil || c.UKg == nil || c.Verdict == "not_weighed" {
		return 0, 0, false
	}
	return -*c.MarginKg, 2 * *c.UKg, true
}

// span finds the axis: all of what is beyond a limit, and of what is within
// it so much that a typical ± stays visible, or two rows of three if that is
// more. What lies farther is shown by an arrow at the edge.
func (c *chart) span(checks []record.Check) {
	c.low, c.high = 50, 50
	var expanded, room []float64
	for _, check := range checks {
		if kg, u, ok := beyond(check); ok {
			c.low, c.high = math.Max(c.low, u-kg), math.Max(c.high, kg+u)
			expanded, room = append(expanded, u), append(room, u-kg)
		}
	}
	if len(expanded) > 0 {
		slices.Sort(expanded)
		slices.Sort(room)
		enough := math.Max(20*expanded[len(expanded)/2], room[len(room)*2/3])
		c.low = math.Min(c.low, math.Max(c.high, enough))
	}
	c.step = niceStep((c.low + c.high) / 6)
	c.low = math.Ceil(c.low/c.step) * c.step
	c.high = math.Ceil(c.high/c.step) * c.step
}

// niceStep is the next of 1, 2, 5, 10, 20, … from v upwards.
func niceStep(v float64) float64 {
	for unit := 1.0; ; unit *= 10 {
		for _, n := range []float64{1, 2, 5} {
			if n*unit >= v || unit > 1e9 {
				return n * unit
			}
		}
	}
}

// x is where a load that is kg beyond its limit stands.
func (c *chart) x(kg float64) float64 {
	kg = math.Min(math.Max(kg, -c.low), c.high)
	return c.from + (kg+c.low)/(c.low+c.high)*(c.to-c.from)
}

// ratingChart prints the chart into the flow.
func (s *sheet) ratingChart(r *record.Record) {
	inKg, inKN := deciding(r)
	if len(inKg)+len(inKN) == 0 {
		return
	}
	w := s.wide()
	c := &chart{sheet: s, value: side + 0.40*w, limit: side + 0.50*w, from: side + 0.53*w, to: side + 0.85*w, word: side + 0.87*w}
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
	left := c.bottom() - c.y - style{pt: strong}.line() - 2*headStyle.line() - 1.2
	for c.room = rowRoom; c.room >= rowLeast; c.room -= 0.1 {
		sum := 0.0
		for _, check := range checks {
			sum += c.height(len(c.label(r, check, style{pt: table, bold: true})))
		}
		if sum <= left {
			return
		}
	}
	c.room = rowRoom
}

// label is the wrapped name of a check, beside its value.
func (c *chart) label(r *record.Record, check record.Check, t style) []string {
	label := r.CheckLabel(check)
	if check.State != "" {
		label += " · " + r.StateWord(check.State)
	}
	return c.wrap(t, label, c.value-side-4-c.width(t, check.ValueText())-2)
}

// height is that of a row with a label of so many lines.
func (c *chart) height(lines int) float64 {
	return math.Max(c.room, float64(lines)*style{pt: table}.line()+0.29*c.room)
}

// sameCheck reports whether c is the check that governs.
func sameCheck(governs *record.Check, c record.Check) bool {
	return governs != nil && governs.Rating == c.Rating && governs.On == c.On && governs.State == c.State &&
		governs.Source == c.Source && governs.LimitText() == c.LimitText()
}

// title prints the title and, beside or under it, how to read the chart.
func (c *chart) title(r *record.Record, governs bool) {
	t := style{strong, true, black}
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
	y := c.y + t.ascent() + 0.6
	c.put(t, side+4, y, "rating")
	c.putRight(t, c.value, y, "value ± U, kg")
	c.putRight(t, c.limit, y, "limit, kg")
	c.put(t, c.word, y, "verdict")
	c.axisHead(t, y)
	c.y += t.line() + 1
	c.ticks()
	c.y += t.line()
	c.hline(side, c.w-side, c.y, 0.25, black)
}

// axisHead names the two sides of the limit, if there is room for both.
func (c *chart) axisHead(t style, y float64) {
	limit, half := c.x(0), c.width(t, "limit")/2+2
	c.putMid(t, limit, y, "limit")
	if limit-half-c.from > c.width(t, "kg left") {
		c.put(t, c.from-1, y, "kg left")
	}
	if c.to-limit-half > c.width(t, "kg over") {
		c.putRight(t, c.to+1, y, "kg over")
	}
}

// ticks prints the figures of the axis: what is left on one side, too much
// on the other. Figures that would touch the one before are left out.
func (c *chart) ticks() {
	t := style{small, false, grey}
	last := math.Inf(-1)
	for kg := -c.low; kg <= c.high+c.step/2; kg += c.step {
		text := record.Kg(math.Abs(math.Round(kg)))
		x := c.x(kg)
		if w := c.width(t, text) / 2; x-w > last+1.2 {
			c.putMid(t, x, c.y+t.ascent(), text)
			last = x + w
		}
	}
}

// row prints one load. The one that governs is bold on a tint.
func (c *chart) row(r *record.Record, check record.Check, governs bool) {
	t := style{table, governs, black}
	lines := c.label(r, check, t)
	h := c.height(len(lines))
	if c.y+h > c.bottom() {
		c.foot()
		c.page()
		c.head()
	}
	if governs {
		c.box(side, c.y+0.15, c.wide(), h-0.3, tint)
		c.shape(0.1, black, black, side+0.6, c.y+h/2-1.2, side+2.8, c.y+h/2, side+0.6, c.y+h/2+1.2)
	}
	mid := c.y + h/2
	base := mid + t.pt*mm*0.35
	c.lines(t, side+4, mid-float64(len(lines))*t.line()/2, lines)
	c.putRight(t, c.value, base, check.ValueText())
	c.putRight(t, c.limit, base, check.LimitText())
	c.bar(check, mid, h)
	c.mark(check.Verdict, c.word+1.5, mid, 1.4)
	c.put(t, c.word+4.2, base, record.CheckVerdictWord(check.Verdict))
	c.y += h
	c.hline(side, c.w-side, c.y, 0.1, rule)
}

// bar draws the limit and the whisker value − U … value + U.
func (c *chart) bar(check record.Check, y, h float64) {
	if check.LimitKN != nil {
		c.putMid(noteStyle, (c.from+c.to)/2, y+0.95, "in kN, not on this axis")
		return
	}
	for kg := -c.low; kg <= c.high+c.step/2; kg += c.step {
		c.vline(c.x(kg), y-h/2, y+h/2, 0.08, rule)
	}
	c.vline(c.x(0), y-h/2, y+h/2, 0.6, black)
	kg, u, ok := beyond(check)
	switch {
	case !ok:
		return
	case kg < -c.low:
		c.stroke(c.from+2, y, c.from+5, y, 0.4, black)
		c.shape(0.1, black, black, c.from, y, c.from+2.2, y-0.9, c.from+2.2, y+0.9)
		text := record.Kg(-kg) + " left"
		c.box(c.from+5.4, y-1.6, c.width(noteStyle, text)+1.2, 3.2, paper)
		c.put(noteStyle, c.from+6, y+0.95, text)
	default:
		c.stroke(c.x(kg-u), y, c.x(kg+u), y, 0.5, black)
		c.vline(c.x(kg-u), y-1.1, y+1.1, 0.4, black)
		c.vline(c.x(kg+u), y-1.1, y+1.1, 0.4, black)
		c.fill(inkOf(check.Verdict))
		c.pdf.Circle(c.x(kg), y, 0.8, "F")
	}
}

// foot ends the axis.
func (c *chart) foot() { c.hline(side, c.w-side, c.y, 0.25, black) }
