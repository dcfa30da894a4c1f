package record

import (
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// Remarks on how to read the tables of the pages.
const (
	ChecksRemark   = "Bold rows decide. Hidden mistake: by how much a mistake in one reading could shift the value without showing; any: nothing cross-checks it."
	SetRemark      = "A plan, not a finding: the verdict of this summary stays that of the ratings in force."
	ReadingsRemark = "Reconciled: what a scale without error would have shown. Correction: reconciled less entered. Residual: what is left unexplained after the scale's own common error. " +
		"Doubt: the residual in its own standard deviations; above 3.29 the reading is suspect; below it the smallest mistake that would show; untested: nothing cross-checks it. e: scale interval."
	FoundRemark    = "U = 2u, about 95 in 100. Basis: weighed, one reading had exactly these wheels on the deck; from the lengths, not known without the moment ties; by difference, all else."
	AttachedRemark = "The forms this summary was made from are inside this file, this job's lines only, byte for byte. Lines are those of the form."
)

// Notes is what else is to be known of a check, a phrase each: whether it
// decides, what it was held against, what was assumed, what the rating would
// have to be, and where the rating stands.
func (c Check) Notes() []string {
	var notes []string
	note := func(say bool, text string) {
		if say {
			notes = append(notes, text)
		}
	}
	note(!c.Decides && c.Set == "", "listed, does not decide")
	note(c.OnlyTensioned, "passes only because the hitch is tensioned")
	note(c.HeldAgainst != "", "held against "+c.HeldAgainst)
	note(c.Assumed != "", "assumed: "+c.Assumed)
	if c.NeededKg != nil {
		note(true, "rating needed "+Kg(*c.NeededKg)+" kg")
	}
	note(c.Source != "", "source: "+c.Source)
	return notes
}

// ratingStatusWords say what became of a line of ratings.csv.
var ratingStatusWords = map[string]string{
	"held": "held against", "none": "looked for, not found", "replaced": "superseded, not held", "not_in_force": "not yet in force, not held",
	"other_kind": "other kind of brakes, not held", "displaced": "replaced by a line for this state",
}

// RatingStatusWord says what became of a line of ratings.csv.
func RatingStatusWord(status string) string {
	if words, ok := ratingStatusWords[status]; ok {
		return words
	}
	return status
}

// TieWord says what a moment tie holds together.
func (r *Record) TieWord(tie string) string {
	switch tie {
	case "vehicle":
		return "what leaves the front axle, against the " + r.DownloadLabel()
	case "nose":
		return "the nose load of the trailer alone, against the " + r.DownloadLabel()
	case "hitch":
		return "what the tensioned hitch moves to the front axle and to the trailer"
	}
	return tie
}

// HowWeighed says whether a figure was weighed at once, or added up by
// somebody, or weighed and kept out.
func (v Reading) HowWeighed() string {
	switch v.Use {
	case "calculated":
		return "added, not weighed"
	case "no":
		return "weighed, not used"
	}
	return "weighed at once"
}

// PlaceWord names a doubtful figure: a reading by its ticket, and what is no
// reading (a tie, a declared load, a scale) by its own name.
func (r *Record) PlaceWord(p Place) string {
	if p.Line == 0 {
		return p.Column
	}
	return r.ReadingName(p.Line, p.Column)
}

// ImbalanceLabel says "coupled_slack.trailer 1 left-right" in words: the
// support, the axle where it is one of several, and what is taken off what.
func (r *Record) ImbalanceLabel(support string) string {
	words := strings.Fields(support)
	if len(words) == 0 {
		return ""
	}
	parts := []string{r.QuantityLabel(words[0])}
	for _, w := range words[1:] {
		first, second, two := strings.Cut(w, "-")
		switch {
		case w == "left-right":
			parts = append(parts, "left less right")
		case two:
			parts = append(parts, "axle "+first+" less axle "+second)
		default:
			parts = append(parts, "axle "+w)
		}
	}
	return strings.Join(parts, ", ")
}

// Text says the fit in figures, with and without the moment ties.
func (f Fit) Text() string {
	bare := f.WithoutTies
	return fitText("All equations", f.DOF, f.ChiSquare, f.PValue) + " " +
		fitText("Without the moment ties", bare.DOF, bare.ChiSquare, bare.PValue) + " " +
		strconv.Itoa(f.Observations) + " observations in all."
}

func fitText(what string, dof int, chi float64, p *float64) string {
	if dof == 0 || p == nil {
		return what + ": nothing to spare, so nothing is tested."
	}
	degrees := " degrees of freedom"
	if dof == 1 {
		degrees = " degree of freedom"
	}
	return what + ": χ² " + decimal.NewFromFloat(chi).StringFixed(2) + " with " + strconv.Itoa(dof) + degrees + ", p " + Probability(p) + "."
}

// Probability prints p to three decimals, so that a small one is not read as
// none; a dash where there is none.
func Probability(p *float64) string {
	switch {
	case p == nil:
		return "–"
	case *p < 0.001:
		return "< 0.001"
	case *p > 0.999:
		return "> 0.999"
	}
	return decimal.NewFromFloat(*p).StringFixed(3)
}

// Summary says whether there is a plan, and how good it is known to be.
func (p *Plan) Summary() string {
	if !p.Found {
		return "No plan meets every limit."
	}
	text := "Left behind " + KgText(p.LeftKg) + " kg, moved " + KgText(p.MovedKg) + " kg, loads touched " + strconv.Itoa(p.Touched) + ". "
	if p.Proved {
		return text + "Proved: no plan leaves less behind, nor moves less."
	}
	return text + "Not proved to be the least."
}
