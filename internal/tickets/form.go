package tickets

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// place is where a cell is: line and column from 1, in characters.
type place struct{ line, column int32 }

// span is where a record is: its first and last line in the file, from 1.
// A quoted line feed makes it more than one.
type span struct{ first, last int32 }

// record is one line of a form: its trimmed cells under the header, and where
// they are.
type record struct {
	form   *form
	cells  []string // one a header cell; missing ones are blank
	first  int      // lines of the file, from 1
	last   int
	job    string
	shared bool // it applies to every job of the folder
	faults *sink
	places []place // of the cells that the line has, where one was asked for
}

// place is where a cell is, or, where the line ends before it, the end of the
// line.
func (r *record) place(i int) place {
	places := r.places
	if places == nil {
		places = r.form.placesOf(r)
		if !r.shared { // which jobs that are read side by side ask
			r.places = places
		}
	}
	if i >= 0 && i < len(places) {
		return places[i]
	}
	return r.form.endOf(r.last)
}

// form is one form gone through: its text is kept, its lines are known by
// their place and split again when their job is read.
type form struct {
	spec    *spec
	src     source
	numbers []int // the line numbers of the original, where src is a part of it
	sep     rune
	header  []string // lower case; "" for a blank one and for a faulty one
	index   map[string]int
	job     int     // the column of the job; -1 where there is none
	set     int     // the column of the set; -1 where there is none
	bound   binding // of the header to the row of the form
	first   int     // lines of the header
	last    int
	total   int // lines that hold something
	byJob   map[string][]span
	spans   []span // of the lines that name a job, in the order of the form
	run     int    // where in spans the lines begin of the job that the last line names
	runOf   string
	noJob   []span
	shared  []record // the lines of no job, where they hold for every job
	entire  *input   // what the form gives to every job, where it has no other lines
	jobs    []string // in order of first mention
	hasJobs bool
	broken  bool // not all of it could be read: what it does not name is not asked of it
	faults  *sink
	sign    byte            // the first decimal sign met
	numeric []int           // columns that hold numbers
	sets    map[string]bool // named in the column set
}

// number is the line number in the original form.
func (f *form) number(line int) int {
	if line > len(f.numbers) {
		return line
	}
	return f.numbers[line-1]
}

// refuse adds a fault of the entire form at a place of its text.
func (f *form) refuse(at place, what, wanted, hint string) {
	f.broken = true
	f.faults.add(Fault{File: f.spec.name, Line: f.number(int(at.line)), Column: int(at.column), What: what, Wanted: wanted, Hint: hint, All: true})
}

func (f *form) placeOf(offset int) place {
	l, c := f.src.place(offset)
	return place{int32(l), int32(c)}
}

// readForm goes through a form once. Every fault of the file, its header and
// the shape of its lines goes to the sink; the lines are filed by job.
func readForm(in Form, sp *spec, faults *sink) *form {
	f := &form{spec: sp, faults: faults, byJob: map[string][]span{}, index: map[string]int{}, job: -1, set: -1, sets: map[string]bool{}, first: 1, last: 1}
	src, bad := readSource(in.Bytes)
	f.src = src
	if bad != nil {
		f.refuse(f.placeOf(bad.offset), bad.what, bad.wanted, bad.hint)
		return f
	}
	f.numbers = expanded(in.Lines)
	if f.numbers != nil && len(f.numbers) < f.lineCount() {
		f.refuse(place{1, 1}, "the line numbers do not fit the lines", "one number a line", "")
		return f
	}
	f.sep = f.sniff()
	f.readAll()
	return f
}

// lineCount is the number of lines, an empty last one not counted.
func (f *form) lineCount() int {
	n := len(f.src.start)
	if f.src.start[n-1] == len(f.src.text) {
		n--
	}
	return n
}

// isComment says whether the first cell of a raw line is # followed by a
// space, or # alone.
func isComment(line string, sep rune) bool {
	rest, ok := strings.CutPrefix(strings.TrimLeft(line, " \t\u00a0"), "#")
	if !ok {
		return false
	}
	r, _ := utf8.DecodeRuneInString(rest)
	return rest == "" || r == sep || r == ' ' || r == '\t' || r == '\n' || r == '\r' || r == '\u00a0'
}

