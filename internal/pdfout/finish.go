package pdfout

import (
	"bytes"
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode/utf16"

	"github.com/klauspost/compress/zlib"

	"reconcile/internal/record"
)

// about is what a document says of itself.
type about struct {
	title, subject, author, producer string
	lang                             string // BCP 47
	date                             time.Time
}

// finish turns what the PDF library wrote into PDF/A-3b (ISO 19005-3): a PDF
// 1.7 with metadata, the colour space, a language, its title shown, the faces,
// and the attachments under a sorted name tree. The library offers none of
// that; so its catalog and information dictionary, always its last two
// objects, are replaced.
func (s *sheet) finish(a about, files []record.File, room []byte) ([]byte, error) {
	s.leave()
	drawn := drawnBuffers.get()
	defer keep(drawn, drawnBuffers) // the objects are cut from it
	if err := s.pdf.Output(drawn); err != nil {
		return nil, err
	}
	o, err := splitObjects(drawn.Bytes(), s.mem.texts)
	if err != nil {
		return nil, err
	}
	if len(o) < 2 || !bytes.Contains(o[len(o)-1], []byte("/Type /Catalog")) {
		return nil, errForm
	}
	root, info := len(o), len(o)-1
	outlines := outlineRoot().FindSubmatch(o[root-1])
	if err := o.addResources(s.more, s.code, s.mem); err != nil {
		return nil, err
	}
	tree := o.addTree(s.root(), s.pages, s.mem)
	if err := o.fill(s.pages, s.mem); err != nil {
		return nil, err
	}
	o.mendOutline()
	metadata := o.add(s.mem.stream("/Type /Metadata /Subtype /XML", a.xmp(), nil))
	profile := o.add(profileStream())
	leaves, all, err := o.attach(files, a.date, s.mem)
	if err != nil {
		return nil, err
	}
	o[info-1] = s.mem.text(a.appendInfo)
	cat := fmt.Appendf(nil, "<<\n/Type /Catalog\n/Pages 1 0 R\n/Lang %s\n/Metadata %d 0 R\n/ViewerPreferences << /DisplayDocTitle true >>\n/MarkInfo << /Marked true >>\n/StructTreeRoot %d 0 R\n",
		appendTextString(nil, a.lang), metadata, tree)
	if outlines != nil {
		cat = fmt.Appendf(cat, "/Outlines %s 0 R\n", outlines[1])
	}
	cat = fmt.Appendf(cat, "/OutputIntents [<< /Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier (%s) /Info (%s) /DestOutputProfile %d 0 R >>]\n",
		colourSpace, colourSpace, profile)
	if len(files) > 0 {
		cat = fmt.Appendf(cat, "/Names << /EmbeddedFiles << /Names [%s] >> >>\n/AF [%s]\n", leaves, all)
	}
	o[root-1] = append(cat, ">>"...)
	pdf := o.join(root, info, room)
	s.mem.texts, s.mem.pages = o, s.pages
	s.mem.keep()
	return pdf, nil
}

// root is the top of the tree of elements.
func (s *sheet) root() *element {
	top := s.within
	for top.parent != nil {
		top = top.parent
	}
	return top
}

var outlineRoot = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`/Outlines (\d+) 0 R`) })

// baseNames are the names of the embedded subsets (ISO 32000-1, 9.6.4).
var baseNames = [2]string{"RECSUM+LiberationSans", "RECSUM+LiberationSans-Bold"}

// addResources embeds both faces with the characters that were printed beyond the
// common ones, and the square code, and names them to the pages.
func (o *objects) addResources(more map[rune]bool, code []byte, m *memory) error {
	fonts := o.embed(subsetWith(slices.Sorted(maps.Keys(more))), m)
	names := fmt.Sprintf("/Font << /%s %d 0 R /%s %d 0 R >>", fontNames[false], fonts[0], fontNames[true], fonts[1])
	if code != nil {
		names += fmt.Sprintf("\n/XObject << /%s %d 0 R >>", codeName, o.add(code))
	}
	const resources, none = 2, "/Font <<\n>>\n/XObject <<\n>>" // the library's object 2, without fonts and drawings
	if !bytes.Contains((*o)[resources-1], []byte(none)) {
		return errForm
	}
	(*o)[resources-1] = bytes.Replace((*o)[resources-1], []byte(none), []byte(names), 1)
	return nil
}

