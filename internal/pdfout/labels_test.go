package pdfout

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"reconcile/internal/words"
)

// TestLabels finds a label in package words for every code that a page asks for.
func TestLabels(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	asked := regexp.MustCompile(`label\("([a-z0-9_]+)"\)|\{"([a-z_]+)", (?:strings\.Join|paragraphs|\d)|"(none_[a-z]+|no_declared)"`)
	n := 0
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range asked.FindAllStringSubmatch(string(b), -1) {
			n++
			if code := m[1] + m[2] + m[3]; !words.HasHead(code) {
				t.Errorf("%s: there is no label %q", file, code)
			}
		}
	}
	if n < 90 {
		t.Errorf("only %d labels were looked for", n)
	}
}
