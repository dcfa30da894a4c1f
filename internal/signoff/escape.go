package signoff

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// escape returns s as one line that shows what is in it: control, bidi and
// other format characters, ends of lines, characters that nothing is drawn
// for, and bytes that are no UTF-8 are written as \u202e, \U000e0041 or \xff.
// Everything that came out of a file or form goes through it before it is
// printed: no file may write over a terminal or turn a name around.
func escape(s string) string {
	if !strings.ContainsFunc(s, unseen) && utf8.ValidString(s) {
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

// unseen reports whether r is not simply seen: neither a letter, mark,
// number, sign, symbol nor space, or one that is drawn as nothing.
func unseen(r rune) bool {
	return !unicode.IsGraphic(r) || unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r)
}
