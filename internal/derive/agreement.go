package derive

import (
	"math"
	"sort"

	"reconcile/internal/portable"
)

// degree is how well the readings agree.
type degree string

// The degrees of agreement. untested: nothing is left over to test with.
const (
	agree    degree = "agree"
	strained degree = "strained"
	conflict degree = "conflict"
	untested degree = "untested"
)

// agreement is how readings agree, by the sum of squared weighted residuals:
//
//	χ² = Σ (residual_i/u_i)²
//
// Where the model and its u hold, χ² has the distribution of that name with DOF =
// observations − rank degrees of freedom, and P is the probability of one as large
// or larger. A small P says that the readings do not fit together.
type agreement struct {
	// Conflict is true where p < 0.001 or an observation is suspect (|w| > 3.2905), else
	// Strained where p < 0.05; Degree is the word for it. Both tests of a conflict have
	// the risk 0.001 of calling readings wrong that are right: |w| > 3.2905 is that of a
	// standard normal number, two-sided.
	//
	// Source: W. Baarda, A testing procedure for use in geodetic networks (1968), for
	// w; the levels of p are our own.
	Conflict, Strained bool

	Degree       degree
	Observations int
	DOF          int
	ChiSquare    float64
	P            float64 // only where DOF > 0
	// Scaling is √(χ²/dof) where the readings are strained, else 1: what the u of every
	// check is multiplied by (the Birge ratio). Readings that scatter more than their u
	// allows, and not so much that one must be wrong, may all be less certain than was
	// thought; the checks then allow for that. A good fit narrows nothing.
	Scaling float64
}

// agreementWithoutTies is the agreement with the moment ties left out, and whether only
// they disagree.
func (s *Solution) agreementWithoutTies() (a agreement, only bool) {
	with := s.Agreement
	if len(s.ties) == 0 {
		return with, false
	}
	untied := s.withoutTies()
	if untied == nil {
		return agreement{}, false
	}
	n := len(s.Observations) - len(s.ties)
	a = untied.agreement(n, untied.anySuspect(n))
	return a, with.disagrees() && !a.disagrees()
}

// disagrees says whether the readings do not fit together well.
func (a agreement) disagrees() bool { return a.Strained || a.Conflict }

// agreement judges a fit of so many observations, of which one alone may be suspect;
// without a degree of freedom p says nothing and stays 0.
func (f *fitted) agreement(observations int, suspect bool) agreement {
	a := agreement{Degree: untested, Observations: observations, DOF: f.dof(), ChiSquare: f.chiSquare(), Scaling: 1}
	if a.DOF < smallestDOF {
		return a
	}
	a.P = survival(a.ChiSquare, a.DOF)
	switch {
	case a.P < conflictP || suspect:
		a.Conflict, a.Degree = true, conflict
	case a.P < strainedP:
		a.Strained, a.Degree, a.Scaling = true, strained, portable.Ratio(math.Sqrt(a.ChiSquare/float64(a.DOF)))
	default:
		a.Degree = agree
	}
	return a
}

// anySuspect says whether one of so many observations alone is too far off: in many
// readings a single gross error hardly moves χ², whose spread grows with their number.
// Without a degree of freedom nothing is left to be off.
func (f *fitted) anySuspect(observations int) bool {
	if f.dof() < smallestDOF {
		return false
	}
	for i := range observations {
		if w, ok := f.standardised(i); ok && math.Abs(w) > criticalW {
			return true
		}
	}
	return false
}

// byStandardised lists the testable observations, largest |w| first.
func (s *Solution) byStandardised() []int {
	var order []int
	for i := range s.Observations {
		if s.Observations[i].Testable {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool {
		return math.Abs(s.Observations[order[a]].Standardised) > math.Abs(s.Observations[order[b]].Standardised)
	})
	return order
}

// alike lists the observations inseparable from one, itself included, in order: the
// correlation of their residuals is ±1 to six digits, so that an error in the one
// leaves the same pattern of residuals as an error in the other.
func (s *Solution) alike(i int) []int {
	var set []int
	for j := range s.Observations {
		if j == i || s.Observations[j].Testable && math.Abs(s.fit.residualCorrelation(i, j)) > inseparable {
			set = append(set, j)
		}
	}
	return set
}
