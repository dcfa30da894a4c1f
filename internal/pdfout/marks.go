package pdfout

// verdictInk is the colour that goes with a verdict's shape and word. All are
// about as dark as each other: in grey, or to whoever sees no colours, the
// shape and the word say everything.
var verdictInk = map[string]ink{
	"within":      {0x0b, 0x5c, 0x5a},
	"over":        {0x9c, 0x1c, 0x12},
	"unsettled":   {0x7a, 0x4a, 0x00},
	"conflict":    {0x52, 0x2a, 0x78},
	"incomplete":  {0x3f, 0x47, 0x4d},
	"unconfirmed": {0x7a, 0x4a, 0x00},
	"not_weighed": {0x3f, 0x47, 0x4d},
}

// inkOf is a verdict's colour; an unknown one is black.
func inkOf(verdict string) ink {
	if c, ok := verdictInk[verdict]; ok {
		return c
	}
	return black
}

// verdictMark draws a verdict's shape, r from its middle to its edge, dark on light:
// a disc with a tick (within), a triangle with a stroke (over), a diamond half
// full (unsettled), two points that meet (conflict), a diamond with a dot
// (unconfirmed), an empty ring (incomplete, not weighed).
func (s *sheet) verdictMark(verdict string, x, y, r length) {
	s.sign(verdict, x, y, r, inkOf(verdict), paper)
}

// sign draws a verdict's shape in one colour on another.
func (s *sheet) sign(verdict string, x, y, r length, on, under ink) {
	line := r.part(24, 100)
	at := func(right, down int) point { return point{x + r.part(right, 100), y + r.part(down, 100)} }
	switch verdict {
	case "within":
		s.disc(x, y, r, on)
		s.line(line, under, at(-45, 2), at(-12, 38), at(48, -36))
	case "over":
		s.shape(line.part(3, 10), on, on, at(0, -100), at(108, 85), at(-108, 85))
		s.line(line, under, at(0, -35), at(0, 25))
		dot := at(0, 56)
		s.disc(dot.x, dot.y, line.part(6, 10), under)
	case "unsettled":
		s.shape(line.part(6, 10), on, under, at(0, -100), at(100, 0), at(0, 100), at(-100, 0))
		s.shape(line.part(3, 10), on, on, at(0, -100), at(0, 100), at(-100, 0))
	case "unconfirmed":
		s.shape(line.part(6, 10), on, under, at(0, -100), at(100, 0), at(0, 100), at(-100, 0))
		s.disc(x, y, r.part(28, 100), on)
	case "conflict":
		s.shape(line.part(3, 10), on, on, at(-100, -80), at(-8, 0), at(-100, 80))
		s.shape(line.part(3, 10), on, on, at(100, -80), at(8, 0), at(100, 80))
	default:
		s.ring(x, y, r.part(85, 100), line, on, under)
	}
}
