package pdfout

import (
	"encoding/xml"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
	"pgregory.net/rapid"

	"reconcile/internal/record"
	"reconcile/internal/study"
)

// word is a word of a page and where it is, in points.
type word struct {
	XMin float64 `xml:"xMin,attr"`
	YMin float64 `xml:"yMin,attr"`
	XMax float64 `xml:"xMax,attr"`
	YMax float64 `xml:"yMax,attr"`
	Text string  `xml:",chardata"`
}

type seenPage struct {
	Width  float64 `xml:"width,attr"`
	Height float64 `xml:"height,attr"`
	Words  []word  `xml:"word"`
}

// pagesOf reads where pdftotext sees the words of a file.
func pagesOf(t *testing.T, file string) []seenPage {
	t.Helper()
	out := tool(t, "pdftotext", "-bbox", file, "-")
	var doc struct {
		Pages []seenPage `xml:"body>doc>page"`
	}
	d := xml.NewDecoder(strings.NewReader(out))
	d.Strict = false
	if err := d.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	return doc.Pages
}

// glyphHeight is the height of a word's box in ems: ascent and descent of the
// faces (0.905 + 0.212, their hhea tables).
const glyphHeight = 1.117

func TestLayout(t *testing.T) {
	words := 0
	for name, r := range most(t) {
		t.Run(name, func(t *testing.T) {
			file, _ := drawn(t, r)
			pages := pagesOf(t, file)
			for n, p := range pages {
				for i, w := range p.Words {
					if bad := misplaced(p, w); bad != "" {
						t.Errorf("page %d: %q %s: %+v", n+1, w.Text, bad, w)
					}
					for _, v := range p.Words[i+1:] {
						if overlap(w, v) {
							t.Errorf("page %d: %q over %q: %+v %+v", n+1, w.Text, v.Text, w, v)
						}
					}
				}
				words += len(p.Words)
			}
			if len(pages) < 2 {
				t.Errorf("%d pages", len(pages))
			}
		})
	}
	if least := study.Size(100000, 10000, 10000); words < least {
		t.Errorf("only %d words were looked at", words)
	}
}

// misplaced says what is wrong with the place of a word.
func misplaced(p seenPage, w word) string {
	const mm = 72 / 25.4
	const margin = 14 * mm // half of it is enough for any printer
	switch {
	case w.XMin < margin || w.XMax > p.Width-margin || w.YMin < 7*mm || w.YMax > p.Height-6*mm:
		return "is in the margin"
	case (w.YMax-w.YMin)/glyphHeight < 7.49: // 7.5 points, less the rounding of the box
		return fmt.Sprintf("is set in %.2f points", (w.YMax-w.YMin)/glyphHeight)
	}
	return ""
}

// overlap reports whether two boxes share more than the rounding of the file.
func overlap(a, b word) bool {
	const slack = 0.35
	return min(a.XMax, b.XMax)-max(a.XMin, b.XMin) > slack && min(a.YMax, b.YMax)-max(a.YMin, b.YMin) > slack
}

// TestNastyText finds names in full, and what cannot be printed replaced.
func TestNastyText(t *testing.T) {
	r := nasty(t)
	file, _ := drawn(t, r)
	text := tool(t, "pdftotext", "-raw", file, "-")
	for _, want := range []string{"Αστέρια και", "Планетарий", "Ľubomíra", "Křížová", "□□□", `)(\ <<>> (Tj □`} {
		if !strings.Contains(text, want) {
			t.Errorf("the pages lack %q", want)
		}
	}
	first := pagesOf(t, file)[0]
	for i, full := range []string{r.Outfit.Vehicle + r.Outfit.VehicleID, r.Outfit.Trailer} {
		column := "" // the words of column i+1 of the four that say who and what
		for _, w := range first.Words {
			from := side/pt + float64(i+1)*(first.Width-2*side/pt)/4
			if x := w.XMin; x > from-3 && x < from+3 {
				column += w.Text
			}
		}
		if !strings.Contains(column, full) {
			t.Errorf("page 1 cuts %q: %q", full, column)
		}
	}
}

