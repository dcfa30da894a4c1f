package page

import (
	"slices"
	"strings"

	"reconcile/internal/words"
)

const ratingsForm = "ratings.csv"

// box is a rating that a plate or a handbook states, and the part of the outfit
// that it belongs to.
type box struct{ word, on, kind, mark, part string }

// vehicleBoxes and trailerBoxes are the ratings of an outfit, in the order of
// the marks in the drawings.
var vehicleBoxes = []box{
	{"gvm", "", "", "A", say("the_loaded_vehicle")},
	{"axle", "front", "", "B", say("the_front_axle")},
	{"axle", "rear", "", "C", say("the_rear_axle")},
	{"gcm", "", "", "D", say("vehicle_and_trailer")},
	{"towing", "", "braked", "E", say("trailer_with_brakes")},
	{"towing", "", "unbraked", "F", say("trailer_without_brakes")},
	{"download_max", "vehicle", "", "G", say("load_on_the_coupling_by_the_handbook")},
	{"download_max", "towbar", "", "H", say("load_on_the_coupling_by_the_towbars")},
}

var trailerBoxes = []box{
	{"atm", "", "", "J", say("the_whole_trailer")},
	{"gtm", "", "", "K", say("the_trailers_axles_coupled")},
	{"axle", "trailer", "", "L", say("all_trailer_axles")},
	{"download_max", "coupling", "", "M", say("load_on_the_coupling_by_its_own")},
}

// boxRows finds the lines of a box: the rating in force as plated, and the
// superseded one before it.
func (pg *page) boxRows(b box) (rows []int) {
	for row := range pg.forms.rows(ratingsForm) {
		cell := func(c string) string { return strings.ToLower(pg.forms.cell(ratingsForm, row, c)) }
		word, kind := pg.forms.rating(row)
		if k := cell("kind"); k != "" {
			kind = k
		}
		if b.word == "towing" && kind == "" {
			kind = "braked"
		}
		on := cell("on")
		if b.word == "download_max" && on == "" {
			on = "vehicle"
		}
		if word == b.word && on == b.on && (b.word != "towing" || kind == b.kind) && cell("when") == "" && cell("set") == "" {
			rows = append(rows, row)
		}
	}
	return rows
}

func (pg *page) drawPlates() string {
	return heading("plates", say("the_plates")) +
		p("help", say("type_what_the_plates_and")) +
		el("section", at{"class", "panel"}, el("h3", nil, say("the_vehicle")),
			pg.drawPlated(vehicleBoxes), pg.drawBoxes(vehicleBoxes), pg.drawVehicle()) +
		el("section", at{"class", "panel"}, el("h3", nil, say("the_trailer")),
			pg.drawPlated(trailerBoxes), pg.drawBoxes(trailerBoxes), pg.drawTrailer(), pg.drawTravels()) +
		pg.drawOtherRatings() + pg.drawLengths() +
		pg.otherFaults(ratingsForm, "outfit.csv") +
		el("p", at{"class", "go"}, pg.afterPlates())
}

// drawVehicle are the fields of the vehicle that are no ratings, and whose outfit
// it is.
func (pg *page) drawVehicle() string {
	return el("div", at{"class", "row"}, pg.oneField("people", say("people_on_board_when_it"), "number", ""),
		pg.oneField("rear_axles", say("rear_axles"), "select", "", numbersOfAxles...),
		pg.oneField("vehicle", say("what_it_is"), "text", ""), pg.oneField("vehicle_id", say("its_registration"), "text", ""),
		el("div", at{"class", "full"}, pg.oneField("owner", say("owner"), "text", "")))
}

// drawTrailer are the fields of the trailer that are no ratings.
func (pg *page) drawTrailer() string {
	return el("div", at{"class", "row"},
		pg.oneField("trailer_axles", say("axles"), "select", "", numbersOfAxles...),
		pg.oneField("trailer_brakes", say("its_brakes"), "select", "", choice{"", say("not_stated")}, choice{"none", say("none")}, choice{"overrun", say("overrun")}, choice{"driver", say("worked_by_the_driver")}),
		el("div", at{"class", "full"}, pg.oneField("trailer_kind", say("drawbar"), "select", "", choice{"", say("rigid_presses_on_the_coupling")}, choice{"centre_axle", say("rigid_presses_on_the_coupling_centre")}, choice{"drawbar", say("hinged_with_a_steered_front")}, choice{"semi", say("coupled_over_the_rear_axle")})),
		pg.oneField("trailer", say("what_it_is"), "text", ""), pg.oneField("trailer_id", say("its_registration"), "text", ""))
}

