package flow

import (
	"bytes"
	"crypto/sha256"
	"crypto/x509"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"

	pdfout "reconcile/internal/oldpdfout"
	record "reconcile/internal/oldrecord"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
)

// The kinds of finding of what a summary says, beside those of its bytes.
const (
	Contents signoff.Code = "attachments"
	Derived  signoff.Code = "record"
	Pages    signoff.Code = "pages"
)

// recordFile is the name under which the record is attached.
const recordFile = "record.json"

// ErrOtherVersion is a record of a model or schema that this program does not know.
var ErrOtherVersion = errors.New("made by another version of this program")

// Verify checks a summary: its bytes and signatures, that what is attached is
// what the record names, that the record follows from the forms, and that the
// pages show the record. It fails with signoff.ErrNotPDF or ErrOtherVersion
// where that cannot be judged.
func Verify(pdf []byte, trust []*x509.Certificate, program string) ([]signoff.Finding, error) {
	findings, _, err := VerifySigners(pdf, trust, program)
	return findings, err
}

// VerifySigners is [Verify], and who signed.
func VerifySigners(pdf []byte, trust []*x509.Certificate, program string) ([]signoff.Finding, []signoff.Signer, error) {
	examined, err := signoff.Examine(pdf, trust)
	if err != nil {
		return nil, nil, err
	}
	findings, err := verifyContents(examined, program)
	return findings, examined.Signers, err
}

// verifyContents checks what a summary says, after its bytes.
func verifyContents(examined *signoff.Examination, program string) ([]signoff.Finding, error) {
	d, findings := examined.Document, examined.Findings
	if d == nil {
		return findings, nil
	}
	files, err := d.Attachments()
	if err != nil {
		return append(findings, unsound(Contents, "the attachments cannot be read: %v", err)), nil
	}
	v := &verification{document: d, program: program, files: map[string][]byte{}}
	if f := v.take(files); f != nil {
		return append(findings, *f), nil
	}
	if err := v.known(); err != nil {
		return findings, err
	}
	for _, step := range []func() (signoff.Finding, bool){v.parse, v.contents, v.derive, v.pages} {
		f, goOn := step()
		findings = append(findings, f)
		if !goOn {
			break
		}
	}
	return findings, nil
}

// Signed says whether a file carries a signature, sound or not.
func Signed(pdf []byte) bool {
	d, err := signoff.Open(pdf)
	if err != nil {
		return bytes.Contains(pdf, []byte("/ByteRange"))
	}
	return d.Signed()
}

func unsound(code signoff.Code, format string, args ...any) signoff.Finding {
	return signoff.NewFinding(signoff.Unsound, code, "text", fmt.Sprintf(format, args...))
}

func holds(code signoff.Code, format string, args ...any) signoff.Finding {
	return signoff.NewFinding(signoff.Holds, code, "text", fmt.Sprintf(format, args...))
}

// verification is one summary under examination.
type verification struct {
	document *signoff.Document
	program  string
	files    map[string][]byte
	order    []string
	old      *record.Record
	line     []byte
}

func (v *verification) take(files []signoff.Attachment) *signoff.Finding {
	for _, f := range files {
		if _, twice := v.files[f.Name]; twice {
			u := unsound(Contents, "%q is attached twice", f.Name)
			return &u
		}
		v.files[f.Name] = f.Bytes
		v.order = append(v.order, f.Name)
	}
	line, ok := v.files[recordFile]
	if !ok {
		u := unsound(Contents, "no record is attached: this is not a summary of this program")
		return &u
	}
	v.line = line
	return nil
}

// known refuses a record of a schema or model that this program does not know.
func (v *verification) known() error {
	var head struct {
		Schema string `json:"schema"`
		Model  int    `json:"model"`
	}
	if err := json.Unmarshal(v.line, &head); err != nil {
		return nil // parse says so
	}
	if head.Schema != record.Schema || head.Model != record.Model {
		return fmt.Errorf("%w (schema %q, model %d)", ErrOtherVersion, head.Schema, head.Model)
	}
	return nil
}

func (v *verification) parse() (signoff.Finding, bool) {
	old, err := record.Parse(v.line)
	if err != nil {
		return unsound(Derived, "the record cannot be read: %v", err), false
	}
	v.old = old
	again, err := old.Line()
	if err != nil || old.Program == v.program && !bytes.Equal(again, v.line) {
		return unsound(Derived, "the record is not written as this program writes it"), false
	}
	return holds(Derived, "the record is whole: job %q, made by version %s, SHA-256 %s", old.Job, old.Program, upperSum(v.line)), true
}

func upperSum(b []byte) string {
	sum := sha256.Sum256(b)
	return strings.ToUpper(hex.EncodeToString(sum[:]))
}

