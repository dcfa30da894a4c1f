package words

import "reconcile/internal/record"

// questionWords are what each question asks in a few words, for line 1.
var questionWords = map[string]string{
	"axle_light":         "was all of the axle on the deck?",
	"not_uncoupled":      "was the trailer unhitched?",
	"share_high":         "are the figures of the [download] right?",
	"not_a_multiple":     "is the figure right, or the [interval]?",
	"left_out_disagrees": "why is this reading left out?",
	"with_everywhere":    "does this load really not travel?",
	"bars_unknown":       "how were the bars of the hitch set?",
	"bars_not_stated":    "is there a load-distribution hitch?",
	"rating_small":       "is the unit right?",
	"axles_below_gvm":    "are the ratings of both axles right?", "axles_far_above_gvm": "are the ratings of both axles right?",
	"axle_above_gvm": "is the rating of the axle right?",
	"gvm_far_above":  "is it in pounds?", "atm_far_above": "is it in pounds?",
	"gcm_below_gvm": "is the combination rating right?", "gcm_above_sum": "is the combination rating right?",
	"gtm_above_atm":      "are the two trailer ratings exchanged?",
	"download_far_above": "is it the [download], not what may be towed?",
	"axle_each":          "is it the rating of one axle, or of all?",
}

func (w *Words) shortQuestion(code string) string {
	if words, known := questionWords[code]; known {
		return w.put(words)
	}
	return codeWord(code) + "?"
}

// question is what is said of one question.
type question struct {
	Set      string // the planned ratings that it is about; "" for those in force
	Answered bool
	Place    string // where it is asked: "line 4 of tickets.csv"
	Asked    string // one or two sentences, with the figures
	Answer   string // what to write if it is right, or that it was looked into
	Full     string // all three
}

// question says the i-th of the record.
func (w *Words) question(i int) question {
	q := &w.Record.Questions[i]
	a := argsOf(q.Args)
	said := question{a.Set, q.Answered, say(w.formLine(q.File, q.Line)), say(w.asked(q.Code, q.Line, a)), say(questionAnswer(q.Code, q.Answered)), ""}
	said.Full = said.Place + ": " + said.Asked + " " + capital(said.Answer) + "."
	return said
}

// asked says in one or two sentences what is asked at a line, with its figures.
func (w *Words) asked(code string, line int, a *record.Args) string {
	text := w.readingQuestion(code, line, a)
	if text == "" {
		text = w.ratingQuestion(code, a)
	}
	if text == "" {
		text = w.shortQuestion(code)
	}
	if a.Set != "" {
		text = "set " + a.Set + ": " + text
	}
	return text
}

// questionAnswer says what to write if what is asked is right, or that it was
// looked into.
func questionAnswer(code string, answered bool) string {
	switch {
	case answered:
		return "asked and confirmed"
	case code == "bars_not_stated":
		return "fill in travels in outfit.csv: plain where there is none, else slack or tensioned"
	}
	return "if the line is right as it is, write " + code + " in its column confirmed; if not, correct it"
}

func (w *Words) readingQuestion(code string, line int, a *record.Args) string {
	switch code {
	case "axle_light":
		return w.whereNoun(a.On, a.State) + " carries " + w.value(a.Kg, a.UKg) + ", less than 20 % of the vehicle: was all of it on the deck, and is the figure right?"
	case "not_uncoupled":
		return "the " + w.download() + " comes to only " + w.value(a.Kg, a.UKg) + shareOf(a) + ": was the trailer really unhitched when the vehicle or trailer was weighed alone?"
	case "share_high":
		return "the " + w.download() + " comes to " + w.value(a.Kg, a.UKg) + shareOf(a) + ", more than " + limitShare(a) + ": are the figures right, and was everything on the deck that should be?"
	case "not_a_multiple":
		return typed(a.Typed, w.unitAt(line)) + " is not a whole number of the " + w.interval() + " of " + typed(a.Other, w.unitAt(line)) + ": which of the two is right?"
	case "left_out_disagrees":
		return "this reading of " + typed(a.Typed, w.unitAt(line)) + " is left out; by the others it should have shown " + w.value(a.Kg, a.UKg) + ": is it right to leave it out?"
	case "with_everywhere":
		return a.Name + w.reader(" is named under with in every reading, as something that does not travel", " is on board in every line as something that does not travel") + ": does it really not travel?"
	case "bars_unknown":
		return "how the bars of the hitch were set is not known, so they are taken as tensioned, with any tension or none: can you find out?"
	case "bars_not_stated":
		return "a trailer this heavy often has a load-distribution hitch, and none is stated: is there one, and how were its bars set?"
	}
	return ""
}

