package words

import (
	"slices"

	"reconcile/internal/record"
)

// next says what to do next: the advice of the record; and where that names no
// weighing or no rating, what would fill what was not weighed and not given.
// Each sentence is said once.
func (w *Words) next() []next {
	var all []next
	weigh, rating := 0, false
	for i := range w.Record.Advice {
		a := &w.Record.Advice[i]
		all = addNext(all, w.advised(a, a.Kind == "weigh" && weigh > 0))
		rating = rating || a.Kind == "rating"
		if a.Kind == "weigh" {
			weigh++
		}
	}
	for c := range w.deciding() {
		if c.Verdict == "not_weighed" && weigh == 0 {
			all = addNext(all, next{Text: say(w.howToWeigh(*c))})
		}
	}
	if len(w.Record.NotGiven) > 0 && !rating {
		all = append(all, next{Text: say(w.ratingAdvice(&record.Advice{}))})
	}
	if text := w.nextByVerdict(); len(all) == 0 && text != "" {
		all = append(all, next{Text: say(text)})
	}
	return all
}

// advised is advice with the U that a further reading makes smaller.
func (w *Words) advised(a *record.Advice, later bool) next {
	n := next{Text: say(w.advice(a, later))}
	if a.UNowKg != nil {
		n.UNow = w.plusMinus(*a.UNowKg)
	}
	if a.UThenKg != nil {
		n.UThen = w.plusMinus(*a.UThenKg)
	}
	return n
}

// addNext adds what is not said yet.
func addNext(all []next, n next) []next {
	if slices.ContainsFunc(all, func(said next) bool { return said.Text == n.Text }) {
		return all
	}
	return append(all, n)
}

// nextByVerdict says what is next where nothing is missing and no advice is given.
func (w *Words) nextByVerdict() string {
	switch w.Record.Verdict {
	case "conflict":
		return "compare " + w.everyLine() + ", and weigh again what that does not clear up"
	case "over", "unsettled":
		return "take load off or move it, then weigh again"
	case "unconfirmed":
		return w.advice(&record.Advice{Kind: "look"}, false)
	}
	return ""
}

// howToWeigh says which weighing gives what a check lacks.
func (w *Words) howToWeigh(c record.Check) string {
	state := w.stateWord(c.State)
	switch c.Rating {
	case "gvm":
		return "weigh the vehicle's axles alone on the deck, " + state
	case "gtm":
		return "weigh the trailer's axles alone on the deck, " + state
	case "axle", "tyre", "wheel":
		return "weigh " + w.axleNoun(c.On) + " alone on the deck, " + state
	case "gcm", "d_value":
		return "weigh the whole outfit on the deck, coupled"
	case "download_max", "download_min":
		return "for the " + w.download() + ", weigh the whole trailer and then its axles coupled, or use a gauge under the coupling"
	case "towing":
		if c.State != "" {
			return "weigh the trailer's axles alone on the deck, " + state
		}
	}
	return w.weighWords("trailer_alone", "", w.wholeTrailerDeck())
}

func (w *Words) wholeTrailerDeck() string {
	if w.drawbar() {
		return "trailer"
	}
	return "trailer+nose"
}
