package pdfout

import (
	"errors"
	"fmt"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// DrawSheet gives the pages of a sheet to take to the weighbridge: for each
// stop what is on the deck, drawn, and boxes for what the display shows. It is
// made with what makes a summary and is none: it has no record, no hash and no
// square code. The identifier is left as zeros, see [Draw]. The unit is kg or lb,
// the paper a4 where it is none that is known.
func DrawSheet(v *record.Visit, paper, unit string) ([]byte, error) {
	if v == nil {
		return nil, errors.New("no plan to draw")
	}
	size, known := papers[paper]
	if !known {
		size = papers["a4"]
	}
	s := newSheet(theFaces, size)
	text := words.OfVisit(v, unit, nil)
	s.say, s.rec = text.Words, text.Words.Record
	s.head = joined(" · ", s.label("sheet"), s.say.Headline().Title, v.Outfit.Owner)
	s.begin()
	s.bookmark(s.label("sheet"))
	s.sheetHead(text)
	for n := range v.Route {
		s.sheetDrive(v, text, n)
	}
	s.sheetNotes(text)
	s.sheetFooters(text)
	pdf, err := s.finish(s.aboutSheet(v, text), nil, nil)
	if err != nil {
		return nil, fmt.Errorf("sheet of job %q: %w", v.Job, err)
	}
	return pdf, nil
}

// aboutSheet is the metadata. Nothing of it is a day: nothing has been weighed.
func (s *sheet) aboutSheet(v *record.Visit, text *words.Visit) about {
	lang := languages[v.Region]
	if lang == "" {
		lang = "en"
	}
	return about{
		title:    s.faces.clean(joined(" · ", s.label("sheet"), s.say.Headline().Title)),
		subject:  s.faces.clean(text.Sheet.Note),
		producer: s.faces.clean("reconcile " + s.rec.Program),
		lang:     lang,
		date:     unknownDate,
	}
}

// sheetHead prints what the sheet is, for whom, and the lines for what holds for
// the entire visit.
func (s *sheet) sheetHead(text *words.Visit) {
	title := style{sizeTitle, true, headingInk}
	s.in(s.new("H1"), func() { s.put(title, side, s.y+title.ascent(), s.label("sheet")) })
	s.putRight(style{sizeBody, false, black}, s.w-side, s.y+title.ascent(), s.fit(style{sizeBody, false, black}, s.jobName(), s.wide()/2))
	s.gap(title.line() + 2*pt)
	s.para(noteStyle, side, s.wide(), text.Sheet.Note)
	s.gap(2 * pt)
	s.hline(side, s.w-side, s.y, 1.4*pt, headingInk)
	s.gap(5 * pt)
	o := s.rec.Outfit
	for _, l := range [][2]string{{"owner", o.Owner}, {"vehicle", joined(", ", o.Vehicle, o.VehicleID)}, {"trailer_unit", joined(", ", o.Trailer, o.TrailerID)}} {
		s.labelledLine(s.label(l[0]), l[1])
	}
	s.gap(3 * pt)
	s.para(style{sizeStrong, true, black}, side, s.wide(), sentence(text.Sheet.Title))
	s.gap(16 * pt)
	s.blanks(blank{"weighbridge", 40}, blank{"date", 20}, blank{"weighed_by", 40})
	s.blanks(blank{"interval_shown", 40}, blank{"empty_before", 40}, blank{"empty_after", 20})
}

// blank is a rule to write on, with its label below and its share of the width.
type blank struct {
	label string
	share int
}

// blanks prints rules to write on next to each other.
func (s *sheet) blanks(all ...blank) {
	const between = 12 * pt
	s.need(32 * pt)
	total := 0
	for _, b := range all {
		total += b.share
	}
	room, x := s.wide()-length(len(all)-1)*between, length(side)
	for _, b := range all {
		w := room.part(b.share, total)
		s.hline(x, x+w, s.y, 0.6*pt, black)
		s.lines(noteStyle, x, s.y+1*pt, []string{s.fit(noteStyle, s.label(b.label), w)})
		x += w + between
	}
	s.gap(noteStyle.line() + 19*pt)
}

// sheetDrive prints how the outfit is on the n-th drive, what to tick, and its stops.
func (s *sheet) sheetDrive(v *record.Visit, text *words.Visit, n int) {
	said, first := &text.Sheet.Drives[n], length(0)
	var stops [][][]styled
	for i, stop := range v.Route[n].Stops {
		stops = append(stops, s.stopTexts(text, n, i, stop.CrossCheck))
	}
	if len(stops) > 0 {
		first = stopHeight(stops[0])
	}
	head := style{sizeStrong, true, headingInk}
	lines := s.wrap(head, sentence(s.label("drive"))+" "+count(n+1)+": "+said.Name, s.wide())
	s.gap(6 * pt)
	s.need(head.rows(len(lines)) + 30*pt + first)
	s.in(s.new("H2"), func() { s.y = s.lines(head, side, s.y, lines) })
	s.gap(3 * pt)
	s.tickBoxes(said.Conditions)
	s.gap(2 * pt)
	for i, texts := range stops {
		s.stop(v, n, i, texts)
	}
}

// tickBoxes prints boxes to tick, as many on a line as fit.
func (s *sheet) tickBoxes(texts []string) {
	const square, between = 7.5 * pt, 16 * pt
	x := length(side)
	for i, text := range texts {
		w := square + 4*pt + s.width(plainText, text)
		if i > 0 && x+w > s.w-side {
			x = side
			s.gap(plainText.line() + 3*pt)
		}
		s.frame(x, s.y+plainText.ascent()-square+0.8*pt, square, square, 0.8*pt, black)
		s.put(plainText, x+square+4*pt, s.y+plainText.ascent(), text)
		x += w + between
	}
	s.gap(plainText.line() + 2*pt)
}

// Parts of a stop on paper: the drawing, the boxes, the text between them.
const (
	stopDrawing = 172 * pt
	stopHigh    = 46 * pt
	boxHigh     = 23 * pt
	boxRow      = boxHigh + 15*pt
	boxFigure   = 88 * pt
	boxTicket   = 58 * pt
	boxTime     = 46 * pt
	boxesWide   = boxFigure + boxTicket + boxTime + 8*pt + 0.4*pt
)

// stopTexts are what the i-th stop of the n-th drive says next to its drawing, figure by figure: what is
// on the deck, or which of several figures it is, and small below it how it is typed.
func (s *sheet) stopTexts(text *words.Visit, n, i int, cross bool) [][]styled {
	var all [][]styled
	for _, f := range text.Sheet.Drives[n].Stops[i] {
		texts := []styled{{style: style{sizeBody, true, black}, text: sentence(f.Name)}, {style: noteStyle, text: f.Typed}}
		if cross {
			texts = append(texts, styled{style: noteStyle, text: s.label("cross_check")})
		}
		all = append(all, s.wrapAll(s.wide()-stopDrawing-boxesWide-20*pt, texts))
	}
	return all
}

// figureHeight is that of one figure of a stop.
func figureHeight(texts []styled) length {
	h := length(2 * pt)
	for _, t := range texts {
		h += t.line()
	}
	return max(boxRow, h)
}

func stopHeight(figures [][]styled) length {
	h := length(0)
	for _, texts := range figures {
		h += figureHeight(texts)
	}
	return max(stopHigh, h) + 7*pt
}

// stop prints the i-th position of the n-th drive on the deck: the drawing, and for
// each figure what it is, how it is typed, and the boxes.
func (s *sheet) stop(v *record.Visit, n, i int, figures [][]styled) {
	h := stopHeight(figures)
	s.need(h)
	s.hline(side, s.w-side, s.y, 0.4*pt, rule)
	s.gap(4 * pt)
	s.stopView(v, n, i)
	y := s.y
	for _, texts := range figures {
		line := y
		for _, t := range texts {
			s.in(t.part, func() { line = s.lines(t.style, side+stopDrawing+10*pt, line, []string{t.text}) })
		}
		s.figureBoxes(s.w-side-boxesWide, y)
		y += figureHeight(texts)
	}
	s.y += h - 4*pt
}

// figureBoxes prints the boxes for a figure, its ticket and its time.
func (s *sheet) figureBoxes(x, y length) {
	for _, b := range []struct {
		label string
		w     length
	}{{"figure", boxFigure}, {"ticket", boxTicket}, {"time", boxTime}} {
		s.lines(noteStyle, x, y-1*pt, []string{s.label(b.label)})
		s.frame(x, y+noteStyle.line(), b.w, boxHigh, 0.8*pt, black)
		x += b.w + 4*pt
	}
}

// sheetNotes prints what to check before leaving and how well each load would be
// known.
func (s *sheet) sheetNotes(text *words.Visit) {
	for _, part := range []struct {
		label string
		texts []string
	}{{"s_mind", text.Mind}, {"s_known_then", text.Known}} {
		if len(part.texts) == 0 {
			continue
		}
		s.heading(s.label(part.label), 60*pt)
		for _, t := range part.texts {
			s.bullet(t)
		}
	}
}

// sheetFooters prints the foot of every page: which it is, and what it is not.
func (s *sheet) sheetFooters(text *words.Visit) {
	pages := len(s.pages)
	for n := 1; n <= pages; n++ {
		s.onPage(n)
		s.in(furniture, func() { s.sheetFoot(n, pages, text) })
	}
}

func (s *sheet) sheetFoot(n, pages int, text *words.Visit) {
	y := s.h - foot
	s.hline(side, s.w-side, y, 0.7*pt, black)
	plain, bold := style{sizeSmall, false, grey}, style{sizeBody, true, black}
	page := s.label("page") + " " + count(n) + " " + s.label("of") + " " + count(pages)
	s.put(bold, side, y+14*pt, page)
	x := side + s.width(bold, page) + 14*pt
	s.put(plain, x, y+14*pt, s.fit(plain, s.say.Headline().Title, s.w-side-x))
	s.put(style{sizeSmall, true, black}, side, y+30*pt, text.Sheet.Note)
	s.put(plain, side, y+43*pt, text.Sheet.Made)
}
