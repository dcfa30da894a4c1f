package main

import (
	"os"
	"strings"
	"testing"
)

// TestMutantsAreInTheProgram draws mutants and builds the package with all of
// them in it: none is lost, and each kind is drawn.
func TestMutantsAreInTheProgram(t *testing.T) {
	p, err := load("../..", "internal/limits")
	if err != nil {
		t.Fatal(err)
	}
	c := choices{root: "../..", n: 120, seed: 3}
	if total := c.draw([]*pack{p}); total < 500 || len(p.drawn) != c.n {
		t.Errorf("%d mutants of %d drawn", len(p.drawn), total)
	}
	root, err := copied(c.root)
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(root)
	built, err := p.buildable(root, p.drawn)
	if err != nil || len(built) < c.n-2 {
		t.Errorf("%d of %d can be built (%v)", len(built), c.n, err)
	}
	var all strings.Builder
	for _, s := range p.drawn {
		all.WriteString(p.describe(s) + "\n")
	}
	for _, kind := range []string{"operator", "comparison", "boundary", "logic", "constant", "negation", "removed"} {
		if !strings.Contains(all.String(), " "+kind+": ") {
			t.Errorf("none of kind %s among\n%s", kind, all.String())
		}
	}
}
