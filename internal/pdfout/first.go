package pdfout

import (
	"slices"
	"strings"

	"reconcile/internal/record"
)

// firstPage prints what an owner reads in ten seconds: who and what, what to
// do now and the verdict, what to look at again and what is missing, the outfit
// with its loads, and each load next to its limit.
func (s *sheet) firstPage() {
	s.begin()
	s.bookmark(s.label("s_result"))
	s.letterhead()
	s.parties()
	s.banner()
	s.lookAgain()
	s.missing()
	s.sideView()
	s.gap(6 * pt)
	s.ratingChart()
}

// letterhead prints who issued the summary, and its number.
func (s *sheet) letterhead() {
	i, o := s.rec.Issuer, s.rec.Options
	name, plain := style{sizeTitle, true, black}, style{sizeTable, false, grey}
	left := s.wrapAll(s.wide().part(56, 100), []styled{{style: name, text: i.Name}, {style: plain, text: i.Address}, {style: plain, text: joined(" · ", i.Phone, i.Email)}, {style: plain, text: s.labelled("licence", i.Licence)}})
	right := s.wrapAll(s.wide().part(40, 100), []styled{{style: style{sizeTitle, true, headingInk}, text: s.label("title")}, {style: style{sizeBody, true, black}, text: s.labelled("number", i.Number)},
		{style: style{sizeBody, false, black}, text: s.jobName()}, {style: plain, text: s.labelled("issued", o.Issued)}, {style: plain, text: s.say.Headline().Replaces}})
	right[0].part.kind = "H1" // the title
	if len(left) == 0 {
		left, right = right, nil
	}
	for _, l := range slices.Concat(left, right) {
		l.part.join() // read one block after the other, not line by line across both
	}
	for n := range max(len(left), len(right)) {
		h := length(0)
		if n < len(left) {
			h = left[n].line()
		}
		if n < len(right) {
			h = max(h, right[n].line())
		}
		s.need(h)
		if n < len(left) {
			s.in(left[n].part, func() { s.put(left[n].style, side, s.y+left[n].ascent(), left[n].text) })
		}
		if n < len(right) {
			s.in(right[n].part, func() { s.putRight(right[n].style, s.w-side, s.y+right[n].ascent(), right[n].text) })
		}
		s.y += h
	}
	s.gap(4 * pt)
	s.hline(side, s.w-side, s.y, 1.4*pt, headingInk)
	s.gap(4 * pt)
}

// jobName is the job in the letterhead; without a name the parties below it say
// what was weighed.
func (s *sheet) jobName() string {
	if s.rec.Job == "" {
		return ""
	}
	return s.say.Headline().Title
}

// styled is text, how it is set, and what it is part of.
type styled struct {
	style
	text string
	part *element
}

// wrapAll wraps what is not blank, each a paragraph.
func (s *sheet) wrapAll(w length, texts []styled) []styled {
	var out []styled
	for _, t := range texts {
		if t.text == "" {
			continue
		}
		if t.part == nil {
			t.part = s.new("P")
		}
		for _, l := range s.wrap(t.style, t.text, w) {
			out = append(out, styled{t.style, l, t.part})
		}
	}
	return out
}

// labelled puts a label before text, if there is text.
func (s *sheet) labelled(code, text string) string {
	if text == "" {
		return ""
	}
	return s.label(code) + " " + text
}

// joined joins what is not blank.
func joined(between string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(t string) bool { return t == "" }), between)
}

// parties prints the outfit, the day and the place in four columns.
func (s *sheet) parties() {
	o := s.rec.Outfit
	columns := []struct {
		label string
		texts cell
	}{
		{"owner", s.mem.paragraphs(o.Owner)},
		{"vehicle", s.mem.paragraphs(o.Vehicle, o.VehicleID)},
		{"trailer_unit", s.mem.paragraphs(o.Trailer, o.TrailerID)},
		{"weighed", s.mem.paragraphs(s.say.Headline().Weighed, s.say.Headline().Sites)},
	}
	w := s.wide() / 4
	text := style{sizeBody, false, black}
	cells := make([][]styled, len(columns))
	rows := 0
	for i, c := range columns {
		if len(c.texts) == 0 {
			c.texts = cell{s.label("not_stated")}
		}
		all := s.new("P")
		cells[i] = []styled{{style{sizeSmall, false, grey}, s.label(c.label), all}}
		for _, paragraph := range c.texts {
			cells[i] = append(cells[i], s.wrapAll(w-11*pt, []styled{{text, paragraph, all}})...)
		}
		rows = max(rows, len(cells[i]))
	}
	for n := range rows {
		s.need(text.line())
		for i, c := range cells {
			if n < len(c) {
				s.in(c[n].part, func() { s.put(c[n].style, side+length(i)*w, s.y+c[n].ascent(), c[n].text) })
			}
		}
		s.gap(text.line())
	}
	s.gap(7 * pt)
}

// bannerLine is one line of the banner, after a gap.
type bannerLine struct {
	styled
	gap length
}

// The banner's dark field, and the room around its text.
const (
	bannerField  = 70 * pt
	bannerIndent = bannerField + 13*pt
	bannerPad    = 7 * pt
)

// banner prints what to do now and the verdict, with its shape on a dark
// field. Sentences too long for one page make more than one banner.
func (s *sheet) banner() {
	lines := s.bannerLines()
	if h := bannerHeight(lines); h < s.bottom()-top-23*pt {
		s.need(h)
	}
	for len(lines) > 0 {
		n := 1
		for n < len(lines) && s.y+bannerHeight(lines[:n+1]) <= s.bottom() {
			n++
		}
		s.need(bannerHeight(lines[:n]))
		s.bannerPart(s.say.Headline().Sign, lines[:n])
		lines = lines[n:]
	}
	s.gap(6 * pt)
}

