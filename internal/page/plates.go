package page

import (
	"slices"
	"strings"

	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

const ratingsForm = "ratings.csv"

// box is a rating that a plate or a handbook states, and the part of the outfit
// that it belongs to.
type box struct{ word, on, kind, mark, part string }

// vehicleBoxes and trailerBoxes are the ratings of an outfit, in the order of
// the marks in the drawings.
var vehicleBoxes = []box{
	{"gvm", "", "", "A", "the whole vehicle"},
	{"axle", "front", "", "B", "the front axle"},
	{"axle", "rear", "", "C", "the rear axle"},
	{"gcm", "", "", "D", "vehicle and trailer together"},
	{"towing", "", "braked", "E", "what may be towed, trailer with brakes"},
	{"towing", "", "unbraked", "F", "what may be towed, trailer without brakes"},
	{"download_max", "vehicle", "", "G", "what may press on the coupling, by the handbook"},
	{"download_max", "towbar", "", "H", "what may press on the coupling, by the plate of the towbar"},
}

var trailerBoxes = []box{
	{"atm", "", "", "J", "the whole trailer"},
	{"gtm", "", "", "K", "the trailer's axles, coupled"},
	{"axle", "trailer", "", "L", "all axles of the trailer together"},
	{"download_max", "coupling", "", "M", "what may press on the coupling, by its own plate"},
}

// rows finds the lines of a box: the rating in force as plated, and the
// superseded one before it.
func (pg *Page) boxRows(b box) (rows []int) {
	for row := range pg.forms.rows(ratingsForm) {
		cell := func(c string) string { return strings.ToLower(pg.forms.cell(ratingsForm, row, c)) }
		word, kind := tickets.RatingWord(cell("rating"))
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

func (pg *Page) drawPlates() string {
	return heading("plates", "The plates") +
		p("help", "Type what the plates and the handbook state. Leave out what you have not found yet: the answer then says that it is not given.") +
		el("section", at{"class", "panel"}, el("h3", nil, "The vehicle"),
			pg.drawPlated(vehicleBoxes), pg.drawBoxes(vehicleBoxes),
			el("div", at{"class", "row"}, pg.oneField("people", "People on board when it travels", "number", ""),
				pg.oneField("rear_axles", "Rear axles", "select", "", choice{"", "not stated"}, choice{"1", "one"}, choice{"2", "two"}, choice{"3", "three"}),
				pg.oneField("vehicle", "What it is", "text", ""), pg.oneField("vehicle_id", "Its registration", "text", ""))) +
		el("section", at{"class", "panel"}, el("h3", nil, "The trailer"),
			pg.drawPlated(trailerBoxes), pg.drawBoxes(trailerBoxes),
			el("div", at{"class", "row"},
				pg.oneField("trailer_axles", "Axles", "select", "", choice{"", "not stated"}, choice{"1", "one"}, choice{"2", "two"}, choice{"3", "three"}),
				pg.oneField("trailer_kind", "Drawbar", "select", "", choice{"", "rigid, presses on the coupling"}, choice{"centre_axle", "rigid, presses on the coupling (centre axle)"}, choice{"drawbar", "hinged, with a steered front axle"}, choice{"semi", "coupled over the rear axle (semi-trailer)"}),
				pg.oneField("trailer_brakes", "Its brakes", "select", "", choice{"", "not stated"}, choice{"none", "none"}, choice{"overrun", "overrun"}, choice{"driver", "worked by the driver"}),
				pg.oneField("trailer", "What it is", "text", ""), pg.oneField("trailer_id", "Its registration", "text", "")),
			pg.drawTravels()) +
		pg.drawOtherRatings() + pg.drawLengths() +
		el("section", at{"class", "panel"}, el("h3", nil, "Whose it is"), el("div", at{"class", "row"}, pg.oneField("owner", "Owner", "text", ""))) +
		pg.otherFaults(ratingsForm, "outfit.csv") +
		el("p", at{"class", "go"}, button("main", "goto", "", "slip", "On to the slip"))
}

// drawTravels asks how the outfit travels, and shows the question about the
// bars where the core asks it.
func (pg *Page) drawTravels() string {
	asked := ""
	if r := pg.record(); r != nil {
		for _, q := range r.Questions {
			if q.Code == "bars_not_stated" {
				asked = el("div", at{"class", "question", "id", "f-question-bars", "data-question", q.Code, "tabindex", "-1"}, p("", sentence(pg.words().Question(q))))
			}
		}
	}
	return asked + pg.oneField("travels", "Load-distribution bars on the road", "select", "Bars or chains that push part of the load back to the front axle.",
		choice{"", "not stated"}, choice{"plain", "there are none"}, choice{"slack", "there are some, and they hang loose"}, choice{"tensioned", "there are some, and they are tight"})
}

func (pg *Page) drawPlated(boxes []box) string {
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

func (pg *Page) drawBoxes(boxes []box) string {
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
func (pg *Page) drawBox(b box) string {
	rows := pg.boxRows(b)
	key := b.word + "|" + b.on + "|" + b.kind
	title := pg.words().RatingLabel(b.word)
	inside := el("legend", nil, el("span", at{"class", "mark", "aria-hidden", "true"}, b.mark), " ", esc(title+": "+b.part))
	if len(rows) == 0 {
		inside += pg.ratingFields(key, -1, "The plate states")
	}
	for i, row := range rows {
		label := "The plate states"
		switch {
		case pg.forms.cell(ratingsForm, row, "replaced") != "":
			label = "Plate, before the change"
		case i > 0 || pg.forms.cell(ratingsForm, row, "certificate") != "":
			label = "The certificate states"
		}
		inside += pg.ratingFields(key, row, label)
	}
	return el("fieldset", at{"class", "box", "data-rating", key}, inside, pg.boxActions(key, rows))
}

// ratingFields are the figure of a box and what goes with it; row -1 is a box
// that nothing is typed in yet.
func (pg *Page) ratingFields(key string, row int, label string) string {
	cell := func(c string) string { return pg.forms.cell(ratingsForm, row, c) }
	n := itoa(row)
	if row < 0 || !slices.Contains(pg.laterRows(key), row) {
		n = "first"
	}
	none := strings.EqualFold(cell("value"), "none")
	unit := cell("unit")
	if row < 0 {
		unit = pg.unit()
	}
	value := ""
	if none {
		value += p("noted", "Looked for, and there is none.")
	} else {
		value += el("div", at{"class", "figure"},
			pg.field(input{do: "rating", at: key + "|value|" + n, label: label, kind: "decimal", value: cell("value"), form: ratingsForm, row: row, columns: []string{"value", "rating", "on", "kind", ""}, noted: words.ReadBack(cell("value"), unit)}),
			pg.field(input{do: "rating", at: key + "|unit|" + n, label: "unit", kind: "select", value: unit, choices: unitChoices, form: ratingsForm, row: row, columns: []string{"unit"}, class: "unit"}))
	}
	if row < 0 {
		return value
	}
	return value + pg.questions(ratingsForm, row) + pg.ratingMore(key, row, n, none, label == "The certificate states")
}

// ratingMore is what goes with a figure: in view where the core asks for it,
// else to be opened.
func (pg *Page) ratingMore(key string, row int, n string, none, certified bool) string {
	cell := func(c string) string { return pg.forms.cell(ratingsForm, row, c) }
	field := func(column, label string, columns ...string) string {
		return pg.field(input{do: "rating", at: key + "|" + column + "|" + n, label: label, kind: "text", value: cell(column), form: ratingsForm, row: row, columns: columns})
	}
	source := field("source", "Where it is stated", "source")
	certificate := ""
	if cell("certificate") != "" || certified {
		certificate = field("certificate", "Number of the certificate", "certificate", "certified_on")
	}
	photo := pg.photo(ratingsForm, row, "A photo of it")
	if none {
		return source + certificate
	}
	open := "more-" + key + "|" + n
	return certificate + el("details", at{"class", "more", "data-open", open, "open", when(pg.view.Open[open], "")}, el("summary", nil, "Where it is stated, a photo"), source, photo)
}

// laterRows are the lines of a box but its first.
func (pg *Page) laterRows(key string) []int {
	part := strings.Split(key, "|")
	rows := pg.boxRows(box{word: part[0], on: part[1], kind: part[2]})
	if len(rows) < 2 {
		return nil
	}
	return rows[1:]
}

// boxActions say that there is no such figure, or that a certificate changed it.
func (pg *Page) boxActions(key string, rows []int) string {
	none := len(rows) == 1 && strings.EqualFold(pg.forms.cell(ratingsForm, rows[0], "value"), "none")
	all := ""
	if len(rows) < 2 {
		all += el("label", at{"class", "tick"}, el("input", at{"type", "checkbox", "id", fieldID("none", key), "data-do", "none", "data-at", key, "checked", when(none, "")}), " There is none")
	}
	if len(rows) == 1 && !none && pg.forms.cell(ratingsForm, rows[0], "value") != "" {
		all += button("quiet", "certificate", key, "", "Changed by certificate")
	}
	if len(rows) > 1 {
		all += button("quiet", "remove", ratingsForm+"|"+itoa(rows[len(rows)-1]), "", "Take the last figure away")
	}
	return el("div", at{"class", "actions"}, all)
}

// rowOfBox gives the line that a field of a box writes to; a new one where
// there is none.
func (pg *Page) rowOfBox(where []string) int {
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
func (pg *Page) doRating(e Event, where []string, _ *Reply) {
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
func (pg *Page) doNone(e Event, where []string, _ *Reply) {
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
func (pg *Page) doCertificate(_ Event, where []string, _ *Reply) {
	row := pg.rowOfBox(where)
	pg.forms.set(ratingsForm, row, "replaced", "yes")
	cells := map[string]string{"rating": pg.forms.cell(ratingsForm, row, "rating"), "on": pg.forms.cell(ratingsForm, row, "on"),
		"kind": pg.forms.cell(ratingsForm, row, "kind"), "unit": pg.forms.cell(ratingsForm, row, "unit"), "source": "certificate"}
	pg.forms.add(ratingsForm, row, cells)
}

func (pg *Page) doAddRating(e Event, _ []string, _ *Reply) {
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
func (pg *Page) drawOtherRatings() string {
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
	more = append(more, choice{"", "choose one"})
	for _, word := range []string{"download_min", "d_value", "tyre", "wheel", "kerb", "tare", "running_order", "axle", "download_max", "towing"} {
		more = append(more, choice{word, w.RatingLabel(word)})
	}
	return el("section", at{"class", "panel"}, el("h3", nil, "More figures"), inside,
		pg.field(input{do: "add-rating", at: "more", label: "Add a figure of another kind", kind: "select", choices: more}))
}

// ratingLine is a line of ratings.csv with all its cells.
func (pg *Page) ratingLine(row int) string {
	cell := func(c string) string { return pg.forms.cell(ratingsForm, row, c) }
	word, _ := tickets.RatingWord(cell("rating"))
	title := cell("rating")
	if word != "" {
		title = pg.words().KeyLabel(word, cell("on"))
	}
	fields := pg.cellField(ratingsForm, row, "value", "Figure", "decimal") +
		pg.cellField(ratingsForm, row, "unit", "Unit", "select", choice{"", "none (load index)"}, choice{"kg", "kg"}, choice{"t", "t"}, choice{"lb", "lb"}, choice{"kN", "kN"}) +
		pg.cellField(ratingsForm, row, "on", "On", "select", onChoices(word)...)
	if word == "tyre" || word == "wheel" {
		fields += pg.cellField(ratingsForm, row, "fitted", "How many are fitted there", "number")
	}
	if word == "tyre" || word == "towing" {
		kinds := []choice{{"", "not stated"}, {"passenger", "passenger"}, {"commercial", "commercial"}}
		if word == "towing" {
			kinds = []choice{{"", "any brakes"}, {"braked", "with brakes"}, {"unbraked", "without brakes"}}
		}
		fields += pg.cellField(ratingsForm, row, "kind", "Kind", "select", kinds...)
	}
	fields += pg.cellField(ratingsForm, row, "when", "Holds", "select", choice{"", "always"}, choice{"alone", "without the trailer"}, choice{"coupled", "with the trailer"}, choice{"slack", "with loose bars"}, choice{"tensioned", "with tight bars"}) +
		pg.cellField(ratingsForm, row, "source", "Where it is stated", "text")
	return el("fieldset", at{"class", "box wide"}, el("legend", nil, esc(title)), el("div", at{"class", "row"}, fields),
		pg.said(ratingsForm, row, "rating", ""),
		p("noted", words.ReadBack(cell("value"), cell("unit"))), pg.questions(ratingsForm, row), pg.photo(ratingsForm, row, "A photo of it"),
		button("quiet", "remove", ratingsForm+"|"+itoa(row), "", "Take this figure away"))
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
	all := []choice{{"", "the whole"}}
	for _, o := range on {
		all = append(all, choice{o, words.OnWord(o)})
	}
	return all
}

// drawLengths are the lengths, with which the laws of the lever say more.
func (pg *Page) drawLengths() string {
	return el("section", at{"class", "panel"}, el("h3", nil, "Lengths, if you have a tape measure"),
		p("help", "With lengths the page can work out more from fewer weighings, and what moving something does."),
		lengthsDrawing(),
		el("div", at{"class", "row"},
			pg.oneField("length_unit", "Lengths in", "select", "", choice{"", "mm"}, choice{"mm", "millimetres"}, choice{"cm", "centimetres"}, choice{"m", "metres"}, choice{"in", "inches"}),
			pg.oneField("wheelbase", "a: front axle to rear axle", "decimal", ""),
			pg.oneField("rear_axle_to_coupling", "b: rear axle to coupling", "decimal", ""),
			pg.oneField("coupling_to_trailer_axle", "c: coupling to the middle of the trailer's axles", "decimal", ""),
			pg.oneField("nose_support_to_trailer_axle", "d: jockey wheel to the middle of the trailer's axles", "decimal", "")))
}

func (pg *Page) trailerAxles() int { return counted(pg.forms.one(outfitForm, "trailer_axles")) }
func (pg *Page) rearAxles() int    { return counted(pg.forms.one(outfitForm, "rear_axles")) }

// counted is a number of axles for a drawing: one where none is stated.
func counted(s string) int {
	if n := number(s); n >= 1 && n <= 3 {
		return n
	}
	return 1
}
