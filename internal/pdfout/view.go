package pdfout

import (
	"fmt"
	"math"

	record "reconcile/internal/oldrecord"
)

// outline is an outfit seen from its left, in millimetres behind the front
// axle: where its wheels and its coupling stand. Everything else of the
// drawing is a symbol.
type outline struct {
	rear, coupling, trailer float64 // positions
	nose                    float64 // of the jockey wheel; 0 where not known
	scaled                  bool    // the positions are measured
}

// Lengths of a drawing for which none, or not all, were given.
const (
	drawnWheelbase = 3200.0
	drawnOverhang  = 1250.0
	drawnDrawbar   = 3700.0
)

// outlineOf reads the lengths. Lengths that would leave no room for the
// wheels cannot be drawn to scale and are drawn like unknown ones.
func outlineOf(l record.Lengths) outline {
	unscaled := outline{drawnWheelbase, drawnWheelbase + drawnOverhang, drawnWheelbase + drawnOverhang + drawnDrawbar, 0, false}
	if l.Wheelbase == nil || l.RearAxleToCoupling == nil || l.CouplingToTrailerAxle == nil {
		return unscaled
	}
	w, a, t := *l.Wheelbase, *l.RearAxleToCoupling, *l.CouplingToTrailerAxle
	o := outline{w, w + a, w + a + t, 0, true}
	if n := l.NoseSupportToTrailerAxle; n != nil && *n < t {
		o.nose = o.trailer - *n
	}
	if !(w >= 1200 && a >= 350 && t >= 1000 && o.trailer <= 30000) {
		return unscaled
	}
	return o
}

// The symbolic part of the drawing, in mm of the outfit.
const (
	wheelRadius   = 370.0
	trailerRadius = 330.0
	axleSpacing   = 860.0 // of the axles of a group, which only the group's middle is known of
	bodyHeight    = 1760.0
)

func (o outline) front() float64   { return -math.Min(900, 0.3*o.rear) }
func (o outline) tail() float64    { return o.coupling - 110 }
func (o outline) boxFrom() float64 { return o.coupling + 0.34*(o.trailer-o.coupling) }
func (o outline) boxTo() float64   { return o.trailer + math.Max(900, 0.5*(o.trailer-o.coupling)) }

// view places an outline on the sheet: x on the paper = left + mm/scale.
type view struct {
	*sheet
	outline
	left, ground, scale float64
}

func (v view) x(mm float64) float64  { return v.left + (mm-v.front())/v.scale }
func (v view) up(mm float64) float64 { return v.ground - mm/v.scale }

// Heights of the parts of the drawing on paper, in mm.
const (
	viewRoom   = 28.0 // bodies
	labelRoom  = 10.0 // download above them
	arrowRoom  = 8.5
	viewHeight = 63.0 // all of it but the lines under the loads
)

// sideView draws the outfit with its loads into the flow.
func (s *sheet) sideView(r *record.Record) {
	deep := 0
	for _, p := range (view{}).supports(r) {
		deep = max(deep, len(p.under))
	}
	s.need(viewHeight + float64(deep)*underStyle.line())
	o := outlineOf(r.Outfit.LengthsMm)
	scale := math.Max((o.boxTo()-o.front())/(s.wide()-8), bodyHeight/viewRoom)
	v := view{sheet: s, outline: o, scale: scale}
	v.left = side + (s.wide()-(o.boxTo()-o.front())/scale)/2
	s.viewTitle(r, v)
	v.ground = s.y + labelRoom + viewRoom
	v.vehicle(axles(r.Outfit.RearAxles, 1))
	v.semi(axles(r.Outfit.TrailerAxles, 1))
	s.hline(side, s.w-side, v.ground, 0.35, black)
	v.download(r)
	s.y = v.ground + arrowRoom
	v.loads(r)
	v.dimensions(r.Outfit.LengthsMm)
	v.totals(r)
}

// axles is how many wheels of a group are drawn.
func axles(n *int, otherwise int) int {
	if n == nil || *n < 1 || *n > 4 {
		return otherwise
	}
	return *n
}

// viewTitle says which state's loads are shown, and whether to scale.
func (s *sheet) viewTitle(r *record.Record, v view) {
	t := style{strong, true, black}
	s.put(t, side, s.y+t.ascent(), "Axle loads, "+r.StateWord(travelState(r)))
	words := "not to scale"
	if v.scaled {
		words = fmt.Sprintf("axles and coupling to scale 1 : %.0f, bodies are symbols", v.scale)
	}
	s.putRight(style{small, false, grey}, s.w-side, s.y+t.ascent(), words)
	s.y += t.line()
}

// travelState is the coupled state in which the outfit travels.
func travelState(r *record.Record) string {
	if r.Outfit.Travels == "tensioned" {
		return "coupled_tensioned"
	}
	return "coupled_slack"
}

