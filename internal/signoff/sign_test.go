package signoff

import (
	"bytes"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/hex"
	"encoding/pem"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// certificates reads the file that NewKey hands out.
func certificates(t testing.TB, file []byte) []*x509.Certificate {
	t.Helper()
	b, rest := pem.Decode(file)
	if b == nil || len(rest) > 0 {
		t.Fatalf("%d bytes behind the certificate", len(rest))
	}
	c, err := x509.ParseCertificate(b.Bytes)
	if err != nil {
		t.Fatal(err)
	}
	return []*x509.Certificate{c}
}

func examined(t testing.TB, pdf []byte, trust ...*x509.Certificate) (*Document, []Finding) {
	t.Helper()
	e, err := Examine(pdf, trust)
	if err != nil {
		t.Fatal(err)
	}
	return e.Document, e.Findings
}

// worst fails unless what pdf comes to is of status want.
func worst(t testing.TB, pdf []byte, want string, trust ...*x509.Certificate) []Finding {
	t.Helper()
	e, err := Examine(pdf, trust)
	if err != nil {
		t.Fatal(err)
	}
	got := notChecked
	switch {
	case !e.Sound:
		got = unsound
	case e.Best != nil && e.Best.Trusted:
		got = holds
	}
	if got != want {
		t.Errorf("the file is %s (%+v), want %s: %+v", got, e.Best, want, e.Findings)
	}
	return e.Findings
}

func TestSignAndExamine(t *testing.T) {
	base := finished(t)
	worst(t, base, notChecked)
	pdf := signed(t, base, madeSigner(t, weigher), when)
	ca := certificates(t, madeKey(t, weigher).PEM)
	leaf := madeSigner(t, weigher).Certificate
	worst(t, pdf, notChecked)
	worst(t, pdf, holds, ca...)
	worst(t, pdf, holds, leaf)
	worst(t, pdf, notChecked, madeSigner(t, owner).Certificate)
	worst(t, pdf, holds, madeSigner(t, owner).Certificate, leaf)
	if !bytes.HasPrefix(pdf, base) {
		t.Error("the signed file does not begin with the finished one")
	}
}

func TestCountersign(t *testing.T) {
	pdf := twice(t)
	d, _ := examined(t, pdf)
	sigs := d.signatures()
	if len(sigs) != 2 {
		t.Fatalf("%d signatures, want 2", len(sigs))
	}
	for i, want := range []string{weigher, owner} {
		s := sigs[i]
		if !s.intact() || s.Signer != want || s.Name != want || s.Reason != "weighed and reconciled" || s.Location != "Žilina" {
			t.Errorf("signature %d: %+v", i+1, s)
		}
		if at := when.Add(time.Duration(i) * time.Hour); !s.When.Equal(at) {
			t.Errorf("signature %d at %s, want %s", i+1, s.When, at)
		}
	}
	if sigs[0].End != sigs[1].Start || sigs[1].End != len(pdf) || sigs[0].Start != len(d.unsigned()) {
		t.Errorf("the signatures do not meet: %d–%d, %d–%d of %d", sigs[0].Start, sigs[0].End, sigs[1].Start, sigs[1].End, len(pdf))
	}
	if !bytes.Equal(d.unsigned(), finished(t)) {
		t.Error("the unsigned part is not the finished file")
	}
	// The best signature counts, whichever of the two it is.
	worst(t, pdf, holds, certificates(t, madeKey(t, weigher).PEM)...)
	worst(t, pdf, holds, certificates(t, madeKey(t, owner).PEM)...)
	worst(t, pdf, notChecked, rsaSigner(t).Certificate)
}

func TestMostSignatures(t *testing.T) {
	pdf := finished(t)
	for i := range maxSignatures {
		pdf = signed(t, pdf, madeSigner(t, owner), when.Add(time.Duration(i)*time.Minute))
	}
	worst(t, pdf, holds, madeSigner(t, owner).Certificate)
	if _, err := Sign(pdf, madeSigner(t, owner), when, ""); err == nil {
		t.Errorf("signature %d was added", maxSignatures+1)
	}
}

func TestSameInputSameBytes(t *testing.T) {
	for _, s := range []*SigningKey{madeSigner(t, weigher), rsaSigner(t)} {
		a := signed(t, finished(t), s, when)
		b := signed(t, finished(t), s, when)
		if !bytes.Equal(a, b) {
			t.Errorf("%s: two signatures of one file at one time differ", s.Name)
		}
		if c := signed(t, finished(t), s, when.Add(time.Second)); bytes.Equal(a, c) {
			t.Errorf("%s: the time of signing makes no difference", s.Name)
		}
	}
}

func TestSignRefuses(t *testing.T) {
	s := madeSigner(t, weigher)
	at := func(d time.Time) claims { return claims{when: d} }
	changed := finished(t)
	changed[len(changed)/2] ^= 1
	late := s.Certificate.NotAfter.Add(time.Second)
	for _, c := range []struct {
		name string
		pdf  []byte
		says claims
		want string
	}{
		{"before the certificate", finished(t), at(s.Certificate.NotBefore.Add(-time.Second)), "is valid from"},
		{"after the certificate", finished(t), at(late), "is valid from"},
		{"changed file", changed, at(when), "id_differs"},
		{"no hash filled in", drawn(t, "x", nil), at(when), "id_differs"},
		{"cut file", finished(t)[:9000], at(when), "stream_length"},
		{"not a PDF", []byte("PK"), at(when), "not a PDF"},
		{"not UTF-8", finished(t), claims{when: when, reason: "\xff"}, "not UTF-8"},
	} {
		_, err := signSaying(c.pdf, s, c.says)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
	}
	if _, err := Sign(changed, s, when, ""); err == nil || !strings.HasPrefix(err.Error(), "not signed: ") {
		t.Errorf("a changed file: %v", err)
	}
}

// A signature is judged at the time it states, not at the present.
func TestTrustThen(t *testing.T) {
	then := time.Date(2011, 5, 1, 12, 0, 0, 0, time.UTC)
	k, err := NewKey(weigher, then, "pw", seeded("long ago"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := LoadSigningKey(k.P12, "pw")
	if err != nil {
		t.Fatal(err)
	}
	worst(t, signed(t, finished(t), s, then.AddDate(1, 0, 0)), holds, certificates(t, k.PEM)...)
}

// A certificate given is trusted as it is, also one that says of itself what
// this program does not know.
func TestTrustEqual(t *testing.T) {
	k, err := madeRSA()
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{SerialNumber: big.NewInt(2), Subject: pkix.Name{CommonName: "x"}, NotBefore: when, NotAfter: when,
		ExtraExtensions: []pkix.Extension{{Id: asn1.ObjectIdentifier{1, 2, 3}, Critical: true, Value: []byte{5, 0}}}}
	der, err := x509.CreateCertificate(rand.Reader, c, c, k.Public(), k)
	if err != nil {
		t.Fatal(err)
	}
	if c, err = x509.ParseCertificate(der); err != nil {
		t.Fatal(err)
	}
	s, err := LoadSigningKey(sealed(t, k, c), "pw")
	if err != nil {
		t.Fatal(err)
	}
	worst(t, signed(t, finished(t), s, when), holds, s.Certificate)
}

// A certificate not valid at the time stated, signed all the same by a
// program that does not care: intact, and not trusted.
func TestExpiredAtSigning(t *testing.T) {
	s := madeSigner(t, weigher)
	old := *s.Certificate
	old.NotAfter = when.AddDate(20, 0, 0)
	careless := &SigningKey{key: s.key, Certificate: &old, chain: s.chain}
	pdf := signed(t, finished(t), careless, when.AddDate(10, 0, 0))
	notTrusted(t, pdf, notValidThen, s.Certificate)
}

// notTrusted fails unless the only signer of pdf is not trusted for code alone.
func notTrusted(t testing.TB, pdf []byte, code string, trust ...*x509.Certificate) {
	t.Helper()
	e, err := Examine(pdf, trust)
	if err != nil {
		t.Fatal(err)
	}
	if len(e.Signers) != 1 || e.Signers[0].Trusted || !slices.Equal(e.Signers[0].Why, []string{code}) || !e.Sound || e.Best != &e.Signers[0] {
		t.Errorf("best %+v, signers %+v, want sound and not trusted for %s: %v", e.Best, e.Signers, code, e.Findings)
	}
}

// The name next to a signature is free text: the certificate's comes first.
func TestNameOfAnother(t *testing.T) {
	pdf, err := signSaying(finished(t), madeSigner(t, owner), claims{when: when, name: "the inspector\x1b[2J"})
	if err != nil {
		t.Fatal(err)
	}
	f := worst(t, pdf, notChecked)
	if f[1].Code != signatureIntact || f[1].arg("signature") != 1 || f[1].arg("signer") != owner || f[1].arg("as") != "the inspector\x1b[2J" {
		t.Errorf("finding %+v", f[1])
	}
}

var reRange = regexp.MustCompile(`/ByteRange \[0 (\d+) (\d+) (\d+) *\]`)

// extracted finds the n-th signature by means of its own: the signed bytes
// and the DER, for programs of others.
func extracted(t *testing.T, pdf []byte, n int) (content, der []byte) {
	t.Helper()
	m := reRange.FindAllSubmatch(pdf, -1)
	if len(m) <= n {
		t.Fatalf("%d byte ranges, want more than %d", len(m), n)
	}
	at := func(i int) int { v, _ := strconv.Atoi(string(m[n][i])); return v }
	der, err := hex.DecodeString(string(pdf[at(1)+1 : at(2)-1]))
	if err != nil || pdf[at(1)] != '<' || pdf[at(2)-1] != '>' {
		t.Fatalf("the gap is not /Contents: %v", err)
	}
	if der[0] != 0x30 || der[1] != 0x82 {
		t.Fatalf("the signature begins with %x", der[:2])
	}
	size := 4 + int(der[2])<<8 + int(der[3])
	return append(bytes.Clone(pdf[:at(1)]), pdf[at(2):at(2)+at(3)]...), der[:size]
}

// The room left after a signature: only what an ECDSA signature may be
// shorter than the longest one, and zero.
func TestRoomLeft(t *testing.T) {
	for _, c := range []struct {
		signer *SigningKey
		most   int // P-256: two integers of up to 33 bytes (FIPS 186-5), each may lose some; RSA: one length
	}{{madeSigner(t, weigher), 6}, {rsaSigner(t), 0}} {
		pdf := signed(t, finished(t), c.signer, when)
		_, der := extracted(t, pdf, 0)
		room, err := capacity(c.signer.chain)
		if err != nil || room-len(der) > c.most || room < len(der) {
			t.Errorf("%s: room %d for %d bytes: %v", c.signer.Name, room, len(der), err)
		}
	}
}

// TestWidget: the signature's field is one that PDF/A allows (ISO 19005-3, 6.3.2
// and 6.3.3): its Print flag set, Hidden, Invisible and NoView clear, and a
// rectangle without size, which needs no appearance.
func TestWidget(t *testing.T) {
	d := opened(t, signed(t, finish(t, drawn(t, "x", nil)), madeSigner(t, "yard"), when))
	after := string(d.pdf[len(d.unsigned()):])
	for _, want := range []string{"/Subtype /Widget", "/F 132", "/Rect [0 0 0 0]", "/SigFlags 3"} {
		if !strings.Contains(after, want) {
			t.Errorf("the update lacks %q", want)
		}
	}
	for _, unwanted := range []string{"/A ", "/AA ", "/NeedAppearances", "/XFA", "/Perms"} {
		if strings.Contains(after, unwanted) {
			t.Errorf("the update has %q", unwanted)
		}
	}
}
