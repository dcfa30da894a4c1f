package pdfout

import (
	"slices"

	"reconcile/internal/record"
)

// outline is an outfit seen from its left, in millimetres behind the front
// axle: where its wheels and its coupling are. Everything else of the drawing
// is a symbol.
type outline struct {
	kind                    string // of the trailer: centre_axle, drawbar, semi
	rear, coupling, trailer int    // positions
	nose                    int    // of the jockey wheel or the legs; 0 where not known
	axles                   int    // of the trailer
	scaled                  bool   // the positions are measured
	alone                   bool   // the trailer is drawn without its vehicle
}

// Lengths of a drawing for which none, or not all, were given.
const (
	drawnWheelbase = 3200
	drawnOverhang  = 1250
	drawnDrawbar   = 3700
)

// outlineOf reads the lengths. Lengths that would leave no room for the
// wheels cannot be drawn to scale and are drawn like unknown ones.
func outlineOf(of *record.Outfit) outline {
	l, kind := &of.LengthsMm, of.TrailerKind
	unscaled := outline{kind: kind, rear: drawnWheelbase, coupling: drawnWheelbase + drawnOverhang, trailer: drawnWheelbase + drawnOverhang + drawnDrawbar}
	if kind == "semi" {
		unscaled.coupling, unscaled.trailer = drawnWheelbase-100, drawnWheelbase-100+2*drawnDrawbar
	}
	if l.Wheelbase == nil || l.RearAxleToCoupling == nil || l.CouplingToTrailerAxle == nil {
		return unscaled
	}
	w, a, t := millimetres(*l.Wheelbase), millimetres(*l.RearAxleToCoupling), millimetres(*l.CouplingToTrailerAxle)
	o := outline{kind: kind, rear: w, coupling: w + a, trailer: w + a + t, scaled: true}
	if n := l.NoseSupportToTrailerAxle; n != nil && millimetres(*n) < t {
		o.nose = o.trailer - millimetres(*n)
	}
	fits := w >= 1200 && a >= 350 && t >= 1000
	if kind == "semi" {
		fits = w >= 1200 && a > -w/2 && a <= 1500 && t >= 2500
	}
	if !fits || o.trailer > 30000 {
		return unscaled
	}
	return o
}

// millimetres is a length as a whole number of them, for drawing.
func millimetres(mm float64) int { return floorDiv(thousandths(mm)+500, 1000) }

// The symbolic part of the drawing, in mm of the outfit.
const (
	wheelRadius   = 370
	trailerRadius = 330
	axleSpacing   = 860 // of the axles of a group, of which only the middle is known
	bodyHeight    = 1760
	deckHeight    = 1130 // of a semi-trailer's floor above the vehicle's rear
)

func (o outline) front() int { return -min(900, o.rear*3/10) }

// tail is where the vehicle's body ends.
func (o outline) tail() int {
	if o.kind == "semi" {
		return max(o.rear+wheelRadius+150, o.coupling+200)
	}
	return o.coupling - 110
}

// boxFrom and boxTo are the ends of the trailer's body.
func (o outline) boxFrom() int {
	switch o.kind {
	case "semi":
		return max(o.coupling-900, o.rear*75/100)
	case "drawbar":
		return o.trailer - o.half()
	}
	return o.coupling + (o.trailer-o.coupling)*34/100
}

func (o outline) boxTo() int {
	switch o.kind {
	case "semi":
		return o.trailer + 1300
	case "drawbar":
		return o.trailer + o.half()
	}
	return o.trailer + max(900, (o.trailer-o.coupling)/2)
}

// half is half of the body of a drawbar trailer, about the middle of its axles.
func (o outline) half() int { return max(1000, (o.trailer-o.coupling)*65/100) }

// ends are where its steered axle is, and the middle of its other axles.
func (o outline) ends() (steered, rear int) {
	reach := o.half() - trailerRadius - 150
	behind := max(0, o.axles-2) * axleSpacing / 2
	return o.trailer - reach, o.trailer + reach - behind
}

