package pdfout

import (
	"encoding/binary"
	"slices"
)

// A face inside a summary has only the glyphs that are printed, in the order of
// their codes, so that no map from codes to glyphs is needed, and without the
// instructions that fit them to coarse screens, which are half of a glyph.
//
// Source: OpenType specification, tables glyf, head, hhea, hmtx, loca, maxp.

// cutter collects the glyphs of a face that is cut down.
type cutter struct {
	*table
	places map[int]int // from the number of a glyph to its new one
	order  []int       // the old numbers in the order of the new ones, -1: none
	glyphs [][]byte
}

// cut gives the face with the common characters and more as a font file.
func (f *face) cut(more []rune) []byte {
	t := f.table()
	c := &cutter{table: t, places: map[int]int{}}
	for code, r := range commonRunes {
		switch {
		case code == 0:
			c.place(0) // .notdef, which every font has and nothing here shows
		case r == 0:
			c.order = append(c.order, -1)
		default:
			c.place(t.glyph(r))
		}
	}
	for _, r := range more {
		c.place(t.glyph(r))
	}
	for i := 0; i < len(c.order); i++ { // grows by what glyphs are composed of
		c.glyphs = append(c.glyphs, c.bare(c.order[i]))
	}
	return c.file()
}

// place gives a glyph the next number. Two characters may share a glyph: each
// has a number.
func (c *cutter) place(glyph int) int {
	n := len(c.order)
	c.order = append(c.order, glyph)
	if _, there := c.places[glyph]; !there {
		c.places[glyph] = n
	}
	return n
}

// bare is the outline of a glyph without its instructions.
func (c *cutter) bare(glyph int) []byte {
	if glyph < 0 {
		return nil
	}
	b := c.outline(glyph)
	if len(b) == 0 {
		return nil
	}
	if int16(u16(b, 0)) < 0 {
		return c.composite(slices.Clone(b))
	}
	const head = 10
	ends := head + 2*u16(b, 0)
	n := u16(b, ends) // of instructions
	out := append(slices.Clone(b[:ends]), 0, 0)
	return append(out, b[ends+2+n:]...)
}

// Flags of a part of a composite glyph.
const (
	wideArguments = 1 << 0
	oneScale      = 1 << 3
	morePartsHere = 1 << 5
	twoScales     = 1 << 6
	fourScales    = 1 << 7
	instructions  = 1 << 8
)

// composite gives the parts of a glyph their new numbers.
func (c *cutter) composite(b []byte) []byte {
	for at := 10; ; {
		flags, part := u16(b, at), u16(b, at+2)
		n, there := c.places[part]
		if !there {
			n = c.place(part)
		}
		binary.BigEndian.PutUint16(b[at:], uint16(flags&^instructions))
		binary.BigEndian.PutUint16(b[at+2:], uint16(n))
		at += 6
		if flags&wideArguments != 0 {
			at += 2
		}
		switch {
		case flags&oneScale != 0:
			at += 2
		case flags&twoScales != 0:
			at += 4
		case flags&fourScales != 0:
			at += 8
		}
		if flags&morePartsHere == 0 {
			return b[:at]
		}
	}
}

// file writes the tables of the cut face, in the order of their names.
func (c *cutter) file() []byte {
	var glyf, loca, hmtx []byte
	for i, g := range c.glyphs {
		loca = binary.BigEndian.AppendUint16(loca, uint16(len(glyf)/2))
		glyf = append(glyf, g...)
		for len(glyf)%4 > 0 {
			glyf = append(glyf, 0)
		}
		advance, bearing := 0, 0
		if c.order[i] >= 0 {
			advance, bearing = c.metric(c.order[i])
		}
		hmtx = binary.BigEndian.AppendUint16(binary.BigEndian.AppendUint16(hmtx, uint16(advance)), uint16(bearing))
	}
	loca = binary.BigEndian.AppendUint16(loca, uint16(len(glyf)/2))
	head, hhea, maxp := slices.Clone(c.tables["head"]), slices.Clone(c.tables["hhea"]), slices.Clone(c.tables["maxp"])
	n := uint16(len(c.glyphs))
	binary.BigEndian.PutUint32(head[8:], 0)                          // filled in below
	binary.BigEndian.PutUint16(head[16:], uint16(u16(head, 16)&^28)) // nothing depends on instructions
	binary.BigEndian.PutUint16(head[50:], 0)                         // loca counts in units of 2
	binary.BigEndian.PutUint16(hhea[34:], n)
	binary.BigEndian.PutUint16(maxp[4:], n)
	binary.BigEndian.PutUint16(maxp[14:], 1) // no zone for instructions, and nothing else for them
	clear(maxp[16:28])
	return fontFile([]fontTable{{"glyf", glyf}, {"head", head}, {"hhea", hhea}, {"hmtx", hmtx}, {"loca", loca}, {"maxp", maxp}})
}

// fontTable is one table of a font file.
type fontTable struct {
	name  string
	bytes []byte
}

// fontFile puts tables into one file, with its sums.
func fontFile(tables []fontTable) []byte {
	const header, entry = 12, 16
	n := len(tables)
	power := 1 // the largest power of 2 up to n, and its logarithm
	log := 0
	for 2*power <= n {
		power, log = 2*power, log+1
	}
	b := binary.BigEndian.AppendUint32(nil, 0x00010000)
	for _, v := range []int{n, entry * power, log, entry * (n - power)} {
		b = binary.BigEndian.AppendUint16(b, uint16(v))
	}
	at, headAt := header+entry*n, 0
	var all []byte
	for _, t := range tables {
		padded := append(slices.Clone(t.bytes), make([]byte, -len(t.bytes)&3)...)
		if t.name == "head" {
			headAt = at
		}
		b = append(b, t.name...)
		for _, v := range []uint32{sum(padded), uint32(at), uint32(len(t.bytes))} {
			b = binary.BigEndian.AppendUint32(b, v)
		}
		all, at = append(all, padded...), at+len(padded)
	}
	b = append(b, all...)
	binary.BigEndian.PutUint32(b[headAt+8:], 0xB1B0AFBA-sum(b))
	return b
}

// sum is the checksum of a table, whose length is a multiple of 4.
func sum(b []byte) uint32 {
	total := uint32(0)
	for i := 0; i < len(b); i += 4 {
		total += binary.BigEndian.Uint32(b[i:])
	}
	return total
}
