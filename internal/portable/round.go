// Package portable is arithmetic that gives the same bits on every machine:
// only + − × ÷ √ of float64, every product rounded before it is added (the
// language lets a compiler fuse x*y + z unless the product is converted), and
// nothing from package math that has an assembly kernel. It holds the rounding
// at the door of a solution and the elementary functions behind it.
package portable

import "math"

// The grids at which a number leaves the solver: masses and lengths are
// rounded to 1e-6 (kg, mm, kg·m), covariances, ratios, forces, derivatives,
// probabilities and χ² to 1e-9.
const (
	perKg    = 1e6
	perRatio = 1e9
)

// exactly is the size from which a float64 has no fraction left to round.
const exactly = 1 << 53

// Kg rounds a mass in kilograms, a length in millimetres or a moment in kg·m
// to 1e-6, halves away from zero; −0 becomes 0.
func Kg(v float64) float64 { return grid(v, perKg) }

// Ratio rounds a ratio, a force in kN, a covariance in kg², a derivative, a
// probability or a χ² to 1e-9, halves away from zero; −0 becomes 0.
func Ratio(v float64) float64 { return grid(v, perRatio) }

// grid returns the float64 nearest to the multiple of 1/steps that is nearest
// to v. What is too large to have such a fraction is left as it is, and so is
// what is no number.
//
// Below exactly, the whole number toward zero and the fraction left over are
// exact, and so is the double of the fraction, whose own whole number is 1, 0
// or −1: that rounds halves away from zero, without a branch.
func grid(v, steps float64) float64 {
	scaled := float64(v * steps)
	if !(math.Abs(scaled) < exactly) {
		return v
	}
	whole := int64(scaled)
	fraction := scaled - float64(whole)
	return float64(whole+int64(fraction+fraction)) / steps
}
