package signoff

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// identified is pdf with the identifier that its bytes give, as anyone can
// compute it, whatever else is wrong with the file.
func identified(t testing.TB, pdf []byte) []byte {
	t.Helper()
	out := bytes.Clone(pdf)
	at := bytes.LastIndex(out, []byte(idMark)) + len(idMark)
	if at < len(idMark) || at+2*idDigits > len(out) {
		t.Fatal("no identifier")
	}
	setID(out, at, hashWithoutID(out, at))
	return out
}

// shifted inserts text at an offset and moves the offsets in the table and
// after startxref, as a careful forger would.
func shifted(t testing.TB, pdf []byte, at int, text string) []byte {
	t.Helper()
	d := opened(t, pdf)
	xref := d.revisions[0].xref
	out := append(append(bytes.Clone(pdf[:at]), text...), pdf[at:]...)
	move := func(n int) int {
		if n >= at {
			return n + len(text)
		}
		return n
	}
	table := fmt.Sprintf("xref\n0 %d\n0000000000 65535 f \n", len(d.objects))
	for num, o := range d.objects[1:] {
		table += fmt.Sprintf("%010d 00000 n \n", move(o.start-len(fmt.Sprintf("%d 0 obj\n", num+1))))
	}
	if copy(out[move(xref):], table); at > xref && at < xref+len(table) {
		return out // in the table itself: left as it was cut
	}
	return bytes.Replace(out, fmt.Appendf(nil, "startxref\n%d\n", xref), fmt.Appendf(nil, "startxref\n%d\n", move(xref)), 1)
}

// Files that show a reader something else, or hide something, their offsets
// and identifiers right: each is found for what it is.
func TestForgedFiles(t *testing.T) {
	a := finished(t)
	d := opened(t, a)
	start := func(num int) int { return d.objects[num].start - len(fmt.Sprintf("%d 0 obj\n", num)) }
	xref := d.revisions[0].xref
	with := func(num int, key name, value any) []byte {
		return changed(t, func(d *Document, o []any) {
			if num == 0 {
				num = d.root
			}
			o[num] = o[num].(dict).with(key, value)
		})
	}
	text := func(num int, old, new string) []byte {
		return changed(t, func(d *Document, o []any) {
			was := string(d.textOf(num))
			if o[num] = strings.Replace(was, old, new, 1); o[num] == was {
				t.Fatalf("object %d has no %q", num, old)
			}
		})
	}
	added := func(v any) []byte {
		return changed(t, func(d *Document, o []any) { o[3] = v })
	}
	object := "1 0 obj\n<< /Type /Pages /Kids [] /Count 0 >>\nendobj\n"
	for _, c := range []struct {
		name string
		pdf  []byte
		want string
	}{
		{"linearised first object", with(1, "Linearized", number("1")), linearised},
		{"linearised, spelled with #", text(1, "/Type", "/Linearize#64 1 /Type"), nameEscaped},
		{"a linearised object before the first", shifted(t, a, len(header), "99 0 obj\n<< /Linearized 1 >>\nendobj\n"), objectOrder},
		{"the first object twice", shifted(t, a, start(2), object), objectOrder},
		{"an object of the same number later", shifted(t, a, xref, object), objectOrder},
		{"an object that no table names", shifted(t, a, xref, fmt.Sprintf("%d 0 obj\n<< >>\nendobj\n", len(d.objects))), badTable},
		{"a comment after the header", shifted(t, a, len(header), "%x\n"), comment},
		{"a comment between objects", shifted(t, a, start(2), "%x\n"), comment},
		{"a comment in an object", text(1, "/Type", "%x\n/Type"), comment},
		{"a comment after an object's value", text(1, ">>", ">> %x"), comment},
		{"a comment in the table", shifted(t, a, xref+len("xref\n"), "%x\n"), badTable},
		{"a comment before the table", shifted(t, a, xref, "%x\n"), comment},
		{"a comment in the trailer", shifted(t, a, bytes.LastIndex(a, []byte("/Size")), "%x\n"), badTrailer},
		{"a comment before the end", shifted(t, a, bytes.LastIndex(a, []byte("startxref")), "%x\n"), badEnd},
		{"a space between objects", shifted(t, a, start(2), " "), looseBytes},
		{"a line between objects", shifted(t, a, start(2), "\n"), looseBytes},
		{"words between objects", shifted(t, a, start(2), "words\n"), looseBytes},
		{"a space before endobj", text(1, ">>", ">> "), objectEnd},
		{"zero bytes before the table", shifted(t, a, xref, "\x00\x00"), looseBytes},
		{"words after the table", shifted(t, a, bytes.LastIndex(a, []byte("trailer")), "words\n"), badTable},
		{"an end mark more", append(bytes.Clone(a), "%%EOF\n"...), bytesAdded},
		{"a line more", append(bytes.Clone(a), '\n'), bytesAdded},
		{"an object stream", added(stream{3, dict{{"Type", name("ObjStm")}, {"N", number("1")}, {"First", number("4")}}, []byte("9 0 << >>")}), objectStream},
		{"a table in a stream", added(stream{3, dict{{"Type", name("XRef")}}, []byte("x")}), objectStream},
		{"a version in the catalog", with(0, "Version", name("1.4")), catalogKey},
		{"extensions in the catalog", with(0, "Extensions", dict{}), catalogKey},
		{"an action on opening", with(0, "OpenAction", dict{{"S", name("JavaScript")}}), catalogKey},
		{"actions in the catalog", with(0, "AA", dict{}), catalogKey},
		{"a form", with(0, "AcroForm", dict{}), catalogKey},
		{"layers", with(0, "OCProperties", dict{}), catalogKey},
		{"a portfolio", with(0, "Collection", dict{}), catalogKey},
		{"a key twice", text(1, "/Type", "/Type /X /Type"), keyRepeated},
		{"a name spelled in another way", text(1, "/Type", "/T#79pe"), nameEscaped},
		{"an encryption", shifted(t, a, bytes.LastIndex(a, []byte("/Info")), "/Encrypt 1 0 R\n"), encrypted},
	} {
		if c.name == "a line more" || c.name == "an end mark more" {
			// Nothing of the finished file is changed, and its identifier is right.
		} else if c.pdf = identified(t, c.pdf); bytes.Equal(c.pdf, a) {
			t.Errorf("%s: nothing was changed", c.name)
		}
		e, err := Examine(c.pdf, nil)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := why(e); e.Sound || got != c.want {
			t.Errorf("%s: %s: %v, want %s", c.name, got, e.Findings, c.want)
		}
		if _, err := Sign(c.pdf, madeSigner(t, owner), when, ""); err == nil {
			t.Errorf("%s: it was signed", c.name)
		}
	}
}

