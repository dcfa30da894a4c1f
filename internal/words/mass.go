package words

import (
	"bytes"
	"math"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// notDetermined is printed where there is no number to print.
const notDetermined = "not determined"

// noise is what arithmetic alone can add, in kilograms: a sum of decimals that
// is whole stays whole when it is rounded up or down.
var noise = decimal.RequireFromString("0.000001")

// mass prints a mass given in kilograms in whole units, halves rounded away from
// zero and thousands separated: 3,240. A value that is not finite prints as
// "not determined".
func (w *Words) mass(kg float64) string {
	text := w.rounded(kg, 0)
	if text == notDetermined {
		return say(text)
	}
	return grouped(text)
}

// rounded prints a mass given in kilograms to so many decimals of the unit
// printed, the way fixed does.
func (w *Words) rounded(kg float64, places int) string {
	if !w.lb {
		return fixed(kg, places)
	}
	d, ok := w.shown(kg)
	if !ok {
		return notDetermined
	}
	if d = d.Round(int32(places)); d.IsZero() {
		d = decimal.Zero
	}
	return d.StringFixed(int32(places))
}

// massUnit prints a mass with its unit: "3,240 kg".
func (w *Words) massUnit(kg float64) string { return w.mass(kg) + " " + w.Unit }

// massUp prints a mass rounded up to whole units, at least 1: what is too much
// is never said to be less.
func (w *Words) massUp(kg float64) string {
	if whole, fraction, ok := w.parted(kg); ok {
		if fraction > "000001" { // as decimals compare: noise
			whole++
		}
		return grouped(strconv.FormatInt(max(whole, 1), 10))
	}
	d, ok := w.shown(kg)
	if !ok {
		return say(notDetermined)
	}
	return grouped(decimal.Max(d.Sub(noise).Ceil(), decimal.NewFromInt(1)).String())
}

// massDown prints a mass rounded down to whole units: what still fits is never
// said to be more.
func (w *Words) massDown(kg float64) string {
	if whole, fraction, ok := w.parted(kg); ok {
		if fraction >= "999999" { // with the noise it is whole
			whole++
		}
		return grouped(strconv.FormatInt(whole, 10))
	}
	d, ok := w.shown(kg)
	if !ok {
		return say(notDetermined)
	}
	return grouped(d.Add(noise).Floor().String())
}

// parted is a mass that is printed in kilograms, and is not negative, before and behind
// the point of the shortest decimal that stands for it: of any other the arithmetic of
// decimals has to be done.
func (w *Words) parted(kg float64) (whole int64, fraction string, ok bool) {
	const most = 1e15 // whole numbers up to it are exact
	if w.lb || !(kg >= 0 && kg < most) {
		return 0, "", false
	}
	before, fraction, _ := strings.Cut(strconv.FormatFloat(kg, 'f', -1, 64), ".")
	whole, err := strconv.ParseInt(before, 10, 64)
	return whole, fraction, err == nil
}

// massText prints a mass that is given as a decimal string of kilograms the way
// mass does. Text that is no decimal is given back as it is.
func (w *Words) massText(kg string) string {
	d, ok := decimalOf(kg)
	if !ok {
		return say(kg)
	}
	return grouped(w.inUnit(d).Round(0).String())
}

// plusMinus prints the expanded uncertainty of a value whose standard
// uncertainty is u, in kilograms: "± 24" for u = 12 (U = 2u). It never says
// ± 0: what is smaller than that prints as ± 1.
func (w *Words) plusMinus(u float64) string { return "± " + w.expandedMass(u) }

func (w *Words) expandedMass(u float64) string {
	text := w.mass(expanded(u))
	if text == "0" {
		text = "1"
	}
	return text
}

// massU prints a value with its expanded uncertainty from its standard one:
// "1,890 ± 24".
func (w *Words) massU(kg, u float64) string { return w.mass(kg) + " ± " + w.expandedMass(u) }

// massSigned prints a mass with its sign: "+12", "-12", "0".
func (w *Words) massSigned(kg float64) string {
	s := w.mass(kg)
	if kg > 0 && s != "0" {
		return "+" + s
	}
	return s
}

// value is "240 ± 22 kg" from arguments; the ± is left out where there is none.
func (w *Words) value(kg, u *float64) string {
	switch {
	case kg == nil:
		return notDetermined
	case u == nil:
		return w.massUnit(*kg)
	}
	return w.massU(*kg, *u) + " " + w.Unit
}

// unitOr is a mass with its unit, or "not determined".
func (w *Words) unitOr(kg *float64) string { return w.value(kg, nil) }

func (w *Words) shown(kg float64) (decimal.Decimal, bool) {
	if math.IsNaN(kg) || math.IsInf(kg, 0) {
		return decimal.Zero, false
	}
	return w.inUnit(decimal.NewFromFloat(kg)), true
}

// kgPerLb is the international pound in kilograms, exact by definition.
var kgPerLb = decimal.RequireFromString("0.45359237")

// inUnit converts kilograms to the unit printed; the one place that does.
func (w *Words) inUnit(kg decimal.Decimal) decimal.Decimal {
	if w.lb {
		return kg.Div(kgPerLb)
	}
	return kg
}

// decimalOf reads a figure as typed; the comma of a decimal counts as a point.
func decimalOf(text string) (decimal.Decimal, bool) {
	text = strings.TrimSpace(text)
	if !strings.Contains(text, ".") {
		text = strings.Replace(text, ",", ".", 1)
	}
	d, err := decimal.NewFromString(text)
	return d, err == nil
}

// typed prints a figure as it was typed, thousands separated, with its unit:
// "1,500 kg", "3.24 t". Text that is no figure is given back.
func typed(figure, unit string) string {
	if unit == "" {
		unit = "kg"
	}
	return typedFigure(figure) + " " + unit
}

func typedFigure(figure string) string {
	if plainWhole(figure) {
		return grouped(figure)
	}
	d, ok := decimalOf(figure)
	if !ok {
		return figure
	}
	return decimalFigure(d)
}

// plainWhole reports whether a figure is a whole number without a sign and zeros before
// it, as most are: it prints as it is.
func plainWhole(figure string) bool {
	for i := range len(figure) {
		if figure[i] < '0' || figure[i] > '9' {
			return false
		}
	}
	return figure != "" && figure[0] != '0'
}

// decimalFigure prints a figure with the decimals that were typed.
func decimalFigure(d decimal.Decimal) string {
	whole, fraction, _ := strings.Cut(d.StringFixed(max(0, -d.Exponent())), ".")
	if fraction != "" {
		fraction = "." + fraction
	}
	return grouped(whole) + fraction
}

// grouped separates the thousands of a whole number and never leaves "-0".
func grouped(digits string) string {
	sign := ""
	if rest, negative := strings.CutPrefix(digits, "-"); negative {
		sign, digits = "-", rest
	}
	if digits == "0" {
		return "0"
	}
	for at := len(digits) - 3; at > 0; at -= 3 {
		digits = digits[:at] + "," + digits[at:]
	}
	return sign + digits
}

// fixed prints a number to so many decimals, halves rounded away from zero, never
// "-0.0". What it rounds is the shortest decimal that stands for v, as it is in
// the record: 4.05 prints as 4.1, although its float64 is a little less.
func fixed(v float64, places int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return notDetermined
	}
	var room [32]byte
	b := strconv.AppendFloat(append(room[:0], '-', '0'), math.Abs(v), 'f', -1, 64) // '0' is for a carry
	point := bytes.IndexByte(b, '.')
	if point < 0 {
		point, b = len(b), append(b, '.')
	}
	end := point + 1 + places
	for len(b) < end {
		b = append(b, '0')
	}
	if len(b) > end && b[end] >= '5' {
		carry(b[:end])
	}
	b = b[:end]
	if places == 0 {
		b = b[:point]
	}
	if b[1] == '0' {
		b[1], b = '-', b[1:]
	}
	if v >= 0 || !bytes.ContainsAny(b, "123456789") {
		b = b[1:]
	}
	return string(b)
}

