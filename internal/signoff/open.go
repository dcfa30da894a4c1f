package signoff

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"reconcile/internal/shelf"
)

// Bounds on what a file may ask for. A summary of sixty readings takes some
// 100 kB and 30 objects a page; these leave two orders of magnitude.
const (
	MaxSize       = 64 << 20 // bytes of a file, and of all its streams, decoded
	maxObjects    = 1 << 17
	maxPages      = 2000
	maxSignatures = 16
)

// errNotPDF is returned for an empty file and one that does not begin with
// %PDF-: it could not be read, which says nothing about a summary.
var errNotPDF = errors.New("not a PDF: the first five bytes are not %PDF-")

// The fixed parts of a finished file. Its header ends with a comment of four
// bytes above 127, which say that it is no text; there is no other comment.
const (
	header  = "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"
	endMark = "\n%%EOF\n"
)

// usualObjects is more than most summaries have.
const usualObjects = 512

// revision is one section of a file: the finished file, or an update to it.
type revision struct {
	start, end int // bytes [start, end)
	xref       int // where its cross-reference table begins
}

// Document is a PDF opened for reading. Pages and attachments are those of
// the finished file: what was added later is only ever judged, never read.
// It keeps the bytes given to [Examine] and is for one goroutine at a time.
type Document struct {
	Signed bool // something follows the finished file; whether it is a good signature, [Examine] says
	// Attached are the files attached, in the order of the document's list; none where NotRead
	// says why they cannot be read as those of a summary.
	Attached []Attachment
	NotRead  error

	pdf        []byte
	revisions  []revision // first the finished file
	objects    []object   // of the finished file; number 0 is none
	root, info int        // the numbers of the catalog and the document information
	idAt       int        // where the digits of the first identifier begin
	hash       string     // of the finished file as /ID has to have it; "" until it is asked for
	decoded    map[int][]byte
	decoding   int    // bytes that may still be decoded
	room       []byte // in which what was decoded lies
	shelf.Lent[Document]
}

// documents are released ones, whose memory the next one has.
var documents = sync.Pool{New: func() any {
	return &Document{objects: make([]object, 0, usualObjects), room: make([]byte, 0, usualRoom)}
}}

// begun is a document that nothing was read of.
func begun(pdf []byte) *Document {
	kept := documents.Get().(*Document)
	d := &Document{pdf: pdf, objects: append(kept.objects[:0], object{}), decoded: map[int][]byte{}, decoding: MaxSize, room: kept.room[:0]}
	shelf.Lend(&d.Lent, d, takeBack)
	return d
}

// takeBack keeps the memory of a document for later ones, where it is not too large.
func takeBack(d *Document) {
	const most = 1 << 20 // bytes or objects: more than summaries have
	if cap(d.room) > most || cap(d.objects) > most>>6 {
		return
	}
	clear(d.objects)
	documents.Put(&Document{objects: d.objects, room: d.room})
	*d = Document{}
}

// object is one object of the finished file: where in the file its text is, between
// "n 0 obj\n" and "\nendobj\n", and its value, which [Document.value] makes.
type object struct {
	start, end int
	raw        int // where a stream begins; 0: it is none
	value      any
	read       bool // the value is there
}

// open reads the structure of pdf and accounts for every byte of the finished
// file: the header, the objects one after the other, ascending by number and
// place, the one table of where they are, its trailer and end mark. What
// follows is cut into updates, which [Examine] judges. The error
// is [errNotPDF], or a [*Finding] for a PDF that is damaged or not of
// this program's form. Opening checks neither hashes nor signatures: see
// [Examine].
func open(pdf []byte) (*Document, error) {
	switch {
	case !bytes.HasPrefix(pdf, []byte("%PDF-")):
		return nil, errNotPDF
	case len(pdf) > MaxSize:
		return nil, damaged(tooLarge, "most", MaxSize)
	case !bytes.HasPrefix(pdf, []byte(header)):
		return nil, damaged(badHeader)
	}
	d := begun(pdf)
	l := &lexer{b: pdf, at: len(header), strict: true}
	if err := d.readObjects(l); err != nil {
		return nil, err
	}
	first := revision{xref: l.at}
	if err := d.readTable(l); err != nil {
		return nil, err
	}
	if err := d.readTrailer(l, first.xref); err != nil {
		return nil, err
	}
	first.end = l.at
	d.revisions = []revision{first}
	if err := d.readUpdates(); err != nil {
		return nil, err
	}
	d.Signed = len(d.revisions) > 1
	return d, d.checkCatalog()
}

