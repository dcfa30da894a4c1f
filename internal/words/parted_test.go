package words

import (
	"strconv"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"reconcile/internal/record"
)

// TestRoundedUpAndDown compares what is read off the digits with the arithmetic of
// decimals, near whole numbers and anywhere.
func TestRoundedUpAndDown(t *testing.T) {
	w := Of(&record.Record{}, nil)
	check := func(t interface{ Errorf(string, ...any) }, kg float64) {
		d := decimal.NewFromFloat(kg)
		if got, want := w.massUp(kg), grouped(decimal.Max(d.Sub(noise).Ceil(), decimal.NewFromInt(1)).String()); got != want {
			t.Errorf("%v rounds up to %s (want %s)", kg, got, want)
		}
		if got, want := w.massDown(kg), grouped(d.Add(noise).Floor().String()); got != want {
			t.Errorf("%v rounds down to %s (want %s)", kg, got, want)
		}
	}
	for _, kg := range []float64{0, 1, 1.000001, 1.0000011, 2.999999, 2.9999989, -0.000001, 1234.5} {
		check(t, kg)
	}
	near := rapid.Custom(func(t *rapid.T) float64 {
		step := rapid.SampledFrom([]float64{1e-3, 1e-6, 1e-7, 1e-9, 5e-7}).Draw(t, "step")
		return float64(rapid.IntRange(-3, 5000).Draw(t, "whole")) + float64(float64(rapid.IntRange(-12, 12).Draw(t, "steps"))*step)
	})
	rapid.Check(t, func(t *rapid.T) {
		check(t, rapid.OneOf(near, rapid.Float64Range(-10, 1e16), rapid.Float64()).Draw(t, "kg"))
	})
}

// TestPlainFigures compares figures that print as they were typed with their decimals.
func TestPlainFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		figure := rapid.OneOf(rapid.StringMatching(`[+-]?[0-9]{0,7}[.,]?[0-9]{0,3}`), rapid.Map(rapid.IntRange(0, 9999999), strconv.Itoa)).Draw(t, "figure")
		want := figure
		if d, ok := decimalOf(figure); ok {
			want = decimalFigure(d)
		}
		if got := typedFigure(figure); got != want {
			t.Errorf("%q prints as %s (want %s)", figure, got, want)
		}
	})
}
