//go:build browser

package main

import (
	"bytes"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// damages are ways in which the file may come damaged, and whether that shows at
// once or only by the page not having started after a while.
var damages = []struct {
	name   string
	damage func(page []byte) []byte
	late   bool
}{
	{"cut off in the core", func(page []byte) []byte { return page[:len(page)/2] }, false},
	{"a character of the core changed", func(page []byte) []byte { return changed(page, len(page)*2/3, 'x') }, false},
	{"a character of the core lost", func(page []byte) []byte { return append(page[:len(page)/2:len(page)/2], page[len(page)/2+1:]...) }, false},
	{"the core lost", func(page []byte) []byte { return page[:bytes.Index(page, []byte(`id="core">`))+10] }, false},
	{"the worker changed", func(page []byte) []byte {
		return changed(page, bytes.Index(page, []byte("globalThis.Go = class {"))+14, ')')
	}, false},
	{"the script changed", func(page []byte) []byte { return changed(page, bytes.Index(page, []byte("const byId")), ' ') }, true},
	{"cut off in the script", func(page []byte) []byte { return page[:bytes.Index(page, []byte("const byId"))+500] }, true},
}

// changed is the page with another character at a place.
func changed(page []byte, at int, c byte) []byte {
	page = bytes.Clone(page)
	if page[at] == c {
		c++
	}
	page[at] = c
	return page
}

// A file that was damaged on its way says so.
func TestDamagedFile(t *testing.T) {
	const visible = `getComputedStyle(document.querySelector(".late")).visibility === "visible" && document.querySelector(".late").offsetHeight > 20`
	path, err := built()
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b := open(t, 390, 844)
	if got := b.eval(`getComputedStyle(document.querySelector(".late")).display`); got != "none" {
		t.Errorf("the intact page says that it does not start; display: %s", got)
	}
	for _, d := range damages {
		file := filepath.Join(t.TempDir(), "page.html")
		if err := os.WriteFile(file, d.damage(page), 0o644); err != nil {
			t.Fatal(err)
		}
		b.do(chromedp.Navigate("file://" + file))
		if d.late {
			if b.eval(visible) == "true" {
				t.Errorf("%s: it says so while an intact page may still be starting", d.name)
			}
			b.do(chromedp.Evaluate(`document.querySelector(".late").getAnimations()[0].finish()`, nil))
		}
		b.wait(visible)
		b.contains(".late", "does not start")
	}
}

// What servers, editors and mail programs do to text changes nothing: another
// character set stated, other ends of lines, a mark at the beginning, a line at
// the end.
func TestChangedOnItsWay(t *testing.T) {
	path, err := built()
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	page = append([]byte("\ufeff"), bytes.ReplaceAll(page, []byte("\n"), []byte("\r\n"))...)
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html; charset=windows-1252")
		if r.URL.Path == "/latin" {
			page = bytes.TrimPrefix(page, []byte("\ufeff"))
		}
		w.Write(append(page, "\r\n"...))
	}))
	defer server.Close()
	b := openFile(t, path, 390, 844)
	for _, way := range []string{"/", "/latin"} {
		b.do(chromedp.Navigate(server.URL + way))
		b.wait(`document.body.dataset.ready`)
		b.settled()
		if got := b.eval(`document.querySelector("#have .help").textContent + document.styleSheets.length`); got == "" || got[len(got)-1] != '1' {
			t.Errorf("%s: %q", way, got)
		}
	}
}