// readObjects reads the objects up to the table.
func (d *Document) readObjects(l *lexer) error {
	for num := 1; !l.take("xref\n"); num++ {
		if num > maxObjects {
			return damaged(tooManyValues, "most", maxObjects)
		}
		if !l.takeNumbered(num, 1, " 0 obj\n") {
			return misplaced(l, num)
		}
		o := object{start: l.at}
		if !o.pass(l) {
			err := o.readAt(l, num)
			if err == nil {
				err = forbidden(o.value)
			}
			if err != nil {
				return inObject(err, num)
			}
		}
		d.objects = append(d.objects, o)
	}
	l.at -= len("xref\n")
	return nil
}

// misplaced says what is where object num should begin.
func misplaced(l *lexer, num int) error {
	at := l.at
	n, err := integer(l.word())
	if err == nil && l.take(" 0 obj\n") {
		return damaged(objectOrder, "object", n, "wanted", num, "at", at)
	}
	switch {
	case at >= len(l.b):
		return damaged(badEnd, "at", at)
	case l.b[at] == '%':
		return damaged(comment, "at", at)
	}
	return damaged(looseBytes, "at", at)
}

// pass passes an object and its end at l; false: nothing was passed, and the object
// has to be read.
func (o *object) pass(l *lexer) bool {
	from, values := l.at, l.values
	if l.keys = l.keys[:0]; l.pass(0) && o.passEnd(l) {
		return true
	}
	*o, l.at, l.values = object{start: from}, from, values
	return false
}

// passEnd passes what follows a value that was passed.
func (o *object) passEnd(l *lexer) bool {
	o.end = l.at
	if l.take("\nendobj\n") {
		return true
	}
	text := l.b[o.start:o.end]
	n, err := lastLength(text)
	if err != nil || !bytes.HasPrefix(text, []byte("<<")) || !l.take("\nstream\n") || n > len(l.b)-l.at {
		return false
	}
	o.raw = l.at
	l.at += n
	o.end = l.at + len(endStream)
	return l.take(endStream + "\nendobj\n")
}

// endStream ends a stream.
const endStream = "\nendstream"

// value is the value of object num, which there is.
func (d *Document) value(num int) any {
	o := &d.objects[num]
	if o.read || num == 0 {
		return o.value
	}
	l := &lexer{b: d.pdf[:o.end], at: o.start, strict: true}
	v, _ := l.object(0) // [lexer.pass] has seen it
	if head, ok := v.(dict); ok && o.raw > 0 {
		v = stream{num, head, d.pdf[o.raw : o.end-len(endStream)]}
	}
	o.value, o.read = v, true
	return v
}

// readAt reads an object's value and its end at l.
func (o *object) readAt(l *lexer, num int) error {
	var err error
	o.read = true
	if o.value, err = l.object(0); err != nil {
		return err
	}
	o.end = l.at
	if l.take("\nendobj\n") {
		return nil
	}
	head, ok := o.value.(dict)
	if l.skip(); l.at < len(l.b) && l.b[l.at] == '%' {
		return damaged(comment, "at", l.at)
	}
	l.at = o.end
	if !ok || !l.take("\nstream\n") {
		return damaged(objectEnd)
	}
	n, err := lastLength(l.b[o.start:o.end])
	if err != nil || n > len(l.b)-l.at {
		return damaged(streamLength)
	}
	o.raw = l.at
	l.at += n
	o.value = stream{num, head, l.b[o.raw:l.at]}
	o.end = l.at + len(endStream)
	if !l.take(endStream + "\nendobj\n") {
		return damaged(streamLength)
	}
	return nil
}

