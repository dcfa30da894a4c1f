//go:build browser

package main

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// reconcile is the command line, built once.
var reconcile = sync.OnceValues(func() (string, error) {
	out := filepath.Join(scratch, "reconcile")
	said, err := exec.Command("go", "build", "-o", out, "reconcile/cmd/reconcile").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w\n%s", err, said)
	}
	return out, nil
})

// commandLine makes record and summary of a folder.
func commandLine(t testing.TB, dir string) (record, summary []byte) {
	t.Helper()
	program, err := reconcile()
	if err != nil {
		t.Fatal(err)
	}
	record, err = exec.Command(program, "summary", dir, "--json").Output()
	if len(record) == 0 {
		t.Fatalf("no record: %v", err)
	}
	path := filepath.Join(t.TempDir(), "out.pdf")
	exec.Command(program, "summary", dir, "--out", path).Run() // 1 and 2 are verdicts
	summary, err = os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return record, summary
}

// unpack writes a .zip of forms into a new folder.
func unpack(t testing.TB, packed []byte) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		content, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, f.Name), content, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// kept saves forms and summary, and compares the summary with the command
// line's of the same forms. It returns the record.
func kept(b *tab, name string) []byte {
	b.t.Helper()
	b.settled()
	b.part("keep")
	b.tap(`[data-do="zip"]`)
	dir := unpack(b.t, b.saved("forms.zip"))
	b.tap(`[data-do="pdf"]`)
	pdf := b.saved("summary.pdf")
	record, summary := commandLine(b.t, dir)
	if !bytes.Equal(pdf, summary) {
		b.t.Errorf("%s: the page's summary (%d bytes) is not the command line's (%d bytes)", name, len(pdf), len(summary))
	}
	if !bytes.Contains(pdf, []byte("%PDF-")) {
		b.t.Errorf("%s: what was saved is no PDF", name)
	}
	return record
}

// part of a record that the demo jobs of the README fix.
type part struct {
	Verdict    string          `json:"verdict"`
	Quantities json.RawMessage `json:"quantities"`
}

// The README's five tickets, typed by tapping on a telephone and on a large
// screen: summary and record are the command line's byte for byte, and their
// numbers are those of the demo jobs.
func TestFiveTicketsTyped(t *testing.T) {
	for _, size := range [][2]int64{{390, 844}, {1280, 800}} {
		t.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(t *testing.T) {
			b := open(t, size[0], size[1])
			typePlates(b)
			for i, s := range fiveTickets {
				if i == 4 {
					typePads(b)
				}
				typeSlip(b, s)
				if i == 4 {
					describePads(b)
				}
				name := fmt.Sprintf("five-tickets-%d", i+1)
				record := kept(b, name)
				demo, err := os.ReadFile("../../testdata/tickets/" + name + "/expected.json")
				if err != nil {
					t.Fatal(err)
				}
				var got, want part
				if json.Unmarshal(record, &got) != nil || json.Unmarshal(demo, &want) != nil || len(want.Quantities) < 100 {
					t.Fatalf("%s: records cannot be read", name)
				}
				if got.Verdict != want.Verdict || string(got.Quantities) != string(want.Quantities) {
					t.Errorf("%s: %s %s\nwant %s %s", name, got.Verdict, got.Quantities, want.Verdict, want.Quantities)
				}
				clearSlips(b)
			}
			b.quiet()
		})
	}
}

// quiet ends the test if the page asked anything of the network, or an error
// was thrown.
func (b *tab) quiet() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.requests) != 1 || !strings.HasPrefix(b.requests[0], "file://") {
		b.t.Errorf("requests: %q (want the file alone)", b.requests)
	}
	if len(b.errors) > 0 {
		b.t.Errorf("errors: %q", b.errors)
	}
}
