package pdfout

import (
	"slices"

	"github.com/jung-kurt/gofpdf"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// Type sizes. Nothing is smaller than sizeSmall.
const (
	sizeSmall    = 7.5 * pt
	sizeTable    = 8 * pt
	sizeBody     = 9 * pt
	sizeStrong   = 10.5 * pt
	sizeTitle    = 13 * pt
	sizeHeadline = 15 * pt
)

// ink is a colour. Every one but paper and tint is dark enough to read as
// black; no meaning depends on it.
type ink [3]int

var (
	black      = ink{0x16, 0x1a, 0x1d}
	grey       = ink{0x52, 0x5a, 0x60}
	rule       = ink{0xa9, 0xb0, 0xb5}
	tint       = ink{0xf0, 0xf2, 0xf3}
	paper      = ink{0xff, 0xff, 0xff}
	headingInk = ink{0x17, 0x3f, 0x5f}
)

// style is how a piece of text is set.
type style struct {
	size length
	bold bool
	ink  ink
}

// line is the height of a line: one and a quarter of the size.
func (t style) line() length { return t.size.part(5, 4) }

// rows is the height of n lines.
func (t style) rows(n int) length { return length(n) * t.line() }

// ascent is the height of a line's baseline below its top: that of the faces
// (905 of 1,000, their hhea tables) and half of the leading beyond their
// ascent and descent together (1,117).
func (t style) ascent() length { return t.size.part(2*905+1250-1117, 2000) }

// Margins of a page. The foot holds the square code.
const (
	side = 45 * pt
	top  = 37 * pt
	foot = 82 * pt // from the foot's rule to the edge of the paper

	firstLine = top + 11*pt // where the flow begins, on every page but the first
)

// sheet is the pages being drawn. Places are measured from the top left corner;
// y is where the flow has come to. It is the only place where anything reaches
// the PDF library: text that has been through clean, and coordinates in points
// of two decimals.
type sheet struct {
	pdf   *gofpdf.Fpdf
	faces *faces
	w, h  length
	y     length
	head  string // printed on top of every page but the first

	page  int    // the current one, from 1
	pages []page // all of them
	b     []byte // the content of the current page
	now   state  // of that

	more map[rune]bool // printed characters that are not common

	mem *memory

	within *element // where new elements go
	leaf   *element // what texts belong to; nil: each to a paragraph of its own
	marked *element // what the content of this page is in the middle of

	code     []byte // the square code, drawn once for all pages
	evidence bool   // what follows the two pages that are enough for most readers

	rec     *record.Record
	say     *words.Words // every sentence
	checked []*rated     // the record's checks
}

// page is the content of a page, and the element of each marked piece of it.
type page struct {
	content []byte
	owners  []*element
}

// state is what a page's content is set to: face and size of text, the colour
// of text and areas, the colour and thickness of lines.
type state struct {
	font         style
	filled, edge ink
	thick        length
	set          bool // false: nothing was set yet

	writing bool  // a text object is open
	from    point // where the last text in it begins
}

// size is that of a page.
type size struct{ w, h length }

// papers are the sizes of --paper: ISO 216 A4, and 8½ by 11 inches.
var papers = map[string]size{
	"a4":     {595.28 * pt, 841.89 * pt},
	"letter": {612 * pt, 792 * pt},
}

// inPoints is a length for the PDF library.
func inPoints(l length) float64 { return float64(l) / pt }

func newSheet(f *faces, size size) *sheet {
	// In points the library multiplies coordinates by 1, which gives the same
	// bits on every machine.
	p := gofpdf.NewCustom(&gofpdf.InitType{UnitStr: "pt", Size: gofpdf.SizeType{Wd: inPoints(size.w), Ht: inPoints(size.h)}})
	p.SetCatalogSort(true)
	p.SetCompression(false) // finish does it
	p.SetAutoPageBreak(false, 0)
	p.SetMargins(0, 0, 0)
	m := memories.get()
	return &sheet{pdf: p, faces: f, w: size.w, h: size.h, more: map[rune]bool{}, mem: m, pages: m.pages[:0], within: &element{kind: "Document"}}
}

// label is a short label or heading by its code.
func (s *sheet) label(code string) string { return s.say.Head(code) }

// wide is the width between the margins.
func (s *sheet) wide() length { return s.w - 2*side }

// bottom is where the flow ends on every page.
func (s *sheet) bottom() length { return s.h - foot - 8*pt }

// begin begins a new page.
func (s *sheet) begin() {
	s.pdf.AddPage()
	s.pages = slices.Grow(s.pages, 1)[:len(s.pages)+1]
	p := &s.pages[len(s.pages)-1]
	*p = page{content: pageBuffers.get(), owners: p.owners[:0]}
	s.onPage(len(s.pages))
	s.b = append(s.b, "1 j\n"...) // lines join round
	s.y = top
	if s.page > 1 {
		s.in(furniture, func() {
			t := style{sizeSmall, false, grey}
			s.put(t, side, top-8*pt, s.fit(t, s.head, s.wide()))
		})
		s.hline(side, s.w-side, top-3.5*pt, 0.4*pt, rule)
		s.y = firstLine
	}
}

// onPage turns to page n, to add to what is there.
func (s *sheet) onPage(n int) {
	s.leave()
	s.page = n
	s.b, s.now = s.pages[n-1].content, state{}
}

// leave keeps the content of the current page.
func (s *sheet) leave() {
	s.unmark()
	if s.page > 0 {
		s.pages[s.page-1].content = s.b
	}
}

// need begins a new page unless h is left on this one.
func (s *sheet) need(h length) {
	if s.y+h > s.bottom() {
		s.begin()
	}
}

// atTop reports whether nothing is on this page yet.
func (s *sheet) atTop() bool { return s.page > 1 && s.y == firstLine }

func (s *sheet) face(t style) *face {
	if t.bold {
		return s.faces.bold
	}
	return s.faces.regular
}

// width is the width of text as put will print it.
func (s *sheet) width(t style, text string) length {
	return s.face(t).width(s.faces.clean(text), t.size)
}

// wrap breaks text into lines of at most w.
func (s *sheet) wrap(t style, text string, w length) []string { return s.wrapEach(t, cell{text}, w) }

// wrapEach breaks paragraphs into lines.
func (s *sheet) wrapEach(t style, paragraphs cell, w length) []string {
	return added(&s.mem.lines, func(lines []string) []string {
		for _, p := range paragraphs {
			lines = s.face(t).wrap(lines, &s.mem.pieces, s.faces.clean(p), t.size, w)
		}
		return lines
	})
}

// fit shortens text to one line of w, with an ellipsis where it had to be cut.
// Only page headers and footers use it; the text is on page 1 in full.
func (s *sheet) fit(t style, text string, w length) string {
	lines := s.wrap(t, text, w-s.width(t, "…"))
	if len(lines) > 1 {
		return lines[0] + "…"
	}
	return lines[0]
}

// put prints text with its baseline beginning at x, y. It writes the page's
// content itself: the PDF library knows nothing of the faces.
func (s *sheet) put(t style, x, y length, text string) {
	if text = s.faces.clean(text); text == "" {
		return
	}
	before := ""
	if s.marked != nil && s.marked == s.leaf && s.leaf != furniture { // goes on: as another word
		before, x = " ", x-s.width(t, " ")
	}
	s.markText()
	s.filling(t.ink)
	b := s.b
	if !s.now.writing {
		b = append(b, "BT "...)
		s.now.writing, s.now.from = true, point{0, s.h} // the corner that the file counts from
	}
	if font := (style{size: t.size, bold: t.bold}); s.now.font != font {
		s.now.font = font
		b = append(append(append(b, '/'), fontNames[t.bold]...), ' ')
		b = append(t.size.appendTo(b), " Tf "...)
	}
	b = append((x - s.now.from.x).appendTo(b), ' ')
	b = append((s.now.from.y - y).appendTo(b), " Td "...)
	s.now.from = point{x, y}
	s.b = append(appendText(b, before, text, s.more), " Tj\n"...)
}

// endText ends the text object that is open, if one is. All texts of an element that
// follow each other are in one, each placed from the one before.
func (s *sheet) endText() {
	if s.now.writing {
		s.now.writing = false
		s.b = append(s.b, "ET\n"...)
	}
}

// at appends a point, counted from the lower left corner as the file does.
func (s *sheet) at(b []byte, x, y length) []byte {
	b = append(x.appendTo(b), ' ')
	return append((s.h - y).appendTo(b), ' ')
}

// fontNames are the names of the two faces in the pages' content.
var fontNames = map[bool]string{false: "F1", true: "F2"}

// putRight prints text that ends at x.
func (s *sheet) putRight(t style, x, y length, text string) {
	s.put(t, x-s.width(t, text), y, text)
}

// putMid prints text centred on x.
func (s *sheet) putMid(t style, x, y length, text string) {
	s.put(t, x-s.width(t, text)/2, y, text)
}

// lines prints lines from y on, the first one's top at y, and returns where
// the last one ends. It does not break pages.
func (s *sheet) lines(t style, x, y length, lines []string) length {
	for _, l := range lines {
		s.put(t, x, y+t.ascent(), l)
		y += t.line()
	}
	return y
}

// para prints a paragraph into the flow, w wide, over pages if need be.
func (s *sheet) para(t style, x, w length, text string) {
	if s.leaf == nil {
		s.in(s.new("P"), func() { s.para(t, x, w, text) })
		return
	}
	for _, l := range s.wrap(t, text, w) {
		s.need(t.line())
		s.y = s.lines(t, x, s.y, []string{l})
	}
}

func (s *sheet) gap(h length) { s.y += h }

// heading begins a section: an entry of the outline, and room below it for at
// least keep, so that no heading is left alone at the end of a page.
func (s *sheet) heading(text string, keep length) {
	t := style{sizeTitle, true, headingInk}
	if !s.atTop() {
		s.gap(14 * pt)
	}
	s.need(t.line() + 8*pt + keep)
	s.bookmark(text)
	s.in(s.new("H2"), func() { s.y = s.lines(t, side, s.y, []string{text}) })
	s.hline(side, s.w-side, s.y+2.2*pt, 1*pt, headingInk)
	s.gap(8 * pt)
}

// bookmark makes an entry of the outline that leads here. The library writes
// its text as it is given.
func (s *sheet) bookmark(text string) {
	s.pdf.Bookmark(utf16Text(s.faces.clean(text)), 0, inPoints(s.y))
}

// subheading names a part of a section.
func (s *sheet) subheading(text string, keep length) {
	t := style{sizeStrong, true, black}
	s.gap(7 * pt)
	s.need(t.line() + 3*pt + keep)
	s.in(s.new("H3"), func() { s.y = s.lines(t, side, s.y, []string{text}) })
	s.gap(3 * pt)
}

// appendInk appends a colour's three parts from 0 to 1, in thousandths.
func appendInk(b []byte, c ink) []byte {
	for _, part := range c {
		n := (part*2000 + 255) / 510
		if n == 1000 {
			b = append(b, "1 "...)
			continue
		}
		b = append(b, '.', byte('0'+n/100), byte('0'+n/10%10), byte('0'+n%10), ' ')
	}
	return b
}
