package signoff

import (
	"bytes"
	"errors"
	"fmt"
)

// Bounds on what a file may ask for. A summary of sixty readings takes some
// 100 kB and 30 objects a page; these leave two orders of magnitude.
const (
	MaxSize       = 64 << 20 // bytes of a file
	maxDecoded    = 64 << 20 // bytes of all its streams, decoded
	maxPages      = 2000
	maxSignatures = 16
)

// ErrNotPDF is returned for an empty file and one that does not begin with
// %PDF-: it could not be read, which says nothing about a summary.
var ErrNotPDF = errors.New("not a PDF: the first five bytes are not %PDF-")

// DamagedError says why a PDF is not one that this program writes: it was
// changed, cut off, or comes from somewhere else.
type DamagedError struct{ Why string }

func (e *DamagedError) Error() string { return "not a sound summary: " + e.Why }

func damaged(format string, a ...any) error {
	return &DamagedError{Why: fmt.Sprintf(format, a...)}
}

// revision is one section of a file: the finished file, or an update to it.
type revision struct {
	start, end int // bytes [start, end)
	xref       int // where its cross-reference table begins
	trailer    dict
	plain      string // its trailer as written
}

// Document is a PDF opened for reading. Pages and attachments are those of
// the finished file: what was added later is only ever judged, never read.
// It keeps the bytes given to [Open] and is for one goroutine at a time.
type Document struct {
	pdf       []byte
	revisions []revision // first the finished file
	offsets   []int      // of the finished file's objects, 0 = none
	objects   map[int]any
	decoded   map[int][]byte
	parsing   int // bytes that may still be parsed
	values    int // objects parsed
	decoding  int // bytes that may still be decoded
}

// Open reads the structure of pdf. The error is [ErrNotPDF], or a
// [*DamagedError] for a PDF that is damaged or not of this program's form.
// Opening does not check hashes or signatures: see [Examine].
func Open(pdf []byte) (*Document, error) {
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) {
		return nil, ErrNotPDF
	}
	if len(pdf) > MaxSize {
		return nil, damaged("it is too large (at most %d bytes)", MaxSize)
	}
	if !bytes.HasPrefix(pdf, []byte("%PDF-1.7\n")) {
		return nil, damaged("its header is not %%PDF-1.7")
	}
	d := &Document{
		pdf: pdf, objects: map[int]any{}, decoded: map[int][]byte{},
		parsing: 4*len(pdf) + 1<<20, decoding: maxDecoded,
	}
	if err := d.readRevisions(); err != nil {
		return nil, err
	}
	if err := d.readOffsets(); err != nil {
		return nil, err
	}
	return d, nil
}

// readRevisions walks the cross-reference tables back from the end. Each
// must lie before the one that names it, so the walk ends.
func (d *Document) readRevisions() error {
	at, err := lastTable(d.pdf)
	for end := len(d.pdf); err == nil; {
		var r revision
		if r, err = readTable(d.pdf[:end], at); err != nil {
			break
		}
		if len(d.revisions) == 0 && r.end != end {
			return damaged("%d bytes stand after its end-of-file mark", end-r.end)
		}
		d.revisions = append([]revision{r}, d.revisions...)
		if len(d.revisions) > maxSignatures+1 {
			return damaged("it has more than %d updates", maxSignatures)
		}
		prev := r.trailer.get("Prev")
		if prev == nil {
			d.joinRevisions()
			return nil
		}
		end = r.xref
		at, err = integer(fmt.Sprint(prev))
	}
	return damaged("%v", err)
}

// joinRevisions lets each revision begin where the one before it ends.
func (d *Document) joinRevisions() {
	for i := 1; i < len(d.revisions); i++ {
		d.revisions[i].start = d.revisions[i-1].end
	}
}

const endMark = "\n%%EOF\n"

// lastTable returns the offset that the end of the file names.
func lastTable(pdf []byte) (int, error) {
	if !bytes.HasSuffix(pdf, []byte(endMark)) {
		if i := bytes.LastIndex(pdf, []byte(endMark)); i >= 0 {
			return 0, fmt.Errorf("%d bytes stand after its last end-of-file mark: cut off, changed or added to", len(pdf)-i-len(endMark))
		}
		return 0, errors.New("it has no end-of-file mark: cut off or changed")
	}
	i := bytes.LastIndex(pdf, []byte("\nstartxref\n"))
	if i < 0 {
		return 0, errors.New("it does not say where its cross-reference table is")
	}
	return integer(string(pdf[i+len("\nstartxref\n") : max(i+len("\nstartxref\n"), len(pdf)-len(endMark))]))
}

