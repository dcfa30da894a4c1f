package page

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/words"
)

var (
	saidKey     = regexp.MustCompile(`say\("([a-z0-9_]*)"`)
	textKey     = regexp.MustCompile(`(?m)^\t"([a-z0-9_]+)": `)
	ownSentence = regexp.MustCompile(`"[^"]*[a-z]+ [a-z]+ [a-z]+[^"]*"`)
)

// Every text that the page asks for is in package words, every text there is
// asked for, and no file of the page holds a sentence of its own.
func TestTextsAreInWords(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files (%v)", len(files), err)
	}
	asked := map[string]bool{}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, found := range saidKey.FindAllStringSubmatch(string(content), -1) {
			asked[found[1]] = true
			if words.OnPage(found[1]) == "" {
				t.Errorf("%s: words has no text %q", file, found[1])
			}
		}
		for line := range strings.SplitSeq(string(content), "\n") {
			if code, _, _ := strings.Cut(line, "//"); ownSentence.MatchString(code) && !strings.Contains(code, "Errorf(") && !strings.Contains(code, "errors.New(") && file != "warm.go" {
				t.Errorf("%s holds a sentence: %s", file, strings.TrimSpace(line))
			}
		}
	}
	table, err := os.ReadFile("../words/page_text.go")
	if err != nil {
		t.Fatal(err)
	}
	known := textKey.FindAllStringSubmatch(string(table), -1)
	if len(known) < 200 {
		t.Fatalf("%d texts", len(known))
	}
	for _, k := range known {
		if !asked[k[1]] {
			t.Errorf("nothing asks for the text %q", k[1])
		}
	}
}
