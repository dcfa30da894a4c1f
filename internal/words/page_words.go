package words

import (
	"strings"

	"reconcile/internal/record"
)

// inputLines says which lines of a form are attached, by the first and last of
// each run; none is the entire file.
func inputLines(lines [][2]int) string {
	if len(lines) == 0 {
		return "all of it"
	}
	var parts []string
	for _, run := range lines {
		if run[0] == run[1] {
			parts = append(parts, itoa(run[0]))
		} else {
			parts = append(parts, itoa(run[0])+"-"+itoa(run[1]))
		}
	}
	return strings.Join(parts, ", ")
}

// ratingStatusWords say what became of a line of ratings.csv.
var ratingStatusWords = map[string]string{
	"held": "compared", "none": "looked for, not found", "replaced": "superseded, not compared", "not_in_force": "not yet in force, not compared",
	"other_kind": "other kind of brakes, not compared", "displaced": "replaced by a line for this state",
}

// ratingStatusWord says what became of a line of ratings.csv.
func ratingStatusWord(status string) string {
	if words, known := ratingStatusWords[status]; known {
		return words
	}
	return codeWord(status)
}

// howWeighed says whether a figure was weighed at once, or added up by
// somebody, or weighed and left out.
func howWeighed(g *record.Reading) string {
	switch {
	case g.OnDeck == "empty":
		return "display with nothing on the deck"
	case g.Use == "calculated":
		return "added up, not weighed"
	case g.Use == "no":
		return "weighed, not used"
	}
	return "weighed at once"
}

// setupOf says how the outfit was when it was weighed: "coupled, hitch slack".
func (w *Words) setupOf(g *record.Reading) string {
	switch {
	case g.OnDeck == "empty":
		return "empty deck"
	case g.Setup != "coupled":
		return w.stateWord(g.Setup)
	case g.Hitch == "unknown":
		return "coupled, hitch not known"
	case g.Hitch == "tensioned":
		return w.stateWord("coupled_tensioned")
	}
	return w.stateWord("coupled_slack")
}

// intervalOf prints the interval of a reading in the reading's own unit, and
// whether it is assumed.
func intervalOf(g *record.Reading) string {
	if g.IntervalKg == "" {
		return ""
	}
	text := typedFigure(g.IntervalKg) + " kg"
	if kg, ok := decimalOf(g.IntervalKg); ok && g.Unit == "lb" {
		text = grouped(kg.Div(kgPerLb).Round(0).String()) + " lb"
	}
	if g.IntervalAssumed {
		text += ", assumed"
	}
	return "e " + text
}

// doubtText says how a figure fared: its residual in standard deviations,
// whether it is suspect, or that nothing tests it.
func doubtText(standardised *float64, suspect bool) string {
	switch {
	case standardised == nil:
		return "untested"
	case suspect:
		return fixed(*standardised, 2) + " suspect"
	}
	return fixed(*standardised, 2)
}

// replacesText says on page 1 what an amendment replaces and why; blank where
// it replaces nothing.
func (w *Words) replacesText() string {
	p := w.Record.Replaces
	if p == nil {
		return ""
	}
	what := "the summary"
	if p.Number != "" {
		what = "number " + p.Number
	}
	return "replaces " + what + " of the record " + shortHash(p.RecordSHA256) + ", because " + p.Because
}

// shortHash is the beginning of a hash, as the pages print it in upper case.
func shortHash(sha string) string {
	const digits = 16
	sha = strings.ToUpper(sha)
	if len(sha) > digits {
		return sha[:digits] + "…"
	}
	return sha
}

// signedText says by whom it was signed in the same run, behind a label; blank
// where nobody did.
func (w *Words) signedText() string {
	s := w.Record.Options.SignedBy
	if s == nil {
		return ""
	}
	return "by " + s.Name + " (certificate " + shortHash(s.Fingerprint) + "); the time of signing is the signer's word"
}
