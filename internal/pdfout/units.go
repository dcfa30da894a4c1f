package pdfout

import (
	"math"
	"strconv"
)

// length is a distance on paper in hundredths of a point. Whole numbers are
// added, compared and divided alike on every machine, so the same record is
// the same page everywhere; nothing finer ever reaches the file.
type length int

// pt is one point: a constant like 2.5*pt is a whole number of hundredths.
const pt = 100

// points writes the length as the file needs it: points with two decimals.
func (l length) points() string { return string(l.appendTo(nil)) }

func (l length) appendTo(b []byte) []byte {
	if l < 0 {
		b, l = append(b, '-'), -l
	}
	b = appendWhole(b, int(l/pt))
	if cents := l % pt; cents != 0 {
		b = append(b, '.', byte('0'+cents/10))
		if cents%10 != 0 {
			b = append(b, byte('0'+cents%10))
		}
	}
	return b
}

// appendWhole appends a whole number that is not negative, which on a page is short.
func appendWhole(b []byte, n int) []byte {
	switch {
	case n >= 1000:
		return strconv.AppendInt(b, int64(n), 10)
	case n >= 100:
		return append(b, byte('0'+n/100), byte('0'+n/10%10), byte('0'+n%10))
	case n >= 10:
		return append(b, byte('0'+n/10), byte('0'+n%10))
	}
	return append(b, byte('0'+n))
}

// part is n of so many equal parts: l·n/of to the nearest hundredth, halves
// upwards.
func (l length) part(n, of int) length {
	product := int(l) * n
	if of < 0 {
		product, of = -product, -of
	}
	return length(floorDiv(2*product+of, 2*of))
}

// floorDiv is a/b rounded down, b > 0.
func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// thousandths is v as a whole number of thousandths, for drawing; what is
// printed is never read from it. Figures too large for a page are cut.
func thousandths(v float64) int {
	const most = 1e9
	return int(math.Round(float64(math.Max(-most, math.Min(most, v)) * 1000)))
}
