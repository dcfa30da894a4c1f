package screen

import (
	"slices"
	"strings"
)

// table is rows of cells under a header. The columns named in figures are set to
// the right and are never broken; where the table would be wider than the
// terminal, its columns first move together and then the others wrap, but for those
// named in whole; where each row is one line they are cut instead.
type table struct {
	head    []string
	figures []int
	whole   []int
	oneLine bool
	rows    [][]string
}

const (
	airy   = "  "
	narrow = " "
)

// text gives the table's lines, none longer than Columns.
func (t table) text() string {
	wide, gap := t.widths()
	var b strings.Builder
	for _, row := range append([][]string{t.head}, t.rows...) {
		b.WriteString(t.row(row, wide, gap))
	}
	return b.String()
}

// widths gives the columns' widths and the gap between them. Where the narrow
// gap does not do, the widest text column is made narrower, one by one, until
// the table fits.
func (t table) widths() (wide []int, gap string) {
	wide = make([]int, len(t.head))
	for _, row := range append([][]string{t.head}, t.rows...) {
		for i, cell := range row {
			wide[i] = max(wide[i], cells(cell))
		}
	}
	if total(wide, airy) <= columns {
		return wide, airy
	}
	for total(wide, narrow) > columns {
		widest := t.widest(wide)
		if wide[widest] <= 4 {
			break // nothing left to take: figures alone fill the line
		}
		wide[widest]--
	}
	return wide, narrow
}

// leastCut is how narrow a column of a table of single lines gets before the one to
// its left gives way: the first says what the row is about.
const leastCut = 10

// widest gives the column to make narrower: the widest that may be, or, where each row
// is one line, the last.
func (t table) widest(wide []int) int {
	at := -1
	for i, w := range wide {
		if slices.Contains(t.figures, i) || slices.Contains(t.whole, i) {
			continue
		}
		if at < 0 || w > wide[at] || t.oneLine && w > leastCut {
			at = i
		}
	}
	return at
}

func total(wide []int, gap string) int {
	sum := len(gap) * (len(wide) - 1)
	for _, w := range wide {
		sum += w
	}
	return sum
}

// row prints one row, as many lines as its tallest cell needs.
func (t table) row(row []string, wide []int, gap string) string {
	lines := make([][]string, len(row))
	tall := 1
	for i, cell := range row {
		lines[i] = wrap(cell, wide[i])
		if t.oneLine && len(lines[i]) > 1 {
			lines[i] = []string{cut(cell, wide[i]-1) + "…"}
		}
		tall = max(tall, len(lines[i]))
	}
	var b strings.Builder
	for n := range tall {
		var line []string
		for i := range row {
			text := ""
			if n < len(lines[i]) {
				text = lines[i][n]
			}
			line = append(line, pad(text, wide[i], slices.Contains(t.figures, i)))
		}
		b.WriteString(strings.TrimRight(strings.Join(line, gap), " ") + "\n")
	}
	return b.String()
}
