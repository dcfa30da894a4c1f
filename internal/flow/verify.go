package flow

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/shelf"
	"reconcile/internal/signoff"
	"reconcile/internal/words"
)

// Verification is what verify found of a file, as facts.
type Verification struct {
	Findings []words.Finding
	Signers  []signoff.Signer
	Outcome  string // its code
	Last     string // the outcome in words, the last line on a file
	Read     bool   // it can be opened, and no other version made it
	Sound    bool   // and nothing in it is not sound
	// Usable: it may be signed, compared with or left in its place. verify calls
	// it sound, and its pages too: another version's nobody here has checked.
	Usable  bool
	Vouched bool           // usable, and signed by somebody whom the reader trusts
	Record  *record.Record // as attached, whether it follows or not; nil: it cannot be read
	Line    []byte         // its bytes; nil: none is attached
	SHA256  string         // of the record, upper-case; "": none is attached
	again   *Result        // derived again; nil: it was not

	document *signoff.Document // nil: not in the form of a summary
	shelf.Lent[Verification]
}

// The outcomes.
const (
	vouched    = "vouched"     // sound, by a signer who is trusted
	signed     = "signed"      // sound, by one who is not
	unsigned   = "not_signed"  // sound
	recordOnly = "record_only" // sound but for the pages, which another version drew
	notSound   = "not_sound"
	notRead    = "not_read" // it cannot be opened, or is of another version
)

// The statuses of a finding; the others are called as what they lead to, notSound
// and notRead.
const (
	holds      = "ok"          // as it should be
	notChecked = "not_checked" // nothing wrong found
)

// Verify checks a summary: that every byte belongs to it, who signed it, that
// what is attached is what the record names, that the record follows from the
// forms, and that the pages are those that this program draws of it. There is
// no tolerance. Nothing of pdf is kept but, in a hostile file, by Line. Of a file that
// could not be opened unread says why, and that is all there is to find.
func Verify(pdf []byte, trust []*x509.Certificate, unread ...words.Finding) *Verification {
	return released.verify(pdf, trust, unread...)
}

// verify judges the summaries of some versions.
func (known versions) verify(pdf []byte, trust []*x509.Certificate, unread ...words.Finding) *Verification {
	v := &verification{known: known, files: map[string][]byte{}, found: unread}
	if len(unread) > 0 {
		return v.result(false, nil)
	}
	examined, err := signoff.Examine(pdf, trust)
	if err != nil {
		v.add(notRead, "not_pdf")
		return v.result(false, nil)
	}
	for _, f := range examined.Findings {
		v.found = append(v.found, findingOf(f))
	}
	v.signers = examined.Signers
	if v.document = examined.Document; v.document == nil {
		v.inside(pdf, examined.Rewritten)
	} else {
		v.summary()
	}
	return v.result(examined.Sound, examined.Best)
}

// release gives the memory of what was read and derived again to later ones, and with
// it the record and its line.
func release(v *Verification) {
	if v.again != nil {
		v.again.Release()
	}
	if v.document != nil {
		v.document.Release()
	}
	v.Record, v.Line, v.again, v.document = nil, nil, nil, nil
}

// verification is one summary under examination.
type verification struct {
	known    versions
	document *signoff.Document // nil: not in the form of a summary
	signers  []signoff.Signer
	found    []words.Finding
	files    map[string][]byte // attached, by name
	order    []string          // their names
	line     []byte            // the record
	hash     string            // of it, upper-case; "" until it is asked for
	old      *record.Record
	again    *Result
}

// add adds a finding; its arguments are key, value, key, value.
func (v *verification) add(status, code string, args ...any) {
	v.found = append(v.found, words.OfFinding(status, code, args...))
}

// unsound adds a finding that ends the examination.
func (v *verification) unsound(code string, args ...any) bool {
	v.add(notSound, code, args...)
	return false
}

// findingOf puts a finding on the bytes of a file as all others are put.
func findingOf(f signoff.Finding) words.Finding {
	var args []any
	for _, a := range f.Args {
		if a.Key != "object" || a.Value != 0 { // object 0: of the entire file
			args = append(args, a.Key, a.Value)
		}
	}
	return words.OfFinding(f.Status, f.Code, args...)
}

