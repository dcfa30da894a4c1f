package words

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// TestHeads finds a text for every code that screen, pages or page ask for: one
// without would come out as its code in words.
func TestHeads(t *testing.T) {
	asked := regexp.MustCompile(`(?:label|Head|lead|line|listed|list)\("([a-z0-9_]+)"[,)]|\{"([a-z_]+)", (?:strings\.Join|paragraphs|\d)|"(none_[a-z]+|no_declared)"`)
	n := 0
	for _, dir := range []string{"pdfout", "screen", "page"} {
		files, err := filepath.Glob("../" + dir + "/*.go")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if dir == "page" {
				b = regexp.MustCompile(`(?:list|listed|line)\("[a-z]+",`).ReplaceAll(b, nil) // there a class of HTML
			}
			for _, m := range asked.FindAllStringSubmatch(string(b), -1) {
				n++
				_, known := heads[m[1]+m[2]+m[3]]
				_, counted := countedHeads[m[1]]
				if !known && !counted {
					t.Errorf("%s: there is no text %q", file, m[1]+m[2]+m[3])
				}
			}
		}
	}
	if n < 180 {
		t.Errorf("only %d texts were looked for", n)
	}
}
