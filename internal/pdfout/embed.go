package pdfout

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/jung-kurt/gofpdf"
)

// The faces are put into the file here and not by the PDF library, which
// would read and cut them anew for every document: most of the time that a
// summary took. Text is coded in UTF-16, one unit a glyph, so that a page's
// content can be read without its fonts.

// common are the characters of every embedded face: what the pages' own words
// need. Names with others make a subset of their own.
var common = func() []rune {
	all := []rune("·±–—…×²³°χΦσ√≤≥−→" + string(lacking))
	for r := ' '; r <= '~'; r++ {
		all = append(all, r)
	}
	slices.Sort(all)
	return all
}()

// isCommon reports whether r is one of the common characters.
func isCommon(r rune) bool {
	if r >= ' ' && r <= '~' {
		return true
	}
	_, found := slices.BinarySearch(common, r)
	return found
}

// subset is a face cut down to some characters: the objects that embed it,
// without the references between them.
type subset struct {
	program, glyphs, unicode []byte // streams
	widths                   string
}

// cut keeps the subsets made so far, by the characters beyond the common ones.
// A day's names need few; the bound is for whoever feeds it others.
var cut = struct {
	sync.Mutex
	made map[string][2]*subset
}{made: map[string][2]*subset{}}

// keptSubsets bounds cut: some 40 kB each.
const keptSubsets = 64

// subsets gives both faces cut down to the common characters and more.
func (f *faces) subsets(more []rune) ([2]*subset, error) {
	key := string(more)
	cut.Lock()
	both, made := cut.made[key]
	cut.Unlock()
	if made {
		return both, nil
	}
	runes := append(slices.Clone(common), more...)
	slices.Sort(runes)
	for i, face := range []*face{f.regular, f.bold} {
		s, err := face.subset(runes)
		if err != nil {
			return both, err
		}
		both[i] = s
	}
	cut.Lock()
	defer cut.Unlock()
	if len(cut.made) >= keptSubsets {
		clear(cut.made)
	}
	cut.made[key] = both
	return both, nil
}

// subset cuts the face down to runes, which are sorted.
func (f *face) subset(runes []rune) (*subset, error) {
	ttf := gofpdf.UTF8CutFont(bytes.Clone(f.ttf), string(runes)) // it writes into what it is given
	tables, err := fontTables(ttf)
	if err != nil {
		return nil, err
	}
	glyphs, err := characterMap(tables["cmap"])
	if err != nil {
		return nil, err
	}
	ids := make([]byte, 2*(int(runes[len(runes)-1])+1))
	for _, r := range runes {
		ids[2*r], ids[2*r+1] = byte(glyphs[r]>>8), byte(glyphs[r])
		if glyphs[r] == 0 {
			return nil, fmt.Errorf("the cut face lacks %U", r)
		}
	}
	return &subset{
		program: stream(fmt.Sprintf("/Length1 %d", len(ttf)), ttf, facePackers),
		glyphs:  stream("", ids, facePackers),
		unicode: stream("", toUnicode(runes), facePackers),
		widths:  f.widths(runes),
	}, nil
}

// widths is the /W array of a font: a run of widths for every run of characters.
func (f *face) widths(runes []rune) string {
	var b strings.Builder
	for i, r := range runes {
		if i == 0 || r != runes[i-1]+1 {
			if i > 0 {
				b.WriteString("] ")
			}
			fmt.Fprintf(&b, "%d [", r)
		}
		fmt.Fprintf(&b, "%d ", f.advances[r])
	}
	return "[" + b.String() + "]]"
}

// toUnicode is the map from codes to text, for readers that search and copy.
//
// Source: ISO 32000-1, 9.10.3; at most 100 entries a block.
func toUnicode(runes []rune) []byte {
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	for part := range slices.Chunk(runes, 100) {
		fmt.Fprintf(&b, "%d beginbfchar\n", len(part))
		for _, r := range part {
			fmt.Fprintf(&b, "<%04X> <%04X>\n", r, r)
		}
		b.WriteString("endbfchar\n")
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend")
	return b.Bytes()
}

// embed adds the objects of a subset and returns the number of its font.
//
// Source: ISO 32000-1, 9.7 (composite fonts) and 9.8 (font descriptors).
func (o *objects) embed(f *face, name string, s *subset) int {
	program, glyphs, unicode := o.add(s.program), o.add(s.glyphs), o.add(s.unicode)
	m := f.metrics
	descriptor := o.add(fmt.Appendf(nil, "<< /Type /FontDescriptor /FontName /%s /Flags 4 /FontBBox [%d %d %d %d] /ItalicAngle 0 /Ascent %d /Descent %d /CapHeight %d /StemV %d /FontFile2 %d 0 R >>",
		name, m.box[0], m.box[1], m.box[2], m.box[3], m.ascent, m.descent, m.capHeight, m.stem, program))
	cid := o.add(fmt.Appendf(nil, "<< /Type /Font /Subtype /CIDFontType2 /BaseFont /%s /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> /FontDescriptor %d 0 R /DW 1000 /W %s /CIDToGIDMap %d 0 R >>",
		name, descriptor, s.widths, glyphs))
	return o.add(fmt.Appendf(nil, "<< /Type /Font /Subtype /Type0 /BaseFont /%s /Encoding /Identity-H /DescendantFonts [%d 0 R] /ToUnicode %d 0 R >>", name, cid, unicode))
}

// metrics are what a font descriptor says, in thousandths of an em.
type metrics struct {
	box                              [4]int
	ascent, descent, capHeight, stem int
}

// readMetrics reads them from the tables head, hhea and OS/2. The thickness of
// stems is not in the file; it is estimated from the weight, as is usual.
func readMetrics(head, hhea, os2 []byte) (metrics, error) {
	if len(head) < 44 || len(os2) < 90 {
		return metrics{}, errFont
	}
	em, weight := u16(head, 18), u16(os2, 4)
	at := func(b []byte, i int) int { return int(int16(u16(b, i))) * 1000 / em }
	return metrics{
		box:    [4]int{at(head, 36), at(head, 38), at(head, 40), at(head, 42)},
		ascent: at(hhea, 4), descent: at(hhea, 6), capHeight: at(os2, 88),
		stem: 50 + weight*weight/(65*65),
	}, nil
}