// longHeadline is how many characters a sentence has that is set smaller, so
// that page 1 keeps its room.
const longHeadline = 120

// bannerLines are the lines of the banner, wrapped.
func (s *sheet) bannerLines() []bannerLine {
	caption := style{sizeSmall, true, grey}
	now := style{sizeHeadline, true, black}
	if len(s.say.Headline().DoNow) > longHeadline {
		now.size = sizeStrong
	}
	todo, verdict, ink := s.new("P"), s.new("P"), inkOf(s.rec.Verdict)
	if s.say.Headline().Sign != s.rec.Verdict {
		ink = black // the sign speaks of the trip
	}
	var lines []bannerLine
	for _, p := range []bannerLine{
		{styled{caption, s.label("what_to_do"), todo}, 0}, {styled{now, s.say.Headline().DoNow, todo}, 0},
		{styled{caption, s.label("verdict"), verdict}, 4.5 * pt}, {styled{style{sizeTitle, true, ink}, s.say.Headline().Verdict, verdict}, 0},
		{styled{style{sizeBody, false, black}, s.say.Headline().Why, s.new("P")}, 1.7 * pt},
	} {
		gap := p.gap
		for _, l := range s.wrapAll(s.wide()-bannerIndent-6*pt, []styled{p.styled}) {
			lines = append(lines, bannerLine{l, gap})
			gap = 0
		}
	}
	return lines
}

func bannerHeight(lines []bannerLine) length {
	h := length(2 * bannerPad)
	for _, l := range lines {
		h += l.gap + l.line()
	}
	return h
}

// bannerPart draws lines in a frame of the verdict's colour.
func (s *sheet) bannerPart(verdict string, lines []bannerLine) {
	h := bannerHeight(lines)
	s.box(side, s.y, bannerField, h, inkOf(verdict))
	s.frame(side, s.y, s.wide(), h, 1.4*pt, inkOf(verdict))
	s.sign(verdict, side+bannerField/2, s.y+h/2, min(23*pt, h/2-3*pt), paper, inkOf(verdict))
	y := s.y + bannerPad
	for _, l := range lines {
		s.in(l.part, func() { y = s.lines(l.style, side+bannerIndent, y+l.gap, []string{l.text}) })
	}
	s.y += h
}

// sentence begins text with a capital.
func sentence(text string) string {
	for i, c := range text {
		return text[:i] + strings.ToUpper(string(c)) + text[i+len(string(c)):]
	}
	return text
}

// lookAgain prints what cannot be, which route to the download disagrees in a
// conflict, and every question, those that were answered last; one of planned
// ratings is with their table.
func (s *sheet) lookAgain() {
	for _, text := range s.say.Headline().CannotBe {
		s.labelledLine(s.label("cannot_be"), text)
	}
	s.labelledLine(s.label("routes_disagree"), s.say.Report().OddRoute)
	for _, q := range s.say.Headline().Questions {
		if !q.Answered && q.Set == "" {
			s.labelledLine(s.label("look_again"), q.Full)
		}
	}
	for _, q := range s.say.Headline().Questions {
		if q.Answered && q.Set == "" {
			s.labelledLine(q.Answer, q.Place+": "+q.Asked)
		}
	}
}

// missing prints what was not weighed, not given or only stated, and the
// cautions that belong next to the verdict. What is empty is left out.
func (s *sheet) missing() {
	var complete []string
	compared := slices.ContainsFunc(s.rec.Checks, func(c record.Check) bool { return c.Decides && !c.Floor })
	for _, l := range [][3]string{
		{"not_weighed", strings.Join(s.say.Report().NotWeighed, "; "), "none_unweighed"},
		{"not_given", strings.Join(s.say.Report().NotGiven, "; "), "none_missing"},
		{"only_declared", strings.Join(s.say.Report().Declared, "; "), "no_declared"},
	} {
		if l[1] == "" && (l[0] != "not_weighed" || compared) {
			complete = append(complete, s.label(l[2]))
		}
		s.labelledLine(s.label(l[0]), l[1])
	}
	if len(complete) == 1 && complete[0] == s.label("no_declared") { // nothing else is complete
		s.labelledLine(s.label("declared"), s.label("nothing"))
	} else {
		s.labelledLine(s.label("complete"), strings.Join(complete, "; "))
	}
	for _, why := range s.say.Report().NotFound {
		s.labelledLine(s.label("not_determined"), why)
	}
	s.labelledLine(s.label("hitch"), s.say.Report().Hitch)
	for _, text := range s.say.Report().Cautions {
		s.labelledLine(s.label("caution"), text)
	}
	s.gap(4 * pt)
}

// labelIndent is where the text begins that follows a label.
const labelIndent = 102 * pt

// labelledLine prints a label and its text next to it, if there is text.
func (s *sheet) labelledLine(label, text string) {
	if text == "" {
		return
	}
	l := style{sizeTable, true, black}
	t := style{sizeTable, false, black}
	if s.leaf == nil {
		s.in(s.new("P"), func() { s.labelledLine(label, text) })
		return
	}
	labels, lines := s.wrap(l, label, labelIndent-8*pt), s.wrap(t, text, s.wide()-labelIndent)
	for i := range max(len(labels), len(lines)) {
		s.need(t.line())
		if i < len(labels) {
			s.lines(l, side, s.y, labels[i:i+1])
		}
		if i < len(lines) {
			s.lines(t, side+labelIndent, s.y, lines[i:i+1])
		}
		s.gap(t.line())
	}
	s.gap(1 * pt)
}
