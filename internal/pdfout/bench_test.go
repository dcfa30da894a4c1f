package pdfout

import (
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// BenchmarkDraw draws one plain summary of six pages.
func BenchmarkDraw(b *testing.B) {
	all, err := jobs()
	if err != nil {
		b.Fatal(err)
	}
	r := all[examples["within"]]
	line, err := record.Line(nil, r)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Draw(words.Of(r, nil), line, nil, nil); err != nil {
			b.Fatal(err)
		}
	}
}