// view places an outline on the sheet.
type view struct {
	*sheet
	outline
	left, ground length
	room         length // that the entire outfit takes
	bodies       length // the height of the bodies
}

// long is a length of the outfit on paper.
func (v view) long(mm int) length { return v.room.part(mm, v.boxTo()-v.front()) }
func (v view) x(mm int) length    { return v.left + v.long(mm-v.front()) }
func (v view) up(mm int) length   { return v.ground - v.long(mm) }

// Heights of the parts of the drawing on paper.
const (
	viewRoom   = 79 * pt // bodies, as they should be
	viewLeast  = 52 * pt // and where page 1 would not hold the ratings
	labelRoom  = 28 * pt // download above them
	arrowRoom  = 24 * pt
	viewHeight = 100 * pt // the rest of it but for the lines under the loads
)

// sideView draws the outfit with its loads into the flow.
func (s *sheet) sideView() {
	o := s.rec.Outfit
	v := view{sheet: s, outline: outlineOf(&o), room: s.wide() - 23*pt}
	v.axles = axles(o.TrailerAxles, 1)
	under := 0
	supports := v.supports()
	for _, p := range supports {
		under = max(under, len(p.under))
	}
	rest := viewHeight + underStyle.rows(under)
	if v.bodies = viewRoom; s.y+v.bodies+rest+6*pt+s.leastChart() > s.bottom() {
		v.bodies = viewLeast
	}
	s.need(v.bodies + rest)
	if v.long(bodyHeight) > v.bodies {
		v.room = v.bodies.part(v.boxTo()-v.front(), bodyHeight)
	}
	v.left = side + (s.wide()-v.room)/2
	v.title()
	v.ground = s.y + labelRoom + v.bodies
	figure := s.new("Figure")
	figure.alt = s.faces.clean(v.say.Report().Drawing.Alt)
	s.in(figure, func() {
		v.vehicle(axles(o.RearAxles, 1))
		v.trailerBody(v.axles)
		s.hline(side, s.w-side, v.ground, 1*pt, black)
		v.download()
		s.y = v.ground + arrowRoom
		v.loads(supports)
		v.dimensions(&o)
	})
	v.totals()
}

// axles is how many wheels of a group are drawn.
func axles(n *int, otherwise int) int {
	if n == nil || *n < 1 || *n > 4 {
		return otherwise
	}
	return *n
}

// title says which state's loads are shown, whether they are to be relied on,
// and whether the drawing is to scale.
func (v view) title() {
	s, t := v.sheet, style{sizeStrong, true, black}
	text := s.label("s_axle_loads") + ", " + v.say.Report().Drawing.State
	if s.rec.Verdict == "conflict" {
		text += ": " + s.label("row_verdict")
	}
	s.in(s.new("H2"), func() { s.put(t, side, s.y+t.ascent(), text) })
	words := s.label("not_to_scale")
	if v.scaled {
		words = s.label("to_scale") + " 1 : " + count(v.scale()) + ", " + s.label("symbols")
	}
	s.putRight(style{sizeSmall, false, grey}, s.w-side, s.y+t.ascent(), words)
	s.y += t.line()
}

// scale is how many times the outfit is longer than its drawing.
func (v view) scale() int {
	const inch, points = 254, 72 // tenths of a millimetre, points
	return (v.boxTo() - v.front()) * 10 * points * pt / (int(v.room) * inch)
}

// travelState is the coupled state in which the outfit travels.
func travelState(r *record.Record) string {
	if r.Outfit.Travels == "tensioned" {
		return "coupled_tensioned"
	}
	return "coupled_slack"
}

// place is a place on the outfit: mm behind the front axle, mm above ground.
type place struct{ at, height int }

