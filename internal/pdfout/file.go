package pdfout

import (
	"bytes"
	"fmt"
	"strconv"

	"github.com/klauspost/compress/zlib"
)

// file is a PDF being written, its objects one after the other in the order of
// their numbers. Nothing is copied but the finished file: a document's memory is used
// again for the next one.
type file struct {
	b      []byte
	starts []int  // where each object begins
	packed []byte // the stream being written
}

// keptFile bounds the memory that is kept for the next document. Few need more.
const keptFile = 1 << 20

var spareFiles = &spares[*file]{make: func() *file { return &file{b: make([]byte, 0, 128<<10), packed: make([]byte, 0, 16<<10)} }}

// newFile begins a file: PDF 1.7. The bytes above 127 show mail programs that this
// is not text.
func newFile() *file {
	f := spareFiles.get()
	f.b, f.starts = append(f.b[:0], "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"...), f.starts[:0]
	return f
}

// begin begins an object and gives its number.
func (f *file) begin() int {
	f.starts = append(f.starts, len(f.b))
	f.b = append(strconv.AppendInt(f.b, int64(len(f.starts)), 10), " 0 obj\n"...)
	return len(f.starts)
}

func (f *file) end() { f.add("\nendobj\n") }

func (f *file) add(text string) { f.b = append(f.b, text...) }

// ref appends text, a reference to an object, and more text.
func (f *file) ref(before string, number int, after string) {
	f.add(before)
	f.b = append(appendRef(f.b, number), after...)
}

func appendRef(b []byte, number int) []byte {
	return append(strconv.AppendInt(b, int64(number), 10), " 0 R"...)
}

// object writes an entire object.
func (f *file) object(text []byte) int {
	n := f.begin()
	f.b = append(f.b, text...)
	f.end()
	return n
}

// stream writes a stream with the given entries of its dictionary, packed where packers
// are given.
func (f *file) stream(entries string, content []byte, packers *packers) int {
	n := f.begin()
	filter := ""
	if packers != nil {
		f.packed = pack(f.packed[:0], content, packers)
		content, filter = f.packed, packedFilter
	}
	f.b = appendStream(f.b, entries, filter, content)
	f.end()
	return n
}

const packedFilter = " /Filter /FlateDecode"

// appendStream appends a stream object, its content as it is given.
func appendStream(b []byte, entries, filter string, content []byte) []byte {
	b = append(append(append(b, "<< "...), entries...), filter...)
	b = strconv.AppendInt(append(b, " /Length "...), int64(len(content)), 10)
	b = append(append(b, " >>\nstream\n"...), content...)
	return append(b, "\nendstream"...)
}

// packedStream is a stream object with its content packed.
func packedStream(entries string, content []byte, packers *packers) []byte {
	return appendStream(nil, entries, packedFilter, pack(nil, content, packers))
}

// idPlace is where the file's identifier is filled in when it is finished.
const idPlace = "0000000000000000000000000000000000000000000000000000000000000000"

// finished writes the one cross-reference table and the trailer, and gives the file.
func (f *file) finished(root, info int) []byte {
	table := len(f.b)
	f.b = fmt.Appendf(f.b, "xref\n0 %d\n0000000000 65535 f \n", len(f.starts)+1)
	for _, at := range f.starts {
		f.b = append(appendPadded(f.b, at), " 00000 n \n"...)
	}
	f.b = fmt.Appendf(f.b, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n/ID [<%s><%s>]\n>>\nstartxref\n%d\n%%%%EOF\n",
		len(f.starts)+1, root, info, idPlace, idPlace, table)
	return bytes.Clone(f.b)
}

// appendPadded appends n in ten digits.
func appendPadded(b []byte, n int) []byte {
	b = append(b, "0000000000"...)
	for at := len(b) - 1; n > 0; at-- {
		b[at] = byte('0' + n%10)
		n /= 10
	}
	return b
}

// done leaves the memory to the next document.
func (f *file) done() {
	if cap(f.b) <= keptFile && cap(f.packed) <= keptFile {
		spareFiles.put(f)
	}
}

// packers are compressors. Pages and attachments are packed at the quickest level,
// faces once, and well.
//
// The packer is a module pinned in go.mod and not the standard library's, so
// that the bytes do not depend on the Go release. It has no assembly, and the
// floats that it compares are exact, so they do not depend on the processor
// either: TestPackedBytes compares its output with the bytes of five builds.
type packers = spares[*zlib.Writer]

var (
	quickPackers = packersOf(zlib.BestSpeed)
	facePackers  = packersOf(zlib.DefaultCompression)
)

func packersOf(level int) *packers {
	return &packers{make: func() *zlib.Writer {
		z, err := zlib.NewWriterLevel(nil, level)
		if err != nil {
			panic(err) // a level that there is
		}
		return z
	}}
}

// pack appends content compressed. The bytes depend on nothing else but the level.
func pack(b, content []byte, packers *packers) []byte {
	to := (*appended)(&b)
	z := packers.get()
	defer packers.put(z)
	z.Reset(to)
	z.Write(content) // what appends takes everything
	z.Close()
	return b
}

// appended is bytes that grow by what is written.
type appended []byte

func (a *appended) Write(b []byte) (int, error) {
	*a = append(*a, b...)
	return len(b), nil
}
