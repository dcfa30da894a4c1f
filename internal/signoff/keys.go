package signoff

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io"
	"math/big"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	pkcs12 "software.sslmate.com/src/go-pkcs12"
)

// Errors of reading and making keys. None of them holds a password or any
// part of a key.
var (
	errPassword    = errors.New("the password does not open this PKCS#12 file")
	errKeyMismatch = errors.New("the key in this PKCS#12 file does not fit any certificate in it")
	errNoPassword  = errors.New("a key needs a password")
)

// Of a self-made key.
const (
	keyYears      = 5
	keyIterations = 200_000 // of PBKDF2: about 0.1 s to open
	maxNameLength = 64      // X.520, ub-common-name
)

// minRSABits and maxRSABits bound RSA keys: shorter ones are weak, longer
// ones make a hostile file slow to check.
const (
	minRSABits = 2048
	maxRSABits = 8192
)

// keyFiles is a new signing key: both files that `reconcile key` writes.
type keyFiles struct {
	P12 []byte // key and certificates, sealed with the password: keep
	PEM []byte // the certificate to hand out, for --trust
}

// NewKey makes a signing key (ECDSA P-256) for name, valid for five years
// from now. The certificate to hand out is that of an issuer made for this
// one key, whose own key is thrown away: other readers trust a signer through
// an issuer, and few trust a bare self-signed certificate. Self-made means
// that the name is only what its maker typed: who trusts it has taken the
// certificate from the signer's hand.
//
// All secrets come from random: in use, crypto/rand.Reader.
func NewKey(name string, now time.Time, password string, random io.Reader) (*keyFiles, error) {
	if n := utf8.RuneCountInString(name); n == 0 || n > maxNameLength || strings.ContainsFunc(name, unprintable) {
		return nil, fmt.Errorf("%q cannot be the name of a key (1 to %d printable characters)", name, maxNameLength)
	}
	if password == "" {
		return nil, errNoPassword
	}
	rootKey, root, err := newRoot(name, now, random)
	if err != nil {
		return nil, fmt.Errorf("making the issuer: %w", err)
	}
	key, err := newECDSA(random)
	if err != nil {
		return nil, err
	}
	leaf, err := newCertificate(template(name, "", now), root, key, rootKey, random)
	if err != nil {
		return nil, fmt.Errorf("making the certificate: %w", err)
	}
	p12, err := pkcs12.Modern2023.WithRand(random).WithIterations(keyIterations).
		Encode(key, leaf, []*x509.Certificate{root}, password)
	if err != nil {
		return nil, fmt.Errorf("sealing the key: %w", err)
	}
	return &keyFiles{P12: p12, PEM: pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: root.Raw})}, nil
}

// unprintable also finds what is not UTF-8: it reads as U+FFFD.
func unprintable(r rune) bool { return !unicode.IsPrint(r) || r == utf8.RuneError }

// newRoot makes the issuer. Its subject differs from the signer's, else the
// signer's certificate would look self-signed.
func newRoot(name string, now time.Time, random io.Reader) (*ecdsa.PrivateKey, *x509.Certificate, error) {
	key, err := newECDSA(random)
	if err != nil {
		return nil, nil, err
	}
	t := template(name, "self-made issuer", now)
	t.IsCA, t.MaxPathLenZero = true, true
	t.KeyUsage = x509.KeyUsageCertSign
	root, err := newCertificate(t, t, key, key, random)
	return key, root, err
}

func template(name, unit string, now time.Time) *x509.Certificate {
	from := now.UTC().Truncate(time.Second)
	t := &x509.Certificate{
		Subject:               pkix.Name{CommonName: name},
		NotBefore:             from,
		NotAfter:              from.AddDate(keyYears, 0, 0),
		BasicConstraintsValid: true,
		KeyUsage:              x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment,
	}
	if unit != "" {
		t.Subject.OrganizationalUnit = []string{unit}
	}
	return t
}

// newCertificate issues t for key. The serial number comes from random; the
// signature from none at all (RFC 6979).
func newCertificate(t, issuer *x509.Certificate, key, issuerKey *ecdsa.PrivateKey, random io.Reader) (*x509.Certificate, error) {
	var serial [16]byte
	if _, err := io.ReadFull(random, serial[:]); err != nil {
		return nil, err
	}
	serial[0] = serial[0]&0x7f | 0x40 // positive, never zero, one length
	t.SerialNumber = new(big.Int).SetBytes(serial[:])
	der, err := x509.CreateCertificate(nil, t, issuer, key.Public(), issuerKey)
	if err != nil {
		return nil, err
	}
	return x509.ParseCertificate(der)
}

// newECDSA draws a P-256 key from random by rejection (FIPS 186-5, A.2.2);
// ecdsa.GenerateKey no longer reads from the source it is given.
func newECDSA(random io.Reader) (*ecdsa.PrivateKey, error) {
	var b [32]byte
	for range 64 { // one draw in 2^32 is rejected
		if _, err := io.ReadFull(random, b[:]); err != nil {
			return nil, fmt.Errorf("drawing a key: %w", err)
		}
		if key, err := ecdsa.ParseRawPrivateKey(elliptic.P256(), b[:]); err == nil {
			return key, nil
		}
	}
	return nil, errors.New("drawing a key: the source of randomness does not work")
}

