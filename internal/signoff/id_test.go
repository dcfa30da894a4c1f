package signoff

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"regexp"
	"strings"
	"testing"
)

func TestID(t *testing.T) {
	pdf := finished(t)
	id := opened(t, pdf).id()
	// The rule once more, in the fewest words: the hash with the digits as 0.
	zeroed := regexp.MustCompile(`/ID \[<[0-9a-f]{64}><[0-9a-f]{64}>\]`).ReplaceAll(pdf,
		[]byte("/ID [<"+strings.Repeat("0", 64)+"><"+strings.Repeat("0", 64)+">]"))
	h := sha256.Sum256(zeroed)
	if want := hex.EncodeToString(h[:]); id != want || strings.Count(string(pdf), want) != 2 {
		t.Errorf("/ID %s, want %s twice", id, want)
	}
	if err := opened(t, pdf).checkID(); err != nil {
		t.Error(err)
	}
	if again := finish(t, bytes.Clone(pdf)); !bytes.Equal(again, pdf) {
		t.Error("filling in twice makes another file")
	}
	if len(pdf) != len(drawn(t, "do now: nothing", attached())) {
		t.Error("filling in changes the length")
	}
	if opened(t, twice(t)).id() != id {
		t.Error("signing changes the identifier")
	}
}

func TestIDRefuses(t *testing.T) {
	pdf := finished(t)
	at := opened(t, pdf).idAt
	replace := func(old, new string) []byte { return bytes.Replace(pdf, []byte(old), []byte(new), 1) }
	id := string(pdf[at : at+idDigits])
	wrong := func(b []byte) bool {
		d, err := open(b)
		return err != nil || d.checkID() != nil
	}
	for name, b := range map[string][]byte{
		"upper case":       bytes.ReplaceAll(pdf, []byte(id), []byte(strings.ToUpper(id))),
		"second half":      replace("><"+id, "><"+strings.Repeat("0", idDigits)),
		"no identifier":    replace("/ID [<", "/IX [<"),
		"another spelling": replace("/ID [<", "/ID[<"),
		"not hex":          replace(id, "g"+id[1:]),
		"a digit more":     replace(id, "0"+id),
		"a space in it":    replace(id, " "+id[1:]),
		"empty":            nil,
	} {
		if !wrong(b) {
			t.Errorf("%s: found right", name)
		}
	}
	for i := at - len(idMark); i < at+2*idDigits+len("><>]"); i++ {
		for _, flip := range []byte{1, 0x20} {
			b := bytes.Clone(pdf)
			b[i] ^= flip
			if !wrong(b) {
				t.Errorf("byte %d of the identifier, changed to %q: found right", i-at, b[i])
			}
		}
	}
	for name, b := range map[string][]byte{
		"signed": twice(t), "no identifier": replace("/ID [<", "/IX [<"), "not a PDF": []byte("hello"), "cut": pdf[:9000],
	} {
		if sum, err := FillID(bytes.Clone(b)); err == nil || sum != "" {
			t.Errorf("%s: filled in", name)
		}
	}
}
