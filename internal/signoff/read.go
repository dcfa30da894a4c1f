package signoff

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"io"
)

// bytes returns the contents of the stream v refers to.
func (d *Document) bytes(v any, what string) ([]byte, error) {
	v, err := d.resolve(v)
	if err != nil {
		return nil, err
	}
	s, ok := v.(stream)
	if !ok {
		return nil, damaged("its %s is not a stream", what)
	}
	b, err := d.decode(s)
	if err != nil {
		return nil, damaged("its %s: %v", what, err)
	}
	return b, nil
}

// decode undoes the only filter this program uses, once a stream however
// often it is asked for. A stream inflates up to a thousandfold: the sum over
// the document is bounded.
func (d *Document) decode(s stream) ([]byte, error) {
	if b, ok := d.decoded[s.num]; ok {
		return b, nil
	}
	in, err := filter(s)
	if err != nil {
		return nil, err
	}
	b, err := io.ReadAll(io.LimitReader(in, int64(d.decoding)+1))
	if err != nil {
		return nil, err
	}
	if len(b) > d.decoding {
		d.decoding = 0
		return nil, fmt.Errorf("the file unpacks to more than %d bytes", maxDecoded)
	}
	d.decoding -= len(b)
	d.decoded[s.num] = b
	return b, nil
}

// filter returns a reader of the unpacked stream.
func filter(s stream) (io.Reader, error) {
	in := bytes.NewReader(s.raw)
	switch f := s.dict.get("Filter"); {
	case s.dict.get("DecodeParms") != nil || s.dict.get("F") != nil:
	case f == nil:
		return in, nil
	case f == name("FlateDecode"):
		return zlib.NewReader(in)
	}
	return nil, errors.New("a form of stream that this program does not write")
}

// page is one page with its object number.
type page struct {
	num  int
	dict dict
}

// pages walks the page tree in the order of the pages.
func (d *Document) pages() ([]page, error) {
	cat, _, err := d.root()
	if err != nil {
		return nil, err
	}
	var out []page
	err = d.walk(cat.get("Pages"), "page tree", func(num int, node dict) error {
		if node.get("Type") == name("Page") {
			out = append(out, page{num, node})
		}
		return nil
	})
	if err == nil && len(out) == 0 {
		err = damaged("it has no page")
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
			return damaged("its %s runs in a circle", what)
		}
		if depth > maxDepth || len(seen) > 2*maxPages {
			return damaged("its %s is too large", what)
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

// PageStreams returns what each page draws: its content, unpacked.
func (d *Document) PageStreams() ([][]byte, error) {
	pages, err := d.pages()
	if err != nil {
		return nil, err
	}
	out := make([][]byte, len(pages))
	for i, p := range pages {
		if out[i], err = d.bytes(p.dict.get("Contents"), fmt.Sprintf("page %d", i+1)); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Attachment is a file inside the PDF.
type Attachment struct {
	Name  string
	Bytes []byte
}

// Attachments returns the files attached to the document, in the order of
// its name tree. Two of one name are refused: readers would show either.
func (d *Document) Attachments() ([]Attachment, error) {
	cat, _, err := d.root()
	if err != nil || cat.get("Names") == nil {
		return nil, err
	}
	names, err := d.dict(cat.get("Names"), "names")
	if err != nil || names.get("EmbeddedFiles") == nil {
		return nil, err
	}
	var out []Attachment
	seen := map[string]bool{}
	err = d.walk(names.get("EmbeddedFiles"), "list of attachments", func(_ int, node dict) error {
		if node.get("Names") == nil {
			return nil
		}
		list, err := d.array(node.get("Names"), "list of attachments")
		for i := 1; err == nil && i < len(list); i += 2 {
			var a Attachment
			if a, err = d.attachment(list[i]); err == nil && seen[a.Name] {
				err = damaged("two attachments are called %q", a.Name)
			}
			seen[a.Name] = true
			out = append(out, a)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// attachment reads the file that v, a file specification, holds.
func (d *Document) attachment(v any) (a Attachment, err error) {
	spec, err := d.dict(v, "attachment")
	if err != nil {
		return a, err
	}
	t, _ := spec.get("UF").(text)
	var ok bool
	if a.Name, ok = plain(t); !ok || a.Name == "" {
		return a, damaged("an attachment has no name")
	}
	files, err := d.dict(spec.get("EF"), "attachment")
	if err != nil {
		return a, err
	}
	a.Bytes, err = d.bytes(files.get("F"), fmt.Sprintf("attachment %q", a.Name))
	return a, err
}

// PageTexts returns the strings each page shows, in the order drawn. It
// reads fonts whose character codes are UTF-16 (as this program's are); in
// another font the strings come out as other characters.
func (d *Document) PageTexts() ([][]string, error) {
	streams, err := d.PageStreams()
	if err != nil {
		return nil, err
	}
	out := make([][]string, len(streams))
	for i, b := range streams {
		if out[i], err = shown(b); err != nil {
			return nil, damaged("page %d: %v", i+1, err)
		}
	}
	return out, nil
}

// shown returns the strings that a content stream shows with Tj and TJ.
func shown(content []byte) ([]string, error) {
	var out []string
	var last any
	for l := (&lexer{b: content}); ; {
		if l.skip(); l.at >= len(content) {
			return out, nil
		}
		v, err := l.object(0)
		if err != nil {
			return nil, err
		}
		if v == keyword("Tj") || v == keyword("TJ") {
			s, ok := joined(last)
			if !ok {
				return nil, fmt.Errorf("text that is not UTF-16")
			}
			out = append(out, s)
		}
		last = v
	}
}

// joined is the text of the operand of Tj (a string) or TJ (an array).
func joined(v any) (string, bool) {
	parts, ok := v.(array)
	if !ok {
		parts = array{v}
	}
	var b []byte
	for _, p := range parts {
		if t, ok := p.(text); ok {
			b = append(b, t...)
		}
	}
	return utf16be(b)
}
