package record

// placeNoun says where load has to go from: "the rear axle", "the trailer",
// "each rear tyre".
func (r *Record) placeNoun(c Check) string {
	switch c.Rating {
	case "gvm":
		return "the vehicle"
	case "gcm":
		return "the whole outfit"
	case "atm":
		return "the trailer"
	case "gtm":
		return r.axleNoun("trailer")
	case "towing":
		if r.Options.Region == "eu" {
			return r.axleNoun("trailer")
		}
		return "the trailer"
	case "axle":
		return r.axleNoun(c.On)
	case "download_max", "download_min", "d_value":
		return "the coupling"
	case "tyre", "wheel":
		return "each " + r.tyreNoun(c)
	}
	return "the outfit"
}

// axleNoun names an axle, a group or a side of it inside a sentence: "the rear
// axle", "rear axle 1", "the left of rear axle 1".
func (r *Record) axleNoun(on string) string {
	group, axle, side := supportParts(on)
	noun := "the " + r.SupportWord(group)
	if axle != "" {
		noun = group + " axle " + axle
	}
	if side != "" {
		noun = "the " + side + " of " + noun
	}
	return noun
}

// tyreNoun names a tyre or rim inside a sentence: "rear tyre", "left rear
// tyre", "left tyre of trailer axle 2".
func (r *Record) tyreNoun(c Check) string {
	group, axle, side := supportParts(c.On)
	if side != "" {
		side += " "
	}
	if axle == "" {
		return side + group + " " + r.RatingLabel(c.Rating)
	}
	return side + r.RatingLabel(c.Rating) + " of " + group + " axle " + axle
}

// weighNoun says what has to be weighed to hold a check.
func (r *Record) weighNoun(c Check) string {
	switch c.Rating {
	case "download_max", "download_min":
		return "the " + r.DownloadLabel()
	case "d_value":
		return "the whole outfit"
	case "tyre", "wheel":
		return r.axleNoun(c.On)
	}
	return r.placeNoun(c)
}

// loadNoun says what governs: an axle, a tyre or the download by its name, all
// else by its rating.
func (r *Record) loadNoun(c Check) string {
	switch c.Rating {
	case "axle":
		return r.axleNoun(c.On)
	case "tyre", "wheel":
		return "the " + r.tyreNoun(c)
	case "download_min":
		return "the " + r.DownloadLabel()
	}
	return "the " + r.CheckLabel(c)
}

// heldText is the sentence on the governing rating, its figures, and what
// else is to be known of it.
func heldText(r *Record, o HeadlineOptions) string {
	if r.Verdict == "conflict" {
		return r.conflictText(o)
	}
	c := r.GovCheck()
	if c != nil && c.Verdict == "not_weighed" {
		c = leastWeighed(r.deciding())
	}
	if c == nil {
		return "no load was held against a rating"
	}
	load := r.loadNoun(*c)
	switch c.Verdict {
	case "over":
		return load + overWord(*c) + r.inState(*c) + ": " + r.figures(*c) + r.marks(*c) + r.alsoText(*c)
	case "unsettled":
		return load + " is unsettled" + r.inState(*c) + ": " + r.figures(*c) + ", " + c.OddsText() + r.marks(*c) + r.alsoText(*c)
	}
	if r.Verdict == "incomplete" {
		return "of what could be held, " + load + " governs" + r.inState(*c) + ": " + r.figures(*c) + r.marks(*c)
	}
	return load + " governs" + r.inState(*c) + ": " + r.figures(*c) + r.marks(*c)
}

// overWord says that a limit is not kept; the one lower limit is not "over".
func overWord(c Check) string {
	if c.Rating == "download_min" {
		return " is too small"
	}
	return " is over"
}

// leastWeighed gives the deciding check of least margin that was weighed.
func leastWeighed(checks []Check) *Check {
	c := leastMargin(checks, "")
	if c == nil || c.Verdict == "not_weighed" {
		return nil
	}
	return c
}

// conflictText says how the readings disagree and what is over all the same.
func (r *Record) conflictText(o HeadlineOptions) string {
	text := r.AgreementText()
	var over []string
	for _, c := range o.OverAnyway {
		over = addOnce(over, r.checkInState(c))
	}
	if len(over) > 0 {
		text += "; over under every mistake listed: " + listed(over)
	}
	return text
}

// inState says in which state, after a comma; nothing for a check without one.
func (r *Record) inState(c Check) string {
	if c.State == "" {
		return ""
	}
	return " (" + r.StateWord(c.State) + ")"
}

// figures are what was found, the limit and what is left or too much.
func (r *Record) figures(c Check) string {
	unit, left, margin := " kg", " left", c.MarginText()
	if c.MarginKN != nil {
		unit = ""
	}
	if rest, negative := cutMinus(margin); negative {
		margin, left = rest, " too much"
	}
	against := " against "
	if c.Rating == "download_min" {
		against = " against at least "
		left = map[string]string{" left": " more than needed", " too much": " too little"}[left]
	}
	return c.ValueText() + unit + against + c.LimitText() + ", " + margin + left
}

// cutMinus takes a leading minus off a printed number.
func cutMinus(s string) (string, bool) {
	if len(s) > 0 && s[0] == '-' {
		return s[1:], true
	}
	return s, false
}

// marks says what else has to be known of a check: that it passes only by the
// hitch, or that something was assumed.
func (r *Record) marks(c Check) string {
	text := ""
	if c.OnlyTensioned {
		text += "; it passes only because the hitch is tensioned"
	}
	if c.Assumed != "" {
		text += "; assumed: " + c.Assumed
	}
	return text
}

// alsoText names the other deciding checks with the same verdict, once each.
func (r *Record) alsoText(governing Check) string {
	var others []string
	for _, c := range r.deciding() {
		if c.Verdict == governing.Verdict && r.CheckLabel(c) != r.CheckLabel(governing) {
			others = addOnce(others, r.CheckLabel(c))
		}
	}
	if len(others) == 0 {
		return ""
	}
	return "; also " + governing.Verdict + ": " + listed(others)
}
