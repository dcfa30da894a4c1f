package pdfout

// column is one column of a table: its head, its share of the page's width,
// and whether it is set to the right.
type column struct {
	head  string
	share int
	right bool
	lines []string // the head wrapped
}

// col is a column with its head, its share of the width, and whether its texts
// are set to the right.
func col(head string, share int, right bool) column {
	return column{head: head, share: share, right: right}
}

// cell is the paragraphs of one cell, each wrapped by itself.
type cell []string

// row is one line of a table.
type row struct {
	cells   []cell
	bold    bool
	verdict string // its mark is drawn in the table's marked column
	notes   string // printed small below the cells
	wrapped laidRow
}

// grid is a table that flows over pages and repeats its head.
type grid struct {
	columns []column
	marked  int // the column with verdict marks, -1 for none
	notesAt int // the column under which notes begin
	rows    []row
	edges   []length // of the columns; none: not yet
	mem     *memory
}

// padX and padY are the room next to and above the text of a cell, underHead
// that between a table's head and its first row.
const (
	padX      = 3 * pt
	padY      = 2 * pt
	underHead = 0.8 * pt
)

var (
	headStyle = style{sizeSmall, true, grey}
	noteStyle = style{sizeSmall, false, grey}
)

// newGrid begins a table without marks.
func (s *sheet) newGrid(columns ...column) *grid {
	g := s.mem.grid()
	g.columns = append(g.columns, columns...)
	return g
}

// add appends a row of single paragraphs.
func (g *grid) add(texts ...string) *row {
	all := added(&g.mem.lines, func(lines []string) []string { return append(lines, texts...) })
	r := g.addRow(g.mem.cells.List(len(texts)))
	for i := range all {
		r.cells[i] = all[i : i+1 : i+1]
	}
	return r
}

// addCells appends a row of cells.
func (g *grid) addCells(cells ...cell) *row {
	r := g.addRow(g.mem.cells.List(len(cells)))
	copy(r.cells, cells)
	return r
}

func (g *grid) addRow(cells []cell) *row {
	g.rows = append(g.rows, row{cells: cells})
	return &g.rows[len(g.rows)-1]
}

// after is the room before a column set to the left that follows one set to
// the right, so that their texts do not read as one.
const after = 7 * pt

// inset is the room to the left of column i's text.
func (g *grid) inset(i int) length {
	if i > 0 && g.columns[i-1].right && !g.columns[i].right {
		return after
	}
	return padX
}

// edges are the left edges of the columns and the right edge of the last.
func (s *sheet) edges(g *grid) []length {
	if len(g.edges) > 0 {
		return g.edges
	}
	total := 0
	for _, c := range g.columns {
		total += c.share
	}
	g.edges = append(g.edges, side)
	sum := 0
	for _, c := range g.columns {
		sum += c.share
		g.edges = append(g.edges, side+s.wide().part(sum, total))
	}
	return g.edges
}

// beginning is the height of a table's head and first two rows: what has to
// follow a heading on its page, as neither a head nor one row is left alone.
func (s *sheet) beginning(g *grid) length {
	x := s.edges(g)
	h := length(0)
	for i := range g.rows[:min(len(g.rows), 2)] {
		h += g.rows[i].height(s, g, x)
	}
	return min(s.headHeight(g, x)+underHead+h, (s.bottom()-firstLine).part(6, 10))
}

// section prints a heading, a remark on how to read the table if there is one,
// and the table.
func (s *sheet) section(heading, remark string, g *grid) {
	lines := s.wrap(noteStyle, remark, s.wide())
	s.heading(heading, noteStyle.rows(len(lines))+3*pt+s.beginning(g))
	if remark != "" {
		s.y = s.lines(noteStyle, side, s.y, lines) + 3*pt
	}
	s.table(g)
}

// table prints g into the flow.
func (s *sheet) table(g *grid) {
	if len(g.rows) == 0 {
		return
	}
	x := s.edges(g)
	s.need(max(s.beginning(g), s.headHeight(g, x)+underHead+g.rows[0].height(s, g, x)))
	kinds := s.kinds(g)
	print := s.inside
	if kinds.table == "" {
		print = func(_ string, rows func()) { rows() }
	}
	print(kinds.table, func() {
		s.inside(kinds.row, func() { s.tableHead(g, x, false) })
		for i := range g.rows {
			next := length(0)
			if i == len(g.rows)-2 { // the last row is not left alone on a page
				next = g.rows[i+1].height(s, g, x)
			}
			s.inside(kinds.row, func() { s.tableRow(g, x, &g.rows[i], next) })
		}
	})
	s.gap(3 * pt)
}

// gridKinds are what a table and its parts are to a screen reader. A cell of its own
// takes 70 bytes of the file: in the evidence, where they would be as many as
// everything else together, a row is one paragraph.
type gridKinds struct{ table, row, first, cell, head string }

func (s *sheet) kinds(g *grid) gridKinds {
	switch {
	case s.evidence:
		return gridKinds{row: "P"}
	case len(g.columns) == 2 && g.columns[0].head == "" && g.columns[1].head == "":
		return gridKinds{"L", "LI", "Lbl", "LBody", ""}
	}
	return gridKinds{"Table", "TR", "TD", "TD", "TH"}
}

