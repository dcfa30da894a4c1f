package pdfout

import (
	record "reconcile/internal/oldrecord"
)

// footnotes prints every remark under its number in the record.
func (s *sheet) footnotes(r *record.Record) {
	if len(r.Footnotes) == 0 {
		return
	}
	s.heading("Assumptions and footnotes", 12)
	number := style{body, true, black}
	indent := 0.0
	for _, f := range r.FootnoteGroups() {
		indent = max(indent, s.width(number, record.Runs(f.Numbers))+4)
	}
	indent = min(indent, s.wide()/4)
	for _, f := range r.FootnoteGroups() {
		lines := s.wrap(plainText, f.Sentence(), s.wide()-indent)
		s.beside(number, s.wrap(number, record.Runs(f.Numbers), indent-3), lines, indent)
		s.gap(0.8)
	}
}

// method prints how the figures come about.
func (s *sheet) method(*record.Record) {
	const indent = 44.0
	s.heading("Method", 25)
	for _, p := range record.Method() {
		head := style{body, true, black}
		s.beside(head, s.wrap(head, p.Head, indent-4), s.wrap(plainText, p.Text, s.wide()-indent), indent)
		s.gap(2)
	}
}

// beside prints short lines in the margin and long ones beside them, whole
// on a page if they fit on one.
func (s *sheet) beside(t style, heads, lines []string, indent float64) {
	if h := float64(max(len(heads), len(lines))) * plainText.line(); h < (s.bottom()-top)*0.8 {
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
	s.heading("Before you use this", 25)
	for _, text := range record.StandardCautions() {
		s.bullet(text)
	}
}

// bullet prints one item of a list.
func (s *sheet) bullet(text string) {
	s.need(plainText.line())
	s.put(plainText, side, s.y+plainText.ascent(), "–")
	s.para(plainText, side+5, s.wide()-5, text)
	s.gap(0.8)
}

// signOff prints the three blocks to be filled in by hand, never split.
func (s *sheet) signOff(r *record.Record) {
	w := (s.wide() - 12) / 3
	blocks := [][2]string{{"weighed by", r.Outfit.WeighedBy}, {"checked by", r.Outfit.CheckedBy}, {"received by", ""}}
	names := 1
	for _, b := range blocks {
		names = max(names, len(s.wrap(plainText, b[1], w-1)))
	}
	h := 54 + float64(names-1)*plainText.line()
	s.heading("Sign-off", h)
	for i, b := range blocks {
		s.signBlock(side+float64(i)*(w+6), w, names, b[0], b[1])
	}
	s.gap(h)
}

// signBlock prints one block with room for a name of some lines. A name that
// is known stands above its rule.
func (s *sheet) signBlock(x, w float64, names int, role, name string) {
	y := s.lines(style{strong, true, black}, x, s.y, []string{role}) + 1
	s.lines(plainText, x, y, s.wrap(plainText, name, w-1))
	y += float64(names)*plainText.line() + 0.6
	for _, field := range []struct {
		name string
		room float64
	}{{"name", 0}, {"capacity", 6.5}, {"date", 6.5}, {"signature", 12}} {
		y += field.room
		s.hline(x, x+w, y, 0.2, black)
		y = s.lines(style{small, false, grey}, x, y+0.2, []string{field.name})
	}
}
