package pdfout

import (
	"fmt"
	"strconv"

	"github.com/jung-kurt/gofpdf"
)

// Type sizes in points. Nothing is smaller than small.
const (
	small  = 7.5
	table  = 8.0
	body   = 9.0
	strong = 10.5
	title  = 13.0
	loud   = 15.0
)

// leading is the distance of lines as a multiple of their size.
const leading = 1.25

// mm is one point in millimetres.
const mm = 25.4 / 72

// ink is a colour. Every one but paper and tint is dark enough to read as
// black; no meaning hangs on it.
type ink [3]int

var (
	black = ink{0x16, 0x1a, 0x1d}
	grey  = ink{0x52, 0x5a, 0x60}
	rule  = ink{0xa9, 0xb0, 0xb5}
	tint  = ink{0xf0, 0xf2, 0xf3}
	paper = ink{0xff, 0xff, 0xff}
	deep  = ink{0x17, 0x3f, 0x5f} // headings
)

// style is how a piece of text is set.
type style struct {
	pt   float64
	bold bool
	ink  ink
}

// line is the height of a line in mm.
func (t style) line() float64 { return t.pt * mm * leading }

// Margins of a page in mm. The foot holds the square code.
const (
	side = 16.0
	top  = 13.0
	foot = 29.0 // from the foot's rule to the edge of the paper

	firstLine = top + 4 // where the flow begins, on every page but the first
)

// sheet is the pages being drawn. Lengths are mm from the top left corner; y
// is where the flow has come to. It is the only place where text reaches the
// PDF library, and all of it has been through clean.
type sheet struct {
	pdf   *gofpdf.Fpdf
	faces *faces
	w, h  float64
	y     float64
	head  string // printed on top of every page but the first

	set           style         // what the current page's content is set to
	chosen, inked bool          // whether its face and size, and its ink, hold
	more          map[rune]bool // printed characters that are not common
}

// papers are the sizes of --paper, in mm.
var papers = map[string]gofpdf.SizeType{
	"a4":     {Wd: 210, Ht: 297},
	"letter": {Wd: 215.9, Ht: 279.4},
}

func newSheet(f *faces, size gofpdf.SizeType) *sheet {
	p := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "mm", Size: size})
	p.SetCatalogSort(true)
	p.SetCompression(false) // finish does it
	p.SetAutoPageBreak(false, 0)
	p.SetMargins(0, 0, 0)
	p.SetLineJoinStyle("round")
	return &sheet{pdf: p, faces: f, w: size.Wd, h: size.Ht, more: map[rune]bool{}}
}

// wide is the width between the margins.
func (s *sheet) wide() float64 { return s.w - 2*side }

// bottom is where the flow ends on every page.
func (s *sheet) bottom() float64 { return s.h - foot - 3 }

// page begins a new page.
func (s *sheet) page() {
	s.pdf.AddPage()
	s.chosen, s.inked = false, false
	s.y = top
	if s.pdf.PageNo() > 1 {
		t := style{small, false, grey}
		s.put(t, side, top-3, s.fit(t, s.head, s.wide()))
		s.hline(side, s.w-side, top-1.2, 0.15, rule)
		s.y = firstLine
	}
}

// need begins a new page unless h mm are left on this one.
func (s *sheet) need(h float64) {
	if s.y+h > s.bottom() {
		s.page()
	}
}

// atTop reports whether nothing stands on this page yet.
func (s *sheet) atTop() bool { return s.pdf.PageNo() > 1 && s.y == firstLine }

// onPage turns to page n, to add to what stands there.
func (s *sheet) onPage(n int) {
	s.pdf.SetPage(n)
	s.chosen, s.inked = false, false
}

func (s *sheet) face(t style) *face {
	if t.bold {
		return s.faces.bold
	}
	return s.faces.regular
}

// width is the width of text in mm, as put will print it.
func (s *sheet) width(t style, text string) float64 {
	return s.face(t).width(s.faces.clean(text), t.pt) * mm
}

// wrap breaks text into lines of at most w mm.
func (s *sheet) wrap(t style, text string, w float64) []string {
	return s.face(t).wrap(s.faces.clean(text), t.pt, w/mm)
}

// fit shortens text to one line of w mm, with an ellipsis where it had to be
// cut. Only the running head uses it; the text stands in full on page 1.
func (s *sheet) fit(t style, text string, w float64) string {
	lines := s.wrap(t, text, w-s.width(t, "…"))
	if len(lines) > 1 {
		return lines[0] + "…"
	}
	return lines[0]
}

