package words

import (
	"strings"

	"github.com/shopspring/decimal"
)

// ReadBack says a mass as it was typed in written-out words and in the other
// unit, so that a slip of a digit or a unit is heard: "three thousand three
// hundred and fifty kilograms, which is 7,385 lb". Blank for what is no mass.
func ReadBack(figure, unit string) string {
	d, ok := decimalOf(figure)
	if !ok || d.Sign() <= 0 || d.GreaterThanOrEqual(decimal.NewFromInt(1_000_000)) {
		return ""
	}
	switch unit {
	case "kg":
		return say(inWords(d) + " kilograms, which is " + grouped(d.Div(kgPerLb).Round(0).String()) + " lb")
	case "t":
		kg := d.Shift(3)
		return say(inWords(d) + " tonnes, which is " + grouped(kg.Round(0).String()) + " kg or " + grouped(kg.Div(kgPerLb).Round(0).String()) + " lb")
	case "lb":
		return say(inWords(d) + " pounds, which is " + grouped(d.Mul(kgPerLb).Round(0).String()) + " kg")
	}
	return ""
}

var (
	smallNumbers = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen")
	tens         = strings.Fields("- - twenty thirty forty fifty sixty seventy eighty ninety")
)

// inWords writes a number out, its decimals digit by digit.
func inWords(d decimal.Decimal) string {
	whole, fraction, _ := strings.Cut(d.String(), ".")
	text := integerInWords(int(d.IntPart()))
	if fraction == "" || whole == "" {
		return text
	}
	text += " point"
	for _, digit := range fraction {
		text += " " + smallNumbers[digit-'0']
	}
	return text
}

func integerInWords(n int) string {
	switch {
	case n < 20:
		return smallNumbers[n]
	case n < 100:
		text := tens[n/10]
		if n%10 > 0 {
			text += "-" + smallNumbers[n%10]
		}
		return text
	case n < 1000:
		return joinedNumber(smallNumbers[n/100]+" hundred", n%100, " and ")
	}
	between := " "
	if n%1000 < 100 {
		between = " and "
	}
	return joinedNumber(integerInWords(n/1000)+" thousand", n%1000, between)
}

func joinedNumber(text string, rest int, between string) string {
	if rest == 0 {
		return text
	}
	return text + between + integerInWords(rest)
}