// mendOutline takes out the counts of 0 that the library writes, which say
// that an entry is closed over nothing, and counts the entries at the root.
func (o objects) mendOutline() {
	entries := 0
	for i, text := range o {
		switch {
		case bytes.HasPrefix(text, []byte("<</Title ")):
			o[i] = append(bytes.TrimSuffix(bytes.Clone(text), []byte("/Count 0>>")), ">>"...)
			entries++
		case bytes.HasPrefix(text, []byte("<</Type /Outlines")):
			o[i] = fmt.Appendf(bytes.TrimSuffix(bytes.Clone(text), []byte(">>")), "\n/Count %d>>", entries)
		}
	}
}

// attach adds the files and returns the leaves of their name tree, sorted as
// ISO 32000-1, 7.9.6 requires, and the references to all of them.
func (o *objects) attach(files []record.File, date time.Time, m *memory) (tree, all string, err error) {
	type keyed struct {
		record.File
		key string // its name as a text string, compared by bytes
	}
	sorted := make([]keyed, len(files))
	for i, f := range files {
		sorted[i] = keyed{f, utf16Text(f.Name)}
	}
	slices.SortStableFunc(sorted, func(a, b keyed) int { return strings.Compare(a.key, b.key) })
	var leaves, refs []string
	for i, f := range sorted {
		if f.Name == "" || i > 0 && f.Name == sorted[i-1].Name {
			return "", "", fmt.Errorf("attachment %q (want each file under a name of its own)", f.Name)
		}
		spec := o.add(m.fileSpec(f.File, o.add(m.embedded(f.File, date))))
		leaves = append(leaves, fmt.Sprintf("%s %d 0 R", hexString(f.key), spec))
		refs = append(refs, fmt.Sprintf("%d 0 R", spec))
	}
	return strings.Join(leaves, " "), strings.Join(refs, " "), nil
}

// fileSpec describes an attachment. /F is for readers that know no Unicode.
func (m *memory) fileSpec(f record.File, stream int) []byte {
	plain := strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '_'
		}
		return r
	}, f.Name)
	relation := "Source" // what the summary was made from
	if f.Name == RecordName {
		relation = "Data" // what the pages show
	}
	return m.text(func(b []byte) []byte {
		b = appendTextString(append(b, "<< /Type /Filespec /F "...), plain)
		b = appendTextString(append(b, " /UF "...), f.Name)
		return fmt.Appendf(b, " /AFRelationship /%s /EF << /F %d 0 R /UF %d 0 R >> >>", relation, stream, stream)
	})
}

// kinds are the media types of what is attached, by the name's ending.
var kinds = map[string]string{
	".csv": "text/csv", ".json": "application/json", ".txt": "text/plain", ".pdf": "application/pdf",
	".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".tif": "image/tiff", ".tiff": "image/tiff",
}

func (m *memory) embedded(f record.File, date time.Time) []byte {
	kind := kinds[strings.ToLower(path.Ext(f.Name))]
	if kind == "" {
		kind = "application/octet-stream"
	}
	packers := quickPackers
	if len(f.Bytes) < leastPacked {
		packers = nil
	}
	return m.stream(fmt.Sprintf("/Type /EmbeddedFile /Subtype /%s /Params << /Size %d /ModDate %s >>",
		strings.ReplaceAll(kind, "/", "#2F"), len(f.Bytes), appendTextString(nil, pdfDate(date))), f.Bytes, packers)
}

// leastPacked is from how many bytes on a file is packed: less would take longer to
// unpack than it saves.
const leastPacked = 512

// spares are things to be used again. A pool of the runtime is emptied with every
// collection of garbage, and a compressor takes more memory than a document.
type spares[T any] struct {
	sync.Mutex
	kept []T
	make func() T
}

// keptSpares is how many wait at most, as many as documents are drawn at once.
const keptSpares = 16

func (s *spares[T]) get() T {
	s.Lock()
	defer s.Unlock()
	n := len(s.kept)
	if n == 0 {
		return s.make()
	}
	v := s.kept[n-1]
	s.kept = s.kept[:n-1]
	return v
}

func (s *spares[T]) put(v T) {
	s.Lock()
	defer s.Unlock()
	if len(s.kept) < keptSpares {
		s.kept = append(s.kept, v)
	}
}

// pageRoom is what the content of most pages takes, in bytes.
const pageRoom = 32 << 10

