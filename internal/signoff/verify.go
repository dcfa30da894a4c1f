package signoff

import (
	"bytes"
	"crypto/x509"
	"errors"
	"fmt"
	"slices"
	"time"
)

// Status says what a finding means for the file. There is no zero status.
type Status int

const (
	Holds     Status = iota + 1 // as it should be
	Unchecked                   // nothing wrong found, but nobody vouches for it
	Unsound                     // changed, or not of this program's making
)

// String returns the status in a word.
func (s Status) String() string {
	return map[Status]string{Holds: "holds", Unchecked: "not checked", Unsound: "not sound"}[s]
}

// Code names a kind of finding, for programs.
type Code string

// The kinds of finding.
const (
	Structure Code = "structure"  // cannot be read as a summary at all
	Identity  Code = "identifier" // the hash of the finished file
	Addition  Code = "addition"   // something other than a signature was added
	Signed    Code = "signature"
	Trust     Code = "signer"
)

// Finding is one thing found in a file, in words to paste into a report.
type Finding struct {
	Code      Code
	Status    Status
	Signature int // which, from 1; 0 = the file
	Text      string
}

// Worst returns the gravest status of findings. None at all is unsound:
// nothing was checked.
func Worst(findings []Finding) Status {
	if len(findings) == 0 {
		return Unsound
	}
	return slices.MaxFunc(findings, func(a, b Finding) int { return int(a.Status) - int(b.Status) }).Status
}

// Signature is one signature of a document, in the order they were made.
type Signature struct {
	Number      int
	Signer      string // the name in the certificate
	Certificate *x509.Certificate
	Chain       []*x509.Certificate // Certificate first, then its issuers as carried
	When        time.Time           // the signer's word
	// What the signer wrote beside the signature; Name need not be Signer.
	Name, Reason, Location string
	Start, End             int // the signature covers bytes [0, End), and added [Start, End)
	// Fault says why the signature does not hold; empty: it is intact. The
	// other fields are then no more than claims.
	Fault string
}

// Intact reports that every byte up to End is as it was signed, that nothing
// but the signature was added there, and that the certificate was valid then.
func (s *Signature) Intact() bool { return s.Fault == "" }

// Signatures returns one entry for each update of the file, in order. An
// update that is not exactly a signature as [Sign] writes it has a Fault.
func (d *Document) Signatures() []Signature {
	var out []Signature
	for n := 1; n < len(d.revisions); n++ {
		s := Signature{Number: n, Start: d.revisions[n].start, End: d.revisions[n].end}
		if err := d.readSignature(&s); err != nil {
			s.Fault = err.Error()
		}
		out = append(out, s)
	}
	return out
}

