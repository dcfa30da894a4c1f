package record

// Next says what to do next, one sentence a line: the advice of the record;
// and where that names no weighing or no rating, what would fill what was not
// weighed and not given.
func (r *Record) Next() []string {
	var next []string
	weigh, rating := false, false
	for _, a := range r.Advice {
		weigh, rating = weigh || a.Kind == "weigh", rating || a.Kind == "rating"
		next = addOnce(next, a.Text)
	}
	for _, c := range r.deciding() {
		if c.Verdict == "not_weighed" && !weigh {
			next = addOnce(next, r.howToWeigh(c))
		}
	}
	if len(r.NotGiven) > 0 && !rating {
		next = append(next, "find the "+listed(r.toFind())+" on the plate or in the handbook; a line with value none says that there is none")
	}
	if len(next) == 0 {
		next = r.nextByVerdict()
	}
	return next
}

// nextByVerdict says what is next where nothing is missing and no advice is given.
func (r *Record) nextByVerdict() []string {
	switch {
	case r.Verdict == "conflict":
		return []string{"compare every line of tickets.csv with its ticket, and weigh again what that does not clear up"}
	case r.Verdict == "over" || r.Verdict == "unsettled":
		return []string{"take load off or move it, then weigh again"}
	case r.Verdict == "within" && !r.CrossChecked():
		return []string{"one further weighing of the same loads in another way would cross-check these"}
	}
	return nil
}

// howToWeigh says which weighing gives what a check lacks.
func (r *Record) howToWeigh(c Check) string {
	state := r.StateWord(c.State)
	switch c.Rating {
	case "gvm":
		return "weigh the vehicle's axles alone on the deck, " + state
	case "gtm":
		return "weigh the trailer's axles alone on the deck, " + state
	case "axle", "tyre", "wheel":
		return "weigh " + r.axleNoun(c.On) + " alone on the deck, " + state
	case "gcm", "d_value":
		return "weigh the whole outfit on the deck, coupled"
	case "download_max", "download_min":
		return "for the " + r.DownloadLabel() + ", weigh the whole trailer and then its axles coupled, or use a gauge under the coupling"
	case "towing":
		if c.State != "" {
			return "weigh the trailer's axles alone on the deck, " + state
		}
	}
	return "weigh the whole trailer uncoupled, its jockey wheel on the deck"
}
