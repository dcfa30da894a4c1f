package pdfout

import (
	"encoding/binary"
	"errors"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
)

// faces are the only two faces on the pages.
type faces struct {
	regular, bold *face
}

// face is a font: the advances of its common characters, and what else has to be
// known of it, which is read from the file only when a name needs other ones.
type face struct {
	common  *[commonCodes]int16 // in thousandths of an em, by code; -1 where there is none
	packed  []byte              // the face cut down to the common characters, as it is embedded
	length  int                 // of that before packing
	metrics metrics
	table   func() *table
}

// table is what is read from a font file.
type table struct {
	tables map[string][]byte
	glyphs *[1 << 16]uint16
}

// theFaces are those of every document. What is in faces_made.go was computed
// from the files by TestFacesMade: a program that draws one summary does not
// have to.
var theFaces = &faces{
	regular: newFace(&regularMade, regularPacked, liberationsansregular.TTF),
	bold:    newFace(&boldMade, boldPacked, liberationsansbold.TTF),
}

// made is what was computed from a font file.
type made struct {
	length  int
	metrics metrics
	common  [commonCodes]int16
}

func newFace(m *made, packed, ttf []byte) *face {
	return &face{common: &m.common, packed: packed, length: m.length, metrics: m.metrics, table: sync.OnceValue(func() *table {
		t, err := readTable(ttf)
		if err != nil {
			panic(err) // a file of the program itself, see TestFacesMade
		}
		return t
	})}
}

// has reports whether the face has a glyph for r.
func (f *face) has(r rune) bool {
	return isCommon(r) || r > 0 && r < 1<<16 && f.table().glyphs[r] > 0
}

// advance is the width of r in thousandths of an em; of one the face lacks,
// that of [lacking].
func (f *face) advance(r rune) int {
	if code, common := codeOf(r); common {
		return int(f.common[code])
	}
	if !f.has(r) {
		return int(f.common[specialCodes[lacking]])
	}
	return f.table().advance(r)
}

var errFont = errors.New("not a TrueType font with a Unicode character map")

// readTable reads a TrueType font's tables and its character map.
//
// Source: OpenType specification, tables cmap (format 4), head, hhea, hmtx.
func readTable(ttf []byte) (*table, error) {
	tables, err := fontTables(ttf)
	if err != nil {
		return nil, err
	}
	glyphs, err := characterMap(tables["cmap"])
	if err != nil {
		return nil, err
	}
	head, hhea, hmtx := tables["head"], tables["hhea"], tables["hmtx"]
	if len(head) < 54 || len(hhea) < 36 || len(tables["maxp"]) < 32 || len(tables["OS/2"]) < 90 {
		return nil, errFont
	}
	if n := u16(hhea, 34); u16(head, 18) == 0 || n == 0 || len(hmtx) < 4*n {
		return nil, errFont
	}
	return &table{tables, glyphs}, nil
}

func (t *table) glyph(r rune) int { return int(t.glyphs[r]) }

// metric is a glyph's advance and the place of its left edge, in units of the font.
func (t *table) metric(glyph int) (advance, bearing int) {
	hmtx, n := t.tables["hmtx"], u16(t.tables["hhea"], 34)
	if glyph < n {
		return u16(hmtx, 4*glyph), u16(hmtx, 4*glyph+2)
	}
	return u16(hmtx, 4*(n-1)), u16(hmtx, 4*n+2*(glyph-n))
}

// advance is that of a character, in thousandths of an em.
func (t *table) advance(r rune) int {
	em := u16(t.tables["head"], 18)
	wide, _ := t.metric(t.glyph(r))
	return (wide*1000 + em/2) / em
}

// outline is the description of a glyph in the table glyf, nothing for a blank.
func (t *table) outline(glyph int) []byte {
	loca := t.tables["loca"]
	if u16(t.tables["head"], 50) == 0 {
		return t.tables["glyf"][2*u16(loca, 2*glyph) : 2*u16(loca, 2*glyph+2)]
	}
	return t.tables["glyf"][binary.BigEndian.Uint32(loca[4*glyph:]):binary.BigEndian.Uint32(loca[4*glyph+4:])]
}

// fontTables cuts a font into its tables.
func fontTables(ttf []byte) (map[string][]byte, error) {
	if len(ttf) < 12 || len(ttf) < 12+16*u16(ttf, 4) {
		return nil, errFont
	}
	tables := map[string][]byte{}
	for i := range u16(ttf, 4) {
		entry := ttf[12+16*i:]
		from := int(binary.BigEndian.Uint32(entry[8:]))
		size := int(binary.BigEndian.Uint32(entry[12:]))
		if from+size > len(ttf) {
			return nil, errFont
		}
		tables[string(entry[:4])] = ttf[from : from+size]
	}
	return tables, nil
}

// characterMap gives the glyph of each character of the basic plane, 0 for
// none, from the map for platform 3 (Unicode, basic plane) in format 4.
func characterMap(cmap []byte) (*[1 << 16]uint16, error) {
	if len(cmap) < 4 {
		return nil, errFont
	}
	for i := range u16(cmap, 2) {
		entry := cmap[4+8*i:]
		if u16(entry, 0) != 3 || u16(entry, 2) != 1 {
			continue
		}
		sub := cmap[binary.BigEndian.Uint32(entry[4:]):]
		if u16(sub, 0) == 4 {
			return segments(sub), nil
		}
	}
	return nil, errFont
}

// segments reads a map in format 4.
func segments(sub []byte) *[1 << 16]uint16 {
	glyphs := new([1 << 16]uint16)
	n := u16(sub, 6) / 2 // number of segments
	ends, starts := sub[14:], sub[16+2*n:]
	deltas, offsets := sub[16+4*n:], sub[16+6*n:]
	for i := range n {
		offset := u16(offsets, 2*i)
		for r := u16(starts, 2*i); r <= u16(ends, 2*i) && r < 0xFFFF; r++ {
			glyph := r
			if offset != 0 {
				glyph = u16(offsets, 2*i+offset+2*(r-u16(starts, 2*i)))
			}
			if offset == 0 || glyph != 0 {
				glyph = (glyph + u16(deltas, 2*i)) & 0xFFFF
			}
			glyphs[r] = uint16(glyph)
		}
	}
	return glyphs
}

func u16(b []byte, at int) int { return int(binary.BigEndian.Uint16(b[at:])) }
