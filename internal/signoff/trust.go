package signoff

import (
	"crypto/ecdsa"
	"crypto/rsa"
	"crypto/sha256"
	"crypto/x509"
	"encoding/asn1"
	"fmt"
	"slices"
	"time"
)

// Signer is who signed a file, as the certificate says it, and whether that is
// somebody whom the reader said to trust. At is the signer's own word.
type Signer struct {
	Signature          int // which, from 1
	Name, Fingerprint  string
	ValidFrom, ValidTo time.Time
	At                 time.Time
	Trusted            bool
	Why                []string // not trusted, each reason
}

// fingerprint is the SHA-256 of a certificate in 64 upper-case hex digits, as
// `openssl x509 -fingerprint -sha256` prints it without its colons.
func fingerprint(c *x509.Certificate) string {
	return fmt.Sprintf("%X", sha256.Sum256(c.Raw))
}

// documentSigning is the purpose of RFC 9336, 3.1.
var documentSigning = asn1.ObjectIdentifier{1, 3, 6, 1, 5, 5, 7, 3, 36}

// forDocuments reports whether a certificate's extended key usage lets it sign
// a document: none is stated, any purpose is, the signing of documents (RFC
// 9336), or the protection of email (RFC 5280, 4.2.1.12), which is what most
// certificates for people are issued for. Purposes that single vendors made up
// are not accepted.
func forDocuments(c *x509.Certificate) bool {
	if len(c.ExtKeyUsage)+len(c.UnknownExtKeyUsage) == 0 {
		return true
	}
	return slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageAny) || slices.Contains(c.ExtKeyUsage, x509.ExtKeyUsageEmailProtection) ||
		slices.ContainsFunc(c.UnknownExtKeyUsage, documentSigning.Equal)
}

// forSigning reports whether a certificate's key usage, where one is stated,
// has digitalSignature or nonRepudiation in it (RFC 5280, 4.2.1.3).
func forSigning(c *x509.Certificate) bool {
	const signing = x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment
	return c.KeyUsage == 0 || c.KeyUsage&signing != 0
}

// weak reports whether a certificate's key is below RSA 2048 or P-256.
func weak(c *x509.Certificate) bool {
	switch pub := c.PublicKey.(type) {
	case *rsa.PublicKey:
		return pub.N.BitLen() < minRSABits
	case *ecdsa.PublicKey:
		return pub.Params().BitSize < 256
	}
	return false
}

// judge says whether an intact signature's signer is trusted: one of the
// certificates of pool, or chaining to one, at the time that the signer states.
func (s *signature) judge(pool []*x509.Certificate) Signer {
	c := s.Certificate
	out := Signer{Signature: s.Number, Name: s.Signer, Fingerprint: fingerprint(c), ValidFrom: c.NotBefore.UTC(), ValidTo: c.NotAfter.UTC(), At: s.When}
	pub, isECDSA := c.PublicKey.(*ecdsa.PublicKey)
	for _, reason := range []struct {
		holds bool
		code  string
	}{
		{s.When.Before(c.NotBefore) || s.When.After(c.NotAfter), notValidThen},
		{!forDocuments(c), otherPurposes},
		{!forSigning(c), notForSigning},
		{slices.ContainsFunc(s.Chain, weak), weakKey},
		{isECDSA && highS(pub, s.cms.signature), sTooHigh},
	} {
		if reason.holds {
			out.Why = append(out.Why, reason.code)
		}
	}
	if code := s.path(pool); code != "" && !slices.Contains(out.Why, code) {
		out.Why = append(out.Why, code)
	}
	out.Trusted = len(out.Why) == 0
	return out
}

// path looks for a way from the signer's certificate to one of pool, every key
// on it strong and every issuer free to issue for documents. The code says why
// there is none; empty: there is one.
func (s *signature) path(pool []*x509.Certificate) string {
	switch {
	case len(pool) == 0:
		return noneGiven
	case slices.ContainsFunc(pool, s.Certificate.Equal):
		return ""
	}
	roots, between := x509.NewCertPool(), x509.NewCertPool()
	for _, c := range pool {
		roots.AddCert(c)
	}
	for _, c := range s.Chain[1:] {
		between.AddCert(c)
	}
	paths, err := s.Certificate.Verify(x509.VerifyOptions{
		Roots: roots, Intermediates: between, CurrentTime: s.When,
		KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageAny}, // ours are judged here
	})
	if err != nil {
		return notAmongGiven
	}
	why := ""
	for _, path := range paths {
		switch {
		case slices.ContainsFunc(path, weak):
			why = weakKey
		case slices.ContainsFunc(path, func(c *x509.Certificate) bool { return !forDocuments(c) }):
			why = otherPurposes
		default:
			return ""
		}
	}
	return why
}
