package page

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"reconcile/internal/tickets"
)

// forms are what the page holds: the forms of one job as bytes, and the copies
// that they name. A form that was opened keeps its bytes until it is changed.
type forms struct {
	by      map[string]*form
	copies  map[string][]byte
	changed map[string]bool // names whose bytes are to be stored, or forgotten
	sep     rune            // of a form that the page begins
}

// form is one form as bytes, and as the core's reader splits them.
type form struct {
	bytes  []byte
	table  tickets.Table
	broken []tickets.Fault // it cannot be split: there is no table
}

func newForms() *forms {
	return &forms{by: map[string]*form{}, copies: map[string][]byte{}, changed: map[string]bool{}, sep: ','}
}

// put takes a file as it is: a form, or a copy.
func (f *forms) put(name string, b []byte) {
	f.changed[name] = true
	if !slices.Contains(tickets.FormNames(), name) {
		f.copies[name] = b
		return
	}
	t, broken := tickets.TableOf(tickets.Form{Name: name, Bytes: b})
	f.by[name] = &form{bytes: b, table: t, broken: broken}
}

// drop forgets a file.
func (f *forms) drop(name string) {
	f.changed[name] = true
	delete(f.by, name)
	delete(f.copies, name)
}

// files lists the forms that are there, in the order of the core.
func (f *forms) files() []tickets.Form {
	var all []tickets.Form
	for _, name := range tickets.FormNames() {
		if have := f.by[name]; have != nil {
			all = append(all, tickets.Form{Name: name, Bytes: have.bytes})
		}
	}
	return all
}

// bytesOf gives a file, whether form or copy.
func (f *forms) bytesOf(name string) ([]byte, bool) {
	if have := f.by[name]; have != nil {
		return have.bytes, true
	}
	b, ok := f.copies[name]
	return b, ok
}

// names lists every file, forms first.
func (f *forms) names() []string {
	var all []string
	for _, have := range f.files() {
		all = append(all, have.Name)
	}
	return append(all, slices.Sorted(maps.Keys(f.copies))...)
}

// rows is how many lines a form has.
func (f *forms) rows(name string) int {
	if have := f.by[name]; have != nil {
		return len(have.table.Rows)
	}
	return 0
}

// cell gives a cell; "" where it is not there.
func (f *forms) cell(name string, row int, column string) string {
	have := f.by[name]
	if have == nil || row < 0 || row >= len(have.table.Rows) {
		return ""
	}
	at := slices.Index(have.table.Header, column)
	if at < 0 || at >= len(have.table.Rows[row]) {
		return ""
	}
	return have.table.Rows[row][at]
}

// rating is the rating that a line of ratings.csv means, and the kind that its own
// word says; "" where it is none.
func (f *forms) rating(row int) (word, kind string) {
	have := f.by[ratingsForm]
	if have == nil || row < 0 || row >= len(have.table.Ratings) {
		return "", ""
	}
	return have.table.Ratings[row].Word, have.table.Ratings[row].Kind
}

// set fills a cell; the column is added to the form where it is missing.
func (f *forms) set(name string, row int, column, value string) {
	have := f.by[name]
	value = oneLine(value)
	if have == nil || row < 0 || row >= len(have.table.Rows) || f.cell(name, row, column) == value {
		return
	}
	at := have.column(name, column)
	have.table.Rows[row][at] = value
	f.write(name)
}

// column gives the index of a column, which is added at its place in the
// order of the core's columns where it is missing.
func (f *form) column(name, column string) int {
	if at := slices.Index(f.table.Header, column); at >= 0 {
		return at
	}
	order := columnsOf(name).Known
	rank := slices.Index(order, column)
	at := len(f.table.Header)
	if rank >= 0 {
		for i, have := range f.table.Header {
			if other := slices.Index(order, have); other > rank {
				at = i
				break
			}
		}
	}
	f.table.Header = slices.Insert(f.table.Header, at, column)
	for i := range f.table.Rows {
		f.table.Rows[i] = slices.Insert(f.table.Rows[i], at, "")
	}
	return at
}

// add puts a line behind line `after`, or at the end where that is negative,
// and begins the form where it is not there. It returns the line's place.
func (f *forms) add(name string, after int, cells map[string]string) int {
	have := f.by[name]
	if have == nil {
		have = &form{table: tickets.Table{Sep: f.sep, Header: wanted(name)}}
		f.by[name] = have
	}
	row := len(have.table.Rows)
	if after >= 0 && after < row {
		row = after + 1
	}
	have.table.Rows = slices.Insert(have.table.Rows, row, make([]string, len(have.table.Header)))
	for _, column := range slices.Sorted(maps.Keys(cells)) {
		at := have.column(name, column)
		have.table.Rows[row][at] = oneLine(cells[column])
	}
	f.write(name)
	return row
}