var numbersOfAxles = []choice{{"", say("not_stated")}, {"1", say("one")}, {"2", say("two")}, {"3", say("three")}}

// afterPlates goes on to the slip, or without one to what the plates come to.
func (pg *page) afterPlates() string {
	if pg.view.Have == "plates" && pg.forms.rows(ticketsForm) == 0 {
		return button("main", "goto", "", "whatif", say("see_what_they_come_to"))
	}
	return button("main", "goto", "", "slip", say("on_to_the_slip"))
}

// drawTravels asks how the outfit travels, and shows the question about the
// bars where the core asks it.
func (pg *page) drawTravels() string {
	asked := ""
	if r := pg.record(); r != nil {
		for i, q := range r.Questions {
			if q.Code == "bars_not_stated" {
				asked = el("div", at{"class", "question", "id", "f-question-bars", "data-question", q.Code, "tabindex", "-1"}, p("", sentence(pg.words().Headline().Questions[i].Asked)))
			}
		}
	}
	return asked + pg.oneField("travels", say("load_distribution_bars_on_the"), "select", say("bars_or_chains_that_push"),
		choice{"", say("not_stated")}, choice{"plain", say("there_are_none")}, choice{"slack", say("there_are_some_and_they")}, choice{"tensioned", say("there_are_some_and_they_are")})
}

func (pg *page) drawPlated(boxes []box) string {
	var marks []mark
	for _, b := range boxes {
		state := "empty"
		if rows := pg.boxRows(b); len(rows) > 0 {
			state = "filled"
		}
		marks = append(marks, mark{b.mark, b.word, b.on, state})
	}
	return platesDrawing(marks, pg.trailerAxles(), pg.rearAxles(), boxes[0].word == "atm")
}

func (pg *page) drawBoxes(boxes []box) string {
	inside := ""
	for _, b := range boxes {
		if b.word == "axle" && b.on == "trailer" && pg.kind() == "drawbar" || strings.HasPrefix(b.word, "download") && pg.kind() == "drawbar" {
			if len(pg.boxRows(b)) == 0 {
				continue // no such rating of that kind
			}
		}
		from := ""
		for _, row := range pg.boxRows(b) {
			from += itoa(row) + pg.rowState(ratingsForm, row)
		}
		inside += pg.piece("box-"+b.mark, from, func() string { return pg.drawBox(b) })
	}
	return el("div", at{"class", "boxes"}, inside)
}

// drawBox is one rating: its figure, where it is stated, or that there is none.
// The heading is the label of a figure that has none of its own.
func (pg *page) drawBox(b box) string {
	rows := pg.boxRows(b)
	key := b.word + "|" + b.on + "|" + b.kind
	title := esc(pg.words().RatingLabel(b.word, "") + ": " + b.part)
	if len(rows) == 0 {
		return boxOf(key, b.mark, labelOf(key, title), pg.figure(key, -1, "", tickNone(key, false)))
	}
	inside := ""
	for _, row := range rows {
		said := pg.figureLabel(row, rows)
		if said == "" && !pg.isNone(row) {
			title = labelOf(key, title)
		}
		inside += pg.ratingFields(key, row, said)
	}
	if len(rows) > 1 {
		inside += button("quiet", "remove", ratingsForm+"|"+itoa(rows[len(rows)-1]), "", say("take_the_last_figure_away"))
	}
	return boxOf(key, b.mark, title, inside)
}

// figureLabel tells the figures of a box apart; a figure that is alone needs none.
func (pg *page) figureLabel(row int, rows []int) string {
	switch {
	case pg.forms.cell(ratingsForm, row, "replaced") != "":
		return say("plate_before_the_change")
	case row != rows[0] || pg.forms.cell(ratingsForm, row, "certificate") != "":
		return say("the_certificate_states")
	case len(rows) > 1:
		return say("the_plate_states")
	}
	return ""
}

// isNone says whether a rating was looked for and not found.
func (pg *page) isNone(row int) bool {
	return strings.EqualFold(pg.forms.cell(ratingsForm, row, "value"), "none")
}

func boxOf(key, mark, title, inside string) string {
	return el("fieldset", at{"class", "box", "data-rating", key}, el("legend", nil, el("span", at{"class", "mark", "aria-hidden", "true"}, mark), " ", title), inside)
}

// labelOf is a heading that is the label of its figure.
func labelOf(key, title string) string {
	return el("label", at{"for", fieldID("rating", key+"|value|first")}, title)
}

