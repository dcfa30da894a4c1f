package tickets

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"github.com/gocarina/gocsv"

	"reconcile/internal/shelf"
)

// cell is one cell of a line. What its text means is decided where its line, its
// form and its region are known. A column that the form does not have gives a
// blank cell without a record column.
type cell struct {
	rec   *record
	col   int32 // in the record; -1 where the column is absent
	field int32 // of its row
}

// cell gives the i-th cell of a record.
func (r *record) cell(i int) cell { return cell{rec: r, col: int32(i)} }

// text is what the cell holds.
func (c cell) text() string {
	if c.col < 0 {
		return ""
	}
	return c.rec.cells[c.col]
}

// name is that of the cell's column; "" where the header has none.
func (c cell) name() string {
	switch f := c.rec.form; {
	case c.col < 0:
		return f.spec.columns[c.field]
	case int(c.col) < len(f.header):
		return f.header[c.col]
	}
	return ""
}

// binding gives the column of each field of a row type, -1 where the header
// does not have it.
type binding []int32

// bindings keeps those of the headers met: a day of many jobs has few.
var bindings = struct {
	sync.RWMutex
	of map[string]binding
}{of: map[string]binding{}}

// mostBindings is where the bindings kept are thrown away.
const mostBindings = 1000

// bind lets gocsv bind a header's columns to those that the form may have, once, by a
// line that holds the numbers of its columns.
func (s *spec) bind(header []string) binding {
	key := s.name + "\n" + strings.Join(header, "\n")
	bindings.RLock()
	b, ok := bindings.of[key]
	bindings.RUnlock()
	if ok {
		return b
	}
	numbers := make([]string, len(header))
	for i := range numbers {
		numbers[i] = strconv.Itoa(i)
	}
	text := strings.Join(header, ",") + "\n" + strings.Join(numbers, ",") // no name of a column needs quotes
	lines, err := gocsv.CSVToMaps(strings.NewReader(text))
	if err != nil || len(lines) != 1 {
		panic(fmt.Sprintf("tickets: header %q does not bind: %v", header, err))
	}
	for _, column := range s.columns {
		at, err := strconv.Atoi(lines[0][column])
		if err != nil {
			at = -1 // the header has no such column
		}
		b = append(b, int32(at))
	}
	bindings.Lock()
	defer bindings.Unlock()
	if len(bindings.of) >= mostBindings {
		clear(bindings.of)
	}
	bindings.of[key] = b
	return b
}

// row is a line of a form, a struct whose fields are cells tagged with their column.
type row[R any] interface {
	*R
	// cells appends its cells in the order of the fields.
	cells(to []*cell) []*cell
}

// decode turns records into rows, which lie on the shelf.
func decode[R any, P row[R]](d *desk, shelf *shelf.Shelf[R], records []record) []R {
	if len(records) == 0 {
		return nil
	}
	columns := records[0].form.bound
	rows := shelf.List(len(records))
	for i := range rows {
		d.fields = P(&rows[i]).cells(d.fields[:0])
		for j, c := range d.fields {
			*c = cell{rec: &records[i], col: columns[j], field: int32(j)}
		}
	}
	return rows
}

// overlay fills the blank cells of a row from another.
func overlay[R any, P row[R]](own, base P) {
	from := base.cells(nil)
	for i, c := range own.cells(nil) {
		if c.blank() {
			*c = *from[i]
		}
	}
}

// at is where the cell is, or, where its line ends before it, the end of
// the line.
func (c cell) at() place { return c.rec.place(int(c.col)) }

// line is the number of the cell's line in the form.
func (c cell) line() int { return c.rec.form.number(c.rec.first) }

func (c cell) fault(what, wanted, hint string) Fault {
	at := c.at()
	return Fault{File: c.rec.form.spec.name, Line: c.rec.form.number(int(at.line)), Column: int(at.column),
		What: what, Wanted: wanted, Hint: hint, Job: c.rec.job}
}

// refuse reports a fault of the cell. It stops the job of its line; on a line
// that applies to every job it stops all.
func (c cell) refuse(what, wanted, hint string) {
	f := c.fault(what, wanted, hint)
	f.All = c.rec.shared
	c.rec.faults.add(f)
}

// refuse reports that a cell does not fit what else the job says; it stops
// this job only, also where the line applies to every job.
func (j *jobReader) refuse(c cell, what, wanted, hint string) {
	f := c.fault(what, wanted, hint)
	f.Job = j.job.Name
	j.found.add(f)
}

func (c cell) blank() bool { return c.text() == "" }

// shown names the cell in a message.
func (c cell) shown() string { return c.name() + " " + quote(c.text()) }

// require refuses a blank cell. Where the column is missing or misspelt,
// the header has been refused already.
func (c cell) require(wanted, hint string) bool {
	if !c.blank() {
		return true
	}
	if c.col >= 0 || !c.rec.form.broken {
		c.refuse("required cell "+c.name()+" left blank", wanted, cmp.Or(hint, "fill it in"))
	}
	return false
}