// beginsCell says whether a line begins with a letter or digit, as most do: it is
// neither blank nor a comment.
func beginsCell(line string) bool { return line != "" && isShown(line[0]) && line[0] != '#' }

// lineReader hands the text to the CSV reader one line a call, so that between
// two records it knows where they end.
type lineReader struct {
	src    *source
	next   int    // the line to hand out, from 0
	rest   string // of the line begun
	handed int    // lines handed out
}

func (r *lineReader) Read(p []byte) (int, error) {
	if r.rest == "" {
		if r.next >= len(r.src.start) {
			return 0, io.EOF
		}
		r.rest = r.src.line(r.next)
		r.next++
		r.handed++
		if r.rest == "" {
			return 0, io.EOF
		}
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

// buffers are what CSV readers read through; each is of the size that they
// take as it is.
var buffers = sync.Pool{New: func() any { return bufio.NewReader(nil) }}

// quotedReader reads records with quotes, which may run over several lines, by
// the CSV reader.
type quotedReader struct {
	lines  lineReader
	buffer *bufio.Reader
	csv    *csv.Reader // nil before the first record
	shift  int         // how far the lines that it counts lie before those of the file
}

// read reads the record that begins on a line, counted from 1, and gives the
// line on which it ends.
func (q *quotedReader) read(f *form, first int) (cells []string, last int, err error) {
	if q.csv == nil {
		q.lines.src, q.buffer = &f.src, buffers.Get().(*bufio.Reader)
		q.buffer.Reset(&q.lines)
		q.csv = csv.NewReader(q.buffer)
		q.csv.Comma, q.csv.FieldsPerRecord, q.csv.ReuseRecord = f.sep, -1, true
	}
	q.lines.next = first - 1
	q.shift = q.lines.next - q.lines.handed
	cells, err = q.csv.Read()
	return cells, q.lines.next, err
}

func (q *quotedReader) close() {
	if q.buffer != nil {
		buffers.Put(q.buffer)
	}
	*q = quotedReader{}
}

// readAll goes through header and lines up to the end or to a misplaced quote.
// One record serves for all lines: of those that are kept the place is kept.
func (f *form) readAll() {
	var q quotedReader
	defer q.close()
	r := &record{form: f, faults: f.faults}
	for line := 1; line <= len(f.src.start); line = r.last + 1 {
		*r = record{form: f, faults: f.faults, first: line, last: line, cells: r.cells[:0]}
		if text := f.src.line(line - 1); !beginsCell(text) && (strings.TrimSpace(text) == "" || isComment(text, f.sep)) {
			continue // whose quotes need not match
		}
		if err := f.split(r, &q); err != nil {
			f.refuseQuote(err, q.shift)
			break
		}
		f.take(r)
	}
	f.fileRun()
	if f.header == nil && !f.broken {
		f.refuse(place{1, 1}, "the form is empty", "a header line with column names", "")
	}
}

// split appends the trimmed cells of the record that begins on the record's first
// line. Cells without quotes are parts of the form's text.
func (f *form) split(r *record, q *quotedReader) *csv.ParseError {
	text := f.src.line(r.first - 1)
	if strings.IndexByte(text, '"') < 0 {
		r.cells = appendCells(r.cells, strings.TrimSuffix(strings.TrimSuffix(text, "\n"), "\r"), f.sep)
	} else {
		cells, last, err := q.read(f, r.first)
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			return bad
		}
		for _, c := range cells {
			r.cells = append(r.cells, trim(c))
		}
		r.last = last
	}
	if f.job >= 0 && f.job < len(r.cells) {
		r.job = r.cells[f.job]
	}
	return nil
}

// appendCells splits a line without quotes.
func appendCells(cells []string, line string, sep rune) []string {
	for {
		i := strings.IndexByte(line, byte(sep))
		if i < 0 {
			return append(cells, trim(line))
		}
		cells = append(cells, trim(line[:i]))
		line = line[i+1:]
	}
}

// records splits lines again, which readAll has found complete; what is
// refused of them goes to the sink given.
func (f *form) records(d *desk, spans []span, faults *sink) []record {
	if len(spans) == 0 {
		return nil
	}
	q := &d.quoted
	defer q.close()
	n := len(f.header)
	all, cells := d.records.List(len(spans)), d.texts.List(n*len(spans))
	for i, s := range spans {
		r := &all[i]
		*r = record{form: f, cells: cells[i*n : i*n : (i+1)*n], first: int(s.first), last: int(s.last), faults: faults}
		if err := f.split(r, q); err != nil {
			panic(fmt.Sprintf("tickets: %s: lines %d to %d read again: %v", f.spec.name, s.first, s.last, err))
		}
		f.fitHeader(r)
	}
	return all
}

// placesOf finds where the cells of a record are, by the CSV reader: few lines
// are asked.
func (f *form) placesOf(r *record) []place {
	var q quotedReader
	defer q.close()
	cells, _, err := q.read(f, r.first)
	if err != nil {
		panic(fmt.Sprintf("tickets: %s: line %d read again: %v", f.spec.name, r.first, err))
	}
	places := make([]place, len(cells))
	counter := columnCounter{src: &f.src}
	for i, c := range cells {
		places[i] = counter.cellPlace(q.csv, i, c, q.shift)
	}
	return places
}

// refuseQuote reports an unclosed quote where it opens, a misplaced one
// where it is. shift is added to the line numbers of the CSV reader.
func (f *form) refuseQuote(bad *csv.ParseError, shift int) {
	start, line := f.src.start[bad.StartLine+shift-1], bad.Line+shift
	if bad.Err == csv.ErrQuote {
		end := len(f.src.text)
		if line <= len(f.src.start) {
			end = min(end, f.src.start[line-1]+bad.Column-1)
		}
		open := openQuote(f.src.text[start:end], f.sep)
		if at := f.placeOf(start + max(open, 0)); open >= 0 && (end == len(f.src.text) || int(at.line) != line) {
			f.refuse(at, "the quote that opens here is not closed", `a closing " before the next cell`, `write "" for a quote inside a quoted cell`)
			return
		}
	}
	at := f.placeOf(f.src.start[line-1] + bad.Column - 1)
	f.refuse(at, "a quote is inside a cell", `quotes around the entire cell`, `write "" for a quote inside a quoted cell`)
}

// openQuote is the offset of the quote that is open at the end of text, which
// starts with a record; -1 where none is.
func openQuote(text string, sep rune) int {
	open, fieldStart := -1, true
	for i := 0; i < len(text); i++ {
		switch c := text[i]; {
		case open >= 0 && c == '"' && i+1 < len(text) && text[i+1] == '"':
			i++
		case open >= 0 && c == '"':
			open = -1
		case open < 0 && c == '"' && fieldStart:
			open = i
		}
		fieldStart = open < 0 && (text[i] == byte(sep) || text[i] == '\n')
	}
	return open
}

// take files one record as header or as line; blank ones and comments are
// skipped.
func (f *form) take(r *record) {
	filled := slices.ContainsFunc(r.cells, func(c string) bool { return c != "" })
	switch {
	case !filled || r.cells[0] == "#" || strings.HasPrefix(r.cells[0], "# "):
	case f.header == nil:
		f.first, f.last = r.first, r.last
		f.readHeader(r)
		f.findNumeric()
	case len(f.index) == 0: // under a line that is no header
	default:
		f.keep(r)
	}
}

// trim takes spaces of every kind and invisible marks off a cell.
func trim(c string) string {
	if c == "" || isShown(c[0]) && isShown(c[len(c)-1]) {
		return c
	}
	return strings.Trim(strings.TrimSpace(c), "\u00a0\u200b\ufeff \t\r\n")
}

// isShown says whether a byte is a character that is neither a space nor beyond
// ASCII.
func isShown(c byte) bool { return c > ' ' && c < utf8.RuneSelf }

// columnCounter turns the byte columns of a record's cells, in their order, into
// columns in characters, counting each character once.
type columnCounter struct {
	src          *source
	line         int
	bytes, runes int // counted so far on the line
}

func (r *columnCounter) column(line, bytes int) int32 {
	if line != r.line || bytes < r.bytes {
		r.line, r.bytes, r.runes = line, 0, 0
	}
	r.runes += utf8.RuneCountInString(r.src.line(line - 1)[r.bytes:bytes])
	r.bytes = bytes
	return int32(r.runes + 1)
}

// cellPlace is where the cell begins: its quote, or its first character that
// is no space.
func (r *columnCounter) cellPlace(cr *csv.Reader, i int, cell string, shift int) place {
	line, col := cr.FieldPos(i)
	line += shift
	text := r.src.line(line - 1)
	col = min(col-1, len(text))
	if lead := len(cell) - len(strings.TrimLeft(cell, " \t\u00a0")); lead < len(cell) && col < len(text) && text[col] != '"' {
		col += lead
	}
	return place{int32(line), r.column(line, col)}
}

// endOf is the place after the last character of a line.
func (f *form) endOf(line int) place {
	text := strings.TrimRight(f.src.line(line-1), "\r\n")
	return place{int32(line), int32(1 + utf8.RuneCountInString(text))}
}

// keep files a line under its job and checks its shape: a faulty line stops
// its own job.
func (f *form) keep(r *record) {
	f.file(r)
	if c := r.cell(0); len(c.text()) > 1 && c.text()[0] == '#' && c.text()[1] >= '0' && c.text()[1] <= '9' {
		c.refuse("cell "+quote(c.text())+" begins a line with #", "a number without #, or a comment with a space behind it", "write "+c.text()[1:])
	}
	for i, text := range r.cells {
		if text != "" && (i >= len(f.header) || f.header[i] == "" || len(text) > maxCellLength) {
			f.checkCell(r.cell(i))
		}
	}
	f.fitHeader(r)
	f.checkSign(r)
	if f.set >= 0 && !f.sets[r.cells[f.set]] {
		f.sets[r.cells[f.set]] = true
	}
}

// checkCell refuses a filled cell that has no column, or is too long.
func (f *form) checkCell(c cell) {
	switch {
	case int(c.col) >= len(f.header):
		c.refuse(fmt.Sprintf("cell %s is to the right of the last column", quote(c.text())), fmt.Sprintf("at most %d cells, as in the header", len(f.header)), "put quotes around a cell that holds the separator")
	case f.header[c.col] == "" && !f.broken:
		c.refuse(fmt.Sprintf("cell %s is under a blank header", quote(c.text())), "a column name above it", "")
	case utf8.RuneCountInString(c.text()) > maxCellLength:
		c.refuse(fmt.Sprintf("cell %s is too long", quote(c.text())), fmt.Sprintf("at most %d characters", maxCellLength), "")
	}
}

// fitHeader gives a record as many cells as the header has.
func (f *form) fitHeader(r *record) {
	n := len(f.header)
	for len(r.cells) < n {
		r.cells = append(r.cells, "")
	}
	r.cells = r.cells[:n:n]
}

// file puts the place of a record under its job. Lines of one job mostly follow
// each other, and are put there together.
func (f *form) file(r *record) {
	f.total++
	at := span{int32(r.first), int32(r.last)}
	if r.job == "" {
		f.noJob = append(f.noJob, at)
		return
	}
	if r.job != f.runOf {
		f.fileRun()
		f.runOf = r.job
	}
	if f.spans == nil {
		f.spans = make([]span, 0, len(f.src.start))
	}
	f.spans = append(f.spans, at)
}

// fileRun files the lines of the job met last. They are a part of all spans, unless the
// job was met before.
func (f *form) fileRun() {
	run := slices.Clip(f.spans[f.run:])
	if len(run) == 0 {
		return
	}
	before, met := f.byJob[f.runOf]
	if met {
		run = append(before, run...)
	} else {
		f.jobs = append(f.jobs, f.runOf)
	}
	f.byJob[f.runOf] = run
	f.run, f.runOf = len(f.spans), ""
}

// settle says what the lines of no job are: in a folder of many jobs they hold
// for every one, else they are those of the one job. Those for every one stay on the desk.
func (f *form) settle(hasJobs bool, d *desk) {
	if !hasJobs {
		f.byJob[""], f.noJob = f.noJob, nil
		return
	}
	if len(f.noJob) == f.total && f.total > 0 && !f.broken {
		in := f.whole()
		f.entire = &in
	}
	f.shared = f.records(d, f.noJob, f.faults)
	for i := range f.shared {
		f.shared[i].shared = true
	}
}
