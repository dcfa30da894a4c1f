package record

import "github.com/shopspring/decimal"

// QuantityText prints a quantity with its ± U and unit: "240 ± 22 kg",
// "9.6 ± 0.9 %" for a ratio; "not determined" for one that is not.
func (r *Record) QuantityText(name string) string {
	q := r.Quantities[name]
	if q == nil {
		return notDetermined
	}
	switch q.Unit {
	case InRatio:
		return tenths(100*q.Value) + " ± " + tenths(max(200*q.U, 0.1)) + " %"
	case InKgM:
		return KgU(q.Value, q.U) + " kg·m"
	}
	return KgU(q.Value, q.U) + " " + q.Unit
}

// tenths prints a number to one decimal, never "-0.0".
func tenths(v float64) string {
	if s := decimal.NewFromFloat(v).StringFixed(1); s != "-0.0" {
		return s
	}
	return "0.0"
}
