package signoff

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
)

// assembled writes a file of these objects; objects[0] is not used. A string
// is written as it is.
func assembled(root, info int, objects []any) []byte {
	var w bytes.Buffer
	w.WriteString(header)
	offsets := make([]int, len(objects))
	for n := 1; n < len(objects); n++ {
		offsets[n] = w.Len()
		fmt.Fprintf(&w, "%d 0 obj\n", n)
		switch v := objects[n].(type) {
		case string:
			w.WriteString(v)
		case stream:
			write(&w, v.dict.with("Length", number(fmt.Sprint(len(v.raw)))))
			fmt.Fprintf(&w, "\nstream\n%s\nendstream", v.raw)
		default:
			write(&w, v)
		}
		w.WriteString("\nendobj\n")
	}
	at := w.Len()
	fmt.Fprintf(&w, "xref\n0 %d\n0000000000 65535 f \n", len(objects))
	for _, o := range offsets[1:] {
		fmt.Fprintf(&w, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&w, "trailer\n<<\n/Size %d\n/Root %d 0 R\n/Info %d 0 R\n/ID [<%064d><%064d>]\n>>\nstartxref\n%d\n%%%%EOF\n", len(objects), root, info, 0, 0, at)
	return w.Bytes()
}

// made is a file of objects written out, object 1 its catalog, and one more,
// the document information.
func made(objects ...string) []byte {
	list := []any{nil}
	for _, o := range append(objects, "<< >>") {
		list = append(list, o)
	}
	return assembled(1, len(list)-1, list)
}

// catalog is a catalog with further entries.
func catalogOf(more string) string { return "<< /Type /Catalog /Pages 2 0 R" + more + " >>" }

// bomb is a stream that unpacks to n zeros.
func bomb(n int) string {
	var w bytes.Buffer
	z, _ := zlib.NewWriterLevel(&w, zlib.BestSpeed) // the level is one that is known
	part := make([]byte, 1<<20)
	for i := 0; i < n; i += len(part) {
		z.Write(part)
	}
	z.Close()
	return fmt.Sprintf("<< /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream", w.Len(), w.String())
}

// packedThen is a stream of something packed, and then something else.
func packedThen(more string) string {
	var w bytes.Buffer
	z := zlib.NewWriter(&w)
	z.Write([]byte("q Q"))
	z.Close()
	w.WriteString(more)
	return fmt.Sprintf("<< /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream", w.Len(), w.String())
}

const (
	onePage   = "<< /Type /Pages /Kids [3 0 R] /Count 1 >>"
	aPage     = "<< /Type /Page /Contents 4 0 R >>"
	plainFile = "<< /Length 1 >>\nstream\nq\nendstream"
	fileSpec  = "<< /F (a) /UF (a) /EF << /F 4 0 R /UF 4 0 R >> >>"
)

// attachedAs is a file with this list of attachments and further objects from 5.
func attachedAs(list string, more ...string) []byte {
	return made(append([]string{catalogOf(" /Names << /EmbeddedFiles << /Names [" + list + "] >> >>"), onePage, aPage, plainFile}, more...)...)
}

type hostileCase struct {
	name string
	pdf  []byte
	want string // of an error met in reading everything
}

// hostile files: each must end in an error of this kind.
var hostile = sync.OnceValue(func() []hostileCase {
	nest := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	plainly := func() []byte { return made(catalogOf(""), onePage, aPage, plainFile) }
	swap := func(old, new string) []byte { return bytes.Replace(plainly(), []byte(old), []byte(new), 1) }
	pages := func(more ...string) []byte { return made(append([]string{catalogOf("")}, more...)...) }
	content := func(s string) []byte { return made(catalogOf(""), onePage, aPage, s) }
	return []hostileCase{
		{"five bytes", []byte("%PDF-"), badHeader},
		{"header only", []byte(header), badEnd},
		{"version 1.3", swap("%PDF-1.7", "%PDF-1.3"), badHeader},
		{"no mark of bytes above 127", swap("\xE2\xE3", "ab"), badHeader},
		{"no object at all", []byte(header + "trailer"), looseBytes},
		{"something after the end", append(plainly(), "more"...), bytesAdded},
		{"a hundred updates", append(plainly(), bytes.Repeat([]byte("x\n%%EOF\n"), 100)...), tooManyAdded},
		{"a second table", append(plainly(), "xref\n0 0\ntrailer\n<< /Prev 9 >>\nstartxref\n9\n%%EOF\n"...), bytesAdded},
		{"startxref of another place", bytes.Replace(plainly(), []byte("\nstartxref\n"), []byte("\nstartxref\n1"), 1), badEnd},
		{"table of 2 billion", swap("xref\n0 6", "xref\n0 2147483647"), badTable},
		{"table from 1", swap("xref\n0 6", "xref\n1 6"), badTable},
		{"object deleted", swap(" 00000 n", " 00000 f"), badTable},
		{"object of a later generation", swap(" 00000 n", " 00001 n"), badTable},
		{"another offset", swap("0000000015 0", "0000000016 0"), badTable},
		{"first entry in use", swap("65535 f", "00000 n"), badTable},
		{"trailer nested deep", swap("<<\n/Size", "<<\n/X "+nest(10000)+"/Size"), badTrailer},
		{"encrypted", swap(">>\nstartxref", "/Encrypt 1 0 R\n>>\nstartxref"), encrypted},
		{"a table in a stream as well", swap(">>\nstartxref", "/XRefStm 9\n>>\nstartxref"), encrypted},
		{"an earlier table", swap(">>\nstartxref", "/Prev 9\n>>\nstartxref"), badTrailer},
		{"another size", swap("/Size 6", "/Size 5"), badTrailer},
		{"catalog that is the information", swap("/Info 5", "/Info 1"), badTrailer},
		{"catalog beyond the table", swap("/Root 1", "/Root 9"), badTrailer},
		{"identifier in capitals", swap("/ID [<0", "/ID [<A"), idForm},
		{"identifier too short", swap("/ID [<0", "/ID [<"), idForm},
		{"two million objects", pages("[" + strings.Repeat("1 ", 2<<20) + "]"), tooManyValues},
		{"objects nested deep", pages(nest(10000)), nestedDeep},
		{"no catalog", made("7"), badCatalog},
		{"catalog of another type", made("<< /Pages 2 0 R >>"), badCatalog},
		{"reference to itself", pages("2 0 R"), wrongKind},
		{"no pages", made("<< /Type /Catalog >>"), wrongKind},
		{"pages that are missing", made("<< /Type /Catalog /Pages 9 0 R >>"), objectMissing},
		{"page tree in a circle", pages("<< /Kids [3 0 R] >>", "<< /Kids [2 0 R] >>"), circle},
		{"page tree that is its own child", pages("<< /Kids [2 0 R] >>"), circle},
		{"page shown a million times", pages("<< /Kids ["+strings.Repeat("3 0 R ", 100000)+"] >>", aPage), circle},
		{"too many pages", manyKids(5000), tooMuch},
		{"page tree too deep", deepKids(100), tooMuch},
		{"nodes that are no objects", pages("<< /Kids [<< /Type /Page >> << /Type /Page >>] >>"), circle},
		{"page tree of no pages", pages("<< /Kids [] >>"), badPages},
		{"content of predicted values", content("<< /DecodeParms << /Predictor 12 >> /Length 1 >>\nstream\nq\nendstream"), streamForm},
		{"content in another file", content("<< /F (other) /Length 1 >>\nstream\nq\nendstream"), streamForm},
		{"content that is no stream", content("7"), wrongKind},
		{"content of another filter", content("<< /Filter /LZWDecode /Length 1 >>\nstream\nq\nendstream"), streamForm},
		{"content not compressed at all", content("<< /Filter /FlateDecode /Length 1 >>\nstream\nq\nendstream"), streamPacking},
		{"something after what is packed", content(packedThen("more")), streamPacking},
		{"stream longer than the file", content("<< /Length 2000000000 >>\nstream\nq\nendstream"), streamLength},
		{"stream of giant length", content("<< /Length 99999999999999999999 >>\nstream\nq\nendstream"), streamLength},
		{"stream of negative length", content("<< /Length -1 >>\nstream\nq\nendstream"), streamLength},
		{"stream with its length elsewhere", content("<< /Length 1 /X 1 >>\nstream\nq\nendstream"), streamLength},
		{"decompression bomb", content(bomb(100 << 20)), unpacksTooBig},
		{"key twice", made("<< /Type /Catalog /Pages 2 0 R /Pages 3 0 R >>"), keyRepeated},
		{"key twice, once spelled with #", made("<< /Type /Catalog /Pages 2 0 R /P#61ges 3 0 R >>"), nameEscaped},
		{"content of wrong text", content("<< /Length 7 >>\nstream\n(abc)Tj\nendstream"), stringForm},
		{"content without end", content("<< /Length 4 >>\nstream\n(abc\nendstream"), cutShort},
		{"objects inside each other", nested(3000), badTable},
		{"attachments in a tree", made(catalogOf(" /Names << /EmbeddedFiles << /Kids [] >> >>"), onePage, aPage, plainFile), attachedForm},
		{"attachment without a name", attachedAs("(a) << /EF << /F 4 0 R /UF 4 0 R >> >>"), attachedForm},
		{"attachment under another key", attachedAs("(b) " + fileSpec), attachedForm},
		{"attachment of two names", attachedAs("(a) " + strings.Replace(fileSpec, "/F (a)", "/F (b)", 1)), attachedForm},
		{"attachment of two streams", attachedAs("(a) " + strings.Replace(fileSpec, "/UF 4", "/UF 5", 1)), attachedForm},
		{"attachment that is no file", attachedAs("(a) 7"), wrongKind},
		{"attachment that is missing", attachedAs("(a) << /F (a) /UF (a) /EF << /F 99 0 R /UF 99 0 R >> >>"), objectMissing},
		{"attachment that is a bomb", attachedAs("(a) << /F (a) /UF (a) /EF << /F 5 0 R /UF 5 0 R >> >>", bomb(70<<20)), unpacksTooBig},
		{"two attachments of one name", attachedAs("(a) " + fileSpec + " (a) " + fileSpec), attachedTwice},
		{"two attachments of one stream", attachedAs("(a) " + fileSpec + " (b) " + strings.ReplaceAll(fileSpec, "(a)", "(b)")), attachedTwice},
		{"three attachments, too much together", attachedAs("(a) << /F (a) /UF (a) /EF << /F 5 0 R /UF 5 0 R >> >> (b) << /F (b) /UF (b) /EF << /F 6 0 R /UF 6 0 R >> >> (c) << /F (c) /UF (c) /EF << /F 7 0 R /UF 7 0 R >> >>",
			bomb(25<<20), bomb(25<<20), bomb(25<<20)), unpacksTooBig},
		{"scripts among the names", made(catalogOf(" /Names << /JavaScript << >> >>"), onePage, aPage, plainFile), catalogKey},
	}
})

// manyKids is a file of n pages.
func manyKids(n int) []byte {
	objects := []string{catalogOf(""), ""}
	for i := range n {
		objects[1] += fmt.Sprintf(" %d 0 R", i+3)
		objects = append(objects, "<< /Type /Page >>")
	}
	objects[1] = "<< /Kids [" + objects[1] + "] >>"
	return made(objects...)
}

// deepKids is a file of a page under n nodes.
func deepKids(n int) []byte {
	objects := []string{catalogOf("")}
	for i := range n {
		objects = append(objects, fmt.Sprintf("<< /Kids [%d 0 R] >>", i+3))
	}
	return made(append(objects, "<< /Type /Page >>")...)
}

// nested is a file of n objects, each inside a string of the one before it:
// read one by one they would be n²/2 as long as the file.
func nested(n int) []byte {
	var w bytes.Buffer
	w.WriteString(header)
	offsets := make([]int, n+1)
	for i := 1; i <= n; i++ {
		offsets[i] = w.Len()
		fmt.Fprintf(&w, "%d 0 obj\n<< /Type /Page /A (", i)
	}
	w.WriteString(strings.Repeat(") >>\nendobj\n", n))
	at := w.Len()
	fmt.Fprintf(&w, "xref\n0 %d\n0000000000 65535 f \n", n+1)
	for _, o := range offsets[1:] {
		fmt.Fprintf(&w, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&w, "trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n", n+1, at)
	return w.Bytes()
}

// readAll reads everything there is to read and returns the first error.
func readAll(pdf []byte) error {
	d, err := open(pdf)
	if err != nil {
		return err
	}
	for _, s := range d.signatures() {
		if s.Fault != nil {
			return s.Fault
		}
	}
	if _, err := d.attachments(); err != nil {
		return err
	}
	_, err = d.pageContents()
	return err
}

func TestHostile(t *testing.T) {
	cases := hostile()
	if len(cases) != 66 {
		t.Errorf("%d hostile files, want 66", len(cases))
	}
	for _, c := range cases {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := time.Now()
		err := readAll(c.pdf)
		if took := time.Since(start); took > 30*time.Second {
			t.Errorf("%s took %s", c.name, took)
		}
		runtime.ReadMemStats(&after)
		// io.ReadAll grows by a quarter at a time: the sum of what it
		// allocated on the way to 64 MiB is some five times that.
		if grown := after.TotalAlloc - before.TotalAlloc; grown > 600<<20 {
			t.Errorf("%s took %d MiB", c.name, grown>>20)
		}
		var f *Finding
		if !errors.As(err, &f) || f.Code != c.want {
			t.Errorf("%s: error %v, want %s", c.name, err, c.want)
		}
		Attachments(c.pdf) // whatever it finds, in bounds
		rewritten(c.pdf)
	}
}

// A file too large is refused before anything is read.
func TestTooLarge(t *testing.T) {
	b := append([]byte(header), make([]byte, MaxSize)...)
	if _, err := open(b); err == nil || !strings.Contains(err.Error(), tooLarge) {
		t.Errorf("error %v", err)
	}
}

// FuzzOpen reads whatever it is given. It may not panic or hang; what is
// read is equal to itself; and nothing but the files begun with is sound.
func FuzzOpen(f *testing.F) {
	sound, seeds := map[string]bool{}, 3
	for _, pdf := range [][]byte{finished(f), signed(f, finished(f), madeSigner(f, weigher), when), twice(f)} {
		sound[string(pdf)] = true
		f.Add(pdf)
	}
	for _, c := range hostile() {
		if len(c.pdf) < 50_000 { // the bombs would only slow it down
			f.Add(c.pdf)
			seeds++
		}
	}
	if seeds != 62 {
		f.Fatalf("%d files to begin with, want 62", seeds)
	}
	f.Fuzz(func(t *testing.T, pdf []byte) {
		Attachments(pdf)
		e, err := Examine(pdf, madeSigner(t, weigher).chain)
		if err != nil {
			return
		}
		if e.Sound && !sound[string(pdf)] {
			t.Errorf("a changed file is sound: %+v", e)
		}
		if d := e.Document; d != nil {
			d.attachments()
			d.pageContents()
			if again, f := Redrawn(d, bytes.Clone(d.unsigned())); f != nil || again && blankID(d.unsigned()) == 0 { // a blank /ID is filled in
				t.Error("a file is not equal to itself")
			}
		}
	})
}
