package page

import (
	"slices"
	"strings"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// trial is what is tried on What if. It is written into a copy of the forms,
// which the core reads like any others; nothing of it is kept or signed.
type trial struct {
	Mass    string `json:"mass"` // of an item
	Unit    string `json:"unit"`
	On      string `json:"on"`
	Place   string `json:"place"` // a name of places.csv; "": at a distance
	At      string `json:"at"`
	Trailer string `json:"trailer"` // its mass as loaded
	Share   string `json:"share"`
	Level   string `json:"level"` // least or most: what loads weigh that vary
}

// tried are the fields of a trial by their names in the HTML.
func (t *trial) tried(name string) *string {
	return map[string]*string{"mass": &t.Mass, "unit": &t.Unit, "on": &t.On, "place": &t.Place, "at": &t.At,
		"trailer": &t.Trailer, "share": &t.Share, "level": &t.Level}[name]
}

func (pg *page) doTry(e event, where []string, _ *Reply) {
	if field := pg.view.Trial.tried(where[0]); field != nil {
		*field = e.Value
	}
}

// doTryAt takes a place of the drawing.
func (pg *page) doTryAt(e event, _ []string, _ *Reply) {
	for _, s := range pg.tryPlaces() {
		if s.key == e.At {
			t := &pg.view.Trial
			t.On, t.At, t.Place = s.on, s.at, ""
		}
	}
}

// tryPlace is a place of the drawing: its distance is a cell of the forms.
type tryPlace struct{ key, on, at string }

// tryPlaces are the places of the drawing whose distance the forms state.
func (pg *page) tryPlaces() []tryPlace {
	all := []tryPlace{{"front", "vehicle", "0"}}
	if l := pg.forms.one(outfitForm, "wheelbase"); l != "" {
		all = append(all, tryPlace{"rear", "vehicle", l})
	}
	if l := pg.forms.one(outfitForm, "coupling_to_trailer_axle"); l != "" {
		all = append(all, tryPlace{"coupling", "trailer", l})
	}
	return append(all, tryPlace{"trailer", "trailer", "0"})
}

// tryName is a name that no load and no place has.
func (pg *page) tryName() string {
	name := "item"
	for n := 2; ; n++ {
		taken := false
		for _, form := range []string{loadsForm, placesForm} {
			for row := range pg.forms.rows(form) {
				taken = taken || strings.EqualFold(pg.forms.cell(form, row, "load"), name) || strings.EqualFold(pg.forms.cell(form, row, "place"), name)
			}
		}
		if !taken {
			return name
		}
		name = "item " + itoa(n)
	}
}

// copied are the forms once more, to be changed.
func (f *forms) copied() *forms {
	again := newForms()
	for _, form := range f.files() {
		again.put(form.Name, form.Bytes)
	}
	again.copies, again.sep = f.copies, f.sep
	return again
}

// withItem are the forms with the item of the trial on board: it travels, and
// it was in no reading.
func (pg *page) withItem() *forms {
	t, name, f := pg.view.Trial, pg.tryName(), pg.forms.copied()
	on := t.On
	if on == "" {
		on = "vehicle"
	}
	cells := map[string]string{"load": name, "mass": t.Mass, "unit": pg.tryUnit(), "on": on}
	switch {
	case t.Place != "":
		cells["place"], cells["on"] = t.Place, ""
		if place := pg.placeRow(t.Place); place >= 0 {
			on = pg.forms.cell(placesForm, place, "on")
		}
	case t.At != "":
		f.add(placesForm, -1, map[string]string{"place": name, "on": on, "at": t.At})
		cells["place"] = name
	}
	f.add(loadsForm, -1, cells)
	alone := map[string]string{"vehicle": "vehicle_alone", "trailer": "trailer_alone"}[on]
	for row := range f.rows(ticketsForm) {
		if setup := f.cell(ticketsForm, row, "setup"); setup == "coupled" || setup == alone {
			f.set(ticketsForm, row, "without", strings.Join(append(terms(f.cell(ticketsForm, row, "without")), name), "+"))
		}
	}
	return f
}

func (pg *page) tryUnit() string {
	if pg.view.Trial.Unit != "" {
		return pg.view.Trial.Unit
	}
	return pg.unit()
}

// placeRow is the line of a place; -1 where there is none.
func (pg *page) placeRow(name string) int {
	for row := range pg.forms.rows(placesForm) {
		if pg.forms.cell(placesForm, row, "place") == name {
			return row
		}
	}
	return -1
}

// stated are the forms that the estimate reads: with the item, another trailer,
// and loads at their least or most.
func (pg *page) stated() *forms {
	t, f := pg.view.Trial, pg.forms.copied()
	if t.Mass != "" {
		f = pg.withItem()
	}
	if t.Level != "" {
		for row := range f.rows(loadsForm) {
			if mass := f.cell(loadsForm, row, t.Level); mass != "" {
				f.set(loadsForm, row, "mass", mass)
			}
		}
	}
	if t.Share != "" {
		f.setOne(outfitForm, "download_share", t.Share)
	}
	if t.Trailer != "" {
		pg.anotherTrailer(f)
	}
	return f
}

// anotherTrailer states the mass of the trailer as loaded, in place of its empty
// mass and what rides on it; the item of the trial is on top of it.
func (pg *page) anotherTrailer(f *forms) {
	for row := f.rows(ratingsForm) - 1; row >= 0; row-- {
		word, _ := f.rating(row)
		if slices.Contains([]string{"tare", "kerb", "running_order"}, word) && f.cell(ratingsForm, row, "on") == "trailer" {
			f.remove(ratingsForm, row)
		}
	}
	for row := pg.forms.rows(loadsForm) - 1; row >= 0; row-- {
		on := f.cell(loadsForm, row, "on")
		if place := pg.placeRow(f.cell(loadsForm, row, "place")); place >= 0 {
			on = pg.forms.cell(placesForm, place, "on")
		}
		if on == "trailer" {
			f.remove(loadsForm, row)
		}
	}
	f.add(ratingsForm, -1, map[string]string{"rating": "tare", "on": "trailer", "value": pg.view.Trial.Trailer, "unit": pg.tryUnit()})
}

// folderOf are forms as the core takes them.
func (pg *page) folderOf(f *forms) flow.Folder {
	folder := pg.folder()
	folder.Forms = f.files()
	return folder
}

// drawItem is an item tried at a place, and what it does to the loads.
func (pg *page) drawItem() string {
	t := &pg.view.Trial
	places := []choice{{"", say("at_the_distance_below")}}
	for row := range pg.forms.rows(placesForm) {
		if name := pg.forms.cell(placesForm, row, "place"); name != "" {
			places = append(places, choice{name, name})
		}
	}
	fields := pg.field(input{do: "try", at: "mass", label: say("its_mass"), kind: "decimal", value: t.Mass, noted: words.ReadBack(t.Mass, pg.tryUnit())}) +
		pg.field(input{do: "try", at: "unit", label: "in", kind: "select", value: pg.tryUnit(), choices: unitChoices})
	if len(places) > 1 {
		fields += pg.field(input{do: "try", at: "place", label: say("where"), kind: "select", value: t.Place, choices: places, class: "full"})
	}
	inside := el("h3", nil, say("an_item_at_a_place")) + p("help", say("type_what_something_weighs_and")) + el("div", at{"class", "row"}, fields)
	if t.Place == "" {
		inside += p("label", say("tap_a_place_in_the")) + pg.tryDrawing() +
			el("div", at{"class", "row"},
				pg.field(input{do: "try", at: "on", label: say("on"), kind: "select", value: or(t.On, "vehicle"), choices: []choice{{"vehicle", say("the_vehicle_2")}, {"trailer", say("the_trailer_2")}}}),
				pg.field(input{do: "try", at: "at", label: say("how_far"), kind: "decimal", value: t.At, help: pg.farHelp(or(t.On, "vehicle"))}))
	}
	if t.Mass != "" && pg.answer != nil {
		inside += pg.triedItem()
	}
	return el("section", at{"class", "panel", "id", "try"}, inside)
}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func (pg *page) farHelp(on string) string {
	unit := or(pg.forms.one(outfitForm, "length_unit"), "mm")
	if on == "trailer" {
		return say("in_x_ahead_of_the", unit)
	}
	return say("in_x_behind_the_front", unit)
}

// tryDrawing is the outfit with places to tap.
func (pg *page) tryDrawing() string {
	o := plainOutline(pg.rearAxles(), pg.trailerAxles(), pg.kind() == "drawbar")
	inside := o.shape("coupled")
	for _, s := range pg.tryPlaces() {
		x := map[string]float64{"front": o.front, "rear": o.rear, "coupling": o.coupling + 10, "trailer": o.trailer}[s.key]
		t := &pg.view.Trial
		now := t.Place == "" && or(t.On, "vehicle") == s.on && t.At == s.at
		mark := ""
		if now {
			mark = el("path", at{"class", "item", "d", "M" + num(x-9) + " 52 h18 v-16 h-18 Z"})
		}
		inside += el("g", at{"class", "support", "role", "radio", "tabindex", "0", "aria-checked", map[bool]string{true: "true", false: "false"}[now], "aria-label", tryName(s.key), "id", fieldID("try-at", s.key), "data-do", "try-at", "data-at", s.key},
			el("rect", at{"class", "hit", "x", num(x - 22), "y", "14", "width", "44", "height", "82", "rx", "6"}), mark, textAt(x, map[bool]float64{true: 10, false: 112}[s.key == "coupling"], "name", tryShort(s.key)))
	}
	return el("svg", at{"class", "drawing tap", "viewBox", "0 0 360 118", "role", "radiogroup", "aria-label", say("where_it_would_ride")}, inside)
}

func tryShort(key string) string {
	return map[string]string{"front": say("front_axle"), "rear": say("rear_axle"), "coupling": "coupling", "trailer": say("trailer_axle")}[key]
}

func tryName(key string) string {
	return map[string]string{"front": say("over_the_front_axle"), "rear": say("over_the_rear_axle"), "coupling": say("on_the_drawbar_at_the"), "trailer": say("over_the_middle_of_the")}[key]
}

// tried has the core answer the forms with the item.
func (pg *page) tried() (*record.Record, []tickets.Fault, error) {
	folder := pg.folderOf(pg.withItem())
	jobs, faults := flow.Read(folder, pg.options(), true).All()
	if len(faults) > 0 || len(jobs) != 1 {
		return nil, faults, nil
	}
	answer, _, err := flow.Answer(jobs[0], folder, pg.options())
	return answer, nil, err
}

// triedItem is what the core answers to the forms with the item.
func (pg *page) triedItem() string {
	r, faults, err := pg.tried()
	switch {
	case err != nil:
		return p("fault", sentence(err.Error()))
	case r == nil:
		return pg.faultList(faults)
	}
	w := pg.wordsOf(r)
	return el("div", at{"id", "tried", "role", "status"}, p("stated", say("with_this_item_which_was")),
		loadsDrawing(spots(r, w), r, w, nil), triedTable(pg.answer, w))
}

// faultList lists faults that no form of the page holds.
func (pg *page) faultList(faults []tickets.Fault) string {
	var all []string
	for i := range faults {
		if text := sentence(pg.words().Fault(faults[i].File, faults[i].What, faults[i].Wanted, faults[i].Hint)); !slices.Contains(all, text) {
			all = append(all, text)
		}
	}
	return el("div", at{"class", "fault-list"}, list("faults fault", all))
}

// triedTable compares each deciding check with the same one of the answer.
func triedTable(before *record.Record, w *words.Words) string {
	old := words.Of(before, nil).Report().Checks
	var rows [][]string
	for _, said := range w.Report().Checks {
		c := said.Of
		if !c.Decides {
			continue
		}
		was := ""
		for i := range old {
			if b := old[i].Of; b.Decides && b.Rating == c.Rating && b.On == c.On && b.State == c.State && slices.Equal(b.HeldOn, c.HeldOn) && b.Verdict != "not_weighed" {
				was = old[i].Margin
			}
		}
		if c.Verdict == "not_weighed" {
			said.Value, said.Limit = "", ""
		}
		rows = append(rows, []string{said.InState, said.Value, said.Limit, was, said.Margin, said.Verdict})
	}
	return sumTable(say("with_and_without_it_x", w.Unit), []string{w.Head("rating"), w.Head("value"), w.Head("limit"), say("margin_without"), say("margin_with"), w.Head("verdict")}, rows)
}
