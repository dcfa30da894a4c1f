package pdfout

import (
	"encoding/binary"
	"errors"
	"fmt"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
)

// faces are the only two faces on the pages.
type faces struct {
	regular, bold *face
}

// face is what has to be known of a font to measure text: its file, and for
// each character of the basic plane the advance in thousandths of an em, or
// -1 where the font has none.
type face struct {
	ttf      []byte
	advances [1 << 16]int16
	metrics  metrics
}

// loadFaces reads the two faces once for the whole program.
var loadFaces = sync.OnceValues(func() (*faces, error) {
	regular, err := readFace(liberationsansregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("regular face: %w", err)
	}
	bold, err := readFace(liberationsansbold.TTF)
	if err != nil {
		return nil, fmt.Errorf("bold face: %w", err)
	}
	return &faces{regular, bold}, nil
})

// has reports whether the face has a glyph for r.
func (f *face) has(r rune) bool {
	return r >= 0 && int(r) < len(f.advances) && f.advances[r] >= 0
}

var errFont = errors.New("not a TrueType font with a Unicode character map")

// readFace reads a TrueType font's character map and advances.
//
// Source: OpenType specification, tables cmap (format 4), head, hhea, hmtx.
func readFace(ttf []byte) (*face, error) {
	tables, err := fontTables(ttf)
	if err != nil {
		return nil, err
	}
	glyphs, err := characterMap(tables["cmap"])
	if err != nil {
		return nil, err
	}
	head, hhea, hmtx := tables["head"], tables["hhea"], tables["hmtx"]
	if len(head) < 20 || len(hhea) < 36 {
		return nil, errFont
	}
	em, metrics := u16(head, 18), u16(hhea, 34)
	if em == 0 || metrics == 0 || len(hmtx) < 4*metrics {
		return nil, errFont
	}
	f := &face{ttf: ttf}
	if f.metrics, err = readMetrics(head, hhea, tables["OS/2"]); err != nil {
		return nil, err
	}
	for r, glyph := range glyphs {
		f.advances[r] = -1
		if glyph > 0 {
			f.advances[r] = int16((u16(hmtx, 4*min(glyph, metrics-1))*1000 + em/2) / em)
		}
	}
	if !f.has(lacking) {
		return nil, fmt.Errorf("font without U+%04X", lacking)
	}
	return f, nil
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
func characterMap(cmap []byte) (*[1 << 16]int, error) {
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
func segments(sub []byte) *[1 << 16]int {
	glyphs := new([1 << 16]int)
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
			glyphs[r] = glyph
		}
	}
	return glyphs
}

func u16(b []byte, at int) int { return int(binary.BigEndian.Uint16(b[at:])) }