var pageBuffers = &spares[[]byte]{make: func() []byte { return make([]byte, 0, pageRoom) }}

// drawnBuffers are for what the library writes, packedBuffers for a stream.
var drawnBuffers, packedBuffers = buffersOf(), buffersOf()

func buffersOf() *spares[*bytes.Buffer] {
	return &spares[*bytes.Buffer]{make: func() *bytes.Buffer { return bytes.NewBuffer(make([]byte, 0, pageRoom)) }}
}

// keep keeps a buffer for the next document, unless it is larger than documents are.
func keep(b *bytes.Buffer, all *spares[*bytes.Buffer]) {
	const most = 1 << 20
	if b.Reset(); b.Cap() <= most {
		all.put(b)
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

// pack compresses content. The bytes depend on nothing else but the level.
func pack(content []byte, packers *packers) (packed []byte) {
	packing(content, packers, func(b []byte) { packed = bytes.Clone(b) })
	return packed
}

// packing compresses content for what is done with it, and only as long.
func packing(content []byte, packers *packers, use func(packed []byte)) {
	b := packedBuffers.get()
	defer keep(b, packedBuffers)
	z := packers.get()
	defer packers.put(z)
	z.Reset(b)
	z.Write(content) // a bytes.Buffer takes everything
	z.Close()
	use(b.Bytes())
}

// stream writes a stream object with the given entries of its dictionary,
// packed where packers are given.
func (m *memory) stream(entries string, content []byte, packers *packers) (object []byte) {
	if packers == nil {
		return m.text(func(b []byte) []byte {
			return fmt.Appendf(b, "<< %s /Length %d >>\nstream\n%s\nendstream", entries, len(content), content)
		})
	}
	packing(content, packers, func(packed []byte) {
		object = m.text(func(b []byte) []byte { return appendStream(b, entries, packed) })
	})
	return object
}

// appendStream appends a stream object whose content is packed.
func appendStream(b []byte, entries string, packed []byte) []byte {
	b = append(append(b, "<< "...), entries...)
	b = strconv.AppendInt(append(b, " /Filter /FlateDecode /Length "...), int64(len(packed)), 10)
	return append(append(append(b, " >>\nstream\n"...), packed...), "\nendstream"...)
}

// packedStream is a stream object that many documents have.
func packedStream(entries string, packed []byte) []byte { return appendStream(nil, entries, packed) }

// fill packs the contents of the pages into the objects that the library has for
// them, instead of what it writes there, a page's usual settings.
func (o objects) fill(pages []page, m *memory) error {
	for i, p := range pages {
		at := pageObject(i + 1) // counted from 0: the object after that of the page
		if at >= len(o) || !bytes.HasSuffix(o[at], []byte("\nendstream")) {
			return errForm
		}
		o[at] = m.stream("", p.content, quickPackers)
		pageBuffers.put(p.content[:0])
	}
	return nil
}

func pdfDate(t time.Time) string { return t.UTC().Format("D:20060102150405Z") }

// utf16Text is s as the bytes of a PDF text string in UTF-16.
func utf16Text(s string) string {
	b := append(make([]byte, 0, 2+2*len(s)), 0xFE, 0xFF)
	var units [2]uint16
	for _, r := range s {
		for _, u := range utf16.AppendRune(units[:0], r) {
			b = append(b, byte(u>>8), byte(u))
		}
	}
	return string(b)
}

func hexString(s string) string { return fmt.Sprintf("<%X>", s) }

// appendTextString appends s as a PDF string: plain where it is ASCII, else UTF-16.
func appendTextString(b []byte, s string) []byte {
	if plainPart(s) < len(s) {
		return append(b, hexString(utf16Text(s))...)
	}
	return append(appendBytes(append(b, '('), s), ')')
}

// appendInfo appends the information dictionary.
func (a *about) appendInfo(b []byte) []byte {
	b = append(b, "<<"...)
	date := pdfDate(a.date)
	for _, e := range [...]struct{ name, text string }{{"Title", a.title}, {"Subject", a.subject}, {"Author", a.author}, {"Producer", a.producer},
		{"CreationDate", date}, {"ModDate", date}} {
		if e.text != "" {
			b = append(append(append(b, " /"...), e.name...), ' ')
			b = appendTextString(b, e.text)
		}
	}
	return append(b, " >>"...)
}