// contents holds every attachment against the hash in the record.
func (v *verification) contents() (signoff.Finding, bool) {
	named := map[string]bool{recordFile: true}
	for _, in := range v.old.Inputs {
		b, ok := v.files[in.File]
		switch {
		case !ok:
			return unsound(Contents, "%q is named in the record and not attached", in.File), false
		case record.InputOf(in.File, b, in.Lines).SHA256 != in.SHA256:
			return unsound(Contents, "%q is not the file that the record was made from", in.File), false
		}
		named[in.File] = true
	}
	for _, name := range v.order {
		if !named[name] {
			return unsound(Contents, "%q is attached and not named in the record", name), false
		}
	}
	return holds(Contents, "the %d files attached are those that the record names", len(v.old.Inputs)), true
}

// again reads the attached forms with the options of the record.
func (v *verification) again() (*OldResult, error) {
	o := v.old.Options
	folder := Folder{
		CopyStat: func(name string) tickets.CopyStat {
			b, ok := v.files[name]
			return tickets.CopyStat{Found: ok, Plain: ok, Size: int64(len(b))}
		},
		ReadFile: func(name string) ([]byte, error) { return v.files[name], nil },
	}
	for _, in := range v.old.Inputs {
		if !slices.Contains(tickets.FormNames(), in.File) {
			continue
		}
		lines, err := tickets.ParseLines(in.Lines)
		if err != nil {
			return nil, fmt.Errorf("lines of %q: %w", in.File, err)
		}
		folder.Forms = append(folder.Forms, tickets.Form{Name: in.File, Bytes: v.files[in.File], Lines: lines})
	}
	options := Options{Program: v.old.Program, Rule: o.Rule, Region: o.Region, Set: o.Set, Issued: o.Issued, Paper: o.Paper}
	read := Read(folder, options, true)
	if len(read.Faults) > 0 {
		return nil, fmt.Errorf("the attached forms have faults: %w", read.Faults[0])
	}
	if len(read.Jobs) != 1 || read.Jobs[0].Name != v.old.Job {
		return nil, fmt.Errorf("the attached forms hold %d jobs (want job %q alone)", len(read.Jobs), v.old.Job)
	}
	job := &read.Jobs[0]
	job.Issuer.Number = v.old.Issuer.Number // given out in the run, not in the forms
	return OldDerive(job, folder, options)
}

// derive derives the record anew and compares number by number.
func (v *verification) derive() (signoff.Finding, bool) {
	anew, err := v.again()
	if err != nil {
		return unsound(Derived, "the record does not follow from its readings: %v", err), false
	}
	if bytes.Equal(anew.Line, v.line) {
		return holds(Derived, "derived anew from the attached readings, every number and word is the same"), true
	}
	differences, err := record.Compare(v.old, anew.Record)
	if err != nil {
		return unsound(Derived, "the records cannot be compared: %v", err), false
	}
	var boundary []string
	for _, d := range differences {
		if !d.Boundary {
			return unsound(Derived, "the record does not follow from its readings: %s", d), false
		}
		boundary = append(boundary, d.String())
	}
	if len(boundary) > 0 {
		return holds(Derived, "derived anew, every number is the same within 0.001 kg; %s", strings.Join(boundary, "; ")), true
	}
	return holds(Derived, "derived anew from the attached readings, every number is the same within 0.001 kg"), true
}

// pages draws the pages again from the record and compares them.
func (v *verification) pages() (signoff.Finding, bool) {
	if v.old.Program != v.program {
		return v.headline()
	}
	var files []pdfout.Attachment
	for _, in := range v.old.Inputs {
		files = append(files, pdfout.Attachment{Name: in.File, Bytes: v.files[in.File]})
	}
	drawn := &OldResult{Record: v.old, Line: v.line, Files: files}
	pdf, err := drawn.Summary()
	if err != nil {
		return unsound(Pages, "the pages cannot be drawn again: %v", err), false
	}
	if how, f := signoff.Redrawn(v.document, pdf); how == signoff.Different {
		return *f, false
	}
	return holds(Pages, "drawn again from the record, the pages are the same"), true
}

// headline looks for the headline's text only: another version of the program
// draws other pages.
func (v *verification) headline() (signoff.Finding, bool) {
	texts, err := v.document.PageTexts()
	if err != nil || len(texts) == 0 {
		return unsound(Pages, "the text of page 1 cannot be read"), false
	}
	page := squeezed(strings.Join(texts[0], ""))
	for _, want := range []string{v.old.Headline.DoNow, v.old.Headline.VerdictText} {
		if !strings.Contains(page, squeezed(want)) {
			return unsound(Pages, "page 1 does not say %q", want), false
		}
	}
	return holds(Pages, "made by version %s: only the headline was looked for on page 1, and it is there", v.old.Program), true
}

// squeezed drops all white space: lines break where they will.
func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }
