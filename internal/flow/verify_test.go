package flow

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	pdfout "reconcile/internal/oldpdfout"
	record "reconcile/internal/oldrecord"
	"reconcile/internal/signoff"
)

const version = "1.0.0"

// forge draws a summary anew from a record that somebody changed, with all its
// hashes right: only deriving anew can find it.
func forge(t *testing.T, r *OldResult, change func(*record.Record, map[string][]byte)) []byte {
	t.Helper()
	copied, err := record.Parse(r.Line)
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, f := range r.Files {
		files[f.Name] = bytes.Clone(f.Bytes)
	}
	change(copied, files)
	forged := &OldResult{Record: copied}
	for i, in := range copied.Inputs {
		copied.Inputs[i] = record.InputOf(in.File, files[in.File], in.Lines)
		forged.Files = append(forged.Files, pdfout.Attachment{Name: in.File, Bytes: files[in.File]})
	}
	if forged.Line, err = copied.Line(); err != nil {
		t.Fatal(err)
	}
	pdf, err := forged.Summary()
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

// verdictOn verifies a file and returns the gravest status with all words.
func verdictOn(t *testing.T, pdf []byte) (signoff.Status, string) {
	t.Helper()
	findings, err := Verify(pdf, nil, version)
	if err != nil {
		t.Fatal(err)
	}
	var words []string
	for _, f := range findings {
		words = append(words, f.Status.String()+": "+f.String())
	}
	return signoff.Worst(findings), strings.Join(words, "\n")
}

func TestForgedRecordsAreFound(t *testing.T) {
	r := oldRecordsOf(t, "over-rear-axle")[0]
	nothing := func(*record.Record, map[string][]byte) {}
	if s, words := verdictOn(t, forge(t, r, nothing)); s != signoff.Unchecked {
		t.Fatalf("an unforged summary is %s:\n%s", s, words)
	}
	for _, c := range []struct {
		name, words string
		change      func(*record.Record, map[string][]byte)
	}{
		{"a value", "does not follow", func(r *record.Record, _ map[string][]byte) { *r.Checks[0].ValueKg -= 100 }},
		{"a value by 2 g", "does not follow", func(r *record.Record, _ map[string][]byte) { *r.Checks[0].ValueKg -= 0.002 }},
		{"the verdict", "does not follow", func(r *record.Record, _ map[string][]byte) { r.Verdict = "within" }},
		{"the headline", "does not follow", func(r *record.Record, _ map[string][]byte) { r.Headline.DoNow = "it may be driven" }},
		{"a limit", "does not follow", func(r *record.Record, _ map[string][]byte) { l := "2700"; r.Checks[0].LimitKg = &l }},
		{"a reading in the form", "does not follow", func(_ *record.Record, f map[string][]byte) {
			f["tickets.csv"] = bytes.Replace(f["tickets.csv"], []byte("2480"), []byte("2460"), 1)
		}},
		{"a plate in the form", "does not follow", func(_ *record.Record, f map[string][]byte) {
			f["ratings.csv"] = bytes.Replace(f["ratings.csv"], []byte("1700"), []byte("1950"), 1)
		}},
		{"a form with a fault", "have faults", func(_ *record.Record, f map[string][]byte) {
			f["tickets.csv"] = bytes.Replace(f["tickets.csv"], []byte("2480"), []byte("2,4,8"), 1)
		}},
		{"a form taken out", "does not follow", func(r *record.Record, _ map[string][]byte) { r.Inputs = r.Inputs[:len(r.Inputs)-1] }},
		{"the rule", "does not follow", func(r *record.Record, _ map[string][]byte) { r.Options.Rule = "simple" }},
		{"the owner", "does not follow", func(r *record.Record, _ map[string][]byte) { r.Outfit.Owner = "somebody else" }},
	} {
		if s, words := verdictOn(t, forge(t, r, c.change)); s != signoff.Unsound || !strings.Contains(words, c.words) {
			t.Errorf("%s changed: %s:\n%s", c.name, s, words)
		}
	}
}

// A record of another job, true in itself, under this job's pages; and pages
// of another record under this one.
func TestSwappedRecordsAreFound(t *testing.T) {
	r, other := oldRecordsOf(t, "over-rear-axle")[0], oldRecordsOf(t, "planetarium")[0]
	swapped := *r
	swapped.Line = other.Line
	pdf, err := swapped.Summary()
	if err != nil {
		t.Fatal(err)
	}
	if s, words := verdictOn(t, pdf); s != signoff.Unsound {
		t.Errorf("the record of another job: %s:\n%s", s, words)
	}
	drawn := *other
	drawn.Record = r.Record
	if pdf, err = drawn.Summary(); err != nil {
		t.Fatal(err)
	}
	if s, words := verdictOn(t, pdf); s != signoff.Unsound || !strings.Contains(words, "drawn again from the record") {
		t.Errorf("the pages of another record: %s:\n%s", s, words)
	}
}

func TestOtherVersions(t *testing.T) {
	r := oldRecordsOf(t, "planetarium")[0]
	pdf := forge(t, r, func(r *record.Record, _ map[string][]byte) { r.Program = "0.9.0" })
	if s, words := verdictOn(t, pdf); s != signoff.Unchecked || !strings.Contains(words, "only the headline was looked for") {
		t.Errorf("a summary of another version: %s:\n%s", s, words)
	}
	lie := forge(t, r, func(r *record.Record, _ map[string][]byte) {
		r.Program, r.Headline.VerdictText = "0.9.0", "within everything"
	})
	if s, words := verdictOn(t, lie); s != signoff.Unsound {
		t.Errorf("a false headline under another version: %s:\n%s", s, words)
	}
	for _, change := range []func(*record.Record, map[string][]byte){
		func(r *record.Record, _ map[string][]byte) { r.Model = 2 },
		func(r *record.Record, _ map[string][]byte) { r.Schema = "reconcile-record/2" },
	} {
		if _, err := Verify(forge(t, r, change), nil, version); !errors.Is(err, ErrOtherVersion) {
			t.Errorf("an unknown model or schema: %v", err)
		}
	}
}

// Flips spread over a whole unsigned summary: each is found, most by the hash
// the file carries of itself. A flip in the first five bytes makes it no PDF.
func TestFlipsInASummary(t *testing.T) {
	pdf, err := oldRecordsOf(t, "planetarium")[0].Summary()
	if err != nil {
		t.Fatal(err)
	}
	flips := 2000
	if testing.Short() {
		flips = 100
	}
	for i := range flips {
		at := 5 + i*(len(pdf)-5)/flips
		b := bytes.Clone(pdf)
		b[at] ^= 1 << (i % 8)
		e, err := signoff.Examine(b, nil)
		if err == nil && signoff.Worst(e.Findings) != signoff.Unsound {
			t.Errorf("a flip at byte %d of %d was not found", at, len(pdf))
		}
	}
}
