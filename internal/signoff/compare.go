package signoff

import (
	"bytes"
	"fmt"
	"slices"
)

// maxDifferences ends a comparison: more would say nothing new.
const maxDifferences = 20

// maxPairs bounds how many pairs of objects are compared, and so how deep
// one can lead to another.
const maxPairs = 50_000

// Differences compares the finished file of got with that of want and names
// what differs, in words: the pages, their fonts, what is attached, titles
// and dates, everything the catalog and the document information lead to.
// Streams are compared unpacked, so that another compressor makes no
// difference; the order and the numbers of objects make none either. What
// nothing leads to is drawn nowhere and is not compared. None: no difference.
func Differences(got, want *Document) []string {
	c := &comparison{got: got, want: want, met: map[[2]int]bool{}}
	c.pages()
	a, b := got.revisions[0].trailer, want.revisions[0].trailer
	c.objects("the catalog", a.get("Root"), b.get("Root"))
	c.objects("the document information", a.get("Info"), b.get("Info"))
	for i := 0; i < len(c.parents); i++ {
		c.objects("the page tree", c.parents[i][0], c.parents[i][1])
	}
	return c.found
}

type comparison struct {
	got, want *Document
	met       map[[2]int]bool // pairs of objects compared or being compared
	parents   [][2]any        // to compare last: they lead to everything
	found     []string
}

func (c *comparison) report(what, why string) {
	if s := what + " " + why; len(c.found) < maxDifferences && !slices.Contains(c.found, s) {
		c.found = append(c.found, s)
	}
}

// pages compares page by page first, so that findings say "page 2".
func (c *comparison) pages() {
	a, err := c.got.pages()
	if err != nil {
		c.report("the pages", "cannot be read: "+err.Error())
		return
	}
	b, err := c.want.pages()
	if err != nil || len(a) != len(b) {
		c.report("the document", fmt.Sprintf("has %d pages (wanted %d)", len(a), len(b)))
		return
	}
	for i := range a { // a link to another page does not lead into it
		c.met[[2]int{a[i].num, b[i].num}] = true
	}
	for i := range a {
		c.values(fmt.Sprintf("page %d", i+1), a[i].dict, b[i].dict)
	}
}

// objects compares two objects and what they lead to, each pair once.
func (c *comparison) objects(what string, a, b any) {
	ra, okA := a.(ref)
	rb, okB := b.(ref)
	if okA && okB {
		pair := [2]int{ra.num, rb.num}
		if c.met[pair] {
			return
		}
		c.met[pair] = true
	}
	if len(c.found) >= maxDifferences {
		return
	}
	if len(c.met) > maxPairs {
		c.report("the document", "has too many objects to compare")
		return
	}
	va, err := c.got.resolve(a)
	if err != nil {
		c.report(what, "cannot be read: "+err.Error())
		return
	}
	vb, err := c.want.resolve(b)
	if err != nil {
		c.report(what, "cannot be compared: "+err.Error())
		return
	}
	c.values(what, va, vb)
}

func (c *comparison) values(what string, a, b any) {
	switch b := b.(type) {
	case dict:
		if a, ok := a.(dict); ok {
			c.dicts(what, a, b)
			return
		}
	case array:
		if a, ok := a.(array); ok && len(a) == len(b) {
			for i := range b {
				c.objects(what, a[i], b[i])
			}
			return
		}
	case stream:
		if a, ok := a.(stream); ok {
			c.streams(what, a, b)
			return
		}
	default:
		if same(a, b) {
			return
		}
	}
	c.report(what, "differs")
}

// same compares two objects that hold no others.
func same(a, b any) bool {
	switch a.(type) {
	case dict, array, stream:
		return false
	}
	return a == b
}

// parts names what stands under a key, where its name says more than the
// name of what holds it.
var parts = map[name]string{
	"Font": "a font", "EmbeddedFiles": "an attachment", "Outlines": "the outline",
	"Metadata": "the metadata", "Annots": "an annotation", "XObject": "a picture",
}

func (c *comparison) dicts(what string, a, b dict) {
	keys := map[name]bool{}
	for _, e := range slices.Concat(a, b) {
		if keys[e.key] {
			continue
		}
		keys[e.key] = true
		if e.key == "Parent" {
			c.parents = append(c.parents, [2]any{a.get(e.key), b.get(e.key)})
			continue
		}
		inner := what
		if s, ok := parts[e.key]; ok {
			inner = s + " of " + what
		}
		c.objects(inner, a.get(e.key), b.get(e.key))
	}
}

// streams compares two streams unpacked, unless they are the same packed.
func (c *comparison) streams(what string, a, b stream) {
	c.dicts(what, packing(a.dict), packing(b.dict))
	if bytes.Equal(a.raw, b.raw) {
		return
	}
	x, err := c.got.decode(a)
	if err != nil {
		c.report(what, "cannot be read: "+err.Error())
		return
	}
	y, err := c.want.decode(b)
	if err != nil || !bytes.Equal(x, y) {
		c.report(what, "draws or holds something else")
	}
}

// packing leaves out of a stream's dictionary what depends on compression.
func packing(d dict) dict {
	return slices.DeleteFunc(slices.Clone(d), func(e entry) bool { return e.key == "Length" })
}