// lastLength is the length of a stream, which the text of its dictionary ends with: what
// is there is no part of a string or of another dictionary, since the text ends with it.
func lastLength(text []byte) (int, error) {
	rest, closed := bytes.CutSuffix(text, []byte(" >>"))
	at := len(bytes.TrimRight(rest, "0123456789"))
	n, ok := whole(rest[at:])
	if !closed || !ok || digits(max(n, 1)) != len(rest)-at || !bytes.HasSuffix(rest[:at], []byte(" /Length ")) {
		return 0, errEnd
	}
	return n, nil
}

// forbidden refuses what no object of this program holds, wherever it is:
// readers take it as leave to find the objects in another way.
func forbidden(v any) error {
	switch v := v.(type) {
	case stream:
		if kind := v.dict.get("Type"); kind == name("ObjStm") || kind == name("XRef") {
			return damaged(objectStream)
		}
		return forbidden(v.dict)
	case array:
		for _, x := range v {
			if err := forbidden(x); err != nil {
				return err
			}
		}
	case dict:
		for _, e := range v {
			switch e.key {
			case "Linearized":
				return damaged(linearised)
			case "Encrypt", "XRefStm":
				return damaged(encrypted)
			}
			if err := forbidden(e.value); err != nil {
				return err
			}
		}
	}
	return nil
}

// readTable wants the table of the objects read, and no other.
func (d *Document) readTable(l *lexer) error {
	at := l.at
	if !l.take(fmt.Sprintf("xref\n0 %d\n0000000000 65535 f \n", len(d.objects))) {
		return damaged(badTable, "at", at)
	}
	for num, o := range d.objects[1:] {
		at := o.start - digits(num+1) - len(" 0 obj\n")
		if !l.takeNumbered(at, 10, " 00000 n \n") {
			return damaged(badTable, "at", l.at)
		}
	}
	return nil
}

// digits is how many n > 0 has.
func digits(n int) int {
	count := 0
	for ; n > 0; n /= 10 {
		count++
	}
	return count
}

// readTrailer reads the trailer and the end mark, in their one spelling.
func (d *Document) readTrailer(l *lexer, xref int) error {
	if !l.take("trailer\n<<\n") {
		return damaged(badTable, "at", l.at)
	}
	from := l.at
	l.at -= len("<<\n")
	if v, err := l.object(0); err == nil {
		if err := forbidden(v); err != nil {
			return err
		}
	}
	l.at = from
	if !l.take(fmt.Sprintf("/Size %d\n", len(d.objects))) {
		return damaged(badTrailer, "at", l.at)
	}
	d.root = d.reference(l, "/Root ")
	d.info = d.reference(l, "/Info ")
	if d.root == 0 || d.info == 0 || d.info == d.root {
		return damaged(badTrailer, "at", l.at)
	}
	if !l.take(idMark) {
		return damaged(idForm)
	}
	d.idAt = l.at
	for _, end := range []string{"><", ">]\n"} {
		if l.at = min(l.at+idDigits, len(l.b)); !lowerHex(l.b[max(d.idAt, l.at-idDigits):l.at]) || !l.take(end) {
			return damaged(idForm)
		}
	}
	if !l.take(">>\n") {
		return damaged(badTrailer, "at", l.at)
	}
	if !l.take(fmt.Sprintf("startxref\n%d%s", xref, endMark)) {
		return damaged(badEnd, "at", l.at)
	}
	return nil
}

// reference reads key and a reference to one of the objects; 0 is none.
func (d *Document) reference(l *lexer, key string) int {
	if !l.take(key) {
		return 0
	}
	w := l.word()
	n, err := integer(w)
	if err != nil || n >= len(d.objects) || strconv.Itoa(n) != w || !l.take(" 0 R\n") {
		return 0
	}
	return n
}