// readSignature reads update s.Number, writes it again from what it says,
// and compares.
func (d *Document) readSignature(s *Signature) error {
	c, contents, err := d.readClaims(s)
	if err != nil {
		return fmt.Errorf("%d bytes were added after byte %d that are not a signature of this program (%w)", s.End-s.Start, s.Start, err)
	}
	s.When, s.Name, s.Reason, s.Location = c.when, c.name, c.reason, c.location
	cms, err := parseCMS(contents)
	if err != nil {
		return fmt.Errorf("its own bytes were changed, or another program made it (%w)", err)
	}
	s.Certificate, s.Chain, s.Signer = cms.chain[0], cms.chain, called(cms.chain[0])
	u, err := d.update(s.Number, c, contents)
	if err != nil {
		return err
	}
	whole := d.pdf[:s.End]
	if at := differ(u.bytes, whole[s.Start:]); at >= 0 {
		return fmt.Errorf("more than a signature was added with it, or it was changed, at byte %d of the file", s.Start+at)
	}
	if !bytes.Equal(cms.digest, u.digest(whole)) {
		return fmt.Errorf("the file was changed after it was signed")
	}
	if err := cms.check(); err != nil {
		return fmt.Errorf("it was not made with the key of its certificate, or was changed")
	}
	return validAt(cms.chain[0], c.when)
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
func (d *Document) readClaims(s *Signature) (claims, []byte, error) {
	var c claims
	l := &lexer{b: d.pdf[:s.End], at: s.Start}
	if !l.take(fmt.Sprintf("%d 0 obj\n", len(d.offsets)+2*(s.Number-1))) {
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

// TrustedBy reports whether the signer's certificate is one of pool or chains
// to one, judged at the time the signer states; if not, why.
func (s *Signature) TrustedBy(pool []*x509.Certificate) (ok bool, why string) {
	switch {
	case !s.Intact():
		return false, "the signature does not hold"
	case len(pool) == 0:
		return false, "no certificate was given to check against"
	case slices.ContainsFunc(pool, s.Certificate.Equal):
		return true, ""
	}
	roots, between := x509.NewCertPool(), x509.NewCertPool()
	for _, c := range pool {
		roots.AddCert(c)
	}
	for _, c := range s.Chain[1:] {
		between.AddCert(c)
	}
	_, err := s.Certificate.Verify(x509.VerifyOptions{
		Roots: roots, Intermediates: between, CurrentTime: s.When,
		KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageAny},
	})
	if err != nil {
		return false, "the certificate is not one of those given and does not chain to one"
	}
	return true, ""
}

// Examine checks all of a file that does not need its record: the structure,
// the hash in /ID, every signature, and each signer against trust. The
// document is nil if the file cannot be read as a summary, which is then a
// finding; the error is only ever [ErrNotPDF].
func Examine(pdf []byte, trust []*x509.Certificate) (*Document, []Finding, error) {
	d, signatures, findings, err := examine(pdf)
	for _, s := range signatures {
		if s.Intact() {
			findings = append(findings, trustFinding(&s, trust))
		}
	}
	return d, findings, err
}

// examine is [Examine] without the question who the signers are.
func examine(pdf []byte) (*Document, []Signature, []Finding, error) {
	d, err := Open(pdf)
	if errors.Is(err, ErrNotPDF) {
		return nil, nil, nil, err
	}
	if err != nil {
		return nil, nil, []Finding{{Structure, Unsound, 0, err.Error()}}, nil
	}
	findings := []Finding{identityFinding(d)}
	signatures := d.Signatures()
	if len(signatures) == 0 {
		findings = append(findings, Finding{Signed, Unchecked, 0, "the file is not signed: nobody vouches for it"})
	}
	for _, s := range signatures {
		findings = append(findings, signatureFinding(&s))
	}
	return d, signatures, findings, nil
}

func identityFinding(d *Document) Finding {
	if err := CheckID(d.Unsigned()); err != nil {
		return Finding{Identity, Unsound, 0, err.Error()}
	}
	return Finding{Identity, Holds, 0, "the file is as it was finished: its bytes give the identifier it carries"}
}

func signatureFinding(s *Signature) Finding {
	if s.When.IsZero() {
		return Finding{Addition, Unsound, s.Number, s.Fault}
	}
	who := fmt.Sprintf("signature %d, by %q", s.Number, s.Signer)
	if s.Certificate == nil {
		who = fmt.Sprintf("signature %d, by nobody known", s.Number)
	}
	if !s.Intact() {
		return Finding{Signed, Unsound, s.Number, who + ", does not hold: " + s.Fault}
	}
	if s.Name != s.Signer {
		who += fmt.Sprintf(" signing as %q", s.Name)
	}
	return Finding{Signed, Holds, s.Number, fmt.Sprintf("%s, is intact over the whole file as it stood then (%d bytes); the signer states the time %s",
		who, s.End, s.When.Format("2006-01-02 15:04:05 MST"))}
}

func trustFinding(s *Signature, pool []*x509.Certificate) Finding {
	if ok, why := s.TrustedBy(pool); !ok {
		return Finding{Trust, Unchecked, s.Number, fmt.Sprintf("the signer of signature %d, %q, is not checked: %s", s.Number, s.Signer, why)}
	}
	return Finding{Trust, Holds, s.Number, fmt.Sprintf("the signer of signature %d, %q, is trusted through a certificate given", s.Number, s.Signer)}
}