// result says what the findings come to, in words too; sound and best are what the
// file comes to without its record, and the signer of its best signature.
func (v *verification) result(sound bool, best *signoff.Signer) *Verification {
	out := &Verification{Findings: v.found, Signers: v.signers, Record: v.old, again: v.again, document: v.document}
	shelf.Lend(&out.Lent, out, release)
	if out.Line = v.line; v.line != nil {
		out.SHA256 = v.sum()
	}
	out.Outcome = v.outcome(sound, best)
	out.Read = out.Outcome != notRead
	out.Sound = out.Read && out.Outcome != notSound
	out.Usable = out.Sound && out.Outcome != recordOnly
	out.Vouched = out.Outcome == vouched
	if !out.Sound || best == nil {
		best = &signoff.Signer{}
	}
	out.Last = words.VerifyOutcome(out.Outcome, best.Name, best.Fingerprint, v.found)
	return out
}

// sum is the SHA-256 of the record, upper-case.
func (v *verification) sum() string {
	if v.hash == "" {
		v.hash = fmt.Sprintf("%X", sha256.Sum256(v.line))
	}
	return v.hash
}

// outcome is what the findings come to.
func (v *verification) outcome(sound bool, best *signoff.Signer) string {
	has := func(status string) bool {
		return slices.ContainsFunc(v.found, func(f words.Finding) bool { return f.Status == status })
	}
	switch {
	case has(notRead):
		return notRead
	case has(notSound) || !sound:
		return notSound
	case slices.ContainsFunc(v.found, func(f words.Finding) bool { return f.Code == pagesOtherVersion }):
		return recordOnly
	case best == nil:
		return unsigned
	case !best.Trusted:
		return signed
	}
	return vouched
}

// summary examines a file that has the form of a summary. Each step says
// whether the next one can be taken.
func (v *verification) summary() {
	for _, step := range []func() bool{v.attachments, v.version, v.read, v.named, v.given, v.derive, v.pages, v.amends} {
		if !step() {
			return
		}
	}
}

// mostAttached bounds how many files are attached: the forms, and a copy for
// each of 200 readings and of several hundred ratings and scales.
const mostAttached = 1000

// attachments takes what is attached. A name that is there twice has been
// refused by whoever read them.
func (v *verification) attachments() bool {
	if err := v.document.NotRead; err != nil {
		return v.refused(err)
	}
	return v.take(v.document.Attached)
}

// refused adds what keeps the attachments from being read.
func (v *verification) refused(err error) bool {
	if damaged := (*signoff.Finding)(nil); errors.As(err, &damaged) {
		v.found = append(v.found, findingOf(*damaged))
		return false
	}
	return v.unsound("attachments_unread", "why", err.Error())
}

func (v *verification) take(files []signoff.Attachment) bool {
	if len(files) > mostAttached {
		return v.unsound("too_many_attached", "most", mostAttached)
	}
	for _, f := range files {
		if _, twice := v.files[f.Name]; twice {
			return v.unsound("attached_twice", "name", f.Name)
		}
		v.files[f.Name] = f.Bytes
		v.order = append(v.order, f.Name)
	}
	if v.line = v.files[pdfout.RecordName]; v.line == nil {
		return v.unsound("no_record")
	}
	return v.sizes()
}

// version refuses a record of a schema, model or program that is not known.
func (v *verification) version() bool {
	m, ok := makerOf(v.line)
	switch {
	case !ok:
		return v.unsound("record_not_ours")
	case !v.known.known(m):
		v.add(notRead, "other_version", "program", m.program, "schema", m.schema, "model", m.model)
		return false
	}
	return true
}

// read takes the record: where it is derived again to the same bytes the one that
// was derived, which leaves nothing of them to check; else it is parsed, strictly:
// as it is written and no other way.
func (v *verification) read() bool {
	if v.derivedAgain() {
		return true
	}
	var err error
	var wrong *record.KeyError
	v.old, err = record.Parse(v.line, v.mostEntries())
	switch {
	case errors.As(err, &wrong) && wrong.TooLong:
		return v.unsound("record_too_long", "path", clipped(wrong.Path))
	case err != nil:
		return v.unsound("record_unread", "why", clipped(err.Error()))
	}
	return true
}

