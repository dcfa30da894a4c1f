package page

import (
	"slices"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// wordsOf are the words of a record of this page's own forms: they name its
// slips and boxes.
func (pg *page) wordsOf(r *record.Record) *words.Words { return words.Of(r, pg.places) }

// places says what the page shows a line of a form as: its reader has slips and
// plates in front of them, and no form. Of line 0 it names the part.
func (pg *page) places(form string, line int) (name string, number int) {
	row := pg.forms.rowAt(form, line)
	switch {
	case line == 0 || form == outfitForm:
		return pg.partInText(form), 0
	case row < 0:
		return "", 0
	case form == ticketsForm:
		return pg.slipOfRow(row)
	}
	return pg.lineName(form, row), 0
}

// slipOfRow names the slip of a line, and says which line of it that is.
func (pg *page) slipOfRow(row int) (name string, number int) {
	for i, s := range pg.slips() {
		if at := slices.Index(s.rows, row); at >= 0 {
			return say("slip_x_in_text", itoa(i+1)), at + 1
		}
	}
	return "", 0
}

// partInText names inside a sentence where the boxes of a form are.
func (pg *page) partInText(form string) string {
	switch form {
	case outfitForm, ratingsForm:
		return say("the_plates_in_text")
	case ticketsForm:
		return say("the_slips_in_text")
	case scalesForm:
		return say("the_weighbridge_in_text")
	case loadsForm:
		return say("what_is_loaded_in_text")
	case placesForm:
		return say("the_places_in_text")
	}
	return ""
}

// lineName names a line of ratings.csv by its rating, one of the other forms by
// its own name; "" where there is no such line.
func (pg *page) lineName(form string, row int) string {
	if row < 0 {
		return ""
	}
	key := map[string]string{scalesForm: "scale", loadsForm: "load", placesForm: "place"}[form]
	name := pg.forms.cell(form, row, key)
	switch {
	case form == ratingsForm:
		return pg.plateName(row)
	case form == scalesForm && name != "":
		return say("weighbridge_x_in_text", name)
	case key != "" && name != "":
		return name
	case form == loadsForm:
		return strings.TrimSpace(say("load_x_x", itoa(row+1), ""))
	case form == placesForm:
		return say("place_x", itoa(row+1))
	}
	return ""
}

// plateName names a line of ratings.csv by its rating; "" where that is none.
func (pg *page) plateName(row int) string {
	word, _ := pg.forms.rating(row)
	if word == "" {
		return ""
	}
	return say("x_on_the_plates", pg.words().RatingLabel(word, pg.forms.cell(ratingsForm, row, "on")))
}
