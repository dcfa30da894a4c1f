package words

import (
	"math"
	"strings"

	"reconcile/internal/record"
)

// agreementText says in words how the readings agree, and what was done where
// they agree poorly.
func (w *Words) agreementText() string {
	if w.onlyTiesDisagree() {
		text := "the readings agree; the lengths, or the level of the outfit, do not fit them"
		if w.Record.Agreement == "strained" {
			text += "; " + w.strainText()
		}
		return text
	}
	switch w.Record.Agreement {
	case "agree":
		return "the readings agree" + w.zeroUnseen()
	case "strained":
		return "the readings agree poorly; " + w.strainText() + w.zeroUnseen()
	case "untested":
		return "the readings are untested: nothing cross-checks them, so a mistake in one would not show"
	case "conflict":
		if len(w.Record.Ties) > 0 && w.Record.Fit.WithoutTies.DOF == 0 {
			return "the readings and the lengths disagree: nothing else cross-checks the readings"
		}
		return "the readings contradict each other; no set of loads fits them all"
	}
	return codeWord(w.Record.Agreement)
}

// onlyTiesDisagree says whether the readings agree among themselves (p ≥ 0.05
// without the moment ties) and only the lengths do not fit them. Readings that
// nothing but the lengths cross-checks cannot be cleared so.
func (w *Words) onlyTiesDisagree() bool {
	p := w.Record.Fit.WithoutTies.PValue
	return (w.Record.Agreement == "conflict" || w.Record.Agreement == "strained") &&
		len(w.Record.Ties) > 0 && p != nil && *p >= 0.05
}

// zeroUnseen says next to "the readings agree" that a zero which did not return
// would not show, for the scales it holds for.
func (w *Words) zeroUnseen() string {
	for _, c := range w.Record.Cautions {
		if c.Code == "zero_unseen" {
			return "; a zero of the scale that did not return would not show"
		}
	}
	return ""
}

// strainText says by what the uncertainties of the checks were multiplied:
// √(χ²/dof).
func (w *Words) strainText() string {
	f := w.Record.Fit
	if f.DOF < 1 || f.ChiSquare <= 0 {
		return "the uncertainty of every check is enlarged"
	}
	return "the uncertainty of every check is multiplied by " + fixed(math.Sqrt(f.ChiSquare/float64(f.DOF)), 1)
}

// oddsText says the probability that a check's limit is not kept (JCGM 106):
// "about 3 chances in 10 that it is over"; blank where there is none.
func oddsText(c record.Check) string {
	switch {
	case c.POver == nil:
		return ""
	case c.Rating == "download_min":
		return odds(*c.POver) + " that it is too little"
	}
	return odds(*c.POver) + " that it is over"
}

// odds says a probability as people say it: "about 3 chances in 10".
func odds(p float64) string {
	switch {
	case p < 0.01:
		return "less than 1 chance in 100"
	case p < 0.035:
		return "about 1 chance in 40"
	case p < 0.075:
		return "about 1 chance in 20"
	case p <= 0.925:
		tenths := fixed(float64(10*min(max(p, 0.1), 0.9)), 0)
		if tenths == "1" {
			return "about 1 chance in 10"
		}
		return "about " + tenths + " chances in 10"
	case p <= 0.965:
		return "about 19 chances in 20"
	case p <= 0.99:
		return "about 39 chances in 40"
	}
	return "more than 99 chances in 100"
}

// fitTexts say the fit in figures, with and without the moment ties.
func (w *Words) fitTexts() string {
	f := w.Record.Fit
	return fitText("All equations", f.DOF, f.ChiSquare, f.PValue) + " " +
		fitText("Without the moment ties", f.WithoutTies.DOF, f.WithoutTies.ChiSquare, f.WithoutTies.PValue) + " " +
		itoa(f.Observations) + " observations in all."
}