// vehicle draws a crew-cab utility: bonnet, cab and tray as straight lines; the
// tray of one that carries a semi-trailer is a flat bed below the coupling.
func (v view) vehicle(rearAxles int) {
	f, w, t := v.front(), v.rear, v.tail()
	bed := 1060
	if v.kind == "semi" {
		bed = 800
	}
	v.polygon(1*pt, place{f, 420}, place{f, 800}, place{f + w*3/100, 980}, place{w * 13 / 100, 1090}, place{w * 29 / 100, 1640}, place{w * 33 / 100, 1690},
		place{w * 66 / 100, 1690}, place{w * 71 / 100, bed}, place{t, bed}, place{t, 420})
	v.polygon(0.5*pt, place{w * 205 / 1000, 1110}, place{w * 315 / 1000, 1560}, place{w * 46 / 100, 1590}, place{w * 46 / 100, 1110})
	v.polygon(0.5*pt, place{w / 2, 1110}, place{w / 2, 1590}, place{w * 62 / 100, 1590}, place{w * 655 / 1000, 1110})
	v.wheel(0, wheelRadius)
	v.wheels(w, rearAxles, wheelRadius)
}

// trailerBody draws the trailer of its kind.
func (v view) trailerBody(n int) {
	switch v.kind {
	case "semi":
		v.semiTrailer(n)
	case "drawbar":
		v.drawbarTrailer(n)
	default:
		v.centreAxleTrailer(n)
	}
}

// centreAxleTrailer draws a box, a drawbar rigid with it and a jockey wheel.
func (v view) centreAxleTrailer(n int) {
	from, to, c := v.boxFrom(), v.boxTo(), v.coupling
	v.polygon(1*pt, place{from, 480}, place{from, 1500}, place{from + 220, bodyHeight}, place{to, bodyHeight}, place{to, 480})
	v.polygon(0.85*pt, place{c - 60, 430}, place{from, 480}, place{from, 580}, place{c - 60, 490})
	v.towbar()
	if v.nose > 0 {
		v.join(0.85*pt, place{v.nose, 700}, place{v.nose, 230})
		v.circle(v.nose, 170, 70, 0.85*pt)
	}
	v.wheels(v.trailer, n, trailerRadius)
}

// towbar draws the vehicle's part of the coupling.
func (v view) towbar() {
	if !v.alone {
		v.join(2*pt, place{v.tail(), 460}, place{v.coupling, 460})
	}
}

// drawbarTrailer draws a box on axles at both ends, the front one steered by a hinged
// drawbar. The trailer's loads are those of all its axles together.
func (v view) drawbarTrailer(n int) {
	from, to, c := v.boxFrom(), v.boxTo(), v.coupling
	v.polygon(1*pt, place{from, 700}, place{from, 1500}, place{from + 220, bodyHeight}, place{to, bodyHeight}, place{to, 700})
	steered, rear := v.ends()
	v.towbar()
	v.join(1.4*pt, place{c - 60, 460}, place{steered - 250, 400})
	v.circle(steered-250, 400, 60, 0.85*pt) // the hinge
	v.polygon(0.85*pt, place{steered - 250, 430}, place{steered - 100, 640}, place{steered + 100, 640}, place{steered + 250, 430}, place{steered, 330})
	v.wheel(steered, trailerRadius)
	v.wheels(rear, max(1, n-1), trailerRadius)
}

// semiTrailer draws a body that lies on the vehicle over the coupling.
func (v view) semiTrailer(n int) {
	from, to, c := v.boxFrom(), v.boxTo(), v.coupling
	v.polygon(1*pt, place{from, deckHeight}, place{from, bodyHeight}, place{to, bodyHeight}, place{to, 700}, place{c + 1300, 700}, place{c + 1000, deckHeight})
	v.polygon(0.85*pt, place{c - 160, 800}, place{c - 90, deckHeight}, place{c + 90, deckHeight}, place{c + 160, 800})
	if v.nose > 0 {
		v.join(1.4*pt, place{v.nose, 700}, place{v.nose, 180})
		v.join(1.4*pt, place{v.nose - 90, 180}, place{v.nose + 90, 180})
	}
	v.wheels(v.trailer, n, trailerRadius)
}

// wheels draws the axles of a group about its middle.
func (v view) wheels(middle, n, radius int) {
	for i := range n {
		v.wheel(middle+(2*i-n+1)*axleSpacing/2, radius)
	}
}

