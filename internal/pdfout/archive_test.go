package pdfout

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/xml"
	"fmt"
	"io"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/record"
)

// The packer's bytes on made inputs of the kinds that a summary holds. The
// two sums came out the same from builds of Go 1.26 for
// linux/amd64, amd64 with GOAMD64=v3, amd64 with -tags noasm,purego,nounsafe,
// linux/arm64 (under qemu) and js/wasm (under node), each this test itself; a
// like program gave one sum on linux/s390x too.
func TestPackedBytes(t *testing.T) {
	r := rand.New(rand.NewChaCha8([32]byte{1}))
	quick, face := sha256.New(), sha256.New()
	for i := range 200 {
		b := packable(r, i%4, r.IntN(1<<(4+i%14)))
		quick.Write(pack(b, quickPackers))
		face.Write(pack(b, facePackers))
	}
	for name, c := range map[string][2]string{
		"quick": {hex.EncodeToString(quick.Sum(nil)), "bb8cc58a316a7aa3628ec0ba65a10b2dfeb7d2b6e02ba0faf2f97ce4400096e7"},
		"faces": {hex.EncodeToString(face.Sum(nil)), "8d1d7dc3afc534955f17986404d728510368598b01c88d2223f3ba8814382d55"},
	} {
		if c[0] != c[1] {
			t.Errorf("%s: packed bytes %s, want %s", name, c[0], c[1])
		}
	}
}

// packable makes at least n bytes: noise as of a photo, drawing, UTF-16, runs.
func packable(r *rand.Rand, kind, n int) []byte {
	var b bytes.Buffer
	for b.Len() < n {
		switch kind {
		case 0:
			b.WriteByte(byte(r.Uint32()))
		case 1:
			fmt.Fprintf(&b, "%d.%02d %d.%02d l S\n", r.IntN(600), r.IntN(100), r.IntN(800), r.IntN(100))
		case 2:
			b.Write([]byte{0, byte('0' + r.IntN(10)*r.IntN(8))})
		case 3:
			b.Write(bytes.Repeat([]byte{byte(r.IntN(3))}, 1+r.IntN(700)))
		}
	}
	return b.Bytes()
}

// What ISO 19005-3 asks of a file at level 3b, by clause, as far as bytes show it.
func TestPDFA(t *testing.T) {
	eachExample(t, func(t *testing.T, r *record.Record) {
		_, pdf := drawn(t, r, record.File{Name: "tickets.csv", Bytes: []byte("ticket\n")}, record.File{Name: "copy.jpg", Bytes: []byte("\xff\xd8")})
		for _, c := range []struct{ clause, pattern string }{
			{"6.1.2 header", `^%PDF-1\.7\n%[\x80-\xff]{4}\n1 0 obj`},
			{"6.1.3 identifier", `\ntrailer\n<<\n(?s:.*)/ID \[<[0-9a-f]{64}><[0-9a-f]{64}>\]`},
			{"6.2.3 output intent", `/OutputIntents \[<< /Type /OutputIntent /S /GTS_PDFA1 [^>]*/DestOutputProfile \d+ 0 R >>\]`},
			{"6.6.2 metadata", `/Type /Metadata /Subtype /XML /Length`},
			{"6.6.4 version", `<pdfaid:part>3</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>`},
			{"6.8 relation of the record", `/F \(record\.json\) /UF \(record\.json\) /AFRelationship /Data`},
			{"6.8 media type", `/Type /EmbeddedFile /Subtype /image#2Fjpeg /Params << /Size 2 /ModDate`},
			{"6.8 associated files", `/AF \[\d+ 0 R \d+ 0 R \d+ 0 R\]`},
		} {
			if !regexp.MustCompile("(?s-m)" + c.pattern).Match(latin1(pdf)) {
				t.Errorf("%s: nothing like %s", c.clause, c.pattern)
			}
		}
		for clause, key := range map[string]string{"6.1.3": "/Encrypt", "6.1.7": "/LZWDecode", "6.4 transparency": "/SMask", "6.4": "/ca ", "6.5.1 actions": "/JavaScript", "6.5": "/OpenAction",
			"6.2.11.4 fonts not embedded": "/Type1"} {
			if bytes.Contains(pdf, []byte(key)) {
				t.Errorf("%s: %s in the file", clause, key)
			}
		}
		packet := regexp.MustCompile(`(?s)<\?xpacket.*end="r"\?>`).Find(pdf)
		for d := xml.NewDecoder(bytes.NewReader(packet)); ; {
			if _, err := d.Token(); err == io.EOF && len(packet) > 0 {
				break
			} else if err != nil {
				t.Fatalf("the metadata: %v", err)
			}
		}
	})
}

// latin1 lets a pattern match single bytes.
func latin1(b []byte) []byte {
	var out strings.Builder
	for _, c := range b {
		out.WriteRune(rune(c))
	}
	return []byte(out.String())
}

// The three primaries add up to white, and their Y to 1: by the definition of
// RGB = (1, 1, 1). Y of the primaries in D50 are 0.2225, 0.7169, 0.0606 in
// the profiles that the ICC publishes (from memory).
func TestColourProfile(t *testing.T) {
	for i, white := range whiteD50 {
		sum := primaries["rXYZ"][i] + primaries["gXYZ"][i] + primaries["bXYZ"][i]
		if sum < white-1 || sum > white+1 {
			t.Errorf("component %d of the primaries adds up to %d, want %d", i, sum, white)
		}
	}
	for name, want := range map[string]fixed{"rXYZ": 14582, "gXYZ": 46983, "bXYZ": 3972} { // times 65,536
		if got := primaries[name][1]; got < want-4 || got > want+4 {
			t.Errorf("Y of %s is %d, want %d", name, got, want)
		}
	}
	p := colourProfile()
	if len(p) != int(p[2])<<8|int(p[3]) || string(p[36:40]) != "acsp" || len(p)%4 != 0 {
		t.Errorf("a profile of %d bytes says % x", len(p), p[:4])
	}
	if g := curve[0]; g != 157286 { // 2.4 · 65,536 = 157,286.4
		t.Errorf("exponent %d", g)
	}
}
