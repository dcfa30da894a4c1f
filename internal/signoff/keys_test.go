package signoff

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/ed25519"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"errors"
	"io"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	pkcs12 "software.sslmate.com/src/go-pkcs12"
)

// selfSigned is a certificate without an issuer, as many owners have one.
func selfSigned(t testing.TB, k crypto.Signer, name string, usage x509.KeyUsage) *x509.Certificate {
	t.Helper()
	c := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name},
		NotBefore: when.AddDate(-1, 0, 0), NotAfter: when.AddDate(9, 0, 0), KeyUsage: usage}
	der, err := x509.CreateCertificate(rand.Reader, c, c, k.Public(), k)
	if err != nil {
		t.Fatal(err)
	}
	out, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func sealed(t testing.TB, k any, c *x509.Certificate, more ...*x509.Certificate) []byte {
	t.Helper()
	p12, err := pkcs12.Modern.Encode(k, c, more, "pw")
	if err != nil {
		t.Fatal(err)
	}
	return p12
}

var madeRSA = sync.OnceValues(func() (*rsa.PrivateKey, error) { return rsa.GenerateKey(rand.Reader, minRSABits) })

func rsaSigner(t testing.TB) *SigningKey {
	t.Helper()
	k, err := madeRSA()
	if err != nil {
		t.Fatal(err)
	}
	s, err := LoadSigningKey(sealed(t, k, selfSigned(t, k, "RSA signer", 0)), "pw")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestNewKey(t *testing.T) {
	k := madeKey(t, weigher)
	s := madeSigner(t, weigher)
	if s.Name != weigher {
		t.Errorf("name %q, want %q", s.Name, weigher)
	}
	if pub, ok := s.Certificate.PublicKey.(*ecdsa.PublicKey); !ok || pub.Curve != elliptic.P256() {
		t.Errorf("key %T, want ECDSA P-256", s.Certificate.PublicKey)
	}
	ca := certificates(t, k.PEM)[0]
	if err := s.Certificate.CheckSignatureFrom(ca); err != nil || !ca.IsCA {
		t.Errorf("the certificate handed out did not issue the signer's: %v", err)
	}
	if bytes.Contains(k.PEM, []byte("KEY")) {
		t.Error("a key is in the file to hand out")
	}
	again, err := NewKey(weigher, when.AddDate(0, -1, 0), "päss wörd", seeded(weigher))
	if err != nil || !bytes.Equal(again.PEM, k.PEM) {
		t.Errorf("the same randomness makes another key: %v", err)
	}
	other, err := NewKey(weigher, when.AddDate(0, -1, 0), "päss wörd", seeded("another"))
	if err != nil || bytes.Equal(other.PEM, k.PEM) {
		t.Errorf("other randomness makes the same key: %v", err)
	}
}

func TestNewKeyRefuses(t *testing.T) {
	for _, c := range []struct {
		name, password string
		random         io.Reader
	}{
		{"", "pw", seeded("a")},
		{strings.Repeat("ž", 65), "pw", seeded("a")},
		{"two\nlines", "pw", seeded("a")},
		{"not UTF-8 \xff", "pw", seeded("a")},
		{"no password", "", seeded("a")},
		{"no randomness", "pw", strings.NewReader("short")},
		{"all zeros", "pw", zeros{}}, // not a key: 0 < d < n
	} {
		if k, err := NewKey(c.name, when, c.password, c.random); err == nil || k != nil {
			t.Errorf("%q: a key was made", c.name)
		}
	}
}

type zeros struct{}

func (zeros) Read(b []byte) (int, error) { clear(b); return len(b), nil }

func TestLoadSigningKey(t *testing.T) {
	p384, _ := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	p521, _ := ecdsa.GenerateKey(elliptic.P521(), rand.Reader)
	for _, k := range []*ecdsa.PrivateKey{p384, p521} {
		s, err := LoadSigningKey(sealed(t, k, selfSigned(t, k, "x", x509.KeyUsageDigitalSignature)), "pw")
		if err != nil {
			t.Fatal(err)
		}
		worst(t, signed(t, finished(t), s, when), holds, s.Certificate)
	}
	// The signer's certificate need not be the first.
	other := selfSigned(t, p521, "other", 0)
	s, err := LoadSigningKey(sealed(t, p384, other, selfSigned(t, p384, "mine", 0)), "pw")
	if err != nil || s.Name != "mine" {
		t.Errorf("signer %v: %v", s, err)
	}
}

func TestLoadSigningKeyRefuses(t *testing.T) {
	ec, _ := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	ec2, _ := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	_, ed, _ := ed25519.GenerateKey(rand.Reader)
	weak, _ := rsa.GenerateKey(rand.Reader, 1024)
	good := sealed(t, ec, selfSigned(t, ec, "x", 0))
	for _, c := range []struct {
		name     string
		p12      []byte
		password string
		want     string
	}{
		{"wrong password", good, "secret-typed-wrong", errPassword.Error()},
		{"no password", good, "", errPassword.Error()},
		{"another's certificate", sealed(t, ec, selfSigned(t, ec2, "x", 0)), "pw", errKeyMismatch.Error()},
		{"Ed25519", sealed(t, ed, selfSigned(t, ed, "x", 0)), "pw", "kind of key"},
		{"RSA of 1024 bits", sealed(t, weak, selfSigned(t, weak, "x", 0)), "pw", "1024 bits"},
		{"an issuer's certificate", sealed(t, ec, selfSigned(t, ec, "x", x509.KeyUsageCertSign)), "pw", "not issued for signing"},
		{"a text", []byte("hello"), "pw", "not a PKCS#12 file"},
		{"empty", nil, "pw", "not a PKCS#12 file"},
		{"cut", good[:len(good)/2], "pw", "not a PKCS#12 file"},
	} {
		s, err := LoadSigningKey(c.p12, c.password)
		if err == nil || s != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want one with %q", c.name, err, c.want)
		}
		if err != nil && c.password != "" && strings.Contains(err.Error(), c.password) {
			t.Errorf("%s: the password is in the error", c.name)
		}
	}
	if _, err := LoadSigningKey(good, "no"); !errors.Is(err, errPassword) {
		t.Errorf("wrong password: %v, want errPassword", err)
	}
}

