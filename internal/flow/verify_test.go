package flow

import (
	"bytes"
	"crypto/rand"
	"crypto/x509"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// signedOn is the day on which the tests sign.
var signedOn = time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)

// yard is a key, made once.
var yard = sync.OnceValue(func() *signoff.SigningKey { return newSigner("Copper Lane") })

func newSigner(name string) *signoff.SigningKey {
	key, err := signoff.NewKey(name, signedOn.Add(-time.Hour), "lantern", rand.Reader)
	if err != nil {
		panic(err)
	}
	s, err := signoff.LoadSigningKey(key.P12, "lantern")
	if err != nil {
		panic(err)
	}
	return s
}

// signedBy signs a summary at the time of the tests.
func signedBy(t *testing.T, pdf []byte, key *signoff.SigningKey) []byte {
	t.Helper()
	signed, err := signoff.Sign(pdf, key, signedOn, "")
	if err != nil {
		t.Fatal(err)
	}
	return signed
}

// summaryOf draws a summary.
func summaryOf(t *testing.T, r *Result) []byte {
	t.Helper()
	pdf, _, err := r.Summary(nil)
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

// said is all that verify says of a file.
func said(v *Verification) string {
	var lines []string
	for _, f := range v.Findings {
		lines = append(lines, f.Said)
	}
	return strings.Join(append(lines, v.Last), "\n")
}

// standing are what each outcome says: read, sound, usable, vouched for.
var standing = map[string][4]bool{
	vouched: {true, true, true, true}, signed: {true, true, true, false}, unsigned: {true, true, true, false},
	recordOnly: {true, true, false, false}, notSound: {true, false, false, false}, notRead: {false, false, false, false},
}

func factsOf(v *Verification) [4]bool { return [4]bool{v.Read, v.Sound, v.Usable, v.Vouched} }

// wantOutcome verifies a file.
func wantOutcome(t *testing.T, what string, pdf []byte, outcome string) *Verification {
	t.Helper()
	v := Verify(pdf, nil)
	if v.Outcome != outcome || factsOf(v) != standing[outcome] {
		t.Errorf("%s: %s %v, want %s %v:\n%s", what, v.Outcome, factsOf(v), outcome, standing[outcome], said(v))
	}
	return v
}

// TestVerifyEveryDemoJob: the summary of every demo job follows, byte for byte.
func TestVerifyEveryDemoJob(t *testing.T) {
	n := 0
	for _, name := range folders(t) {
		for _, r := range recordsOf(t, name) {
			v := wantOutcome(t, name, summaryOf(t, r), "not_signed")
			if !strings.Contains(said(v), "the record is the same, byte for byte") || !strings.Contains(said(v), "the pages are the same") || !bytes.Equal(v.Line, r.Line) {
				t.Errorf("%s:\n%s", name, said(v))
			}
			n++
		}
	}
	if n != demoRecords {
		t.Errorf("%d summaries (want %d)", n, demoRecords)
	}
}

// forged draws a false record, or false files, by the program's own packages:
// every hash in the file is right.
type forged struct {
	record *record.Record
	files  []record.File
	pages  *record.Record // what the pages show; nil: the record
}

func forgeryOf(t *testing.T, r *Result) *forged {
	t.Helper()
	copied, err := record.Parse(r.Line, 0)
	if err != nil {
		t.Fatal(err)
	}
	f := &forged{record: copied}
	for _, file := range r.Files {
		f.files = append(f.files, record.File{Name: file.Name, Bytes: bytes.Clone(file.Bytes)})
	}
	return f
}

// file is an attached file.
func (f *forged) file(name string) *record.File {
	return &f.files[slices.IndexFunc(f.files, func(a record.File) bool { return a.Name == name })]
}

// replace changes a text of a form, and its hash in the record.
func (f *forged) replace(t *testing.T, name, old, new string) {
	t.Helper()
	a := f.file(name)
	if !bytes.Contains(a.Bytes, []byte(old)) {
		t.Fatalf("%s has no %q", name, old)
	}
	a.Bytes = bytes.Replace(a.Bytes, []byte(old), []byte(new), 1)
	f.rehash(name)
}

// rehash names a file, changed, as it now is.
func (f *forged) rehash(name string) {
	for i, in := range f.record.Inputs {
		if in.File == name {
			f.record.Inputs[i].SHA256 = hashOf(f.file(name).Bytes)
		}
	}
}

// attach adds an entire file, and names it.
func (f *forged) attach(name string, b []byte) {
	f.files = append(f.files, record.File{Name: name, Bytes: b})
	in := add(&f.record.Inputs)
	in.File, in.SHA256, in.Lines = name, hashOf(b), [][2]int{}
}

// add adds an entry to a list, to be filled in.
func add[T any](list *[]T) *T {
	*list = append(*list, *new(T))
	return &(*list)[len(*list)-1]
}

// draw gives the false summary.
func (f *forged) draw(t *testing.T, earlier *record.Record) []byte {
	t.Helper()
	line, err := record.Line(nil, f.record)
	if err != nil {
		t.Fatal(err)
	}
	shown := f.record
	if f.pages != nil {
		shown = f.pages
	}
	pdf, err := drawForged(shown, line, f, earlier)
	if err != nil {
		t.Fatal(err)
	}
	return pdf
}

func drawForged(shown *record.Record, line []byte, f *forged, earlier *record.Record) ([]byte, error) {
	say := words.Of(shown, nil)
	say.Earlier = earlier
	pdf, err := pdfout.Draw(say, line, f.files, nil)
	if err != nil {
		return nil, err
	}
	_, err = signoff.FillID(pdf)
	return pdf, err
}

// TestVerifyForgedForms: forms and records changed by the smallest amount, alone
// and together.
func TestVerifyForgedForms(t *testing.T) {
	r := recordsOf(t, "planetarium")[0]
	wantOutcome(t, "nothing", forgeryOf(t, r).draw(t, nil), "not_signed")
	for _, c := range []struct {
		name, words string
		change      func(f *forged)
	}{
		{"a reading in the form", "readings[0].reading", func(f *forged) { f.replace(t, "tickets.csv", "1240", "1241") }},
		{"a reading in the record", "readings[0].reading", func(f *forged) { f.record.Readings[0].Reading = "1241" }},
		{"a date a day later", "readings[0].weighed_at", func(f *forged) {
			f.record.Readings[0].WeighedAt = strings.Replace(f.record.Readings[0].WeighedAt, "-14", "-15", 1)
		}},
		{"DOME 1 as DOME 2", "outfit.vehicle_id", func(f *forged) { f.record.Outfit.VehicleID = "DOME 2" }},
		{"a limit of 310 as 311", "limit_kg", func(f *forged) {
			i := slices.IndexFunc(f.record.Checks, func(c record.Check) bool { return c.LimitKg != nil && *c.LimitKg == "310" })
			l := "311"
			f.record.Checks[i].LimitKg = &l
		}},
		{"a plate in the form", "310", func(f *forged) { f.replace(t, "ratings.csv", ",310,", ",311,") }},
		{"a form with a fault", "have faults", func(f *forged) { f.replace(t, "tickets.csv", "1240", "1,2,4,0") }},
		{"a form not named", "attached but not named", func(f *forged) { f.record.Inputs = f.record.Inputs[:len(f.record.Inputs)-1] }},
		{"a form not attached", "not attached", func(f *forged) { f.files = f.files[:len(f.files)-1] }},
		{"a form taken out", "does not follow", func(f *forged) {
			f.files, f.record.Inputs = f.files[:len(f.files)-1], f.record.Inputs[:len(f.record.Inputs)-1]
		}},
		{"a form named twice", "named twice", func(f *forged) { f.record.Inputs = append(f.record.Inputs, f.record.Inputs[0]) }},
		{"two forms swapped", "is not the file", func(f *forged) {
			a, b := f.file("tickets.csv"), f.file("ratings.csv")
			a.Bytes, b.Bytes = b.Bytes, a.Bytes
		}},
		{"two forms in another order", "inputs", func(f *forged) {
			f.files[0], f.files[1] = f.files[1], f.files[0]
			f.record.Inputs[0], f.record.Inputs[1] = f.record.Inputs[1], f.record.Inputs[0]
		}},
		{"another job", "are not those of job", func(f *forged) { f.record.Job = "other" }},
		{"a file more", "attached but not named", func(f *forged) { f.files = append(f.files, record.File{Name: "x.txt", Bytes: []byte("x")}) }},
		{"a file more, named", "inputs[4]", func(f *forged) {
			f.attach("x.txt", []byte("x"))
		}},
		{"another rule", "does not follow", func(f *forged) { f.record.Options.Rule = "simple" }},
		{"another region than the forms'", "have faults", func(f *forged) { f.record.Options.Region = "us" }},
		{"no region", "options.region", func(f *forged) { f.record.Options.Region = "" }},
		{"a region that there is not", "options.region", func(f *forged) { f.record.Options.Region = "xx" }},
		{"a set that there is not", "have faults", func(f *forged) { f.record.Options.Set = "x" }},
		{"a day that there is not", "options.issued", func(f *forged) { f.record.Options.Issued = "2026-02-30" }},
		{"a number that no form gives", "cannot come from the attached issuer.csv", func(f *forged) { f.record.Issuer.Number = "1" }},
		{"an earlier record that is not there", "not attached", func(f *forged) { f.record.Options.After = strings.Repeat("0", 64) }},
		{"an amendment without a reason", "replaces.because", func(f *forged) {
			f.record.Replaces = &record.Replaces{Number: "1", RecordSHA256: strings.Repeat("0", 64)}
		}},
		{"an amendment without a number", "replaces.number", func(f *forged) {
			f.record.Replaces = &record.Replaces{Number: "1", RecordSHA256: strings.Repeat("0", 64), Because: "x"}
		}},
		{"an amendment of nothing", "replaces.record_sha256", func(f *forged) { f.record.Replaces = &record.Replaces{Because: "x"} }},
		{"signed by somebody", "but the first signature is not theirs", func(f *forged) {
			f.record.Options.Issued = "2026-03-14"
			f.record.Options.SignedBy = &record.Signer{Name: "Copper Lane", Fingerprint: yard().Fingerprint}
		}},
	} {
		f := forgeryOf(t, r)
		c.change(f)
		if v := wantOutcome(t, c.name, f.draw(t, nil), "not_sound"); !strings.Contains(said(v), c.words) {
			t.Errorf("%s: %q is not said:\n%s", c.name, c.words, said(v))
		}
	}
}

// TestVerifySwapped: a record true in itself under the pages of another, and
// the other way round; signed by somebody trusted or not.
func TestVerifySwapped(t *testing.T) {
	r, other := recordsOf(t, "over-rear-axle")[0], recordsOf(t, "planetarium")[0]
	for name, f := range map[string]*forged{
		"the pages of another record": {record: r.Record, files: r.Files, pages: other.Record},
		"the record of another job":   {record: other.Record, files: r.Files, pages: r.Record},
	} {
		pdf := f.draw(t, nil)
		wantOutcome(t, name, pdf, "not_sound")
		v := Verify(signedBy(t, pdf, yard()), []*x509.Certificate{yard().Certificate})
		if v.Outcome != "not_sound" {
			t.Errorf("%s, signed: %s", name, v.Outcome)
		}
	}
}

// TestVerifyOnTheLimit: where one check lies on its limit, other words for it
// are as false as anywhere.
func TestVerifyOnTheLimit(t *testing.T) {
	r := recordsOf(t, "unsettled-download")[0]
	if r.Record.Verdict != "unsettled" {
		t.Fatalf("verdict %s", r.Record.Verdict)
	}
	// The limit where the value and its U lie: found by the record itself, set in
	// the form, so that the check lies on its limit.
	i := slices.IndexFunc(r.Record.Checks, func(c record.Check) bool { return c.Decides && c.Verdict == "unsettled" && c.LimitKg != nil })
	check := r.Record.Checks[i]
	limit := fmt.Sprintf("%.6f", *check.ValueKg+float64(2*(*check.UKg)))
	files := Folder{Forms: openJob(t, "unsettled-download").Forms}
	for i, f := range files.Forms {
		if f.Name == "ratings.csv" {
			files.Forms[i].Bytes = bytes.Replace(f.Bytes, []byte(","+*check.LimitKg+","), []byte(","+limit+","), 1)
		}
	}
	o := Options{Program: Program}
	jobs, faults := Read(files, o, true).All()
	if len(faults) > 0 {
		t.Fatal(faults[0])
	}
	on, err := resultOf(jobs[0], files, o)
	if err != nil {
		t.Fatal(err)
	}
	wantOutcome(t, "on the limit", summaryOf(t, on), "not_signed")
	for _, verdict := range []string{"within", "unsettled", "over"} {
		f := forgeryOf(t, on)
		if f.record.Checks[i].Verdict == verdict {
			continue
		}
		f.record.Checks[i].Verdict = verdict
		wantOutcome(t, "a check on its limit called "+verdict, f.draw(t, nil), "not_sound")
	}
	f := forgeryOf(t, on)
	f.record.Do = []record.Do{{Code: "drive"}}
	wantOutcome(t, "it may be driven", f.draw(t, nil), "not_sound")
}

// TestVerifyVersions: what another version made is not judged; of an older one
// that was released the record is, and the pages are not.
func TestVerifyVersions(t *testing.T) {
	r := recordsOf(t, "planetarium")[0]
	for name, change := range map[string]func(*record.Record){
		"0.9.9":  func(r *record.Record) { r.Program = "0.9.9" },
		"1.0.0":  func(r *record.Record) { r.Program = "1.0.0" },
		"2.0.1":  func(r *record.Record) { r.Program = "2.0.1" },
		"blank":  func(r *record.Record) { r.Program = "" },
		"schema": func(r *record.Record) { r.Schema = "reconcile-record/1" },
		"new":    func(r *record.Record) { r.Schema = "reconcile-record/3" },
		"model":  func(r *record.Record) { r.Model = 1 },
		"later":  func(r *record.Record) { r.Model = 3 },
	} {
		f := forgeryOf(t, r)
		change(f.record)
		v := wantOutcome(t, name, f.draw(t, nil), notRead)
		if !strings.Contains(v.Last, "made by another version") || v.Usable {
			t.Errorf("%s: %s", name, v.Last)
		}
	}
	next := versions{Program: "2.1.0", Listed: []string{"2.0.0", "2.1.0"}}
	pdf := summaryOf(t, r)
	v := next.verify(signedBy(t, pdf, yard()), []*x509.Certificate{yard().Certificate})
	if v.Outcome != recordOnly || factsOf(v) != standing[recordOnly] || !strings.Contains(said(v), "not checked: the pages: drawn by version 2.0.0, compare them with that version") || strings.HasPrefix(v.Last, "sound") {
		t.Errorf("an older version, signed by somebody trusted: %s\n%s", v.Outcome, said(v))
	}
	f := forgeryOf(t, r)
	f.record.Verdict = "over"
	if v := next.verify(f.draw(t, nil), nil); v.Outcome != "not_sound" {
		t.Errorf("a false record of an older version: %s", v.Outcome)
	}
}

// TestVerifySigned: pages that say who signed them are signed so, first, and on
// the day that they print.
func TestVerifySigned(t *testing.T) {
	f := openJob(t, "planetarium")
	trust := []*x509.Certificate{yard().Certificate}
	by := &record.Signer{Name: yard().Name, Fingerprint: yard().Fingerprint}
	for _, c := range []struct {
		name, issued, outcome string
		keys                  []*signoff.SigningKey
	}{
		{"signed in the same run", "2026-03-14", "vouched", []*signoff.SigningKey{yard()}},
		{"and by another", "2026-03-14", "vouched", []*signoff.SigningKey{yard(), newSigner("Lantern Hill")}},
		{"not signed", "2026-03-14", "not_sound", nil},
		{"first by another of that name", "2026-03-14", "not_sound", []*signoff.SigningKey{newSigner("Copper Lane"), yard()}},
		{"on another day", "2026-03-16", "not_sound", []*signoff.SigningKey{yard()}},
		{"on no day", "", "not_sound", []*signoff.SigningKey{yard()}},
	} {
		o := Options{Program: Program, Issued: c.issued, SignedBy: by}
		r, err := resultOf(firstJob(f, o), f, o)
		if err != nil {
			t.Fatal(err)
		}
		pdf := summaryOf(t, r)
		for _, k := range c.keys {
			pdf = signedBy(t, pdf, k)
		}
		if v := Verify(pdf, trust); v.Outcome != c.outcome || factsOf(v) != standing[c.outcome] {
			t.Errorf("%s: %s %v, want %s:\n%s", c.name, v.Outcome, factsOf(v), c.outcome, said(v))
		}
	}
}

// TestVerifyNumbers: what issuer.csv can have given (contract, section 4).
func TestVerifyNumbers(t *testing.T) {
	for _, c := range []struct {
		next, number string
		can          bool
	}{
		{"2026-0042", "2026-0042", true}, {"2026-0042", "2026-0043", true}, {"2026-0042", "2026-9999", true}, {"2026-0042", "2026-10000", true},
		{"2026-0042", "2026-0041", false}, {"2026-0042", "2026-43", false}, {"2026-0042", "2026-00043", false}, {"2026-0042", "2027-0043", false},
		{"2026-0042", "2026-0043a", false}, {"2026-0042", "", false}, {"9", "10", true}, {"9", "9", true}, {"09", "9", false}, {"9", "09", false},
		{"P", "P1", false}, {"", "P-7", true}, {"", "P", false}, {"", "a\u202e7", false}, {"A1", "A 1", false}, {"7", " 7", false},
	} {
		if got := canFollow(c.next, c.number); got != c.can {
			t.Errorf("next_number %q, number %q: %v", c.next, c.number, got)
		}
	}
}

// TestVerifyAfter: an earlier record is attached and the pages are drawn with it.
func TestVerifyAfter(t *testing.T) {
	first := recordsOf(t, "planetarium")[0]
	line := Verify(summaryOf(t, first), nil).Line
	if !bytes.Equal(line, first.Line) {
		t.Fatalf("%d bytes of %d", len(line), len(first.Line))
	}
	f, o := openJob(t, "weighed-again"), Options{Program: Program}
	o.Earlier = line
	r, err := resultOf(firstJob(f, o), f, o)
	if err != nil {
		t.Fatal(err)
	}
	wantOutcome(t, "after", summaryOf(t, r), "not_signed")
	other, err := record.Parse(line, 0)
	if err != nil {
		t.Fatal(err)
	}
	other.Quantities.Get("trailer_mass").Value++
	forgery := forgeryOf(t, r)
	wantOutcome(t, "pages drawn with another earlier record", forgery.draw(t, other), "not_sound")
	forged, err := record.Line(nil, other)
	if err != nil {
		t.Fatal(err)
	}
	forgery.file(record.EarlierFile).Bytes = forged
	wantOutcome(t, "another earlier record attached", forgery.draw(t, other), "not_sound")
	other.Program = "1.0.0"
	older, err := record.Line(nil, other)
	if err != nil {
		t.Fatal(err)
	}
	old := recordWith(t, "weighed-again", Options{Earlier: older})
	if v := wantOutcome(t, "an earlier record of another version", summaryOf(t, old), "not_sound"); !strings.Contains(said(v), "another version made it") {
		t.Error(said(v))
	}
}

// recordWith derives the one job of a folder with what it is given.
func recordWith(t *testing.T, name string, o Options) *Result {
	t.Helper()
	f := openJob(t, name)
	o.Program = Program
	f.Forms = append(f.Forms, tickets.Form{Name: "issuer.csv", Bytes: []byte("name,next_number\nCopper Lane,7\n")})
	r, err := resultOf(firstJob(f, o), f, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
