package limits

import (
	"math"

	"reconcile/internal/portable"
)

// Verdict is the result of one check, or of a job.
type Verdict string

// The verdicts of a check. notWeighed: the value is not determined.
const (
	Within     Verdict = "within"
	Over       Verdict = "over"
	Unsettled  Verdict = "unsettled"
	notWeighed Verdict = "not_weighed"
)

// rule decides between the value alone and the value with its uncertainty. From outside it
// comes as a word.
type rule string

// The rules. Guarded is guarded acceptance and guarded rejection with U = 2u
// (JCGM 106:2012, 8.3.2 and 8.3.3); simple is simple acceptance (ILAC-G8:09/2019,
// 4.2.1). Any other word counts as Guarded.
const (
	Guarded      = "guarded"
	simple  rule = "simple"
)

// coverage is k in U = k·u.
const coverage = 2

// guard is what the rule adds to a value before it is compared.
func (r rule) guard(u float64) float64 {
	if r == simple {
		return 0
	}
	return float64(coverage * u)
}

// grid rounds a value of a check's unit: kilograms to 1e-6, kilonewtons to 1e-9.
func grid(v float64, kN bool) float64 {
	if kN {
		return portable.Ratio(v)
	}
	return portable.Kg(v)
}

// judge compares a value with standard uncertainty u with a limit:
//
//	within     value + 2u ≤ limit
//	over       value − 2u > limit
//	unsettled  between
//
// A lower limit is the mirror image: within value − 2u ≥ limit, over
// value + 2u < limit. All three are kilograms, or kilonewtons, already on their
// grid; the sums are put on it again, so that the comparison is exact. What is
// not finite, or has no uncertainty, is not weighed.
func judge(value, u, limit float64, lower bool, by rule, kN bool) Verdict {
	if !finite(value) || !finite(u) || !finite(limit) || u <= 0 {
		return notWeighed
	}
	if lower { // negation is exact, so the boundaries stay where they are
		value, limit = -value, -limit
	}
	guard := by.guard(u)
	switch {
	case grid(value+guard, kN) <= limit:
		return Within
	case grid(value-guard, kN) > limit:
		return Over
	}
	return Unsettled
}

// judgeFloor judges a download with the floor of a coupling that must not lift:
//
//	over       value + 2u < 0
//	unsettled  value < 0 ≤ value + 2u
//	within     else
//
// Source: common practice, no source: a coupling that lifts is not driven.
func judgeFloor(value, u float64, by rule) Verdict {
	switch {
	case !finite(value) || !finite(u) || u <= 0:
		return notWeighed
	case value >= 0:
		return Within
	case grid(value+by.guard(u), false) < 0:
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
	// Φ(−7) is 1.3e-12: what is farther away is 0 or 1 once it is rounded to 1e-9.
	switch {
	case z < -surely:
		return 0
	case z > surely:
		return 1
	}
	return portable.Ratio(portable.Phi(z))
}

// surely is how many standard uncertainties from a limit nothing is left of a doubt.
const surely = 7

// neededStep is what a needed rating is rounded up to, in kilograms.
const neededStep = 10

// needed is what an upper rating would have to be for the value to be within
// it: value + U rounded up to 10 kg.
func needed(value, u float64) float64 {
	return float64(math.Ceil(portable.Kg(value+float64(coverage*u))/neededStep) * neededStep)
}

// excess is what has to change until a check is within: to the limit with U as
// it is; with the simple rule, and of the floor of the download, to the limit
// alone. It is whole kilograms, rounded up, at least 1.
func excess(c *Check, by rule) float64 {
	kg := -c.Found.Margin
	if !c.Floor {
		kg += by.guard(c.Found.U)
	}
	return max(1, math.Ceil(portable.Kg(kg)))
}

// finite reports whether f is a number: of what is none, and of an infinity, the
// difference from itself is none.
func finite(f float64) bool { return f-f == 0 }
