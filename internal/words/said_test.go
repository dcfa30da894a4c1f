package words

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/record"
)

// demos are the records of the demo jobs, as they are kept.
func demos(t *testing.T) []*record.Record {
	t.Helper()
	files, err := filepath.Glob("../../testdata/tickets/*/expected.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []*record.Record
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for line := range bytes.Lines(content) {
			r, err := record.Parse(line, len(content))
			if err != nil {
				t.Fatalf("%s: %v", file, err)
			}
			all = append(all, r)
		}
	}
	if len(all) < 50 {
		t.Fatalf("%d records", len(all))
	}
	return all
}

// everything is what package words says of a record.
func everything(r *record.Record) map[string]any {
	w := Of(r, nil)
	w.Earlier = r
	said := map[string]any{"headline": w.headline(), "report": w.report(), "evidence": w.evidence()}
	for _, n := range r.Quantities {
		said[n.Name] = w.Quantity(n.Name)
	}
	for code := range heads {
		said["head "+code] = w.Head(code)
	}
	for code := range countedHeads {
		said["one "+code], said["more "+code] = w.Head(code, 1), w.Head(code, 3)
	}
	return said
}

// unsaid are keys, codes and names as they were typed, by where they are.
var unsaid = []string{"headline Sign", "headline Questions Set", "report Sets Name", "report Plan Moves"}

// eachText visits the texts of a value that are said, by where each is.
func eachText(at string, v reflect.Value, visit func(at, text string)) {
	switch v.Kind() {
	case reflect.String:
		if !slices.Contains(unsaid, at) {
			visit(at, v.String())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			eachText(at+" "+v.Type().Field(i).Name, v.Field(i), visit)
		}
	case reflect.Slice:
		for i := range v.Len() {
			eachText(at, v.Index(i), visit)
		}
	}
}

// units are what a figure has behind it, which is no word.
var units = regexp.MustCompile(`\b(kg·m|kg|lb|kN|mm)\b`)

// TestEverySentenceIsSaid: whatever is handed out as text went through say, so
// that words can be exchanged, and what was typed is escaped, in one place.
func TestEverySentenceIsSaid(t *testing.T) {
	before := say
	defer func() { say = before }()
	say = func(s string) string { return strings.ToUpper(before(s)) }
	texts := 0
	for _, r := range demos(t) {
		for at, said := range everything(r) {
			eachText(at, reflect.ValueOf(said), func(at, text string) {
				texts++
				if rest := units.ReplaceAllString(text, ""); rest != strings.ToUpper(rest) {
					t.Errorf("job %s, %s: %q was not said", r.Job, at, text)
				}
			})
		}
	}
	if texts < 30000 {
		t.Errorf("only %d texts", texts)
	}
}
