package flow

import (
	"slices"
	"testing"
)

// oldRecordsOf derives every job of a folder.
func oldRecordsOf(t *testing.T, name string) []*OldResult {
	t.Helper()
	o := Options{Program: "1.0.0", Rule: "guarded", Paper: "a4"}
	f := openJob(t, name)
	read := Read(f, o, true)
	if len(read.Faults) > 0 {
		t.Fatalf("%s: %v", name, read.Faults[0])
	}
	var all []*OldResult
	for i := range read.Jobs {
		r, err := OldDerive(&read.Jobs[i], f, o)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		all = append(all, r)
	}
	return all
}

// TestSummariesFollow verifies the summary of every demo job: unsigned, and
// nothing unsound in it.
func TestSummariesFollow(t *testing.T) {
	var seen []string
	for _, name := range folders(t) {
		for _, r := range oldRecordsOf(t, name) {
			pdf, err := r.Summary()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			findings, err := Verify(pdf, nil, "1.0.0")
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			for _, f := range findings {
				if f.Status.String() == "not sound" {
					t.Errorf("%s: %s", name, f.String())
				}
			}
			seen = append(seen, name)
		}
	}
	if len(slices.Compact(seen)) < 40 {
		t.Errorf("%d jobs verified (want at least 40)", len(seen))
	}
}
