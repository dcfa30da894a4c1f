package signoff

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"hash"
	"regexp"
)

// idDigits is the length of each of the two strings of /ID, in hex digits.
const idDigits = 2 * sha256.Size

// idMark begins the identifier as pdfout writes it.
const idMark = "/ID [<"

// id returns the identifier as text, 64 lower-case hex digits, as the first
// of the two strings has it.
func (d *Document) id() string { return string(d.pdf[d.idAt : d.idAt+idDigits]) }

// FillID sets both strings of the /ID of a finished, unsigned PDF to the
// SHA-256 of the file in lower-case hex, the digits counted as 0. What the 64
// digits were before does not matter. It writes into pdf, and gives the SHA-256 that
// the file then has.
func FillID(pdf []byte) (sum string, err error) {
	at := blankID(pdf)
	if at == 0 {
		d, err := open(pdf)
		if err != nil {
			return "", err
		}
		if d.Signed {
			return "", errors.New("the file has an update: its /ID stays")
		}
		at = d.idAt
	}
	h := sha256.New()
	h.Write(pdf[:at])
	whole, err := h.(hash.Cloner).Clone() // nearly all of the file is before its /ID: it is hashed once
	if err != nil {
		return "", err
	}
	setID(pdf, at, withoutID(h, pdf[at:]))
	whole.Write(pdf[at:])
	return hex.EncodeToString(whole.Sum(nil)), nil
}

// drawnEnd is the end of a file that was just drawn, its identifier still zeros:
// there is nothing to look for in the rest of it, and no update.
var drawnEnd = regexp.MustCompile(`/ID \[<(0{64})><0{64}>\]\n>>\nstartxref\n\d+\n%%EOF\n$`)

// blankID is where the identifier of a file that was just drawn begins; 0: it is none.
func blankID(pdf []byte) int {
	end := max(0, len(pdf)-endRoom)
	if at := drawnEnd.FindSubmatchIndex(pdf[end:]); at != nil {
		return end + at[2]
	}
	return 0
}

// endRoom is more than such an end takes.
const endRoom = 512

// checkID reports, as an error, that the /ID of the finished file is not the
// SHA-256 of its bytes in both strings. It is compared as text: no other
// spelling of the digits will do.
func (d *Document) checkID() error {
	pdf := d.unsigned()
	got := pdf[d.idAt : d.idAt+2*idDigits+len("><")]
	want := bytes.Clone(got)
	setID(want, 0, d.computedID())
	if !bytes.Equal(got, want) {
		return damaged(idDiffers, "computed", string(want[:idDigits]), "carried", string(got[:idDigits]))
	}
	return nil
}

// computedID is the identifier that the finished file has to have.
func (d *Document) computedID() string {
	if d.hash == "" {
		d.hash = hashWithoutID(d.unsigned(), d.idAt)
	}
	return d.hash
}

// setID writes both strings at offset at.
func setID(pdf []byte, at int, digits string) {
	copy(pdf[at:], digits)
	copy(pdf[at+idDigits+len("><"):], digits)
}

// hashWithoutID is the SHA-256 of pdf with the digits of its /ID as 0.
func hashWithoutID(pdf []byte, at int) string {
	h := sha256.New()
	h.Write(pdf[:at])
	return withoutID(h, pdf[at:])
}

// withoutID goes on with rest, which begins with the digits.
func withoutID(h hash.Hash, rest []byte) string {
	zeros := bytes.Repeat([]byte("0"), idDigits)
	for _, part := range [][]byte{zeros, []byte("><"), zeros, rest[2*idDigits+len("><"):]} {
		h.Write(part)
	}
	return hex.EncodeToString(h.Sum(nil))
}
