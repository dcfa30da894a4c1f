package limits

import "math"

// Verdict is the result of one check.
type Verdict string

// The verdicts of a check. NotWeighed: the value is not determined.
const (
	Within     Verdict = "within"
	Over       Verdict = "over"
	Unsettled  Verdict = "unsettled"
	NotWeighed Verdict = "not_weighed"
)

// Rule decides between the value alone and the value with its uncertainty.
type Rule string

// The rules. Guarded is guarded acceptance and guarded rejection with U = 2u
// (JCGM 106:2012, 8.3.2 and 8.3.3); Simple is simple acceptance (ILAC-G8:09/2019,
// 4.2.1). Any other word counts as Guarded.
const (
	Guarded Rule = "guarded"
	Simple  Rule = "simple"
)

// coverage is k in U = k·u.
const coverage = 2

// judge holds a value with standard uncertainty u against a limit:
//
//	within     value + 2u ≤ limit
//	over       value − 2u > limit
//	unsettled  between
//
// A lower limit is the mirror image: within value − 2u ≥ limit, over
// value + 2u < limit. All three are in one unit. What is not finite, or has no
// uncertainty, is not weighed.
func judge(value, u, limit float64, lower bool, rule Rule) Verdict {
	if !finite(value, u, limit) || u <= 0 {
		return NotWeighed
	}
	if lower { // negation is exact, so the boundaries stay where they are
		value, limit = -value, -limit
	}
	guard := coverage * u
	if rule == Simple {
		guard = 0
	}
	switch {
	case value+guard <= limit:
		return Within
	case value-guard > limit:
		return Over
	}
	return Unsettled
}

// pOver is the probability that a limit is not kept, the value being normal:
//
//	upper limit  Φ((value − limit)/u)
//	lower limit  Φ((limit − value)/u)
//
// Source: JCGM 106:2012, 7.3 (equations 8 and 9), with 1 − p_c for p_c.
func pOver(value, u, limit float64, lower bool) float64 {
	z := (value - limit) / u
	if lower {
		z = -z
	}
	return math.Erfc(-z/math.Sqrt2) / 2
}

// neededStep is what a needed rating is rounded up to, in kilograms.
const neededStep = 10

// needed is what an upper rating would have to be for the value to be within
// it: value + U rounded up to 10 kg.
func needed(value, u float64) float64 {
	const noise = 1e-9 // of a step: arithmetic alone shall not add 10 kg
	return math.Ceil((value+coverage*u)/neededStep-noise) * neededStep
}

func finite(all ...float64) bool {
	for _, f := range all {
		if math.IsNaN(f) || math.IsInf(f, 0) {
			return false
		}
	}
	return true
}
