package flow

import (
	"bytes"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// jobFolders are the demo jobs: one of each kind, all invented.
const jobFolders = "../../testdata/tickets"

// openJob reads one folder of the demo jobs.
func openJob(t *testing.T, name string) Folder {
	t.Helper()
	return openFolder(filepath.Join(jobFolders, name))
}

// openFolder reads those forms of a folder that are there.
func openFolder(dir string) Folder {
	f := Folder{
		CopySize: func(copy string) (int64, error) {
			_, err := os.Stat(filepath.Join(dir, copy))
			return 0, err
		},
		ReadFile: func(copy string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, copy)) },
	}
	for _, form := range tickets.FormNames() {
		b, err := os.ReadFile(filepath.Join(dir, form))
		if err == nil {
			f.Forms = append(f.Forms, tickets.Form{Name: form, Bytes: b})
		}
	}
	return f
}

// testProgram is the version that the kept records name.
const testProgram = "2.0.0"

// firstJob reads the first job of a folder.
func firstJob(f Folder, o Options) *tickets.Job {
	jobs, _ := Read(f, o, true).All()
	return jobs[0]
}

// derived is [resultsOf] a folder of the demo jobs.
func derived(t *testing.T, name string) []*Result {
	t.Helper()
	all, err := resultsOf(openJob(t, name))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return all
}

// resultsOf derives every job of a folder.
func resultsOf(f Folder) (all []*Result, err error) {
	o := Options{Program: testProgram}
	jobs, faults := Read(f, o, true).All()
	if len(faults) > 0 {
		return nil, faults[0]
	}
	for i := range jobs {
		r, err := resultOf(jobs[i], f, o)
		if err != nil {
			return nil, err
		}
		all = append(all, r)
	}
	return all, nil
}

// recordsByFolder keeps what recordsOf has derived.
var recordsByFolder sync.Map

// recordsOf is derived, once for all tests.
func recordsOf(t *testing.T, name string) []*Result {
	t.Helper()
	if known, ok := recordsByFolder.Load(name); ok {
		return known.([]*Result)
	}
	all := derived(t, name)
	recordsByFolder.Store(name, all)
	return all
}

func folders(t *testing.T) []string {
	t.Helper()
	entries, err := os.ReadDir(jobFolders)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		if _, err := os.Stat(filepath.Join(jobFolders, e.Name(), "tickets.csv")); err == nil {
			names = append(names, e.Name())
		}
	}
	if len(names) < 40 {
		t.Fatalf("%d demo jobs (want at least 40)", len(names))
	}
	return names
}

// TestDemoJobs derives every demo job and compares with the record kept next to
// its forms (our own figures, read when they were kept; UPDATE=1 keeps new ones).
func TestDemoJobs(t *testing.T) {
	for _, name := range folders(t) {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(jobFolders, name, "expected.json")
			results := recordsOf(t, name)
			var lines []byte
			for _, r := range results {
				lines = append(lines, r.Line...)
			}
			if os.Getenv("UPDATE") != "" {
				if err := os.WriteFile(path, lines, 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			kept, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			compareLines(t, bytes.SplitAfter(kept, []byte("\n")), results)
		})
	}
}

func compareLines(t *testing.T, kept [][]byte, results []*Result) {
	t.Helper()
	if len(kept) != len(results)+1 { // the last is what follows the last newline
		t.Fatalf("%d records kept, %d derived", len(kept)-1, len(results))
	}
	for i, r := range results {
		old, err := record.Parse(kept[i], 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range record.Differences(old, r.Record) {
			t.Errorf("job %q: %s was %s and is %s", r.Record.Job, d.Path, d.Old, d.New)
		}
	}
}

// TestEveryRatingGoverns wants a demo job for each rating in which it governs.
func TestEveryRatingGoverns(t *testing.T) {
	governs := map[string]string{}
	for _, name := range folders(t) {
		for _, r := range recordsOf(t, name) {
			if c := r.Record.Governs; c != nil && r.Record.Verdict != "conflict" {
				governs[c.Rating] = name
			}
		}
	}
	for _, rating := range []string{"gvm", "gcm", "atm", "gtm", "axle", "towing", "download_max", "download_min", "d_value", "tyre", "wheel"} {
		if governs[rating] == "" {
			t.Errorf("no demo job is governed by %s", rating)
		}
	}
}

// TestSameInputSameBytes draws jobs twice.
func TestSameInputSameBytes(t *testing.T) {
	for _, name := range []string{"planetarium", "planetarium-conflict", "wheels-on-pads"} {
		var drawn [][]byte
		for range 2 {
			for _, r := range derived(t, name) {
				pdf, _, err := r.Summary(nil)
				if err != nil {
					t.Fatal(err)
				}
				drawn = append(drawn, pdf)
			}
		}
		if !bytes.Equal(drawn[0], drawn[1]) {
			t.Errorf("%s: two runs gave different bytes", name)
		}
	}
}

// TestVagueLoad: a load that no reading weighs, declared to ± 600 kg, is not
// determined (U ≤ 500 kg is asked for), and so is null, not a mass of nothing.
func TestVagueLoad(t *testing.T) {
	f := Folder{Forms: []tickets.Form{
		{Name: "tickets.csv", Bytes: []byte("ticket,setup,on_deck,reading,without\n1,trailer_alone,all,2480,crate\n")},
		{Name: "loads.csv", Bytes: []byte("load,mass,on,uncertainty\ncrate,600,trailer,300\n")},
	}}
	o := Options{Program: testProgram}
	r, err := resultOf(firstJob(f, o), f, o)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(r.Line, []byte(`"load":"crate","declared_kg":"600","solved_kg":null,"u_kg":null`)) {
		t.Errorf("loads: %+v (want no number)", r.Record.Loads)
	}
	if q := r.Record.Quantities.Get("trailer_mass"); q != nil {
		t.Errorf("trailer mass %+v (want none)", q)
	}
	if _, _, err := r.Summary(nil); err != nil {
		t.Error(err)
	}
}
