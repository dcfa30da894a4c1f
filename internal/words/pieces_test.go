package words

import (
	"slices"
	"testing"
)

// Worked by hand.
func TestPieces(t *testing.T) {
	got := Pieces(nil, "weighed 1,268 ± 24 kg, at most  1,339 kg or 42 % of it (line 7), p 0.577 or p < 0.001; ticket 3, rear")
	want := []string{"weighed", "1,268 ± 24 kg,", "at", "most", "1,339 kg", "or", "42 %", "of", "it", "(line 7),", "p 0.577", "or", "p < 0.001;", "ticket 3,", "rear"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
