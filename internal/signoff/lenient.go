package signoff

import (
	"bytes"
	"compress/zlib"
	"encoding/ascii85"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// A summary that another program has written again is not sound. What is
// attached to it can still be read, so that it can be said whether the record
// inside follows from the forms inside. This reader takes what most programs
// write (ISO 32000-1): tables, cross-reference streams, object streams, and
// updates of all of them, the last ones first, as a reader shows it. Nothing
// that it reads makes a file sound.

// maxSections bounds how many tables lead to each other.
const maxSections = 64

var errLenient = errors.New("the file cannot be read as a PDF")

// place is where an object is: at an offset, or in an object stream.
type place struct {
	offset    int
	container int // 0: none
	index     int
}

// lenient reads a PDF of any program's.
type lenient struct {
	pdf      []byte
	places   map[int]place
	trailer  dict
	objects  map[int]any
	inside   map[int][]any // the objects of an object stream
	reading  map[int]bool
	parsing  int
	values   int
	decoding int
}

// Attachments returns the files attached to a PDF of whatever program, as
// far as they can be read, and in the order of its list: those of its last
// revision. It is bounded in time and memory. What it returns is for looking
// at: what [Examine] finds attached is for summaries that are to be sound.
func Attachments(pdf []byte) ([]Attachment, error) {
	r, err := readLenient(pdf)
	if err != nil {
		return nil, err
	}
	cat, err := r.dict(r.trailer.get("Root"))
	if err != nil {
		return nil, err
	}
	names, err := r.dict(cat.get("Names"))
	if err != nil {
		return nil, err
	}
	var out []Attachment
	return out, r.list(names.get("EmbeddedFiles"), map[int]bool{}, 0, &out)
}

// rewritten reports whether a file that is not of this program's form is one
// that another program wrote, and what that calls itself, if it does. Damage to
// one of ours spoils at most one of three marks.
func rewritten(pdf []byte) (producer string, ok bool) {
	marks := 0
	for _, there := range []bool{bytes.HasPrefix(pdf, []byte(header)), ourTrailer().Match(pdf), ourID().Match(pdf)} {
		if there {
			marks++
		}
	}
	if marks > 1 || len(pdf) > MaxSize {
		return "", false
	}
	r, err := newLenient(pdf)
	if err != nil || r.trailer.get("Root") == nil {
		return "", false
	}
	if _, err := r.dict(r.trailer.get("Root")); err != nil {
		return "", false
	}
	info, _ := r.dict(r.trailer.get("Info"))
	t, _ := info.get("Producer").(text)
	if producer = clipped(shownText(t)); strings.HasPrefix(producer, "reconcile ") {
		return "", true // kept from before: it does not name that program
	}
	return producer, true
}

var (
	ourTrailer = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`\ntrailer\n<<\n/Size \d+\n/Root \d+ 0 R\n/Info \d+ 0 R\n`)
	})
	ourID = sync.OnceValue(func() *regexp.Regexp {
		return regexp.MustCompile(`\n/ID \[<[0-9a-f]{64}><[0-9a-f]{64}>\]\n>>\nstartxref\n`)
	})
)

// readLenient finds the objects of a file by its tables, or, where those do
// not lead to its attachments, by looking for them.
func readLenient(pdf []byte) (*lenient, error) {
	if len(pdf) > MaxSize {
		return nil, damaged(tooLarge, "most", MaxSize)
	}
	r, err := newLenient(pdf)
	if err == nil {
		if cat, err := r.dict(r.trailer.get("Root")); err == nil {
			if _, err := r.dict(cat.get("Names")); err == nil {
				return r, nil
			}
		}
	}
	r = emptyLenient(pdf)
	r.search()
	if r.trailer.get("Root") == nil {
		return nil, errLenient
	}
	return r, nil
}

func emptyLenient(pdf []byte) *lenient {
	return &lenient{pdf: pdf, places: map[int]place{}, objects: map[int]any{}, inside: map[int][]any{}, reading: map[int]bool{},
		parsing: 4*len(pdf) + 1<<20, decoding: MaxSize}
}

