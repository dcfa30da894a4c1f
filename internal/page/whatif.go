package page

import (
	"strings"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/words"
)

func (pg *page) drawWhatIf() string {
	inside := heading("whatif", say("what_if"))
	if pg.forms.by[ticketsForm] == nil {
		return inside + el("p", at{"class", "stated"}, el("strong", nil, esc(sentenceHead(pg.words().Head("estimate"))))) +
			pg.drawEstimate() + pg.drawItem() + pg.drawLoadsForm() + pg.drawPlacesForm() + pg.drawPlanned()
	}
	estimate := el("details", at{"class", "panel", "data-open", "estimate", "open", when(pg.view.Open["estimate"], "")}, el("summary", nil, say("a_trailer_of_another_mass")),
		when2(pg.view.Open["estimate"], pg.drawEstimate()))
	return inside + pg.drawAfterWeighing() + pg.drawItem() + estimate + pg.drawLoadsForm() + pg.drawPlacesForm() + pg.drawPlanned()
}

// drawEstimate is what the stated masses come to.
func (pg *page) drawEstimate() string {
	t := &pg.view.Trial
	inside := el("div", at{"class", "row"},
		pg.field(input{do: "try", at: "trailer", label: say("trailer_as_loaded_x", pg.tryUnit()), kind: "decimal", value: t.Trailer, noted: words.ReadBack(t.Trailer, pg.tryUnit()), help: say("left_out_its_empty_mass")}),
		pg.field(input{do: "try", at: "share", label: say("share_of_it_on_the"), kind: "decimal", value: t.Share, help: say("left_out_what_the_outfit")}))
	if pg.varies() {
		inside += pg.radios("try", "level", say("tanks_and_whatever_else_varies"), t.Level, []choice{{"", say("as_stated")}, {"least", say("empty_least")}, {"most", say("full_most")}}, "")
	}
	inside += p("help", say("the_empty_masses_of_vehicle"))
	all, faults := flow.Estimate(pg.folderOf(pg.stated()), pg.options())
	if len(faults) > 0 || len(all) != 1 {
		return inside + pg.faultList(faults)
	}
	e := words.OfEstimate(all[0], pg.unit(), pg.places)
	drawn := func(t words.Table) string { return sumTable(t.Title, t.Heads, t.Rows) }
	out := p("do-now", sentence(e.DoNow)) + p("", sentence(e.Verdict)) + drawn(e.Payload) + p("", sentence(e.Left)) + drawn(e.Trailer) +
		list("", sentences(e.Masses)) + p("", sentence(e.Fits)) + drawn(e.Checks)
	for _, set := range e.Sets {
		out += listed(sentenceHead(set.Checks.Title), set.Changes)
	}
	out += listed(sentenceHead(e.Words.Head("not_given")), e.NotGiven) + listed(sentenceHead(e.Words.Head("rests_on")), e.RestsOn)
	return inside + el("section", at{"class", "panel", "id", "estimate"}, out)
}

// varies says whether a load weighs less or more during a trip.
func (pg *page) varies() bool {
	for row := range pg.forms.rows(loadsForm) {
		if pg.forms.cell(loadsForm, row, "least")+pg.forms.cell(loadsForm, row, "most") != "" {
			return true
		}
	}
	return false
}

// sumTable is a table with its caption; nothing where it has no rows.
func sumTable(caption string, heads []string, rows [][]string) string {
	if len(rows) == 0 {
		return ""
	}
	caption = sentenceHead(strings.TrimSuffix(caption, ":"))
	line := func(tag string, cells []string) string {
		s := ""
		for _, c := range cells {
			if c == "" {
				s += el("td", nil) // a heading with nothing in it says nothing
				continue
			}
			s += el(tag, at{"scope", when(tag == "th", "col")}, esc(strings.ReplaceAll(c, " ± ", "\u00a0±\u00a0"))) // no line breaks in a figure
		}
		return el("tr", nil, s)
	}
	body := ""
	for _, r := range rows {
		body += line("td", r)
	}
	return el("div", at{"class", "scroll", "tabindex", "0", "role", "region", "aria-label", caption},
		el("table", nil, el("caption", nil, esc(caption)), el("thead", nil, line("th", heads)), el("tbody", nil, body)))
}

