package screen

import (
	"strings"
	"unicode"

	"golang.org/x/text/width"

	"reconcile/internal/words"
)

// columns is the width of everything this package prints.
const columns = 80

// clean makes text that somebody typed fit for a terminal: control and format
// characters, which could move the cursor or turn the writing round, and line
// ends become blanks, and runs of blanks one.
func clean(text string) string {
	blank := func(c rune) rune {
		if unicode.In(c, unicode.C, unicode.Zl, unicode.Zp) || c == unicode.ReplacementChar {
			return ' '
		}
		return c
	}
	return strings.Join(strings.Fields(strings.Map(blank, text)), " ")
}

// cells counts the columns that text takes on a terminal: two for a wide
// character, none for a mark that combines.
func cells(text string) int {
	n := 0
	for _, c := range text {
		n += runeCells(c)
	}
	return n
}

func runeCells(c rune) int {
	if unicode.In(c, unicode.Mn, unicode.Me) {
		return 0
	}
	switch width.LookupRune(c).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// wrap breaks text into lines of at most wide columns, at blanks but not within
// a number and what belongs to it; a word that is longer than a line is cut. A
// line has room for a character however narrow it is.
func wrap(text string, wide int) []string {
	wide = max(wide, 1)
	var lines []string
	line := ""
	for _, word := range words.Pieces(nil, strings.Join(strings.Fields(text), " ")) {
		if line != "" && cells(line)+1+cells(word) <= wide {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for cells(word) > wide {
			head := cut(word, wide)
			lines, word = append(lines, head), word[len(head):]
		}
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// cut gives as much of a word as fits into wide columns, at least one rune.
func cut(word string, wide int) string {
	n := 0
	for i, c := range word {
		if n += runeCells(c); n > wide && i > 0 {
			return word[:i]
		}
	}
	return word
}

// leastText is how many columns a lead leaves for the text behind it.
const leastText = 20

// hang puts text behind a lead ("next: "), its further lines indented below
// the text, and ends every line. A lead too long for that, as the numbers of very
// many footnotes are, is wrapped with the text.
func hang(lead, text string) string {
	if columns-cells(lead) < leastText {
		lead, text = "  ", lead+text
	}
	indent := strings.Repeat(" ", cells(lead))
	var b strings.Builder
	for i, line := range wrap(clean(text), columns-cells(lead)) {
		if i > 0 {
			lead = indent
		}
		b.WriteString(lead + line + "\n")
	}
	return b.String()
}

// pad fills text up to wide columns, on the right or, for figures, on the left.
func pad(text string, wide int, figures bool) string {
	gap := strings.Repeat(" ", max(0, wide-cells(text)))
	if figures {
		return gap + text
	}
	return text + gap
}