// newLenient follows the tables from the end of the file.
func newLenient(pdf []byte) (*lenient, error) {
	r := emptyLenient(pdf)
	i := bytes.LastIndex(pdf, []byte("startxref"))
	if i < 0 {
		return nil, errLenient
	}
	l := &lexer{b: pdf, at: i + len("startxref")}
	at, err := l.integer()
	seen := map[int]bool{}
	for queue := []int{at}; err == nil && len(queue) > 0; {
		at, queue = queue[0], queue[1:]
		if seen[at] {
			continue
		}
		if seen[at] = true; len(seen) > maxSections {
			return nil, errLenient
		}
		var t dict
		if t, err = r.section(at); err != nil {
			break
		}
		if r.trailer == nil {
			r.trailer = t
		}
		for _, key := range []name{"XRefStm", "Prev"} {
			if n, err := integer(fmt.Sprint(t.get(key))); err == nil {
				queue = append(queue, n)
			}
		}
	}
	if err != nil || r.trailer.get("Encrypt") != nil {
		return nil, errLenient
	}
	return r, nil
}

// section reads a table, or a cross-reference stream, and its trailer.
func (r *lenient) section(at int) (dict, error) {
	if at >= len(r.pdf) {
		return nil, errLenient
	}
	l := &lexer{b: r.pdf, at: at}
	if l.skip(); !l.take("xref") {
		return r.tableStream(l.at)
	}
	for {
		if l.skip(); l.take("trailer") {
			break
		}
		first, err := l.integer()
		if err != nil {
			return nil, err
		}
		count, err := l.integer()
		if err != nil {
			return nil, err
		}
		for i := range count {
			if err := r.entry(l, first+i); err != nil {
				return nil, err
			}
		}
	}
	v, err := l.object(0)
	t, ok := v.(dict)
	if err != nil || !ok {
		return nil, errLenient
	}
	return t, nil
}

// entry reads an entry of a table for object num; an earlier one counts.
func (r *lenient) entry(l *lexer, num int) error {
	offset, err := l.integer()
	if err != nil {
		return err
	}
	if _, err := l.integer(); err != nil {
		return err
	}
	l.skip()
	return r.put(num, place{offset: offset}, l.word() == "n")
}

// put keeps where object num is, unless a later revision said so before.
func (r *lenient) put(num int, p place, used bool) error {
	if len(r.places) > maxObjects || num > maxObjects*8 {
		return errLenient
	}
	if _, ok := r.places[num]; !ok {
		if !used {
			p = place{}
		}
		r.places[num] = p
	}
	return nil
}

// tableStream reads a cross-reference stream (ISO 32000-1, 7.5.8).
func (r *lenient) tableStream(at int) (dict, error) {
	_, v, err := r.parseAt(at)
	s, ok := v.(stream)
	if err != nil || !ok || s.dict.get("Type") != name("XRef") {
		return nil, errLenient
	}
	b, err := r.decode(s)
	if err != nil {
		return nil, err
	}
	w, _ := s.dict.get("W").(array)
	if len(w) != 3 {
		return nil, errLenient
	}
	var widths [3]int
	for i, v := range w {
		if widths[i], err = integer(fmt.Sprint(v)); err != nil || widths[i] > 8 {
			return nil, errLenient
		}
	}
	size := widths[0] + widths[1] + widths[2]
	index, _ := s.dict.get("Index").(array)
	if index == nil {
		index = array{number("0"), s.dict.get("Size")}
	}
	for i := 0; i+1 < len(index) && size > 0; i += 2 {
		first, err1 := integer(fmt.Sprint(index[i]))
		count, err2 := integer(fmt.Sprint(index[i+1]))
		if err1 != nil || err2 != nil {
			return nil, errLenient
		}
		for n := 0; n < count && len(b) >= size; n++ {
			if err := r.streamEntry(first+n, b[:size], widths); err != nil {
				return nil, err
			}
			b = b[size:]
		}
	}
	return s.dict, nil
}

// streamEntry takes an entry of a cross-reference stream for object num.
func (r *lenient) streamEntry(num int, b []byte, widths [3]int) error {
	var f [3]int
	at := 0
	for i, w := range widths {
		for _, c := range b[at : at+w] {
			f[i] = (f[i]<<8 | int(c)) & (maxInt - 1)
		}
		at += w
	}
	if widths[0] == 0 {
		f[0] = 1
	}
	switch f[0] {
	case 1:
		return r.put(num, place{offset: f[1]}, true)
	case 2:
		return r.put(num, place{container: f[1], index: f[2]}, true)
	}
	return r.put(num, place{}, false)
}

