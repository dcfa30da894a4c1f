package pdfout

import (
	"slices"

	"reconcile/internal/record"
)

// secondPage prints what to do next, the likely mistakes, the trip, the bars, the cautions, who
// signed, and the blocks to be filled in by hand: with page 1 enough for most
// readers.
func (s *sheet) secondPage() {
	if s.page == 1 {
		s.begin()
	}
	s.next()
	s.mistakes()
	s.trip()
	s.bars()
	s.cautions()
	s.signOff()
}

// next prints what to do next, with the U of a further reading where one helps,
// and what moving something would do.
func (s *sheet) next() {
	levers := s.say.Report().Levers.Sentences
	if len(s.say.Headline().Next)+len(levers) == 0 {
		return
	}
	g := s.newGrid(col("", 6, true), col("", 172, false))
	if slices.ContainsFunc(s.rec.Advice, func(a record.Advice) bool { return a.UThenKg != nil }) {
		g = s.newGrid(col("", 6, true), col("", 128, false), col(s.label("u_now"), 22, true), col(s.label("u_then"), 22, true))
	}
	for i, n := range s.say.Headline().Next {
		g.add([]string{count(i + 1), n.Text, orNone(n.UNow), orNone(n.UThen)}[:len(g.columns)]...)
	}
	s.section(s.label("s_next"), "", g)
	for _, text := range levers {
		s.bullet(text)
	}
}

// mistakes prints the likely single mistakes under which the readings would
// agree.
func (s *sheet) mistakes() {
	texts, stopped := s.say.Report().Mistakes, s.say.Report().SearchStopped
	if len(texts) == 0 && stopped == "" {
		return
	}
	g := s.newGrid(col("", 6, true), col("", 172, false))
	for i, text := range texts {
		g.add(count(i+1), text)
	}
	s.section(s.label("s_mistakes"), stopped, g)
}

// cautions prints what this document is not.
func (s *sheet) cautions() {
	s.heading(s.label("s_cautions"), 60*pt)
	for _, text := range s.say.Evidence().Standing {
		s.bullet(text)
	}
	if s.rec.Options.Short {
		s.bullet(s.label("short_remark"))
	}
}

// bullet prints one item of a list.
func (s *sheet) bullet(text string) {
	s.need(plainText.line())
	s.in(furniture, func() { s.put(plainText, side, s.y+plainText.ascent(), none) })
	s.inList(func() {
		s.in(s.new("LBody"), func() { s.para(plainText, side+14*pt, s.wide()-14*pt, text) })
	})
	s.gap(2 * pt)
}

// inList prints an item of the list that is being printed, or of a new one.
func (s *sheet) inList(print func()) {
	list := s.new("L")
	if kids := s.within.kids; len(kids) > 0 && kids[len(kids)-1].element != nil && kids[len(kids)-1].element.kind == "L" {
		list = kids[len(kids)-1].element
	}
	before := s.within
	s.within = list
	s.inside("LI", print)
	s.within = before
}

// signOff prints who signed in the same run, and the three blocks to be filled
// in by hand, never split.
func (s *sheet) signOff() {
	w := (s.wide() - 34*pt) / 3
	o := s.rec.Outfit
	blocks := [][2]string{{s.label("weighed_by"), o.WeighedBy}, {s.label("checked_by"), o.CheckedBy}, {s.label("received_by"), ""}}
	names := 1
	for _, b := range blocks {
		names = max(names, len(s.wrap(plainText, b[1], w-3*pt)))
	}
	var signed []string
	if s.say.Headline().Signed != "" {
		signed = s.wrap(plainText, s.labelled("signed", s.say.Headline().Signed), s.wide())
	}
	h := 142*pt + plainText.rows(names-1)
	s.heading(s.label("s_signoff"), h+plainText.rows(len(signed))+4*pt)
	s.y = s.lines(plainText, side, s.y, signed)
	if len(signed) > 0 {
		s.gap(4 * pt)
	}
	for i, b := range blocks {
		s.in(s.new("P"), func() { s.signBlock(side+length(i)*(w+17*pt), w, names, b[0], b[1]) })
	}
	s.gap(h)
}

// signBlock prints one block with room for a name of some lines. A name that
// is known is printed above its rule.
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
		y = s.lines(style{sizeSmall, false, grey}, x, y+0.6*pt, []string{s.label(field.name)})
	}
}
