package page

import (
	"encoding/json"
	"strings"
)

// piece is a piece of a part. It is drawn again, and filled in again, only when
// something that it is drawn from has changed: a keystroke in one line of a slip
// leaves the other lines as they are on the page.
type piece struct {
	from  string   // all that it is drawn from
	html  string   // what fills it
	shown []string // the faults that it shows
	part  string   // the part that it belongs to
}

// piece gives the place of a piece, and draws the piece where `from` has changed.
func (pg *page) piece(id, from string, draw func() string) string {
	have := pg.pieces[id]
	if from += pg.shared; have == nil || have.from != from || pg.inline {
		before := pg.shown
		pg.shown = map[string]bool{}
		have = &piece{from: from, html: draw(), part: pg.view.Part}
		have.shown = sortedKeys(pg.shown)
		pg.shown = before
	}
	for _, fault := range have.shown {
		pg.shown[fault] = true
	}
	if pg.inline {
		return el("div", at{"id", id, "data-piece", ""}, have.html)
	}
	pg.pieces[id] = have
	pg.drawn = append(pg.drawn, id)
	return el("div", at{"id", id, "data-piece", ""})
}

// forgetPieces forgets the pieces of the part in view that are no longer in it.
func (pg *page) forgetPieces() {
	still := map[string]bool{}
	for _, id := range pg.drawn {
		still[id] = true
	}
	for id, have := range pg.pieces {
		if have.part == pg.view.Part && !still[id] {
			delete(pg.pieces, id)
			delete(pg.sent, id)
		}
	}
}

// sharedState is all that any piece may be drawn from beyond its own lines: the
// outfit, the names of loads and places, and what the page remembers.
func (pg *page) sharedState() string {
	var b strings.Builder
	seen, _ := json.Marshal(pg.view) // it is marshalled for the store too
	b.Write(seen)
	for _, s := range []string{pg.unit(), pg.region(), string(pg.forms.sep), pg.rowState(outfitForm, 0)} {
		b.WriteString("\x1e" + s)
	}
	for _, form := range []string{loadsForm, placesForm} {
		for row := range pg.forms.rows(form) {
			b.WriteString("\x1e" + pg.forms.cell(form, row, "load") + "\x1f" + pg.forms.cell(form, row, "place"))
		}
	}
	return b.String()
}

// rowState is what a line of a form shows: its cells, its faults, and what is
// asked of it.
func (pg *page) rowState(form string, row int) string {
	have := pg.forms.by[form]
	if have == nil || row < 0 || row >= len(have.table.Rows) {
		return "\x1d"
	}
	var b strings.Builder
	for i, cell := range have.table.Rows[row] {
		b.WriteString(have.table.Header[min(i, len(have.table.Header)-1)] + "\x1f" + cell + "\x1e")
	}
	for i := range pg.faults {
		if f := &pg.faults[i]; f.File == form && pg.forms.rowAt(form, f.Line) == row {
			b.WriteString(f.Error() + "\x1e")
		}
	}
	if r := pg.record(); r != nil {
		for i, q := range r.Questions {
			if q.File == form && pg.forms.rowAt(form, q.Line) == row {
				b.WriteString(q.Code + "\x1f" + pg.words().Headline().Questions[i].Asked + "\x1e")
				if q.Answered {
					b.WriteString("answered")
				}
			}
		}
	}
	b.WriteString("\x1d")
	return b.String()
}