// search finds objects by their marks, the last of a number counting, and the
// catalog by its type.
func (r *lenient) search() {
	mark := []byte(" obj")
	for at := 0; len(r.places) < maxObjects; at += len(mark) {
		i := bytes.Index(r.pdf[at:], mark)
		if i < 0 {
			break
		}
		at += i
		if num, start := numbered(r.pdf, at); num > 0 {
			r.places[num] = place{offset: start}
		}
	}
	nums := make([]int, 0, len(r.places))
	for n := range r.places {
		nums = append(nums, n)
	}
	slices.Sort(nums)
	last := -1
	for _, n := range nums {
		v, _ := r.object(n)
		if s, ok := v.(stream); ok && s.dict.get("Type") == name("ObjStm") {
			r.open(n)
		}
		if d, ok := v.(dict); ok && d.get("Type") == name("Catalog") && r.places[n].offset > last {
			last = r.places[n].offset
			r.trailer = dict{{"Root", ref{num: n}}}
		}
	}
	for _, n := range nums { // a catalog inside an object stream
		for _, v := range r.inside[n] {
			if d, ok := v.(dict); ok && d.get("Type") == name("Catalog") && last < 0 {
				r.trailer = dict{{"Root", v}}
			}
		}
	}
}

// numbered reads the number and generation that end at end, backwards: the
// object's number, 0 for none, and where it begins.
func numbered(pdf []byte, end int) (num, start int) {
	digits := func(end int) int {
		i := end
		for i > 0 && end-i < 10 && pdf[i-1] >= '0' && pdf[i-1] <= '9' {
			i--
		}
		return i
	}
	generation := digits(end)
	if generation == end || generation == 0 || pdf[generation-1] != ' ' {
		return 0, 0
	}
	start = digits(generation - 1)
	num, err := integer(string(pdf[start : generation-1]))
	if err != nil {
		return 0, 0
	}
	return num, start
}

// object returns object num.
func (r *lenient) object(num int) (any, error) {
	if v, ok := r.objects[num]; ok {
		return v, nil
	}
	p, ok := r.places[num]
	if !ok || p == (place{}) || r.reading[num] {
		return nil, damaged(objectMissing, "object", num)
	}
	r.reading[num] = true
	defer delete(r.reading, num)
	if p.container != 0 {
		all := r.open(p.container)
		if p.index >= len(all) {
			return nil, damaged(objectMissing, "object", num)
		}
		r.objects[num] = all[p.index]
		return all[p.index], nil
	}
	n, v, err := r.parseAt(p.offset)
	if err != nil || n != num {
		return nil, damaged(objectMissing, "object", num)
	}
	r.objects[num] = v
	return v, nil
}

// parseAt reads `num gen obj …` at an offset.
func (r *lenient) parseAt(at int) (num int, v any, err error) {
	if r.parsing < 0 || r.values > maxValues || at >= len(r.pdf) {
		return 0, nil, errLenient
	}
	l := &lexer{b: r.pdf, at: at}
	defer func() {
		r.parsing -= l.at - at
		r.values += l.values
	}()
	if num, err = l.integer(); err != nil {
		return 0, nil, err
	}
	if _, err = l.integer(); err != nil {
		return 0, nil, err
	}
	if l.skip(); !l.take("obj") {
		return 0, nil, errLenient
	}
	if v, err = l.object(0); err != nil {
		return 0, nil, err
	}
	head, ok := v.(dict)
	if l.skip(); !ok || !l.take("stream") {
		return num, v, nil
	}
	l.take("\r")
	l.take("\n")
	n, err := r.number(head.get("Length"))
	if err != nil || n > len(r.pdf)-l.at {
		return 0, nil, errLenient
	}
	raw := r.pdf[l.at : l.at+n]
	l.at += n
	return num, stream{num, head, raw}, nil
}

// number resolves a whole number.
func (r *lenient) number(v any) (int, error) {
	v, err := r.resolve(v)
	if err != nil {
		return 0, err
	}
	return integer(fmt.Sprint(v))
}

