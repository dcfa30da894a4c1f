package signoff

import (
	"bytes"
	"io"
)

// Redrawn compares the finished file of got with want, the same file drawn
// again. Where the bytes differ only because another build packed the streams
// in another way, every object must still be the same, in the same order: its
// text but for /Length, and its stream unpacked. Nothing else may differ but
// what follows from lengths: the offsets in the table, and the identifier,
// which [Examine] has computed: where that of want is blank it is filled in with the
// one of got, which it has if it is the same file. Repacked says that the bytes do differ. The
// finding names the first object that is not the same, as a reader would call
// it; nil: all are.
func Redrawn(got *Document, want []byte) (repacked bool, differs *Finding) {
	if at := blankID(want); at > 0 {
		setID(want, at, got.computedID())
	}
	if bytes.Equal(got.unsigned(), want) {
		return false, nil
	}
	w, err := open(want)
	if err != nil {
		return false, differing("file", 0)
	}
	if len(got.objects) != len(w.objects) || got.root != w.root || got.info != w.info {
		return false, differing("file", 0)
	}
	for num := 1; num < len(w.objects); num++ {
		if !sameObject(got, w, num) {
			return false, w.differingAt(num)
		}
	}
	return true, nil
}

func differing(what string, num int, args ...any) *Finding {
	f := newFinding(unsound, drawnNot, append([]any{"what", what, "object", num}, args...)...)
	return &f
}

// sameObject compares one object: its text but for /Length, its stream unpacked.
func sameObject(got, want *Document, num int) bool {
	a, okA := got.value(num).(stream)
	b, okB := want.value(num).(stream)
	if okA != okB || !bytes.Equal(got.textOf(num), want.textOf(num)) {
		return false
	}
	return !okA || bytes.Equal(a.raw, b.raw) || sameUnpacked(got, a, want, b)
}

// textOf is the text of an object without its stream and the length of that.
func (d *Document) textOf(num int) []byte {
	o := d.objects[num]
	s, ok := d.value(num).(stream)
	if !ok {
		return d.pdf[o.start:o.end]
	}
	end := o.raw - len("\nstream\n")
	written, _ := s.dict.get("Length").(number)
	return d.pdf[o.start : end-len(string(written)+" >>")] // [lastLength] has seen them
}

// sameUnpacked compares two streams as they are unpacked, a piece at a time.
func sameUnpacked(got *Document, a stream, want *Document, b stream) bool {
	x, doneX, err := got.unpacked(a)
	if err != nil {
		return false
	}
	y, doneY, err := want.unpacked(b)
	if err != nil {
		return false
	}
	const piece = 32 << 10
	p, q := make([]byte, piece), make([]byte, piece)
	for read := 0; read <= MaxSize; {
		n, errX := io.ReadFull(x, p)
		m, errY := io.ReadFull(y, q)
		if n != m || !bytes.Equal(p[:n], q[:m]) {
			return false
		}
		if errX != nil || errY != nil {
			return ended(x) && ended(y) && doneX() && doneY()
		}
		read += n
	}
	return false
}

// ended reports that r is at its end and came there in good order.
func ended(r io.Reader) bool {
	n, err := r.Read(make([]byte, 1))
	return n == 0 && err == io.EOF
}

// unpacked is [unpacker], or what was unpacked before.
func (d *Document) unpacked(s stream) (io.Reader, func() bool, error) {
	if b, ok := d.decoded[s.num]; ok {
		return bytes.NewReader(b), func() bool { return true }, nil
	}
	return unpacker(s, new(inflater))
}

// differingAt says what a reader knows object num as.
func (d *Document) differingAt(num int) *Finding {
	files, _ := d.attachedFiles()
	for _, f := range files {
		if f.stream == num {
			return differing("attachment", num, "name", f.name)
		}
	}
	pages, _ := d.pages()
	for i, p := range pages {
		if r, _ := p.dict.get("Contents").(ref); p.num == num || r.num == num {
			return differing("page", num, "page", i+1)
		}
	}
	what := "object"
	v, _ := d.object(num)
	if s, ok := v.(stream); ok {
		v = s.dict
	}
	kind, _ := v.(dict)
	switch {
	case num == d.root:
		what = "catalog"
	case num == d.info:
		what = "information"
	case kind.get("Type") == name("Font") || kind.get("Type") == name("FontDescriptor") || kind.get("Length1") != nil:
		what = "font"
	case kind.get("Type") == name("Metadata"):
		what = "metadata"
	}
	return differing(what, num)
}
