package pdfout

import (
	_ "embed" // the two faces
	"fmt"
	"sync"
)

// The faces are cut when the program is built: reading and cutting them for every
// document was most of the time that a summary took.

//go:embed faces/regular.z
var regularPacked []byte

//go:embed faces/bold.z
var boldPacked []byte

// subset is both faces cut down to some characters: the streams that embed them,
// and the widths of their characters.
type subset struct {
	programs        [2][]byte
	glyphs, unicode []byte
	widths          [2]string
}

// commonSubset has the common characters alone, which most documents need.
var commonSubset = sync.OnceValue(func() *subset {
	s := mapsOf(nil)
	for i, f := range theFaces.both() {
		s.programs[i] = appendStream(nil, fmt.Sprintf("/Length1 %d", f.length), packedFilter, f.packed)
	}
	return s
})

func (f *faces) both() [2]*face { return [2]*face{f.regular, f.bold} }

// mapsOf is a subset without its programs.
func mapsOf(more []rune) *subset {
	s := &subset{unicode: packedStream("", toUnicode(more), facePackers),
		glyphs: packedStream("/Type /CMap /CMapName /"+mapName+" /CIDSystemInfo "+systemInfo+" /WMode 0", glyphMap(more), facePackers)}
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
	s = mapsOf(more)
	for i, f := range theFaces.both() {
		ttf := f.cut(more)
		s.programs[i] = packedStream(fmt.Sprintf("/Length1 %d", len(ttf)), ttf, facePackers)
	}
	cut.Lock()
	defer cut.Unlock()
	if len(cut.made) >= keptSubsets {
		clear(cut.made)
	}
	cut.made[key] = s
	return s
}

// sharedMaps are the objects that both faces share, perFace those of each: the last
// is the font.
const (
	sharedMaps = 2
	perFace    = 4
)

// embed writes the objects of both faces of a subset. They share the maps from codes
// to glyphs and to text.
//
// Source: ISO 32000-1, 9.7 (composite fonts) and 9.8 (font descriptors).
func (f *file) embed(s *subset) {
	glyphs, unicode := f.object(s.glyphs), f.object(s.unicode)
	for i, face := range theFaces.both() {
		m, name, program := face.metrics, baseNames[i], f.object(s.programs[i])
		descriptor := f.begin()
		f.b = fmt.Appendf(f.b, "<< /Type /FontDescriptor /FontName /%s /Flags 4 /FontBBox [%d %d %d %d] /ItalicAngle 0 /Ascent %d /Descent %d /CapHeight %d /StemV %d /FontFile2 %d 0 R >>",
			name, m.box[0], m.box[1], m.box[2], m.box[3], m.ascent, m.descent, m.capHeight, m.stem, program)
		f.end()
		cid := f.begin()
		f.b = fmt.Appendf(f.b, "<< /Type /Font /Subtype /CIDFontType2 /BaseFont /%s /CIDSystemInfo %s /FontDescriptor %d 0 R /DW 0 /W %s /CIDToGIDMap /Identity >>",
			name, systemInfo, descriptor, s.widths[i])
		f.end()
		f.begin()
		f.b = fmt.Appendf(f.b, "<< /Type /Font /Subtype /Type0 /BaseFont /%s /Encoding %d 0 R /DescendantFonts [%d 0 R] /ToUnicode %d 0 R >>", name, glyphs, cid, unicode)
		f.end()
	}
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