// drawAfterWeighing is what follows from the record: what to move, what an item
// at a place does, the bars, the trip.
func (pg *page) drawAfterWeighing() string {
	r := pg.answer
	if r == nil {
		return p("help", say("this_part_works_on_the"))
	}
	w := pg.wordsOf(r)
	said := w.Report()
	out := pg.drawMoves(w) + pg.drawLevers(w) + pg.drawRange(r, w)
	if r.Trip != nil {
		var texts []string
		for _, c := range said.Trip.Checks {
			texts = append(texts, c.Text)
		}
		out += el("h3", nil, esc(w.Head("s_trip"))) + p("", sentence(said.Trip.Text)) + list("", texts)
	}
	return el("section", at{"class", "panel"}, out)
}

// drawLevers is what moving something does, and what each place still takes.
func (pg *page) drawLevers(w *words.Words) string {
	said := w.Report()
	var room []string
	for _, h := range said.Headroom {
		room = append(room, h.Text)
	}
	levers := said.Levers
	inside := list("", sentences(levers.Sentences)) + sumTable(levers.Head, levers.Heads, levers.Rows) + listed(sentenceHead(w.Head("s_headroom")), room)
	if inside == "" {
		return ""
	}
	return pg.folded("levers", sentenceHead(w.Head("s_levers")), inside, false)
}

func sentences(all []string) []string {
	var ends []string
	for _, s := range all {
		ends = append(ends, sentence(s))
	}
	return ends
}

// folded is something that is opened by a tap; it is open too where it must be.
func (pg *page) folded(key, title, inside string, must bool) string {
	return el("details", at{"data-open", key, "id", "fold-" + fieldID("", key), "open", when(pg.view.Open[key] || must, "")}, el("summary", nil, esc(title)), inside)
}

// faulty says whether a fault is at a line.
func (pg *page) faulty(form string, row int) bool {
	for i := range pg.faults {
		if f := &pg.faults[i]; f.File == form && pg.forms.rowAt(form, f.Line) == row {
			return true
		}
	}
	return false
}

// titleOf joins what a line is called by.
func titleOf(first string, more ...string) string {
	for _, s := range more {
		if s != "" {
			first += ", " + s
		}
	}
	return strings.TrimSpace(first)
}

// movable says whether the forms say of anything that it may move or stay.
func (pg *page) movable() bool {
	for row := range pg.forms.rows(loadsForm) {
		if pg.forms.cell(loadsForm, row, "may_go")+pg.forms.cell(loadsForm, row, "may_leave") != "" {
			return true
		}
	}
	return false
}

// drawMoves is what to move and what to leave behind.
func (pg *page) drawMoves(w *words.Words) string {
	switch {
	case !pg.movable():
		return p("help", say("list_below_what_rides_where"))
	case !pg.later.planned:
		return el("div", at{"id", "plan"}, el("h3", nil, say("what_to_move")), p("coming", say("being_worked_out")))
	case pg.later.plan == nil:
		return p("fault", pg.later.planError)
	}
	text := pg.wordsOf(pg.later.plan).Report().Plan
	out := p("do-now", sentence(text.DoNow)) + p("", sentence(text.Verdict)) + p("", sentence(text.For)) +
		listed(sentenceHead(w.Head("actions")), text.Actions) + listed(sentenceHead(w.Head("nearest")), text.Nearest) +
		listed(sentenceHead(w.Head("instead")), text.Instead) + listed(sentenceHead(w.Head("not_offered")), text.NotOffered) + listed(sentenceHead(w.Head("limits_of_plan")), text.Limits)
	return el("div", at{"id", "plan"}, el("h3", nil, say("what_to_move")), out)
}

// drawRange is how tight the bars may be, from none of the lift put back to all.
func (pg *page) drawRange(r *record.Record, w *words.Words) string {
	said := w.Report()
	if r.HitchRange == nil {
		return ""
	}
	heads := []string{w.Head("restored"), w.Head("front"), w.Head("rear"), w.Head("trailer"), w.Head("verdict")}
	return el("h3", nil, esc(w.Head("s_bars"))) + p("", sentence(said.Bars.Text)) + rangeDrawing(r) + sumTable(w.Head("s_bars"), heads, said.Bars.Tensions)
}