// put prints text with its baseline beginning at x, y. It writes the page's
// content itself: the PDF library knows nothing of the faces.
func (s *sheet) put(t style, x, y float64, text string) {
	if text = s.faces.clean(text); text == "" {
		return
	}
	b := make([]byte, 0, 64+2*len(text))
	if !s.inked || t.ink != s.set.ink {
		for _, c := range t.ink {
			b = append(strconv.AppendFloat(b, float64(c)/255, 'f', 3, 64), ' ')
		}
		b = append(b, "rg "...)
	}
	b = append(b, "BT "...)
	if !s.chosen || t.pt != s.set.pt || t.bold != s.set.bold {
		b = fmt.Appendf(b, "/%s %g Tf ", fontNames[t.bold], t.pt)
	}
	b = append(strconv.AppendFloat(b, x/mm, 'f', 2, 64), ' ')
	b = append(strconv.AppendFloat(b, (s.h-y)/mm, 'f', 2, 64), " Td ("...)
	for _, r := range text {
		b = appendCode(b, byte(r>>8))
		b = appendCode(b, byte(r))
		if !isCommon(r) {
			s.more[r] = true
		}
	}
	s.pdf.RawWriteStr(string(append(b, ") Tj ET"...)))
	s.set, s.chosen, s.inked = t, true, true
}

// fontNames are the names of the two faces in the pages' content.
var fontNames = map[bool]string{false: "F1", true: "F2"}

// appendCode appends a byte of a string between brackets, escaped where it
// would end it or be read as another line end.
func appendCode(b []byte, c byte) []byte {
	switch c {
	case '(', ')', '\\':
		return append(b, '\\', c)
	case '\r':
		return append(b, '\\', 'r')
	}
	return append(b, c)
}

// putRight prints text that ends at x.
func (s *sheet) putRight(t style, x, y float64, text string) {
	s.put(t, x-s.width(t, text), y, text)
}

// putMid prints text centred on x.
func (s *sheet) putMid(t style, x, y float64, text string) {
	s.put(t, x-s.width(t, text)/2, y, text)
}

// ascent is the height of a line's baseline below its top.
func (t style) ascent() float64 { return t.pt * mm * (0.905 + (leading-1.117)/2) }

// lines prints lines from y on, the first one's top at y, and returns where
// the last one ends. It does not break pages.
func (s *sheet) lines(t style, x, y float64, lines []string) float64 {
	for _, l := range lines {
		s.put(t, x, y+t.ascent(), l)
		y += t.line()
	}
	return y
}

// para prints a paragraph into the flow, w mm wide, over pages if need be.
func (s *sheet) para(t style, x, w float64, text string) {
	for _, l := range s.wrap(t, text, w) {
		s.need(t.line())
		s.y = s.lines(t, x, s.y, []string{l})
	}
}

func (s *sheet) draw(c ink)    { s.pdf.SetDrawColor(c[0], c[1], c[2]) }
func (s *sheet) gap(h float64) { s.y += h }

// fill sets the colour of areas, which is that of text too.
func (s *sheet) fill(c ink) {
	s.pdf.SetFillColor(c[0], c[1], c[2])
	s.inked = false
}

// hline draws a level line, vline an upright one, w mm thick.
func (s *sheet) hline(x1, x2, y, w float64, c ink) { s.stroke(x1, y, x2, y, w, c) }
func (s *sheet) vline(x, y1, y2, w float64, c ink) { s.stroke(x, y1, x, y2, w, c) }

func (s *sheet) stroke(x1, y1, x2, y2, w float64, c ink) {
	s.draw(c)
	s.pdf.SetLineWidth(w)
	s.pdf.Line(x1, y1, x2, y2)
}

// box fills a rectangle.
func (s *sheet) box(x, y, w, h float64, c ink) {
	s.fill(c)
	s.pdf.Rect(x, y, w, h, "F")
}

// shape draws a closed outline through points, filled with paper or c.
func (s *sheet) shape(line float64, edge, inside ink, points ...float64) {
	p := make([]gofpdf.PointType, 0, len(points)/2)
	for i := 0; i+1 < len(points); i += 2 {
		p = append(p, gofpdf.PointType{X: points[i], Y: points[i+1]})
	}
	s.draw(edge)
	s.fill(inside)
	s.pdf.SetLineWidth(line)
	s.pdf.Polygon(p, "FD")
}

// heading begins a section: an entry of the outline, and room below it for
// at least keep mm, so that no heading stands alone at the end of a page.
func (s *sheet) heading(text string, keep float64) {
	t := style{title, true, deep}
	if !s.atTop() {
		s.gap(5)
	}
	s.need(t.line() + 3 + keep)
	s.bookmark(text)
	s.y = s.lines(t, side, s.y, []string{text})
	s.hline(side, s.w-side, s.y+0.8, 0.35, deep)
	s.gap(3)
}

// bookmark makes an entry of the outline that leads here. The library writes
// its text as it is given.
func (s *sheet) bookmark(text string) { s.pdf.Bookmark(utf16Text(s.faces.clean(text)), 0, s.y) }

// subheading names a part of a section.
func (s *sheet) subheading(text string, keep float64) {
	t := style{strong, true, black}
	s.gap(2.5)
	s.need(t.line() + 1 + keep)
	s.y = s.lines(t, side, s.y, []string{text})
	s.gap(1)
}