// lowerHex reports whether b is 64 lower-case hex digits.
func lowerHex(b []byte) bool {
	return len(b) == idDigits && strings.Trim(string(b), "0123456789abcdef") == ""
}

// readUpdates cuts what follows the finished file at its end marks.
func (d *Document) readUpdates() error {
	for at := d.revisions[0].end; at < len(d.pdf); {
		if len(d.revisions) > maxSignatures {
			return damaged(tooManyAdded, "most", maxSignatures)
		}
		r := revision{start: at, end: len(d.pdf)}
		if i := bytes.Index(d.pdf[at:], []byte(endMark)); i >= 0 {
			r.end = at + i + len(endMark)
		}
		part := d.pdf[r.start:r.end]
		if i := bytes.LastIndex(part, []byte("\nstartxref\n")); i >= 0 {
			digits, _, _ := bytes.Cut(part[i+len("\nstartxref\n"):], []byte("\n"))
			r.xref, _ = integer(string(digits)) // [Examine] writes it again and compares
		}
		d.revisions = append(d.revisions, r)
		at = r.end
	}
	return nil
}

// catalogKeys are those a catalog may have: what describes pages and files,
// and nothing that acts, adds a form, or changes what version is read.
var catalogKeys = map[name]bool{
	"Type": true, "Pages": true, "Lang": true, "Metadata": true, "ViewerPreferences": true, "Outlines": true, "Names": true, "AF": true,
	"OutputIntents": true, "MarkInfo": true, "StructTreeRoot": true, "PageLabels": true, "PageMode": true, "PageLayout": true,
}

// checkCatalog refuses what a catalog of this program does not have.
func (d *Document) checkCatalog() error {
	cat, ok := d.value(d.root).(dict)
	if !ok || cat.get("Type") != name("Catalog") {
		return damaged(badCatalog)
	}
	for _, e := range cat {
		if !catalogKeys[e.key] {
			return damaged(catalogKey, "key", clipped(string(e.key)))
		}
	}
	names, err := d.resolve(cat.get("Names"))
	if err != nil {
		return err
	}
	if names == nil {
		return nil
	}
	tree, ok := names.(dict)
	if !ok {
		return damaged(badCatalog)
	}
	for _, e := range tree {
		if e.key != "EmbeddedFiles" {
			return damaged(catalogKey, "key", clipped(string(e.key)))
		}
	}
	return nil
}

// unsigned returns the finished file: the bytes before the first update.
func (d *Document) unsigned() []byte { return d.pdf[:d.revisions[0].end:d.revisions[0].end] }

// object returns object num of the finished file.
func (d *Document) object(num int) (any, error) {
	if num <= 0 || num >= len(d.objects) {
		return nil, damaged(objectMissing, "object", num)
	}
	return d.value(num), nil
}

// resolve follows v if it is a reference. A reference to a reference is
// refused, which rules out circles.
func (d *Document) resolve(v any) (any, error) {
	r, ok := v.(ref)
	if !ok {
		return v, nil
	}
	v, err := d.object(r.num)
	if _, again := v.(ref); err == nil && (again || r.gen != 0) {
		err = damaged(wrongKind, "what", "reference", "object", r.num)
	}
	return v, err
}

// dict resolves v, which must be a dictionary.
func (d *Document) dict(v any, what string) (dict, error) {
	v, err := d.resolve(v)
	if err != nil {
		return nil, err
	}
	out, ok := v.(dict)
	if !ok {
		return nil, damaged(wrongKind, "what", what)
	}
	return out, nil
}

// array resolves v, which must be an array.
func (d *Document) array(v any, what string) (array, error) {
	v, err := d.resolve(v)
	if err != nil {
		return nil, err
	}
	out, ok := v.(array)
	if !ok {
		return nil, damaged(wrongKind, "what", what)
	}
	return out, nil
}

// catalog returns the catalog of the finished file.
func (d *Document) catalog() dict {
	cat, _ := d.value(d.root).(dict)
	return cat
}