// open reads the objects of an object stream (ISO 32000-1, 7.5.7).
func (r *lenient) open(container int) []any {
	if all, ok := r.inside[container]; ok {
		return all
	}
	r.inside[container] = nil // whatever is wrong with it, it is opened once
	v, _ := r.object(container)
	s, ok := v.(stream)
	if !ok || s.dict.get("Type") != name("ObjStm") {
		return nil
	}
	b, err := r.decode(s)
	count, err1 := r.number(s.dict.get("N"))
	first, err2 := r.number(s.dict.get("First"))
	if err != nil || err1 != nil || err2 != nil || first > len(b) {
		return nil
	}
	l := &lexer{b: b[:first]}
	var out []any
	for range count {
		num, err := l.integer()
		offset, err2 := l.integer()
		if err != nil || err2 != nil || first+offset > len(b) || r.values > maxValues || r.parsing < 0 {
			break
		}
		inner := &lexer{b: b, at: first + offset}
		v, err := inner.object(0)
		r.values += inner.values
		r.parsing -= inner.at - first - offset
		if err != nil {
			v = nil
		}
		if _, known := r.places[num]; !known { // where objects are looked for
			r.places[num] = place{container: container, index: len(out)}
		}
		out = append(out, v)
	}
	r.inside[container] = out
	return out
}

// resolve follows references, a few at the most.
func (r *lenient) resolve(v any) (any, error) {
	for range 8 {
		to, ok := v.(ref)
		if !ok {
			return v, nil
		}
		var err error
		if v, err = r.object(to.num); err != nil {
			return nil, err
		}
	}
	return nil, errLenient
}

func (r *lenient) dict(v any) (dict, error) {
	v, err := r.resolve(v)
	if err != nil {
		return nil, err
	}
	d, ok := v.(dict)
	if !ok {
		return nil, damaged(wrongKind, "what", "dictionary")
	}
	return d, nil
}

func (r *lenient) array(v any) array {
	v, _ = r.resolve(v)
	a, _ := v.(array)
	return a
}

// list reads the files of a node of the list of attachments.
func (r *lenient) list(v any, seen map[int]bool, depth int, out *[]Attachment) error {
	if to, ok := v.(ref); ok {
		if seen[to.num] {
			return damaged(circle, "what", "list of attachments")
		}
		seen[to.num] = true
	}
	node, err := r.dict(v)
	if err != nil {
		return err
	}
	if depth > maxDepth || len(seen) > 2*maxPages {
		return damaged(tooMuch, "what", "list of attachments")
	}
	names := r.array(node.get("Names"))
	for i := 1; i < len(names); i += 2 {
		a, err := r.attachment(names[i], seen)
		if err != nil {
			return err
		}
		*out = append(*out, a)
	}
	for _, kid := range r.array(node.get("Kids")) {
		if err := r.list(kid, seen, depth+1, out); err != nil {
			return err
		}
	}
	return nil
}

// attachment reads the file that v specifies; each stream once.
func (r *lenient) attachment(v any, seen map[int]bool) (a Attachment, err error) {
	spec, err := r.dict(v)
	if err != nil {
		return a, err
	}
	files, err := r.dict(spec.get("EF"))
	if err != nil {
		return a, err
	}
	for _, key := range []name{"UF", "F"} { // readers prefer the first
		if t, ok := r.text(spec.get(key)); ok && a.Name == "" {
			a.Name = t
		}
		v, err := r.resolve(files.get(key))
		s, ok := v.(stream)
		if err != nil || !ok || a.Bytes != nil {
			continue
		}
		if seen[-s.num] {
			return a, damaged(attachedTwice, "name", a.Name)
		}
		seen[-s.num] = true
		if a.Bytes, err = r.decode(s); err != nil {
			return a, err
		}
	}
	if a.Name == "" || a.Bytes == nil {
		return a, damaged(attachedForm, "name", a.Name)
	}
	return a, nil
}

func (r *lenient) text(v any) (string, bool) {
	v, _ = r.resolve(v)
	t, ok := v.(text)
	return shownText(t), ok && len(t) > 0
}

