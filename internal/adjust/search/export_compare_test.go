//go:build compare

package search

import (
	"encoding/json"
	"os"
	"testing"
)

// exported is a problem for the comparison in testdata/compare.
type exported struct {
	Seed    uint64
	Problem Problem
	Result  Result
}

// TestExport writes 200 problems of 40 items with four options, with their
// results, to the file that SEARCH_EXPORT names.
func TestExport(t *testing.T) {
	file := os.Getenv("SEARCH_EXPORT")
	if file == "" {
		t.Fatal("SEARCH_EXPORT names no file")
	}
	var all []exported
	for seed := range uint64(200) {
		p := outfit(seed, 40)
		r, err := Solve(p, defaultNodes, nil)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, exported{seed, p, r})
	}
	text, err := json.Marshal(all)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, text, 0o644); err != nil {
		t.Fatal(err)
	}
}
