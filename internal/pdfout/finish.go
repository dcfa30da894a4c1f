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
)

// about is what a document says of itself.
type about struct {
	title, subject, author, producer string
	lang                             string // BCP 47
	date                             time.Time
}

// finish writes the pages as PDF/A-3b (ISO 19005-3): a PDF 1.7 with metadata, the
// colour space, a language, its title shown, tags, an outline, the faces, and the
// attachments under a sorted name tree.
func (s *sheet) finish(a about, attached []Attachment) ([]byte, error) {
	s.leave()
	attached, err := inOrder(attached)
	if err != nil {
		return nil, err
	}
	elements := numbered(s.root())
	n := s.numbers(len(elements), len(attached))
	f := newFile()
	defer f.done()
	f.pages(s, n)
	f.outline(s, n)
	f.object(a.info())
	f.catalog(a, n, attached)
	f.embed(subsetWith(slices.Sorted(maps.Keys(s.more))))
	if s.code != nil {
		f.object(s.code)
	}
	f.tree(elements, s.pages, n)
	f.stream("/Type /Metadata /Subtype /XML", a.xmp(), nil)
	f.object(packedProfile())
	for _, file := range attached {
		f.attach(file, a.date)
	}
	return f.finished(n.catalog, n.info), nil
}

// numbers are those of the objects that others name. They are known before the
// first is written: all objects come in one order.
type numbers struct {
	entries, outline int // the outline's first entry, and its root behind the last; 0: none
	info, catalog    int
	fonts            [2]int
	code             int // 0: none
	tree             int // of elements, which follow it
	metadata         int
	profile          int
	attached         int // the first file; after it what describes it, and so on
}

// The page tree and what pages share come first, and then pages, each before its
// content.
const (
	pageTree  = 1
	resources = 2
)

func pageObject(n int) int { return 2*n + 1 }

func (s *sheet) numbers(elements, attached int) numbers {
	next := pageObject(len(s.pages) + 1)
	take := func(n int) int {
		next += n
		return next - n
	}
	var n numbers
	if entries := len(s.outline); entries > 0 {
		n.entries, n.outline = take(entries), take(1)
	}
	n.info, n.catalog = take(1), take(1)
	take(sharedMaps)
	for i := range n.fonts {
		n.fonts[i] = take(perFace) + perFace - 1
	}
	if s.code != nil {
		n.code = take(1)
	}
	n.tree = take(1 + elements)
	n.metadata, n.profile, n.attached = take(1), take(1), take(2*attached)
	return n
}

// pages writes the page tree, what the pages share, and each page with its content.
func (f *file) pages(s *sheet, n numbers) {
	f.begin()
	f.add("<</Type /Pages\n/Kids [")
	for i := range s.pages {
		f.ref("", pageObject(i+1), " ")
	}
	f.b = fmt.Appendf(f.b, "]\n/Count %d\n/MediaBox [0 0 %s %s]\n>>", len(s.pages), s.w.decimals(), s.h.decimals())
	f.end()
	f.begin()
	f.ref("<<\n/ProcSet [/PDF /Text /ImageB /ImageC /ImageI]\n/Font << /"+fontNames[false]+" ", n.fonts[0], " /"+fontNames[true])
	f.ref(" ", n.fonts[1], " >>")
	if n.code > 0 {
		f.ref("\n/XObject << /"+codeName+" ", n.code, " >>")
	}
	f.add("\n/ColorSpace <<\n>>\n>>")
	f.end()
	for i, p := range s.pages {
		f.begin()
		f.b = fmt.Appendf(f.b, "<</Type /Page\n/Parent %d 0 R\n/Resources %d 0 R\n/StructParents %d\n/Contents %d 0 R>>", pageTree, resources, i, pageObject(i+1)+1)
		f.end()
		f.stream("", p.content, quickPackers)
		pageBuffers.put(p.content[:0])
	}
}

// bookmark is an entry of the outline: its text, and the place that it leads to.
type bookmark struct {
	text string
	page int
	y    length
}

// outline writes the entries one after the other, and its root.
func (f *file) outline(s *sheet, n numbers) {
	if n.outline == 0 {
		return
	}
	last := n.outline - 1
	for i, e := range s.outline {
		at := f.begin()
		f.b = appendLiteral(append(f.b, "<</Title "...), utf16Text(e.text))
		f.ref("\n/Parent ", n.outline, "\n")
		if i > 0 {
			f.ref("/Prev ", at-1, "\n")
		}
		if at < last {
			f.ref("/Next ", at+1, "\n")
		}
		f.ref("/Dest [", pageObject(e.page), " /XYZ 0 "+(s.h-e.y).decimals()+" null]\n>>")
		f.end()
	}
	f.begin()
	f.ref("<</Type /Outlines /First ", n.entries, "\n")
	f.ref("/Last ", last, "\n/Count "+strconv.Itoa(len(s.outline))+">>")
	f.end()
}

