package main

import (
	"bytes"
	"encoding/ascii85"
	"math/rand/v2"
	"testing"
)

// The package ascii85 of the standard library, whose digits are other characters
// and which writes four zeros as z, reads the same bytes.
func TestBase85(t *testing.T) {
	if len(digits85) != 85 {
		t.Fatalf("%d digits", len(digits85))
	}
	random := rand.NewChaCha8([32]byte{85})
	for n := range 300 {
		want := make([]byte, n)
		random.Read(want)
		if n%3 == 0 {
			clear(want[:n/2])
		}
		text := base85(want)
		if bytes.ContainsAny(text, "<&\\\"' \r\n") {
			t.Errorf("%d bytes: %q has a character that HTML or a server may change", n, text)
		}
		theirs := make([]byte, len(text))
		for i, c := range text {
			theirs[i] = '!' + byte(bytes.IndexByte(digits85, c))
		}
		got := make([]byte, 4*len(text))
		size, _, err := ascii85.Decode(got, theirs, true)
		if err != nil || !bytes.Equal(got[:size], want) {
			t.Errorf("%d bytes read back: %x, %v (want %x)", n, got[:size], err, want)
		}
	}
}
