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
	places []place
	first  int // lines of the file, from 1
	last   int
	job    string
	shared bool // it applies to every job of the folder
	faults *sink
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
	first   int // lines of the header
	last    int
	total   int // lines that hold something
	byJob   map[string][]span
	noJob   []span
	shared  []*record // the lines of no job, where they hold for every job
	jobs    []string  // in order of first mention
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
	f := &form{spec: sp, faults: faults, byJob: map[string][]span{}, index: map[string]int{}, sets: map[string]bool{}, first: 1, last: 1}
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

// lineReader hands the text to the CSV reader one line a call, so that between
// two records it knows where they end, and hides comments, whose quotes need
// not match. Where it is given spans it hands out their lines only.
type lineReader struct {
	src    *source
	sep    rune
	next   int    // the line to hand out, from 0
	rest   string // of the line begun
	fresh  bool   // no line of the record is out yet
	spans  []span // still to be handed out after the one begun
	handed int    // lines handed out
}

// begin moves to the next span, and returns how far the lines that the CSV
// reader counts lie before those of the file.
func (r *lineReader) begin() (shift int) {
	r.next = int(r.spans[0].first) - 1
	r.spans = r.spans[1:]
	return r.next - r.handed
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
		if r.fresh && (isComment(r.rest, r.sep) || strings.TrimSpace(r.rest) == "") {
			r.rest = "\n"
		} else {
			r.fresh = false
		}
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

// buffers are what CSV readers read through; each is of the size that they
// take as it is.
var buffers = sync.Pool{New: func() any { return bufio.NewReader(nil) }}

// read runs a CSV reader over the lines that in hands out.
func (f *form) read(in *lineReader, do func(cr *csv.Reader)) {
	buffer := buffers.Get().(*bufio.Reader)
	defer buffers.Put(buffer)
	buffer.Reset(in)
	cr := csv.NewReader(buffer)
	cr.Comma, cr.FieldsPerRecord, cr.ReuseRecord = f.sep, -1, true
	do(cr)
}

// readAll goes through header and lines up to the end or to a misplaced quote.
func (f *form) readAll() {
	in := &lineReader{src: &f.src, sep: f.sep}
	f.read(in, func(cr *csv.Reader) {
		for {
			in.fresh = true
			cells, err := cr.Read()
			if err == io.EOF {
				return
			}
			var bad *csv.ParseError
			if errors.As(err, &bad) {
				f.refuseQuote(bad)
				return
			}
			f.take(f.parse(cr, cells, 0, in.next, f.faults))
		}
	})
	if f.header == nil && !f.broken {
		f.refuse(place{1, 1}, "the form is empty", "a header line with column names", "")
	}
}

// records splits lines again, which readAll has found complete; what is
// refused of them goes to the sink given.
func (f *form) records(spans []span, faults *sink) []*record {
	if len(spans) == 0 {
		return nil
	}
	all := make([]*record, 0, len(spans))
	in := &lineReader{src: &f.src, sep: f.sep, spans: spans}
	f.read(in, func(cr *csv.Reader) {
		for _, s := range spans {
			shift := in.begin()
			cells, err := cr.Read()
			if err != nil {
				panic(fmt.Sprintf("tickets: %s: lines %d to %d read again: %v", f.spec.name, s.first, s.last, err))
			}
			r := f.parse(cr, cells, shift, int(s.last), faults)
			f.fitHeader(r)
			all = append(all, r)
		}
	})
	return all
}

// refuseQuote reports an unclosed quote where it opens, a misplaced one where
// it is.
func (f *form) refuseQuote(bad *csv.ParseError) {
	start := f.src.start[bad.StartLine-1]
	if bad.Err == csv.ErrQuote {
		end := len(f.src.text)
		if bad.Line <= len(f.src.start) {
			end = min(end, f.src.start[bad.Line-1]+bad.Column-1)
		}
		open := openQuote(f.src.text[start:end], f.sep)
		if at := f.placeOf(start + max(open, 0)); open >= 0 && (end == len(f.src.text) || int(at.line) != bad.Line) {
			f.refuse(at, "the quote that opens here is not closed", `a closing " before the next cell`, `write "" for a quote inside a quoted cell`)
			return
		}
	}
	at := f.placeOf(f.src.start[bad.Line-1] + bad.Column - 1)
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

// parse makes a record of what the CSV reader has read: cells trimmed, each
// with its place. shift is added to the reader's line numbers.
func (f *form) parse(cr *csv.Reader, cells []string, shift, last int, faults *sink) *record {
	r := &record{form: f, cells: make([]string, len(cells)), places: make([]place, len(cells)), last: last, faults: faults}
	counter := columnCounter{src: &f.src}
	for i, c := range cells {
		r.cells[i] = trim(c)
		r.places[i] = counter.cellPlace(cr, i, c, shift)
	}
	line, _ := cr.FieldPos(0)
	r.first = line + shift
	if i, ok := f.index["job"]; ok && i < len(r.cells) {
		r.job = r.cells[i]
	}
	return r
}

// take files one record as header or as line; blank ones and comments are
// skipped.
func (f *form) take(r *record) {
	filled := slices.ContainsFunc(r.cells, func(c string) bool { return c != "" })
	switch {
	case !filled || r.cells[0] == "#" || strings.HasPrefix(r.cells[0], "# "):
	case f.header == nil:
		f.first, f.last = r.first, r.last
		f.readHeader(r.cells, r.places)
		f.findNumeric()
	case len(f.index) == 0: // under a line that is no header
	default:
		f.keep(r)
	}
}

// trim takes spaces of every kind and invisible marks off a cell.
func trim(c string) string {
	return strings.Trim(strings.TrimSpace(c), "\u00a0\u200b\ufeff \t\r\n")
}

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
	if c := r.cell(0); len(c.text) > 1 && c.text[0] == '#' && c.text[1] >= '0' && c.text[1] <= '9' {
		c.refuse("cell "+quote(c.text)+" begins a line with #", "a number without #, or a comment with a space behind it", "write "+c.text[1:])
	}
	for i := range r.cells {
		switch c := r.cell(i); {
		case c.text == "":
		case i >= len(f.header):
			c.refuse(fmt.Sprintf("cell %s is to the right of the last column", quote(c.text)), fmt.Sprintf("at most %d cells, as in the header", len(f.header)), "put quotes around a cell that holds the separator")
		case f.header[i] == "" && !f.broken:
			c.refuse(fmt.Sprintf("cell %s is under a blank header", quote(c.text)), "a column name above it", "")
		case utf8.RuneCountInString(c.text) > maxCellLength:
			c.refuse(fmt.Sprintf("cell %s is too long", quote(c.text)), fmt.Sprintf("at most %d characters", maxCellLength), "")
		}
	}
	f.fitHeader(r)
	f.checkSign(r)
	if i, ok := f.index["set"]; ok && !f.sets[r.cells[i]] {
		f.sets[strings.Clone(r.cells[i])] = true
	}
}

// fitHeader gives a record as many cells as the header has.
func (f *form) fitHeader(r *record) {
	n := len(f.header)
	r.cells = append(r.cells, make([]string, max(0, n-len(r.cells)))...)[:n:n]
	if len(r.places) > n {
		r.places = r.places[:n]
	}
}

// file puts the place of a record under its job.
func (f *form) file(r *record) {
	f.total++
	at := span{int32(r.first), int32(r.last)}
	if r.job == "" {
		f.noJob = append(f.noJob, at)
		return
	}
	if f.byJob[r.job] == nil {
		f.jobs = append(f.jobs, strings.Clone(r.job)) // of a line that is not kept
	}
	f.byJob[r.job] = append(f.byJob[r.job], at)
}

// settle says what the lines of no job are: in a folder of many jobs they hold
// for every one, else they are those of the one job.
func (f *form) settle(hasJobs bool) {
	if !hasJobs {
		f.byJob[""], f.noJob = f.noJob, nil
		return
	}
	f.shared = f.records(f.noJob, f.faults)
	for _, r := range f.shared {
		r.shared = true
	}
}
