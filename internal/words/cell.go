package words

import "strings"

// separators are what a spreadsheet may take for the end of a cell, whatever
// separator the file was written with.
const separators = ",;\t\r\n"

// formula are the characters with which a spreadsheet begins a formula, the
// full-width ones too, or which it may drop before one.
const formula = "=+-@\t\r\n＝＋－＠"

// Cell gives a text as a cell of a table that a spreadsheet may open. Wherever
// it could begin a formula, at its start or behind anything that a spreadsheet
// takes for a separator, it gets an apostrophe, and the cell is quoted.
func Cell(text string) string {
	kept := CellText(text)
	if kept != text || strings.ContainsAny(text, separators+"\"") || strings.TrimSpace(text) != text {
		return `"` + strings.ReplaceAll(kept, `"`, `""`) + `"`
	}
	return text
}

// CellText is a text as a reader of CSV gives it back from its Cell.
func CellText(text string) string {
	var b strings.Builder
	b.Grow(len(text) + 1)
	begins := true
	for _, c := range text {
		if begins && strings.ContainsRune(formula, c) {
			b.WriteByte('\'')
		}
		begins = begun(begins, c)
		b.WriteRune(c)
	}
	return b.String()
}

// TextOfCell takes the apostrophes of CellText out again.
func TextOfCell(cell string) string {
	var b strings.Builder
	begins := true
	runes := []rune(cell)
	for i, c := range runes {
		if begins && c == '\'' && i+1 < len(runes) && strings.ContainsRune(formula, runes[i+1]) {
			continue
		}
		begins = begun(begins, c)
		b.WriteRune(c)
	}
	return b.String()
}

// begun says whether a formula could begin behind a character.
func begun(begins bool, c rune) bool {
	return strings.ContainsRune(separators, c) || c == '"' || begins && c == ' '
}
