package pdfout

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"reconcile/internal/words"
)

// lacking is printed for every character that cannot be printed, so that a name
// is seen to be incomplete and never silently shortened.
const lacking = '□'

// noBreak is the blank at which no line is broken; it is printed as a space.
const noBreak = '\u00a0'

// clean makes s safe and honest to print: line breaks and every kind of blank
// but noBreak become one space each; what neither face can show, what is invisible or
// turns the direction of reading becomes [lacking]. Letters typed with their
// accents separate (as some file systems do) are put together, since the faces
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
	case isCommon(r), r == noBreak:
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

// printable reports whether s has only common characters, as most text has. They
// stay as they are: none of them is an accent.
func (f *faces) printable(s string) bool {
	for _, r := range s[plainPart(s):] {
		if _, common := codeOf(r); !common {
			return false
		}
	}
	return true
}

// plainPart is how many bytes s begins with that are characters of ASCII: those, which
// most texts are made of, are their own codes.
func plainPart(s string) int {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return i
		}
	}
	return len(s)
}

// ems is the width of s in thousandths of an em.
func (f *face) ems(s string) int {
	n, sum := plainPart(s), 0
	for i := range n {
		sum += int(f.common[s[i]])
	}
	for _, r := range s[n:] {
		sum += f.advance(r)
	}
	return sum
}

// width is the width of s set in size, rounded up.
func (f *face) width(s string, size length) length {
	return length((f.ems(s)*int(size) + 999) / 1000)
}

// wrap breaks text into lines no wider than w: at spaces, but not between a
// number and what belongs to it (see [words.Pieces]), within a word after one of
// / + - _ . , @ and, where nothing else fits, anywhere. It appends at least one
// line to lines; in room are the pieces meanwhile.
func (f *face) wrap(lines []string, room *[]string, text string, size, w length) []string {
	if f.oneLine(text, size, w) {
		return append(lines, text)
	}
	most := inEms(w, size)
	*room = words.Pieces((*room)[:0], text)
	pieces, before := *room, len(lines)
	space := f.advance(' ')
	for i := 0; i < len(pieces); {
		ems, n := f.ems(pieces[i]), 1
		if ems > most {
			var rest string
			lines, rest = f.chop(lines, pieces[i], most)
			if rest == "" {
				i++
				continue
			}
			pieces[i], ems = rest, f.ems(rest)
		}
		for ; i+n < len(pieces); n++ {
			more := space + f.ems(pieces[i+n])
			if ems+more > most {
				break
			}
			ems += more
		}
		var line string
		line, text = cutLine(text, pieces[i:i+n])
		lines = append(lines, line)
		i += n
	}
	if len(lines) == before {
		return append(lines, "")
	}
	return lines
}

// cutLine is pieces with a space between each two: where text begins with that as much
// of it, which takes no memory. rest is what follows in text.
func cutLine(text string, pieces []string) (line, rest string) {
	text = strings.TrimLeft(text, " ")
	at := 0
	for i, p := range pieces {
		space := " "[:min(i, 1)]
		end := at + len(space) + len(p)
		if end > len(text) || text[at:at+len(space)] != space || text[at+len(space):end] != p {
			return strings.Join(pieces, " "), ""
		}
		at = end
	}
	return text[:at], text[at:]
}

// inEms is w in thousandths of an em.
func inEms(w, size length) int { return int(w) * 1000 / int(size) }

// oneLine reports whether wrap leaves text as it is.
func (f *face) oneLine(text string, size, w length) bool {
	return f.ems(text) <= inEms(w, size) && !strings.Contains(text, "  ") && strings.Trim(text, " ") == text
}

// chop appends the full lines of one word, and gives the rest of it.
func (f *face) chop(lines []string, word string, most int) (full []string, rest string) {
	r := []rune(word)
	for f.ems(string(r)) > most {
		n := f.fitting(r, most)
		lines = append(lines, strings.TrimRight(string(r[:n]), " "))
		r = r[n:]
	}
	return lines, string(r)
}

// fitting is how many runes of r fit on one line, at least one.
func (f *face) fitting(r []rune, most int) int {
	n, good := 0, 0
	for total := 0; n < len(r); n++ {
		if total += f.advance(r[n]); total > most {
			break
		}
		if strings.ContainsRune("/+-_.,@ ", r[n]) {
			good = n + 1
		}
	}
	if good > n/3 {
		return good
	}
	return max(n, 1)
}
