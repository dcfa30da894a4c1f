package pdfout

// verdictInk is the colour beside a verdict's shape and word. All are about
// as dark as each other: in grey, or to whoever sees no colours, the shape
// and the word say everything.
var verdictInk = map[string]ink{
	"within":      {0x0b, 0x5c, 0x5a},
	"over":        {0x9c, 0x1c, 0x12},
	"unsettled":   {0x7a, 0x4a, 0x00},
	"conflict":    {0x52, 0x2a, 0x78},
	"incomplete":  {0x3f, 0x47, 0x4d},
	"not_weighed": {0x3f, 0x47, 0x4d},
}

// inkOf is a verdict's colour; an unknown one is black.
func inkOf(verdict string) ink {
	if c, ok := verdictInk[verdict]; ok {
		return c
	}
	return black
}

// mark draws a verdict's shape, r mm from its middle to its edge, dark on
// light: a disc with a tick (within), a triangle with a stroke (over), a
// diamond half full (unsettled), two points that meet (conflict), an empty
// ring (incomplete, not weighed).
func (s *sheet) mark(verdict string, x, y, r float64) {
	s.sign(verdict, x, y, r, inkOf(verdict), paper)
}

// sign draws a verdict's shape in one colour on another.
func (s *sheet) sign(verdict string, x, y, r float64, on, under ink) {
	line := r * 0.24
	switch verdict {
	case "within":
		s.fill(on)
		s.pdf.Circle(x, y, r, "F")
		s.stroke(x-r*0.45, y+r*0.02, x-r*0.12, y+r*0.38, line, under)
		s.stroke(x-r*0.12, y+r*0.38, x+r*0.48, y-r*0.36, line, under)
	case "over":
		s.shape(line*0.3, on, on, x, y-r, x+r*1.08, y+r*0.85, x-r*1.08, y+r*0.85)
		s.stroke(x, y-r*0.35, x, y+r*0.25, line, under)
		s.fill(under)
		s.pdf.Circle(x, y+r*0.56, line*0.6, "F")
	case "unsettled":
		s.shape(line*0.6, on, under, x, y-r, x+r, y, x, y+r, x-r, y)
		s.shape(line*0.3, on, on, x, y-r, x, y+r, x-r, y)
	case "conflict":
		s.shape(line*0.3, on, on, x-r, y-r*0.8, x-r*0.08, y, x-r, y+r*0.8)
		s.shape(line*0.3, on, on, x+r, y-r*0.8, x+r*0.08, y, x+r, y+r*0.8)
	default:
		s.draw(on)
		s.pdf.SetLineWidth(line)
		s.pdf.Circle(x, y, r*0.85, "D")
	}
}