// vehicle draws a crew-cab utility: bonnet, cab and tray as straight lines.
func (v view) vehicle(rearAxles int) {
	f, w, t := v.front(), v.rear, v.tail()
	hull := [][2]float64{{f, 420}, {f, 800}, {f + 0.03*w, 980}, {0.13 * w, 1090}, {0.29 * w, 1640}, {0.33 * w, 1690},
		{0.66 * w, 1690}, {0.71 * w, 1060}, {t, 1060}, {t, 420}}
	v.polygon(0.35, hull)
	v.polygon(0.18, [][2]float64{{0.205 * w, 1110}, {0.315 * w, 1560}, {0.46 * w, 1590}, {0.46 * w, 1110}})
	v.polygon(0.18, [][2]float64{{0.50 * w, 1110}, {0.50 * w, 1590}, {0.62 * w, 1590}, {0.655 * w, 1110}})
	v.wheel(0, wheelRadius)
	v.wheels(w, rearAxles, wheelRadius)
}

// semi draws a centre-axle trailer: a box, a drawbar and a jockey wheel.
func (v view) semi(n int) {
	from, to, c := v.boxFrom(), v.boxTo(), v.coupling
	v.polygon(0.35, [][2]float64{{from, 480}, {from, 1500}, {from + 220, bodyHeight}, {to, bodyHeight}, {to, 480}})
	v.polygon(0.3, [][2]float64{{c - 60, 430}, {from, 480}, {from, 580}, {c - 60, 490}})
	v.stroke(v.x(v.tail()), v.up(460), v.x(c), v.up(460), 0.7, black)
	if v.nose > 0 {
		v.stroke(v.x(v.nose), v.up(700), v.x(v.nose), v.up(230), 0.3, black)
		v.circle(v.nose, 170, 70, 0.3)
	}
	v.wheels(v.trailer, n, trailerRadius)
}

// wheels draws the axles of a group about its middle.
func (v view) wheels(middle float64, n int, radius float64) {
	for i := range n {
		v.wheel(middle+(float64(i)-float64(n-1)/2)*axleSpacing, radius)
	}
}

func (v view) wheel(x, radius float64) {
	v.circle(x, radius, radius, 0.45)
	v.circle(x, radius, 0.5*radius, 0.2)
}

func (v view) circle(x, height, radius, line float64) {
	v.draw(black)
	v.fill(paper)
	v.pdf.SetLineWidth(line)
	v.pdf.Circle(v.x(x), v.up(height), radius/v.scale, "FD")
}

func (v view) polygon(line float64, points [][2]float64) {
	var flat []float64
	for _, p := range points {
		flat = append(flat, v.x(p[0]), v.up(p[1]))
	}
	v.shape(line, black, tint, flat...)
}

// download draws the load on the coupling: an arrow from above the bodies,
// with its label over it.
func (v view) download(r *record.Record) {
	x, top := v.x(v.coupling), v.ground-viewRoom-0.5
	words, number := style{table, false, grey}, style{strong, true, black}
	label, value := r.DownloadLabel(), loadText(r.Quantities["download"])
	if travelState(r) == "coupled_tensioned" {
		label += " (hitch slack)"
	}
	w := math.Max(v.width(words, label), v.width(number, value)) / 2
	mid := math.Min(math.Max(x, side+w), v.w-side-w)
	v.putMid(words, mid, top-5.6, label)
	v.putMid(number, mid, top-1.2, value)
	v.arrow(x, top, x, v.up(540), 0.5)
	v.fill(black)
	v.pdf.Circle(x, v.up(460), 0.9, "F")
}

// arrow draws a level or upright arrow that ends in a solid point.
func (v view) arrow(x1, y1, x2, y2, line float64) {
	long, half := 2.4, 1.0
	sign := 1.0
	if y2 < y1 {
		sign = -1
	}
	v.stroke(x1, y1, x2, y2-sign*long*0.8, line, black)
	v.shape(0.1, black, black, x2, y2, x2-half, y2-sign*long, x2+half, y2-sign*long)
}

// loadText prints a load, or that it was not weighed.
func loadText(q *record.Quantity) string {
	if q == nil {
		return "not weighed"
	}
	return record.KgU(q.Value, q.U) + " kg"
}

// support is one group of wheels in the drawing, with its texts.
type support struct {
	at    float64 // paper, mm
	main  string
	under []string
}

