package signoff

import (
	"bytes"
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
	"time"
)

// signature is one signature of a document, in the order they were made.
type signature struct {
	Number      int
	Signer      string // the name in the certificate
	Certificate *x509.Certificate
	Chain       []*x509.Certificate // Certificate first, then its issuers as carried
	When        time.Time           // the signer's word
	// What the signer wrote next to the signature; Name need not be Signer.
	Name, Reason, Location string
	Start, End             int // the signature covers bytes [0, End), and added [Start, End)
	// Fault says why the signature does not hold; nil: it is intact. The
	// other fields are then no more than claims.
	Fault *Finding

	cms *cmsSignature
}

// intact reports that every byte up to End is as it was signed, and that
// nothing but the signature was added there. Whether the certificate was valid
// then is a question of trust, see [Signer].
func (s *signature) intact() bool { return s.Fault == nil }

// signatures returns one entry for each update of the file, in order. An
// update that is not exactly a signature as [Sign] writes it has a Fault.
func (d *Document) signatures() []signature {
	var out []signature
	for n := 1; n < len(d.revisions); n++ {
		s := signature{Number: n, Start: d.revisions[n].start, End: d.revisions[n].end}
		if err := d.readSignature(&s); err != nil {
			s.Fault = faultOf(err, &s)
		}
		out = append(out, s)
	}
	return out
}

// faultOf is the finding of a signature that does not hold.
func faultOf(err error, s *signature) *Finding {
	f := newFinding(unsound, signatureForm)
	if found := (*Finding)(nil); errors.As(err, &found) {
		f = *found
	}
	f = f.with("signature", s.Number)
	if s.Signer != "" {
		f = f.with("signer", s.Signer)
	}
	return &f
}

// readSignature reads update s.Number, writes it again from what it says,
// and compares.
func (d *Document) readSignature(s *signature) error {
	c, contents, err := d.readClaims(s)
	if err != nil {
		return damaged(bytesAdded, "at", s.Start, "bytes", s.End-s.Start)
	}
	s.When, s.Name, s.Reason, s.Location = c.when, c.name, c.reason, c.location
	if s.cms, err = parseCMS(contents); err != nil {
		return err
	}
	s.Certificate, s.Chain, s.Signer = s.cms.chain[0], s.cms.chain, called(s.cms.chain[0])
	u, err := d.update(s.Number, c, contents)
	if err != nil {
		return err
	}
	whole := d.pdf[:s.End]
	if at := differ(u.bytes, whole[s.Start:]); at >= 0 {
		return damaged(signatureMore, "at", s.Start+at)
	}
	if !bytes.Equal(s.cms.digest, u.digest(whole)) {
		return damaged(signatureChanged)
	}
	if err := s.cms.check(); err != nil {
		return damaged(signatureKey)
	}
	return nil
}

// differ returns where a and b first differ, or -1.
func differ(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return i
		}
	}
	if len(a) != len(b) {
		return min(len(a), len(b))
	}
	return -1
}

// maxContents bounds a signature: eight certificates of 8 kB.
const maxContents = 64 << 10

// readClaims reads the signature dictionary at the start of update s.
func (d *Document) readClaims(s *signature) (claims, []byte, error) {
	var c claims
	l := &lexer{b: d.pdf[:s.End], at: s.Start, strict: true}
	if !l.take(fmt.Sprintf("%d 0 obj\n", len(d.objects)+2*(s.Number-1))) {
		return c, nil, fmt.Errorf("no signature begins at byte %d", s.Start)
	}
	v, err := l.object(0)
	if err != nil {
		return c, nil, err
	}
	sig, _ := v.(dict)
	contents, _ := sig.get("Contents").(text)
	when, _ := sig.get("M").(text)
	if len(contents) == 0 || len(contents) > maxContents {
		return c, nil, fmt.Errorf("a signature of %d bytes", len(contents))
	}
	if c.when, err = time.Parse(stampLayout, string(when)); err != nil {
		return c, nil, fmt.Errorf("no time of signing")
	}
	c.when = c.when.UTC()
	for key, to := range map[name]*string{"Name": &c.name, "Reason": &c.reason, "Location": &c.location} {
		if t, ok := sig.get(key).(text); ok {
			*to, _ = plain(t)
		}
	}
	return c, []byte(contents), nil
}

// examination is what a file comes to without its record: the structure, the
// hash in /ID, every signature, and each signer against those trusted.
type examination struct {
	Document  *Document // nil if the file cannot be read as a summary
	Rewritten bool      // because another program has written it again
	Findings  []Finding
	Signers   []Signer // of the signatures that are intact, in their order
	Sound     bool     // no finding is that something is not sound
	Best      *Signer  // of the best signature of a sound file, trusted if any is; nil: it is not signed
}

// Examine checks all of a file that does not need its record, and reads what is attached
// to it. That it cannot be read as a summary is a finding; the error is only ever
// [errNotPDF].
func Examine(pdf []byte, trust []*x509.Certificate) (*examination, error) {
	e, err := examine(pdf, trust)
	if err == nil && e.Document != nil {
		e.Document.Attached, e.Document.NotRead = e.Document.attachments()
	}
	return e, err
}

// examine is [Examine] but for what is attached.
func examine(pdf []byte, trust []*x509.Certificate) (*examination, error) {
	d, err := open(pdf)
	var why *Finding
	switch {
	case errors.Is(err, errNotPDF):
		return nil, err
	case errors.As(err, &why):
		f := unreadable(pdf, *why)
		return &examination{Rewritten: f.Code == rewrittenFile, Findings: []Finding{f}}, nil
	}
	e := &examination{Document: d, Findings: []Finding{newFinding(holds, idMatches)}}
	if err := d.checkID(); errors.As(err, &why) {
		e.Findings[0] = *why
	}
	signatures := d.signatures()
	if len(signatures) == 0 {
		e.Findings = append(e.Findings, newFinding(notChecked, notSigned))
	}
	for i := range signatures {
		e.add(&signatures[i], trust)
	}
	if e.Sound = sound(e.Findings); e.Sound {
		e.Best = bestSigner(e.Signers)
	}
	return e, nil
}

// sound says whether something was found, and nothing that is not sound. The best
// signature counts: the others are findings of their own and spoil nothing.
func sound(findings []Finding) bool {
	return len(findings) > 0 && !slices.ContainsFunc(findings, func(f Finding) bool { return f.Status == unsound })
}

// unreadable is the finding on a file that is not of this program's form.
func unreadable(pdf []byte, why Finding) Finding {
	if producer, ok := rewritten(pdf); ok {
		return newFinding(unsound, rewrittenFile, "producer", producer)
	}
	return why
}

// add adds what is found of one signature.
func (e *examination) add(s *signature, trust []*x509.Certificate) {
	if !s.intact() {
		e.Findings = append(e.Findings, *s.Fault)
		return
	}
	intact := newFinding(holds, signatureIntact, "signature", s.Number, "signer", s.Signer, "at", s.When, "bytes", s.End)
	if s.Name != s.Signer {
		intact = intact.with("as", s.Name)
	}
	by := s.judge(trust)
	e.Signers = append(e.Signers, by)
	status, code := holds, signerTrusted
	if !by.Trusted {
		status, code = notChecked, signerNotTrusted
	}
	trusted := newFinding(status, code, "signature", s.Number, "signer", by.Name, "fingerprint", by.Fingerprint, "valid_from", by.ValidFrom, "valid_to", by.ValidTo)
	if !by.Trusted {
		trusted = trusted.with("why", by.Why)
	}
	e.Findings = append(e.Findings, intact, trusted)
}
