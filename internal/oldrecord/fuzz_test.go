package record

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

// fuzzSeeds is how many records the demo jobs keep at least.
const fuzzSeeds = 45

// TestParseRefusesMore wants nothing to follow a record: it would be attached,
// hashed and never looked at.
func TestParseRefusesMore(t *testing.T) {
	line, err := new(Record).Line()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Parse(line); err != nil {
		t.Fatal(err)
	}
	for _, more := range []string{"x", "{}", "\x00", "null\n", "}"} {
		if _, err := Parse(append(bytes.Clone(line), more...)); err == nil {
			t.Errorf("a record followed by %q is read", more)
		}
	}
}

// FuzzParse reads any bytes as a record: never a panic, and what is read is
// written and read back as the same bytes, and differs in nothing from itself.
func FuzzParse(f *testing.F) {
	seeds := 0
	add := func(b []byte) {
		seeds++
		f.Add(b)
	}
	kept, err := filepath.Glob("../../testdata/tickets/*/expected.json")
	if err != nil {
		f.Fatal(err)
	}
	for _, path := range kept {
		b, err := os.ReadFile(path)
		if err != nil {
			f.Fatal(err)
		}
		for _, line := range bytes.SplitAfter(b, []byte("\n")) {
			if len(line) > 0 {
				add(line)
			}
		}
	}
	if seeds < fuzzSeeds {
		f.Fatalf("%d seeds, want at least %d", seeds, fuzzSeeds)
	}
	for _, none := range []string{"", "{}", "{}{}", "null", `{"quantities":{"download":{"value_kg":1e400}}}`} {
		add([]byte(none))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		r, err := Parse(b)
		if err != nil {
			return
		}
		line, err := r.Line()
		if err != nil {
			t.Fatalf("read and not written: %v", err)
		}
		again, err := Parse(line)
		if err != nil {
			t.Fatalf("written and not read: %v\n%s", err, line)
		}
		twice, err := again.Line()
		if err != nil || !bytes.Equal(line, twice) {
			t.Fatalf("%v: written as\n%s\nand then as\n%s", err, line, twice)
		}
		differences, err := Compare(r, again)
		if err != nil || len(differences) > 0 {
			t.Fatalf("differs from itself: %v %v", differences, err)
		}
	})
}
