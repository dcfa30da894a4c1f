package pdfout

// footnotes prints every remark under its number in the record.
func (s *sheet) footnotes() {
	notes := s.say.Report().Footnotes
	if len(notes) == 0 {
		return
	}
	s.heading(s.label("s_footnotes"), 34*pt)
	number := style{sizeBody, true, black}
	indent := length(0)
	for _, f := range notes {
		indent = max(indent, s.width(number, f.Numbers)+11*pt)
	}
	indent = min(indent, s.wide()/4)
	for _, f := range notes {
		lines := s.wrap(plainText, f.Text, s.wide()-indent)
		s.marginal(number, s.wrap(number, f.Numbers, indent-8*pt), lines, indent)
		s.gap(2 * pt)
	}
}

// method prints how the figures come about.
func (s *sheet) method() {
	const indent = 125 * pt
	s.heading(s.label("s_method"), 70*pt)
	for _, p := range s.say.Evidence().Method {
		head := style{sizeBody, true, black}
		s.marginal(head, s.wrap(head, p.Head, indent-11*pt), s.wrap(plainText, p.Text, s.wide()-indent), indent)
		s.gap(6 * pt)
	}
}

// marginal prints short lines in the margin and long ones next to them, together
// on a page if they fit on one.
func (s *sheet) marginal(t style, heads, lines []string, indent length) {
	if h := plainText.rows(max(len(heads), len(lines))); h < (s.bottom()-top).part(8, 10) {
		s.need(h)
	}
	if s.leaf == nil {
		s.in(s.new("P"), func() { s.marginal(t, heads, lines, indent) })
		return
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
func (s *sheet) attached() {
	if len(s.rec.Inputs) == 0 {
		return
	}
	g := s.newGrid(col(s.label("file"), 36, false), col(s.label("lines"), 24, false), col(s.label("sha256"), 118, false))
	for i, in := range s.rec.Inputs {
		g.add(in.File, s.say.Evidence().Inputs[i], in.SHA256)
	}
	s.section(s.label("s_attached"), s.label("attached_remark"), g)
}
