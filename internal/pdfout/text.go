package pdfout

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// lacking stands for every character that cannot be printed, so that a name
// is seen to be incomplete and never silently shortened.
const lacking = '□'

// clean makes s safe and honest to print: line breaks and every kind of blank
// become one space each; what neither face can show, what is invisible or
// turns the direction of reading becomes [lacking]. Letters typed with their
// accents apart (as some file systems do) are put together, since the faces
// have no places for loose accents. Nothing is dropped, and no character beyond
// U+FFFF is left (the PDF library panics on one).
func (f *faces) clean(s string) string {
	if f.printable(s) {
		return s
	}
	return strings.Map(f.shown, norm.NFC.String(s))
}

// shown is the character printed for r.
func (f *faces) shown(r rune) rune {
	switch {
	case isCommon(r):
		return r
	case r == '\n', r == '\r', r == '\t', unicode.In(r, unicode.Zs, unicode.Zl, unicode.Zp):
		return ' '
	case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Co, unicode.Cs):
		return lacking
	case unicode.In(r, unicode.Hebrew, unicode.Arabic):
		return lacking // written right to left, which the pages do not do
	case !f.regular.has(r) || !f.bold.has(r):
		return lacking
	}
	return r
}

// printable reports whether s is plain ASCII, as most text is.
func (f *faces) printable(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// wrap breaks text into lines no wider than w points: at spaces, within a
// word after one of / + - _ . , @ and, where nothing else fits, anywhere. It
// gives at least one line.
func (f *face) wrap(text string, pt, w float64) []string {
	var lines []string
	line, ems := "", 0.0 // and its width
	for word := range strings.FieldsSeq(text) {
		joined, sum := word, 0.0
		if line != "" {
			joined, sum = line+" "+word, ems+f.advance(' ')
		}
		if sum = f.ems(sum, word); sum*pt <= w {
			line, ems = joined, sum
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		var whole []string
		whole, line = f.chop(word, pt, w)
		lines, ems = append(lines, whole...), f.ems(0, line)
	}
	if line == "" && len(lines) > 0 {
		return lines
	}
	return append(lines, line)
}

// chop breaks one word into full lines and the rest.
func (f *face) chop(word string, pt, w float64) (lines []string, rest string) {
	r := []rune(word)
	for f.width(string(r), pt) > w {
		n := f.fitting(r, pt, w)
		lines = append(lines, string(r[:n]))
		r = r[n:]
	}
	return lines, string(r)
}

// fitting is how many runes of r stand on one line, at least one.
func (f *face) fitting(r []rune, pt, w float64) int {
	n, good := 0, 0
	for total := 0.0; n < len(r); n++ {
		if total += f.advance(r[n]) * pt; total > w {
			break
		}
		if strings.ContainsRune("/+-_.,@", r[n]) {
			good = n + 1
		}
	}
	if good > n/3 {
		return good
	}
	return max(n, 1)
}
