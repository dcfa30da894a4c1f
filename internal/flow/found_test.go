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
			CopySize: func(string) (int64, error) { return 0, nil }}
		for _, form := range tickets.FormNames() {
			if b, err := os.ReadFile(filepath.Join(dir, form)); err == nil {
				f.Forms = append(f.Forms, tickets.Form{Name: form, Bytes: b})
			}
		}
		o := Options{Program: "2.0.0"}
		jobs, _ := Read(f, o, true).All()
		for i := range jobs {
			found, err := Find(jobs[i], f, o, nil)
			if err != nil {
				t.Fatal(err)
			}
			var lines [][]byte
			given := o
			given.Number, given.Replaces = "A-1", &record.Replaces{Number: "A-0", RecordSHA256: "ab", Because: "typing slip"}
			for _, o := range []Options{o, given, o} {
				r, err := found.Result(o)
				if err != nil || r.Record.Verdict != found.Verdict || r.Record.Issuer.Number != o.Number {
					t.Fatalf("%s: %+v, %v", name, r, err)
				}
				lines = append(lines, r.Line)
			}
			if !bytes.Equal(lines[0], lines[2]) || bytes.Equal(lines[0], lines[1]) {
				t.Errorf("%s: job %q built three times: first and last differ, or the number is not in it", name, jobs[i].Name)
			}
			tried++
		}
	}
	if tried < 3 {
		t.Fatalf("%d jobs tried", tried)
	}
}

// TestRecordsOutliveWhatWasFound: a record holds nothing of the memory of what was solved,
// which the jobs after it are solved in; nor do the findings of one job reach another's
// record.
func TestRecordsOutliveWhatWasFound(t *testing.T) {
	o := Options{Program: "2.0.0"}
	var results []*Result
	var lines []string
	for _, name := range []string{"planetarium", "planetarium-conflict", "day", "planetarium-conflict", "day", "planetarium"} {
		f := openJob(t, name)
		jobs, _ := Read(f, o, true).All()
		for _, job := range jobs {
			found, err := Find(job, f, o, nil)
			if err != nil {
				t.Fatal(err)
			}
			r, err := found.Result(o)
			if err != nil {
				t.Fatal(err)
			}
			found.Release()
			results, lines = append(results, r), append(lines, string(r.Line))
		}
	}
	for i, r := range results {
		if line, err := record.Line(nil, r.Record); err != nil || string(line) != lines[i] {
			t.Errorf("record %d is another one after others were built (%v)", i, err)
		}
	}
	if n := len(results); n < 6 || lines[0] != lines[n-1] {
		t.Errorf("%d records; the first and the last, of one job, should be the same", n)
	}
}

// TestNoResultWithoutLine: where the record cannot be written there is no result:
// neither a report of it nor, in verify, what a record is compared with.
func TestNoResultWithoutLine(t *testing.T) {
	f := openJob(t, "planetarium")
	o := Options{Program: "2.0.0"}
	job := firstJob(f, o)
	found, err := Find(job, f, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	job.Name = "\xff" // is not UTF-8
	if r, err := found.Result(o); r != nil || err == nil {
		t.Errorf("result %v, error %v", r, err)
	}
}

// TestASearchThatStoppedIsRecorded: contract, section 9. The record of a search
// that was cut short says so, and is read back as it was written.
func TestASearchThatStoppedIsRecorded(t *testing.T) {
	f := openJob(t, "planetarium-conflict")
	o := Options{Program: "2.0.0"}
	found, err := Find(firstJob(f, o), f, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, stopped := range []bool{false, true} {
		found.parts.Stopped = stopped
		r, err := found.Result(o)
		if err != nil {
			t.Fatal(err)
		}
		back, err := record.Parse(r.Line, 0)
		if err != nil || back.MistakesComplete == stopped || len(back.Mistakes) == 0 {
			t.Errorf("stopped %v: complete %v, %d mistakes (%v)", stopped, back.MistakesComplete, len(back.Mistakes), err)
		}
	}
}