// supports are what the drawing says under each group of wheels.
func (v view) supports(r *record.Record) []support {
	var out []support
	for _, g := range []struct {
		name, alone string
		at          float64
	}{{"front", "vehicle_alone", 0}, {"rear", "vehicle_alone", v.rear}, {"trailer", "trailer_alone", v.trailer}} {
		p := support{at: v.x(g.at), main: loadText(r.Quantities[travelState(r)+"."+g.name]), under: []string{r.SupportWord(g.name)}}
		if q := r.Quantities[g.alone+"."+g.name]; q != nil {
			p.under = append(p.under, "uncoupled "+record.KgU(q.Value, q.U))
		}
		for _, part := range []string{"1", "2", "3", "4", "left", "right"} {
			if q := r.Quantities[travelState(r)+"."+g.name+"."+part]; q != nil {
				p.under = append(p.under, partWord(part)+": "+record.KgU(q.Value, q.U))
			}
		}
		out = append(out, p)
	}
	return out
}

// partWord names an axle of a group, or a side.
func partWord(part string) string {
	if part == "left" || part == "right" {
		return part
	}
	return "axle " + part
}

var (
	loadStyle  = style{strong, true, black}
	underStyle = style{table, false, grey}
)

// loads draws the reactions of the road and their texts, moved apart where
// they would touch.
func (v view) loads(r *record.Record) {
	all := v.supports(r)
	var at, wide []float64
	deep := 0
	for _, p := range all {
		deep = max(deep, len(p.under))
		w := v.width(loadStyle, p.main)
		for _, u := range p.under {
			w = math.Max(w, v.width(underStyle, u))
		}
		at, wide = append(at, p.at), append(wide, w+4)
		v.arrow(p.at, v.ground+arrowRoom-1, p.at, v.ground+0.4, 0.5)
	}
	at = apart(at, wide, side, v.w-side)
	y := v.y + loadStyle.line()
	for i, p := range all {
		v.putMid(loadStyle, at[i], v.y+loadStyle.ascent()-0.4, p.main)
		for j, u := range p.under {
			v.putMid(underStyle, at[i], y+underStyle.ascent()+float64(j)*underStyle.line(), u)
		}
	}
	v.y = y + float64(deep)*underStyle.line()
}

// apart moves middles of labels so that none overlaps the next and all stay
// between the edges: from the left to the right, then back.
func apart(at, wide []float64, from, to float64) []float64 {
	out := append([]float64{}, at...)
	for i := range out {
		left := from
		if i > 0 {
			left = out[i-1] + wide[i-1]/2
		}
		out[i] = math.Max(out[i], left+wide[i]/2)
	}
	for i := len(out) - 1; i >= 0; i-- {
		right := to
		if i < len(out)-1 {
			right = out[i+1] - wide[i+1]/2
		}
		out[i] = math.Min(out[i], right-wide[i]/2)
	}
	return out
}

// dimensions draws the lengths under the loads: each figure in a gap of its
// line, or all of them below the line where one has no room.
func (v view) dimensions(l record.Lengths) {
	if l.Wheelbase == nil && l.RearAxleToCoupling == nil && l.CouplingToTrailerAxle == nil {
		v.y += 1.5
		return
	}
	t := style{small, false, black}
	ticks := []float64{v.x(0), v.x(v.rear), v.x(v.coupling), v.x(v.trailer)}
	var texts []string
	var at, wide []float64
	below := false
	for i, d := range []*float64{l.Wheelbase, l.RearAxleToCoupling, l.CouplingToTrailerAxle} {
		texts = append(texts, "length not given")
		if d != nil {
			texts[i] = record.Kg(*d) + " mm"
		}
		at, wide = append(at, (ticks[i]+ticks[i+1])/2), append(wide, v.width(t, texts[i])+2)
		below = below || wide[i] > ticks[i+1]-ticks[i]-1
	}
	y := v.y + 2.8
	for i := range texts {
		gap := wide[i] / 2
		if below {
			gap = 0
		}
		v.hline(ticks[i], at[i]-gap, y, 0.2, grey)
		v.hline(at[i]+gap, ticks[i+1], y, 0.2, grey)
	}
	for _, x := range ticks {
		v.vline(x, y-1.6, y+1.6, 0.2, grey)
	}
	if below {
		at, y = apart(at, wide, side, v.w-side), y+4
	}
	for i, text := range texts {
		v.putMid(t, at[i], y+0.95, text)
	}
	v.y = y + 2.4
}

// totals prints the three totals an owner asks for.
func (v view) totals(r *record.Record) {
	t := style{table, false, black}
	y := v.y + 1.2
	third := v.wide() / 3
	for i, name := range []string{travelState(r) + ".vehicle", "trailer_mass", "combination"} {
		label := r.QuantityLabel(name)
		if i == 0 {
			label = "vehicle on its wheels"
		}
		v.putMid(t, side+(float64(i)+0.5)*third, y+t.ascent(), label+": "+loadText(r.Quantities[name]))
	}
	v.y = y + t.line() + 1
}
