package pdfout

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"path"
	"regexp"
	"sort"
	"strings"
	"time"
	"unicode/utf16"
)

// about is what a document says of itself.
type about struct {
	title, subject, author, producer string
	lang                             string // BCP 47
	date                             time.Time
}

// finish turns what the PDF library wrote into a PDF 1.7 with metadata, a
// language, its title shown, and the attachments under a sorted name tree.
// The library offers none of that; so its catalog and information dictionary,
// always its last two objects, are written anew.
func finish(drawn []byte, a about, files []Attachment) ([]byte, error) {
	o, err := takeApart(drawn)
	if err != nil {
		return nil, err
	}
	if len(o) < 2 || !bytes.Contains(o[len(o)-1], []byte("/Type /Catalog")) {
		return nil, errForm
	}
	root, info := len(o), len(o)-1
	outlines := outlineRoot.FindSubmatch(o[root-1])
	o.nameFonts()
	o.mendOutline()
	metadata := o.add(stream("/Type /Metadata /Subtype /XML", a.xmp(), false))
	tree, all, err := o.attach(files, a.date)
	if err != nil {
		return nil, err
	}
	o[info-1] = a.info()
	cat := fmt.Appendf(nil, "<<\n/Type /Catalog\n/Pages 1 0 R\n/Lang %s\n/Metadata %d 0 R\n/ViewerPreferences << /DisplayDocTitle true >>\n",
		textString(a.lang), metadata)
	if outlines != nil {
		cat = fmt.Appendf(cat, "/Outlines %s 0 R\n", outlines[1])
	}
	o[root-1] = fmt.Appendf(cat, "/Names << /EmbeddedFiles << /Names [%s] >> >>\n/AF [%s]\n>>", tree, all)
	return o.join(root, info), nil
}

var (
	outlineRoot = regexp.MustCompile(`/Outlines (\d+) 0 R`)
	fontName    = regexp.MustCompile(`/utf8[0-9A-Za-z]+`)
)

// baseNames are the names of the embedded subsets (ISO 32000-1, 9.6.4).
var baseNames = map[string]string{
	"/utf8" + family:       "/RECSUM+LiberationSans",
	"/utf8" + family + "B": "/RECSUM+LiberationSans-Bold",
}

// nameFonts gives the embedded faces their own names back.
func (o objects) nameFonts() {
	for i, text := range o {
		if bytes.HasPrefix(text, []byte("<</Type /Font")) {
			o[i] = fontName.ReplaceAllFunc(text, func(b []byte) []byte { return []byte(baseNames[string(b)]) })
		}
	}
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
// ISO 32000-1, 7.9.6 wants it, and the references to all of them.
func (o *objects) attach(files []Attachment, date time.Time) (tree, all string, err error) {
	sorted := append([]Attachment{}, files...)
	sort.SliceStable(sorted, func(i, j int) bool { return treeKey(sorted[i].Name) < treeKey(sorted[j].Name) })
	var leaves, refs []string
	for i, f := range sorted {
		if f.Name == "" || i > 0 && f.Name == sorted[i-1].Name {
			return "", "", fmt.Errorf("attachment %q (want each file under a name of its own)", f.Name)
		}
		spec := o.add(fileSpec(f, o.add(embedded(f, date))))
		leaves = append(leaves, fmt.Sprintf("%s %d 0 R", hexString(treeKey(f.Name)), spec))
		refs = append(refs, fmt.Sprintf("%d 0 R", spec))
	}
	return strings.Join(leaves, " "), strings.Join(refs, " "), nil
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

func embedded(f Attachment, date time.Time) []byte {
	kind := kinds[strings.ToLower(path.Ext(f.Name))]
	if kind == "" {
		kind = "application/octet-stream"
	}
	return stream(fmt.Sprintf("/Type /EmbeddedFile /Subtype /%s /Params << /Size %d /ModDate %s >>",
		strings.ReplaceAll(kind, "/", "#2F"), len(f.Bytes), textString(pdfDate(date))), f.Bytes, true)
}

// stream writes a stream object with the given entries of its dictionary.
func stream(entries string, content []byte, pack bool) []byte {
	if pack {
		var b bytes.Buffer
		z := zlib.NewWriter(&b)
		z.Write(content) // a bytes.Buffer takes everything
		z.Close()
		content, entries = b.Bytes(), entries+" /Filter /FlateDecode"
	}
	return fmt.Appendf(nil, "<< %s /Length %d >>\nstream\n%s\nendstream", entries, len(content), content)
}

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
	return "(" + strings.NewReplacer(`\`, `\\`, `(`, `\(`, `)`, `\)`).Replace(s) + ")"
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
