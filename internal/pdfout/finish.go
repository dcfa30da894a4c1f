package pdfout

import (
	"bytes"
	"fmt"
	"maps"
	"path"
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

// pagesObject and resourcesObject are the numbers of the objects that every page names.
const pagesObject, resourcesObject = 1, 2

// finish writes the document as PDF/A-3b (ISO 19005-3): a PDF 1.7 with metadata, the
// colour space, a language, its title shown, the faces, and the attachments under a
// sorted name tree.
func (s *sheet) finish(a about, files []record.File, room []byte) ([]byte, error) {
	s.leave()
	m := s.mem
	m.texts = append(m.texts, nil, nil) // the objects that are named before their numbers are known
	m.addPages(s.pages)
	outlines := m.addOutline(s.h)
	info := m.add(a.appendInfo)
	root := m.texts.add(nil)
	m.texts[pagesObject-1] = m.text(func(b []byte) []byte { return appendPageTree(b, len(s.pages), s.w, s.h) })
	m.addResources(s.more, s.code)
	tree := m.addTree(s.root(), s.pages)
	metadata := m.texts.add(m.stream("/Type /Metadata /Subtype /XML", a.xmp(), nil))
	profile := m.texts.add(profileStream())
	leaves, all, err := m.attach(files, a.date)
	if err != nil {
		return nil, err
	}
	m.texts[root-1] = m.text(func(b []byte) []byte {
		b = fmt.Appendf(b, "<<\n/Type /Catalog\n/Pages %d 0 R\n/Lang %s\n/Metadata %d 0 R\n/ViewerPreferences << /DisplayDocTitle true >>\n/MarkInfo << /Marked true >>\n/StructTreeRoot %d 0 R\n/Outlines %d 0 R\n",
			pagesObject, appendTextString(nil, a.lang), metadata, tree, outlines)
		b = fmt.Appendf(b, "/OutputIntents [<< /Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier (%s) /Info (%s) /DestOutputProfile %d 0 R >>]\n",
			colourSpace, colourSpace, profile)
		if len(files) > 0 {
			b = fmt.Appendf(b, "/Names << /EmbeddedFiles << /Names [%s] >> >>\n/AF [%s]\n", leaves, all)
		}
		return append(b, ">>"...)
	})
	pdf := m.texts.join(root, info, room)
	m.pages = s.pages
	m.keep()
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

// baseNames are the names of the embedded subsets (ISO 32000-1, 9.6.4).
var baseNames = [2]string{"RECSUM+LiberationSans", "RECSUM+LiberationSans-Bold"}

// addPages adds the pages, each followed by its content, packed.
func (m *memory) addPages(pages []page) {
	for i, p := range pages {
		m.addf("<</Type /Page\n/Parent %d 0 R\n/Resources %d 0 R\n/StructParents %d\n/Contents %d 0 R>>", pagesObject, resourcesObject, i, pageObject(i+1)+1)
		m.texts.add(m.stream("", p.content, quickPackers))
		pageBuffers.put(p.content[:0])
	}
}

// appendPageTree names all pages and says how large they are.
func appendPageTree(b []byte, pages int, w, h length) []byte {
	b = append(b, "<</Type /Pages\n/Kids ["...)
	for n := 1; n <= pages; n++ {
		b = append(strconv.AppendInt(b, int64(pageObject(n)), 10), " 0 R "...)
	}
	b = fmt.Appendf(b, "]\n/Count %d\n/MediaBox [0 0 ", pages)
	b = append(w.appendCents(b), ' ')
	return append(h.appendCents(b), "]\n>>"...)
}

// entry is one of the outline, that leads to a place.
type entry struct {
	title string
	page  int
	y     length
}

// addOutline adds the entries of the outline on pages of height h, and gives the number
// of its root. Every document has at least one.
func (m *memory) addOutline(h length) int {
	first := len(m.texts) + 1
	last := first + len(m.outline) - 1
	for i, e := range m.outline {
		m.add(func(b []byte) []byte {
			b = appendBytes(append(b, "<</Title ("...), utf16Text(e.title))
			b = fmt.Appendf(b, ")\n/Parent %d 0 R\n", last+1)
			if i > 0 {
				b = fmt.Appendf(b, "/Prev %d 0 R\n", first+i-1)
			}
			if first+i < last {
				b = fmt.Appendf(b, "/Next %d 0 R\n", first+i+1)
			}
			b = fmt.Appendf(b, "/Dest [%d 0 R /XYZ 0 ", pageObject(e.page))
			return append((h - e.y).appendCents(b), " null]\n>>"...)
		})
	}
	return m.addf("<</Type /Outlines /First %d 0 R\n/Last %d 0 R\n/Count %d>>", first, last, len(m.outline))
}

// addResources embeds both faces with the characters that were printed beyond the
// common ones, and the square code, and names them to the pages.
func (m *memory) addResources(more map[rune]bool, code []byte) {
	fonts := m.embed(subsetWith(slices.Sorted(maps.Keys(more))))
	m.texts[resourcesObject-1] = m.text(func(b []byte) []byte {
		b = fmt.Appendf(b, "<<\n/ProcSet [/PDF /Text /ImageB /ImageC /ImageI]\n/Font << /%s %d 0 R /%s %d 0 R >>\n", fontNames[false], fonts[0], fontNames[true], fonts[1])
		if code != nil {
			b = fmt.Appendf(b, "/XObject << /%s %d 0 R >>\n", codeName, m.texts.add(code))
		}
		return append(b, "/ColorSpace <<\n>>\n>>"...)
	})
}

// attach adds the files and returns the leaves of their name tree, sorted as
// ISO 32000-1, 7.9.6 requires, and the references to all of them.
func (m *memory) attach(files []record.File, date time.Time) (tree, all []byte, err error) {
	type keyed struct {
		record.File
		key string // its name as a text string, compared by bytes
	}
	sorted := make([]keyed, len(files))
	for i, f := range files {
		sorted[i] = keyed{f, utf16Text(f.Name)}
	}
	slices.SortStableFunc(sorted, func(a, b keyed) int { return strings.Compare(a.key, b.key) })
	for i, f := range sorted {
		if f.Name == "" || i > 0 && f.Name == sorted[i-1].Name {
			return nil, nil, fmt.Errorf("attachment %q (want each file under a name of its own)", f.Name)
		}
		stream := m.texts.add(m.embedded(f.File, date))
		spec := m.add(func(b []byte) []byte { return appendFileSpec(b, f.File, stream) })
		if i > 0 {
			tree, all = append(tree, ' '), append(all, ' ')
		}
		tree = fmt.Appendf(tree, "<%X> %d 0 R", f.key, spec)
		all = fmt.Appendf(all, "%d 0 R", spec)
	}
	return tree, all, nil
}

// appendFileSpec describes an attachment. /F is for readers that know no Unicode.
func appendFileSpec(b []byte, f record.File, stream int) []byte {
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
	b = appendTextString(append(b, "<< /Type /Filespec /F "...), plain)
	b = appendTextString(append(b, " /UF "...), f.Name)
	return fmt.Appendf(b, " /AFRelationship /%s /EF << /F %d 0 R /UF %d 0 R >> >>", relation, stream, stream)
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

// packedBuffers are for a stream.
var packedBuffers = &spares[*bytes.Buffer]{make: func() *bytes.Buffer { return bytes.NewBuffer(make([]byte, 0, pageRoom)) }}

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

// appendTextString appends s as a PDF string: plain where it is ASCII, else UTF-16.
func appendTextString(b []byte, s string) []byte {
	if plainPart(s) < len(s) {
		return fmt.Appendf(b, "<%X>", utf16Text(s))
	}
	return append(appendBytes(append(b, '('), s), ')')
}

// appendBytes appends what is between the brackets of a string.
func appendBytes(b []byte, s string) []byte {
	for i := range len(s) {
		b = appendCode(b, s[i])
	}
	return b
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
