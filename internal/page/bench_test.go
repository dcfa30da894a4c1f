package page

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"reconcile/internal/record"
)

// BenchmarkKeystroke is one digit typed into a reading, up to the HTML of its
// answer.
func BenchmarkKeystroke(b *testing.B) {
	paths, err := filepath.Glob("../../testdata/tickets/five-tickets-all/*.csv")
	if err != nil || len(paths) == 0 {
		b.Fatal("no forms")
	}
	var files []record.File
	for _, path := range paths {
		content, err := os.ReadFile(path)
		if err != nil {
			b.Fatal(err)
		}
		files = append(files, record.File{Name: filepath.Base(path), Bytes: content})
	}
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: files}, {Do: "goto", Value: "slip"}})
	for i := range b.N {
		pg.do([]event{{Do: "cell", At: "tickets.csv|0|reading", Value: []string{"5.84", "5.82"}[i%2]}})
	}
}