// rangeDrawing is the band of what may be put back, between none and all.
func rangeDrawing(r *record.Record) string {
	h := r.HitchRange
	n := len(h.Table)
	if n < 2 || h.LowKg == nil || h.HighKg == nil {
		return ""
	}
	none, all := h.Table[0].FrontKg, h.Table[n-1].FrontKg
	if all <= none {
		return ""
	}
	x := func(restored float64) string { return num(20 + float64(320*(restored/(all-none)))) }
	low, high := x(*h.LowKg), x(*h.HighKg)
	return svg("56", "drawing band", say("the_band_that_the_bars"),
		el("path", at{"class", "length", "d", "M20 30 H340 M20 24 V36 M340 24 V36"})+
			el("path", at{"class", "allowed", "d", "M" + low + " 30 H" + high})+
			textAt(20, 52, "name start", "none")+textAt(340, 52, "name end", say("all_of_the_lift")))
}

// loadLine is a line of loads.csv: on the slip what it is and weighs, here also
// where it may go and what it weighs during a trip.
func (pg *page) loadLine(row int, full bool) string {
	where := loadsForm + "|" + itoa(row)
	places := []choice{{"", say("not_stated")}}
	for i := range pg.forms.rows(placesForm) {
		if name := pg.forms.cell(placesForm, i, "place"); name != "" {
			places = append(places, choice{name, name})
		}
	}
	fields := pg.cellField(loadsForm, row, "load", say("who_or_what"), "text") + pg.cellField(loadsForm, row, "mass", say("mass"), "decimal") +
		pg.cellField(loadsForm, row, "unit", "in", "select", unitChoices...) +
		pg.cellField(loadsForm, row, "on", say("rides_on"), "select", choice{"", say("not_stated")}, choice{"vehicle", say("the_vehicle_2")}, choice{"trailer", say("the_trailer_2")})
	if full || len(places) > 1 {
		fields += pg.cellField(loadsForm, row, "place", say("place"), "select", places...)
	}
	if full {
		yes := []choice{{"", say("not_stated")}, {"yes", say("yes")}, {"no", say("no")}}
		fields += pg.cellField(loadsForm, row, "may_leave", say("may_stay_at_home"), "select", yes...) + pg.cellField(loadsForm, row, "divisible", say("may_be_split"), "select", yes...)
		fields += pg.field(input{do: "cell", at: where + "|may_go", label: say("may_go_to_names_of"), kind: "text", value: pg.forms.cell(loadsForm, row, "may_go"), form: loadsForm, row: row, columns: []string{"may_go"}})
		fields += pg.cellField(loadsForm, row, "least", say("least_during_a_trip_empty"), "decimal") + pg.cellField(loadsForm, row, "most", say("most_during_a_trip_full"), "decimal")
		fields += pg.cellField(loadsForm, row, "set", say("only_if_this_plan_is"), "text")
	}
	cell := func(c string) string { return pg.forms.cell(loadsForm, row, c) }
	inside := el("div", at{"class", "row"}, fields) + pg.said(loadsForm, row, "", "uncertainty") + button("quiet", "remove", where, "", say("take_this_load_away"))
	key := "rider-"
	if full {
		key = "load-"
	}
	return pg.folded(key+itoa(row), titleOf(say("load_x_x", itoa(row+1), cell("load")), strings.TrimSpace(cell("mass")+" "+cell("unit")), cell("place"), cell("set")), inside, pg.faulty(loadsForm, row))
}

func (pg *page) drawLoadsForm() string {
	inside := el("h3", nil, say("what_is_loaded")) + p("help", say("people_water_tools_anything_that"))
	for row := range pg.forms.rows(loadsForm) {
		pg.again = true // the same fields are on the slip's part
		inside += pg.loadLine(row, true)
		pg.again = false
	}
	return el("section", at{"class", "panel"}, inside, el("p", nil, button("", "add-load", "whatif", "", say("add_a_load"))))
}

