package page

import (
	"regexp"
	"slices"
	"strings"

	"reconcile/internal/tickets"
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
		line := number(text[at+len("line ") : end])
		place := pg.slipLine(line)
		if after, plate := strings.CutPrefix(text[end:], " of "+ratingsForm); plate {
			place, rest, named = pg.plateLine(line), after, true
		} else if after, outfit := strings.CutPrefix(text[end:], " of "+outfitForm); outfit {
			place, rest, named = say("the_plates_in_text"), after, true
		}
		if place == "" || !named && !bracketed {
			b.WriteString(text[:end])
			text = text[end:]
			continue
		}
		b.WriteString(text[:at] + place)
		text = rest
	}
}

// plateLine names a line of ratings.csv by its rating; "" where it is none.
func (pg *Page) plateLine(line int) string {
	row := pg.forms.rowAt(ratingsForm, line)
	if row < 0 {
		return ""
	}
	word, _ := tickets.RatingWord(pg.forms.cell(ratingsForm, row, "rating"))
	if word == "" {
		return ""
	}
	return say("x_on_the_plates", pg.words().RatingLabel(word, pg.forms.cell(ratingsForm, row, "on")))
}

// lineNumber is a line that a fault of tickets.csv names, of that form itself.
var lineNumber = regexp.MustCompile(`"(?:[^"\\]|\\.)*"|\bline [0-9]+\b( of )?`)

// linesOnPaper says of a fault of tickets.csv where the lines that it names are
// on the page; what is quoted stays as it was typed.
func (pg *Page) linesOnPaper(text string) string {
	return lineNumber.ReplaceAllStringFunc(text, func(found string) string {
		if place := pg.slipLine(number(strings.TrimPrefix(found, "line "))); place != "" {
			return place
		}
		return found
	})
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
