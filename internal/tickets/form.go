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

// place is where a cell stands: line and column from 1, in characters.
type place struct{ line, column int32 }

// record is one line of a form: its trimmed cells under the header, and where
// they stand. A quoted line feed makes it span several lines of the file.
type record struct {
	form   *form
	cells  []string // one a header cell; missing ones are blank
	places []place
	first  int // lines of the file, from 1
	last   int
	job    string
	noJob  bool // applies to every job
}

// form is one form taken apart into records.
type form struct {
	spec    *spec
	src     source
	numbers []int // the line numbers of the original, where src is a part of it
	sep     rune
	header  []string // lower case; "" for a blank one and for a faulty one
	index   map[string]int
	first   int // lines of the header
	last    int
	records []*record
	byJob   map[string][]*record
	noJob   []*record
	jobs    []string // in order of first mention
	hasJobs bool
	broken  bool // not all of it could be read: what it does not name is not asked of it
	faults  *sink
	partial bool // the folder has jobs: a fault of a line without job stops all
	sign    byte // the first decimal sign of the form, where src is a part of it
}

// number is the line number in the original form.
func (f *form) number(line int) int {
	if line > len(f.numbers) {
		return line
	}
	return f.numbers[line-1]
}

// refuse adds a fault of the whole form at a place of its text.
func (f *form) refuse(at place, what, wanted, hint string) {
	f.broken = true
	f.faults.add(Fault{File: f.spec.name, Line: f.number(int(at.line)), Column: int(at.column), What: what, Wanted: wanted, Hint: hint, All: true})
}

func (f *form) placeOf(offset int) place {
	l, c := f.src.place(offset)
	return place{int32(l), int32(c)}
}

// readForm takes a form apart. Every fault of the file, its header and the
// shape of its lines goes to the sink; what could be read is returned.
func readForm(in Form, sp *spec, faults *sink) *form {
	f := &form{spec: sp, faults: faults, sign: in.sign, byJob: map[string][]*record{}, index: map[string]int{}, first: 1, last: 1}
	src, bad := readSource(in.Bytes)
	f.src = src
	if bad != nil {
		f.refuse(f.placeOf(bad.offset), bad.what, bad.wanted, bad.hint)
		return f
	}
	if in.Lines != nil && len(in.Lines) < f.lineCount() {
		f.refuse(place{1, 1}, "the line numbers do not fit the lines", "one number a line", "")
		return f
	}
	f.numbers = in.Lines
	f.sep = f.sniff()
	f.readRecords()
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

// feeder hands the text to the CSV reader one line a call, so that between two
// records it knows where they end, and hides comments, whose quotes need not
// match.
type feeder struct {
	src   *source
	sep   rune
	next  int    // the line to hand out, from 0
	rest  string // of the line begun
	fresh bool   // no line of the record is out yet
}

func (r *feeder) Read(p []byte) (int, error) {
	if r.rest == "" {
		if r.next >= len(r.src.start) {
			return 0, io.EOF
		}
		r.rest = r.src.line(r.next)
		r.next++
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

// readRecords reads header and lines up to the end or to a misplaced quote.
func (f *form) readRecords() {
	in := &feeder{src: &f.src, sep: f.sep}
	buffer := buffers.Get().(*bufio.Reader)
	defer buffers.Put(buffer)
	buffer.Reset(in)
	cr := csv.NewReader(buffer)
	cr.Comma, cr.FieldsPerRecord = f.sep, -1
	for {
		in.fresh = true
		cells, err := cr.Read()
		if err == io.EOF {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			f.refuseQuote(bad)
			break
		}
		f.take(cr, cells, in.next)
	}
	if f.header == nil && !f.broken {
		f.refuse(place{1, 1}, "the form is empty", "a header line with column names", "")
	}
}

// refuseQuote reports an unclosed quote where it opens, a misplaced one where
// it stands.
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
	f.refuse(at, "a quote stands inside a cell", `quotes around the whole cell`, `write "" for a quote inside a quoted cell`)
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

// take keeps one record as header or as line; blank ones and comments are
// skipped.
func (f *form) take(cr *csv.Reader, cells []string, last int) {
	r := &record{form: f, places: make([]place, len(cells)), last: last}
	filled := false
	ruler := ruler{src: &f.src}
	for i, c := range cells {
		cells[i] = trim(c)
		filled = filled || cells[i] != ""
		r.places[i] = ruler.cellPlace(cr, i, c)
	}
	line, _ := cr.FieldPos(0)
	r.first = line
	switch {
	case !filled || cells[0] == "#" || strings.HasPrefix(cells[0], "# "):
	case f.header == nil:
		f.first, f.last = r.first, r.last
		f.readHeader(cells, r.places)
	case len(f.index) == 0: // under a line that is no header
	default:
		r.cells = cells
		f.keep(r)
	}
}

// trim takes spaces of every kind and invisible marks off a cell.
func trim(c string) string {
	return strings.Trim(strings.TrimSpace(c), "\u00a0\u200b\ufeff \t\r\n")
}

// ruler turns the byte columns of a record's cells, in their order, into
// columns in characters, counting each character once.
type ruler struct {
	src          *source
	line         int
	bytes, runes int // counted so far on the line
}

func (r *ruler) column(line, bytes int) int32 {
	if line != r.line || bytes < r.bytes {
		r.line, r.bytes, r.runes = line, 0, 0
	}
	r.runes += utf8.RuneCountInString(r.src.line(line - 1)[r.bytes:bytes])
	r.bytes = bytes
	return int32(r.runes + 1)
}

// cellPlace is where the cell begins: its quote, or its first character that
// is no space.
func (r *ruler) cellPlace(cr *csv.Reader, i int, cell string) place {
	line, col := cr.FieldPos(i)
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
			c.refuse(fmt.Sprintf("cell %s stands beyond the header", quote(c.text)), fmt.Sprintf("at most %d cells", len(f.header)), "put quotes around a cell that holds the separator")
		case f.header[i] == "" && !f.broken:
			c.refuse(fmt.Sprintf("cell %s stands under a blank header", quote(c.text)), "a column name above it", "")
		case utf8.RuneCountInString(c.text) > maxCellLength:
			c.refuse(fmt.Sprintf("cell %s is too long", quote(c.text)), fmt.Sprintf("at most %d characters", maxCellLength), "")
		}
	}
	n := len(f.header)
	r.cells = append(r.cells, make([]string, max(0, n-len(r.cells)))...)[:n]
	if r.cells = slices.Clip(r.cells); len(r.places) > n {
		r.places = r.places[:n]
	}
	f.records = append(f.records, r)
}

// file puts a record under its job.
func (f *form) file(r *record) {
	if i, ok := f.index["job"]; ok && i < len(r.cells) {
		r.job = r.cells[i]
	}
	if r.job == "" {
		r.noJob = true
		f.noJob = append(f.noJob, r)
		return
	}
	if f.byJob[r.job] == nil {
		f.jobs = append(f.jobs, r.job)
	}
	f.byJob[r.job] = append(f.byJob[r.job], r)
}

// linesOf gives the records that hold for a job, its own and those of no job,
// in the order of the form.
func (f *form) linesOf(job string) []*record {
	if f == nil {
		return nil
	}
	own := f.byJob[job]
	if job == "" || len(f.noJob) == 0 {
		if job == "" {
			return f.noJob
		}
		return own
	}
	both := append(slices.Clone(own), f.noJob...)
	slices.SortStableFunc(both, func(a, b *record) int { return a.first - b.first })
	return both
}
