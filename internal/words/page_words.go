package words

import (
	"strings"

	"reconcile/internal/record"
)

// Remarks on how to read the tables of the pages.

// ChecksRemark says how to read the table of checks.
func (w *Words) ChecksRemark() string {
	if w.r.Verdict == "conflict" {
		return say("Provisional (the readings contradict each other): no row has a verdict.")
	}
	return say("Bold rows decide. Hidden mistake: by how much a mistake in one reading could shift the value without showing; any: nothing cross-checks it.")
}

// ChecksHead heads the table of checks.
func (w *Words) ChecksHead() string {
	if w.r.Verdict == "conflict" {
		return say("Provisional (the readings contradict each other), " + w.UnitWord() + ":")
	}
	return say("loads compared with ratings, in " + w.UnitWord() + ", true within ± U about 95 times in 100:")
}

// OthersHead heads the checks that do not decide.
func OthersHead() string { return say("Also compared, not decisive:") }

// Omitted says how many rows without a value, and not decisive, are not shown;
// blank where that is none.
func Omitted(rows int) string {
	switch rows {
	case 0:
		return ""
	case 1:
		return say("1 further row, not weighed and not decisive, is omitted")
	}
	return say(itoa(rows) + " further rows, not weighed and not decisive, are omitted")
}

// SetRemark says what a table of planned ratings is.
func SetRemark() string {
	return say("A plan, not a finding: the verdict of this summary is that of the ratings in force.")
}

// ReadingsRemark says how to read the table of readings.
func (w *Words) ReadingsRemark() string {
	return say(w.put("Reconciled: what a scale without error would have shown. Correction: reconciled less entered. Residual: what is left unexplained after the scale's own common error. " +
		"Doubt: the residual in its own standard deviations; above 3.29 the reading is suspect; below it, the smallest mistake that would show; untested: nothing cross-checks it. e: [interval]."))
}

// FoundRemark says how to read the table of quantities.
func FoundRemark() string {
	return say("U = 2u, about 95 in 100. Basis: weighed, one reading had exactly these wheels on the deck; from the lengths, not known without the moment ties; by difference, everything else.")
}

// AttachedRemark says what is attached.
func AttachedRemark() string {
	return say("The forms this summary was made from are inside this file, this job's lines only, byte for byte. Line numbers are those of the form.")
}

// InputLines says which lines of a form are attached, by the first and last of
// each run; none is the entire file.
func InputLines(lines [][2]int) string {
	if len(lines) == 0 {
		return say("all of it")
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

// RatingStatusWord says what became of a line of ratings.csv.
func RatingStatusWord(status string) string {
	if words, known := ratingStatusWords[status]; known {
		return say(words)
	}
	return say(codeWord(status))
}

// HowWeighed says whether a figure was weighed at once, or added up by
// somebody, or weighed and left out.
func HowWeighed(g record.Reading) string {
	switch {
	case g.OnDeck == "empty":
		return say("display with nothing on the deck")
	case g.Use == "calculated":
		return say("added up, not weighed")
	case g.Use == "no":
		return say("weighed, not used")
	}
	return say("weighed at once")
}

// SetupText says how the outfit was when it was weighed: "coupled, hitch slack".
func (w *Words) SetupText(g record.Reading) string {
	switch {
	case g.OnDeck == "empty":
		return say("empty deck")
	case g.Setup != "coupled":
		return w.StateWord(g.Setup)
	case g.Hitch == "unknown":
		return say("coupled, hitch not known")
	case g.Hitch == "tensioned":
		return w.StateWord("coupled_tensioned")
	}
	return w.StateWord("coupled_slack")
}

// Entered prints a reading as it was typed, with its unit.
func Entered(g record.Reading) string { return Typed(g.Reading, g.Unit) }

// IntervalText prints the interval of a reading in the reading's own unit, and
// whether it is assumed.
func (w *Words) IntervalText(g record.Reading) string {
	if g.IntervalKg == "" {
		return ""
	}
	text := typedFigure(g.IntervalKg) + " kg"
	if kg, ok := decimalOf(g.IntervalKg); ok && g.Unit == "lb" {
		text = grouped(kg.Div(record.KgPerLb).Round(0).String()) + " lb"
	}
	if g.IntervalAssumed {
		text += ", assumed"
	}
	return say("e " + text)
}

// DoubtText says how a figure fared: its residual in standard deviations,
// whether it is suspect, or that nothing tests it.
func DoubtText(standardised *float64, suspect bool) string {
	switch {
	case standardised == nil:
		return say("untested")
	case suspect:
		return say(fixed(*standardised, 2) + " suspect")
	}
	return fixed(*standardised, 2)
}

// ReplacesText says on page 1 what an amendment replaces and why; blank where
// it replaces nothing.
func (w *Words) ReplacesText() string {
	p := w.r.Replaces
	if p == nil {
		return ""
	}
	what := "the summary"
	if p.Number != "" {
		what = "number " + p.Number
	}
	return say("replaces " + what + " of the record " + shortHash(p.RecordSHA256) + ", because " + p.Because)
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

// SignedText says who signed in the same run; blank where nobody did.
func (w *Words) SignedText() string {
	s := w.r.Options.SignedBy
	if s == nil {
		return ""
	}
	return say("signed by " + s.Name + " (certificate " + shortHash(s.Fingerprint) + "); the time of signing is the signer's word")
}

// MadeLine says where the record is and what made it.
func (w *Words) MadeLine(file string) string {
	return say("The record is attached to this file as " + file + ". Made with reconcile " + w.r.Program + ", model " + itoa(w.r.Model) + ".")
}
