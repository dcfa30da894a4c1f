package page

import (
	"slices"
	"strings"
)

// onPaper says of a text that names lines of tickets.csv where they are on the
// page: its reader has slips before him, and no form.
func (pg *Page) onPaper(text string) string {
	var b strings.Builder
	for {
		at := strings.Index(text, "line ")
		if at < 0 {
			b.WriteString(text)
			return b.String()
		}
		end := at + len("line ")
		for end < len(text) && text[end] >= '0' && text[end] <= '9' {
			end++
		}
		rest, named := strings.CutPrefix(text[end:], " of "+ticketsForm)
		bracketed := at > 0 && text[at-1] == '(' && strings.HasPrefix(rest, ")")
		place := pg.slipLine(number(text[at+len("line ") : end]))
		if place == "" || !named && !bracketed {
			b.WriteString(text[:end])
			text = text[end:]
			continue
		}
		b.WriteString(text[:at] + place)
		text = rest
	}
}

// allOnPaper is onPaper of each.
func (pg *Page) allOnPaper(all []string) []string {
	var said []string
	for _, text := range all {
		said = append(said, pg.onPaper(text))
	}
	return said
}

// slipLine names a line of tickets.csv by its slip and its line there; "" where
// it is none.
func (pg *Page) slipLine(line int) string {
	row := pg.forms.rowAt(ticketsForm, line)
	if row < 0 {
		return ""
	}
	for i, s := range pg.slips() {
		if at := slices.Index(s.rows, row); at >= 0 {
			return say("slip_x_line_x", itoa(i+1), itoa(at+1))
		}
	}
	return ""
}
