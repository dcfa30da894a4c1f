package record

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// FuzzParse: what Parse accepts is written again as the same bytes, and nothing
// makes it fail in another way than with an error. Seeds are the golden records
// of the demo jobs.
func FuzzParse(f *testing.F) {
	paths, err := filepath.Glob("../../testdata/tickets/*/expected.json")
	if err != nil || len(paths) < 40 {
		f.Fatalf("%d golden records (%v)", len(paths), err)
	}
	for _, path := range paths {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		for line := range bytes.Lines(b) {
			f.Add(line)
		}
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		r, err := Parse(line, 0)
		if err != nil {
			return
		}
		again, err := Line(nil, r)
		if err != nil || !bytes.Equal(again, line) {
			t.Fatalf("accepted, and written otherwise (%v)", err)
		}
	})
}
