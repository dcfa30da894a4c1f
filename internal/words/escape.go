package words

import (
	"fmt"
	"strings"
	"unicode"
)

// Escape prints text that came from a form or file so that it can change
// nothing around it: control characters, line and paragraph separators, and
// format characters (those that turn the direction of writing, have no width,
// or tag) are written \n, \t, \r or \u{200e}; bytes that are no UTF-8 as \x9b.
// What is plain comes back unchanged.
func Escape(s string) string {
	if strings.IndexFunc(s, hidden) < 0 && strings.ToValidUTF8(s, "") == s {
		return s
	}
	var b strings.Builder
	for i, c := range s {
		switch {
		case c == unicode.ReplacementChar && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		case c == '\n':
			b.WriteString(`\n`)
		case c == '\r':
			b.WriteString(`\r`)
		case c == '\t':
			b.WriteString(`\t`)
		case hidden(c):
			fmt.Fprintf(&b, `\u{%x}`, c)
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// fillers show nothing although Unicode counts them as letters or marks.
const fillers = "\u034f\u115f\u1160\u17b4\u17b5\u3164\uffa0\u2800"

func hidden(c rune) bool {
	return unicode.In(c, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Co, unicode.Cs, unicode.Variation_Selector) ||
		strings.ContainsRune(fillers, c)
}

// quoted is text as typed, in quotes.
func quoted(s string) string { return `"` + s + `"` }
