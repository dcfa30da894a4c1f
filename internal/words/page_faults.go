package words

import (
	"regexp"
	"strconv"
	"strings"
)

// Fault says a refusal of a form to somebody who has the page in front of them: what
// is wrong, in brackets what is wanted, and the cure. Columns become the boxes
// of the page, codes the answers that it offers; what was typed stays as it is.
func (w *Words) Fault(form, what, wanted, hint string) string {
	text := w.onPage(form, what)
	if wanted = w.onPage(form, wanted); wanted != "" {
		text += " (" + wanted + ")"
	}
	if hint != "" && hint != "fill it in" { // which the first part says on the page
		text += ". " + capital(w.onPage(form, hint))
	}
	return say(text)
}

// quote is a piece in quotes, which a sentence takes over as it was typed; kept
// is one that is set aside under its number.
var (
	quote     = regexp.MustCompile(`"(?:[^"\\]|\\.)*"`)
	keptQuote = regexp.MustCompile("\x00[0-9]+\x00")
	leadCell  = regexp.MustCompile("^([a-z_0-9.]+) (\x00[0-9]+\x00)")
	aRating   = regexp.MustCompile("\\brating (\x00[0-9]+\x00)")
	aLine     = regexp.MustCompile(`\bline ([0-9]+)`)
	aCode     = regexp.MustCompile(`\b[a-z]+(_[a-z]+)+\b`)
	aForm     = regexp.MustCompile(`\b(tickets|outfit|ratings|scales|loads|places)\.csv\b`)
)

// onPage says a part of a refusal in the words of the page.
func (w *Words) onPage(form, text string) string {
	var quotes []string
	text = quote.ReplaceAllStringFunc(text, func(q string) string {
		quotes = append(quotes, q)
		return "\x00" + itoa(len(quotes)-1) + "\x00"
	})
	at := func(kept string) string {
		n, _ := strconv.Atoi(strings.Trim(kept, "\x00"))
		return quotes[n]
	}
	text = leadCell.ReplaceAllStringFunc(text, func(found string) string {
		m := leadCell.FindStringSubmatch(found)
		return w.cellOnPage(m[1], at(m[2]), m[2])
	})
	text = aRating.ReplaceAllStringFunc(text, func(found string) string {
		kept := strings.TrimPrefix(found, "rating ")
		return w.cellOnPage("rating", at(kept), kept)
	})
	text = faultPhrases.Replace(text)
	text = aLine.ReplaceAllStringFunc(text, func(found string) string {
		n, _ := strconv.Atoi(strings.TrimPrefix(found, "line "))
		if place := w.placesOf(form, n); place != "" {
			return place
		}
		return found
	})
	text = aForm.ReplaceAllStringFunc(text, func(found string) string {
		if place := w.placesOf(found, 0); place != "" {
			return place
		}
		return found
	})
	text = aCode.ReplaceAllStringFunc(text, boxWord)
	return keptQuote.ReplaceAllStringFunc(text, at)
}

// cellOnPage is a column and its cell, with which a refusal begins: the box and
// what is in it. A code that the page offers as an answer is that answer; kept
// stands for anything else.
func (w *Words) cellOnPage(column, cell, kept string) string {
	code, err := strconv.Unquote(cell)
	if err != nil {
		return column + " " + kept
	}
	if column == "column" { // named like a wheel, whose box it is
		return onWord(code)
	}
	if answer, known := answerWords[column+" "+code]; known {
		return boxWord(column) + " “" + answer + "”"
	}
	if column == "rating" && w.ratingLabel(code) != code {
		return w.ratingLabel(code)
	}
	return boxWord(column) + " " + kept
}

// boxWord is what the page calls the box of a column, or a code.
func boxWord(column string) string {
	if word, known := boxWords[column]; known {
		return word
	}
	if group, _, part := strings.Cut(column, "."); part || group == "front" || group == "rear" {
		return onWord(column)
	}
	return codeWord(column)
}