// ratingFields are the figure of a box and what goes with it. A figure without a
// label of its own has the heading of the box.
func (pg *page) ratingFields(key string, row int, label string) string {
	n := "first"
	if slices.Contains(pg.laterRows(key), row) {
		n = itoa(row)
	}
	none, value := pg.isNone(row), ""
	switch {
	case !none:
		value = pg.figure(key, row, label, "")
	case len(pg.boxRows(boxAt(key))) == 1:
		value = el("div", at{"class", "figure"}, tickNone(key, true)) + p("noted", say("looked_for_and_there_is"))
	default:
		value = p("noted", say("looked_for_and_there_is"))
	}
	return value + pg.questions(ratingsForm, row) + pg.ratingMore(key, row, n, none, label == say("the_certificate_states"))
}

// figure is a figure and its unit; row -1 is a box that nothing is typed in yet.
func (pg *page) figure(key string, row int, label, after string) string {
	cell := func(c string) string { return pg.forms.cell(ratingsForm, row, c) }
	n, unit := "first", cell("unit")
	if slices.Contains(pg.laterRows(key), row) {
		n = itoa(row)
	}
	if row < 0 {
		unit = pg.unit()
	}
	return el("div", at{"class", "figure"},
		pg.field(input{do: "rating", at: key + "|value|" + n, label: label, kind: "decimal", value: cell("value"), form: ratingsForm, row: row, columns: []string{"value", "rating", "on", "kind", ""}, noted: words.ReadBack(cell("value"), unit)}),
		pg.field(input{do: "rating", at: key + "|unit|" + n, name: say("unit"), kind: "select", value: unit, choices: unitChoices, form: ratingsForm, row: row, columns: []string{"unit"}, class: "unit"}), after)
}

// ratingMore is what goes with a figure: in view where the core asks for it,
// else to be opened.
func (pg *page) ratingMore(key string, row int, n string, none, certified bool) string {
	cell := func(c string) string { return pg.forms.cell(ratingsForm, row, c) }
	field := func(column, label string, columns ...string) string {
		return pg.field(input{do: "rating", at: key + "|" + column + "|" + n, label: label, kind: "text", value: cell(column), form: ratingsForm, row: row, columns: columns})
	}
	shows := []string{"source"}
	if none { // it has no other field that could show what is wrong with the line
		shows = append(shows, "value", "rating", "on", "kind", "unit", "")
	}
	source := field("source", say("where_it_is_stated"), shows...)
	certificate := ""
	if cell("certificate") != "" || certified {
		certificate = field("certificate", say("number_of_the_certificate"), "certificate", "certified_on")
	}
	photo := pg.photo(ratingsForm, row, say("a_photo_of_it"))
	if none {
		return source + certificate
	}
	changed := ""
	if !certified && cell("replaced") == "" && len(pg.laterRows(key)) == 0 {
		changed = button("quiet", "certificate", key, "", say("changed_by_certificate"))
	}
	open := "more-" + key + "|" + n
	return certificate + el("details", at{"class", "more", "data-open", open, "open", when(pg.view.Open[open] || strings.Contains(source+photo, "data-fault"), "")}, el("summary", nil, say("where_it_is_stated_a")), source, photo, changed)
}

// boxAt is the box of a key.
func boxAt(key string) box {
	part := strings.Split(key, "|")
	return box{word: part[0], on: part[1], kind: part[2]}
}

// laterRows are the lines of a box but its first.
func (pg *page) laterRows(key string) []int {
	rows := pg.boxRows(boxAt(key))
	if len(rows) < 2 {
		return nil
	}
	return rows[1:]
}

// tickNone says that there is no such figure.
func tickNone(key string, ticked bool) string {
	return el("label", at{"class", "tick"}, el("input", at{"type", "checkbox", "id", fieldID("none", key), "data-do", "none", "data-at", key, "checked", when(ticked, "")}), say("there_is_none"))
}

// rowOfBox gives the line that a field of a box writes to; a new one where
// there is none.
func (pg *page) rowOfBox(where []string) int {
	b := box{word: where[0], on: where[1], kind: where[2]}
	rows := pg.boxRows(b)
	if n := number(where[4]); n >= 0 && slices.Contains(rows, n) {
		return n
	}
	if len(rows) > 0 {
		return rows[0]
	}
	cells := map[string]string{"rating": b.word, "on": b.on, "unit": pg.unit()}
	if b.word == "towing" {
		cells["kind"] = b.kind
	}
	return pg.forms.add(ratingsForm, -1, cells)
}

