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