func (pg *page) drawPlacesForm() string {
	inside := el("h3", nil, say("places_where_things_ride"))
	for row := range pg.forms.rows(placesForm) {
		fields := el("div", at{"class", "row"},
			pg.cellField(placesForm, row, "place", say("name"), "text"), pg.cellField(placesForm, row, "on", say("on"), "select", choice{"vehicle", say("the_vehicle_2")}, choice{"trailer", say("the_trailer_2")}),
			pg.field(input{do: "cell", at: placesForm + "|" + itoa(row) + "|at", label: say("how_far"), kind: "decimal", value: pg.forms.cell(placesForm, row, "at"), form: placesForm, row: row, columns: []string{"at"},
				help: say("on_the_vehicle_behind_the")}),
			pg.cellField(placesForm, row, "capacity", say("holds_at_most_kg"), "decimal")) + pg.said(placesForm, row, "") + button("quiet", "remove", placesForm+"|"+itoa(row), "", say("take_this_place_away"))
		inside += pg.folded("place-"+itoa(row), titleOf(say("place_x", itoa(row+1))+" "+pg.forms.cell(placesForm, row, "place"), words.OnWord(pg.forms.cell(placesForm, row, "on")), pg.forms.cell(placesForm, row, "at")), fields, pg.faulty(placesForm, row))
	}
	return el("section", at{"class", "panel"}, inside, el("p", nil, button("", "add-place", "", "", say("add_a_place"))))
}

// drawPlanned are ratings planned after a modification: they decide nothing.
func (pg *page) drawPlanned() string {
	inside := el("h3", nil, say("planned_ratings")) + p("help", say("what_a_modification_would_raise"))
	for row := range pg.forms.rows(ratingsForm) {
		if pg.forms.cell(ratingsForm, row, "set") == "" {
			continue
		}
		var ratings []choice
		for _, word := range []string{"gvm", "gcm", "atm", "gtm", "axle", "towing", "download_max"} {
			ratings = append(ratings, choice{word, pg.words().RatingLabel(word, "")})
		}
		inside += el("fieldset", at{"class", "box wide"}, el("legend", nil, esc(say("planned_x", pg.forms.cell(ratingsForm, row, "set")))), el("div", at{"class", "row"},
			pg.cellField(ratingsForm, row, "set", say("name_of_the_plan"), "text"), pg.cellField(ratingsForm, row, "rating", say("rating"), "select", ratings...),
			pg.cellField(ratingsForm, row, "on", say("on"), "select", onChoices(pg.forms.cell(ratingsForm, row, "rating"))...),
			pg.cellField(ratingsForm, row, "value", say("figure"), "decimal"), pg.cellField(ratingsForm, row, "unit", "in", "select", unitChoices...)),
			pg.said(ratingsForm, row, "", "kind", "source"), pg.questions(ratingsForm, row), button("quiet", "remove", ratingsForm+"|"+itoa(row), "", say("take_this_plan_away")))
	}
	inside += el("p", nil, button("", "add-planned", "", "", say("plan_a_rating")))
	if r := pg.answer; r != nil {
		w := pg.wordsOf(r)
		for _, set := range w.Report().Sets {
			inside += listed(sentenceHead(set.Head), set.Effects) + setTable(set.Name, set.Head, w)
		}
	}
	return el("section", at{"class", "panel"}, inside)
}

func setTable(set, head string, w *words.Words) string {
	var rows [][]string
	for _, c := range w.Report().Checks {
		if c.Of.Set == set {
			rows = append(rows, []string{c.InState, c.Value, c.Limit, c.Margin, c.Verdict})
		}
	}
	return sumTable(head, []string{w.Head("rating"), w.Head("value"), w.Head("limit"), w.Head("margin"), w.Head("verdict")}, rows)
}

func (pg *page) doAddLoad(_ event, where []string, r *Reply) {
	row := pg.forms.add(loadsForm, -1, map[string]string{"unit": pg.unit(), "on": "vehicle"})
	pg.openLoad(row)
	r.Focus = fieldID("cell", loadsForm+"|"+itoa(row)+"|load")
	if where[0] == "whatif" {
		r.Focus = "w" + strings.TrimPrefix(r.Focus, "f")
	}
}

// openLoad opens a load on both parts that show it.
func (pg *page) openLoad(row int) {
	pg.view.Open["load-"+itoa(row)], pg.view.Open["rider-"+itoa(row)] = true, true
}

func (pg *page) doAddPlace(_ event, _ []string, r *Reply) {
	row := pg.forms.add(placesForm, -1, map[string]string{"on": "vehicle"})
	pg.view.Open["place-"+itoa(row)] = true
	r.Focus = fieldID("cell", placesForm+"|"+itoa(row)+"|place")
}

func (pg *page) doAddPlanned(_ event, _ []string, r *Reply) {
	row := pg.forms.add(ratingsForm, -1, map[string]string{"rating": "gvm", "unit": pg.unit(), "set": "plan"})
	r.Focus = fieldID("cell", ratingsForm+"|"+itoa(row)+"|value")
}
