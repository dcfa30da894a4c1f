package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"

	"reconcile/internal/flow"
	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/signoff"
)

// existing is what is in the place of a summary, as far as it can be read.
type existing struct {
	pdf    []byte
	line   []byte         // its record; nil: none
	record *record.Record // nil: not a summary of ours
	intact bool           // its bytes and signatures are sound
	signed bool           // a signature is on it, sound or not
}

// signatureMarks are in every signed summary; one that is damaged still has one of them.
var signatureMarks = []string{"/ByteRange", "/ETSI.CAdES.detached"}

func existingOf(pdf []byte) existing {
	s := existing{pdf: pdf}
	for _, mark := range signatureMarks {
		s.signed = s.signed || bytes.Contains(pdf, []byte(mark))
	}
	examined, err := signoff.Examine(pdf, nil)
	if err == nil {
		s.intact = examined.Sound
		if examined.Document != nil && !examined.Document.Signed { // it can be read, and nothing follows it: it was typed
			s.signed = false
		}
	}
	if s.intact && examined.Document.NotRead == nil { // no reader shows others
		s.line, s.record = recordAmong(examined.Document.Attached)
	} else {
		s.line, s.record = recordIn(pdf)
	}
	if s.record != nil && s.record.Options.SignedBy != nil && !s.signed { // its pages say who signed, and that signature was taken away
		s.signed, s.intact = true, false
	}
	return s
}

// recordIn is the record in a summary of ours, as far as it can be read.
func recordIn(pdf []byte) (line []byte, found *record.Record) {
	files, _ := signoff.Attachments(pdf)
	return recordAmong(files)
}

func recordAmong(files []signoff.Attachment) (line []byte, found *record.Record) {
	for _, f := range files {
		if f.Name != pdfout.RecordName {
			continue
		}
		if r, err := record.Parse(f.Bytes, 0); err == nil {
			line, found = f.Bytes, r
		}
	}
	return line, found
}

// issued says whether a file must never be replaced: it is signed or numbered.
func (s existing) issued() bool { return s.signed || s.record != nil && s.record.Issuer.Number != "" }

// ours says whether it is an intact summary of the same job.
func (s existing) ours(r *record.Record) bool {
	return s.intact && s.record != nil && s.record.Job == r.Job && !otherOutfit(&s.record.Outfit, &r.Outfit)
}

// verified verifies a summary that is to be left in its place, pages too, and
// wants it signed by the one with this fingerprint, if any.
func (s existing) verified(fingerprint string) error {
	found := flow.Verify(s.pdf, nil)
	if !found.Usable {
		return errors.New(found.Last)
	}
	return signedBy(found.Signers, fingerprint)
}

func signedBy(signers []signoff.Signer, fingerprint string) error {
	if fingerprint == "" {
		return nil
	}
	for _, by := range signers {
		if by.Fingerprint == fingerprint {
			return nil
		}
	}
	return errors.New("it is not signed with this key")
}

// mostEnds bounds how many ends of a file are looked at: each signature adds one.
const mostEnds = 1000

// asIssued says whether a file begins with all bytes of the file that has the
// hash: a countersignature is added behind them. Whether what was added is only
// signatures, verify finds.
func asIssued(pdf []byte, fileSHA256 string) bool {
	h, at := sha256.New(), 0
	is := func(end int) bool {
		h.Write(pdf[at:end])
		at = end
		return hex.EncodeToString(h.Sum(nil)) == fileSHA256
	}
	mark := []byte("%%EOF")
	for range mostEnds {
		i := bytes.Index(pdf[at:], mark)
		if i < 0 {
			break
		}
		end := at + i + len(mark)
		if is(end) || end < len(pdf) && pdf[end] == '\n' && is(end+1) {
			return true
		}
	}
	return is(len(pdf))
}
