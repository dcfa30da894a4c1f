package page

import (
	"html"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"reconcile/internal/record"
)

// ofForms is what speaks of forms to somebody who has none in front of them: a form's
// name, a column or code with an underscore, a line that is not one of a slip.
var (
	ofForms  = regexp.MustCompile(`\.csv\b|[a-z]_[a-z]|\b(column|columns|cell|cells|header)\b|\bfill in (on|use|unit|travels|interval)\b`)
	formLine = regexp.MustCompile(`\bline [0-9]`)
	slipLine = regexp.MustCompile(`(?i)\bslip [0-9]+,? \(?lines? [0-9]`)
	typedAs  = regexp.MustCompile(`"[^"]*"|“[^”]*”`)
	tags     = regexp.MustCompile(`<[^>]*>`)
)

// formsLanguage finds it in what is shown; what was typed, in quotes, may hold
// anything.
func formsLanguage(shown string) (found []string) {
	for _, text := range tags.Split(shown, -1) {
		text = typedAs.ReplaceAllString(html.UnescapeString(text), "")
		if ofForms.MatchString(text) || formLine.MatchString(slipLine.ReplaceAllString(text, "")) {
			found = append(found, text)
		}
	}
	return found
}

// TestNoFormsLanguage: no demo job and no question shows a column, a code or a
// line of a form to the owner, with or without a region.
func TestNoFormsLanguage(t *testing.T) {
	jobs, err := filepath.Glob("../../testdata/tickets/*")
	if err != nil || len(jobs) < 50 {
		t.Fatalf("%d jobs (%v)", len(jobs), err)
	}
	asked, err := filepath.Glob("testdata/questions/*.txtar")
	if err != nil || len(asked) < 19 {
		t.Fatalf("%d questions (%v)", len(asked), err)
	}
	for _, path := range append(jobs, asked...) {
		files := []record.File(nil)
		if strings.HasSuffix(path, ".txtar") {
			files = archived(t, path)
		} else {
			files = jobFiles(t, filepath.Base(path))
		}
		pg := newPage(time.Now)
		pg.do([]event{{Do: "restore", Files: files}, {Do: "open", At: "sheet", Value: "true"}, {Do: "goto", Value: "whatif"}})
		for pg.goOn(nil).Part != "" {
		}
		drawn := pg.drawAll()
		for _, part := range []string{"plates", "slip", "answer", "line", "whatif"} {
			for _, text := range formsLanguage(drawn[part]) {
				if part == "slip" && text == "Line 1" || strings.HasPrefix(text, "Line ") && part == "slip" {
					continue // the heading of a line of a slip
				}
				t.Errorf("%s, %s: %q", filepath.Base(path), part, text)
			}
		}
	}
}

// ofFiles begin the names of faulty forms that nothing typed on the page can
// make: they come in a file, and are said of that.
var ofFiles = []string{"header_", "job_", "quote_", "issuer_", "cell_", "column_", "file_", "confirmed_", "ticket_hash", "place_after_newline", "empty_"}

// TestNoFormsLanguageOfFaults: no refusal of what can be typed on the page does.
func TestNoFormsLanguageOfFaults(t *testing.T) {
	paths, err := filepath.Glob("../tickets/testdata/faults/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
next:
	for _, path := range paths {
		for _, name := range ofFiles {
			if strings.HasPrefix(filepath.Base(path), name) {
				continue next
			}
		}
		pg := newPage(time.Now)
		pg.do([]event{{Do: "restore", Files: archived(t, path)}})
		for i := range pg.faults {
			tried++
			text := pg.placeWord(&pg.faults[i]) + sentence(pg.faultText(&pg.faults[i]))
			for _, found := range formsLanguage(html.EscapeString(text)) {
				t.Errorf("%s: %q in %q", filepath.Base(path), found, text)
			}
		}
	}
	if tried < 250 {
		t.Errorf("%d refusals tried", tried)
	}
}
