package signoff

import (
	"bytes"
	"io"
	"strings"
	"sync"

	"github.com/klauspost/compress/zlib"
)

// bytes returns the contents of the stream v refers to.
func (d *Document) bytes(v any, what string) ([]byte, error) {
	v, err := d.resolve(v)
	if err != nil {
		return nil, err
	}
	s, ok := v.(stream)
	if !ok {
		return nil, damaged(wrongKind, "what", what)
	}
	return d.decode(s)
}

// decode undoes the only filter this program uses, once a stream however
// often it is asked for. A stream inflates up to a thousandfold: the sum over
// the document is bounded.
func (d *Document) decode(s stream) ([]byte, error) {
	if b, ok := d.decoded[s.num]; ok {
		return b, nil
	}
	if s.dict.get("Filter") == nil && len(s.raw) <= d.decoding {
		if _, _, err := unpacker(s, nil); err != nil {
			return nil, err
		}
		d.decoding -= len(s.raw)
		return s.raw, nil
	}
	z := inflaters.Get().(*inflater)
	defer inflaters.Put(z)
	var done func() bool
	b, err := readWithin(func() (in io.Reader, err error) {
		in, done, err = unpacker(s, z)
		return in, err
	}, d.decoding, &d.room)
	if err != nil {
		d.decoding = 0
		return nil, inObject(err, s.num)
	}
	if !done() {
		return nil, damaged(streamPacking, "object", s.num)
	}
	d.decoding -= len(b)
	d.decoded[s.num] = b
	return b, nil
}

// usualRoom is more than most streams of a summary unpack to.
const usualRoom = 64 << 10

var usualRooms = sync.Pool{New: func() any { return new([usualRoom]byte) }}

// readWithin reads all that a reader gives, which may be most bytes at the
// most, and appends it to what lies in to where it is no longer than usual. What is
// longer it reads twice, to know how much room to make: growing as it reads would take
// twice the memory.
func readWithin(begin func() (io.Reader, error), most int, to *[]byte) ([]byte, error) {
	in, err := begin()
	if err != nil {
		return nil, err
	}
	room := usualRooms.Get().(*[usualRoom]byte)
	defer usualRooms.Put(room)
	for n := 0; n < usualRoom && n <= most; {
		m, err := in.Read(room[n:])
		switch n += m; {
		case err == io.EOF && n <= most:
			from := len(*to)
			*to = append(*to, room[:n]...)
			return (*to)[from:len(*to):len(*to)], nil
		case err != nil && err != io.EOF:
			return nil, damaged(streamPacking)
		case err == io.EOF:
			return nil, damaged(unpacksTooBig, "most", MaxSize)
		}
	}
	if in, err = begin(); err != nil {
		return nil, err
	}
	n, err := io.Copy(io.Discard, io.LimitReader(in, int64(most)+1))
	switch {
	case err != nil:
		return nil, damaged(streamPacking)
	case n > int64(most):
		return nil, damaged(unpacksTooBig, "most", MaxSize)
	}
	if in, err = begin(); err != nil {
		return nil, err
	}
	b := make([]byte, n)
	if _, err := io.ReadFull(in, b); err != nil || !ended(in) {
		return nil, damaged(streamPacking)
	}
	return b, nil
}

// inflater unpacks one stream after the other: its memory is more than most streams.
type inflater struct{ in io.ReadCloser }

var inflaters = sync.Pool{New: func() any { return new(inflater) }}

func (z *inflater) open(packed io.Reader) (in io.Reader, err error) {
	if z.in != nil {
		return z.in, z.in.(zlib.Resetter).Reset(packed, nil)
	}
	z.in, err = zlib.NewReader(packed)
	return z.in, err
}

// unpacker returns a reader of the unpacked stream, by z where it is packed. done
// reports, after its end, that nothing follows what was unpacked: no byte is loose
// there either.
func unpacker(s stream, z *inflater) (in io.Reader, done func() bool, err error) {
	raw := bytes.NewReader(s.raw)
	done = func() bool { return raw.Len() == 0 }
	switch f := s.dict.get("Filter"); {
	case s.dict.get("DecodeParms") != nil || s.dict.get("F") != nil:
	case f == nil:
		return raw, done, nil
	case f == name("FlateDecode"):
		if in, err = z.open(raw); err != nil {
			return nil, nil, damaged(streamPacking, "object", s.num)
		}
		return in, done, nil
	}
	return nil, nil, damaged(streamForm, "object", s.num)
}

