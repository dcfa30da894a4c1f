package flow

import (
	"bytes"
	"fmt"

	"reconcile/internal/signoff"
	"reconcile/internal/words"
)

// Usable reports, as an error, that a file must not be signed, compared with or
// left in its place: verify does not call it sound, or its pages are those of
// another version, which nobody here has checked.
func (v *Verification) Usable() error {
	switch v.Outcome {
	case signoff.Vouched, signoff.SignedBy, signoff.Unsigned:
		return nil
	}
	return fmt.Errorf("%s", v.Last())
}

// Last is the outcome in words, the last line on a file.
func (v *Verification) Last() string {
	name, fingerprint := "", ""
	if v.Best != nil {
		name, fingerprint = v.Best.Name, v.Best.Fingerprint
	}
	return words.VerifyOutcome(v.Outcome, name, fingerprint, v.Findings)
}

// Earlier is the record of an earlier visit's summary, as it is attached there.
// It is refused where verify would not call the summary sound.
func Earlier(pdf []byte, known versions) ([]byte, error) {
	v := Verify(pdf, nil, known)
	if err := v.Usable(); err != nil {
		return nil, fmt.Errorf("the earlier summary cannot be used: %w", err)
	}
	return v.Line, nil
}

// Signed says whether a file carries a signature, sound or not.
func Signed(pdf []byte) bool {
	d, err := signoff.Open(pdf)
	if err != nil {
		return bytes.Contains(pdf, []byte("/ByteRange"))
	}
	return d.Signed()
}
