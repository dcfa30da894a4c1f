package oldpdfout

import (
	"slices"
	"strings"

	record "reconcile/internal/oldrecord"
)

// firstPage prints what an owner reads in ten seconds: who and what, what to
// do now and the verdict, what is missing, the outfit with its loads, and each
// load beside its limit.
func (s *sheet) firstPage(r *record.Record) {
	s.page()
	s.bookmark("Result")
	s.letterhead(r)
	s.parties(r)
	s.banner(r)
	s.missing(r)
	s.sideView(r)
	s.gap(6 * pt)
	s.ratingChart(r)
}

// documentTitle is what the document is called.
const documentTitle = "Weighing summary"

// letterhead prints who issued the summary, and its number.
func (s *sheet) letterhead(r *record.Record) {
	i := r.Issuer
	name, plain := style{sizeTitle, true, black}, style{sizeTable, false, grey}
	left := s.wrapAll(s.wide().part(56, 100), []styled{{name, i.Name}, {plain, i.Address}, {plain, joined(" · ", i.Phone, i.Email)}, {plain, labelled("licence ", i.Licence)}})
	right := s.wrapAll(s.wide().part(40, 100), []styled{{style{sizeTitle, true, headingInk}, documentTitle}, {style{sizeBody, true, black}, labelled("number ", i.Number)}, {style{sizeBody, false, black}, labelled("job ", r.Job)}, {plain, labelled("issued ", r.Options.Issued)}})
	if len(left) == 0 {
		left, right = right, nil
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
			s.put(left[n].style, side, s.y+left[n].ascent(), left[n].text)
		}
		if n < len(right) {
			s.putRight(right[n].style, s.w-side, s.y+right[n].ascent(), right[n].text)
		}
		s.y += h
	}
	s.gap(4 * pt)
	s.hline(side, s.w-side, s.y, 1.4*pt, headingInk)
	s.gap(4 * pt)
}

// styled is text and how it is set.
type styled struct {
	style
	text string
}

// wrapAll wraps what is not blank.
func (s *sheet) wrapAll(w length, texts []styled) []styled {
	var out []styled
	for _, t := range texts {
		if t.text == "" {
			continue
		}
		for _, l := range s.wrap(t.style, t.text, w) {
			out = append(out, styled{t.style, l})
		}
	}
	return out
}

// labelled puts a label before text, if there is text.
func labelled(label, text string) string {
	if text == "" {
		return ""
	}
	return label + text
}

// joined joins what is not blank.
func joined(between string, texts ...string) string {
	return strings.Join(slices.DeleteFunc(texts, func(t string) bool { return t == "" }), between)
}

// parties prints the outfit, the day and the place in four columns.
func (s *sheet) parties(r *record.Record) {
	columns := []struct {
		label string
		texts cell
	}{
		{"owner", paragraphs(r.Outfit.Owner)},
		{"vehicle", paragraphs(r.Outfit.Vehicle, r.Outfit.VehicleID)},
		{"trailer", paragraphs(r.Outfit.Trailer, r.Outfit.TrailerID)},
		{"weighed", paragraphs(weighedWhen(r), weighedWhere(r))},
	}
	w := s.wide() / 4
	text := style{sizeBody, false, black}
	cells := make([][]styled, len(columns))
	rows := 0
	for i, c := range columns {
		if len(c.texts) == 0 {
			c.texts = cell{"not stated"}
		}
		cells[i] = []styled{{style{sizeSmall, false, grey}, c.label}}
		for _, paragraph := range c.texts {
			cells[i] = append(cells[i], s.wrapAll(w-11*pt, []styled{{text, paragraph}})...)
		}
		rows = max(rows, len(cells[i]))
	}
	for n := range rows {
		s.need(text.line())
		for i, c := range cells {
			if n < len(c) {
				s.put(c[n].style, side+length(i)*w, s.y+c[n].ascent(), c[n].text)
			}
		}
		s.gap(text.line())
	}
	s.gap(7 * pt)
}

