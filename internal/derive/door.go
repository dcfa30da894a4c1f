package derive

import (
	"math"
	"slices"
	"sync"

	"reconcile/internal/derive/lsq"
	"reconcile/internal/portable"
)

// fitted is a solved system behind the door: whatever leaves it is rounded,
// masses to 1e-6 kg, all else to 1e-9, and nothing of a Solution is compared,
// ranked or chosen by a number that did not pass here.
type fitted struct {
	exact      lsq.Solution
	obs        []observation
	redundancy []float64 // not rounded; empty until asked for
}

const (
	// minRedundancy is the redundancy below which an observation counts as not
	// checked by the others: its residual is all but zero whatever is wrong with it.
	minRedundancy = 0.01
	// detectable is δ₀ of Baarda 1968: the error, in units of u/√r, that a test at
	// α = 0.001 (|w| > 3.2905) finds with probability 0.80.
	detectable = 4.1321
)

// fits are those that were released.
var fits = sync.Pool{New: func() any { return new(fitted) }}

// fit solves the system of some observations.
func fit(s lsq.System, obs []observation) (*fitted, error) {
	f := fits.Get().(*fitted)
	if _, err := lsq.Solve(s, &f.exact); err != nil {
		return nil, err
	}
	f.obs = obs
	return f, nil
}

// release gives the memory of a fit to the next one; nil is none.
func (f *fitted) release() {
	if f != nil {
		f.exact.Release()
		f.obs, f.redundancy = nil, f.redundancy[:0]
		fits.Put(f)
	}
}

// estimate is row·x and its standard uncertainty, in kilograms, and whether the
// system determines it: a yes or a no of the solver, with six digits between the two.
func (f *fitted) estimate(row []float64) (value, u float64, determined bool) {
	value, u, determined = f.exact.Estimate(row)
	return portable.Kg(value), uncertainty(u, portable.Kg), determined
}

// unknown is the unknown in a column, a load or mass in kilograms, and whether the
// system determines it.
func (f *fitted) unknown(column int) (value float64, determined bool) {
	return portable.Kg(f.exact.X[column]), len(f.exact.Open) == 0 || f.exact.Open[column] == 0
}

// carries says whether the unknown in a column, a load, is more than nothing.
func (f *fitted) carries(column int) bool { return portable.Kg(f.exact.X[column]) > 0 }

// uncertainty rounds a u. One of less than the last digit becomes that digit: what a
// record states with u = 0 would be known exactly.
func uncertainty(u float64, to func(float64) float64) float64 {
	const ofRatio, ofKg = 1e-9, 1e-6    // see portable
	if rounded := to(u); rounded != 0 { // NaN stays what it is
		return rounded
	}
	if to(ofRatio) > 0 {
		return ofRatio
	}
	return ofKg
}

// covariance is that of two functionals, in kg².
func (f *fitted) covariance(a, b []float64) float64 { return portable.Ratio(f.exact.Covariance(a, b)) }

// sensitivity is ∂(row·x)/∂y, one for each observation, in the room that is given.
func (f *fitted) sensitivity(row, room []float64) []float64 {
	all := f.exact.Sensitivity(row, room)
	for i, d := range all {
		all[i] = portable.Ratio(d)
	}
	return all
}

// inUnit rounds what has the unit of observation i: kilograms, but for the
// relative error of a scale.
func (f *fitted) inUnit(i int, v float64) float64 {
	if f.obs[i].Kind == byScale {
		return portable.Ratio(v)
	}
	return portable.Kg(v)
}

// residual is observed − fitted of an observation.
func (f *fitted) residual(i int) float64 { return f.inUnit(i, f.exact.Residuals[i]) }

// redundancies are the shares of the observations' errors that show in their residuals,
// not rounded yet.
func (f *fitted) redundancies() []float64 {
	if len(f.redundancy) == 0 {
		f.redundancy = slices.Grow(f.redundancy, len(f.obs))
		for i := range f.obs {
			f.redundancy = append(f.redundancy, f.exact.ResidualCovariance(i, i))
		}
	}
	return f.redundancy
}

// standardised is Baarda's w = residual/(u·√redundancy); ok is false below a
// redundancy of 0.01.
func (f *fitted) standardised(i int) (w float64, ok bool) {
	if portable.Ratio(f.redundancies()[i]) < minRedundancy {
		return 0, false
	}
	return portable.Ratio(f.exact.Residuals[i] / float64(f.obs[i].U*math.Sqrt(f.redundancies()[i]))), true
}

// smallestDetectable is the minimal detectable error 4.1321·u/√redundancy of an
// observation, in its unit; ok as for standardised.
func (f *fitted) smallestDetectable(i int) (size float64, ok bool) {
	if portable.Ratio(f.redundancies()[i]) < minRedundancy {
		return 0, false
	}
	return f.inUnit(i, float64(detectable*f.obs[i].U)/math.Sqrt(f.redundancies()[i])), true
}

// residualCorrelation is R_ij/√(R_ii·R_jj) of the weighted residuals, whose
// covariance is R; 0 where one of the two has no variance.
func (f *fitted) residualCorrelation(i, j int) float64 {
	ii, jj := f.exact.ResidualCovariance(i, i), f.exact.ResidualCovariance(j, j)
	if ii <= 0 || jj <= 0 {
		return 0
	}
	return portable.Ratio(max(-1, min(1, f.exact.ResidualCovariance(i, j)/math.Sqrt(float64(ii*jj)))))
}

// chiSquare is the sum of the squared weighted residuals.
func (f *fitted) chiSquare() float64 { return portable.Ratio(f.exact.ChiSquare) }

// dof is the number of observations less the rank.
func (f *fitted) dof() int { return f.exact.DOF }

// survival is the probability of a χ² as large or larger; 1 where no degree of
// freedom is left to disagree.
func survival(chi float64, dof int) float64 {
	p, ok := portable.ChiSquareSurvival(chi, dof)
	if !ok {
		return 1
	}
	return portable.Ratio(p)
}
