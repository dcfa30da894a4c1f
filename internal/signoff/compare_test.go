package signoff

import (
	"bytes"
	"compress/zlib"
	"slices"
	"testing"
)

func opened(t testing.TB, pdf []byte) *Document {
	t.Helper()
	d, err := open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// changed is the finished file with some of its objects changed.
func changed(t testing.TB, edit func(d *Document, objects []any)) []byte {
	t.Helper()
	d := opened(t, finished(t))
	objects := make([]any, len(d.objects))
	for n := range objects {
		objects[n] = d.value(n)
	}
	edit(d, objects)
	return assembled(d.root, d.info, objects)
}

func firstPage(t testing.TB, d *Document) page {
	t.Helper()
	pages, err := d.pages()
	if err != nil {
		t.Fatal(err)
	}
	return pages[0]
}

// repacked is the finished file with every stream packed at another level.
func repacked(t testing.TB, after string) []byte {
	t.Helper()
	return changed(t, func(d *Document, objects []any) {
		for n, v := range objects {
			if s, ok := v.(stream); ok && s.dict.get("Filter") != nil {
				objects[n] = packed(t, d, s, after)
			}
		}
	})
}

func packed(t testing.TB, d *Document, s stream, after string) stream {
	t.Helper()
	b, err := d.decode(s)
	if err != nil {
		t.Fatal(err)
	}
	var w bytes.Buffer
	z, _ := zlib.NewWriterLevel(&w, zlib.BestCompression)
	z.Write(b)
	z.Close()
	w.WriteString(after)
	return stream{s.num, s.dict, w.Bytes()}
}

func TestRedrawn(t *testing.T) {
	a := finished(t)
	for _, c := range []struct {
		name           string
		pdf            []byte
		repacked, same bool
	}{
		{"itself", a, false, true},
		{"signed", twice(t), false, true},
		{"another identifier", drawn(t, "do now: nothing", attached()), true, true},
		{"another packer", finish(t, repacked(t, "")), true, true},
		{"another packer, and a byte after each stream", finish(t, repacked(t, "x")), false, false},
	} {
		if again, f := Redrawn(opened(t, c.pdf), a); again != c.repacked || (f == nil) != c.same {
			t.Errorf("%s: %v, %v, want %v, %v", c.name, again, f, c.repacked, c.same)
		}
	}
	if bytes.Equal(finish(t, repacked(t, "")), a) {
		t.Error("the other packer packs in the same way")
	}
}

// Every kind of change by the smallest amount, the hash in /ID computed again.
func TestRedrawnFinds(t *testing.T) {
	const line = "do now: nothing"
	files := attached()
	files[1].Bytes = []byte("{\"schema\":\"y\"}\n")
	for _, c := range []struct {
		name, what string
		pdf        []byte
	}{
		{"other words", "page", drawn(t, "do now: nothinf", attached())},
		{"other attachment", "attachment", drawn(t, line, files)},
		{"fewer attachments", "file", drawn(t, line, attached()[1:])},
		{"a note on page 1", "page", changed(t, func(d *Document, o []any) {
			p := firstPage(t, d)
			o[p.num] = p.dict.with("Annots", array{dict{{"Type", name("Annot")}}})
		})},
		{"a space in an object", "page", changed(t, func(d *Document, o []any) {
			n := firstPage(t, d).num
			o[n] = string(slices.Concat([]byte("<<  "), d.textOf(n)[3:]))
		})},
		{"pages in another order", "object", changed(t, func(d *Document, o []any) {
			kids := slices.Clone(o[1].(dict).get("Kids").(array))
			slices.Reverse(kids)
			o[1] = o[1].(dict).with("Kids", kids)
		})},
		{"a font stretched", "font", changed(t, func(d *Document, o []any) {
			i := slices.IndexFunc(o, func(v any) bool { f, _ := v.(dict); return f.get("Type") == name("FontDescriptor") })
			o[i] = o[i].(dict).with("Ascent", number("1"))
		})},
		{"a stream read in another way", "page", changed(t, func(d *Document, o []any) {
			n := firstPage(t, d).dict.get("Contents").(ref).num
			s := o[n].(stream)
			o[n] = stream{n, s.dict.with("Group", number("1")), s.raw}
		})},
		{"another title", "information", changed(t, func(d *Document, o []any) { o[d.info] = o[d.info].(dict).with("Title", words("another")) })},
		{"two attachments swapped", "object", changed(t, func(d *Document, o []any) {
			f, err := d.attachedFiles()
			if err != nil {
				t.Fatal(err)
			}
			a, b := f[0].stream+1, f[1].stream+1 // their specifications
			da, db := o[a].(dict), o[b].(dict)
			o[a], o[b] = o[a].(dict).with("EF", db.get("EF")), o[b].(dict).with("EF", da.get("EF"))
		})},
		{"an object more", "file", changed(t, func(d *Document, o []any) {})},
	} {
		pdf := c.pdf
		if c.name == "an object more" {
			d := opened(t, finished(t))
			objects := make([]any, len(d.objects))
			for n := range objects {
				objects[n] = d.value(n)
			}
			pdf = assembled(d.root, d.info, append(objects, dict{}))
		}
		_, f := Redrawn(opened(t, finish(t, pdf)), finished(t))
		if f == nil || f.arg("what") != c.what {
			t.Errorf("%s: %v, want %q", c.name, f, c.what)
		}
	}
}

func TestPageContents(t *testing.T) {
	got, err := opened(t, drawn(t, "do now: (a) b\\c ± ≤ \r", nil)).pageContents()
	if err != nil || len(got) != 2 || got[0].Texts[0] != "do now: (a) b\\c ± ≤ \r" || got[1].Texts[0] != "front axle 1482 ± 11 kg (rated 1500)" {
		t.Errorf("%q: %v", got, err)
	}
}

func TestNoAttachments(t *testing.T) {
	if a, err := opened(t, drawn(t, "x", nil)).attachments(); err != nil || len(a) != 0 {
		t.Errorf("%v: %v", a, err)
	}
}