// choice gives one of the words, in lower case; a blank cell gives "".
func (c cell) choice(words ...string) (string, bool) {
	return c.choiceOr("", words...)
}

// choiceOr is choice with a hint for a word that is not one of them.
func (c cell) choiceOr(hint string, words ...string) (string, bool) {
	w := strings.ToLower(c.text())
	if w == "" || slices.ContainsFunc(words, func(known string) bool { return strings.EqualFold(known, w) }) {
		return w, true
	}
	c.refuse(c.shown()+" is not known", either(words...), hint)
	return "", false
}

// yes gives true for yes, false for no or a blank cell.
func (c cell) yes() bool {
	w, _ := c.choice("yes", "no")
	return w == "yes"
}

// spreadsheet marks of a cell that is not what its owner typed.
var shortened = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`^[0-9]([.,][0-9]+)?E\+[0-9]+$`) })

// nameText gives the cell as a name: no formula, on one line.
func (c cell) nameText() string {
	switch {
	case strings.HasPrefix(c.text(), "="):
		c.refuse(c.shown()+" is a formula", "the words or figures as printed", "in the spreadsheet format the column as text and type it again")
	case hasControl(c.text()):
		c.refuse(c.shown()+" runs over more than one line", "one line of text", "")
	}
	return c.text()
}

// hasControl says whether a text has a control character.
func hasControl(text string) bool {
	for i := range len(text) {
		if text[i] < ' ' || text[i] >= 0x7f {
			return strings.ContainsFunc(text, unicode.IsControl)
		}
	}
	return false
}

// code gives the cell as a printed number or mark, which a spreadsheet may
// have shortened to an exponent.
func (c cell) code() string {
	if strings.Contains(c.text(), "E+") && shortened().MatchString(c.text()) {
		c.refuse(c.shown()+" is a number that a spreadsheet has shortened", "the number as printed", "in the spreadsheet format the column as text and type it again")
		return c.text()
	}
	return c.nameText()
}

// joinable gives a name that other forms join with +.
func (c cell) joinable() string {
	if strings.Contains(c.text(), "+") {
		c.refuse(c.shown()+" contains a +", "a name without +, which joins names", "")
		return c.text()
	}
	return c.nameText()
}

// names splits a cell at + into names.
func (c cell) names() []string {
	if c.blank() {
		return nil
	}
	if strings.HasPrefix(c.text(), "=") {
		c.nameText()
		return nil
	}
	var names []string
	for _, n := range strings.Split(c.text(), "+") {
		switch n = trim(n); {
		case n == "":
			c.refuse(c.shown()+" has a + with no name before or after it", "names joined by +", "")
		case slices.Contains(names, n):
			c.refuse(fmt.Sprintf("%s names %s twice", c.shown(), quote(n)), "each name once", "")
		default:
			names = append(names, n)
		}
	}
	return names
}

// count gives a whole number from least to most.
func (c cell) count(least, most int) (int, bool) {
	if c.blank() {
		return 0, false
	}
	n, err := strconv.Atoi(c.text())
	if digits(c.text()) == len(c.text()) && err == nil && n >= least && n <= most {
		return n, true
	}
	c.refuse(c.shown()+" is not a whole number", fmt.Sprintf("a whole number from %d to %d", least, most), "")
	return 0, false
}

// The most that copies may have, in bytes: one, and those of a job together.
const (
	mostCopy   = 20_000_000
	mostCopies = 60_000_000
)

// copyName gives the name of a file that is in the folder of the job.
func (c cell) copyName(size func(string) (int64, error)) string {
	n := c.text()
	if n == "" {
		return ""
	}
	switch {
	case strings.ContainsAny(n, `/\`) || strings.HasPrefix(n, ".") || strings.ContainsFunc(n, unprintable):
		c.refuse(c.shown()+" is not the name of a file in the folder", "a file name without folders", "put the copy into the folder of the forms")
		return n
	case formRank(n) < len(specs) || isOurs(n):
		c.refuse(c.shown()+" is not a copy of a document", "a photo or scan of it", "")
		return n
	case size == nil:
		return n
	}
	switch size, err := size(n); {
	case errors.Is(err, fs.ErrNotExist):
		c.refuse(c.shown()+" is not in the folder", "a file in the folder of the forms", "put the file there or leave the cell blank")
	case err != nil:
		c.refuse(c.shown()+" is a link, a pipe or a folder", "a plain file in the folder of the forms", "put a copy of the file itself there")
	case size > mostCopy:
		c.refuse(fmt.Sprintf("%s has %d bytes", c.shown(), size), fmt.Sprintf("at most %d, which is 20 MB", mostCopy), "save the photo or scan smaller")
	}
	return n
}

// isOurs says whether a summary keeps something of its own under the name.
func isOurs(name string) bool {
	return strings.EqualFold(name, "record.json") || strings.EqualFold(name, "earlier.json")
}