// boxWords are the boxes of the page by column, as they are named inside a
// sentence.
var boxWords = map[string]string{
	"ticket": "number", "weighed_at": "date and time", "scale": "weighbridge", "setup": "how the outfit was", "hitch": "load-distribution bars",
	"on_deck": "on the weighbridge:", "reading": "figure", "value": "figure", "interval": "smallest step", "without": "not on board:", "with": "on board but not travelling:",
	"people": "people on board", "note": "word printed", "copy": "photo", "use": "weighed or added up:",
	"length_unit": "lengths in", "length_uncertainty": "uncertainty of the lengths", "rear_axles": "rear axles", "trailer_axles": "axles of the trailer",
	"trailer_kind": "drawbar", "trailer_brakes": "brakes of the trailer", "travels": "load-distribution bars on the road", "region": "where it is registered", "download_share": "share on the coupling",
	"wheelbase": "a, front axle to rear axle:", "rear_axle_to_coupling": "b, rear axle to coupling:", "coupling_to_trailer_axle": "c, coupling to the trailer's axles:", "nose_support_to_trailer_axle": "d, jockey wheel to the trailer's axles:",
	"when": "holds", "source": "where it is stated", "certificate": "number of the certificate", "certified_on": "date of the certificate", "fitted": "how many are fitted:", "replaced": "plate before the change:", "set": "plan",
	"deck": "what the weighbridge was:", "class": "accuracy class", "expanded_uncertainty": "± on its certificate", "stated_at": "load of the certificate",
	"load": "who or what", "may_go": "may go to", "may_leave": "may stay at home:", "divisible": "may be split:", "least": "least during a trip", "most": "most during a trip", "at": "how far", "capacity": "holds at most",
	"vehicle_alone": "vehicle alone", "trailer_alone": "trailer alone", "download_max": "most download", "download_min": "least download", "d_value": "D-value", "running_order": "mass in running order",
}

// answerWords are the answers of the page, by column and code.
var answerWords = map[string]string{
	"setup coupled": pageText["hitched_together"], "setup vehicle_alone": pageText["vehicle_alone"], "setup trailer_alone": pageText["trailer_alone_unhitched"],
	"hitch plain": pageText["none"], "hitch slack": pageText["loose"], "hitch tensioned": pageText["tight"], "hitch unknown": pageText["i_dont_know"],
	"travels plain": pageText["there_are_none"], "travels slack": pageText["loose"], "travels tensioned": pageText["tight"],
	"when alone": pageText["without_the_trailer"], "when coupled": pageText["with_the_trailer"], "when slack": pageText["with_loose_bars"], "when tensioned": pageText["with_tight_bars"],
	"kind braked": pageText["with_brakes"], "kind unbraked": pageText["without_brakes"],
}

