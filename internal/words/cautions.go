package words

import (
	"strings"

	"reconcile/internal/record"
)

// cautions says every caution of the record, in its order, each wording once, and
// what was assumed together, where the same cure is for several.
func (w *Words) cautions() []string {
	var all []string
	said := map[string]bool{}
	for _, c := range w.Record.Cautions {
		if c.Code != "assumed" {
			all = addOnce(all, w.caution(c))
			continue
		}
		if cure := w.whereToState(c.Of); !said[cure] {
			said[cure] = true
			all = append(all, w.assumedCaution(w.assumedWith(cure), cure))
		}
	}
	return all
}

// assumedWith names what was assumed that one cure is for.
func (w *Words) assumedWith(cure string) []string {
	var names []string
	for _, c := range w.Record.Cautions {
		if c.Code == "assumed" && w.whereToState(c.Of) == cure {
			names = addOnce(names, w.assumedName(c))
		}
	}
	return names
}

// assumedName is what was assumed, and of which scale.
func (w *Words) assumedName(c record.Note) string {
	if c.Name == "" {
		return w.assumed(c.Of)
	}
	return w.assumed(c.Of) + " (" + c.Name + ")"
}

// assumedCaution says what was assumed, and to state it.
func (w *Words) assumedCaution(names []string, cure string) string {
	it := "it"
	if len(names) > 1 {
		it = "them"
	}
	return "assumed, not stated: " + listed(names) + "; the figures rest on " + it + ", so " + strings.Replace(cure, "[it]", it, 1)
}

// caution says one caution, printed next to the verdict and never part of it.
func (w *Words) caution(c record.Note) string {
	for _, subject := range []func(record.Note) string{w.loadCaution, w.guideCaution, w.ratingCaution, w.tyreCaution} {
		if text := subject(c); text != "" {
			return text
		}
	}
	return codeWord(c.Code)
}

// loadCaution is what the loads themselves and the weighing say.
func (w *Words) loadCaution(c record.Note) string {
	switch c.Code {
	case "download_not_positive":
		return "the " + w.download() + " may be zero, or the coupling may lift: " + w.value(c.Kg, c.UKg)
	case "axles_not_stated":
		return listed(w.axleCounts(c.Names)) + " not stated and assumed to be 1: with more axles the " + w.download() + " is less certain than its ± says"
	case "over_restored":
		return "the hitch puts " + w.value(c.Kg, c.UKg) + " more on the front axle than the trailer lifts off it: slacken it"
	case "assumed":
		return w.assumedCaution([]string{w.assumedName(c)}, w.whereToState(c.Of))
	case "zero_unseen":
		scale := "the scale"
		if c.Name != "" {
			scale = "scale " + c.Name
		}
		return "on " + scale + ", a zero that did not return would not show: weigh the whole outfit at once, or write down what the display shows with nothing on the deck (" + w.reader("on_deck: empty", "a line with "+button("nothing_on_it_what_it")) + ")"
	case "other_id":
		return codeWord(c.Column) + " " + quoted(c.Typed) + " on " + w.formLine("tickets.csv", c.Line) + " is not " + quoted(c.Other) + ": is it the same outfit?"
	case "eu_allowance":
		return w.loadNoun(c.Rating, c.On) + " is over by " + w.unitOr(c.Kg) + " when towing: the handbook of a car or van may state a towing allowance; if it does, " + w.reader("type it as a line with when = coupled", "add it under "+button("more_figures")+" as one that holds "+button("with_the_trailer"))
	}
	return ""
}

// whereToState says where something assumed can be stated; [it] is it or them.
func (w *Words) whereToState(code string) string {
	if w.places == nil {
		return "state [it] in the forms"
	}
	switch code {
	case "scale_class", "deck", "split":
		return "state [it] under " + button("the_weighbridge")
	case "interval":
		return "type [it] under " + button("smallest_step_of_the_scale")
	case "travels":
		return "choose [it] under " + button("load_distribution_bars_on_the")
	case "fitted":
		return "type how many are fitted"
	}
	return "state [it] if you can"
}

// axleCounts says which numbers of axles are not stated.
func (w *Words) axleCounts(columns []string) []string {
	var names []string
	for _, c := range columns {
		names = append(names, w.reader(c, "the number of "+strings.Replace(codeWord(c), "trailer axles", "axles of the trailer", 1)))
	}
	return names
}

// guideCautionWords are the cautions of guides that are not kept.
var guideCautionWords = map[string]string{
	"share_below_guide": "the [download] is a smaller share of the trailer than usual",
	"trailer_heavier":   "the trailer is heavier than the vehicle",
	"trailer_brakes":    "the trailer is heavier, or has more axles, than its brakes are for",
	"towing_default":    "no towing rating is given, and the trailer is above the regional default",
	"unbraked_share":    "the trailer is heavy for one without brakes",
	"minimum_download":  "the [download] is below the minimum required on the road",
	"tyres_together":    "the tyres together carry less than the rating of their axle",
}

