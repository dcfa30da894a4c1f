package tickets

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/shopspring/decimal"

	"reconcile/internal/regions"
)

// figure is a number as typed, its decimal comma turned into a point.
type figure struct {
	typed    string
	value    decimal.Decimal
	hasPoint bool
}

var (
	withUnit = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`(?i)^[-−]?[0-9]+([.,][0-9]+)?[ \x{a0}\x{202f}\x{2009}]?(kg|t|lb|lbs|mm|cm|m|in|kn)$`)
	})
	exponent  = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`(?i)^[-+]?[0-9]+([.,][0-9]+)?E[-+]?[0-9]+$`) })
	separated = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`^[-−]?[0-9]+([.,'’_ \x{a0}\x{202f}\x{2009}][0-9]+)+$`)
	})
)

// plainNumber reports whether a text is digits, with a minus before them and a
// decimal sign among them at most. Every number of every form is asked, so this
// is no regular expression.
func plainNumber(text string) bool {
	if rest, minus := strings.CutPrefix(text, "-"); minus {
		text = rest
	} else {
		text = strings.TrimPrefix(text, "−") // as it is typeset
	}
	before := digits(text)
	if before == 0 || before == len(text) {
		return before > 0
	}
	after := text[before+1:]
	return (text[before] == '.' || text[before] == ',') && len(after) > 0 && digits(after) == len(after)
}

// digits is the number of digits that a text begins with.
func digits(text string) int {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return i
		}
	}
	return len(text)
}

// mostDigits is the longest number read, signs included; the heaviest outfit
// takes nine.
const mostDigits = 18

// pointAndMinus turns a decimal comma and a typeset minus into what a number is
// parsed from.
func pointAndMinus(text string) string {
	return strings.ReplaceAll(strings.ReplaceAll(text, ",", "."), "−", "-")
}

// number reads a cell that is not blank as a number. The decimal sign is a
// point; where commas do not separate the cells it may be a comma.
func (c cell) number(wanted string) (figure, bool) {
	if n, ok := whole(c.text()); ok {
		return figure{typed: c.text(), value: n}, true
	}
	what, hint := "", ""
	plain := plainNumber(c.text())
	switch {
	case plain && len(c.text()) > mostDigits:
		what = " is too long for a number"
	case plain && c.rec.form.sep == ',' && strings.Contains(c.text(), ","):
		what, hint = " has a comma, which separates cells here", "write the number without a thousands separator and with a decimal point"
	case plain:
		return newFigure(c.text()), true
	case strings.HasPrefix(c.text(), "="):
		what, hint = " is a formula", "type the number that it shows"
	case exponent().MatchString(c.text()):
		what, hint = " has an exponent", "in the spreadsheet format the column as a number without exponent and type it again"
	case separated().MatchString(c.text()):
		what, hint = " has a thousands separator", "write the digits without it"
	case withUnit().MatchString(c.text()):
		what, hint = " has a unit in the cell", "write the unit in its own column"
	default:
		what = " is not a number"
	}
	c.refuse(c.shown()+what, wanted, hint)
	return figure{}, false
}

func newFigure(text string) figure {
	text = pointAndMinus(text)
	return figure{typed: text, value: decimal.RequireFromString(text), hasPoint: strings.Contains(text, ".")}
}

// wholes are decimals of whole numbers, made when they are met first: a decimal does
// not change, and the figures of a day are mostly the same few thousand.
var wholes [10_000]atomic.Pointer[decimal.Decimal]

// whole reads a text of a few digits, which most figures are.
func whole(text string) (decimal.Decimal, bool) {
	n := 0
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' || n >= len(wholes)/10 {
			return decimal.Decimal{}, false
		}
		n = 10*n + int(text[i]-'0')
	}
	if text == "" || len(text) > mostDigits {
		return decimal.Decimal{}, false
	}
	if made := wholes[n].Load(); made != nil {
		return *made, true
	}
	d := decimal.NewFromInt(int64(n))
	wholes[n].Store(&d)
	return d, true
}

// positive reads a cell that is not blank as a number above 0.
func (c cell) positive(wanted string) (figure, bool) {
	n, ok := c.number(wanted)
	if ok && n.value.Sign() <= 0 {
		c.refuse(c.shown()+" is not more than 0", wanted, "")
		return n, false
	}
	return n, ok
}

// notNegative reads a cell that is not blank as 0 or a number above it.
func (c cell) notNegative(wanted string) (figure, bool) {
	n, ok := c.number(wanted)
	if ok && n.value.Sign() < 0 {
		c.refuse(c.shown()+" is less than 0", wanted, "")
		return n, false
	}
	return n, ok
}

