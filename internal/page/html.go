package page

import (
	"html"
	"strings"
)

// at are the attributes of an element: name, value, name, value. A value of
// off leaves the attribute out; a blank one is written without a value.
type at []string

const off = "\x00"

// el is an element; what is inside is HTML.
func el(tag string, attrs at, inside ...string) string {
	size := 2*len(tag) + 5
	for _, a := range attrs {
		size += len(a) + 2
	}
	for _, s := range inside {
		size += len(s)
	}
	var b strings.Builder
	b.Grow(size)
	b.WriteByte('<')
	b.WriteString(tag)
	for i := 0; i+1 < len(attrs); i += 2 {
		if attrs[i+1] == off {
			continue
		}
		b.WriteByte(' ')
		b.WriteString(attrs[i])
		b.WriteString(`="`)
		b.WriteString(esc(attrs[i+1]))
		b.WriteByte('"')
	}
	b.WriteByte('>')
	switch tag {
	case "input", "br", "img", "hr":
		return b.String()
	}
	for _, s := range inside {
		b.WriteString(s)
	}
	b.WriteString("</")
	b.WriteString(tag)
	b.WriteByte('>')
	return b.String()
}

// esc is text.
func esc(s string) string {
	if !strings.ContainsAny(s, `&<>"'`) {
		return s
	}
	return html.EscapeString(s)
}

// when gives a value where it holds, else off.
func when(holds bool, value string) string {
	if holds {
		return value
	}
	return off
}

func p(class, text string) string {
	if text == "" {
		return ""
	}
	return el("p", at{"class", orOff(class)}, esc(text))
}

func orOff(s string) string { return when(s != "", s) }

// button does something when it is pressed.
func button(class, do, where, value, text string) string {
	return el("button", at{"type", "button", "class", orOff(class), "data-do", do, "data-at", orOff(where), "value", orOff(value)}, esc(text))
}

// list is a list of sentences; nothing where there are none.
func list(class string, sentences []string) string {
	if len(sentences) == 0 {
		return ""
	}
	var b strings.Builder
	for _, s := range sentences {
		b.WriteString(el("li", nil, esc(s)))
	}
	return el("ul", at{"class", orOff(class)}, b.String())
}

// choice is one answer of several.
type choice struct{ value, text string }

// selected is a select element's options with one chosen; a value that is none
// of them is one more.
func selected(now string, choices []choice) string {
	var b strings.Builder
	known := false
	for _, c := range choices {
		known = known || c.value == now
		b.WriteString(el("option", at{"value", c.value, "selected", when(c.value == now, "")}, esc(c.text)))
	}
	if !known {
		b.WriteString(el("option", at{"value", now, "selected", ""}, esc(now)))
	}
	return b.String()
}
