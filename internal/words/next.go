package words

import "reconcile/internal/record"

// Next says what to do next, one sentence a line: the advice of the record;
// and where that names no weighing or no rating, what would fill what was not
// weighed and not given.
func (w *Words) Next() []string {
	var next []string
	weigh, rating := 0, false
	for i := range w.r.Advice {
		a := &w.r.Advice[i]
		next = addOnce(next, w.advice(a, a.Kind == "weigh" && weigh > 0))
		rating = rating || a.Kind == "rating"
		if a.Kind == "weigh" {
			weigh++
		}
	}
	for _, c := range w.deciding() {
		if c.Verdict == "not_weighed" && weigh == 0 {
			next = addOnce(next, w.howToWeigh(c))
		}
	}
	if len(w.r.NotGiven) > 0 && !rating {
		next = append(next, w.ratingAdvice(&record.Advice{}))
	}
	if len(next) == 0 {
		next = w.nextByVerdict()
	}
	return sayAll(next)
}

// nextByVerdict says what is next where nothing is missing and no advice is given.
func (w *Words) nextByVerdict() []string {
	switch w.r.Verdict {
	case "conflict":
		return []string{"compare every line of tickets.csv with its ticket, and weigh again what that does not clear up"}
	case "over", "unsettled":
		return []string{"take load off or move it, then weigh again"}
	case "unconfirmed":
		return []string{w.advice(&record.Advice{Kind: "look"}, false)}
	}
	return nil
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