// faultPhrases are the phrases of refusals that speak of forms, and what the
// page says in their place; of two that begin at one letter the first counts.
var faultPhrases = strings.NewReplacer(
	// cells that are to be filled in
	"required cell ticket left blank", "the number is not filled in",
	"where none is printed, give it one of your own", "where none is printed, tick "+button("not_on_it"),
	"required cell setup left blank", "how the outfit was is not chosen",
	"vehicle_alone, trailer_alone or coupled", "hitched together, vehicle alone, trailer alone, or nothing on it",
	"required cell on_deck left blank", "no wheels are tapped",
	"use front, rear, vehicle, trailer, nose, coupling, all or empty, with an axle or side like rear.1, trailer.left", "the wheels that were on the weighbridge",
	"required cell reading left blank", "the figure is not typed", "delete the line where nothing was weighed", "take the line away where nothing was weighed",
	"the line has no reading", "no wheel has a figure", "a figure in one of the columns named like a position", "the figure of at least one wheel",
	"required cell note left blank", "it is left out, and nothing says why", "why the line with use no is not used", "", "say why in note", "say why under "+button("word_printed"),
	"write no in the column use and say why in note", "tick "+button("keep_this_figure_but_leave")+", and say why under "+button("word_printed"),
	"required cell value left blank", "the figure is not filled in", "a figure as on the plate, or none with a source", "a figure as on the plate, or a tick that there is none",
	"fill it in, or delete the line", "fill it in, or take it away", "required cell source left blank where value is \x000\x00", "there is none, and nothing says where you looked", "where the rating was looked for", "",
	"required cell hitch left blank where ", "the load-distribution bars are not chosen, and ",
	"required cell on left blank for load \x000\x00", "nothing says whether \x000\x00 rides on the vehicle or the trailer", "vehicle or trailer, for a load named in tickets.csv", "one of the two",
	"fill in on, or a place", "choose it, or a place", "required cell on left blank", "nothing says what it is on",
	"required cell expanded_uncertainty left blank", "the ± on its certificate is not filled in", "the uncertainty of a scale of class none, in kg", "in kg",
	"required cell load left blank", "who or what it is, is not filled in", "the name used in tickets.csv", "a name", "the name used in loads.csv", "a name",
	"required cell mass left blank", "its mass is not filled in", "required cell place left blank", "the name of the place is not filled in", "required cell rating left blank", "the rating is not chosen",
	"required cell scale left blank", "the name of the weighbridge is not filled in", "required cell confirmed left blank", "nothing is confirmed", "required cell ", "nothing is filled in: ", " left blank", "",
	"the job has more than", "there are more than", " per job", " in all", "load index value", "load index",
	// bars
	"travels in outfit.csv says tensioned", "on the road they are tight", " says tensioned", " says tight", " says unknown", " says “I don't know”", ", which says tensioned", ", which says tight",
	"slack or tensioned", "loose or tight", "slack or unknown", "loose, or “I don't know”", "slack, tensioned or unknown", "loose, tight, or “I don't know”",
	"slack where the bars were off or hung loose, tensioned where they were set as on the road", "loose where the bars were off or hung loose, tight where they were set as on the road",
	"contradicts travels plain in outfit.csv", "contradicts "+button("load_distribution_bars_on_the")+": "+pageText["there_are_none"], "slack, or travels tensioned", "loose, or tight on the road too",
	"plain is an outfit without a load-distribution hitch", "choose there how they are", "is on no used line, so how the outfit travels is not known", "is said only where the figure is left out, so how the outfit travels is not known",
	"fill in travels in outfit.csv", "choose it under "+button("load_distribution_bars_on_the"), "where nobody knows, write unknown on every line with the bars set", "where nobody knows, choose “I don't know” on every line with the bars set",
	"needs travels in outfit.csv", "needs "+button("load_distribution_bars_on_the"), "travels slack or tensioned", "loose or tight on the road", "fill in travels: how the bars are set on the road", "choose on the plates how the bars are set on the road",
	"slack, or hitch left blank", "loose, or not chosen", "plain, or travels left blank", "there are none, or not stated", "plain, slack or tensioned", "none, loose or tight",
	"does not go with trailer_kind semi", "does not go with a semi-trailer", "does not go with trailer_kind drawbar", "does not go with a hinged drawbar",
	// who was on board
	"differs from people", "differs from",
	"the same number, or a load in without or with", "the same number, or say who was missing or extra",
	"name under without who was not on board", "list who got out under "+button("who_or_what_was_not")+", and say in this line who was missing", "name under with who was on board in this weighing only", "list who was extra under "+button("who_or_what_was_not")+", and say so in this line",
	"is in without on", "was not on board in", "is in without too", "is also said not to be on board", "a load in one of them", "one of the two",
	"without for a load that travels, with for one that does not", "what travels can only be missing, what does not travel can only be extra",
	", which setup trailer_alone does not have", ", which was not weighed here", ", which setup vehicle_alone does not have", ", which was not weighed here", "a load of the unit weighed", "something that rides on what was weighed",
	"has least or most in loads.csv", "varies during a trip", "a load in with whose mass does not vary during a trip", "something whose mass does not vary",
	"is on board only in set", "is on board only in the plan", "a load that travels as it was weighed", "what travels as it was weighed", "leave set or this cell blank", "leave this or the plan blank", "is on a load of set", "is typed for something of the plan",
	"is on a drawbar trailer whose axles were weighed separately", "rides on a trailer with a hinged drawbar whose axles were weighed separately", "loads of the vehicle only", "what rides on the vehicle only",
	"is not listed in loads.csv", "is not listed among who and what is on board", "loads.csv lists no load; give", "nothing is listed yet; add", "is not listed in places.csv", "is not listed under "+button("places_where_things_ride"),
	"places.csv lists no place; give", "no place is listed yet; add", " a line there", " there", "use a name from that form", "use a name from that list", " in without ", " in the list of who was not on board, ", " in with \x00", " in the list of what was extra, \x00",
	"is not listed in scales.csv", "is not described under "+button("the_weighbridge"), "the nearest load is", "the nearest name is",
	"has no place to go from", "has no place where it is now", "place, where the load is now", "a place", "fill in place", "choose its place",
	"of loads.csv that are in", "that are listed in", "the unit of the place", "the one that the place is on", "leave on blank", "leave it as not stated",
	// figures and units
	"kg, t or lb in the column unit", "kg, t or lb", "fill in unit as on the ticket", "choose the unit as on the slip", "fill in unit as on the plate", "choose the unit as on the plate", "for a mass fill in unit", "for a mass choose its unit",
	"write the unit in its own column", "choose the unit in its own box", "has a unit in the cell", "has a unit in it", "has a comma, which separates cells here", "has a comma, where a point is expected",
	"write the number without a thousands separator and with a decimal point", "type it without a thousands separator, and with a decimal point", "than the lines above", "than the figures above", "one decimal sign in a form", "the same decimal sign everywhere",
	"write every number of this form with a point, or every one with a comma", "type every figure with a point, or every one with a comma",
	"in the spreadsheet format the column as a number without exponent and type it again", "type it without an exponent", "in the spreadsheet format the column as text and type it again", "type it again as it is printed",
	"is a number that a spreadsheet has shortened", "is a shortened number", "leave the cell blank where nothing was weighed", "leave it blank where nothing was weighed",
	"look at unit, or fill in interval", "look at the unit, or type the smallest step of the scale", "look at unit", "look at the unit", "the interval of scale \x001\x00 in scales.csv was read as", "the smallest step of weighbridge \x001\x00 was read as",
	"the interval of scale \x000\x00 in scales.csv was read as", "the smallest step of weighbridge \x000\x00 was read as", "the scale interval in the reading's unit", "the smallest step, in the unit of the figure", "the scale interval in the scale's unit", "the smallest step, in the unit of the weighbridge",
	"a reading above the scale interval", "a figure above the smallest step of the scale", "the interval was assumed as", "the smallest step was assumed to be", "a used reading above 0", "a figure above 0",
	"is larger than the reading", "is larger than the figure", "in the unit of the reading; look at both", "in the unit of the figure; look at both",
	// axles and what was on the deck
	"trailer_axles in outfit.csv", "the number of axles on the plates", "rear_axles in outfit.csv", "the number of rear axles on the plates", "fill in trailer_axles", "choose how many axles the trailer has", "fill in rear_axles", "choose how many rear axles there are",
	"beyond trailer_axles", "beyond the trailer's", "beyond rear_axles", "beyond the number of rear axles,", "cannot be on the deck in setup coupled", "cannot be on the deck where it is hitched together", "cannot be on the deck in setup", "cannot be on the deck with the", "in trailer_alone only", "with the trailer alone",
	"another ticket, setup, hitch, on_deck or weighed_at", "other wheels, other bars, another number or another time", "delete the line, or fill in weighed_at where it was weighed again", "take the line away, or type the time where it was weighed again",
	", setup vehicle_alone, on_deck ", ", vehicle alone, on the weighbridge ", ", setup trailer_alone, on_deck ", ", trailer alone, on the weighbridge ", ", setup coupled, on_deck ", ", hitched together, on the weighbridge ", ", hitch slack, on_deck", ", bars loose, on the weighbridge",
	", hitch tensioned, on_deck", ", bars tight, on the weighbridge", "on a line with on_deck empty", "typed where nothing was on the deck", " where nothing was on the deck", " where nothing was on the deck", "setup vehicle_alone", "the vehicle alone", "setup trailer_alone", "the trailer alone", "on a line with ", "typed for ", "outfit.csv takes one line per job", "there is one vehicle and one trailer", " in outfit.csv", " on the plates", " in ratings.csv", " on the plates",
	"a hitch on coupled lines only", "bars only where it is hitched together", "a figure in the column reading", "a figure", "the figure in the column reading", "one figure for all",
	"leave on_deck blank where columns name the positions", "leave it blank where each wheel has a figure", "where a ticket says", "where the slip says", ", write", ", choose",
	// ratings
	"is unbraked, and another line is braked", "is given without brakes and with brakes", "trailer_brakes in outfit.csv, which says which governs", "the brakes of the trailer say which governs", "fill in trailer_brakes: none, overrun or driver", "choose them under "+button("its_brakes"),
	"limits different loads in different regions", "limits different loads in different countries", "fill in region in outfit.csv or write year-month-day", "choose "+button("where_is_it_registered")+", or type year-month-day",
	"fill in region in outfit.csv", "choose "+button("where_is_it_registered")+" on "+button("what_i_have"), ", or a region", ", or the country", "a region", "where it is registered", "write year-month-day", "type year-month-day", "in the order of the region", "in the order of the country",
	"write yes in the column replaced of the one that no longer holds", "take the one away that no longer holds", "is a second empty mass after kerb on ", "is a second empty mass after ", "is a second empty mass after tare on ", "is a second empty mass after ", "is a second empty mass after running_order on ", "is a second empty mass after ", "one empty mass for each unit or axle", "one of each vehicle, trailer or axle",
	"where axles differ write a line for each, like rear.1 and rear.2", "where axles differ, add a figure for each", "write a line for each", "add one for each", "front, rear, trailer, rear.1 and the like", "front, rear, trailer, or one axle of them",
	"on left blank for this rating", "all of it", "when left blank for an empty mass", "always", "a kind of towing or tyre lines only", "a kind is only of towing and tyres", "a number fitted on tyre and wheel lines only", "a number is only of tyres and wheels",
	"leave it blank", "leave it out", "which is braked", "which is with brakes",
	// lengths
	"and no length_unit", "and no unit is chosen", "whole millimetres, or length_unit filled in", "whole millimetres, or a unit", "fill in length_unit: mm, cm, m or in", "choose the unit under "+button("lengths_in"), "a standard uncertainty in length_unit", "a standard uncertainty in the unit of the lengths", "look at length_unit", "look at "+button("lengths_in"), "a distance in length_unit, like", "a distance, like",
	// photos
	"makes the copies of this job", "makes all photos together", "is not in the folder", "is not here", "a file in the folder of the forms", "a photo that the page has", "put the file there or leave the cell blank", "add it again, or take it away",
	"is not a copy of a document", "is not a photo", "a photo or scan of it", "a photo", "is not the name of a file in the folder", "is not the name of a photo", "a file name without folders", "a name without folders", "put the copy into the folder of the forms", "add it again",
	"the code of a question that was asked", "one that was asked",
)
