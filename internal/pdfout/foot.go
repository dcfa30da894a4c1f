package pdfout

import (
	"crypto/sha256"
	"fmt"
	"sync"

	"rsc.io/qr/coding"

	"reconcile/internal/words"
)

// module is the side of one square of the code: its 41 modules (version 6 at
// level M, as much as the words need) are 23.1 mm wide, and 4 more stay white on
// every side (ISO/IEC 18004): the foot's rule ends left of them, and the flow
// above them.
const (
	module  = length(1.6 * pt)
	modules = 41
	quiet   = 4
)

// fingerprint is the record's SHA-256 in upper-case hex digits, which the
// square code holds in its denser alphanumeric mode, with words around it.
func fingerprint(line []byte) string { return fmt.Sprintf("%X", sha256.Sum256(line)) }

// squarePlan is where the bits of a code of that many modules are.
var squarePlan = sync.OnceValue(func() *coding.Plan {
	const version, mask = (modules - 17) / 4, 0
	p, err := coding.NewPlan(version, coding.M, mask)
	if err != nil {
		panic(err) // a version that there is
	}
	return p
})

// footers prints the foot of every page, now that their number is known.
func (s *sheet) footers(hash string) error {
	code, err := squarePlan().Encode(coding.Alpha(words.SquareCode(hash)))
	if err != nil {
		return fmt.Errorf("square code: %w", err)
	}
	const size = modules * module
	s.code = s.square(code, s.w-side-size, s.h-foot)
	pages := len(s.pages)
	for n := 1; n <= pages; n++ {
		s.onPage(n)
		page := s.label("page") + " " + count(n) + " " + s.label("of") + " " + count(pages)
		if n == 1 { // read once, at the end; on other pages it is furniture
			s.foot(hash, page)
		} else {
			s.in(furniture, func() { s.foot(hash, page) })
		}
		s.markPath()
		s.b = append(s.b, "/"+codeName+" Do\n"...)
	}
	return nil
}

// foot prints what is left of the square code.
func (s *sheet) foot(hash, page string) {
	y := s.h - foot
	s.hline(side, s.w-side-(modules+quiet)*module-1*pt, y, 0.7*pt, black)
	plain, bold := style{sizeSmall, false, grey}, style{sizeBody, true, black}
	w := s.wide() - (modules+quiet)*module - 6*pt
	s.put(bold, side, y+14*pt, page)
	x := side + s.width(bold, page) + 14*pt
	s.put(plain, x, y+14*pt, s.fit(plain, s.jobLine(), side+w-x))
	s.put(plain, side, y+30*pt, s.label("hash"))
	s.put(style{sizeSmall, false, black}, side, y+40*pt, hash)
	s.put(plain, side, y+53*pt, s.fit(plain, s.say.Headline().Made, w))
}

// jobLine names the job and its number.
func (s *sheet) jobLine() string {
	return joined(" · ", s.labelled("number", s.rec.Issuer.Number), s.say.Headline().Title)
}

// codeName is the square code in the pages' content.
const codeName = "Code"

// square is the drawing of the code's dark modules, level runs of them as one
// rectangle, counted in modules from its upper left corner at x, y. It is the same
// on every page.
func (s *sheet) square(code *coding.Code, x, y length) []byte {
	b := append(pageBuffers.get(), "0 g\n"...)
	defer func() { pageBuffers.put(b[:0]) }()
	for row := range code.Size {
		for from := 0; from < code.Size; from++ {
			to := from
			for to < code.Size && code.Black(to, row) {
				to++
			}
			if to > from {
				for _, n := range [...]int{from, row, to - from} {
					b = append(appendWhole(b, n), ' ')
				}
				b = append(b, "1 re "...)
				from = to
			}
		}
	}
	b = append(b, 'f')
	entries := fmt.Sprintf("/Type /XObject /Subtype /Form /BBox [0 0 %d %d] /Matrix [%s 0 0 -%s %s %s] /Resources << >>",
		modules, modules, module.points(), module.points(), x.points(), (s.h - y).points())
	return s.mem.stream(entries, b, quickPackers)
}