func (v view) wheel(x, radius int) {
	v.circle(x, radius, radius, 1.3*pt)
	v.circle(x, radius, radius/2, 0.6*pt)
}

func (v view) circle(x, height, radius int, thick length) {
	v.ring(v.x(x), v.up(height), v.long(radius), thick, black, paper)
}

func (v view) join(thick length, a, b place) {
	v.stroke(v.x(a.at), v.up(a.height), v.x(b.at), v.up(b.height), thick, black)
}

func (v view) polygon(thick length, places ...place) {
	var points []point
	for _, p := range places {
		points = append(points, point{v.x(p.at), v.up(p.height)})
	}
	v.shape(thick, black, tint, points...)
}

// download draws the load on the coupling: an arrow from above the bodies,
// with its label over it. A drawbar trailer puts none on it.
func (v view) download() {
	if v.kind == "drawbar" {
		return
	}
	x, top := v.x(v.coupling), v.ground-v.bodies-1.4*pt
	words, number := style{sizeTable, false, grey}, style{sizeStrong, true, black}
	label, value := v.say.Report().Drawing.Download, v.loadText("download")
	if travelState(v.rec) == "coupled_tensioned" {
		label += " (" + v.label("hitch_slack") + ")"
	}
	w := max(v.width(words, label), v.width(number, value)) / 2
	mid := min(max(x, side+w), v.w-side-w)
	v.putMid(words, mid, top-16*pt, label)
	v.putMid(number, mid, top-3.4*pt, value)
	pin := 460
	if v.kind == "semi" {
		pin = deckHeight
	}
	v.arrow(x, top, x, v.up(pin+80), 1.4*pt)
	v.disc(x, v.up(pin), 2.6*pt, black)
}

// arrow draws an upright arrow that ends in a solid point.
func (v view) arrow(x1, y1, x2, y2, thick length) {
	long, half := length(6.8*pt), length(2.8*pt)
	if y2 < y1 {
		long = -long
	}
	v.stroke(x1, y1, x2, y2-long.part(8, 10), thick, black)
	v.shape(0.3*pt, black, black, point{x2, y2}, point{x2 - half, y2 - long}, point{x2 + half, y2 - long})
}

// loadText prints a load, or that it was not weighed.
func (v view) loadText(quantity string) string {
	said := v.say.Quantity(quantity)
	if said.Figure == "" {
		return v.label("not_weighed")
	}
	return said.Text
}

// support is one group of wheels in the drawing, with its texts.
type support struct {
	at    int // mm behind the front axle
	main  string
	under []string
}

// supports are what the drawing says under each group of wheels.
func (v view) supports() []support {
	var out []support
	travel := travelState(v.rec)
	for _, g := range []struct {
		name, says, alone string
		at                int
	}{{"front", v.say.Report().Drawing.Front, "vehicle_alone", 0}, {"rear", v.say.Report().Drawing.Rear, "vehicle_alone", v.rear}, {"trailer", v.say.Report().Drawing.Trailer, "trailer_alone", v.trailer}} {
		p := support{at: g.at, main: v.loadText(travel + "." + g.name), under: []string{g.says}}
		if load := v.say.Quantity(g.alone + "." + g.name).Figure; load != "" {
			p.under = append(p.under, v.label("uncoupled")+" "+load)
		}
		for _, part := range []string{"1", "2", "3", "4", "left", "right"} {
			if load := v.say.Quantity(travel + "." + g.name + "." + part).Figure; load != "" {
				p.under = append(p.under, v.partWord(part)+": "+load)
			}
		}
		out = append(out, p)
	}
	return out
}

// partWord names an axle of a group, or a side.
func (v view) partWord(part string) string {
	if part == "left" || part == "right" {
		return part
	}
	return v.label("axle") + " " + part
}

var (
	loadStyle  = style{sizeStrong, true, black}
	underStyle = style{sizeTable, false, grey}
)

