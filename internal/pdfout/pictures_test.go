package pdfout

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	_ "image/png"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "draw the kept pictures of pages again; look at each before keeping it")

// kept are the pages of which pictures are kept: page 1 of every example, and
// one with every rating.
func kept() map[string][]int {
	pages := map[string][]int{"over": {1, 2}}
	for name := range examples {
		if pages[name] == nil {
			pages[name] = []int{1}
		}
	}
	return pages
}

// TestPictures compares pages with pictures that somebody has looked at. Small
// differences between versions of the renderer pass; what moves, appears or
// disappears does not.
func TestPictures(t *testing.T) {
	compared := 0
	for name, pages := range kept() {
		file, _ := drawn(t, example(t, name))
		for _, n := range pages {
			t.Run(fmt.Sprint(name, n), func(t *testing.T) {
				base := filepath.Join(t.TempDir(), "page")
				tool(t, "pdftoppm", "-r", "40", "-gray", "-png", "-singlefile", "-f", fmt.Sprint(n), "-l", fmt.Sprint(n), file, base)
				got, err := os.ReadFile(base + ".png")
				if err != nil {
					t.Fatal(err)
				}
				want := filepath.Join("testdata", "pages", fmt.Sprintf("%s-%d.png", name, n))
				if *update {
					if err := os.WriteFile(want, got, 0o644); err != nil {
						t.Fatal(err)
					}
				}
				samePicture(t, want, got)
				compared++
			})
		}
	}
	if compared != len(examples)+1 {
		t.Errorf("%d pages compared, want %d", compared, len(examples)+1)
	}
}

// samePicture compares blocks of 3 by 3 pixels: on the average within 1.5 of
// 255 grey levels, and none off by more than 70.
func samePicture(t *testing.T, wantFile string, got []byte) {
	t.Helper()
	b, err := os.ReadFile(wantFile)
	if err != nil {
		t.Fatal(err)
	}
	x, y := blocks(t, b), blocks(t, got)
	if len(x) != len(y) {
		t.Fatalf("%s: another size", wantFile)
	}
	sum, most := 0, 0
	for i := range x {
		d := max(x[i]-y[i], y[i]-x[i])
		sum, most = sum+d, max(most, d)
	}
	if mean := float64(sum) / float64(len(x)); mean > 1.5 || most > 70 {
		t.Errorf("%s: differs by %.2f on the average, by %d at most", wantFile, mean, most)
	}
}

func blocks(t *testing.T, png []byte) []int {
	t.Helper()
	m, _, err := image.Decode(bytes.NewReader(png))
	if err != nil {
		t.Fatal(err)
	}
	var out []int
	for y := m.Bounds().Min.Y; y+3 <= m.Bounds().Max.Y; y += 3 {
		for x := m.Bounds().Min.X; x+3 <= m.Bounds().Max.X; x += 3 {
			sum := 0
			for i := range 9 {
				sum += int(color.GrayModel.Convert(m.At(x+i%3, y+i/3)).(color.Gray).Y)
			}
			out = append(out, sum/9)
		}
	}
	return out
}
