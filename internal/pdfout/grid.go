package pdfout

// column is one column of a table: its head, its share of the page's width,
// and whether it is set to the right.
type column struct {
	head  string
	share int
	right bool
}

// cell is the paragraphs of one cell, each wrapped by itself.
type cell []string

// row is one line of a table.
type row struct {
	cells   []cell
	bold    bool
	verdict string // its mark is drawn in the table's marked column
	notes   string // printed small below the cells
}

// grid is a table that flows over pages and repeats its head.
type grid struct {
	columns []column
	marked  int // the column with verdict marks, -1 for none
	notesAt int // the column under which notes begin
	rows    []row
}

// padX and padY are the room next to and above the text of a cell.
const (
	padX = 3 * pt
	padY = 2 * pt
)

var (
	headStyle = style{sizeSmall, true, grey}
	noteStyle = style{sizeSmall, false, grey}
)

// newGrid begins a table without marks.
func newGrid(columns ...column) *grid { return &grid{columns: columns, marked: -1} }

// add appends a row of single paragraphs.
func (g *grid) add(texts ...string) {
	r := row{}
	for _, t := range texts {
		r.cells = append(r.cells, cell{t})
	}
	g.rows = append(g.rows, r)
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
	total := 0
	for _, c := range g.columns {
		total += c.share
	}
	x, sum := []length{side}, 0
	for _, c := range g.columns {
		sum += c.share
		x = append(x, side+s.wide().part(sum, total))
	}
	return x
}

// beginning is the height of a table's head and first row: what has to follow
// a heading on its page.
func (s *sheet) beginning(g *grid) length {
	if len(g.rows) == 0 {
		return 0
	}
	x := s.edges(g)
	return min(s.headHeight(g, x)+s.rowHeight(g, x, g.rows[0]), (s.bottom()-firstLine).part(6, 10))
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
	s.need(s.headHeight(g, x) + s.rowHeight(g, x, g.rows[0]))
	s.tableHead(g, x)
	for i, r := range g.rows {
		next := length(0)
		if i == len(g.rows)-2 { // the last row is not left alone on a page
			next = s.rowHeight(g, x, g.rows[i+1])
		}
		s.tableRow(g, x, r, next)
	}
	s.gap(3 * pt)
}

// headHeight is 0 for a table whose columns have no heads.
func (s *sheet) headHeight(g *grid, x []length) length {
	n := 0
	for i, c := range g.columns {
		if c.head != "" {
			n = max(n, len(s.wrap(headStyle, c.head, x[i+1]-x[i]-padX-g.inset(i))))
		}
	}
	if n == 0 {
		return 0
	}
	return headStyle.rows(n) + 2*padY
}

// tableHead prints the head, each one's last line on a common baseline.
func (s *sheet) tableHead(g *grid, x []length) {
	h := s.headHeight(g, x)
	if h == 0 {
		return
	}
	for i, c := range g.columns {
		lines := s.wrap(headStyle, c.head, x[i+1]-x[i]-padX-g.inset(i))
		y := s.y + h - padY - headStyle.rows(len(lines))
		s.cellLines(headStyle, c.right, x[i]+g.inset(i), x[i+1]-padX, y, lines)
	}
	s.y += h
	s.hline(side, s.w-side, s.y, 0.7*pt, black)
	s.gap(0.8 * pt)
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

// laid wraps the cells of a row.
func (s *sheet) laid(g *grid, x []length, r row) [][]string {
	t := style{sizeTable, r.bold, black}
	out := make([][]string, len(r.cells))
	for i, c := range r.cells {
		w := x[i+1] - x[i] - padX - g.inset(i)
		if i == g.marked {
			w -= markRoom
		}
		for _, p := range c {
			out[i] = append(out[i], s.wrap(t, p, w)...)
		}
	}
	return out
}

func (s *sheet) notes(g *grid, x []length, r row) []string {
	if r.notes == "" {
		return nil
	}
	return s.wrap(noteStyle, r.notes, s.w-side-x[g.notesAt]-2*padX)
}

func (s *sheet) rowHeight(g *grid, x []length, r row) length {
	n := 1
	for _, c := range s.laid(g, x, r) {
		n = max(n, len(c))
	}
	return style{size: sizeTable}.rows(n) + noteStyle.rows(len(s.notes(g, x, r))) + 2*padY
}

// room breaks the table before a line of height h that does not fit.
func (s *sheet) room(g *grid, x []length, h length) {
	if s.y+h > s.bottom() {
		s.page()
		s.tableHead(g, x)
	}
}

// tableRow prints one row, together with what has to follow it. It is kept on
// one page if a page can hold it, and is cut between lines if none can.
func (s *sheet) tableRow(g *grid, x []length, r row, next length) {
	most := (s.bottom() - top).part(8, 10)
	if h := s.rowHeight(g, x, r); h+next < most {
		s.room(g, x, h+next)
	} else if h < most {
		s.room(g, x, h)
	}
	s.gap(padY)
	t := style{sizeTable, r.bold, black}
	cells := s.laid(g, x, r)
	for i, more := 0, true; more; i++ {
		s.room(g, x, t.line()+padY)
		if i == 0 && g.marked >= 0 && r.verdict != "" {
			s.mark(r.verdict, x[g.marked]+g.inset(g.marked)+4.2*pt, s.y+t.line()/2, 3.8*pt)
		}
		more = s.rowLine(g, x, t, cells, i)
		s.gap(t.line())
	}
	for _, l := range s.notes(g, x, r) {
		s.room(g, x, noteStyle.line()+padY)
		s.y = s.lines(noteStyle, x[g.notesAt]+padX, s.y, []string{l})
	}
	s.gap(padY)
	s.hline(side, s.w-side, s.y, 0.35*pt, rule)
}

// rowLine prints the i-th line of every cell and reports whether there is more.
func (s *sheet) rowLine(g *grid, x []length, t style, cells [][]string, i int) bool {
	more := false
	for c, lines := range cells {
		if i >= len(lines) {
			continue
		}
		from := x[c] + g.inset(c)
		if c == g.marked {
			from += markRoom
		}
		s.cellLines(t, g.columns[c].right, from, x[c+1]-padX, s.y, lines[i:i+1])
		more = more || i+1 < len(lines)
	}
	return more
}