// PKCS#12 files as openssl makes them: today's form and the old one.
func TestOpenSSLKeys(t *testing.T) {
	dir := t.TempDir()
	path := func(s string) string { return filepath.Join(dir, s) }
	algorithms := map[string][]string{
		"rsa": {"-newkey", "rsa:2048"},
		"ec":  {"-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"},
	}
	count := 0
	for alg, args := range algorithms {
		run(t, "openssl", append([]string{"req", "-x509", "-nodes", "-utf8", "-days", "400", "-subj", "/CN=Ján Kováč",
			"-keyout", path("key.pem"), "-out", path("cert.pem")}, args...)...)
		for form, flags := range map[string][]string{"default": nil, "legacy": {"-legacy"}} {
			run(t, "openssl", append([]string{"pkcs12", "-export", "-inkey", path("key.pem"), "-in", path("cert.pem"),
				"-out", path("k.p12"), "-passout", "pass:heslo"}, flags...)...)
			p12, err := os.ReadFile(path("k.p12"))
			if err != nil {
				t.Fatal(err)
			}
			s, err := LoadSigningKey(p12, "heslo")
			if err != nil {
				t.Fatalf("%s, %s: %v", alg, form, err)
			}
			if s.Name != "Ján Kováč" {
				t.Errorf("%s, %s: name %q", alg, form, s.Name)
			}
			worst(t, signed(t, finished(t), s, s.Certificate.NotBefore), holds, s.Certificate)
			if _, err := LoadSigningKey(p12, "Heslo"); !errors.Is(err, errPassword) {
				t.Errorf("%s, %s, wrong password: %v, want errPassword", alg, form, err)
			}
			count++
		}
	}
	if count != 4 {
		t.Errorf("%d files tried, want 4", count)
	}
}
