package pdfout

import (
	_ "embed" // what is in faces
	"fmt"
	"sync"
)

// The faces are put into the file here and not by the PDF library, which
// would read and cut them again for every document: most of the time that a
// summary took.

//go:embed faces/regular.z
var regularPacked []byte

//go:embed faces/bold.z
var boldPacked []byte

// The maps of the common characters, from codes to glyphs and to text.
//
//go:embed faces/glyphs.z
var glyphsPacked []byte

//go:embed faces/unicode.z
var unicodePacked []byte

// subset is both faces cut down to some characters: the streams that embed them,
// and the widths of their characters.
type subset struct {
	programs        [2][]byte
	glyphs, unicode []byte
	widths          [2]string
}

// commonSubset has the common characters alone, which most documents need.
var commonSubset = sync.OnceValue(func() *subset {
	s := subsetOf(nil, glyphsPacked, unicodePacked)
	for i, f := range theFaces.both() {
		s.programs[i] = packedStream(fmt.Sprintf("/Length1 %d", f.length), f.packed)
	}
	return s
})

func (f *faces) both() [2]*face { return [2]*face{f.regular, f.bold} }

// subsetOf is a subset with its packed maps, without its programs.
func subsetOf(more []rune, glyphs, unicode []byte) *subset {
	s := &subset{unicode: packedStream("", unicode),
		glyphs: packedStream("/Type /CMap /CMapName /"+mapName+" /CIDSystemInfo "+systemInfo+" /WMode 0", glyphs)}
	for i, f := range theFaces.both() {
		s.widths[i] = f.widths(more)
	}
	return s
}

// systemInfo names the collection of glyphs: the font's own.
const systemInfo = "<< /Registry (Adobe) /Ordering (Identity) /Supplement 0 >>"

// cut keeps the subsets made so far, by the characters beyond the common ones.
// A day's names need few; the bound is for whoever feeds it others.
var cut = struct {
	sync.Mutex
	made map[string]*subset
}{made: map[string]*subset{}}

// keptSubsets bounds cut: some 30 kB each.
const keptSubsets = 64

// subsetWith gives both faces cut down to the common characters and more, which
// are sorted.
func subsetWith(more []rune) *subset {
	if len(more) == 0 {
		return commonSubset()
	}
	key := string(more)
	cut.Lock()
	s, done := cut.made[key]
	cut.Unlock()
	if done {
		return s
	}
	s = subsetOf(more, pack(glyphMap(more), facePackers), pack(toUnicode(more), facePackers))
	for i, f := range theFaces.both() {
		ttf := f.cut(more)
		s.programs[i] = packedStream(fmt.Sprintf("/Length1 %d", len(ttf)), pack(ttf, facePackers))
	}
	cut.Lock()
	defer cut.Unlock()
	if len(cut.made) >= keptSubsets {
		clear(cut.made)
	}
	cut.made[key] = s
	return s
}

// embed adds the objects of both faces of a subset and returns the numbers of the
// fonts. They share the maps from codes to glyphs and to text.
//
// Source: ISO 32000-1, 9.7 (composite fonts) and 9.8 (font descriptors).
func (o *objects) embed(s *subset, mem *memory) (fonts [2]int) {
	glyphs, unicode := o.add(s.glyphs), o.add(s.unicode)
	for i, f := range theFaces.both() {
		m, name := f.metrics, baseNames[i]
		descriptor := o.add(mem.textf("<< /Type /FontDescriptor /FontName /%s /Flags 4 /FontBBox [%d %d %d %d] /ItalicAngle 0 /Ascent %d /Descent %d /CapHeight %d /StemV %d /FontFile2 %d 0 R >>",
			name, m.box[0], m.box[1], m.box[2], m.box[3], m.ascent, m.descent, m.capHeight, m.stem, o.add(s.programs[i])))
		cid := o.add(mem.textf("<< /Type /Font /Subtype /CIDFontType2 /BaseFont /%s /CIDSystemInfo %s /FontDescriptor %d 0 R /DW 0 /W %s /CIDToGIDMap /Identity >>",
			name, systemInfo, descriptor, s.widths[i]))
		fonts[i] = o.add(mem.textf("<< /Type /Font /Subtype /Type0 /BaseFont /%s /Encoding %d 0 R /DescendantFonts [%d 0 R] /ToUnicode %d 0 R >>", name, glyphs, cid, unicode))
	}
	return fonts
}

// metrics are what a font descriptor says, in thousandths of an em.
type metrics struct {
	box                              [4]int
	ascent, descent, capHeight, stem int
}

// metrics reads them from the tables head, hhea and OS/2. The thickness of
// stems is not in the file; it is estimated from the weight, as is usual.
func (t *table) metrics() metrics {
	head, hhea, os2 := t.tables["head"], t.tables["hhea"], t.tables["OS/2"]
	em, weight := u16(head, 18), u16(os2, 4)
	at := func(b []byte, i int) int { return int(int16(u16(b, i))) * 1000 / em }
	return metrics{
		box:    [4]int{at(head, 36), at(head, 38), at(head, 40), at(head, 42)},
		ascent: at(hhea, 4), descent: at(hhea, 6), capHeight: at(os2, 88),
		stem: 50 + weight*weight/(65*65),
	}
}