// doRating fills a field of a box. A box whose figure and source are gone has
// no line.
func (pg *page) doRating(e event, where []string, _ *Reply) {
	b := box{word: where[0], on: where[1], kind: where[2]}
	if len(pg.boxRows(b)) == 0 && (where[3] != "value" || e.Value == "") {
		return
	}
	row := pg.rowOfBox(where)
	pg.forms.set(ratingsForm, row, where[3], e.Value)
	if where[3] == "value" && e.Value == "" && pg.forms.cell(ratingsForm, row, "source") == "" && pg.forms.cell(ratingsForm, row, "copy") == "" && pg.forms.cell(ratingsForm, row, "certificate") == "" {
		pg.forms.remove(ratingsForm, row)
	}
}

// doNone says that a rating was looked for and not found.
func (pg *page) doNone(e event, where []string, _ *Reply) {
	if e.Value == "true" {
		row := pg.rowOfBox(where)
		pg.forms.set(ratingsForm, row, "unit", "")
		pg.forms.set(ratingsForm, row, "value", "none")
		return
	}
	if rows := pg.boxRows(box{word: where[0], on: where[1], kind: where[2]}); len(rows) > 0 {
		pg.forms.remove(ratingsForm, rows[0])
	}
}

// doCertificate keeps the plated figure as replaced, and begins the new one.
func (pg *page) doCertificate(_ event, where []string, _ *Reply) {
	row := pg.rowOfBox(where)
	pg.forms.set(ratingsForm, row, "replaced", "yes")
	cells := map[string]string{"rating": pg.forms.cell(ratingsForm, row, "rating"), "on": pg.forms.cell(ratingsForm, row, "on"),
		"kind": pg.forms.cell(ratingsForm, row, "kind"), "unit": pg.forms.cell(ratingsForm, row, "unit"), "source": "certificate"}
	pg.forms.add(ratingsForm, row, cells)
}

func (pg *page) doAddRating(e event, _ []string, _ *Reply) {
	on := ""
	switch e.Value {
	case "tyre", "wheel":
		on = "rear"
	case "kerb", "tare", "running_order", "d_value", "download_min":
		on = "vehicle"
	}
	if e.Value == "d_value" {
		on = "towbar"
	}
	if e.Value == "" {
		return
	}
	unit := pg.unit()
	switch e.Value {
	case "tyre":
		unit = ""
	case "d_value":
		unit = "kN"
	}
	pg.forms.add(ratingsForm, -1, map[string]string{"rating": e.Value, "on": on, "unit": unit})
}

// drawOtherRatings are the lines of ratings.csv that no box shows, and a way to
// add one.
func (pg *page) drawOtherRatings() string {
	var boxed []int
	for _, b := range slices.Concat(vehicleBoxes, trailerBoxes) {
		boxed = append(boxed, pg.boxRows(b)...)
	}
	inside := ""
	for row := range pg.forms.rows(ratingsForm) {
		if !slices.Contains(boxed, row) && pg.forms.cell(ratingsForm, row, "set") == "" {
			inside += pg.ratingLine(row)
		}
	}
	w := pg.words()
	var more []choice
	more = append(more, choice{"", say("choose_one")})
	for _, word := range []string{"download_min", "d_value", "tyre", "wheel", "kerb", "tare", "running_order", "axle", "download_max", "towing"} {
		more = append(more, choice{word, w.RatingLabel(word, "")})
	}
	return el("section", at{"class", "panel"}, el("h3", nil, say("more_figures")), inside,
		pg.field(input{do: "add-rating", at: "more", label: say("add_a_figure_of_another"), kind: "select", choices: more}))
}