// catalog writes the root of the file.
func (f *file) catalog(a about, n numbers, attached []Attachment) {
	f.begin()
	f.b = fmt.Appendf(f.b, "<<\n/Type /Catalog\n/Pages %d 0 R\n/Lang %s\n/Metadata %d 0 R\n/ViewerPreferences << /DisplayDocTitle true >>\n/MarkInfo << /Marked true >>\n/StructTreeRoot %d 0 R\n",
		pageTree, textString(a.lang), n.metadata, n.tree)
	if n.outline > 0 {
		f.ref("/Outlines ", n.outline, "\n")
	}
	f.ref("/OutputIntents [<< /Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier ("+colourSpace+") /Info ("+colourSpace+") /DestOutputProfile ", n.profile, " >>]\n")
	if len(attached) > 0 {
		f.add("/Names << /EmbeddedFiles << /Names [")
		for i, file := range attached {
			f.add(between(i) + hexString(treeKey(file.Name)))
			f.ref(" ", n.attached+2*i+1, "")
		}
		f.add("] >> >>\n/AF [")
		for i := range attached {
			f.ref(between(i), n.attached+2*i+1, "")
		}
		f.add("]\n")
	}
	f.add(">>")
	f.end()
}

// between is a space before all but the first.
func between(i int) string { return " "[:min(i, 1)] }

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

// inOrder sorts the files as their name tree is, see ISO 32000-1, 7.9.6.
func inOrder(attached []Attachment) ([]Attachment, error) {
	sorted := slices.Clone(attached)
	slices.SortStableFunc(sorted, func(a, b Attachment) int { return strings.Compare(treeKey(a.Name), treeKey(b.Name)) })
	for i, f := range sorted {
		if f.Name == "" || i > 0 && f.Name == sorted[i-1].Name {
			return nil, fmt.Errorf("attachment %q (want each file under a name of its own)", f.Name)
		}
	}
	return sorted, nil
}

// attach writes a file and what describes it.
func (f *file) attach(a Attachment, date time.Time) {
	kind := kinds[strings.ToLower(path.Ext(a.Name))]
	if kind == "" {
		kind = "application/octet-stream"
	}
	stream := f.stream(fmt.Sprintf("/Type /EmbeddedFile /Subtype /%s /Params << /Size %d /ModDate %s >>",
		strings.ReplaceAll(kind, "/", "#2F"), len(a.Bytes), textString(pdfDate(date))), a.Bytes, quickPackers)
	f.object(fileSpec(a, stream))
}

// treeKey is the key of a file: its name as a text string, compared by bytes.
func treeKey(name string) string { return utf16Text(name) }

// fileSpec describes an attachment. /F is for readers that know no Unicode.
func fileSpec(f Attachment, stream int) []byte {
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
	return fmt.Appendf(nil, "<< /Type /Filespec /F %s /UF %s /AFRelationship /%s /EF << /F %d 0 R /UF %d 0 R >> >>",
		textString(plain), textString(f.Name), relation, stream, stream)
}

// kinds are the media types of what is attached, by the name's ending.
var kinds = map[string]string{
	".csv": "text/csv", ".json": "application/json", ".txt": "text/plain", ".pdf": "application/pdf",
	".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".tif": "image/tiff", ".tiff": "image/tiff",
}

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

func pdfDate(t time.Time) string { return t.UTC().Format("D:20060102150405Z") }

// utf16Text is s as the bytes of a PDF text string in UTF-16.
func utf16Text(s string) string {
	b := []byte{0xFE, 0xFF}
	for _, u := range utf16.Encode([]rune(s)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return string(b)
}

func hexString(s string) string { return fmt.Sprintf("<%X>", s) }

// textString writes s as a PDF string: plain where it is ASCII, else UTF-16.
func textString(s string) string {
	for _, r := range s {
		if r < ' ' || r > '~' {
			return hexString(utf16Text(s))
		}
	}
	return string(appendLiteral(nil, s))
}

// appendLiteral appends the bytes of a string between brackets.
func appendLiteral(b []byte, s string) []byte {
	b = append(b, '(')
	for i := range len(s) {
		b = appendCode(b, s[i])
	}
	return append(b, ')')
}

// info is the information dictionary.
func (a about) info() []byte {
	var b bytes.Buffer
	b.WriteString("<<")
	for _, e := range [][2]string{{"Title", a.title}, {"Subject", a.subject}, {"Author", a.author}, {"Producer", a.producer},
		{"CreationDate", pdfDate(a.date)}, {"ModDate", pdfDate(a.date)}} {
		if e[1] != "" {
			fmt.Fprintf(&b, " /%s %s", e[0], textString(e[1]))
		}
	}
	b.WriteString(" >>")
	return b.Bytes()
}