// derivedAgain derives the record from what it says that it was given, before
// anything else of it is read. What does not hold is found again, and named, by the
// steps that follow; a record that differs is kept for them.
func (v *verification) derivedAgain() (same bool) {
	found := v.found
	defer func() {
		if v.found = found; !same {
			v.old = nil
		}
	}()
	var err error
	if v.old, err = record.Parse(v.line, v.mostEntries(), "schema", "program", "model", "job", "options", "replaces", "inputs", "issuer"); err != nil {
		return false
	}
	if !v.given() || !v.rederive() || !bytes.Equal(v.again.Line, v.line) {
		return false
	}
	v.old = v.again.Record
	return true
}

// derive reads the attached forms again with what the record was given, and
// wants the same bytes.
func (v *verification) derive() bool {
	if v.again == nil && !v.rederive() {
		return false
	}
	if bytes.Equal(v.again.Line, v.line) {
		v.add(holds, "record_follows", "job", v.old.Job, "program", v.old.Program, "sha256", v.sum())
		return true
	}
	return v.differs()
}

// mostNamed bounds how many keys that differ are named.
const mostNamed = 100

// differs names each key in which the record is not what was derived.
func (v *verification) differs() bool {
	all := record.Differences(v.old, v.again.Record)
	for _, d := range all[:min(len(all), mostNamed)] {
		v.unsound("key_differs", "path", clipped(d.Path), "was", shownValue(d.Old), "is", shownValue(d.New))
	}
	if more := len(all) - mostNamed; more > 0 {
		v.unsound("more_keys_differ", "number", more)
	}
	if len(all) == 0 { // the same keys, and not the same bytes
		v.unsound("record_not_ours")
	}
	return false
}

// shownValue is a value of a record, short enough to be shown.
func shownValue(json string) string {
	if json == "" {
		return "not there"
	}
	return clipped(json)
}

// mostShown bounds a text of a file in a finding.
const mostShown = 200

func clipped(s string) string {
	if len(s) <= mostShown {
		return s
	}
	return s[:mostShown] + "…"
}

const pagesOtherVersion = "pages_other_version"

// pages draws the summary again and wants the unsigned part of the file byte
// for byte; where another build packed it, each object of it unpacked.
func (v *verification) pages() bool {
	if v.old.Program != v.known.Program {
		v.add(notChecked, pagesOtherVersion, "program", v.old.Program)
		return true
	}
	var repacked bool
	var differs *signoff.Finding
	err := useDrawn(v.again, func(pdf []byte) { repacked, differs = signoff.Redrawn(v.document, pdf) })
	if err != nil {
		return v.unsound("pages_undrawn", "why", clipped(err.Error()))
	}
	if differs != nil {
		v.found = append(v.found, findingOf(*differs))
		return false
	}
	v.add(holds, "pages_same")
	if repacked {
		v.add(holds, "packing_differs")
	}
	return true
}

// amends says what an amendment replaces.
func (v *verification) amends() bool {
	if r := v.old.Replaces; r != nil {
		v.add(holds, "amends", "number", r.Number, "sha256", strings.ToUpper(r.RecordSHA256), "because", r.Because)
	}
	return true
}

// rooms are memory that summaries are drawn into again.
var rooms = sync.Pool{New: func() any { return new([]byte) }}

// largestRoom is kept: more than most summaries take.
const largestRoom = 1 << 20

// useDrawn draws a summary, without the hash, for use. What makes the drawing of a
// hostile file panic is found here and not in the reader's hands.
func useDrawn(r *Result, use func(pdf []byte)) (err error) {
	defer caught(&err)
	room := rooms.Get().(*[]byte)
	pdf, err := r.draw(*room)
	if err != nil {
		return err
	}
	defer func() {
		if cap(pdf) <= largestRoom {
			*room = pdf
			rooms.Put(room)
		}
	}()
	use(pdf)
	return nil
}

// caught makes an error of a panic.
func caught(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("the program failed: %v", p)
	}
}