// carry adds one to the last digit of a number, which begins with a 0.
func carry(digits []byte) {
	for i := len(digits) - 1; ; i-- {
		switch digits[i] {
		case '.':
		case '9':
			digits[i] = '0'
		default:
			digits[i]++
			return
		}
	}
}

// percent prints a ratio in percent to one decimal, without the sign.
func percent(ratio float64) string {
	d := decimal.NewFromFloat(ratio).Shift(2).Round(1)
	if d.IsZero() {
		return "0.0"
	}
	return d.StringFixed(1)
}

// percentU is "9.6 ± 0.9 %" from a ratio and its standard uncertainty.
func percentU(value, u float64) string {
	expanded := decimal.NewFromFloat(expanded(u)).Shift(2).Round(1)
	least := decimal.RequireFromString("0.1")
	return percent(value) + " ± " + decimal.Max(expanded, least).StringFixed(1) + " %"
}

// kn prints a force in kilonewtons to two decimals.
func kn(force float64) string { return fixed(force, 2) }

// expanded is the expanded uncertainty U of a standard one (k = 2).
func expanded(u float64) float64 { return float64(2 * u) }

// wholePercent prints a ratio in whole percent, without the sign.
func wholePercent(ratio float64) string {
	return decimal.NewFromFloat(ratio).Shift(2).Round(0).String()
}
