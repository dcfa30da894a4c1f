package signoff

import (
	"regexp"
	"strconv"
)

// pageContent is what a page draws, unpacked, and the strings it shows, in the
// order drawn.
type pageContent struct {
	Stream []byte
	Texts  []string
}

// pageContents returns what each page draws; its strings by the map from codes
// to text that all fonts of this program share.
func (d *Document) pageContents() ([]pageContent, error) {
	pages, err := d.pages()
	if err != nil {
		return nil, err
	}
	streams := make([][]byte, len(pages))
	for i, p := range pages {
		if streams[i], err = d.bytes(p.dict.get("Contents"), "page"); err != nil {
			return nil, err
		}
	}
	codes, err := d.codes()
	if err != nil {
		return nil, err
	}
	out := make([]pageContent, len(pages))
	for i, b := range streams {
		out[i].Stream = b
		if out[i].Texts, err = shown(b, codes); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// mapped is an entry of a map from codes to text: a code, the last one of a range
// if it is one, and the character of the first.
var mapped = regexp.MustCompile(`(?m)^<([0-9A-F]+)> (?:<([0-9A-F]+)> )?<([0-9A-F]{4})>$`)

// codes reads the first map from codes to text.
func (d *Document) codes() (map[string]rune, error) {
	for num := range d.objects {
		font, _ := d.value(num).(dict)
		if font.get("Type") != name("Font") || font.get("ToUnicode") == nil {
			continue
		}
		b, err := d.bytes(font.get("ToUnicode"), "font")
		if err != nil {
			return nil, err
		}
		codes := map[string]rune{}
		for _, m := range mapped.FindAllSubmatch(b, -1) {
			number := func(i int) int {
				n, _ := strconv.ParseInt(string(m[i]), 16, 32) // digits, as the pattern has it
				return int(n)
			}
			size := len(m[1]) / 2
			for from, code := number(1), number(1); code <= max(from, number(2)); code++ {
				b := []byte{byte(code >> 8), byte(code)}
				codes[string(b[2-size:])] = rune(number(3) + code - from)
			}
		}
		return codes, nil
	}
	return nil, nil
}

// shown returns the strings that a content stream shows with Tj and TJ.
func shown(content []byte, codes map[string]rune) ([]string, error) {
	var out []string
	var last any
	for l := (&lexer{b: content}); ; {
		if l.skip(); l.at >= len(content) {
			return out, nil
		}
		v, err := l.object(0)
		if err != nil {
			return nil, err
		}
		if v == keyword("Tj") || v == keyword("TJ") {
			s, ok := decoded(last, codes)
			if !ok {
				return nil, damaged(stringForm, "at", l.at)
			}
			out = append(out, s)
		}
		last = v
	}
}

// decoded is the text of the operand of Tj (a string) or TJ (an array), of codes
// of one or two bytes.
func decoded(v any, codes map[string]rune) (string, bool) {
	parts, ok := v.(array)
	if !ok {
		parts = array{v}
	}
	var out []rune
	for _, p := range parts {
		t, _ := p.(text)
		for b := string(t); b != ""; {
			n := 1
			r, known := codes[b[:n]]
			if !known && len(b) > 1 {
				n = 2
				r, known = codes[b[:n]]
			}
			if !known {
				return "", false
			}
			out, b = append(out, r), b[n:]
		}
	}
	return string(out), true
}