func fitText(what string, dof int, chi float64, p *float64) string {
	if dof == 0 || p == nil {
		return what + ": no redundancy, so nothing is tested."
	}
	degrees := " degrees of freedom"
	if dof == 1 {
		degrees = " degree of freedom"
	}
	return what + ": χ² " + fixed(chi, 2) + " with " + itoa(dof) + degrees + ", p " + probability(p) + "."
}

// probability prints p to three decimals, so that a small one is not read as
// none; a dash where there is none.
func probability(p *float64) string {
	switch {
	case p == nil:
		return "–"
	case *p < 0.001:
		return "< 0.001"
	case *p > 0.999:
		return "> 0.999"
	}
	return fixed(*p, 3)
}

// tieWord says what a moment tie compares.
func (w *Words) tieWord(tie string) string {
	switch tie {
	case "vehicle":
		return "what leaves the front axle, compared with the " + w.download()
	case "nose":
		return "the nose load of the trailer alone, compared with the " + w.download()
	case "hitch":
		return "what the tensioned hitch moves to the front axle, compared with what it moves to the trailer"
	}
	return codeWord(tie)
}

// placeWord names a doubtful figure: a reading by its ticket, and what is no
// reading (a tie, a stated load, a scale) by its own name.
func (w *Words) placeWord(p record.Place) string {
	if p.Line > 0 {
		return w.readingName(p.Line, p.Column)
	}
	kind, name, _ := strings.Cut(p.Column, ".")
	switch kind {
	case "tie":
		return "the lengths (" + codeWord(name) + ")"
	case "load":
		return "the stated mass of " + name
	case "share":
		return "where " + name + " rides"
	case "scale":
		return strings.TrimSpace("the scale " + name)
	case "drawbar":
		return "the weight of the drawbar on the vehicle"
	}
	return p.Column
}

// doubtfulText names a set of figures that cannot be separated; those after the
// first may only be smeared by it. first says that the set is named first.
func (w *Words) doubtfulText(set []record.Place, first bool) string {
	var names []string
	for _, p := range set {
		names = append(names, w.placeWord(p))
	}
	text := either(names)
	if len(names) > 1 {
		text += " (the readings cannot tell which)"
	}
	if !first {
		text += ", may be smeared"
	}
	return text
}

// oddRouteText names the route to the download that differs from the others
// by more than the record's own ±, on page 1 of a conflict; blank where none
// can be singled out.
func (w *Words) oddRouteText() string {
	if w.Record.Verdict != "conflict" {
		return ""
	}
	at := w.oddRoute()
	if at < 0 {
		return ""
	}
	var others []string
	for i, p := range w.Record.Routes {
		if i != at {
			others = append(others, w.massU(p.ValueKg, p.UKg)+" by "+routeNoun(p.Route))
		}
	}
	odd := w.Record.Routes[at]
	return "the " + w.download() + " comes to " + w.massU(odd.ValueKg, odd.UKg) + " " + w.Unit + " by " + routeNoun(odd.Route) +
		", and to " + listed(others)
}

// routeNoun is a route inside a sentence.
func routeNoun(route string) string {
	if route == "front_lift" {
		return routeWord(route)
	}
	return "the " + routeWord(route)
}

// oddRoute is the route that differs from all others by more than 2u while
// they do not differ among themselves; -1 where there is none. Of two that
// differ, the one of larger u is named.
func (w *Words) oddRoute() int {
	routes := w.Record.Routes
	odd := -1
	for i := range routes {
		if w.isOdd(i) && (odd < 0 || routes[i].UKg > routes[odd].UKg) {
			odd = i
		}
	}
	return odd
}

func (w *Words) isOdd(at int) bool {
	routes := w.Record.Routes
	for i := range routes {
		for j := i + 1; j < len(routes); j++ {
			a, b := routes[i], routes[j]
			differ := math.Abs(a.ValueKg-b.ValueKg) > float64(2*math.Sqrt(float64(a.UKg*a.UKg)+float64(b.UKg*b.UKg)))
			if differ != (i == at || j == at) {
				return false
			}
		}
	}
	return len(routes) > 1
}
