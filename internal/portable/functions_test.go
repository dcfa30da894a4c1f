package portable

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// near holds a value against another computed otherwise, relative to its size.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s = %.17g, want %.17g to %g", what, got, want, tolerance)
	}
}

// TestElementary: package math is an independent implementation (its own
// kernels on amd64), over all sizes that a solution can meet.
func TestElementary(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 200_000 {
		x := 1400*rng.Float64() - 700
		near(t, "Exp", exp(x), math.Exp(x), 5e-16)
		y := math.Ldexp(0.5+rng.Float64(), rng.IntN(400)-200)
		near(t, "Log", Log(y), math.Log(y), 5e-16)
		a, b := 1e4*(rng.Float64()-0.5), 1e4*(rng.Float64()-0.5)
		near(t, "Hypot", Hypot(a, b), math.Hypot(a, b), 5e-16)
		z := 32*rng.Float64() - 6
		if want := math.Erfc(z); want > 1e-300 {
			near(t, "Erfc", erfc(z), want, 2e-15)
		}
	}
	for _, x := range []float64{0, 1, -1, 1e-9, 709, -745, 0.5 * math.Ln2, -0.5 * math.Ln2} {
		near(t, "Exp", exp(x), math.Exp(x), 5e-16)
	}
}

// TestEdges: the limits of the functions themselves, by their definition.
func TestEdges(t *testing.T) {
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"Exp(+Inf)", exp(math.Inf(1)), math.Inf(1)}, {"Exp(-Inf)", exp(math.Inf(-1)), 0},
		{"Exp(710)", exp(710), math.Inf(1)}, {"Exp(-746)", exp(-746), 0}, {"Exp(0)", exp(0), 1},
		{"Log(0)", Log(0), math.Inf(-1)}, {"Log(1)", Log(1), 0}, {"Log(+Inf)", Log(math.Inf(1)), math.Inf(1)},
		{"Erfc(0)", erfc(0), 1}, {"Erfc(+Inf)", erfc(math.Inf(1)), 0}, {"Erfc(-Inf)", erfc(math.Inf(-1)), 2},
		{"Phi(0)", Phi(0), 0.5}, {"Phi(-Inf)", Phi(math.Inf(-1)), 0}, {"Phi(+Inf)", Phi(math.Inf(1)), 1},
		{"Square(-3)", Square(-3), 9}, {"Hypot(3,4)", Hypot(3, 4), 5},
	} {
		if c.got != c.want {
			t.Errorf("%s = %v, want %v", c.what, c.got, c.want)
		}
	}
	for what, got := range map[string]float64{"Exp": exp(math.NaN()), "Log": Log(math.NaN()), "Log(-1)": Log(-1), "Erfc": erfc(math.NaN())} {
		if !math.IsNaN(got) {
			t.Errorf("%s of NaN = %v", what, got)
		}
	}
}

// TestPhi: gonum is the independent computation, which loses x² units in the
// last place in the tail; the long values are from mpmath with 40 digits;
// the two table values are the two-sided critical values at α = 0.001 and 0.05
// (3.29 and 1.96 in Baarda 1968, further digits recomputed).
func TestPhi(t *testing.T) {
	for x := -30.0; x <= 8; x += 0.0173 {
		near(t, "Phi", Phi(x), distuv.UnitNormal.CDF(x), 1e-13+1e-15*x*x)
	}
	for _, c := range []struct{ x, p float64 }{
		{-1.5, 0.066807201268858066004}, {-3.1, 0.00096760321321835660196}, {-5.25, 7.6049605164887142511e-8},
		{-8.3, 5.2055697448902540246e-17}, {-12.7, 2.9564853648520500771e-37}, {-20.1, 3.6896808637213895544e-90},
		{-30.3, 5.7317235033154952943e-202}, {-37.1, 1.4047119663106221343e-301},
	} {
		near(t, "Phi", Phi(c.x), c.p, 3e-15)
	}
	near(t, "Phi(-3.290527)", Phi(-3.290527), 0.0005, 1e-6)
	near(t, "Phi(-1.959964)", Phi(-1.959964), 0.025, 1e-6)
}

// TestChiSquareTable: critical values of χ², three decimals in NIST/SEMATECH
// e-Handbook 1.3.6.7.4, further digits recomputed.
func TestChiSquareTable(t *testing.T) {
	for p, row := range map[float64][]float64{
		0.05:  {3.841459, 5.991465, 7.814728, 9.487729, 11.070498, 12.591587},
		0.01:  {6.634897, 9.210340, 11.344867, 13.276704, 15.086272, 16.811894},
		0.001: {10.827566, 13.815511, 16.266236, 18.466827, 20.515006, 22.457744},
	} {
		for i, chi2 := range row {
			got, ok := ChiSquareSurvival(chi2, i+1)
			if !ok {
				t.Fatalf("dof %d refused", i+1)
			}
			near(t, "p", got, p, 1e-6)
		}
	}
}

// TestChiSquare: two degrees of freedom are e^(−χ²/2) by the definition; gonum
// (Cephes, another method) is the independent computation of the others. Where
// it loses digits itself, far out, the limit is wider.
func TestChiSquare(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 1))
	for range 50_000 {
		dof := 1 + rng.IntN(500)
		chi2 := float64(dof) * 3 * rng.Float64()
		got, ok := ChiSquareSurvival(chi2, dof)
		if !ok {
			t.Fatalf("%v, %d refused", chi2, dof)
		}
		want := distuv.ChiSquared{K: float64(dof)}.Survival(chi2)
		near(t, "p", got, want, 1e-12)
		two, _ := ChiSquareSurvival(chi2, 2)
		near(t, "p of 2", two, math.Exp(-chi2/2), 1e-15)
	}
	for _, c := range []struct {
		chi2 float64
		dof  int
		p    float64
	}{ // mpmath, 40 digits
		{3.7, 1, 0.054412467991601420655}, {1.93, 3, 0.58706180888845163133}, {55.5, 40, 0.052442179490391455197},
		{310.25, 200, 9.2627732225478711647e-7}, {900.5, 399, 9.4288525556407133585e-41},
		{2000, 2000, 0.4957947558197844915},
	} {
		got, _ := ChiSquareSurvival(c.chi2, c.dof)
		near(t, "p", got, c.p, 1e-14)
	}
}

func TestChiSquareRefuses(t *testing.T) {
	for _, c := range []struct {
		chi2 float64
		dof  int
	}{{1, 0}, {1, -1}, {-1, 3}, {math.NaN(), 3}, {1, mostDOF + 1}} {
		if p, ok := ChiSquareSurvival(c.chi2, c.dof); ok || p != 0 {
			t.Errorf("%v, %d: %v, %v, want refused", c.chi2, c.dof, p, ok)
		}
	}
	for _, c := range []struct{ chi2, p float64 }{{0, 1}, {1e-300, 1}, {1e6, 0}, {1e9, 0}, {1e300, 0}, {math.Inf(1), 0}} {
		for _, dof := range []int{1, 2, 5, 400, mostDOF} {
			if p, ok := ChiSquareSurvival(c.chi2, dof); !ok || p != c.p {
				t.Errorf("%v, %d: %v, %v, want %v", c.chi2, dof, p, ok, c.p)
			}
		}
	}
}