// loads draws the reactions of the road and their texts, moved where
// they would touch.
func (v view) loads(all []support) {
	var at, wide []length
	under := 0
	for _, p := range all {
		under = max(under, len(p.under))
		w := v.width(loadStyle, p.main)
		for _, u := range p.under {
			w = max(w, v.width(underStyle, u))
		}
		at, wide = append(at, v.x(p.at)), append(wide, w+11*pt)
		for _, x := range v.contacts(p.at) {
			v.arrow(x, v.ground+arrowRoom-3*pt, x, v.ground+1*pt, 1.4*pt)
		}
	}
	at = spread(at, wide, side, v.w-side)
	y := v.y + loadStyle.line()
	for i, p := range all {
		v.putMid(loadStyle, at[i], v.y+loadStyle.ascent()-1*pt, p.main)
		for j, u := range p.under {
			v.putMid(underStyle, at[i], y+underStyle.ascent()+underStyle.rows(j), u)
		}
	}
	v.y = y + underStyle.rows(under)
}

// contacts are where the road carries a support: below it, or for a drawbar trailer
// below both of its ends.
func (v view) contacts(at int) []length {
	if v.kind == "drawbar" && at == v.trailer {
		steered, rear := v.ends()
		return []length{v.x(steered), v.x(rear)}
	}
	return []length{v.x(at)}
}

// spread moves middles of labels so that none overlaps the next and all stay
// between the edges: from the left to the right, then back.
func spread(at, wide []length, from, to length) []length {
	out := append([]length{}, at...)
	for i := range out {
		left := from
		if i > 0 {
			left = out[i-1] + wide[i-1]/2
		}
		out[i] = max(out[i], left+wide[i]/2)
	}
	for i := len(out) - 1; i >= 0; i-- {
		right := to
		if i < len(out)-1 {
			right = out[i+1] - wide[i+1]/2
		}
		out[i] = min(out[i], right-wide[i]/2)
	}
	return out
}

// dimensions draws the lengths under the loads: each figure in a gap of its
// line, or all of them below the line where one has no room.
func (v view) dimensions(o *record.Outfit) {
	l := &o.LengthsMm
	if l.Wheelbase == nil && l.RearAxleToCoupling == nil && l.CouplingToTrailerAxle == nil {
		v.y += 4 * pt
		return
	}
	t := style{sizeSmall, false, black}
	ticks := []length{v.x(0), v.x(v.rear), v.x(v.coupling), v.x(v.trailer)}
	texts := slices.Clone(v.say.Report().Drawing.Lengths)
	var at, wide []length
	below := false
	for i := range texts {
		if texts[i] == "" {
			texts[i] = v.label("no_length")
		}
		at, wide = append(at, (ticks[i]+ticks[i+1])/2), append(wide, v.width(t, texts[i])+6*pt)
		below = below || wide[i] > ticks[i+1]-ticks[i]-3*pt
	}
	y := v.y + 8*pt
	for i := range texts {
		gap := wide[i] / 2
		if below {
			gap = 0
		}
		v.hline(ticks[i], at[i]-gap, y, 0.6*pt, grey)
		v.hline(at[i]+gap, ticks[i+1], y, 0.6*pt, grey)
	}
	for _, x := range ticks {
		v.vline(x, y-4.5*pt, y+4.5*pt, 0.6*pt, grey)
	}
	if below {
		at, y = spread(at, wide, side, v.w-side), y+11*pt
	}
	for i, text := range texts {
		v.putMid(t, at[i], y+2.7*pt, text)
	}
	v.y = y + 6.8*pt
}

// totals prints the three totals an owner asks for.
func (v view) totals() {
	t := style{sizeTable, false, black}
	y := v.y + 3.4*pt
	sixth := v.wide() / 6
	for i, name := range []string{travelState(v.rec) + ".vehicle", "trailer_mass", "combination"} {
		label := v.say.Quantity(name).Label
		if i == 0 {
			label = v.label("on_its_wheels")
		}
		v.putMid(t, side+length(2*i+1)*sixth, y+t.ascent(), label+": "+v.loadText(name))
	}
	v.y = y + t.line() + 3*pt
}
