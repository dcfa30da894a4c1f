package words

import "reconcile/internal/record"

// governs gives the check that the record says governs; nil: none.
func (w *Words) governs() *record.Check {
	g := w.Record.Governs
	if g == nil {
		return nil
	}
	var found *record.Check
	for i := range w.Record.Checks {
		c := &w.Record.Checks[i]
		if !c.Decides || c.Rating != g.Rating || c.On != g.On || c.State != g.State {
			continue
		}
		if found == nil || graver(c.Verdict, found.Verdict) { // a floor next to a download_min
			found = c
		}
	}
	return found
}

// named gives the check that the words name as governing: the one of the record,
// or the rating of least margin where that one is the floor, kept. The floor is no
// rating, so "the download governs, 100 left" would name no limit.
func (w *Words) named() *record.Check {
	c := w.governs()
	if c != nil && c.Floor && c.Verdict == "within" {
		return w.leastWeighed()
	}
	return c
}

func graver(a, b string) bool { return gravity(a) > gravity(b) }

func gravity(verdict string) int {
	switch verdict {
	case "over":
		return 3
	case "unsettled":
		return 2
	case "not_weighed":
		return 1
	}
	return 0
}

// whyByRule is the sentence on the rating that governs, its figures, and what
// else is to be known of it, and that the simple rule was used.
func (w *Words) whyByRule() string {
	text := w.why()
	if w.Record.Options.Rule == "simple" {
		text += " (simple rule: the value alone decides, without its ±)"
	}
	return text
}

func (w *Words) why() string {
	if w.Record.Verdict == "conflict" {
		return w.conflictText()
	}
	c := w.named()
	if c != nil && c.Verdict == "not_weighed" {
		c = w.leastWeighed()
	}
	if c == nil {
		return "no load could be compared with a rating"
	}
	load := w.governNoun(c)
	switch c.Verdict {
	case "over":
		return load + overWord(*c) + w.inState(c.State) + ": " + w.figures(*c) + w.marks(*c) + w.alsoText(*c)
	case "unsettled":
		return load + " is unsettled" + w.inState(c.State) + ": " + w.figures(*c) + ", " + oddsText(*c) + w.marks(*c) + w.alsoText(*c)
	}
	if w.Record.Verdict == "incomplete" {
		return "of what could be compared, " + load + " governs" + w.inState(c.State) + ": " + w.figures(*c) + w.marks(*c)
	}
	text := load + " governs" + w.inState(c.State) + ": " + w.figures(*c) + w.marks(*c) + w.hidden(*c)
	if w.Record.Verdict == "unsettled" { // no row says so: it is the reading left out
		return "if the reading that is left out is right, a load exceeds its rating; without it, " + text
	}
	return text
}

// governNoun is what governs; the floor is the download itself.
func (w *Words) governNoun(c *record.Check) string { return w.loadNoun(c.Rating, c.On) }

// hidden says next to what is left how large a mistake would not show.
func (w *Words) hidden(c record.Check) string {
	if text := w.hiddenMistake(c); text != "" {
		return "; " + text
	}
	return ""
}

// overWord says that a limit is not kept; the one lower limit is not "over".
func overWord(c record.Check) string {
	switch {
	case c.Floor:
		return " is negative: the coupling lifts"
	case c.Rating == "download_min":
		return " is too small"
	}
	return " is over"
}

// leastWeighed gives the deciding check of least margin that was weighed, the
// floor aside; kN after kilograms.
func (w *Words) leastWeighed() *record.Check {
	var best *record.Check
	for c := range w.deciding() {
		if c.Verdict != "not_weighed" && !c.Floor && (best == nil || lessMargin(c, best)) {
			best = c
		}
	}
	return best
}

func lessMargin(a, b *record.Check) bool {
	switch {
	case a.MarginKg != nil && b.MarginKg != nil:
		return *a.MarginKg < *b.MarginKg
	case a.MarginKg != nil || b.MarginKg != nil:
		return a.MarginKg != nil
	case a.MarginKN != nil && b.MarginKN != nil:
		return *a.MarginKN < *b.MarginKN
	}
	return a.MarginKN != nil && b.MarginKN == nil
}

// conflictText says how the readings disagree and what is over all the same.
func (w *Words) conflictText() string {
	text := w.agreementText()
	if w.Record.Agreement != "conflict" && len(w.Record.CannotBe) > 0 {
		text = "the readings cannot all be right" // what cannot be is listed in full next to it
	}
	var over []string
	for _, d := range w.Record.Do {
		if a := argsOf(d.Args); d.Code == "over_anyway" {
			over = addOnce(over, w.keyLabel(a.Rating, a.On)+w.inState(a.State))
		}
	}
	if len(over) > 0 {
		text += "; over under every mistake listed: " + listed(over)
	}
	return text
}

// marks says what else has to be known of a check: that it passes only by the
// hitch, or that something was assumed.
func (w *Words) marks(c record.Check) string {
	text := ""
	if c.OnlyTensioned {
		text += "; it passes only because the hitch is tensioned"
	}
	if assumed := w.assumedText(c); assumed != "" {
		text += "; " + assumed
	}
	return text
}

// alsoText names the other deciding checks with the same verdict, once each.
func (w *Words) alsoText(governing record.Check) string {
	var others []string
	for c := range w.deciding() {
		if c.Verdict == governing.Verdict && w.checkLabel(*c) != w.checkLabel(governing) {
			others = addOnce(others, w.checkLabel(*c))
		}
	}
	if len(others) == 0 {
		return ""
	}
	return "; also " + governing.Verdict + ": " + listed(others)
}

// notWeighed gives the deciding checks without a value, each label and state
// once: "axle rating, rear (coupled)".
func (w *Words) notWeighed() []string {
	var names []string
	for c := range w.deciding() {
		if c.Verdict == "not_weighed" {
			names = addOnce(names, w.checkLabel(*c)+w.inState(c.State))
		}
	}
	return names
}
