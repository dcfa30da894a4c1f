package signoff

import (
	"bytes"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// objects draws any object that is not a stream.
func objects(depth int) *rapid.Generator[any] {
	leaf := []*rapid.Generator[any]{
		rapid.Just(any(nil)),
		rapid.Map(rapid.StringN(1, 9, -1), func(s string) any { return name(s) }),
		rapid.Map(rapid.String(), func(s string) any { return text(s) }),
		rapid.Map(rapid.StringMatching(`-?[0-9]{1,5}(\.[0-9]{0,3})?`), func(s string) any { return number(s) }),
		rapid.Map(rapid.IntRange(1, 9999), func(n int) any { return ref{num: n} }),
		rapid.Just(any(keyword("true"))),
	}
	if depth == 0 {
		return rapid.OneOf(leaf...)
	}
	inner := objects(depth - 1)
	list := rapid.Map(rapid.SliceOfN(inner, 0, 4), func(v []any) any { return append(array{}, v...) })
	table := rapid.Map(rapid.MapOfN(rapid.StringN(1, 5, -1), inner, 0, 4), func(m map[string]any) any {
		out := dict{}
		for k, v := range m {
			out = append(out, entry{name(k), v})
		}
		return out
	})
	return rapid.OneOf(append(leaf, list, table)...)
}

// A document gives its memory away once, and a copy of one gives nothing: what is opened
// next is not touched by either.
func TestDocumentIsReleasedOnce(t *testing.T) {
	d := opened(t, finished(t))
	copied := *d
	copied.Release()
	if len(d.objects) < 2 || d.objects[1].end == 0 {
		t.Fatal("a released copy takes the objects of the document")
	}
	copied = *d
	d.Release()
	next := opened(t, finished(t)) // mostly in the memory that was released
	d.Release()
	copied.Release()
	if d.pdf != nil || len(next.objects) < 2 || next.objects[1].end == 0 || len(firstPage(t, next).dict) == 0 {
		t.Error("a document that was released before takes the objects of the next")
	}
}

// What is written reads back the same, and is written the same again.
func TestWriteRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := objects(3).Draw(t, "object")
		var w bytes.Buffer
		write(&w, v)
		l := &lexer{b: append(w.Bytes(), " endobj"...)}
		got, err := l.object(0)
		if err != nil || !reflect.DeepEqual(got, v) || l.at != w.Len() {
			t.Fatalf("%q reads as %#v, was %#v: %v", w.String(), got, v, err)
		}
	})
}

func TestWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := string([]rune(rapid.String().Draw(t, "text"))) // UTF-8
		if got, ok := plain(words(s)); !ok || got != s {
			t.Fatalf("%q comes back as %q", s, got)
		}
	})
	for _, bad := range []text{"\xfe\xff\xd8\x00", "\xfe\xff\xdc\x00\x00\x41", "\xfe\xff\x00", "\xe9"} {
		if s, ok := plain(bad); ok {
			t.Errorf("%q reads as %q", bad, s)
		}
	}
	if s, ok := plain("tickets.csv"); !ok || s != "tickets.csv" {
		t.Errorf("%q, %v", s, ok)
	}
}

// Spellings of ISO 32000-1, 7.3 that gofpdf or another writer uses.
func TestRead(t *testing.T) {
	for in, want := range map[string]any{
		"(a(b)c)":                  text("a(b)c"),                                                                 // 7.3.4.2, example 1
		`(\101\0503\53)`:           text("A(3+"),                                                                  // octal escapes
		"(a\\\r\nb\r\nc\rd)":       text("ab\nc\nd"),                                                              // ends of line
		`(\n\r\t\b\f\(\)\\\x)`:     text("\n\r\t\b\f()\\x"),                                                       // table 3
		"<901FA>":                  text("\x90\x1f\xa0"),                                                          // 7.3.4.3, the last digit as 0
		"< 90 1f\nA3 >":            text("\x90\x1f\xa3"),                                                          //
		"/Lime#20Green":            name("Lime Green"),                                                            // 7.3.5, table 4
		"+17":                      number("+17"),                                                                 // 7.3.3
		"-.002":                    number("-.002"),                                                               //
		"% a comment\n12 0 R":      ref{num: 12},                                                                  // 7.2.3
		"[549 3.14 false (R) /SN]": array{number("549"), number("3.14"), keyword("false"), text("R"), name("SN")}, // 7.3.6
		"<</A 1/B[1 0 R 2]>>":      dict{{"A", number("1")}, {"B", array{ref{num: 1}, number("2")}}},
	} {
		if got, err := (&lexer{b: []byte(in)}).object(0); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q reads as %#v, want %#v: %v", in, got, want, err)
		}
	}
	for _, bad := range []string{"", "(", "<12", "<1g>", "[1", "<</A", "<</A 1", "<<1 2>>", ")", "]", "/A#4", "/A#zz", ">", "{", "[[(]]", `(\`, `(\1`} {
		if got, err := (&lexer{b: []byte(bad)}).object(0); err == nil {
			t.Errorf("%q reads as %#v", bad, got)
		}
	}
}
