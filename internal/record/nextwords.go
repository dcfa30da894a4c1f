package record

import "strings"

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

// GuideText says a guide in words, with its value where it has one, and whether
// it is kept: guides are common practice and never decide.
func (r *Record) GuideText(g Guide) string {
	text := r.guideName(g.Guide)
	share := strings.Contains(g.Guide, "share")
	if g.Value != nil {
		text += " " + guideNumber(*g.Value, share)
	}
	switch {
	case g.Low != nil && g.High != nil:
		text += ", usually " + guideNumber(*g.Low, share) + " to " + guideNumber(*g.High, share)
	case g.Low != nil:
		text += ", usually at least " + guideNumber(*g.Low, share)
	case g.High != nil:
		text += ", usually at most " + guideNumber(*g.High, share)
	}
	switch {
	case g.Kept == nil:
		text += ": not known"
	case *g.Kept:
		text += ": kept"
	default:
		text += ": not kept"
	}
	if g.Source != "" {
		text += " (" + g.Source + ")"
	}
	return text
}

// guideName is a guide's name in words.
func (r *Record) guideName(guide string) string {
	name := strings.ReplaceAll(guide, "_", " ")
	if rest, found := strings.CutPrefix(name, "download"); found {
		return r.DownloadLabel() + rest
	}
	return name
}

// guideNumber prints a guide's value: a share in per cent, all else in kilograms.
func guideNumber(v float64, share bool) string {
	if share {
		return tenths(100*v) + " %"
	}
	return Kg(v) + " kg"
}
