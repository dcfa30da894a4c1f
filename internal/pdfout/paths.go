package pdfout

// Lines and areas, written in the page's own language (ISO 32000-1, 8.5), so
// that every coordinate is a whole number of hundredths of a point.

// point is a place on the paper.
type point struct{ x, y length }

// filling sets the colour of text and areas where it is not set yet.
func (s *sheet) filling(c ink) {
	if s.now.set && s.now.filled == c {
		return
	}
	s.known()
	s.now.filled = c
	s.b = append(appendInk(s.b, c), "rg "...)
}

// stroking sets the colour and thickness of lines where they are not set yet.
func (s *sheet) stroking(thick length, c ink) {
	s.known()
	if s.now.edge != c {
		s.now.edge = c
		s.b = append(appendInk(s.b, c), "RG "...)
	}
	if s.now.thick != thick {
		s.now.thick = thick
		s.b = append(thick.appendTo(s.b), " w "...)
	}
}

// known notes that something is set; what was not is no colour and no thickness.
func (s *sheet) known() {
	if !s.now.set {
		s.now = state{filled: ink{-1}, edge: ink{-1}, thick: -1, set: true}
	}
}

// hline draws a level line, vline an upright one, of thickness w.
func (s *sheet) hline(x1, x2, y, w length, c ink) { s.stroke(x1, y, x2, y, w, c) }
func (s *sheet) vline(x, y1, y2, w length, c ink) { s.stroke(x, y1, x, y2, w, c) }

func (s *sheet) stroke(x1, y1, x2, y2, w length, c ink) {
	s.line(w, c, point{x1, y1}, point{x2, y2})
}

// line draws a line through points.
func (s *sheet) line(w length, c ink, points ...point) {
	s.markPath()
	s.stroking(w, c)
	s.path(points)
	s.b = append(s.b, "S\n"...)
}

// path appends the path through points.
func (s *sheet) path(points []point) {
	next := "m "
	for _, p := range points {
		s.b = append(s.at(s.b, p.x, p.y), next...)
		next = "l "
	}
}

// appendBox appends the path of a rectangle.
func (s *sheet) appendBox(b []byte, x, y, w, h length) []byte {
	b = append(w.appendTo(s.at(b, x, y+h)), ' ')
	return append(h.appendTo(b), " re "...)
}

// box fills a rectangle, frame draws its outline.
func (s *sheet) box(x, y, w, h length, c ink) {
	s.markPath()
	s.filling(c)
	s.b = append(s.appendBox(s.b, x, y, w, h), "f\n"...)
}

func (s *sheet) frame(x, y, w, h, thick length, c ink) {
	s.markPath()
	s.stroking(thick, c)
	s.b = append(s.appendBox(s.b, x, y, w, h), "S\n"...)
}

// shape draws a closed outline through points, filled.
func (s *sheet) shape(thick length, edge, inside ink, points ...point) {
	s.markPath()
	s.stroking(thick, edge)
	s.filling(inside)
	s.path(points)
	s.b = append(s.b, "b\n"...)
}

// disc fills a circle; ring draws one with its inside filled.
func (s *sheet) disc(x, y, r length, c ink) {
	s.markPath()
	s.filling(c)
	s.b = append(s.circle(s.b, x, y, r), "f\n"...)
}

func (s *sheet) ring(x, y, r, thick length, edge, inside ink) {
	s.markPath()
	s.stroking(thick, edge)
	s.filling(inside)
	s.b = append(s.circle(s.b, x, y, r), "b\n"...)
}

// circle appends a circle as four curves. The handles of a quarter are 0.5523
// of the radius long, (√2 − 1)·4/3: the curve is within 0.03 % of it.
func (s *sheet) circle(b []byte, x, y, r length) []byte {
	const handle, unit = 5523, 10000
	k := r.part(handle, unit)
	b = append(s.at(b, x+r, y), "m "...)
	for _, q := range [4][3]point{
		{{x + r, y + k}, {x + k, y + r}, {x, y + r}}, {{x - k, y + r}, {x - r, y + k}, {x - r, y}},
		{{x - r, y - k}, {x - k, y - r}, {x, y - r}}, {{x + k, y - r}, {x + r, y - k}, {x + r, y}},
	} {
		for _, p := range q {
			b = s.at(b, p.x, p.y)
		}
		b = append(b, "c "...)
	}
	return b
}
