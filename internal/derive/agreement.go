package derive

import (
	"math"
	"sort"

	"reconcile/internal/portable"
)

// Agreement says whether the readings agree.
type Agreement string

// The degrees of agreement. Untested: nothing is left over to test with.
const (
	Agree    Agreement = "agree"
	Strained Agreement = "strained"
	Conflict Agreement = "conflict"
	Untested Agreement = "untested"
)

// Fit is the sum of squared weighted residuals and what it says:
//
//	χ² = Σ (residual_i/u_i)²
//
// Where the model and its u hold, χ² has the distribution of that name with DOF =
// observations − rank degrees of freedom, and P is the probability of one as large
// or larger. A small P says that the readings do not fit together.
type Fit struct {
	Observations int
	DOF          int
	ChiSquare    float64
	P            float64 // only where DOF > 0
}

// Fit returns how all the readings agree, ties and stated masses included.
func (s *Solution) Fit() Fit {
	return fitOf(len(s.Observations), s.fit)
}

// FitWithoutTies is the fit with the moment ties left out: mass is conserved, and
// nothing is said of levers. Where it agrees and the other does not, a length is wrong
// or the outfit was not level.
func (s *Solution) FitWithoutTies() Fit {
	if len(s.ties) == 0 {
		return s.Fit()
	}
	untied := s.withoutTies()
	if untied == nil {
		return Fit{}
	}
	return fitOf(len(s.Observations)-len(s.ties), untied)
}

// fitOf reads χ² and its degrees of freedom off a fit; without any of these p says
// nothing and stays 0.
func fitOf(observations int, fit *fitted) Fit {
	f := Fit{Observations: observations, DOF: fit.dof(), ChiSquare: fit.chiSquare()}
	if f.DOF >= smallestDOF {
		f.P = survival(f.ChiSquare, f.DOF)
	}
	return f
}

// Agreement judges the fit: conflict where p < 0.001 or an observation is
// suspect (|w| > 3.2905), strained where p < 0.05. Both tests of a conflict have the
// risk 0.001 of calling readings wrong that are right: |w| > 3.2905 is that of a
// standard normal number, two-sided.
//
// Source: W. Baarda, A testing procedure for use in geodetic networks (1968), for w;
// the levels of p are our own.
func (s *Solution) Agreement() Agreement {
	f := s.Fit()
	switch {
	case f.DOF < smallestDOF:
		return Untested
	case f.P < conflictP || s.anySuspect():
		return Conflict
	case f.P < strainedP:
		return Strained
	}
	return Agree
}

// anySuspect says whether one observation alone is too far off: in many readings a
// single gross error hardly moves χ², whose spread grows with their number.
func (s *Solution) anySuspect() bool {
	for i := range s.Observations {
		if s.Observations[i].Suspect {
			return true
		}
	}
	return false
}

// OnlyTiesDisagree says that the readings in conflict, or strained, agree among
// themselves: the lengths, or the level of the outfit, do not fit them.
func (s *Solution) OnlyTiesDisagree() bool {
	a := s.Agreement()
	if len(s.ties) == 0 || a == Agree || a == Untested {
		return false
	}
	o := s.system.options
	o.WithoutTies = allTies
	untied, err := solve(s.Job, o)
	if err != nil {
		return false
	}
	b := untied.Agreement()
	return b == Agree || b == Untested
}

// Scaling is √(χ²/dof) where the readings are strained, else 1: what the u of
// every check is multiplied by (the Birge ratio). Readings that scatter more than
// their u allows, and not so much that one must be wrong, may all be less certain
// than was thought; the checks then allow for that. A good fit narrows nothing.
func (s *Solution) Scaling() float64 {
	if s.Agreement() != Strained {
		return 1
	}
	return portable.Ratio(math.Sqrt(s.fit.chiSquare() / float64(s.fit.dof())))
}

// Inseparable returns the sets of observations, as indices, that cannot be
// distinguished and that hold a suspect, or in a conflict without a suspect the
// largest |w|; the set with the largest |w| first. The others may be right: one wrong
// reading pulls the fit, and leaves residuals in readings that share its loads.
func (s *Solution) Inseparable() [][]int {
	if s.Agreement() != Conflict {
		return nil
	}
	order := s.byStandardised()
	taken := map[int]bool{}
	var sets [][]int
	for n, i := range order {
		if taken[i] || n > 0 && !s.Observations[i].Suspect {
			continue
		}
		set := s.alike(i)
		for _, j := range set {
			taken[j] = true
		}
		sets = append(sets, set)
	}
	return sets
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

// Checked says whether a mistake in any reading that affects q would show:
// false if a reading with |∂q/∂reading| > 0.01 has a redundancy below 0.01.
// effect is the largest |∂q/∂reading|·4.1321·u/√redundancy of the others, in
// kilograms; have is false where there is none. 4.1321·u/√redundancy is the smallest
// error of a reading that the test of its residual finds in 80 of 100 cases (Baarda
// 1968: δ₀ at α = 0.001), and effect what it would do to q if it were not found.
func (s *Solution) Checked(q Quantity) (checked bool, effect float64, have bool) {
	if !q.determined {
		return false, 0, false
	}
	checked = true
	d := s.fit.sensitivity(q.row)
	for i := range s.Observations {
		o := &s.Observations[i]
		switch {
		case o.Kind != ByReading || math.Abs(d[i]) <= noticeable:
		case !o.Testable:
			checked = false
		default:
			effect, have = math.Max(effect, portable.Kg(float64(math.Abs(d[i])*o.Smallest))), true
		}
	}
	return checked, effect, have
}

// Bearing lists the used readings, as indices into Job.Readings, that affect q: a
// kilogram more on their display changes q by more than 10 g.
func (s *Solution) Bearing(q Quantity) []int {
	if !q.determined {
		return nil
	}
	var on []int
	d := s.fit.sensitivity(q.row)
	for i := range s.Observations {
		if s.Observations[i].Kind == ByReading && math.Abs(d[i]) > noticeable {
			on = append(on, s.Observations[i].Index)
		}
	}
	return on
}
