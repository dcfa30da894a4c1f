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

// assembled writes a file of these objects, the last first; objects[0] is
// not used. A string is written as it stands.
func assembled(trailer dict, objects []any) []byte {
	var w bytes.Buffer
	w.WriteString("%PDF-1.7\n")
	offsets := make([]int, len(objects))
	for n := len(objects) - 1; n > 0; n-- {
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
	w.WriteString("trailer\n")
	write(&w, trailer)
	fmt.Fprintf(&w, "\nstartxref\n%d\n%%%%EOF\n", at)
	return w.Bytes()
}

// made is a file of objects written out, object 1 its catalog.
func made(objects ...string) []byte {
	list := []any{nil}
	for _, o := range objects {
		list = append(list, o)
	}
	return assembled(dict{{"Size", number(fmt.Sprint(len(list)))}, {"Root", ref{num: 1}}, {"Info", ref{num: 1}}}, list)
}

// bomb is a stream that unpacks to n zeros.
func bomb(n int) string {
	var w bytes.Buffer
	z := zlib.NewWriter(&w)
	part := make([]byte, 1<<20)
	for i := 0; i < n; i += len(part) {
		z.Write(part)
	}
	z.Close()
	return fmt.Sprintf("<< /Filter /FlateDecode /Length %d >>\nstream\n%s\nendstream", w.Len(), w.String())
}

const (
	onePage   = "<< /Type /Pages /Kids [3 0 R] /Count 1 >>"
	aPage     = "<< /Type /Page /Contents 4 0 R >>"
	attaching = "<< /Pages 2 0 R /Names << /EmbeddedFiles 5 0 R >> >>"
	plainFile = "<< /Length 1 >>\nstream\nq\nendstream"
)

// attachedAs is a file with this name tree and further objects from 6.
func attachedAs(tree string, more ...string) []byte {
	return made(append([]string{attaching, onePage, aPage, plainFile, tree}, more...)...)
}

type hostileCase struct {
	name string
	pdf  []byte
	want string // of the first error met in reading everything
}

// hostile files: each must end in an error that says this.
var hostile = sync.OnceValue(func() []hostileCase {
	tail := func(s string, at int) []byte {
		return fmt.Appendf([]byte("%PDF-1.7\n"), "%s\nstartxref\n%d\n%%%%EOF\n", s, at)
	}
	nest := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	return []hostileCase{
		{"empty", nil, "not a PDF"},
		{"five bytes", []byte("%PDF-"), "header is not"},
		{"header only", []byte("%PDF-1.7\n"), "no end-of-file mark"},
		{"version 1.3", []byte("%PDF-1.3\n%%EOF\n"), "header is not"},
		{"something after the end", append(made("<< >>"), "more"...), "4 bytes stand after its last end-of-file mark"},
		{"the end mark again after more", append(made("<< >>"), "more\nstartxref\n30\n%%EOF\n"...), "24 bytes stand after its end-of-file mark"},
		{"no startxref", []byte("%PDF-1.7\n%%EOF\n"), "does not say where"},
		{"startxref alone", []byte("%PDF-1.7\n\nstartxref\n%%EOF\n"), "not a whole number"},
		{"offset past the end", tail("", 1<<30), "no cross-reference table begins at"},
		{"giant offset", []byte("%PDF-1.7\n\nstartxref\n99999999999999999999\n%%EOF\n"), "not a whole number"},
		{"negative offset", []byte("%PDF-1.7\n\nstartxref\n-9\n%%EOF\n"), "not a whole number"},
		{"table of 2 billion", tail("xref\n0 2147483647\ntrailer\n<< >>", 9), "more than the file holds"},
		{"giant table", tail("xref\n0 99999999999999999999\ntrailer\n<< >>", 9), "not a whole number"},
		{"table that names itself", tail("xref\ntrailer\n<< /Prev 9 >>", 9), "no cross-reference table begins at byte 9"},
		{"table that names a later one", twoTables(2000), "no cross-reference table begins at byte 2000"},
		{"two tables in a circle", twoTables(9), "no cross-reference table begins at byte 9"},
		{"a hundred updates", manyTables(100), "more than 16 updates"},
		{"trailer without end", []byte("%PDF-1.7\nxref\ntrailer\n<< /A\nstartxref\n9\n%%EOF\n"), "its trailer"},
		{"trailer nested deep", tail("xref\ntrailer\n"+nest(10000), 9), "nest deeper"},
		{"two million objects", tail("xref\ntrailer\n["+strings.Repeat("1 ", 2<<20)+"]", 9), "more than 1048576 objects"},
		{"encrypted", tail("xref\ntrailer\n<< /Encrypt 1 0 R >>", 9), "encrypted"},
		{"no size", tail("xref\n0 1\n0000000000 65535 f \ntrailer\n<< /Root 1 0 R >>", 9), "not one section"},
		{"objects in the table's place", made("<< /Pages 9 0 R >>"), "object 9 is not in"},
		{"table from 1", bytes.Replace(made("<< >>"), []byte("xref\n0 2\n"), []byte("xref\n1 2\n"), 1), "not one section"},
		{"object deleted", bytes.Replace(made("<< >>"), []byte(" 00000 n"), []byte(" 00000 f"), 1), "entry 1 of its cross-reference table"},
		{"object of a later generation", bytes.Replace(made("<< >>"), []byte(" 00000 n"), []byte(" 00001 n"), 1), "entry 1 of its cross-reference table"},
		{"object at 0", bytes.Replace(made("<< >>"), []byte("0000000009 0"), []byte("0000000000 0"), 1), "entry 1 of its cross-reference table"},
		{"first entry in use", bytes.Replace(made("<< >>"), []byte("65535 f"), []byte("00000 n"), 1), "entry 0 of its cross-reference table"},
		{"no catalog", made("7"), "not a dictionary"},
		{"reference to itself", made("1 0 R"), "is a reference"},
		{"no pages", made("<< >>"), "not a dictionary"},
		{"page tree in a circle", made("<< /Pages 2 0 R >>", "<< /Kids [3 0 R] >>", "<< /Kids [2 0 R] >>"), "runs in a circle"},
		{"page tree that is its own child", made("<< /Pages 2 0 R >>", "<< /Kids [2 0 R] >>"), "runs in a circle"},
		{"page shown a million times", made("<< /Pages 2 0 R >>", "<< /Kids ["+strings.Repeat("3 0 R ", 100000)+"] >>", aPage), "runs in a circle"},
		{"too many pages", manyKids(5000), "too large"},
		{"page tree too deep", deepKids(100), "too large"},
		{"nodes that are no objects", made("<< /Pages 2 0 R >>", "<< /Kids [<< /Type /Page >> << /Type /Page >>] >>"), "runs in a circle"},
		{"content of predicted values", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 1 /DecodeParms << /Predictor 12 >> >>\nstream\nq\nendstream"), "does not write"},
		{"content in another file", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 1 /F (other) >>\nstream\nq\nendstream"), "does not write"},
		{"page tree of no pages", made("<< /Pages 2 0 R >>", "<< /Kids [] >>"), "no page"},
		{"content that is no stream", made("<< /Pages 2 0 R >>", onePage, aPage, "7"), "page 1 is not a stream"},
		{"content of another filter", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 1 /Filter /LZWDecode >>\nstream\nq\nendstream"), "does not write"},
		{"content not compressed at all", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 1 /Filter /FlateDecode >>\nstream\nq\nendstream"), "page 1"},
		{"stream longer than the file", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 2000000000 >>\nstream\nq\nendstream"), "more bytes than the file holds"},
		{"stream of giant length", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 99999999999999999999 >>\nstream\nq\nendstream"), "more bytes than the file holds"},
		{"stream of negative length", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length -1 >>\nstream\nq\nendstream"), "more bytes than the file holds"},
		{"decompression bomb", made("<< /Pages 2 0 R >>", onePage, aPage, bomb(100<<20)), "unpacks to more than"},
		{"key twice", made("<< /Pages 2 0 R /Pages 3 0 R >>"), "stands twice"},
		{"content of wrong text", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 7 >>\nstream\n(abc)Tj\nendstream"), "text that is not UTF-16"},
		{"content without end", made("<< /Pages 2 0 R >>", onePage, aPage, "<< /Length 4 >>\nstream\n(abc\nendstream"), "middle of an object"},
		{"objects inside each other", nested(3000), "overlap"},
		{"attachments in a circle", attachedAs("<< /Kids [5 0 R] >>"), "runs in a circle"},
		{"attachment without a name", attachedAs("<< /Names [(a) << /EF << /F 4 0 R >> >>] >>"), "has no name"},
		{"attachment that is no file", attachedAs("<< /Names [(a) 7] >>"), "not a dictionary"},
		{"attachment that is missing", attachedAs("<< /Names [(a) << /UF (a) /EF << /F 99 0 R >> >>] >>"), "object 99"},
		{"attachment that is a bomb", attachedAs("<< /Names [(a) << /UF (a) /EF << /F 6 0 R >> >>] >>", bomb(70<<20)), "unpacks to more than"},
		{"two attachments of one name", attachedAs("<< /Names [(a) 6 0 R (b) 6 0 R] >>", "<< /UF (a) /EF << /F 4 0 R >> >>"), "two attachments"},
		{"three attachments, too much together", attachedAs("<< /Names [(a) << /UF (a) /EF << /F 6 0 R >> >> (b) << /UF (b) /EF << /F 7 0 R >> >> (c) << /UF (c) /EF << /F 8 0 R >> >>] >>",
			bomb(25<<20), bomb(25<<20), bomb(25<<20)), "unpacks to more than"},
	}
})

// twoTables is a file whose last table names the one at prev.
func twoTables(prev int) []byte {
	a := "%PDF-1.7\nxref\ntrailer\n<< /Prev 9 >>\nstartxref\n9\n%%EOF\n"
	return fmt.Appendf([]byte(a), "xref\ntrailer\n<< /Prev %d >>\nstartxref\n%d\n%%%%EOF\n", prev, len(a))
}

// manyTables is a file with n updates that hold nothing.
func manyTables(n int) []byte {
	pdf := made("<< >>")
	prev := bytes.LastIndex(pdf, []byte("xref\n0"))
	for range n {
		at := len(pdf)
		pdf = fmt.Appendf(pdf, "xref\ntrailer\n<< /Prev %d >>\nstartxref\n%d\n%%%%EOF\n", prev, at)
		prev = at
	}
	return pdf
}

// manyKids is a file of n pages.
func manyKids(n int) []byte {
	objects := []string{"<< /Pages 2 0 R >>", ""}
	for i := range n {
		objects[1] += fmt.Sprintf(" %d 0 R", i+3)
		objects = append(objects, "<< /Type /Page >>")
	}
	objects[1] = "<< /Kids [" + objects[1] + "] >>"
	return made(objects...)
}

// deepKids is a file of a page under n nodes.
func deepKids(n int) []byte {
	objects := []string{"<< /Pages 2 0 R >>"}
	for i := range n {
		objects = append(objects, fmt.Sprintf("<< /Kids [%d 0 R] >>", i+3))
	}
	return made(append(objects, "<< /Type /Page >>")...)
}

// nested is a file of n objects, each inside a string of the one before it:
// read one by one they would be n²/2 as long as the file.
func nested(n int) []byte {
	var w bytes.Buffer
	w.WriteString("%PDF-1.7\n")
	offsets := make([]int, n+1)
	kids := array{}
	for i := 1; i <= n; i++ {
		offsets[i] = w.Len()
		if fmt.Fprintf(&w, "%d 0 obj ", i); i == 1 {
			w.WriteString("<< /Pages << /Kids ")
			for k := 2; k <= n; k++ {
				kids = append(kids, ref{num: k})
			}
			write(&w, kids)
			w.WriteString(" >> >> endobj\n")
		} else {
			w.WriteString("<< /Type /Page /A (")
		}
	}
	w.WriteString(strings.Repeat(") >> endobj ", n))
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
	d, err := Open(pdf)
	if err != nil {
		return err
	}
	d.Signatures()
	_, err = d.PageTexts()
	_, err2 := d.Attachments()
	return errors.Join(err, err2)
}

func TestHostile(t *testing.T) {
	cases := hostile()
	if len(cases) != 58 {
		t.Errorf("%d hostile files, want 58", len(cases))
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
		var de *DamagedError
		if err == nil || !strings.Contains(err.Error(), c.want) || !(errors.As(err, &de) || errors.Is(err, ErrNotPDF)) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
}

// A file too large is refused before anything is read.
func TestTooLarge(t *testing.T) {
	b := append([]byte("%PDF-1.7\n"), make([]byte, MaxSize)...)
	if _, err := Open(b); err == nil || !strings.Contains(err.Error(), "at most") {
		t.Errorf("error %v", err)
	}
}

// Differences from a file that leads on and on.
func TestDifferencesEndless(t *testing.T) {
	n := 3 * maxPairs
	objects := []any{nil, dict{{"Pages", ref{num: 2}}, {"X", ref{num: 4}}}, "<< /Kids [3 0 R] >>", dict{{"Type", name("Page")}}}
	for i := 4; i < n; i++ {
		objects = append(objects, dict{{"X", ref{num: i + 1}}})
	}
	objects = append(objects, dict{{"X", ref{num: 4}}})
	trailer := dict{{"Size", number(fmt.Sprint(len(objects)))}, {"Root", ref{num: 1}}}
	want := made("<< /Pages 2 0 R /X 4 0 R >>", "<< /Kids [3 0 R] >>", "<< /Type /Page >>", "<< /X 4 0 R >>")
	diff := Differences(opened(t, assembled(trailer, objects)), opened(t, want))
	if len(diff) == 0 || !strings.Contains(strings.Join(diff, "; "), "too many objects") {
		t.Errorf("%q", diff)
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
	if seeds != 54 {
		f.Fatalf("%d files to begin with, want 54", seeds)
	}
	f.Fuzz(func(t *testing.T, pdf []byte) {
		d, findings, err := Examine(pdf, madeSigner(t, weigher).chain)
		if err != nil {
			return
		}
		if Worst(findings) != Unsound && !sound[string(pdf)] {
			t.Errorf("a changed file is %s", Worst(findings))
		}
		if d != nil {
			d.Attachments()
			d.PageTexts()
			Differences(d, d)
		}
	})
}
