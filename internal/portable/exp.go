package portable

import "math"

// ln 2 in two parts: the first has 20 trailing zero bits, so that k·ln2Hi is
// exact for the k of any float64.
const (
	ln2Hi = 6.93147180369123816490e-01
	ln2Lo = 1.90821492927058770002e-10
	log2e = 1.44269504088896338700e+00
)

// exp is e to the power x, to about one unit in the last place. It overflows
// to +Inf and underflows to 0.
func exp(x float64) float64 {
	m, k := expParts(x)
	return math.Ldexp(m, k)
}

// expLimit is beyond every x whose exponential a float64 can hold, and keeps
// the exponent an int.
const expLimit = 1e7

// expParts returns m and k with e^x = m·2^k and m near 1, so that an
// exponential that underflows can still be multiplied by what overflows.
//
// Method and coefficients: e_exp.c of FreeBSD's msun, as quoted in sun.go: with
// x = k·ln2 + r, a rational function of r that is the exponential to 2^-59.
func expParts(x float64) (m float64, k int) {
	if math.IsNaN(x) {
		return x, 0
	}
	x = max(-expLimit, min(expLimit, x))
	k = int(math.Floor(float64(log2e*x) + 0.5))
	hi := x - float64(float64(k)*ln2Hi)
	lo := float64(float64(k) * ln2Lo)
	const (
		p1 = 1.66666666666666657415e-01
		p2 = -2.77777777770155933842e-03
		p3 = 6.61375632143793436117e-05
		p4 = -1.65339022054652515390e-06
		p5 = 4.13813679705723846039e-08
	)
	r := hi - lo
	t := float64(r * r)
	c := r - float64(t*polynomial(t, p1, p2, p3, p4, p5))
	return 1 - ((lo - float64(r*c)/(2-c)) - hi), k
}

// polynomial is Σ c_i·x^i by Horner's rule.
func polynomial(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = float64(sum*x) + c[i]
	}
	return sum
}

// Log is the natural logarithm of x, to about one unit in the last place:
// −Inf of 0 and NaN below.
//
// Method and coefficients: e_log.c of FreeBSD's msun, as quoted in sun.go: with
// x = 2^k·(1+f) and s = f/(2+f), a polynomial in s².
func Log(x float64) float64 {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 1):
		return x
	case x < 0:
		return math.NaN()
	case x == 0:
		return math.Inf(-1)
	}
	f, e := math.Frexp(x)
	if f < math.Sqrt2/2 {
		f, e = float64(2*f), e-1
	}
	return logOf(f-1, float64(e))
}

// logOf is k·ln2 + ln(1+f).
func logOf(f, k float64) float64 {
	const (
		l1 = 6.666666666666735130e-01
		l2 = 3.999999999940941908e-01
		l3 = 2.857142874366239149e-01
		l4 = 2.222219843214978396e-01
		l5 = 1.818357216161805012e-01
		l6 = 1.531383769920937332e-01
		l7 = 1.479819860511658591e-01
	)
	s := f / (2 + f)
	s2 := float64(s * s)
	r := float64(s2 * polynomial(s2, l1, l2, l3, l4, l5, l6, l7))
	half := float64(0.5 * float64(f*f))
	low := float64(s*(half+r)) + float64(k*ln2Lo)
	return float64(k*ln2Hi) - ((half - low) - f)
}

// Square is x·x.
func Square(x float64) float64 { return float64(x * x) }

// Hypot is √(a² + b²). It takes no care of squares beyond the range of a
// float64: |a| and |b| below 1e150, and what is below 1e-160 counts as nothing.
func Hypot(a, b float64) float64 { return math.Sqrt(Square(a) + Square(b)) }