// weighedWhen gives the first and last time of the readings, as entered.
func weighedWhen(r *record.Record) string {
	var first, last string
	for _, g := range r.Readings {
		t, ok := moment(g.WeighedAt, r.Options.Region)
		if !ok {
			continue
		}
		text := t.Format("2006-01-02 15:04")
		if first == "" || text < first {
			first = text
		}
		if text > last {
			last = text
		}
	}
	switch {
	case first == "":
		return ""
	case first == last:
		return first
	case first[:10] == last[:10]:
		return first + " to " + last[11:]
	}
	return first + " to " + last
}

// weighedWhere names the sites, each once.
func weighedWhere(r *record.Record) string {
	var sites []string
	for _, g := range r.Readings {
		if g.Site != "" && !slices.Contains(sites, g.Site) {
			sites = append(sites, g.Site)
		}
	}
	return strings.Join(sites, "; ")
}

// bannerLine is one line of the banner, after a gap.
type bannerLine struct {
	style
	text string
	gap  length
}

// The banner's dark field, and the room around its text.
const (
	bannerField  = 70 * pt
	bannerIndent = bannerField + 13*pt
	bannerPad    = 7 * pt
)

// banner prints what to do now and the verdict, with its shape on a dark
// field. Sentences too long for one page make more than one banner.
func (s *sheet) banner(r *record.Record) {
	lines := s.bannerLines(r)
	if h := bannerHeight(lines); h < s.bottom()-top-23*pt {
		s.need(h)
	}
	for len(lines) > 0 {
		n := 1
		for n < len(lines) && s.y+bannerHeight(lines[:n+1]) <= s.bottom() {
			n++
		}
		s.need(bannerHeight(lines[:n]))
		s.bannerPart(r.Verdict, lines[:n])
		lines = lines[n:]
	}
	s.gap(6 * pt)
}

// bannerLines are the lines of the banner, wrapped.
func (s *sheet) bannerLines(r *record.Record) []bannerLine {
	caption := style{sizeSmall, true, grey}
	var lines []bannerLine
	for _, p := range []bannerLine{
		{caption, "what to do now", 0}, {style{sizeHeadline, true, black}, r.Headline.DoNow, 0},
		{caption, "verdict", 4.5 * pt}, {style{sizeTitle, true, inkOf(r.Verdict)}, r.Headline.VerdictText, 0},
		{style{sizeBody, false, black}, r.Headline.HeldText, 1.7 * pt},
	} {
		gap := p.gap
		for _, text := range s.wrap(p.style, p.text, s.wide()-bannerIndent-6*pt) {
			lines = append(lines, bannerLine{p.style, text, gap})
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
		y = s.lines(l.style, side+bannerIndent, y+l.gap, []string{l.text})
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

// missing prints what was not weighed, not given or only declared, and the
// cautions that belong beside the verdict. What is empty is left out.
func (s *sheet) missing(r *record.Record) {
	var given, declared []string
	for _, n := range r.NotGiven {
		given = append(given, r.NotGivenLabel(n))
	}
	for _, d := range r.Declared {
		declared = append(declared, d.Load+" "+record.KgText(d.AwayKg)+" kg")
	}
	declared = append(declared, r.DeclaredTotals()...)
	var none []string
	for _, l := range [][3]string{
		{"not weighed", strings.Join(r.NotWeighed(), "; "), "no deciding load unweighed"},
		{"not given", strings.Join(given, "; "), "no usual rating missing"},
		{"only declared", strings.Join(declared, "; "), "no load only declared"},
	} {
		if l[1] == "" {
			none = append(none, l[2])
		}
		s.labelledLine(l[0], l[1])
	}
	s.labelledLine("complete", strings.Join(none, "; "))
	for _, why := range r.NotFound() {
		s.labelledLine("why no number", why)
	}
	s.labelledLine("hitch", r.HitchNote())
	for _, c := range r.Cautions {
		s.labelledLine("caution", c.Text)
	}
	s.gap(4 * pt)
}

// labelledLine prints a label and its text beside it, if there is text.
func (s *sheet) labelledLine(label, text string) {
	if text == "" {
		return
	}
	const indent = 102 * pt
	l := style{sizeTable, true, black}
	t := style{sizeTable, false, black}
	for i, line := range s.wrap(t, text, s.wide()-indent) {
		s.need(t.line())
		if i == 0 {
			s.put(l, side, s.y+l.ascent(), label)
		}
		s.y = s.lines(t, side+indent, s.y, []string{line})
	}
	s.gap(1 * pt)
}
