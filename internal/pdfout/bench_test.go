package pdfout

import (
	"os"
	"path/filepath"
	"testing"

	"reconcile/internal/record"
)

// BenchmarkDraw draws one plain summary of six pages.
func BenchmarkDraw(b *testing.B) {
	line, err := os.ReadFile(filepath.Join("testdata", "within.json"))
	if err != nil {
		b.Fatal(err)
	}
	r, err := record.Parse(line, record.MostElements)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Draw(r, line, nil, nil); err != nil {
			b.Fatal(err)
		}
	}
}
