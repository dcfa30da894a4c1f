package flow

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// TestFoundIsUnchanged: building a record changes nothing of what it is built
// from, so that the one with a number is the one without but for the number.
func TestFoundIsUnchanged(t *testing.T) {
	tried := 0
	for _, name := range []string{"planetarium", "planetarium-conflict", "day"} {
		dir := filepath.Join("../../testdata/tickets", name)
		f := Folder{ReadFile: func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, name)) },
			CopyStat: func(string) tickets.CopyStat { return tickets.CopyStat{Found: true, Plain: true} }}
		for _, form := range tickets.FormNames() {
			if b, err := os.ReadFile(filepath.Join(dir, form)); err == nil {
				f.Forms = append(f.Forms, tickets.Form{Name: form, Bytes: b})
			}
		}
		o := Options{Program: "2.0.0"}
		read := Read(f, o, true)
		for i := range read.Jobs {
			found, err := Find(&read.Jobs[i], f, o)
			if err != nil {
				t.Fatal(err)
			}
			var lines [][]byte
			for _, g := range []Given{{}, {Number: "A-1", Replaces: &record.Replaces{Number: "A-0", RecordSHA256: "ab", Because: "typing slip"}}, {}} {
				r, err := found.Result(o, g)
				if err != nil || r.Record.Verdict != found.Verdict() || r.Record.Issuer.Number != g.Number {
					t.Fatalf("%s: %+v, %v", name, r, err)
				}
				lines = append(lines, r.Line)
			}
			if !bytes.Equal(lines[0], lines[2]) || bytes.Equal(lines[0], lines[1]) {
				t.Errorf("%s: job %q built three times: first and last differ, or the number is not in it", name, read.Jobs[i].Name)
			}
			tried++
		}
	}
	if tried < 3 {
		t.Fatalf("%d jobs tried", tried)
	}
}
