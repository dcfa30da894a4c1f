package pdfout

import (
	"encoding/binary"
	"unicode/utf16"
)

// fixed is a number of ICC profiles, in 65,536ths.
type fixed = int32

// The primaries of IEC 61966-2-1 (x, y: red 0.64, 0.33; green 0.30, 0.60; blue
// 0.15, 0.06; white 0.3127, 0.3290), adapted to the white D50 (0.9642, 1,
// 0.8249) of ICC profiles by the Bradford matrix, computed in exact fractions.
var (
	whiteD50   = []fixed{63190, 65536, 54061}
	primaries  = map[string][]fixed{"rXYZ": {28576, 14581, 912}, "gXYZ": {25239, 46983, 6361}, "bXYZ": {9375, 3972, 46787}}
	adaptation = []fixed{68674, 1502, -3291, 1939, 64912, -1119, -606, 988, 49262}
	// curve is ((r + 0.055)/1.055)^2.4 from 0.04045, r/12.92 below, as
	// g, a, b, c, d of (a·r + b)^g and c·r from d.
	curve = []fixed{157286, 62119, 3417, 5072, 2651}
)

// colourProfile is an ICC profile of sRGB.
//
// Source: ICC.1:2004-10 (version 4.2), 7.2 (header), 9 (tags of a
// three-component matrix-based display profile), 10 (types).
func colourProfile() []byte {
	tags := []struct{ name, body string }{
		{"desc", unicodeTag(colourSpace)},
		{"cprt", unicodeTag("none")},
		{"wtpt", numbersTag("XYZ ", whiteD50)},
		{"chad", numbersTag("sf32", adaptation)},
		{"rXYZ", numbersTag("XYZ ", primaries["rXYZ"])},
		{"gXYZ", numbersTag("XYZ ", primaries["gXYZ"])},
		{"bXYZ", numbersTag("XYZ ", primaries["bXYZ"])},
		{"rTRC", curveTag()}, {"gTRC", curveTag()}, {"bTRC", curveTag()},
	}
	const header, entry = 128, 12
	at := header + 4 + entry*len(tags)
	table := binary.BigEndian.AppendUint32(nil, uint32(len(tags)))
	var bodies []byte
	for _, t := range tags {
		table = append(table, t.name...)
		table = binary.BigEndian.AppendUint32(table, uint32(at+len(bodies)))
		table = binary.BigEndian.AppendUint32(table, uint32(len(t.body)))
		bodies = append(bodies, t.body...)
		for len(bodies)%4 > 0 {
			bodies = append(bodies, 0)
		}
	}
	return append(append(profileHeader(at+len(bodies)), table...), bodies...)
}

// profileHeader describes a profile of size bytes.
func profileHeader(size int) []byte {
	h := make([]byte, 128)
	binary.BigEndian.PutUint32(h, uint32(size))
	copy(h[8:], "\x04\x20\x00\x00mntrRGB XYZ ") // version 4.2, a display, its colours, by way of XYZ
	binary.BigEndian.PutUint16(h[24:], 2026)    // the date it was written: year, month, day
	copy(h[26:], "\x00\x01\x00\x01")
	copy(h[36:], "acsp")
	for i, v := range whiteD50 {
		// The header has the white of the connection space, rounded as ICC.1 prints it.
		binary.BigEndian.PutUint32(h[68+4*i:], uint32(v))
	}
	return h
}

// numbersTag is a tag that holds numbers.
func numbersTag(kind string, values []fixed) string {
	b := append([]byte(kind), 0, 0, 0, 0)
	for _, v := range values {
		b = binary.BigEndian.AppendUint32(b, uint32(v))
	}
	return string(b)
}

// curveTag is a parametric curve of type 3, see [curve].
func curveTag() string {
	tag := numbersTag("para", curve)
	return tag[:8] + "\x00\x03\x00\x00" + tag[8:]
}

// unicodeTag is a text in one language.
func unicodeTag(s string) string {
	units := utf16.Encode([]rune(s))
	b := []byte("mluc\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x00\x0cenUS")
	b = binary.BigEndian.AppendUint32(b, uint32(2*len(units)))
	b = binary.BigEndian.AppendUint32(b, 28) // where the text begins
	for _, u := range units {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return string(b)
}
