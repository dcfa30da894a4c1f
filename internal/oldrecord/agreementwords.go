package record

import (
	"math"

	"github.com/shopspring/decimal"
)

// AgreementText says in words how the readings agree, and what was done where
// they agree poorly.
func (r *Record) AgreementText() string {
	if r.OnlyTiesDisagree() {
		text := "the readings agree; the lengths, or the level of the outfit, do not fit them"
		if r.Agreement == "strained" {
			text += "; " + r.strainText()
		}
		return text
	}
	switch r.Agreement {
	case "agree":
		return "the readings agree"
	case "strained":
		return "the readings agree poorly; " + r.strainText()
	case "untested":
		return "the readings are untested: nothing cross-checks them, a mistake in one would not show"
	case "conflict":
		if len(r.Ties) > 0 && r.Fit.WithoutTies.DOF == 0 {
			return "the readings and the lengths disagree: nothing else cross-checks the readings"
		}
		return "the readings disagree: no loads fit them all"
	}
	return r.Agreement
}

// OnlyTiesDisagree says whether the readings agree among themselves (p ≥ 0.05
// without the moment ties) and only the lengths do not fit them. Readings that
// nothing but the lengths cross-checks cannot be cleared so.
func (r *Record) OnlyTiesDisagree() bool {
	p := r.Fit.WithoutTies.PValue
	return (r.Agreement == "conflict" || r.Agreement == "strained") &&
		len(r.Ties) > 0 && p != nil && *p >= 0.05
}

// strainText says by what the uncertainties of the checks were multiplied:
// √(χ²/dof).
func (r *Record) strainText() string {
	if r.Fit.DOF < 1 || r.Fit.ChiSquare <= 0 {
		return "the uncertainty of every check is made larger"
	}
	by := math.Sqrt(r.Fit.ChiSquare / float64(r.Fit.DOF))
	return "the uncertainty of every check is multiplied by " + decimal.NewFromFloat(by).StringFixed(1)
}

// odds says a probability as people say it: "about 3 in 10".
func odds(p float64) string {
	switch {
	case p < 0.01:
		return "less than 1 in 100"
	case p < 0.035:
		return "about 1 in 40"
	case p < 0.075:
		return "about 1 in 20"
	case p <= 0.925:
		return "about " + Kg(10*min(max(p, 0.1), 0.9)) + " in 10"
	case p <= 0.965:
		return "about 19 in 20"
	case p <= 0.99:
		return "about 39 in 40"
	}
	return "more than 99 in 100"
}

// OddsText says the probability p that a load is over its limit (JCGM 106):
// "about 3 in 10 that it is over".
func OddsText(p float64) string { return odds(p) + " that it is over" }

// OddsText says the probability that the check's limit is not kept; for the
// one lower limit, that there is too little.
func (c Check) OddsText() string {
	switch {
	case c.POver == nil:
		return ""
	case c.Rating == "download_min":
		return odds(*c.POver) + " that it is too little"
	}
	return OddsText(*c.POver)
}