// page is one page with its object number.
type page struct {
	num  int
	dict dict
}

// pages walks the page tree in the order of the pages.
func (d *Document) pages() ([]page, error) {
	var out []page
	err := d.walk(d.catalog().get("Pages"), "page tree", func(num int, node dict) error {
		if node.get("Type") == name("Page") {
			out = append(out, page{num, node})
		}
		return nil
	})
	if err == nil && len(out) == 0 {
		err = damaged(badPages)
	}
	return out, err
}

// walk visits a tree of nodes linked by /Kids, each once, to a bounded depth.
func (d *Document) walk(top any, what string, visit func(num int, node dict) error) error {
	seen := map[int]bool{}
	var down func(v any, depth int) error
	down = func(v any, depth int) error {
		r, _ := v.(ref) // a root written in place is number 0
		if seen[r.num] {
			return damaged(circle, "what", what)
		}
		if depth > maxDepth || len(seen) > 2*maxPages {
			return damaged(tooMuch, "what", what)
		}
		seen[r.num] = true
		node, err := d.dict(v, what)
		if err != nil {
			return err
		}
		if err := visit(r.num, node); err != nil || node.get("Kids") == nil {
			return err
		}
		kids, err := d.array(node.get("Kids"), what)
		for i := 0; err == nil && i < len(kids); i++ {
			err = down(kids[i], depth+1)
		}
		return err
	}
	return down(top, 0)
}

// Attachment is a file inside the PDF.
type Attachment struct {
	Name  string
	Bytes []byte
}

// attachedFile is where an attachment is.
type attachedFile struct {
	name   string
	stream int // the number of its stream
}

// attachedFiles lists the files attached, in the order of their one list. A
// file must be attached in one way only: its key in the list is its name, both
// names lead to the same stream, and no stream is attached twice. So no reader
// can show another one, and each is read once.
func (d *Document) attachedFiles() ([]attachedFile, error) {
	names, err := d.resolve(d.catalog().get("Names"))
	if err != nil || names == nil {
		return nil, err
	}
	tree, err := d.dict(names.(dict).get("EmbeddedFiles"), "list of attachments") // [Document.checkCatalog] has seen it
	if err != nil {
		return nil, err
	}
	list, ok := tree.get("Names").(array)
	if !ok || len(tree) != 1 || len(list)%2 != 0 {
		return nil, damaged(attachedForm, "name", "")
	}
	var out []attachedFile
	taken, streams := map[string]bool{}, map[int]bool{}
	for i := 0; i < len(list); i += 2 {
		f, err := d.attachedFile(list[i], list[i+1])
		if err != nil {
			return nil, err
		}
		if taken[f.name] || streams[f.stream] {
			return nil, damaged(attachedTwice, "name", f.name)
		}
		taken[f.name], streams[f.stream] = true, true
		out = append(out, f)
	}
	return out, nil
}

// attachedFile reads a file specification v under its key.
func (d *Document) attachedFile(key, v any) (f attachedFile, err error) {
	spec, err := d.dict(v, "attachment")
	if err != nil {
		return f, err
	}
	k, _ := key.(text)
	full, _ := spec.get("UF").(text)
	short, _ := spec.get("F").(text)
	listed, ok1 := plain(k)
	var ok2 bool
	f.name, ok2 = plain(full)
	abridged, ok3 := plain(short)
	if !ok1 || !ok2 || !ok3 || f.name == "" || listed != f.name || abridged != asciiName(f.name) {
		return f, damaged(attachedForm, "name", f.name)
	}
	files, err := d.dict(spec.get("EF"), "attachment")
	if err != nil {
		return f, err
	}
	at, ok := files.get("F").(ref)
	if !ok || files.get("UF") != any(at) || len(files) != 2 {
		return f, damaged(attachedForm, "name", f.name)
	}
	f.stream = at.num
	return f, nil
}

// asciiName is a name for readers that know no Unicode, as pdfout writes it.
func asciiName(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '_'
		}
		return r
	}, s)
}

// attachments returns the files attached to the document, in the order of
// its list. See [Document.attachedFiles] for what is refused.
func (d *Document) attachments() ([]Attachment, error) {
	files, err := d.attachedFiles()
	if err != nil {
		return nil, err
	}
	out := make([]Attachment, len(files))
	for i, f := range files {
		out[i].Name = f.name
		if out[i].Bytes, err = d.bytes(ref{num: f.stream}, "attachment"); err != nil {
			return nil, err
		}
	}
	return out, nil
}