// rewriters are ways in which qpdf writes a file again.
var rewriters = map[string][]string{
	"plainly": nil, "with object streams": {"--object-streams=generate"}, "linearised": {"--linearize"},
	"for reading": {"--qdf", "--object-streams=disable"}, "with a fixed identifier": {"--deterministic-id", "--compress-streams=n"},
}

// A file that another program has written again is recognised, whatever that
// program made of it, and what is attached can still be read.
func TestRewritten(t *testing.T) {
	want := sortedFiles(attached())
	for name, flags := range rewriters {
		for kind, pdf := range map[string][]byte{"unsigned": finished(t), "signed": twice(t)} {
			in, out := file(t, "in.pdf", pdf), filepath.Join(t.TempDir(), "out.pdf")
			run(t, "qpdf", append(append([]string{}, flags...), in, out)...)
			again, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			e, err := Examine(again, nil)
			if err != nil || len(e.Findings) != 1 || e.Findings[0].Code != rewrittenFile {
				t.Errorf("%s, %s: %v, %v", name, kind, e, err)
			}
			if got := why(e); e.Sound || got != rewrittenFile {
				t.Errorf("%s, %s: %s", name, kind, got)
			}
			sameFiles(t, name+", "+kind, again, want)
			// Without its tables it can still be read.
			sameFiles(t, name+", "+kind+", cut", bytes.Replace(again, []byte("startxref"), []byte("startxxxx"), -1), want)
		}
	}
}

func sameFiles(t *testing.T, what string, pdf []byte, want []Attachment) {
	t.Helper()
	got, err := Attachments(pdf)
	if err != nil || len(got) != len(want) {
		t.Errorf("%s: %d attachments, want %d: %v", what, len(got), len(want), err)
		return
	}
	got = sortedFiles(got)
	for i, a := range got {
		if a.Name != want[i].Name || !bytes.Equal(a.Bytes, want[i].Bytes) {
			t.Errorf("%s: attachment %q is not what was attached", what, a.Name)
		}
	}
}

// Damage to one of ours is not taken for another program's work.
func TestDamageIsNotRewriting(t *testing.T) {
	a := finished(t)
	for i := 5; i < len(a); i += 11 {
		b := bytes.Clone(a)
		b[i] ^= 2
		if _, ok := rewritten(b); ok {
			t.Errorf("byte %d of %d changed, and another program is said to have written it", i, len(a))
		}
	}
}

// What a reader shows is the last revision: so is what is read of it.
func TestLastAttachments(t *testing.T) {
	pdf := finished(t)
	d := opened(t, pdf)
	f, err := d.attachedFiles()
	if err != nil {
		t.Fatal(err)
	}
	last := f[len(f)-1]
	more := appended(t, pdf, map[int]string{last.stream: "<< /Type /EmbeddedFile /Length 5 >>\nstream\nother\nendstream"})
	files, err := Attachments(more)
	if err != nil || string(files[len(files)-1].Bytes) != "other" {
		t.Errorf("%d files, %v", len(files), err)
	}
	e, err := Examine(more, nil)
	if err != nil || why(e) != bytesAdded {
		t.Errorf("%v, %v", e, err)
	}
}

// TestFacts: an error says the code and every argument, and nothing of the file
// can reach a terminal unescaped through it.
func TestFacts(t *testing.T) {
	f := newFinding(notChecked, signerNotTrusted, "signature", 1, "signer", "a\u202e\x1b", "why", []string{sTooHigh})
	if got, want := f.Error(), `signer_not_trusted signature="1" signer="a\u202e\x1b" why="[high_s]"`; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
