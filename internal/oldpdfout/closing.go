package oldpdfout

import (
	record "reconcile/internal/oldrecord"
)

// footnotes prints every remark under its number in the record.
func (s *sheet) footnotes(r *record.Record) {
	if len(r.Footnotes) == 0 {
		return
	}
	s.heading("Assumptions and footnotes", 34*pt)
	number := style{sizeBody, true, black}
	indent := length(0)
	for _, f := range r.FootnoteGroups() {
		indent = max(indent, s.width(number, record.Runs(f.Numbers))+11*pt)
	}
	indent = min(indent, s.wide()/4)
	for _, f := range r.FootnoteGroups() {
		lines := s.wrap(plainText, f.Sentence(), s.wide()-indent)
		s.beside(number, s.wrap(number, record.Runs(f.Numbers), indent-8*pt), lines, indent)
		s.gap(2 * pt)
	}
}

// method prints how the figures come about.
func (s *sheet) method(*record.Record) {
	const indent = 125 * pt
	s.heading("Method", 70*pt)
	for _, p := range record.Method() {
		head := style{sizeBody, true, black}
		s.beside(head, s.wrap(head, p.Head, indent-11*pt), s.wrap(plainText, p.Text, s.wide()-indent), indent)
		s.gap(6 * pt)
	}
}

// beside prints short lines in the margin and long ones beside them, whole
// on a page if they fit on one.
func (s *sheet) beside(t style, heads, lines []string, indent length) {
	if h := plainText.rows(max(len(heads), len(lines))); h < (s.bottom()-top).part(8, 10) {
		s.need(h)
	}
	for i := range max(len(heads), len(lines)) {
		s.need(plainText.line())
		if i < len(heads) {
			s.lines(t, side, s.y, heads[i:i+1])
		}
		if i < len(lines) {
			s.lines(plainText, side+indent, s.y, lines[i:i+1])
		}
		s.gap(plainText.line())
	}
}

// attached lists the files inside the PDF with their hashes.
func (s *sheet) attached(r *record.Record) {
	if len(r.Inputs) == 0 {
		return
	}
	g := newGrid(column{"file", 36, false}, column{"lines", 24, false}, column{"SHA-256", 118, false})
	for _, i := range r.Inputs {
		lines := i.Lines
		if lines == "" {
			lines = "the whole file"
		}
		g.add(i.File, lines, i.SHA256)
	}
	s.section("Attached files", record.AttachedRemark, g)
}

// cautions prints what this document is not.
func (s *sheet) cautions(*record.Record) {
	s.heading("Before you use this", 70*pt)
	for _, text := range record.StandardCautions() {
		s.bullet(text)
	}
}

// bullet prints one item of a list.
func (s *sheet) bullet(text string) {
	s.need(plainText.line())
	s.put(plainText, side, s.y+plainText.ascent(), "–")
	s.para(plainText, side+14*pt, s.wide()-14*pt, text)
	s.gap(2 * pt)
}

// signOff prints the three blocks to be filled in by hand, never split.
func (s *sheet) signOff(r *record.Record) {
	w := (s.wide() - 34*pt) / 3
	blocks := [][2]string{{"weighed by", r.Outfit.WeighedBy}, {"checked by", r.Outfit.CheckedBy}, {"received by", ""}}
	names := 1
	for _, b := range blocks {
		names = max(names, len(s.wrap(plainText, b[1], w-3*pt)))
	}
	h := 153*pt + plainText.rows(names-1)
	s.heading("Sign-off", h)
	for i, b := range blocks {
		s.signBlock(side+length(i)*(w+17*pt), w, names, b[0], b[1])
	}
	s.gap(h)
}

// signBlock prints one block with room for a name of some lines. A name that
// is known stands above its rule.
func (s *sheet) signBlock(x, w length, names int, role, name string) {
	y := s.lines(style{sizeStrong, true, black}, x, s.y, []string{role}) + 3*pt
	s.lines(plainText, x, y, s.wrap(plainText, name, w-3*pt))
	y += plainText.rows(names) + 1.7*pt
	for _, field := range []struct {
		name string
		room length
	}{{"name", 0}, {"capacity", 18 * pt}, {"date", 18 * pt}, {"signature", 34 * pt}} {
		y += field.room
		s.hline(x, x+w, y, 0.6*pt, black)
		y = s.lines(style{sizeSmall, false, grey}, x, y+0.6*pt, []string{field.name})
	}
}