// unitAt is the unit of the reading on a line.
func (w *Words) unitAt(line int) string {
	if g := w.readingAt(line, ""); g != nil && g.Unit != "" {
		return g.Unit
	}
	return "kg"
}

// shareOf is the ratio of a question: " (0.8 % of the trailer)".
func shareOf(a *record.Args) string {
	switch {
	case a.Value == nil:
		return ""
	case a.U == nil:
		return " (" + percent(*a.Value) + " % of the trailer)"
	}
	return " (" + percentU(*a.Value, *a.U) + " of the trailer)"
}

func limitShare(a *record.Args) string {
	if a.Limit == nil {
		return "usual"
	}
	return wholePercent(*a.Limit) + " %"
}

// ratingQuestion asks of the ratings: what is odd, and what may be the cause.
func (w *Words) ratingQuestion(code string, a *record.Args) string {
	gvm, gcm, atm, gtm := w.ratingLabel("gvm"), w.ratingLabel("gcm"), w.ratingLabel("atm"), w.ratingLabel("gtm")
	kg, limit := w.unitOr(a.Kg), w.unitOr(a.LimitKg)
	switch code {
	case "rating_small":
		return "the " + w.ratingNoun(a.Rating, a.On) + " is only " + kg + ": are the figure and its unit right?"
	case "axles_below_gvm":
		return "the axle ratings, front and rear, add up to " + kg + ", less than the " + gvm + " of " + limit + ": are all three right?"
	case "axles_far_above_gvm":
		return "the axle ratings, front and rear, add up to " + kg + ", more than twice the " + gvm + ": are all three right?"
	case "axle_above_gvm":
		return "the rating of " + w.axleNoun(a.On) + ", " + kg + ", is above the " + gvm + " of " + limit + ": is it the rating of that axle alone?"
	case "gvm_far_above":
		return "the vehicle weighs " + w.value(a.Kg, a.UKg) + ", less than half of its " + gvm + " of " + limit + ": is the rating in pounds?"
	case "gcm_below_gvm":
		return "the " + gcm + " of " + kg + " is below the " + gvm + " of " + limit + ": are both right?"
	case "gcm_above_sum":
		return "the " + gcm + " of " + kg + " is more than the vehicle and the trailer may weigh together: is it right, and in the right unit?"
	case "gtm_above_atm":
		return "the " + gtm + " of " + kg + " is above the " + atm + " of " + limit + ": are the two exchanged?"
	case "atm_far_above":
		return "the trailer weighs " + w.value(a.Kg, a.UKg) + ", less than a quarter of its " + atm + " of " + limit + ": is the rating in pounds, or another trailer's?"
	case "download_far_above":
		return "the limit of the " + w.download() + ", " + kg + ", is more than a quarter of what may be towed: is it the limit of the " + w.download() + "?"
	case "axle_each":
		return "the axle rating of the trailer, " + kg + ", is small for all its axles together: is it each axle's? " + w.reader("Then on is trailer.1, trailer.2 and so on.", "Then take it away here, and add a figure for each axle under "+button("more_figures")+".")
	}
	return ""
}