func TestClean(t *testing.T) {
	f := theFaces
	for in, want := range map[string]string{
		"plain":                       "plain",
		"± U ≤ 3 · χ² − √ Φ":          "± U ≤ 3 · χ² − √ Φ",
		"a\nb\r\tc\u00a0d\u2009e":     "a b  c\u00a0d e", // one that no line breaks at stays so
		"\x00\x1b[31m":                "□□[31m",
		"\U0001F52D\U00010400":        "□□",
		"\u202Eabc\u200B":             "□abc□", // order of reading, nothing visible
		"天 שלום":                      "□ □□□□",
		"\xff\xfe":                    "□□",
		"Zoe\u0308 Kova\u0301c\u030c": "Zoë Kováč", // accents typed separately
		"Žluťoučký Ωμέγα Щука":        "Žluťoučký Ωμέγα Щука",
	} {
		if got := f.clean(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// TestCleanAlways: nothing is dropped, and all that is left can be printed.
func TestCleanAlways(t *testing.T) {
	f := theFaces
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.String().Draw(t, "text")
		out := f.clean(in)
		if utf8.RuneCountInString(out) != utf8.RuneCountInString(norm.NFC.String(in)) {
			t.Fatalf("%q became %q", in, out)
		}
		for _, r := range out {
			if !f.regular.has(r) || !f.bold.has(r) || r < ' ' {
				t.Fatalf("%q left %U", in, r)
			}
		}
	})
}

// TestWrapAlways: no letter is lost and no line is too wide.
func TestWrapAlways(t *testing.T) {
	f := theFaces
	rapid.Check(t, func(t *rapid.T) {
		in := f.clean(rapid.StringOf(rapid.RuneFrom([]rune("abcWi .,+/-äΩЖ07±"))).Draw(t, "text"))
		w := length(rapid.IntRange(12*pt, 200*pt).Draw(t, "width")) // 12 points hold any one letter
		lines := f.regular.wrap(nil, new([]string), in, 9*pt, w)
		if got, want := strings.ReplaceAll(strings.Join(lines, ""), " ", ""), strings.ReplaceAll(in, " ", ""); got != want {
			t.Fatalf("%q became %q", in, lines)
		}
		for _, l := range lines {
			if f.regular.width(l, 9*pt) > w {
				t.Fatalf("%q is wider than %v", l, w)
			}
		}
		if len(lines) == 0 {
			t.Fatal("no line at all")
		}
	})
}

// TestAdvances holds three widths against those of the family that this one
// was drawn to fit, in thousandths of an em (from memory): a figure 556, A 667,
// a space 278.
func TestAdvances(t *testing.T) {
	f := theFaces
	for r, want := range map[rune]int{'0': 556, 'A': 667, ' ': 278} {
		if got := f.regular.advance(r); got != want {
			t.Errorf("%q is %d wide, want %d", r, got, want)
		}
	}
}

// TestOutlineOfOutfit: the drawing is to scale where the lengths can be, and
// says so only then.
func TestOutlineOfOutfit(t *testing.T) {
	n := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		w, a, l *float64
		kind    string
		scaled  bool
	}{
		{n(3220), n(1240), n(3950), "centre_axle", true},
		{n(3220), n(1240), nil, "centre_axle", false},
		{nil, nil, nil, "centre_axle", false},
		{n(3220), n(1), n(3950), "centre_axle", false},     // no room for a wheel
		{n(3220), n(1240), n(99000), "centre_axle", false}, // longer than any road allows
		{n(3220), n(-300), n(6500), "semi", true},          // the coupling ahead of the rear axle
		{n(3220), n(0), n(6500), "drawbar", false},
	} {
		of := record.Outfit{TrailerKind: c.kind}
		of.LengthsMm.Wheelbase, of.LengthsMm.RearAxleToCoupling, of.LengthsMm.CouplingToTrailerAxle = c.w, c.a, c.l
		o := outlineOf(&of)
		if o.scaled != c.scaled {
			t.Errorf("%+v is scaled: %v", c, o.scaled)
		}
		if c.scaled && (o.rear != int(*c.w) || o.coupling != int(*c.w+*c.a) || o.trailer != int(*c.w+*c.a+*c.l)) {
			t.Errorf("%+v became %+v", c, o)
		}
	}
}

func TestSpread(t *testing.T) {
	// worked by hand: three labels 20 wide, two of them on one spot
	got := spread([]length{50, 50, 95}, []length{20, 20, 20}, 0, 100)
	for i, want := range []length{50, 70, 90} {
		if got[i] != want {
			t.Errorf("label %d at %v, want %v", i, got[i], want)
		}
	}
}