// parts are the elements of a row's cells: the row itself if they have none.
func (s *sheet) parts(n int, first, others string) []*element {
	all := s.mem.parts.List(n)
	for i := range all {
		all[i] = s.within
		if kind := []string{first, others}[min(i, 1)]; kind != "" {
			all[i] = s.new(kind)
			all[i].join() // it is there if it is empty, too
		}
	}
	return all
}

// headHeight is 0 for a table whose columns have no heads.
func (s *sheet) headHeight(g *grid, x []length) length {
	n := 0
	for i := range g.columns {
		n = max(n, len(s.headLines(g, x, i)))
	}
	if n == 0 {
		return 0
	}
	return headStyle.rows(n) + 2*padY
}

// headLines are the wrapped head of column i.
func (s *sheet) headLines(g *grid, x []length, i int) []string {
	c := &g.columns[i]
	if c.head != "" && c.lines == nil {
		c.lines = s.wrap(headStyle, c.head, x[i+1]-x[i]-padX-g.inset(i))
	}
	return c.lines
}

// tableHead prints the head, each one's last line on a common baseline. Where it
// is repeated on another page it is not read again.
func (s *sheet) tableHead(g *grid, x []length, again bool) {
	h := s.headHeight(g, x)
	if h == 0 {
		return
	}
	kind := s.kinds(g).head
	for i, c := range g.columns {
		lines := s.headLines(g, x, i)
		y := s.y + h - padY - headStyle.rows(len(lines))
		part := furniture
		if !again {
			part = s.parts(1, kind, kind)[0]
		}
		s.in(part, func() { s.cellLines(headStyle, c.right, x[i]+g.inset(i), x[i+1]-padX, y, lines) })
	}
	s.y += h
	s.hline(side, s.w-side, s.y, 0.7*pt, black)
	s.gap(underHead)
}

// cellLines prints lines between two edges.
func (s *sheet) cellLines(t style, right bool, from, to, y length, lines []string) {
	for _, l := range lines {
		if right {
			s.putRight(t, to, y+t.ascent(), l)
		} else {
			s.put(t, from, y+t.ascent(), l)
		}
		y += t.line()
	}
}

// markRoom is the width that a mark takes from its cell.
const markRoom = 12 * pt

// laidRow is a row as it will be printed: the lines of its cells and of its notes.
type laidRow struct {
	cells [][]string
	notes []string
	lines int // of the longest cell, at least 1; 0: not laid yet
}

// laid wraps the cells of a row, once.
func (r *row) laid(s *sheet, g *grid, x []length) *laidRow {
	l := &r.wrapped
	if l.lines > 0 {
		return l
	}
	t := style{sizeTable, r.bold, black}
	l.cells, l.lines = s.mem.rows.List(len(r.cells)), 1
	for i, c := range r.cells {
		w := x[i+1] - x[i] - padX - g.inset(i)
		if i == g.marked {
			w -= markRoom
		}
		l.cells[i] = s.wrapEach(t, c, w)
		l.lines = max(l.lines, len(l.cells[i]))
	}
	if r.notes != "" {
		l.notes = s.wrap(noteStyle, r.notes, s.w-side-x[g.notesAt]-2*padX)
	}
	return l
}

func (r *row) height(s *sheet, g *grid, x []length) length {
	l := r.laid(s, g, x)
	return style{size: sizeTable}.rows(l.lines) + noteStyle.rows(len(l.notes)) + 2*padY
}

// room breaks the table before a line of height h that does not fit.
func (s *sheet) room(g *grid, x []length, h length) {
	if s.y+h > s.bottom() {
		s.begin()
		s.tableHead(g, x, true)
	}
}

// tableRow prints one row, together with what has to follow it. It is kept on
// one page if a page can hold it, and is cut between lines if none can.
func (s *sheet) tableRow(g *grid, x []length, r *row, next length) {
	most := (s.bottom() - top).part(8, 10)
	h := r.height(s, g, x)
	if h+next < most {
		s.room(g, x, h+next)
	} else if h < most {
		s.room(g, x, h)
	}
	kinds := s.kinds(g)
	parts := s.parts(len(r.cells), kinds.first, kinds.cell)
	s.gap(padY)
	t := style{sizeTable, r.bold, black}
	l := r.laid(s, g, x)
	at := 0
	for at < l.lines {
		s.room(g, x, t.line()+padY)
		if at == 0 && g.marked >= 0 && r.verdict != "" {
			s.verdictMark(r.verdict, x[g.marked]+g.inset(g.marked)+4.2*pt, s.y+t.line()/2, 3.8*pt)
		}
		n := max(1, min(l.lines-at, int((s.bottom()-padY-s.y)/t.line()))) // lines that fit on this page
		for c, lines := range l.cells {
			if at < len(lines) {
				s.in(parts[c], func() { s.gridCell(g, x, t, c, lines[at:min(at+n, len(lines))]) })
			}
		}
		at += n
		s.gap(t.rows(n))
	}
	for _, line := range l.notes {
		s.room(g, x, noteStyle.line()+padY)
		s.in(parts[g.notesAt], func() { s.y = s.lines(noteStyle, x[g.notesAt]+padX, s.y, []string{line}) })
	}
	s.gap(padY)
	s.hline(side, s.w-side, s.y, 0.35*pt, rule)
}

// gridCell prints lines of a cell from here down.
func (s *sheet) gridCell(g *grid, x []length, t style, c int, lines []string) {
	from := x[c] + g.inset(c)
	if c == g.marked {
		from += markRoom
	}
	s.cellLines(t, g.columns[c].right, from, x[c+1]-padX, s.y, lines)
}
