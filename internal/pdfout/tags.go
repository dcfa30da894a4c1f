package pdfout

import (
	"bytes"
	"fmt"
	"slices"
)

// The pages are tagged for screen readers: every text belongs to an element of
// one tree (headings, paragraphs, lists, tables, the drawing with a sentence that
// says what it shows), in the order in which it is read. What only decorates a
// page, and what every page repeats, is marked as such.
//
// Source: ISO 32000-1, 14.6 (marked content), 14.7 (logical structure), 14.8.

// element is a part of the tree: what it is, and what it holds in the order of
// reading. It joins the tree when something is printed in it.
type element struct {
	kind   string
	parent *element
	kids   []kid
	alt    string // what a drawing shows, in words
	joined bool
	one    [1]kid // room for the only kid that most have
	number int    // of its object
}

// kid is an element within another, or a piece of a page's content.
type kid struct {
	element  *element
	page, id int
}

// furniture marks what is not read: rules, fields, the repeated headers and footers.
var furniture = &element{kind: "Artifact"}

// new makes an element within the current one.
func (s *sheet) new(kind string) *element {
	e := s.mem.element()
	e.kind, e.parent = kind, s.within
	return e
}

// in prints into an element.
func (s *sheet) in(e *element, print func()) {
	before := s.leaf
	s.leaf = e
	print()
	s.leaf = before
}

// inside puts the elements that are made meanwhile into a new one.
func (s *sheet) inside(kind string, print func()) {
	before := s.within
	s.within = s.new(kind)
	print()
	s.within = before
}

// join hangs e into the tree, after what is there.
func (e *element) join() {
	if e.joined || e.parent == nil {
		return
	}
	e.parent.join()
	e.parent.kids = append(e.parent.kids, kid{element: e})
	e.joined = true
}

// mark begins the content of e on this page, unless it goes on.
func (s *sheet) mark(e *element) {
	if s.marked == e {
		return
	}
	s.unmark()
	s.marked = e
	if e == furniture {
		s.b = append(s.b, "/Artifact BMC\n"...)
		return
	}
	e.join()
	p := &s.pages[s.page-1]
	e.kids = append(e.kids, kid{page: s.page, id: len(p.owners)})
	s.b = append(append(append(s.b, '/'), e.kind...), " <</MCID "...)
	s.b = append(appendWhole(s.b, len(p.owners)), ">> BDC\n"...)
	p.owners = append(p.owners, e)
}

// unmark ends the content of whatever is being printed.
func (s *sheet) unmark() {
	s.endText()
	if s.marked != nil {
		s.b = append(s.b, "EMC\n"...)
		s.marked = nil
	}
}

// markText begins a text: part of the current element, or a paragraph of its own.
func (s *sheet) markText() {
	if s.leaf == nil {
		s.mark(s.new("P"))
		return
	}
	s.mark(s.leaf)
}

// markPath begins a line or an area: part of a drawing, or else decoration.
func (s *sheet) markPath() {
	s.endText()
	if s.leaf != nil && s.leaf.kind == "Figure" {
		s.mark(s.leaf)
		return
	}
	s.mark(furniture)
}

// pageObject is the number of the object of page n: the library writes a page and
// its content from number 3 on.
func pageObject(n int) int { return 2*n + 1 }

// addTree adds the tree of elements and gives the number of its root.
func (o *objects) addTree(root *element, pages []page, m *memory) int {
	top := len(*o) + 1
	next := top + 1
	m.order = m.order[:0]
	var number func(e *element)
	number = func(e *element) {
		e.number = next
		next++
		m.order = append(m.order, e)
		for _, k := range e.kids {
			if k.element != nil {
				number(k.element)
			}
		}
	}
	number(root)
	o.add(m.text(func(b []byte) []byte { return appendTreeRoot(b, root, pages) }))
	for _, e := range m.order {
		parent := top
		if e != root {
			parent = e.parent.number
		}
		o.add(m.text(func(b []byte) []byte { return e.appendTo(b, parent) }))
	}
	for i := range pages {
		const resources = "/Resources 2 0 R\n"
		at := pageObject(i+1) - 1
		(*o)[at] = bytes.Replace((*o)[at], []byte(resources), fmt.Appendf(nil, "%s/StructParents %d\n", resources, i), 1)
	}
	return top
}

// appendTreeRoot names, for each page, the element of every piece of its content.
func appendTreeRoot(b []byte, root *element, pages []page) []byte {
	b = fmt.Appendf(b, "<< /Type /StructTreeRoot /K %d 0 R /ClassMap << /column << /O /Table /Scope /Column >> >> /ParentTreeNextKey %d /ParentTree << /Nums [", root.number, len(pages))
	for i, p := range pages {
		b = append(appendWhole(b, i), " ["...)
		for _, e := range p.owners {
			b = append(appendWhole(b, e.number), " 0 R "...)
		}
		b = append(bytes.TrimSuffix(b, []byte(" ")), "] "...)
	}
	return append(bytes.TrimSuffix(b, []byte(" ")), "] >> >>"...)
}

// appendTo writes an element. A piece on another page than its first one says so.
func (e *element) appendTo(b []byte, parent int) []byte {
	b = append(append(append(b, "<</S/"...), e.kind...), "/P "...)
	b = append(appendWhole(b, parent), " 0 R"...)
	first := slices.IndexFunc(e.kids, func(k kid) bool { return k.element == nil })
	if first >= 0 {
		b = append(appendWhole(append(b, "/Pg "...), pageObject(e.kids[first].page)), " 0 R"...)
	}
	if e.kind == "TH" {
		b = append(b, "/C/column"...)
	}
	if e.alt != "" {
		b = appendTextString(append(b, "/Alt "...), e.alt)
	}
	switch len(e.kids) {
	case 0:
		return append(b, ">>"...)
	case 1:
		b = append(b, "/K "...)
		return append(e.appendKid(b, e.kids[0], first), ">>"...)
	}
	b = append(b, "/K["...)
	for i, k := range e.kids {
		if i > 0 {
			b = append(b, ' ')
		}
		b = e.appendKid(b, k, first)
	}
	return append(b, "]>>"...)
}

func (e *element) appendKid(b []byte, k kid, first int) []byte {
	switch {
	case k.element != nil:
		return append(appendWhole(b, k.element.number), " 0 R"...)
	case k.page != e.kids[first].page:
		return fmt.Appendf(b, "<</Type/MCR/Pg %d 0 R/MCID %d>>", pageObject(k.page), k.id)
	}
	return appendWhole(b, k.id)
}
