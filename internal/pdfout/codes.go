package pdfout

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// Texts are coded so that common characters take one byte: ASCII as itself, the
// special ones below it. Every other character takes two, the first above 127. A
// page's content is half as long as in UTF-16, its words are found in it as they
// are printed, and packing takes half the time.

// special are the common characters beyond ASCII: what the pages' own words need.
const special = "·±–—…×²³°χΦσ√≤≥−→" + string(lacking)

// beyondSpecial is above all special characters.
const beyondSpecial = 0x2600

// commonCodes is how many codes of one byte there are, used or not; the glyph of
// each has its number.
const commonCodes = 128

// specialCodes are the codes of the special characters: 1 and on, but for the two
// that a reader may take for the end of a line. Other characters have 0.
var specialCodes = func() (codes [beyondSpecial]byte) {
	next := byte(1)
	for _, r := range special {
		for next == '\n' || next == '\r' {
			next++
		}
		codes[r] = next
		next++
	}
	return codes
}()

// codeOf is the one-byte code of a common character, or false.
func codeOf(r rune) (byte, bool) {
	if r >= ' ' && r <= '~' {
		return byte(r), true
	}
	if r == noBreak {
		return ' ', true
	}
	if r < 0 || r >= beyondSpecial {
		return 0, false
	}
	code := specialCodes[r]
	return code, code > 0
}

// longCode is the code of a character that is not common. Neither face has two
// characters that differ in the first bit alone (TestCodes), so each has its own.
func longCode(r rune) uint16 { return uint16(r) | 0x8000 }

// commonRunes are the common characters by their code, 0 where a code has none.
var commonRunes = func() (all [commonCodes]rune) {
	for r := ' '; r <= '~'; r++ {
		all[r] = r
	}
	for _, r := range special {
		all[specialCodes[r]] = r
	}
	return all
}()

// isCommon reports whether r is one of the common characters.
func isCommon(r rune) bool {
	_, common := codeOf(r)
	return common && r != noBreak
}

// appendText appends text as a string between brackets, after a space or nothing.
// Characters that are not common are noted in more.
func appendText(b []byte, before, text string, more map[rune]bool) []byte {
	b = append(append(b, '('), before...)
	plain := plainPart(text)
	b = appendBytes(b, text[:plain])
	for _, r := range text[plain:] {
		if code, common := codeOf(r); common {
			b = appendCode(b, code)
			continue
		}
		more[r] = true
		code := longCode(r)
		b = appendCode(appendCode(b, byte(code>>8)), byte(code))
	}
	return append(b, ')')
}

// appendBytes appends what is between the brackets of a string.
func appendBytes(b []byte, s string) []byte {
	from := 0
	for i := range len(s) {
		switch s[i] {
		case '(', ')', '\\', '\r':
			b = appendCode(append(b, s[from:i]...), s[i])
			from = i + 1
		}
	}
	return append(b, s[from:]...)
}

// appendCode appends a byte of a string between brackets, escaped where it
// would end it or be read as another line end.
func appendCode(b []byte, c byte) []byte {
	switch c {
	case '(', ')', '\\':
		return append(b, '\\', c)
	case '\r':
		return append(b, '\\', 'r')
	}
	return append(b, c)
}

// codeSpace begins a map of the codes.
const codeSpace = "2 begincodespacerange\n<00> <7F>\n<8000> <FFFF>\nendcodespacerange\n"

// glyphMap is the map from codes to the numbers of glyphs, of which those beyond
// the common ones follow them.
//
// Source: ISO 32000-1, 9.7.5.4; at most 100 entries a block.
func glyphMap(more []rune) []byte {
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo 3 dict dup begin /Registry (Adobe) def /Ordering (Identity) def /Supplement 0 def end def\n" +
		"/CMapName /" + mapName + " def\n/CMapType 1 def\n/WMode 0 def\n" + codeSpace +
		"1 begincidrange\n<00> <7F> 0\nendcidrange\n")
	next := commonCodes
	for part := range slices.Chunk(more, 100) {
		fmt.Fprintf(&b, "%d begincidchar\n", len(part))
		for _, r := range part {
			fmt.Fprintf(&b, "<%04X> %d\n", longCode(r), next)
			next++
		}
		b.WriteString("endcidchar\n")
	}
	b.WriteString(mapEnd)
	return b.Bytes()
}

const (
	mapName = "Summary-H"
	mapEnd  = "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend"
)

// toUnicode is the map from codes to text, for readers that search and copy.
//
// Source: ISO 32000-1, 9.10.3; at most 100 entries a block.
func toUnicode(more []rune) []byte {
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		codeSpace + "1 beginbfrange\n<20> <7E> <0020>\nendbfrange\n")
	fmt.Fprintf(&b, "%d beginbfchar\n", utf8.RuneCountInString(special))
	for _, r := range special {
		fmt.Fprintf(&b, "<%02X> <%04X>\n", specialCodes[r], r)
	}
	b.WriteString("endbfchar\n")
	for part := range slices.Chunk(more, 100) {
		fmt.Fprintf(&b, "%d beginbfchar\n", len(part))
		for _, r := range part {
			fmt.Fprintf(&b, "<%04X> <%04X>\n", longCode(r), r)
		}
		b.WriteString("endbfchar\n")
	}
	b.WriteString(mapEnd)
	return b.Bytes()
}

// widths is the /W array of a font: the advances of the common characters, then
// those of more.
func (f *face) widths(more []rune) string {
	var b strings.Builder
	b.WriteByte('[')
	for code, w := range f.common {
		switch {
		case w < 0:
			continue
		case f.common[code-1] < 0: // code 0 is no character
			fmt.Fprintf(&b, " %d [", code)
		}
		fmt.Fprintf(&b, "%d", w)
		if code+1 == commonCodes || f.common[code+1] < 0 {
			b.WriteByte(']')
		} else {
			b.WriteByte(' ')
		}
	}
	if len(more) > 0 {
		fmt.Fprintf(&b, " %d [", commonCodes)
		for _, r := range more {
			fmt.Fprintf(&b, "%d ", f.advance(r))
		}
		b.WriteByte(']')
	}
	b.WriteByte(']')
	return b.String()
}
