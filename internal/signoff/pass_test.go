package signoff

import (
	"bytes"
	"math/rand/v2"
	"testing"
)

// What is passed without being kept reads in full: to the same end, as many values, and
// nothing forbidden. Objects as this program writes them and as it does not, each with
// up to three changes.
func TestPassedReads(t *testing.T) {
	const drawn, letters = 200_000, " \n<>[]()/#%\\0123456789RabcFLength\x00\xff"
	seeds := [][]byte{
		[]byte("<< /A 1 /B (text) /C [1 2 0 R << /D /E >>] /F <414243> /G true /H -1.5 /I null >>"),
		[]byte("[(a\\(b) (a(b)c) <4 1 4> /A#20B /Linearized 12 0 R 12 0 13 4294967296]"),
		[]byte("<< /Type /ObjStm /Length 5 >>"), []byte("<< /A 1 /A 2 >>"), []byte("<< /Encrypt 1 0 R >>"),
		bytes.Repeat([]byte("["), maxDepth), append(bytes.Repeat([]byte("<</A"), maxDepth), " 1"...),
	}
	d := opened(t, finished(t))
	for _, o := range d.objects[1:] {
		seeds = append(seeds, d.pdf[o.start:min(o.end, o.start+300)])
	}
	rng := rand.New(rand.NewPCG(28, 11))
	passed, not := 0, 0
	for range drawn {
		b := bytes.Clone(seeds[rng.IntN(len(seeds))])
		for range rng.IntN(4) {
			at, c := rng.IntN(len(b)), letters[rng.IntN(len(letters))]
			switch rng.IntN(3) {
			case 0:
				b[at] = c
			case 1:
				b = append(b[:at], b[min(at+1+rng.IntN(3), len(b)-1):]...)
			default:
				b = append(b[:at], append([]byte{c}, b[at:]...)...)
			}
		}
		l, full := &lexer{b: b, strict: true}, &lexer{b: b, strict: true}
		if !l.pass(0) {
			not++
			continue
		}
		passed++
		v, err := full.object(0)
		if err != nil || full.at != l.at || full.values != l.values || forbidden(v) != nil || forbidden(stream{dict: asDict(v)}) != nil {
			t.Fatalf("%q: passed to %d with %d values; read to %d with %d: %v, %v", b, l.at, l.values, full.at, full.values, err, forbidden(v))
		}
	}
	if passed < drawn/4 || not < drawn/4 {
		t.Errorf("%d passed, %d not", passed, not)
	}
}

func asDict(v any) dict {
	d, _ := v.(dict)
	return d
}

// A finished file is passed, all but objects with an escape in a name: nothing of it needs
// to be kept until somebody asks.
func TestFinishedIsPassed(t *testing.T) {
	d := opened(t, finished(t))
	read := 0
	for _, o := range d.objects[1:] {
		if o.read {
			read++
		}
	}
	if most := len(d.objects) / 20; read > most {
		t.Errorf("%d of %d objects were read in full (want at most %d)", read, len(d.objects)-1, most)
	}
}

// The length of a stream is what its dictionary ends with, in one spelling.
func TestLastLength(t *testing.T) {
	for text, want := range map[string]int{
		"<< /Length 0 >>": 0, "<< /A 1 /Length 12 >>": 12, "<< /Length 00 >>": -1, "<< /Length 012 >>": -1, "<< /Length +1 >>": -1, "<< /Length  1 >>": -1,
		"<< /Length 1  >>": -1, "<< /Length 1>>": -1, "<< /Length 1 0 R >>": -1, "<< /Length 1 /A 2 >>": -1, "<</Length 1 >>": -1, "<< /Length 2147483648 >>": -1, "": -1,
	} {
		n, err := lastLength([]byte(text))
		if err != nil {
			n = -1
		}
		if n != want {
			t.Errorf("%q: %d (want %d)", text, n, want)
		}
	}
}
