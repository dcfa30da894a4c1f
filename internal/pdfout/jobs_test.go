package pdfout

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	record "reconcile/internal/oldrecord"
)

// jobs are the records of the jobs kept for the whole program, by folder: one
// job of each kind.
func jobs(t *testing.T) map[string]*record.Record {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "tickets", "*", "expected.json"))
	if err != nil || len(files) < 30 {
		t.Fatalf("%d jobs with a record, want at least 30 (%v)", len(files), err)
	}
	all := map[string]*record.Record{}
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for line := range bytes.Lines(b) {
			r, err := record.Parse(line)
			if err != nil {
				t.Fatal(file, err)
			}
			all[filepath.Base(filepath.Dir(file))+" "+r.Job] = r
		}
	}
	return all
}
