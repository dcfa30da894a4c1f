package words

import "strings"

// unitWords are what a number is never parted from.
var unitWords = map[string]bool{"kg": true, "lb": true, "t": true, "kN": true, "mm": true, "cm": true, "m": true, "in": true, "%": true, "kg·m": true, "e": true}

// Pieces splits text at its spaces, and keeps together what no line may break
// in: a number, what leads it, its ± U and its unit. It appends the pieces to those
// that are there, which do not count.
func Pieces(pieces []string, text string) []string {
	first := len(pieces)
	for from := 0; from < len(text); {
		to := len(text)
		if space := strings.IndexByte(text[from:], ' '); space >= 0 {
			to = from + space
		}
		word, n := text[from:to], len(pieces)
		switch {
		case word == "":
		case n == first || !belongs(pieces[n-1], word):
			pieces = append(pieces, word)
		case from > len(pieces[n-1]) && text[from-1-len(pieces[n-1]):from-1] == pieces[n-1]: // the same letters follow each other in text
			pieces[n-1] = text[from-1-len(pieces[n-1]) : to]
		default:
			pieces[n-1] += " " + word
		}
		from = to + 1
	}
	return pieces
}

// leadWords are what a number that follows is never parted from.
var leadWords = map[string]bool{"p": true, "u": true, "U": true, "e": true, "line": true, "lines": true, "ticket": true, "±": true, "<": true}

// belongs reports whether next is never parted from what is before it.
func belongs(before, next string) bool {
	if strings.HasSuffix(before, "±") || next == "±" || endsInDigit(before) && unitWords[strings.TrimRight(next, ",;.:)")] {
		return true
	}
	if next != "<" && !beginsWithDigit(next) {
		return false
	}
	last := strings.TrimLeft(before[strings.LastIndexByte(before, ' ')+1:], "(")
	if next == "<" {
		return last == "p"
	}
	return leadWords[last]
}

func beginsWithDigit(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }

func endsInDigit(s string) bool {
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}
