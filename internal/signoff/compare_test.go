package signoff

import (
	"bytes"
	"compress/zlib"
	"slices"
	"strings"
	"testing"

	"github.com/jung-kurt/gofpdf"
)

func opened(t testing.TB, pdf []byte) *Document {
	t.Helper()
	d, err := Open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestNoDifferences(t *testing.T) {
	a := finished(t)
	for name, b := range map[string][]byte{"itself": a, "signed": twice(t), "no hash yet": drawn(t, "do now: nothing", attached()), "another compressor": repacked(t, a)} {
		if diff := Differences(opened(t, b), opened(t, a)); len(diff) > 0 {
			t.Errorf("%s: %q", name, diff)
		}
	}
}

// repacked is pdf with every stream compressed at another level, its objects
// written in the reverse order.
func repacked(t *testing.T, pdf []byte) []byte {
	t.Helper()
	d := opened(t, pdf)
	objects := make([]any, len(d.offsets))
	for n := 1; n < len(d.offsets); n++ {
		v, err := d.object(n)
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := v.(stream); ok && s.dict.get("Filter") != nil {
			v = packed(t, d, s)
		}
		objects[n] = v
	}
	return assembled(d.revisions[0].trailer, objects)
}

func packed(t *testing.T, d *Document, s stream) stream {
	t.Helper()
	b, err := d.decode(s)
	if err != nil {
		t.Fatal(err)
	}
	var w bytes.Buffer
	z, _ := zlib.NewWriterLevel(&w, zlib.BestCompression)
	z.Write(b)
	z.Close()
	return stream{dict: s.dict, raw: w.Bytes()}
}

func TestDifferences(t *testing.T) {
	const line = "do now: nothing"
	want := opened(t, finished(t))
	files := attached()
	files[1].Bytes = []byte("{\"schema\":\"y\"}\n")
	fewer := attached()[1:]
	change := func(edit func(d *Document, objects []any)) []byte {
		d := opened(t, finished(t))
		objects := make([]any, len(d.offsets))
		for n := 1; n < len(objects); n++ {
			objects[n], _ = d.object(n)
		}
		edit(d, objects)
		return assembled(d.revisions[0].trailer, objects)
	}
	first := func(d *Document) page { p, _ := d.pages(); return p[0] }
	for _, c := range []struct {
		name string
		pdf  []byte
		want string
	}{
		{"other words", drawn(t, "do now: carry on", attached()), "page 1 draws or holds something else"},
		{"other attachment", drawn(t, line, files), "an attachment of the catalog draws or holds something else"},
		{"fewer attachments", drawn(t, line, fewer), "an attachment of the catalog differs"},
		{"other fonts", otherFont(t), "a font of page 1"},
		{"a note on page 1", change(func(d *Document, o []any) {
			o[first(d).num] = first(d).dict.with("Annots", array{dict{{"Type", name("Annot")}}})
		}), "an annotation of page 1 differs"},
		{"page 1 turned", change(func(d *Document, o []any) {
			o[first(d).num] = first(d).dict.with("Rotate", number("180"))
		}), "page 1 differs"},
		{"all pages cropped", change(func(d *Document, o []any) {
			o[1] = o[1].(dict).with("CropBox", array{number("0"), number("0"), number("9"), number("9")})
		}), "differs"},
		{"a page dropped", change(func(d *Document, o []any) {
			o[1] = o[1].(dict).with("Kids", array{ref{num: first(d).num}})
		}), "the document has 1 pages (wanted 2)"},
		{"a page twice", change(func(d *Document, o []any) {
			o[1] = o[1].(dict).with("Kids", array{ref{num: first(d).num}, ref{num: first(d).num}})
		}), "the pages cannot be read"},
		{"a stream read in another way", change(func(d *Document, o []any) {
			n := first(d).dict.get("Contents").(ref).num
			s := o[n].(stream)
			o[n] = stream{n, s.dict.with("Group", number("1")), s.raw}
		}), "differs"},
		{"a page that is not of the tree", change(func(d *Document, o []any) {
			o[first(d).num] = first(d).dict.with("Parent", dict{{"MediaBox", array{}}})
		}), "the page tree differs"},
		{"another title", change(func(d *Document, o []any) {
			info := d.revisions[0].trailer.get("Info").(ref).num
			o[info] = o[info].(dict).with("Title", words("another"))
		}), "the document information differs"},
	} {
		diff := Differences(opened(t, c.pdf), want)
		if !slices.ContainsFunc(diff, func(s string) bool { return strings.Contains(s, c.want) }) {
			t.Errorf("%s: %q, want %q", c.name, diff, c.want)
		}
	}
}

// otherFont draws the same with a font of the reader's own.
func otherFont(t *testing.T) []byte {
	t.Helper()
	f := gofpdf.New("P", "mm", "A4", "")
	f.SetFont("Helvetica", "", 11)
	f.AddPage()
	f.AddPage()
	var w bytes.Buffer
	if err := f.Output(&w); err != nil {
		t.Fatal(err)
	}
	return patched(t, w.Bytes())
}

func TestPageTexts(t *testing.T) {
	got, err := opened(t, drawn(t, "do now: (a) b\\c ± ≤ \r", nil)).PageTexts()
	if err != nil || len(got) != 2 || got[0][0] != "do now: (a) b\\c ± ≤ \r" || got[1][0] != "front axle 1482 ± 11 kg (rated 1500)" {
		t.Errorf("%q: %v", got, err)
	}
}

func TestNoAttachments(t *testing.T) {
	if a, err := opened(t, drawn(t, "x", nil)).Attachments(); err != nil || len(a) != 0 {
		t.Errorf("%v: %v", a, err)
	}
}