// readTable reads the table at offset at, its trailer and its end mark.
func readTable(pdf []byte, at int) (revision, error) {
	r := revision{xref: at}
	l := &lexer{b: pdf, at: min(at, len(pdf))}
	if !l.take("xref\n") {
		return r, fmt.Errorf("no cross-reference table begins at byte %d", at)
	}
	for !l.take("trailer\n") {
		if _, _, err := readSection(l); err != nil {
			return r, err
		}
	}
	from := l.at
	v, err := l.object(0)
	if err != nil {
		return r, fmt.Errorf("its trailer: %w", err)
	}
	r.trailer, _ = v.(dict)
	r.plain = string(pdf[from:l.at])
	if r.trailer.get("Encrypt") != nil || r.trailer.get("XRefStm") != nil {
		return r, errors.New("it is encrypted or has a cross-reference stream")
	}
	if !l.take(fmt.Sprintf("\nstartxref\n%d%s", at, endMark)) {
		return r, fmt.Errorf("the cross-reference table at byte %d has no end of its own", at)
	}
	r.end = l.at
	return r, nil
}

// entrySize is the size of an entry of a table (ISO 32000-1, 7.5.4).
const entrySize = 20

// readSection reads a section of a table: the number of its first object
// and the bytes of its entries.
func readSection(l *lexer) (first int, entries []byte, err error) {
	if first, err = l.integer(); err != nil {
		return 0, nil, fmt.Errorf("its cross-reference table: %w", err)
	}
	count, err := l.integer()
	if err != nil {
		return 0, nil, fmt.Errorf("its cross-reference table: %w", err)
	}
	if !l.take("\n") || count > (len(l.b)-l.at)/entrySize {
		return 0, nil, fmt.Errorf("its cross-reference table claims %d objects, more than the file holds", count)
	}
	entries = l.b[l.at : l.at+count*entrySize]
	l.at += count * entrySize
	return first, entries, nil
}

// readOffsets reads the table of the finished file, one section from 0.
func (d *Document) readOffsets() error {
	l := &lexer{b: d.pdf, at: d.revisions[0].xref + len("xref\n")}
	first, entries, err := readSection(l)
	if err != nil {
		return damaged("%v", err)
	}
	size, err := integer(fmt.Sprint(d.revisions[0].trailer.get("Size")))
	if err != nil || first != 0 || size != len(entries)/entrySize || !l.take("trailer") {
		return damaged("its cross-reference table is not one section of all objects")
	}
	d.offsets = make([]int, size)
	for i := range d.offsets {
		e := string(entries[i*entrySize : (i+1)*entrySize])
		if i == 0 && e == "0000000000 65535 f \n" {
			continue
		}
		at, err := integer(e[:10])
		if err != nil || e[10:] != " 00000 n \n" || at == 0 {
			return damaged("entry %d of its cross-reference table is wrong", i)
		}
		d.offsets[i] = at
	}
	return nil
}

// Signed reports whether anything follows the finished file. Whether that
// is a good signature, [Document.Signatures] says.
func (d *Document) Signed() bool { return len(d.revisions) > 1 }

// Unsigned returns the finished file: the bytes before the first update.
func (d *Document) Unsigned() []byte { return d.pdf[:d.revisions[0].end:d.revisions[0].end] }

// object returns object num of the finished file, parsed once.
func (d *Document) object(num int) (any, error) {
	if v, ok := d.objects[num]; ok {
		return v, nil
	}
	if num <= 0 || num >= len(d.offsets) {
		return nil, damaged("object %d is not in its cross-reference table", num)
	}
	l := &lexer{b: d.pdf[:d.revisions[0].xref], at: d.offsets[num]}
	v, err := d.parse(l, num)
	d.parsing -= l.at - d.offsets[num]
	d.values += l.values
	if err != nil {
		return nil, damaged("object %d: %v", num, err)
	}
	d.objects[num] = v
	return v, nil
}

// parse reads `num 0 obj … endobj` at l.
func (d *Document) parse(l *lexer, num int) (any, error) {
	// Objects that overlap would make a short file long to read.
	if d.parsing < 0 || d.values > maxValues {
		return nil, fmt.Errorf("its objects overlap, or are more than %d", maxValues)
	}
	if !l.take(fmt.Sprintf("%d 0 obj", num)) {
		return nil, errors.New("it is not where the cross-reference table says")
	}
	v, err := l.object(0)
	if err != nil {
		return nil, err
	}
	l.skip()
	if l.take("endobj") {
		return v, nil
	}
	head, ok := v.(dict)
	if !ok || !l.take("stream\n") {
		return nil, errors.New("it has no end")
	}
	n, err := integer(fmt.Sprint(head.get("Length")))
	if err != nil || n > len(l.b)-l.at {
		return nil, errors.New("its stream claims more bytes than the file holds")
	}
	raw := l.b[l.at : l.at+n]
	l.at += n
	if !l.take("\nendstream\nendobj") {
		return nil, errors.New("its stream has no end")
	}
	return stream{num, head, raw}, nil
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
		err = damaged("object %d is a reference, or of a later generation", r.num)
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
		return nil, damaged("its %s is not a dictionary", what)
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
		return nil, damaged("its %s is not an array", what)
	}
	return out, nil
}

// root returns the catalog of the finished file and its number.
func (d *Document) root() (dict, int, error) {
	r, ok := d.revisions[0].trailer.get("Root").(ref)
	if !ok {
		return nil, 0, damaged("its trailer names no catalog")
	}
	cat, err := d.dict(r, "catalog")
	return cat, r.num, err
}
