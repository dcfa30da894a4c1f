package portable

import "math"

// mostDOF bounds the terms that ChiSquareSurvival adds up; beyond mostChi2 the
// probability is below every float64 for each of these.
const (
	mostDOF  = 100_000
	mostChi2 = 1e7
)

// ChiSquareSurvival is the probability of a χ² of dof degrees of freedom as
// large as chi2 or larger. ok is false, and p 0, below one degree of freedom,
// where nothing can disagree, above 100,000, and for a chi2 that is not a
// number of at least 0.
//
// With h = chi2/2 it is a finite sum of positive terms (Abramowitz and Stegun
// 1964, 26.4.4 and 26.4.5, from memory):
//
//	dof even   e^(−h)·Σ h^j/j!,                     j = 0 … dof/2 − 1
//	dof odd    erfc(√h) + e^(−h)·Σ h^(j−½)/Γ(j+½),  j = 1 … (dof − 1)/2
func ChiSquareSurvival(chi2 float64, dof int) (p float64, ok bool) {
	if dof < 1 || dof > mostDOF || !(chi2 >= 0) {
		return 0, false
	}
	if chi2 > mostChi2 {
		return 0, true
	}
	h := chi2 / 2
	if dof%2 == 0 {
		return min(1, withExp(h, 1, 0, dof/2-1)), true
	}
	tail := erfc(math.Sqrt(h))
	if dof == 1 {
		return tail, true
	}
	const twoBySqrtPi = 2 / (math.SqrtPi)
	return min(1, tail+withExp(h, float64(twoBySqrtPi*math.Sqrt(h)), 0.5, (dof-3)/2)), true
}

// withExp is e^(−h) times the sum of the first term and as many more as wanted,
// term j being the one before it times h/(j + past). The terms may outgrow a
// float64 where e^(−h) underflows: both are kept with an exponent of their own.
func withExp(h, first, past float64, more int) float64 {
	const large, shift = 0x1p300, 300
	term, sum, exponent := first, first, 0
	for j := 1; j <= more; j++ {
		term = float64(term*h) / (float64(j) + past)
		sum += term
		if sum > large {
			term, sum, exponent = math.Ldexp(term, -shift), math.Ldexp(sum, -shift), exponent+shift
		}
	}
	m, k := expParts(-h)
	return math.Ldexp(float64(m*sum), k+exponent)
}
