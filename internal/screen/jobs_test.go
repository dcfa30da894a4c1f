package screen

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// demoJobs derives every demo job of the program, by folder and job.
func demoJobs(t *testing.T) map[string]*record.Record {
	t.Helper()
	files, _ := filepath.Glob("../../testdata/tickets/*/tickets.csv")
	all := map[string]*record.Record{}
	for _, file := range files {
		dir := filepath.Dir(file)
		f := flow.Folder{ReadFile: func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, name)) },
			CopySize: func(name string) (int64, error) {
				_, err := os.Stat(filepath.Join(dir, name))
				return 0, err
			}}
		for _, form := range tickets.FormNames() {
			if b, err := os.ReadFile(filepath.Join(dir, form)); err == nil {
				f.Forms = append(f.Forms, tickets.Form{Name: form, Bytes: b})
			}
		}
		jobs, _ := flow.Read(f, flow.Options{}, true).All()
		for i := range jobs {
			found, err := flow.Find(jobs[i], f, flow.Options{Program: "2.0.0"}, nil)
			if err != nil {
				t.Fatal(err)
			}
			r, err := found.Result(flow.Options{Program: "2.0.0"})
			if err != nil {
				t.Fatal(file, err)
			}
			all[filepath.Base(dir)+" "+r.Record.Job] = r.Record
		}
	}
	if len(all) < 48 {
		t.Fatalf("%d demo jobs, want at least 48", len(all))
	}
	return all
}

// TestDemoJobs: whatever is derived is printed in 80 columns, with the fixed
// leads in their order, and no row that is over in the second table.
func TestDemoJobs(t *testing.T) {
	over := 0
	for name, r := range demoJobs(t) {
		var b bytes.Buffer
		if err := Report(&b, words.Of(r, nil)); err != nil {
			t.Fatal(err)
		}
		text, at := b.String(), 0
		for _, lead := range []string{"do now: ", "\nverdict: ", "\nwhy: ", "\nnot weighed: ", "\nnot given: ", "\ndeclared: ", "\nnext: "} {
			i := strings.Index(text[at:], lead)
			if i < 0 {
				t.Errorf("%s: %q is missing or out of order:\n%s", name, lead, text)
				break
			}
			at += i
		}
		for i, l := range strings.Split(text, "\n") {
			if cells(l) > columns || strings.TrimRight(l, " ") != l {
				t.Errorf("%s:%d: not 80 plain columns: %q", name, i+1, l)
			}
			if strings.HasPrefix(l, "±") || strings.HasSuffix(l, " ±") || strings.TrimSpace(l) == "kg" {
				t.Errorf("%s:%d: a number is broken: %q", name, i+1, l)
			}
		}
		if _, others, found := strings.Cut(text, words.Of(r, nil).Head("others")); found {
			table, _, _ := strings.Cut(others, "\n\n")
			if strings.Contains(table, " over") {
				t.Errorf("%s: a row that is over is hidden:\n%s", name, table)
			}
			over++
		}
	}
	if over < 10 {
		t.Errorf("%d second tables were looked at", over)
	}
}
