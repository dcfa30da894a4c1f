package pdfout

var plainText = style{sizeBody, false, black}

// agreement prints how far the readings agree, what is in doubt, and the ties
// and loads behind it.
func (s *sheet) agreement() {
	if s.rec.Agreement == "" {
		return
	}
	s.heading(s.label("s_agreement"), 57*pt)
	s.para(style{sizeStrong, true, black}, side, s.wide(), sentence(s.say.Report().Agreement))
	s.gap(1.5 * pt)
	s.para(plainText, side, s.wide(), sentence(s.say.Evidence().Fit))
	for i, text := range s.say.Report().Doubtful {
		head := s.label("doubt_first")
		if i > 0 {
			head = s.label("doubt_more")
		}
		s.labelledLine(head, text)
	}
	s.ties()
	s.loads()
}

func (s *sheet) ties() {
	if len(s.rec.Ties) == 0 {
		return
	}
	s.subheading(s.label("s_ties"), 34*pt)
	g := s.newGrid(col(s.label("tie"), 20, false), col(s.label("compared"), 86, false), col(s.label("residual"), 24, true), col(s.label("u"), 20, true), col(s.label("doubt"), 28, true))
	for i, t := range s.rec.Ties {
		g.add(append([]string{t.Name}, s.say.Evidence().Ties[i]...)...).bold = t.Suspect
	}
	s.table(g)
}

func (s *sheet) loads() {
	if len(s.rec.Loads) == 0 {
		return
	}
	s.subheading(s.label("s_loads"), 34*pt)
	g := s.newGrid(col(s.label("load"), 72, false), col(s.label("stated"), 28, true), col(s.label("solved"), 36, true), col(s.label("doubt"), 42, true))
	for i, l := range s.rec.Loads {
		said := s.say.Evidence().Loads[i]
		g.add(l.Load, said[0], orNone(said[1]), said[2]).bold = l.Suspect
	}
	s.table(g)
}
