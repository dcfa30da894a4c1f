//go:build browser

package main

import (
	"bytes"
	"cmp"
	"image"
	"image/color"
	"image/png"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
)

// Pictures of every part are kept under testdata/pictures for people to look at.
// UPDATE=1 takes them again; PICTURES=DIR writes them there too, each as long as
// its page is. They are no evidence of anything small: fonts and the smoothing
// of edges differ between machines, so that only the size and the mean lightness
// of the cells of a coarse grid are compared.
const (
	gridWidth, gridHeight = 6, 12
	// mostApart is how far the cells may be apart in the mean, of 255: text that
	// breaks elsewhere moves what is below it by a line or two.
	mostApart = 8.0
)

// picture compares what is in view with the picture that is kept of it.
func (b *tab) picture(name string) {
	b.t.Helper()
	var taken []byte
	b.do(chromedp.Evaluate(`scrollTo(0, 0); document.activeElement.blur()`, nil), chromedp.CaptureScreenshot(&taken))
	if dir := os.Getenv("PICTURES"); dir != "" {
		b.shot(filepath.Join(dir, name+".png"))
	}
	now, err := png.Decode(bytes.NewReader(taken))
	if err != nil {
		b.t.Fatal(err)
	}
	path := filepath.Join("testdata", "pictures", name+".png")
	if os.Getenv("UPDATE") != "" {
		keepPicture(b.t, path, now)
	}
	content, err := os.ReadFile(path)
	if err != nil {
		b.t.Errorf("%v (UPDATE=1 takes the pictures)", err)
		return
	}
	kept, err := png.Decode(bytes.NewReader(content))
	if err != nil {
		b.t.Fatal(err)
	}
	if now.Bounds() != kept.Bounds() {
		b.t.Errorf("%s is %v (want %v)", name, now.Bounds(), kept.Bounds())
		return
	}
	if apart := apart(lightness(now), lightness(kept)); apart > mostApart {
		b.t.Errorf("%s looks different from the picture that is kept: %.1f apart (want at most %.0f); look at both, and take it again with UPDATE=1", name, apart, mostApart)
	}
}

// lightness is the mean lightness of each cell of the grid.
func lightness(picture image.Image) []float64 {
	size := picture.Bounds()
	sums, counts := make([]float64, gridWidth*gridHeight), make([]float64, gridWidth*gridHeight)
	for y := range size.Dy() {
		for x := range size.Dx() {
			cell := y*gridHeight/size.Dy()*gridWidth + x*gridWidth/size.Dx()
			sums[cell] += float64(color.GrayModel.Convert(picture.At(size.Min.X+x, size.Min.Y+y)).(color.Gray).Y)
			counts[cell]++
		}
	}
	for i := range sums {
		sums[i] /= counts[i]
	}
	return sums
}

func apart(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += max(a[i]-b[i], b[i]-a[i])
	}
	return sum / float64(len(a))
}

// keepPicture writes a picture in its most frequent colours, which is small.
func keepPicture(t testing.TB, path string, picture image.Image) {
	t.Helper()
	count := map[color.RGBA]int{}
	size := picture.Bounds()
	for y := size.Min.Y; y < size.Max.Y; y++ {
		for x := size.Min.X; x < size.Max.X; x++ {
			count[color.RGBAModel.Convert(picture.At(x, y)).(color.RGBA)]++
		}
	}
	colours := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	var palette color.Palette
	for _, c := range colours[:min(len(colours), 16)] {
		palette = append(palette, c)
	}
	small := image.NewPaletted(size, palette)
	nearest := map[color.RGBA]uint8{}
	for _, c := range colours {
		nearest[c] = uint8(palette.Index(c))
	}
	for y := size.Min.Y; y < size.Max.Y; y++ {
		for x := size.Min.X; x < size.Max.X; x++ {
			small.SetColorIndex(x, y, nearest[color.RGBAModel.Convert(picture.At(x, y)).(color.RGBA)])
		}
	}
	var out bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, small); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, out.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// The grid tells light from dark, and one part from another.
func TestPicturesDiffer(t *testing.T) {
	var all [][]float64
	for _, name := range []string{"have-390-light", "have-390-dark", "slip-390-light", "answer-over-390-light"} {
		content, err := os.ReadFile(filepath.Join("testdata", "pictures", name+".png"))
		if err != nil {
			t.Fatal(err)
		}
		kept, err := png.Decode(bytes.NewReader(content))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, lightness(kept))
	}
	for i := range all {
		for j := range i {
			if d := apart(all[i], all[j]); d < mostApart {
				t.Errorf("pictures %d and %d are %.1f apart (want more than %.0f)", i, j, d, mostApart)
			}
		}
	}
}