// ratingLine is a line of ratings.csv with all its cells.
func (pg *page) ratingLine(row int) string {
	cell := func(c string) string { return pg.forms.cell(ratingsForm, row, c) }
	word, _ := pg.forms.rating(row)
	title := cell("rating")
	if word != "" {
		title = pg.words().RatingLabel(word, cell("on"))
	}
	fields := pg.cellField(ratingsForm, row, "value", say("figure"), "decimal") +
		pg.cellField(ratingsForm, row, "unit", say("unit"), "select", choice{"", say("none_load_index")}, choice{"kg", "kg"}, choice{"t", "t"}, choice{"lb", "lb"}, choice{"kN", "kN"}) +
		pg.cellField(ratingsForm, row, "on", say("on"), "select", onChoices(word)...)
	if word == "tyre" || word == "wheel" {
		fields += pg.cellField(ratingsForm, row, "fitted", say("how_many_are_fitted_there"), "number")
	}
	if word == "tyre" || word == "towing" {
		kinds := []choice{{"", say("not_stated")}, {"passenger", say("passenger")}, {"commercial", say("commercial")}}
		if word == "towing" {
			kinds = []choice{{"", say("any_brakes")}, {"braked", say("with_brakes")}, {"unbraked", say("without_brakes")}}
		}
		fields += pg.cellField(ratingsForm, row, "kind", say("kind"), "select", kinds...)
	}
	fields += pg.cellField(ratingsForm, row, "when", say("holds"), "select", choice{"", say("always")}, choice{"alone", say("without_the_trailer")}, choice{"coupled", say("with_the_trailer")}, choice{"slack", say("with_loose_bars")}, choice{"tensioned", say("with_tight_bars")}) +
		pg.cellField(ratingsForm, row, "source", say("where_it_is_stated"), "text")
	return el("fieldset", at{"class", "box wide"}, el("legend", nil, esc(title)), el("div", at{"class", "row"}, fields),
		pg.said(ratingsForm, row, "rating", ""),
		p("noted", words.ReadBack(cell("value"), cell("unit"))), pg.questions(ratingsForm, row), pg.photo(ratingsForm, row, say("a_photo_of_it")),
		button("quiet", "remove", ratingsForm+"|"+itoa(row), "", say("take_this_figure_away")))
}

// onChoices are what a rating can be on, in words.
func onChoices(word string) []choice {
	var on []string
	switch word {
	case "axle", "tyre", "wheel":
		on = []string{"front", "rear", "trailer", "rear.1", "rear.2", "trailer.1", "trailer.2", "trailer.3"}
	case "kerb", "tare", "running_order":
		on = []string{"vehicle", "trailer", "front", "rear"}
	case "download_max", "download_min":
		on = []string{"vehicle", "towbar", "ball", "coupling"}
	case "d_value":
		on = []string{"towbar", "coupling"}
	}
	all := []choice{{"", say("the_whole")}}
	for _, o := range on {
		all = append(all, choice{o, words.OnWord(o)})
	}
	return all
}

// lengthColumns are the columns of what is typed with the lengths.
var lengthColumns = []string{"length_unit", "wheelbase", "rear_axle_to_coupling", "coupling_to_trailer_axle", "nose_support_to_trailer_axle"}

// drawLengths are the lengths, with which the laws of the lever say more. Many
// owners have none: they are folded until one is typed, refused or asked about.
func (pg *page) drawLengths() string {
	inside := p("help", say("with_lengths_the_page_can")) +
		lengthsDrawing() +
		el("div", at{"class", "row"},
			pg.oneField("wheelbase", say("a_front_axle_to_rear_axle"), "decimal", ""),
			pg.oneField("rear_axle_to_coupling", say("b_rear_axle_to_coupling"), "decimal", ""),
			pg.oneField("coupling_to_trailer_axle", say("c_coupling_to_the_middle"), "decimal", ""),
			pg.oneField("nose_support_to_trailer_axle", say("d_jockey_wheel_to_the"), "decimal", ""),
			pg.lengthUnit())
	open := pg.view.Open["lengths"] || strings.Contains(inside, "data-fault") || strings.Contains(inside, "data-question") ||
		slices.ContainsFunc(lengthColumns, func(c string) bool { return pg.forms.one(outfitForm, c) != "" })
	return el("section", at{"class", "panel"},
		el("details", at{"class", "more", "data-open", "lengths", "open", when(open, "")}, el("summary", nil, el("h3", nil, say("lengths_with_a_tape_measure"))), inside))
}

// lengthUnit is the unit of all lengths: millimetres, typed or not.
func (pg *page) lengthUnit() string {
	millimetres := choice{"", say("millimetres")}
	if pg.forms.one(outfitForm, "length_unit") == "mm" {
		millimetres.value = "mm"
	}
	return pg.oneField("length_unit", say("lengths_in"), "select", "", millimetres, choice{"cm", say("centimetres")}, choice{"m", say("metres")}, choice{"in", say("inches")})
}

func (pg *page) trailerAxles() int { return counted(pg.forms.one(outfitForm, "trailer_axles")) }
func (pg *page) rearAxles() int    { return counted(pg.forms.one(outfitForm, "rear_axles")) }

// counted is a number of axles for a drawing: one where none is stated.
func counted(s string) int {
	if n := number(s); n >= 1 && n <= 3 {
		return n
	}
	return 1
}