// shownText decodes a text string as far as it can be: UTF-16, UTF-8, else
// each byte as a character.
func shownText(t text) string {
	if s, ok := strings.CutPrefix(string(t), "\xEF\xBB\xBF"); ok {
		return s
	}
	if s, ok := plain(t); ok {
		return s
	}
	var b strings.Builder
	for _, c := range []byte(t) {
		b.WriteRune(rune(c))
	}
	return b.String()
}

// decode undoes the filters of a stream, in the room that is left.
func (r *lenient) decode(s stream) ([]byte, error) {
	filters, err := r.resolve(s.dict.get("Filter"))
	if err != nil {
		return nil, err
	}
	parms := r.array(s.dict.get("DecodeParms"))
	if parms == nil {
		parms = array{s.dict.get("DecodeParms")}
	}
	list, ok := filters.(array)
	if !ok && filters != nil {
		list = array{filters}
	}
	if len(list) > 4 {
		return nil, damaged(streamForm, "object", s.num)
	}
	b := s.raw
	for i, f := range list {
		if b, err = r.undo(f, b); err != nil {
			return nil, inObject(err, s.num)
		}
		if i < len(parms) {
			p, _ := r.dict(parms[i])
			if b, err = r.predicted(b, p); err != nil {
				return nil, inObject(err, s.num)
			}
		}
	}
	if len(list) == 0 {
		if r.decoding -= len(b); r.decoding < 0 {
			return nil, damaged(unpacksTooBig, "most", MaxSize)
		}
	}
	return b, nil
}

// undo undoes one filter.
func (r *lenient) undo(filter any, b []byte) ([]byte, error) {
	begin := func() (io.Reader, error) {
		switch filter {
		case name("FlateDecode"), name("Fl"):
			z, err := zlib.NewReader(bytes.NewReader(b))
			if err != nil {
				return nil, damaged(streamPacking)
			}
			return z, nil
		case name("ASCIIHexDecode"), name("AHx"):
			digits, _, _ := bytes.Cut(b, []byte(">"))
			return hex.NewDecoder(bytes.NewReader(bytes.Join(bytes.Fields(digits), nil))), nil
		case name("ASCII85Decode"), name("A85"):
			digits, _, _ := bytes.Cut(b, []byte("~>"))
			return ascii85.NewDecoder(bytes.NewReader(digits)), nil
		}
		return nil, damaged(streamForm)
	}
	out, err := readWithin(begin, r.decoding, &[]byte{})
	r.decoding -= len(out)
	if err != nil {
		r.decoding = 0
	}
	return out, err
}

// predicted undoes the PNG predictors (ISO 32000-1, 7.4.4.4).
func (r *lenient) predicted(b []byte, parms dict) ([]byte, error) {
	predictor, err := integer(fmt.Sprint(parms.get("Predictor")))
	if err != nil || predictor < 2 {
		return b, nil
	}
	columns, err := integer(fmt.Sprint(parms.get("Columns")))
	if err != nil || columns == 0 || predictor < 10 || columns > 1<<16 || parms.get("Colors") != nil || parms.get("BitsPerComponent") != nil {
		return nil, damaged(streamForm)
	}
	above := make([]byte, columns)
	out := make([]byte, 0, len(b))
	for ; len(b) > columns; b = b[columns+1:] {
		row := slices.Clone(b[1 : columns+1])
		for i := range row {
			var left, corner byte
			if i > 0 {
				left, corner = row[i-1], above[i-1]
			}
			switch b[0] {
			case 1:
				row[i] += left
			case 2:
				row[i] += above[i]
			case 3:
				row[i] += byte((int(left) + int(above[i])) / 2)
			case 4:
				row[i] += paeth(left, above[i], corner)
			}
		}
		out = append(out, row...)
		above = row
	}
	return out, nil
}

// paeth is the predictor of that name (ISO/IEC 15948, 9.4).
func paeth(left, above, corner byte) byte {
	distance := func(x byte) int {
		d := int(left) + int(above) - int(corner) - int(x)
		return max(d, -d)
	}
	a, b, c := distance(left), distance(above), distance(corner)
	switch {
	case a <= b && a <= c:
		return left
	case b <= c:
		return above
	}
	return corner
}
