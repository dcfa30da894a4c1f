package pdfout

import (
	"fmt"

	"reconcile/internal/shelf"
)

// memory is what documents are drawn in, one after the other.
type memory struct {
	elements [][]element // in groups, so that none of them moves
	used     int         // elements
	order    []*element  // as they are numbered in the file
	pages    []page
	texts    objects // of a file
	room     []byte  // in which texts are

	grids  []*grid
	begun  int      // grids
	lines  []string // in which wrapped texts and the texts of cells are
	pieces []string // of the text that is being wrapped
	cells  shelf.Shelf[cell]
	rows   shelf.Shelf[[]string] // of lines, by cell
	parts  shelf.Shelf[*element]
}

var memories = &spares[*memory]{make: func() *memory { return new(memory) }}

// keep keeps the memory for the next document, unless it is more than documents take.
// Nothing of one is left for another.
func (m *memory) keep() {
	const most = 1 << 20
	if cap(m.room) > most || cap(m.texts) > most>>6 || m.used > most>>6 || cap(m.lines) > most>>4 {
		return
	}
	for _, g := range m.grids[:m.begun] {
		clear(g.columns)
		clear(g.rows)
	}
	clear(m.texts)
	clear(m.lines)
	clear(m.pieces[:cap(m.pieces)])
	m.texts, m.room, m.lines, m.pieces, m.used, m.begun = m.texts[:0], m.room[:0], m.lines[:0], m.pieces[:0], 0, 0
	m.cells.Clear()
	m.rows.Clear()
	m.parts.Clear()
	memories.put(m)
}

// element gives an element that nobody uses.
func (m *memory) element() *element {
	const together = 64 // asked for one by one they would take longer
	if m.used == together*len(m.elements) {
		m.elements = append(m.elements, make([]element, together))
	}
	e := &m.elements[m.used/together][m.used%together]
	m.used++
	kids := e.kids[:0]
	if *e = (element{}); kids == nil {
		kids = e.one[:0]
	}
	e.kids = kids
	return e
}

// grid gives an empty table without marks that nobody uses.
func (m *memory) grid() *grid {
	if m.begun == len(m.grids) {
		m.grids = append(m.grids, new(grid))
	}
	g := m.grids[m.begun]
	m.begun++
	*g = grid{columns: g.columns[:0], marked: -1, rows: g.rows[:0], edges: g.edges[:0], mem: m}
	return g
}

// added keeps what add appends to the room.
func added[T any](room *[]T, add func(list []T) []T) []T {
	from := len(*room)
	*room = add(*room)
	return (*room)[from:len(*room):len(*room)]
}

// text keeps what add appends to the room.
func (m *memory) text(add func(b []byte) []byte) []byte { return added(&m.room, add) }

// textf is a text as a format says it.
func (m *memory) textf(format string, args ...any) []byte {
	return m.text(func(b []byte) []byte { return fmt.Appendf(b, format, args...) })
}

// paragraphs is a cell of some paragraphs, the blank ones left out.
func (m *memory) paragraphs(texts ...string) cell {
	return added(&m.lines, func(lines []string) []string {
		for _, t := range texts {
			if t != "" {
				lines = append(lines, t)
			}
		}
		return lines
	})
}
