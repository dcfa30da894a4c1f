package flow

import (
	"fmt"

	"reconcile/internal/signoff"
)

// Earlier returns the record of an earlier visit's summary, as its line. It is refused where
// verify would find the summary not sound.
func Earlier(pdf []byte, program string) ([]byte, error) {
	findings, err := Verify(pdf, nil, program)
	if err != nil {
		return nil, err
	}
	for _, f := range findings {
		if f.Status == signoff.Unsound {
			return nil, fmt.Errorf("the earlier summary is not sound: %s", f)
		}
	}
	return AttachedRecord(pdf)
}

// AttachedRecord returns the bytes of the record attached to a summary.
func AttachedRecord(pdf []byte) ([]byte, error) {
	d, err := signoff.Open(pdf)
	if err != nil {
		return nil, err
	}
	files, err := d.Attachments()
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		if f.Name == recordFile {
			return f.Bytes, nil
		}
	}
	return nil, fmt.Errorf("no record is attached")
}

// Holds says whether a file is an intact summary that holds just this record,
// and whether it is signed.
func Holds(pdf, line []byte) (intact, signed bool) {
	examined, err := signoff.Examine(pdf, nil)
	if err != nil || signoff.Worst(examined.Findings) == signoff.Unsound {
		return false, false
	}
	held, err := AttachedRecord(pdf)
	return err == nil && string(held) == string(line), Signed(pdf)
}
