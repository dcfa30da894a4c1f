package signoff

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
)

// idDigits is the length of each of the two strings of /ID, in hex digits.
const idDigits = 2 * sha256.Size

// idMark begins the identifier as pdfout writes it.
const idMark = "/ID [<"

var errNoID = errors.New(`the trailer holds no "/ID [<64 digits><64 digits>]"`)

// ID returns the two strings of the finished file's /ID as text, lower-case
// hex digits, or two empty strings if it has none in that form.
func (d *Document) ID() [2]string {
	at, err := findID(d.Unsigned())
	if err != nil {
		return [2]string{}
	}
	second := at + idDigits + len("><")
	return [2]string{string(d.pdf[at : at+idDigits]), string(d.pdf[second : second+idDigits])}
}

// FillID returns a copy of a finished, unsigned PDF with both strings of its
// /ID set to the SHA-256 of the file in lower-case hex, the digits counted
// as 0. What stood in the 64 digits before does not matter.
func FillID(pdf []byte) ([]byte, error) {
	d, err := Open(pdf)
	if err != nil {
		return nil, err
	}
	if d.Signed() {
		return nil, errors.New("the file has an update: its /ID stays")
	}
	at, err := findID(pdf)
	if err != nil {
		return nil, err
	}
	out := bytes.Clone(pdf)
	setID(out, at, hashWithoutID(pdf, at))
	return out, nil
}

// CheckID reports, as an error, that the /ID of a finished, unsigned PDF is
// not the SHA-256 of its bytes, or not written as [FillID] writes it.
func CheckID(pdf []byte) error {
	at, err := findID(pdf)
	if err != nil {
		return err
	}
	want := bytes.Clone(pdf[at : at+2*idDigits+len("><")])
	setID(want, 0, hashWithoutID(pdf, at))
	if got := pdf[at : at+len(want)]; !bytes.Equal(got, want) {
		return fmt.Errorf("the file was changed after it was finished: its bytes give the identifier %s, it carries %s", want[:idDigits], got[:idDigits])
	}
	return nil
}

// findID returns the offset of the first digit: in the last trailer, and
// with nothing but digits where digits belong.
func findID(pdf []byte) (int, error) {
	trailer := bytes.LastIndex(pdf, []byte("\ntrailer\n"))
	i := bytes.LastIndex(pdf, []byte(idMark))
	at := i + len(idMark)
	if trailer < 0 || i < trailer || at+2*idDigits+len("><>]") > len(pdf) {
		return 0, errNoID
	}
	field := pdf[at : at+2*idDigits+len("><>]")]
	if string(field[idDigits:idDigits+2]) != "><" || string(field[len(field)-2:]) != ">]" {
		return 0, errNoID
	}
	for _, half := range [][]byte{field[:idDigits], field[idDigits+2 : 2*idDigits+2]} {
		if _, err := hex.DecodeString(string(half)); err != nil {
			return 0, errNoID
		}
	}
	return at, nil
}

// setID writes both strings at offset at.
func setID(pdf []byte, at int, digits string) {
	copy(pdf[at:], digits)
	copy(pdf[at+idDigits+len("><"):], digits)
}

// hashWithoutID is the SHA-256 of pdf with the digits of its /ID as 0.
func hashWithoutID(pdf []byte, at int) string {
	zeros := bytes.Repeat([]byte("0"), idDigits)
	h := sha256.New()
	for _, part := range [][]byte{pdf[:at], zeros, []byte("><"), zeros, pdf[at+2*idDigits+2:]} {
		h.Write(part)
	}
	return hex.EncodeToString(h.Sum(nil))
}
