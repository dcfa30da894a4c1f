package words

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Escape gives s as one line that shows what is in it: control, bidi and other
// format characters, ends of lines, characters for which nothing is drawn, and
// bytes that are no UTF-8 are written as \u202e, \U000e0041 or \xff. What came
// out of a form or file goes through it before it is printed: nothing typed may
// write over a terminal or turn a name around. What is plain is unchanged.
func Escape(s string) string {
	if rest := s[plainPart(s):]; !strings.ContainsFunc(rest, unseen) && utf8.ValidString(rest) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case !unseen(r):
			b.WriteRune(r)
		case r > 0xFFFF:
			fmt.Fprintf(&b, `\U%08x`, r)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}

// plainPart is how many bytes s begins with that are drawn characters of ASCII, of
// which most text is made.
func plainPart(s string) int {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return i
		}
	}
	return len(s)
}

// unseen says whether a character is not simply seen: neither a letter, mark,
// number, sign, symbol nor space, or one that is drawn as nothing.
func unseen(r rune) bool {
	if r >= ' ' && r <= '~' {
		return false
	}
	return !unicode.IsGraphic(r) || unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) || unicode.Is(unicode.Variation_Selector, r)
}

// quoted is text as typed, in quotes.
func quoted(s string) string { return `"` + s + `"` }
