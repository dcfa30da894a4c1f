//go:build browser

package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Every question of the core is shown in the browser at the line that it is
// asked of, and answered there.
func TestEveryQuestionInTheBrowser(t *testing.T) {
	files, err := filepath.Glob("../../internal/page/testdata/questions/*.txtar")
	if err != nil || len(files) < 19 {
		t.Fatalf("%d questions (%v)", len(files), err)
	}
	b := open(t, 390, 844)
	for _, file := range files {
		code := strings.TrimSuffix(filepath.Base(file), ".txtar")
		part, forms := unpacked(t, file)
		b.part("have")
		b.give(`[data-do="files"][data-at="have"]`, forms...)
		b.wait(`document.body.dataset.part === "answer"`)
		b.part(part)
		at := `#` + part + ` [data-question="` + code + `"]`
		b.wait(`document.querySelector('` + at + `')`)
		if code == "bars_not_stated" { // answered by saying how it travels
			b.choose(selector("one", "outfit.csv|travels"), "plain")
			b.wait(`!document.querySelector('` + at + `')`)
			continue
		}
		b.tap(at + ` [data-do="confirm"]`)
		b.wait(`!document.querySelector('` + at + `') || document.querySelector('` + at + ` [data-do="unconfirm"]')`)
	}
	b.quiet()
}

// unpacked writes the forms of a file into a new folder; its first line ends
// with the part of the page that the question is shown on.
func unpacked(t testing.TB, file string) (part string, forms []string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	all := strings.Split("\n"+string(text), "\n-- ")
	for _, form := range all[1:] {
		name, content, ok := strings.Cut(form, " --\n")
		if !ok {
			t.Fatalf("%s: no end of a name", file)
		}
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(content+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		forms = append(forms, path)
	}
	return all[0][strings.LastIndex(all[0], " ")+1:], forms
}
