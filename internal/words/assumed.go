package words

import "reconcile/internal/record"

// assumedWords say what each assumption is; [interval] and [tyre] are the region's words.
var assumedWords = map[string]string{
	"equal_share": "equal shares of the [tyre]s or wheels",
	"fitted":      "one [tyre] per axle end, as no number is given",
	"scale_class": "the class of the scale",
	"deck":        "the kind of deck",
	"interval":    "the [interval]",
	"split":       "the uncertainty of weighing in parts",
	"travels":     "how the outfit travels",
}

// assumed says what one of the assumed codes means.
func (w *Words) assumed(code string) string {
	if word, known := assumedWords[code]; known {
		return w.put(word)
	}
	return codeWord(code)
}

// assumedNote is the mark of an assumption that a row rests on.
func (w *Words) assumedNote(code string, c record.Check) string {
	if code == "equal_share" && len(c.HeldOn) > 0 {
		return "assumed: equal share of " + w.heldOn(c) + " on each " + w.ratingLabel(c.Rating)
	}
	return "assumed: " + w.assumed(code)
}

// assumedText names what a check's value rests on beyond the readings; blank
// where that is nothing.
func (w *Words) assumedText(c record.Check) string {
	if len(c.Assumed) == 0 {
		return ""
	}
	var all []string
	for _, code := range c.Assumed {
		all = append(all, w.assumed(code))
	}
	return say("assumed: " + listed(all))
}