// guideCaution is a guide that is not kept, with its figures and its source.
func (w *Words) guideCaution(c record.Note) string {
	words, known := guideCautionWords[c.Code]
	if !known {
		return ""
	}
	text := w.put(words)
	if c.On != "" {
		text += ", " + onWord(c.On)
	}
	if figures := w.guideFigures(c); figures != "" {
		text += ": " + figures
	}
	source := c.Of
	if source == "" && (c.Code == "trailer_heavier" || c.Code == "tyres_together") {
		source = "common_practice"
	}
	if source == "" {
		return text
	}
	return text + " (" + sourceWord(source) + ")"
}

// guideFigures are the value of a guide and the bound that it does not keep.
func (w *Words) guideFigures(c record.Note) string {
	least := strings.HasPrefix(c.Code, "share") || c.Code == "minimum_download" || c.Code == "tyres_together"
	than := ", at most "
	if least {
		than = ", at least "
	}
	switch {
	case c.Value != nil && c.Code == "share_below_guide":
		return ratioText(c, percentU) + boundText(c.Limit, than, func(v float64) string { return wholePercent(v) + " %" })
	case c.Value != nil:
		return ratioText(c, timesU) + boundText(c.Limit, than, func(v float64) string { return fixed(v, 2) })
	case c.Kg != nil:
		return w.value(c.Kg, c.UKg) + boundText(c.LimitKg, than, w.massUnit)
	}
	return ""
}

func ratioText(c record.Note, print func(value, u float64) string) string {
	if c.U == nil {
		return print(*c.Value, 0)
	}
	return print(*c.Value, *c.U)
}

func boundText(bound *float64, than string, print func(float64) string) string {
	if bound == nil {
		return ""
	}
	return than + print(*bound)
}

// ratingCaution is what the ratings or the brakes say.
func (w *Words) ratingCaution(c record.Note) string {
	switch c.Code {
	case "axles_below_certificate":
		return "the axle ratings, front and rear, add up to " + w.unitOr(c.Kg) + ", less than the certified " + w.ratingLabel("gvm") + " of " + w.unitOr(c.LimitKg)
	case "raised_alone":
		return w.raisedAlone(c)
	case "brakes_not_stated":
		text := w.reader("trailer_brakes is", "what brakes the trailer has is") + " not stated, and this trailer needs brakes"
		if c.Of != "" {
			text += " (" + sourceWord(c.Of) + ")"
		}
		return text
	case "no_train_weight":
		return "the plate gives no " + w.ratingLabel("gcm") + ": do not tow with it (" + sourceWord("uk_page_2012") + ")"
	}
	return ""
}

// raisedAlone says that a gross rating goes up while ratings that go with it
// stay: a set's, or that of a certificate in force.
func (w *Words) raisedAlone(c record.Note) string {
	by := "a certificate raises the "
	if c.Set != "" {
		by = "set " + c.Set + " raises the "
	}
	return by + w.ratingNoun(c.Rating, c.On) + " and leaves the " + listed(w.ratingNouns(c.Ratings)) + " unchanged: the higher rating is worth no more than these allow"
}

// tyreCaution is what could make the limit of a tyre too high.
func (w *Words) tyreCaution(c record.Note) string {
	rating := c.Rating
	if rating == "" {
		rating = "tyre"
	}
	name, tyre := w.keyLabel(rating, c.On), w.ratingLabel("tyre")
	fitted := itoa(number(c.Number)) + " fitted"
	switch c.Code {
	case "front_dual":
		return name + ": " + fitted + " is two on each end of the front axle; if those of other axles are counted in, each carries twice the load compared here"
	case "dual_index_missing":
		return name + ": fitted dual, and the load index for dual fitting is not given; it is lower than the single one used here"
	case "tyres_uneven":
		return name + ": " + fitted + " is not the same number on every end of an axle; some carry more than an equal share"
	case "tyre_kind_not_stated":
		return name + ": if it is a passenger " + tyre + ", its rating counts ÷ 1.10 on a trailer"
	case "passenger_tyre":
		return name + ": on a truck, bus or multipurpose vehicle a passenger " + tyre + " counts its rating ÷ 1.10"
	}
	return ""
}

// standingCautions are the sentences on every summary. One that is signed in the
// same run says of itself whose word the time is; any other may be signed later,
// which changes none of its pages.
func (w *Words) standingCautions() []string {
	all := []string{
		"This is not a certificate of a licensed weighbridge and not legal advice; the plate, the maker's handbook and local law prevail.",
		"Do not drive an outfit that exceeds a rating. Have modifications made by licensed people.",
	}
	if w.signedText() == "" {
		all = append(all, "If somebody signs this file, the time of signing is the signer's word.")
	}
	return all
}

// briefCautions are the standing cautions in two lines of a terminal.
func briefCautions() []string {
	return []string{
		"Not a weighbridge certificate, not legal advice: plate, handbook and law prevail.",
		"Do not drive an outfit that exceeds a rating.",
	}
}
