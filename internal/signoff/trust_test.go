package signoff

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"encoding/hex"
	"math/big"
	"slices"
	"strings"
	"testing"
)

// issue makes a certificate of t for k, issued by an issuer, or by itself.
func issue(t testing.TB, c *x509.Certificate, k crypto.Signer, issuer *SigningKey) *SigningKey {
	t.Helper()
	c.SerialNumber, c.NotBefore, c.NotAfter = big.NewInt(7), when.AddDate(-1, 0, 0), when.AddDate(1, 0, 0)
	by, key := c, k
	if issuer != nil {
		by, key = issuer.Certificate, issuer.key
	}
	der, err := x509.CreateCertificate(rand.Reader, c, by, k.Public(), key)
	if err != nil {
		t.Fatal(err)
	}
	made, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	chain := []*x509.Certificate{made}
	if issuer != nil {
		chain = append(chain, issuer.chain...)
	}
	return &SigningKey{key: k, Certificate: made, chain: chain}
}

func ecKey(t testing.TB, c elliptic.Curve) *ecdsa.PrivateKey {
	t.Helper()
	k, err := ecdsa.GenerateKey(c, rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// authority is a certificate that may issue others.
func authority(name string) *x509.Certificate {
	return &x509.Certificate{Subject: pkix.Name{CommonName: name}, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign}
}

func person(name string) *x509.Certificate {
	return &x509.Certificate{Subject: pkix.Name{CommonName: name}}
}

// What a certificate may be for: RFC 5280, 4.2.1.3 and 4.2.1.12; RFC 9336.
func TestPurposes(t *testing.T) {
	other := asn1.ObjectIdentifier{1, 2, 3, 4}
	for _, c := range []struct {
		name  string
		usage x509.KeyUsage
		known []x509.ExtKeyUsage
		more  []asn1.ObjectIdentifier
		want  string // empty: trusted
	}{
		{"none stated", 0, nil, nil, ""},
		{"any", 0, []x509.ExtKeyUsage{x509.ExtKeyUsageAny}, nil, ""},
		{"email", 0, []x509.ExtKeyUsage{x509.ExtKeyUsageClientAuth, x509.ExtKeyUsageEmailProtection}, nil, ""},
		{"documents", 0, nil, []asn1.ObjectIdentifier{documentSigning}, ""},
		{"documents and another", 0, nil, []asn1.ObjectIdentifier{other, documentSigning}, ""},
		{"signing, stated", x509.KeyUsageDigitalSignature, nil, nil, ""},
		{"content commitment", x509.KeyUsageContentCommitment, nil, nil, ""},
		{"servers", 0, []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, nil, otherPurposes},
		{"code", 0, []x509.ExtKeyUsage{x509.ExtKeyUsageCodeSigning}, nil, otherPurposes},
		{"time stamps", 0, []x509.ExtKeyUsage{x509.ExtKeyUsageTimeStamping}, nil, otherPurposes},
		{"another", 0, nil, []asn1.ObjectIdentifier{other}, otherPurposes},
		{"keys to be encrypted", x509.KeyUsageKeyEncipherment, nil, nil, notForSigning},
	} {
		cert := person("x")
		cert.KeyUsage, cert.ExtKeyUsage, cert.UnknownExtKeyUsage = c.usage, c.known, c.more
		s := issue(t, cert, ecKey(t, elliptic.P256()), nil)
		pdf := signed(t, finished(t), s, when)
		if _, err := LoadSigningKey(sealed(t, s.key, s.Certificate), "pw"); (err == nil) != (c.want == "") {
			t.Errorf("%s: loading the key: %v", c.name, err)
		}
		if c.want != "" {
			notTrusted(t, pdf, c.want, s.Certificate)
			continue
		}
		worst(t, pdf, holds, s.Certificate)
	}
}

func TestWeakKeys(t *testing.T) {
	small, err := rsa.GenerateKey(rand.Reader, 1024)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []*SigningKey{
		issue(t, person("x"), small, nil),
		issue(t, person("x"), ecKey(t, elliptic.P224()), nil),
		issue(t, person("x"), ecKey(t, elliptic.P256()), issue(t, authority("y"), small, nil)),
	} {
		pdf := signed(t, finished(t), s, when)
		notTrusted(t, pdf, weakKey, s.Certificate) // the signer's own certificate given
		notTrusted(t, pdf, weakKey, s.chain[len(s.chain)-1])
	}
}

// The certificates of an issuer restricted to servers count for nobody who signs a document.
func TestIssuerOfServers(t *testing.T) {
	ca := authority("y")
	ca.ExtKeyUsage = []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}
	issuer := issue(t, ca, ecKey(t, elliptic.P256()), nil)
	notTrusted(t, signed(t, finished(t), issue(t, person("x"), ecKey(t, elliptic.P384()), issuer), when), otherPurposes, issuer.Certificate)
}

// Of the two values of s the program writes the lower one; the other verifies
// too, and is not trusted.
func TestHighS(t *testing.T) {
	s := madeSigner(t, weigher)
	for i := range 8 { // a half of all signatures would be high
		pdf := signed(t, finished(t), s, when.AddDate(0, 0, i))
		_, der := extracted(t, pdf, 0)
		e := ecdsaSignature{}
		cms := signatureOf(t, pdf)
		if _, err := asn1.Unmarshal(cms.signature, &e); err != nil {
			t.Fatal(err)
		}
		n := elliptic.P256().Params().N
		if new(big.Int).Lsh(e.S, 1).Cmp(n) > 0 {
			t.Fatalf("signature %d has a high s", i)
		}
		e.S.Sub(n, e.S)
		var err error
		if cms.signature, err = asn1.Marshal(e); err != nil {
			t.Fatal(err)
		}
		other, err := cms.marshal()
		if err != nil {
			t.Fatal(err)
		}
		// Its hex digits in the same room, zeros behind.
		room := opened(t, pdf).contentsAt(t)
		forged := bytes.Clone(pdf)
		copy(forged[room:], strings.Repeat("0", 2*max(len(der), len(other))))
		hex.Encode(forged[room:], other)
		notTrusted(t, forged, sTooHigh, s.Certificate)
	}
}

// signatureOf is the only signature of pdf.
func signatureOf(t testing.TB, pdf []byte) cmsSignature {
	t.Helper()
	sigs := opened(t, pdf).signatures()
	if len(sigs) != 1 || !sigs[0].intact() {
		t.Fatalf("%+v", sigs)
	}
	return *sigs[0].cms
}

// contentsAt is where the hex digits of the first signature begin.
func (d *Document) contentsAt(t testing.TB) int {
	t.Helper()
	mark := []byte("/Contents <")
	i := bytes.Index(d.pdf[d.revisions[1].start:], mark)
	if i < 0 {
		t.Fatal("no signature")
	}
	return d.revisions[1].start + i + len(mark)
}

// The best signature counts.
func TestOutcome(t *testing.T) {
	pdf := twice(t)
	fingerprint := madeSigner(t, weigher).Fingerprint
	comesTo := func(pdf []byte, trust ...*x509.Certificate) *examination {
		e, err := Examine(pdf, trust)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	if got := comesTo(pdf, madeSigner(t, weigher).Certificate); !got.Sound || !got.Best.Trusted || got.Best.Name != weigher || got.Best.Fingerprint != fingerprint {
		t.Errorf("%+v", got)
	}
	one := signed(t, finished(t), madeSigner(t, weigher), when)
	if got := comesTo(one); !got.Sound || got.Best.Trusted || got.Best.Name != weigher || got.Best.Fingerprint != fingerprint {
		t.Errorf("%+v", got)
	}
	if got := comesTo(finished(t)); !got.Sound || got.Best != nil {
		t.Errorf("%+v", got)
	}
	// A later signature whose bytes were changed makes the file not sound.
	bad := bytes.Clone(pdf)
	bad[len(bad)-1500] ^= 1
	if got := comesTo(bad, madeSigner(t, weigher).Certificate); got.Sound || got.Best != nil || why(got) == "" {
		t.Errorf("%+v", got)
	}
	if sound(nil) {
		t.Error("nothing found is sound")
	}
	e, err := Examine(one, []*x509.Certificate{madeSigner(t, weigher).Certificate})
	if err != nil {
		t.Fatal(err)
	}
	if s := e.Signers[0]; !s.Trusted || s.Name != weigher || s.Fingerprint != fingerprint || len(fingerprint) != 64 || !s.At.Equal(when) || !s.ValidFrom.Equal(when.AddDate(0, -1, 0)) {
		t.Errorf("%+v", s)
	}
}

// The fingerprint is the one that openssl prints.
func TestFingerprint(t *testing.T) {
	c := madeSigner(t, owner).Certificate
	out := run(t, "openssl", "x509", "-inform", "DER", "-in", file(t, "c.der", c.Raw), "-noout", "-fingerprint", "-sha256")
	_, hexed, _ := strings.Cut(strings.TrimSpace(out), "=")
	if got := fingerprint(c); got != strings.ReplaceAll(hexed, ":", "") {
		t.Errorf("%s, openssl has %s", got, hexed)
	}
}

// A signer who is not trusted for several reasons has each of them.
func TestEveryReason(t *testing.T) {
	c := person("x")
	c.KeyUsage, c.ExtKeyUsage = x509.KeyUsageKeyEncipherment, []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}
	s := issue(t, c, ecKey(t, elliptic.P224()), nil)
	e, err := Examine(signed(t, finished(t), s, when), nil)
	want := []string{otherPurposes, notForSigning, weakKey, noneGiven}
	if err != nil || len(e.Signers) != 1 || !slices.Equal(e.Signers[0].Why, want) {
		t.Errorf("%+v: %v, want %v", e, err, want)
	}
}
