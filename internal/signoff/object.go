package signoff

import (
	"bytes"
	"fmt"
	"unicode/utf16"
	"unicode/utf8"
)

// The kinds of PDF object (ISO 32000-1, 7.3). A null is Go's nil.
type (
	name    string
	text    string // the bytes of a string, without its delimiters
	number  string // as written: never turned into a float
	keyword string // true, false, or an operator of a content stream
	array   []any
	ref     struct{ num, gen int }
	entry   struct {
		key   name
		value any
	}
	dict   []entry // in the order written, keys unique
	stream struct {
		num  int // its object
		dict dict
		raw  []byte // as stored, filters not undone
	}
)

// get returns the value of key, nil if there is none.
func (d dict) get(key name) any {
	for _, e := range d {
		if e.key == key {
			return e.value
		}
	}
	return nil
}

// has reports whether there is a key.
func (d dict) has(key name) bool {
	for i := range d {
		if d[i].key == key {
			return true
		}
	}
	return false
}

// with returns a copy of d in which key has value.
func (d dict) with(key name, value any) dict {
	out := make(dict, 0, len(d)+1)
	for _, e := range d {
		if e.key != key {
			out = append(out, e)
		}
	}
	return append(out, entry{key, value})
}

// write appends v to w in one fixed spelling: the same object, the same bytes.
func write(w *bytes.Buffer, v any) {
	switch v := v.(type) {
	case nil:
		w.WriteString("null")
	case name:
		writeName(w, v)
	case text:
		fmt.Fprintf(w, "<%x>", string(v))
	case ref:
		fmt.Fprintf(w, "%d %d R", v.num, v.gen)
	case array:
		w.WriteByte('[')
		for i, x := range v {
			if i > 0 {
				w.WriteByte(' ')
			}
			write(w, x)
		}
		w.WriteByte(']')
	case dict:
		w.WriteString("<<")
		for _, e := range v {
			w.WriteByte(' ')
			write(w, e.key)
			w.WriteByte(' ')
			write(w, e.value)
		}
		w.WriteString(" >>")
	default: // number, keyword
		fmt.Fprint(w, v)
	}
}

// writeName writes a name in its one spelling.
func writeName(w *bytes.Buffer, n name) {
	w.WriteByte('/')
	w.Write(spelled(n))
}

// spelled is a name without its slash, with # and two digits for what may not
// be in one, and for nothing else.
func spelled(n name) []byte {
	out := make([]byte, 0, len(n))
	for i := range len(n) {
		if c := n[i]; regular(c) && c != '#' && c > ' ' && c < 0x7f {
			out = append(out, c)
		} else {
			out = fmt.Appendf(out, "#%02X", c)
		}
	}
	return out
}

// words encodes s as a PDF text string: UTF-16BE with a mark, always, so
// that one name has one spelling.
func words(s string) text {
	b := []byte{0xfe, 0xff}
	for _, u := range utf16.Encode([]rune(s)) {
		b = append(b, byte(u>>8), byte(u))
	}
	return text(b)
}

// plain decodes a PDF text string; without a mark only ASCII is accepted.
func plain(t text) (string, bool) {
	if len(t) >= 2 && t[0] == 0xfe && t[1] == 0xff {
		return utf16be([]byte(t[2:]))
	}
	for i := range len(t) {
		if t[i] >= utf8.RuneSelf {
			return "", false
		}
	}
	return string(t), true
}

// utf16be decodes big-endian UTF-16; ok is false for an odd number of bytes
// or half a surrogate pair.
func utf16be(b []byte) (s string, ok bool) {
	if len(b)%2 != 0 {
		return "", false
	}
	units := make([]uint16, len(b)/2)
	for i := range units {
		units[i] = uint16(b[2*i])<<8 | uint16(b[2*i+1])
	}
	runes := utf16.Decode(units)
	for i, u := range utf16.Encode(runes) {
		if i >= len(units) || u != units[i] {
			return "", false
		}
	}
	return string(runes), true
}
