package page

import (
	"slices"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// drawLine is line 1, in view on every part.
func (pg *page) drawLine() string {
	class, text := "none", ""
	switch {
	case pg.answer != nil:
		first := pg.wordsOf(pg.answer).Headline()
		class, text = first.Sign, sentence(first.DoNow)
	case len(pg.faults) > 0:
		class, text = "todo", say("still_to_fill_in_or", itoa(len(pg.faults)))
	case pg.cannot != "":
		class, text = "todo", sentence(pg.cannot)
	default:
		return ""
	}
	return el("button", at{"type", "button", "class", "line1 " + class, "data-do", "goto", "value", "answer"}, el("span", at{"class", "verdict-mark", "aria-hidden", "true"}, verdictMark(class)), el("span", nil, esc(text)))
}

// verdictMark is a sign that does not rest on colour.
func verdictMark(verdict string) string {
	switch verdict {
	case "within":
		return "✓"
	case "over", "conflict":
		return "✕"
	case "unsettled", "unconfirmed", "incomplete":
		return "?"
	}
	return "…"
}

func (pg *page) drawAnswer() string {
	inside := heading("answer", say("the_answer"))
	switch {
	case len(pg.faults) > 0:
		return inside + pg.drawFaults()
	case pg.cannot != "":
		return inside + p("fault", sentence(pg.cannot))
	case pg.answer == nil:
		return inside + p("help", say("nothing_was_weighed_yet_type")) + pg.ratingQuestions() + pg.drawSheet()
	}
	r, w := pg.answer, pg.wordsOf(pg.answer)
	first := w.Headline()
	inside += el("div", at{"class", "headline " + first.Sign, "role", "status"},
		el("p", at{"class", "do-now", "id", "do-now"}, el("span", at{"class", "verdict-mark", "aria-hidden", "true"}, verdictMark(first.Sign)), " ", esc(sentence(first.DoNow))),
		el("p", at{"id", "verdict"}, el("strong", nil, esc(sentence(first.Verdict)))), p("", sentence(first.Why)))
	inside += listed(w.Head("s_cannot_be"), first.CannotBe) + pg.drawQuarrel(r, w) + pg.allQuestions(r, w) + pg.drawLoads(r, w) + pg.drawRemarks(w)
	if pg.rest {
		inside += p("coming", say("what_to_do_next_is"))
	} else {
		var next []string
		for _, n := range first.Next {
			next = append(next, n.Text)
		}
		inside += listed(w.Head("s_next"), next)
	}
	return inside + pg.drawSheet()
}

// listed is a heading with sentences below it; nothing where there are none.
func listed(title string, sentences []string) string {
	if len(sentences) == 0 {
		return ""
	}
	var ends []string
	for _, s := range sentences {
		ends = append(ends, sentence(s))
	}
	return el("h3", nil, esc(strings.TrimSuffix(title, ":"))) + list("", ends)
}

// drawFaults lists what is still to be filled in or mended, each with the way
// to its field.
func (pg *page) drawFaults() string {
	inside := p("", say("the_answer_appears_when_these"))
	var b strings.Builder
	for i := range pg.faults {
		f := &pg.faults[i]
		b.WriteString(el("li", nil, el("button", at{"type", "button", "class", "link", "data-do", "fault", "data-at", f.Error(), "value", pg.partOf(f)}, esc(pg.placeWord(f)+sentence(pg.faultText(f))))))
	}
	return inside + el("ul", at{"class", "faults"}, b.String())
}

// partOf is the part of the page that shows a fault. What rides along is on the
// slip, but for where it may go and what it weighs during a trip.
func (pg *page) partOf(f *tickets.Fault) string {
	row, column := pg.forms.at(f.File, f.Line, f.Column)
	switch {
	case f.File == outfitForm && column == "region":
		return "have"
	case f.File == ratingsForm && pg.forms.cell(ratingsForm, row, "set") != "":
		return "whatif"
	case f.File == ratingsForm, f.File == outfitForm:
		return "plates"
	case f.File == placesForm, pg.forms.by[ticketsForm] == nil, f.File == loadsForm && slices.Contains(onlyWhatIf, column):
		return "whatif"
	}
	return "slip"
}

// onlyWhatIf are the columns of loads.csv that the slip does not show.
var onlyWhatIf = []string{"place", "may_go", "may_leave", "divisible", "least", "most", "set"}

// placeWord says where a fault is on the page, down to the box.
func (pg *page) placeWord(f *tickets.Fault) string {
	row := pg.forms.rowAt(f.File, f.Line)
	name, number := pg.places(f.File, f.Line)
	switch {
	case row < 0 || name == "":
		return ""
	case number > 0:
		return say("slip_x_line_x", sentenceHead(name), itoa(number))
	case f.File == ratingsForm:
		return say("plates_x", pg.boxName(row))
	}
	return sentenceHead(name) + ": "
}

// boxName names a line of ratings.csv by its rating and what it is on, and in a
// box by the letter that the drawing has for it.
func (pg *page) boxName(row int) string {
	word, _ := pg.forms.rating(row)
	name := pg.forms.cell(ratingsForm, row, "rating")
	if word != "" {
		name = pg.words().RatingLabel(word, pg.forms.cell(ratingsForm, row, "on"))
	}
	for _, b := range slices.Concat(vehicleBoxes, trailerBoxes) {
		if slices.Contains(pg.boxRows(b), row) {
			return b.mark + ", " + name
		}
	}
	return name
}

// ratingQuestions are those asked before anything is weighed.
func (pg *page) ratingQuestions() string {
	if pg.ratings == nil {
		return ""
	}
	return pg.allQuestions(pg.ratings, pg.wordsOf(pg.ratings))
}

// allQuestions lists what is asked and not answered, with the way to the field.
func (pg *page) allQuestions(r *record.Record, w *words.Words) string {
	var b strings.Builder
	for i, q := range r.Questions {
		if q.Answered || q.Args != nil && q.Args.Set != "" {
			continue
		}
		where, part := fieldID("question", q.File+"|"+itoa(pg.forms.rowAt(q.File, q.Line))+"|"+q.Code), "slip"
		if q.Code == "bars_not_stated" {
			where = "f-question-bars"
		}
		if q.File != ticketsForm || q.Code == "bars_not_stated" {
			part = "plates"
		}
		b.WriteString(el("li", nil, el("button", at{"type", "button", "class", "link", "data-do", "goto", "data-at", where, "value", part}, esc(sentence(w.Headline().Questions[i].Asked)))))
	}
	if b.Len() == 0 {
		return ""
	}
	return el("h3", nil, esc(sentenceHead(w.Head("look_again")))) + el("ul", at{"class", "questions"}, b.String())
}

func sentenceHead(s string) string { return strings.TrimSuffix(sentence(s), ".") }

// drawQuarrel says which figures contradict each other, in the slip's words.
func (pg *page) drawQuarrel(r *record.Record, w *words.Words) string {
	said := w.Report()
	if r.Verdict != "conflict" {
		return p("", sentence(said.Agreement))
	}
	var doubtful []string
	for i, set := range r.Doubtful {
		doubtful = append(doubtful, said.Doubtful[i]+pg.printedWords(set))
	}
	inside := listed(say("figures_in_doubt"), doubtful)
	if pg.rest {
		return inside + p("coming", say("possible_mistakes_are_being_looked"))
	}
	inside += listed(sentenceHead(strings.TrimSuffix(w.Head("mistakes"), ":")), said.Mistakes)
	if said.SearchStopped != "" {
		inside += p("", sentence(said.SearchStopped))
	}
	return inside
}

// printedWords are the words that the slip prints next to figures.
func (pg *page) printedWords(set []record.Place) string {
	var all []string
	for _, place := range set {
		if note := pg.forms.cell(ticketsForm, pg.forms.rowAt(ticketsForm, place.Line), "note"); note != "" && !slices.Contains(all, note) {
			all = append(all, note)
		}
	}
	if len(all) == 0 {
		return ""
	}
	return say("on_the_slip_x", strings.Join(all, ", "))
}

// spot is a place in the drawing, and the deciding checks that belong to it.
type spot struct {
	key, title string
	quantity   string
	checks     []words.Check
}

// spots puts the deciding checks where they belong.
func spots(r *record.Record, w *words.Words) []spot {
	state := "coupled_slack"
	if r.Outfit.Travels == "tensioned" {
		state = "coupled_tensioned"
	}
	drawn := w.Report().Drawing
	all := []spot{
		{"front", drawn.Front, state + ".front", nil}, {"rear", drawn.Rear, state + ".rear", nil},
		{"trailer", drawn.Trailer, state + ".trailer", nil}, {"coupling", drawn.Download, "download", nil},
		{"vehicle", w.Quantity(state + ".vehicle").Label, state + ".vehicle", nil}, {"whole", w.Quantity("trailer_mass").Label, "trailer_mass", nil},
		{"combination", w.Quantity("combination").Label, "combination", nil},
	}
	for _, c := range w.Report().Checks {
		if !c.Of.Decides {
			continue
		}
		key := spotOf(c.Of)
		for i := range all {
			if all[i].key == key {
				all[i].checks = append(all[i].checks, c)
			}
		}
	}
	return all
}

// spotOf is where a check belongs.
func spotOf(c *record.Check) string {
	switch c.Rating {
	case "gvm":
		return "vehicle"
	case "gcm", "d_value":
		return "combination"
	case "download_max", "download_min":
		return "coupling"
	}
	switch {
	case slices.Contains(c.HeldOn, "nose"):
		return "whole"
	case len(c.HeldOn) > 0:
		return strings.Split(c.HeldOn[0], ".")[0]
	case c.On != "":
		return strings.Split(c.On, ".")[0]
	}
	return "whole"
}

// worst is the check of a spot that matters most; a floor that is kept does not.
func (s *spot) worst() *words.Check {
	var worst *words.Check
	for i := range s.checks {
		c := s.checks[i].Of
		if (!c.Floor || c.Verdict != "within") && (worst == nil || mattersMore(c, worst.Of)) {
			worst = &s.checks[i]
		}
	}
	return worst
}

// mattersMore says whether a check matters more than another: the graver, then one
// of the outfit as it is drawn, coupled, then the one with less margin.
func mattersMore(c, than *record.Check) bool {
	gravity := []string{"within", "not_weighed", "unsettled", "over"}
	alone, thanAlone := c.State == "vehicle_alone", than.State == "vehicle_alone"
	switch {
	case c.Verdict != than.Verdict:
		return slices.Index(gravity, c.Verdict) > slices.Index(gravity, than.Verdict)
	case alone != thanAlone:
		return thanAlone
	}
	return c.MarginKg != nil && than.MarginKg != nil && *c.MarginKg < *than.MarginKg
}

// figures are what the drawing prints at a spot: the load, what is left, and
// the verdict.
func (s *spot) figures(r *record.Record, w *words.Words) (load, left, verdict string) {
	said := s.worst()
	if said == nil {
		if load = w.Quantity(s.quantity).Figure; load == "" {
			return "?", w.Head("not_weighed"), "none"
		}
		return load, say("no_rating"), "none"
	}
	c := said.Of
	switch left = said.Verdict; {
	case c.Verdict == "not_weighed":
		return "?", left, "none"
	case r.Verdict == "conflict":
		return said.Value, say("not_reliable"), "none"
	case c.Verdict == "within" && r.Verdict == "unconfirmed": // a tick would say more than line 1
		return said.Value, say("x_left", said.Margin), "none"
	case c.Verdict == "within":
		left = say("x_left", said.Margin)
	case c.Verdict == "over":
		left = say("x_over", strings.TrimPrefix(said.Margin, "-"))
	}
	return said.Value, left, c.Verdict
}

// drawLoads is the drawing with loads and margins at the wheels, and below it
// every load with its rating and the slips that it rests on.
func (pg *page) drawLoads(r *record.Record, w *words.Words) string {
	all := spots(r, w)
	below := ""
	for i := range all {
		load, left, verdict := all[i].figures(r, w)
		below += pg.drawSpot(&all[i], r, w, load, left, verdict)
	}
	return el("h3", nil, say("loads_x", w.Unit)) + loadsDrawing(all, r, w, at{"data-do", "spot"}) + el("div", at{"class", "spots"}, below)
}

// loadsDrawing is the outfit with loads and margins at the wheels, and above
// vehicle and trailer those of each as one; what a tap on them does is given by
// tap.
func loadsDrawing(all []spot, r *record.Record, w *words.Words, tap at) string {
	o := scaledOutline(plainOutline(axlesOf(r.Outfit.RearAxles), axlesOf(r.Outfit.TrailerAxles), r.Outfit.TrailerKind == "drawbar"), &r.Outfit)
	inside := el("g", at{"transform", "translate(0 34)"}, o.shape("coupled"))
	front := min(o.front, 46)
	x := map[string]float64{"front": front, "rear": max(o.rear, front+88), "trailer": o.trailer, "coupling": o.coupling + 4, "vehicle": 58, "whole": 312}
	for i := range all {
		s := &all[i]
		if _, drawn := x[s.key]; !drawn {
			continue
		}
		y := 148.0
		if s.key == "coupling" || s.key == "vehicle" || s.key == "whole" {
			y = 20 // above what it is the load of
		}
		load, left, verdict := s.figures(r, w)
		inside += spotText(s, x[s.key], y, load, left, verdict, tap)
	}
	return svg("186", "drawing answer", say("loads_at_the_wheels"), inside)
}

func axlesOf(n *int) int {
	if n == nil {
		return 1
	}
	return min(max(*n, 1), 3)
}

// spotText is a load in the drawing; with something to do it can be tapped.
func spotText(s *spot, x, y float64, load, left, verdict string, tap at) string {
	x = min(max(x, 44), 312)
	mark := ""
	if verdict != "none" {
		mark = verdictMark(verdict) + " "
	}
	means := at{"class", "load " + verdict, "role", "img", "aria-label", s.title + " " + load + " " + mark + left}
	if tap != nil {
		means = append(at{"class", "load " + verdict, "role", "button", "tabindex", "0", "aria-label", s.title + " " + load + " " + mark + left, "data-at", s.key, "id", fieldID("load", s.key)}, tap...)
	}
	return el("g", means, el("rect", at{"class", "hit", "x", num(x - 42), "y", num(y - 16), "width", "84", "height", "44", "rx", "6"}),
		textAt(x, y, "figure", load), " ", textAt(x, y+17, "left", mark+left))
}

// drawSpot is one load in words: its ±, each rating, and what it rests on.
func (pg *page) drawSpot(s *spot, r *record.Record, w *words.Words, load, left, verdict string) string {
	inside := ""
	for _, said := range s.checks {
		text := said.InState + ": " + said.Value
		if said.Of.Verdict != "not_weighed" {
			text += say("limit_x_margin_x_x", said.Limit, said.Margin, said.Verdict)
		}
		inside += el("li", nil, esc(sentence(text)), p("help", pg.ratingSource(r, said.Of)), list("", said.Notes))
	}
	var rests []string
	texts := w.Quantity(s.quantity).Causes
	for i, cause := range r.Budgets.Get(s.quantity) {
		text := texts[i]
		if cause.Cause == "reading" {
			if note := pg.printedWords([]record.Place{{Line: cause.Line, Column: cause.Column}}); note != "" {
				text += note
			}
		}
		rests = append(rests, sentence(text))
	}
	if len(rests) > 0 {
		inside += el("li", nil, esc(w.Head("causes")), list("", rests))
	}
	if inside == "" {
		return ""
	}
	title := sentenceHead(s.title) + ": " + strings.TrimPrefix(load+", "+left, "?, ")
	key := "spot-" + s.key
	return el("details", at{"id", key, "open", when(pg.view.Open[key], ""), "class", verdict, "data-open", key}, el("summary", nil, el("span", at{"class", "verdict-mark", "aria-hidden", "true"}, map[bool]string{true: "·", false: verdictMark(verdict)}[verdict == "none"]), " ", esc(title)), el("ul", nil, inside))
}

// ratingSource says where the rating of a check is stated.
func (pg *page) ratingSource(r *record.Record, c *record.Check) string {
	if c.Line == nil {
		return ""
	}
	for _, g := range r.Ratings {
		if g.Line == *c.Line && g.Source+g.Certificate != "" {
			return sentence(say("stated_on_x", strings.Trim(g.Source+", "+g.Certificate, ", ")))
		}
	}
	return ""
}

// drawRemarks are what is missing and what to keep in mind.
func (pg *page) drawRemarks(w *words.Words) string {
	said := w.Report()
	inside := listed(sentenceHead(w.Head("why_no_number")), said.NotFound) + listed(sentenceHead(w.Head("not_weighed")), said.NotWeighed) +
		listed(sentenceHead(w.Head("not_given")), said.NotGiven) + listed(sentenceHead(w.Head("declared")), said.Declared)
	var notes []string
	for _, f := range said.Footnotes {
		notes = append(notes, f.Text)
	}
	more := listed(sentenceHead(w.Head("cautions")), said.Cautions) + listed(sentenceHead(w.Head("footnotes")), notes) + list("help", said.Standing)
	return inside + el("details", at{"data-open", "remarks", "open", when(pg.view.Open["remarks"], "")}, el("summary", nil, say("cautions_and_assumptions")), more)
}

// drawSheet is the sheet to take to the weighbridge.
func (pg *page) drawSheet() string {
	if pg.job == nil || pg.rest {
		return ""
	}
	if !pg.view.Open["sheet"] || !pg.later.visited {
		return el("details", at{"class", "sheet", "data-open", "sheet", "open", when(pg.view.Open["sheet"], "")}, el("summary", nil, say("a_sheet_to_take_to")), p("coming", say("being_worked_out")))
	}
	v := pg.later.visit
	if v == nil || len(v.Drives)+len(v.CrossChecks) == 0 {
		return ""
	}
	w := words.OfVisit(v, pg.unit(), pg.places)
	inside := p("", sentence(w.Title))
	var drives []string
	for _, d := range slices.Concat(w.Drives, w.CrossChecks) {
		var stops []string
		for _, s := range d.Stops {
			stops = append(stops, sentence(s.Name))
		}
		drives = append(drives, el("li", nil, esc(sentence(d.Name)), list("stops", stops)))
	}
	inside += el("ol", nil, drives[:len(w.Drives)]...)
	if cross := drives[len(w.Drives):]; len(cross) > 0 {
		inside += p("", sentence(w.Words.Head("cross_checks"))) + el("ul", nil, cross...)
	}
	return el("details", at{"class", "sheet", "data-open", "sheet", "open", ""}, el("summary", nil, say("a_sheet_to_take_to")),
		inside, listed(sentenceHead(w.Words.Head("mind")), w.Mind), el("p", nil, button("", "sheet", "", "", say("save_the_sheet_pdf")), " ", button("", "print", "", "", say("print_it"))))
}
