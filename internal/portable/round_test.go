package portable

import (
	"math"
	"testing"
)

// TestGrid: expected values by hand, the decimal nearest on the grid.
func TestGrid(t *testing.T) {
	for _, c := range []struct{ in, kg, ratio float64 }{
		{240.41051234567, 240.410512, 240.410512346},
		{-848.0000005, -848.000001, -848.0000005},
		{1e-12, 0, 0},
		{-1e-12, 0, 0},
		{5e17, 5e17, 5e17},
	} {
		if got := Kg(c.in); got != c.kg {
			t.Errorf("Kg(%v) = %v, want %v", c.in, got, c.kg)
		}
		if got := Ratio(c.in); got != c.ratio {
			t.Errorf("Ratio(%v) = %v, want %v", c.in, got, c.ratio)
		}
	}
	if z := Kg(math.Copysign(1e-12, -1)); math.Signbit(z) {
		t.Error("Kg leaves −0")
	}
}

// TestGridRoundsHalvesAway compares grid with math.Round, whose rule is the one
// that is promised, where rounding is hard: at halves and their neighbours, at
// whole numbers and theirs, next to the size that has no fraction, and at what is
// no number. The bits are compared, so that −0 is not taken for 0.
func TestGridRoundsHalvesAway(t *testing.T) {
	want := func(v, steps float64) float64 {
		scaled := float64(v * steps)
		if math.Abs(scaled) >= exactly || math.IsNaN(scaled) {
			return v
		}
		return math.Round(scaled)/steps + 0
	}
	compared := 0
	compare := func(v float64) {
		for _, steps := range []float64{1, perKg, perRatio} {
			compared++
			if got, want := grid(v, steps), want(v, steps); math.Float64bits(got) != math.Float64bits(want) {
				t.Errorf("grid(%v, %v) = %v, want %v", v, steps, got, want)
			}
		}
	}
	around := func(v float64) {
		for _, v := range []float64{v, math.Nextafter(v, math.Inf(1)), math.Nextafter(v, math.Inf(-1))} {
			for _, scale := range []float64{1, 1 / float64(perKg), 1 / float64(perRatio)} {
				compare(float64(v * scale))
				compare(float64(-v * scale))
			}
		}
	}
	for power := -1074; power <= 1023; power++ {
		for _, v := range []float64{1, 1.5, 1.25, 1.75, 1 + 0x1p-52, 2 - 0x1p-52} {
			around(math.Ldexp(v, power))
		}
	}
	for n := range 3000 {
		around(float64(n))
		around(float64(n) + 0.5)
		around(exactly - float64(n)/2)
		around(exactly/2 - float64(n)/4)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), math.MaxFloat64} {
		compare(v)
	}
	const all = 3*6*3*(2098*6+3000*4) + 3*6
	if compared != all {
		t.Errorf("%d cases compared, want %d", compared, all)
	}
}