// SigningKey is a private key with the certificate of its signer.
type SigningKey struct {
	Certificate *x509.Certificate
	Name        string // in the certificate
	Fingerprint string // SHA-256 of the certificate, in 64 upper-case hex digits
	key         crypto.Signer
	chain       []*x509.Certificate // Certificate first, then its issuers as far as known
}

// called is the name a certificate gives its holder, never empty.
func called(c *x509.Certificate) string {
	if c.Subject.CommonName != "" {
		return c.Subject.CommonName
	}
	return c.Subject.String()
}

// LoadSigningKey opens a PKCS#12 file. The certificate is the one that fits the
// key, wherever it is in the file. Keys: RSA of 2048 to 8192 bits, ECDSA
// P-256, P-384, P-521. The error is [errPassword] for a wrong password,
// [errKeyMismatch] if no certificate fits.
func LoadSigningKey(p12 []byte, password string) (*SigningKey, error) {
	key, first, rest, err := pkcs12.DecodeChain(p12, password)
	switch {
	case errors.Is(err, pkcs12.ErrIncorrectPassword):
		return nil, errPassword
	case err != nil:
		// The cause comes from a parser that has seen the key: left out.
		return nil, errors.New("not a PKCS#12 file with one key and its certificate")
	}
	k, ok := key.(crypto.Signer)
	if !ok {
		return nil, errors.New("this kind of key cannot sign (want RSA or ECDSA)")
	}
	all := append([]*x509.Certificate{first}, rest...)
	for _, c := range all {
		if fits(k, c) {
			return newSigningKey(k, c, all)
		}
	}
	return nil, errKeyMismatch
}

func newSigningKey(k crypto.Signer, c *x509.Certificate, all []*x509.Certificate) (*SigningKey, error) {
	if err := usable(c); err != nil {
		return nil, err
	}
	return &SigningKey{Certificate: c, Name: called(c), Fingerprint: fingerprint(c), key: k, chain: chain(c, all)}, nil
}

// fits reports whether c was issued for k's public key.
func fits(k crypto.Signer, c *x509.Certificate) bool {
	pub, ok := k.Public().(interface{ Equal(crypto.PublicKey) bool })
	return ok && pub.Equal(c.PublicKey)
}

// usable refuses certificates that may not sign a document, or whose key is
// not of a kind and size that this program checks: what [Examine]
// would not trust.
func usable(c *x509.Certificate) error {
	if pub, ok := c.PublicKey.(*rsa.PublicKey); ok {
		if n := pub.N.BitLen(); n < minRSABits || n > maxRSABits {
			return fmt.Errorf("an RSA key of %d bits (%d to %d)", n, minRSABits, maxRSABits)
		}
	}
	switch {
	case !supported(c):
		return errors.New("this program does not sign with this kind of key (want RSA or ECDSA)")
	case weak(c):
		return errors.New("an ECDSA key below P-256 (P-256, P-384 or P-521)")
	case !forSigning(c):
		return errors.New("the certificate was not issued for signing")
	case !forDocuments(c):
		return errors.New("the certificate is restricted to other purposes (want one for signing documents or email, or for any purpose)")
	}
	return nil
}

// supported reports whether c's key is of a kind that signatures are checked with.
func supported(c *x509.Certificate) bool {
	_, ok := c.PublicKey.(*ecdsa.PublicKey)
	_, isRSA := c.PublicKey.(*rsa.PublicKey)
	return (ok || isRSA) && usableSize(c)
}

// maxChain bounds how many certificates a signature carries.
const maxChain = 8

// chain returns c and its issuers found in pool, up to one that issued
// itself. The order of pool makes no difference.
func chain(c *x509.Certificate, pool []*x509.Certificate) []*x509.Certificate {
	out := []*x509.Certificate{c}
	for len(out) < maxChain {
		last := out[len(out)-1]
		var next *x509.Certificate
		for _, p := range pool {
			if issued(last, p) && (next == nil || bytes.Compare(p.Raw, next.Raw) < 0) {
				next = p
			}
		}
		if next == nil || slices.ContainsFunc(out, next.Equal) {
			return out
		}
		out = append(out, next)
	}
	return out
}

// issued reports whether parent signed child.
func issued(child, parent *x509.Certificate) bool {
	return bytes.Equal(child.RawIssuer, parent.RawSubject) && usableSize(parent) && child.CheckSignatureFrom(parent) == nil
}

// usableSize keeps huge keys in a hostile file from being computed with.
func usableSize(c *x509.Certificate) bool {
	pub, ok := c.PublicKey.(*rsa.PublicKey)
	return !ok || pub.N.BitLen() <= maxRSABits
}
