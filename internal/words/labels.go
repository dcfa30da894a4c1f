package words

import (
	"cmp"
	"strings"

	"reconcile/internal/record"
	"reconcile/internal/regions"
)

// ratingLabel gives what the owner's region calls a rating word, the download
// or the interval. Behind a semi-trailer's coupling there is no towball.
func (w *Words) ratingLabel(word string) string {
	row := regions.Of(w.region())
	if label, plain := pageLabels[word]; plain && w.places != nil && w.region() == "" {
		return label
	}
	label := cmp.Or(row.Labels[word], word)
	if !w.semi() {
		return label
	}
	load := row.Labels["download_semi"]
	switch word {
	case "download", "download_max":
		return load
	case "download_min":
		return "least " + load
	}
	return label
}

// pageLabels are what the page calls ratings where no region is known: words of
// the forms that no plate and no handbook has.
var pageLabels = map[string]string{
	"download_max": "most download", "download_min": "least download", "d_value": "D-value", "kerb": "kerb mass", "tare": "empty mass (tare)", "running_order": "mass in running order",
	"axle": "axle rating", "towing": "towing rating",
}

func (w *Words) download() string { return w.ratingLabel("download") }

func (w *Words) interval() string { return w.ratingLabel("interval") }

// RatingLabel names a rating in the owner's words, with what it is on, "" for
// all of it: "GVM", "axle rating, rear", "trailer tyre".
func (w *Words) RatingLabel(rating, on string) string { return say(w.keyLabel(rating, on)) }

func (w *Words) keyLabel(rating, on string) string {
	label := w.ratingLabel(rating)
	switch {
	case on == "":
		return label
	case on == regions.TrailerOrGTM:
		return label + ", trailer, or " + w.ratingLabel("gtm")
	case (rating == "tyre" || rating == "wheel") && !strings.Contains(on, "."):
		return on + " " + label
	case isDownload(rating): // the region's word says what it is; on is only where its plate is
		return label
	}
	return label + ", " + onWord(on)
}

func isDownload(rating string) bool { return rating == "download_max" || rating == "download_min" }

// checkLabel names the rating of a check with what it is on. The floor, which
// no form states, says what it asks for.
func (w *Words) checkLabel(c record.Check) string {
	if c.Floor {
		return w.download() + ", not below 0"
	}
	return w.keyLabel(c.Rating, c.On)
}

// inState is a state in brackets, after a space; nothing where there is none.
func (w *Words) inState(state string) string {
	if state == "" {
		return ""
	}
	return " (" + w.stateWord(state) + ")"
}

// nounInState is a noun with its state in brackets, in those of the noun where
// it ends with some: "the vehicle (GVM, coupled)".
func (w *Words) nounInState(noun, state string) string {
	if before, ok := strings.CutSuffix(noun, ")"); ok && state != "" {
		return before + ", " + w.stateWord(state) + ")"
	}
	return noun + w.inState(state)
}

// loadInState names the load that a rating limits, with its state.
func (w *Words) loadInState(rating, on, state string) string {
	return w.nounInState(w.loadNoun(rating, on), state)
}

// OnWord says what a rating is on: "rear", "rear axle 1", "trailer axle 2,
// left"; blank for a rating of all of it.
func OnWord(on string) string { return say(onWord(on)) }

func onWord(on string) string {
	group, axle, side := supportParts(on)
	if axle != "" {
		group += " axle " + axle
	}
	if side != "" {
		group += ", " + side
	}
	return group
}

// supportParts splits a term like trailer.2.left; parts not named are "".
func supportParts(term string) (group, axle, side string) {
	group, rest, _ := strings.Cut(term, ".")
	for p := range strings.SplitSeq(rest, ".") {
		if p == "left" || p == "right" {
			side = p
		} else {
			axle = p
		}
	}
	return group, axle, side
}

// stateWord says a state in words. An outfit that travels plain has no hitch
// that could be slack, so its coupled state is "coupled" alone.
func (w *Words) stateWord(state string) string {
	switch state {
	case "vehicle_alone":
		return "vehicle alone"
	case "trailer_alone":
		return "trailer alone"
	case "coupled_slack":
		if w.plain() {
			return "coupled"
		}
		return "coupled, hitch slack"
	case "coupled":
		return "coupled"
	case "coupled_tensioned":
		return "coupled, hitch tensioned"
	}
	return codeWord(state)
}

// notGiven names the usual ratings without a line: "axle rating, front".
func (w *Words) notGiven() []string { return w.ratingNames(w.Record.NotGiven) }

func (w *Words) ratingNames(keys []record.RatingKey) []string {
	var names []string
	for _, k := range keys {
		names = addOnce(names, w.keyLabel(k.Rating, k.On))
	}
	return names
}

// ratingNouns names ratings inside a sentence.
func (w *Words) ratingNouns(keys []record.RatingKey) []string {
	var names []string
	for _, k := range keys {
		names = addOnce(names, w.ratingNoun(k.Rating, k.On))
	}
	return names
}

// put fills the region's words into a sentence.
func (w *Words) put(s string) string {
	if strings.IndexByte(s, '[') < 0 {
		return s
	}
	for _, p := range [...]struct {
		code string
		word func() string
	}{{"[interval]", w.interval}, {"[download]", w.download}, {"[tyre]", func() string { return w.ratingLabel("tyre") }}} {
		if strings.Contains(s, p.code) {
			s = strings.ReplaceAll(s, p.code, p.word())
		}
	}
	return s
}