// remove takes a line out; a form without lines goes.
func (f *forms) remove(name string, row int) {
	have := f.by[name]
	if have == nil || row < 0 || row >= len(have.table.Rows) {
		return
	}
	have.table.Rows = slices.Delete(have.table.Rows, row, row+1)
	f.write(name)
}

// write makes the bytes of a form from its table, and reads them back, so that
// every place is the one that the core's faults give. Columns that nothing is
// written in are left out.
func (f *forms) write(name string) {
	have := f.by[name]
	if len(have.table.Rows) == 0 {
		f.drop(name)
		return
	}
	have.dropBlank(name)
	var b strings.Builder
	for _, note := range have.table.Notes {
		b.WriteString(note + "\n")
	}
	writeLine(&b, have.table.Header, have.table.Sep)
	for _, row := range have.table.Rows {
		// A first cell of # alone or before a space would make the line a note.
		if rest, note := strings.CutPrefix(row[0], "#"); note && strings.TrimLeft(rest, " ") != rest || row[0] == "#" {
			row[0] = strings.TrimSpace(rest)
		}
		writeLine(&b, row, have.table.Sep)
	}
	f.put(name, []byte(b.String()))
}

// dropBlank takes columns away that are blank on every line and not required.
func (f *form) dropBlank(name string) {
	required := wanted(name)
	for at := len(f.table.Header) - 1; at >= 0; at-- {
		filled := slices.ContainsFunc(f.table.Rows, func(row []string) bool { return row[at] != "" })
		if filled || slices.Contains(required, f.table.Header[at]) || at == 0 && len(f.table.Header) == 1 {
			continue
		}
		f.table.Header = slices.Delete(f.table.Header, at, at+1)
		for i := range f.table.Rows {
			f.table.Rows[i] = slices.Delete(f.table.Rows[i], at, at+1)
		}
	}
}

// columnsOf is a form of the core's without a line: its columns.
func columnsOf(name string) tickets.Table {
	t, _ := tickets.TableOf(tickets.Form{Name: name})
	return t
}

// wanted are the columns that a form of the page always has: those without
// which it says nothing.
func wanted(name string) []string {
	required := columnsOf(name).Required
	if name == "tickets.csv" { // or a column for each wheel, which comes and goes
		return append(required, "on_deck", "reading")
	}
	return required
}

// writeLine writes cells, each in quotes where it could be misread.
func writeLine(b *strings.Builder, cells []string, sep rune) {
	for i, cell := range cells {
		if i > 0 {
			b.WriteRune(sep)
		}
		if strings.ContainsRune(cell, sep) || strings.ContainsAny(cell, `",;`+"\t") {
			cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		}
		b.WriteString(cell)
	}
	b.WriteByte('\n')
}

// oneLine is what a cell of the page can hold: no line break.
func oneLine(s string) string {
	return strings.NewReplacer("\r\n", " ", "\n", " ", "\r", " ").Replace(strings.TrimLeft(s, " "))
}

// at finds the cell of a fault: the row, and the column that begins at or
// before the place; row -1 for the header.
func (f *forms) at(name string, line, column int) (row int, col string) {
	have := f.by[name]
	if have == nil {
		return -1, ""
	}
	row = slices.Index(have.table.Lines, line)
	if row < 0 {
		return -1, ""
	}
	columns := have.table.Columns[row]
	for j := len(columns) - 1; j >= 0; j-- {
		if columns[j] <= column && j < len(have.table.Header) {
			return row, have.table.Header[j]
		}
	}
	return row, ""
}

// rowAt finds the row of a line; -1 where there is none.
func (f *forms) rowAt(name string, line int) int {
	row, _ := f.at(name, line, 1)
	return row
}

// lineOf is the line that a row has in its form.
func (f *forms) lineOf(name string, row int) int {
	if have := f.by[name]; have != nil && row >= 0 && row < len(have.table.Lines) {
		return have.table.Lines[row]
	}
	return 0
}

// one gives a cell of a form that has one line.
func (f *forms) one(name, column string) string { return f.cell(name, 0, column) }

// setOne fills a cell of a form that has one line, which begins with it and
// goes with its last cell.
func (f *forms) setOne(name, column, value string) {
	if f.rows(name) == 0 {
		if value != "" {
			f.add(name, -1, map[string]string{column: value})
		}
		return
	}
	f.set(name, 0, column, value)
	if f.blank(name, 0) {
		f.remove(name, 0)
	}
}

// blank says whether a line has no filled cell.
func (f *forms) blank(name string, row int) bool {
	have := f.by[name]
	return have != nil && row < len(have.table.Rows) && !slices.ContainsFunc(have.table.Rows[row], func(c string) bool { return c != "" })
}

// columns are the filled columns of a row.
func (f *forms) columns(name string, row int) []string {
	have := f.by[name]
	var all []string
	if have == nil || row >= len(have.table.Rows) {
		return nil
	}
	for i, c := range have.table.Rows[row] {
		if c != "" {
			all = append(all, have.table.Header[i])
		}
	}
	return all
}

func itoa(n int) string { return strconv.Itoa(n) }