// The units of mass in kilograms, exact: one pound is 0.45359237 kg
// (International Yard and Pound Agreement of 1959).
var massUnits = map[string]decimal.Decimal{
	"kg": decimal.NewFromInt(1),
	"t":  decimal.NewFromInt(1000),
	"lb": decimal.RequireFromString("0.45359237"),
}

// heaviest is what no outfit weighs, in kilograms, not even with a reading in
// kilograms typed as tonnes.
var heaviest = decimal.NewFromInt(100_000_000)

// massUnit reads a unit of mass; blank is kg, but refused in region us.
func (c cell) massUnit(region string) (string, bool) {
	if c.blank() && region != refusedRegion && regions.Of(region).UnitNeeded.Yes {
		return "", c.require(fmt.Sprintf("lb, kg or t: in region %s a blank unit means nothing", region), "")
	}
	u, ok := c.choice("kg", "t", "lb")
	if u == "" {
		u = "kg"
	}
	return u, ok
}

// toKg converts a mass, and refuses an absurd one.
func (c cell) toKg(n figure, unit string) (decimal.Decimal, bool) {
	kg := n.value
	if unit != "kg" {
		kg = kg.Mul(massUnits[unit])
	}
	if kg.Abs().GreaterThan(heaviest) {
		c.refuse(c.shown()+" "+unit+" is heavier than any outfit", "at most 100000 t", "")
		return kg, false
	}
	return kg, true
}

// compareTimes compares a mass with n times another, none of them heavier than
// heaviest: whole kilograms are compared as such.
func compareTimes(kg decimal.Decimal, n int64, other decimal.Decimal) int {
	if kg.Exponent() == 0 && other.Exponent() == 0 {
		return cmp.Compare(kg.CoefficientInt64(), n*other.CoefficientInt64())
	}
	return kg.Cmp(other.Mul(decimal.NewFromInt(n)))
}

// compareWhole compares a mass with a whole number of kilograms, neither heavier than
// heaviest.
func compareWhole(kg decimal.Decimal, n int64) int { return compareTimes(kg, n, oneKg) }

var oneKg = decimal.NewFromInt(1)

// isMultiple says whether a mass is a whole number of steps, both at most heaviest.
func isMultiple(kg, step decimal.Decimal) bool {
	if kg.Exponent() == 0 && step.Exponent() == 0 {
		return kg.CoefficientInt64()%step.CoefficientInt64() == 0
	}
	return kg.Mod(step).IsZero()
}

// mass reads a cell as a mass, by one of the readers of numbers above; a blank cell
// gives none, and so does one whose unit was refused, which is no more than a
// number.
func (c cell) mass(read func(wanted string) (figure, bool), wanted, unit string, unitOK bool) decimal.NullDecimal {
	if c.blank() {
		return decimal.NullDecimal{}
	}
	n, ok := read(wanted)
	if !ok || !unitOK {
		return decimal.NullDecimal{}
	}
	kg, ok := c.toKg(n, unit)
	return decimal.NullDecimal{Decimal: kg, Valid: ok}
}

// positiveKg reads a cell in kilograms above 0; blank gives none.
func (c cell) positiveKg(wanted string) decimal.NullDecimal {
	return c.mass(c.positive, wanted, "kg", true)
}

// findNumeric lists the columns whose decimal sign is looked at.
func (f *form) findNumeric() {
	if f.sep == ',' {
		return // a comma in a number is refused as such
	}
	for i, h := range f.header {
		if h != "" && f.spec.isNumber(h) {
			f.numeric = append(f.numeric, i)
		}
	}
}

// checkSign refuses the second kind of decimal sign in one form.
func (f *form) checkSign(r *record) {
	for _, i := range f.numeric {
		at := strings.IndexAny(r.cells[i], ".,")
		if at < 0 || !plainNumber(r.cells[i]) {
			continue
		}
		switch sign := r.cells[i][at]; {
		case f.sign == 0:
			f.sign = sign
		case sign != f.sign:
			c := r.cell(i)
			c.refuse(c.shown()+" has another decimal sign than the lines above", "one decimal sign in a form", "write every number of this form with a point, or every one with a comma")
		}
	}
}

// isNumber says whether a column holds numbers.
func (s *spec) isNumber(name string) bool {
	for _, n := range s.numbers {
		if n == name {
			return true
		}
	}
	return s == specs[0] && isTerm(name)
}
