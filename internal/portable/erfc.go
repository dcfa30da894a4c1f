package portable

import "math"

// erfc is the complementary error function 2/√π·∫ e^(−t²) dt from x to ∞, to
// about one unit in the last place, in the right tail too; it underflows to 0
// beyond x = 27.3.
//
// Method and coefficients: s_erf.c of FreeBSD's msun, as quoted in sun.go: a
// rational function for each of four ranges of |x|.
func erfc(x float64) float64 {
	size := math.Abs(x)
	switch {
	case math.IsNaN(x):
		return x
	case size < 0.84375:
		return erfcSmall(x)
	case size >= 28 && x < 0:
		return 2
	case size >= 28:
		return 0
	}
	right := erfcRight(size)
	if x < 0 {
		return 2 - right
	}
	return right
}

// erfcSmall is 1 − erf(x) below 0.84375.
func erfcSmall(x float64) float64 {
	z := float64(x * x)
	r := polynomial(z, 1.28379167095512558561e-01, -3.25042107247001499370e-01, -2.84817495755985104766e-02,
		-5.77027029648944159157e-03, -2.37630166566501626084e-05)
	s := polynomial(z, 1, 3.97917223959155352819e-01, 6.50222499887672944485e-02, 5.08130628187576562776e-03,
		1.32494738004321644526e-04, -3.96022827877536812320e-06)
	y := float64(x * (r / s))
	if x < 0.25 {
		return 1 - (x + y)
	}
	return 0.5 - (y + (x - 0.5))
}

// erfcRight is erfc from 0.84375 to 28.
func erfcRight(x float64) float64 {
	if x < 1.25 {
		const erx = 8.45062911510467529297e-01 // erf(1), rounded to few bits
		s := x - 1
		p := polynomial(s, -2.36211856075265944077e-03, 4.14856118683748331666e-01, -3.72207876035701323847e-01,
			3.18346619901161753674e-01, -1.10894694282396677476e-01, 3.54783043256182359371e-02, -2.16637559486879084300e-03)
		q := polynomial(s, 1, 1.06420880400844228286e-01, 5.40397917702171048937e-01, 7.18286544141962662868e-02,
			1.26171219808761642112e-01, 1.36370839120290507362e-02, 1.19844998467991074170e-02)
		return 1 - erx - p/q
	}
	// The square of z is exact, and so the exponent is split without loss.
	z := math.Float64frombits(math.Float64bits(x) & 0xffffffff00000000)
	near := float64((z-x)*(z+x)) + tailRatio(x)
	return float64(exp(-float64(z*z)-0.5625)*exp(near)) / x
}

// tailRatio is log(x·erfc(x)) + x² + 0.5625 by a rational function of 1/x².
func tailRatio(x float64) float64 {
	s := 1 / float64(x*x)
	if x < 1/0.35 {
		return polynomial(s, -9.86494403484714822705e-03, -6.93858572707181764372e-01, -1.05586262253232909814e+01,
			-6.23753324503260060396e+01, -1.62396669462573470355e+02, -1.84605092906711035994e+02, -8.12874355063065934246e+01,
			-9.81432934416914548592e+00) /
			polynomial(s, 1, 1.96512716674392571292e+01, 1.37657754143519042600e+02, 4.34565877475229228821e+02,
				6.45387271733267880336e+02, 4.29008140027567833386e+02, 1.08635005541779435134e+02, 6.57024977031928170135e+00,
				-6.04244152148580987438e-02)
	}
	return polynomial(s, -9.86494292470009928597e-03, -7.99283237680523006574e-01, -1.77579549177547519889e+01,
		-1.60636384855821916062e+02, -6.37566443368389627722e+02, -1.02509513161107724954e+03, -4.83519191608651397019e+02) /
		polynomial(s, 1, 3.03380607434824582924e+01, 3.25792512996573918826e+02, 1.53672958608443695994e+03,
			3.19985821950859553908e+03, 2.55305040643316442583e+03, 4.74528541206955367215e+02, -2.24409524465858183362e+01)
}

// 1/√2 as a float64 in two halves, whose products with the halves of another
// are exact, and what the float64 lacks.
const (
	rootHalfHi   = 0x1.6a09e60000000p-1
	rootHalfLo   = 0x1.9fcef34000000p-27
	rootHalfRest = -0x1.bdd3413b26456p-55
)

// Phi is the distribution function of the standard normal distribution,
//
//	Φ(x) = erfc(−x/√2)/2
//
// relative to itself as exact in the left tail as anywhere: what rounding
// takes from −x/√2 = z counts z²-fold there, and is put back by the derivative
// of erfc. The product is taken in halves (Dekker 1971, from memory).
func Phi(x float64) float64 {
	const rootHalf = rootHalfHi + rootHalfLo
	z := -float64(x * rootHalf)
	tail := erfc(z)
	if x > -1 || tail == 0 {
		return float64(0.5 * tail)
	}
	hi := math.Float64frombits(math.Float64bits(x) &^ (1<<27 - 1))
	lo := x - hi
	lost := z + float64(hi*rootHalfHi) + float64(hi*rootHalfLo) + float64(lo*rootHalfHi) + float64(lo*rootHalfLo) + float64(x*rootHalfRest)
	return float64(0.5 * (tail + float64(float64(2/math.SqrtPi*exp(-Square(z)))*lost)))
}
