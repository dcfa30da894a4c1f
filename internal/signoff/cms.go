package signoff

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/sha256"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"
	"slices"
)

// Object identifiers of RFC 5652, RFC 5035, RFC 5754, RFC 5758.
var (
	oidData               = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	oidSignedData         = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidContentType        = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidMessageDigest      = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidSigningCertificate = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	oidSHA256             = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}
	oidRSA                = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 1}
	oidECDSAWithSHA256    = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 2}
)

// The structures of RFC 5652, 5, as far as a detached signature by one
// signer with a certificate needs them.
type (
	contentInfo struct {
		Type    asn1.ObjectIdentifier
		Content signedData `asn1:"explicit,tag:0"`
	}
	signedData struct {
		Version int
		Digests []pkix.AlgorithmIdentifier `asn1:"set"`
		Content struct{ Type asn1.ObjectIdentifier }
		Certs   []asn1.RawValue `asn1:"set,tag:0"`
		Signers []signerInfo    `asn1:"set"`
	}
	signerInfo struct {
		Version   int
		Issuer    issuerAndSerial
		Digest    pkix.AlgorithmIdentifier
		Attrs     []attribute `asn1:"set,tag:0"`
		Algorithm pkix.AlgorithmIdentifier
		Signature []byte
	}
	issuerAndSerial struct {
		Name   asn1.RawValue
		Serial *big.Int
	}
	attribute struct {
		Type   asn1.ObjectIdentifier
		Values []asn1.RawValue `asn1:"set"`
	}
	// RFC 5035, 3: SHA-256 is the default and so is left out.
	essCert              struct{ Hash []byte }
	signingCertificateV2 struct{ Certs []essCert }
	ecdsaSignature       struct{ R, S *big.Int }
	cmsSignature         struct {
		chain     []*x509.Certificate // the signer's first
		digest    []byte              // the message digest it states
		signature []byte
	}
)

// signedAttributes returns the attributes a signature is over: content type,
// message digest, and the hashes of the certificates it carries, so that
// none of them can be exchanged. No signing-time: PAdES baseline has /M.
func signedAttributes(certs []*x509.Certificate, digest []byte) ([]attribute, error) {
	var ess signingCertificateV2
	for _, c := range certs {
		h := sha256.Sum256(c.Raw)
		ess.Certs = append(ess.Certs, essCert{h[:]})
	}
	var out []attribute
	for _, a := range []struct {
		oid   asn1.ObjectIdentifier
		value any
	}{{oidContentType, oidData}, {oidMessageDigest, digest}, {oidSigningCertificate, ess}} {
		der, err := asn1.Marshal(a.value)
		if err != nil {
			return nil, err
		}
		out = append(out, attribute{a.oid, []asn1.RawValue{{FullBytes: der}}})
	}
	return out, nil
}

// toBeSigned is the DER of the attributes as a plain SET (RFC 5652, 5.4).
func toBeSigned(certs []*x509.Certificate, digest []byte) ([]byte, error) {
	attrs, err := signedAttributes(certs, digest)
	if err != nil {
		return nil, err
	}
	return asn1.MarshalWithParams(attrs, "set")
}

// marshal returns the one DER encoding of a signature.
func (c cmsSignature) marshal() ([]byte, error) {
	attrs, err := signedAttributes(c.chain, c.digest)
	if err != nil {
		return nil, err
	}
	sha := pkix.AlgorithmIdentifier{Algorithm: oidSHA256}
	leaf := c.chain[0]
	sd := signedData{
		Version: 1,
		Digests: []pkix.AlgorithmIdentifier{sha},
		Signers: []signerInfo{{
			Version:   1,
			Issuer:    issuerAndSerial{asn1.RawValue{FullBytes: leaf.RawIssuer}, leaf.SerialNumber},
			Digest:    sha,
			Attrs:     attrs,
			Algorithm: algorithm(leaf),
			Signature: c.signature,
		}},
	}
	sd.Content.Type = oidData
	for _, cert := range c.chain {
		sd.Certs = append(sd.Certs, asn1.RawValue{FullBytes: cert.Raw})
	}
	return asn1.Marshal(contentInfo{oidSignedData, sd})
}

// algorithm names the signature algorithm of c's key.
func algorithm(c *x509.Certificate) pkix.AlgorithmIdentifier {
	if _, ok := c.PublicKey.(*ecdsa.PublicKey); ok {
		return pkix.AlgorithmIdentifier{Algorithm: oidECDSAWithSHA256}
	}
	return pkix.AlgorithmIdentifier{Algorithm: oidRSA, Parameters: asn1.NullRawValue}
}

// capacity returns the size of the largest signature over chain: what
// /Contents makes room for. An ECDSA signature may be a few bytes shorter.
func capacity(chain []*x509.Certificate) (int, error) {
	c := cmsSignature{chain: chain, digest: make([]byte, sha256.Size)}
	switch pub := chain[0].PublicKey.(type) {
	case *ecdsa.PublicKey:
		top := new(big.Int).Lsh(big.NewInt(1), uint(pub.Params().BitSize))
		top.Sub(top, big.NewInt(1))
		var err error
		if c.signature, err = asn1.Marshal(ecdsaSignature{top, top}); err != nil {
			return 0, err
		}
	default:
		c.signature = make([]byte, chain[0].PublicKey.(interface{ Size() int }).Size())
	}
	der, err := c.marshal()
	return len(der), err
}

// sign returns the DER of s's signature over a document with this digest.
func (s *SigningKey) sign(digest []byte) ([]byte, error) {
	tbs, err := toBeSigned(s.chain, digest)
	if err != nil {
		return nil, err
	}
	h := sha256.Sum256(tbs)
	// Without a source of randomness ECDSA is RFC 6979: same input, same bytes.
	sig, err := s.key.Sign(nil, h[:], crypto.SHA256)
	if err != nil {
		return nil, errors.New("the key does not sign")
	}
	if sig, err = lowS(s.Certificate, sig); err != nil {
		return nil, err
	}
	c := cmsSignature{chain: s.chain, digest: digest, signature: sig}
	if err := c.check(); err != nil {
		return nil, fmt.Errorf("the signature just made: %w", err)
	}
	return c.marshal()
}

// lowS returns an ECDSA signature with the lower of its two values of s. Both
// verify, so without a rule anybody could make another file of a signed one.
func lowS(c *x509.Certificate, sig []byte) ([]byte, error) {
	pub, ok := c.PublicKey.(*ecdsa.PublicKey)
	if !ok || !highS(pub, sig) {
		return sig, nil
	}
	var e ecdsaSignature
	if _, err := asn1.Unmarshal(sig, &e); err != nil {
		return nil, errors.New("the key does not sign")
	}
	e.S.Sub(pub.Params().N, e.S)
	return asn1.Marshal(e)
}

// highS reports whether an ECDSA signature has s above n/2.
func highS(pub *ecdsa.PublicKey, sig []byte) bool {
	var e ecdsaSignature
	if _, err := asn1.Unmarshal(sig, &e); err != nil || e.S == nil {
		return true // it does not verify either
	}
	half := new(big.Int).Rsh(pub.Params().N, 1)
	return e.S.Cmp(half) > 0
}

// check verifies the signature over its attributes.
func (c cmsSignature) check() error {
	tbs, err := toBeSigned(c.chain, c.digest)
	if err != nil {
		return err
	}
	alg := x509.SHA256WithRSA
	if _, ok := c.chain[0].PublicKey.(*ecdsa.PublicKey); ok {
		alg = x509.ECDSAWithSHA256
	}
	return c.chain[0].CheckSignature(alg, tbs, c.signature)
}

var errCMS = damaged(signatureForm)

// parseCMS reads a signature followed by zeros. Whatever is not exactly what
// [cmsSignature.marshal] writes is refused: there is one spelling.
func parseCMS(der []byte) (*cmsSignature, error) {
	var ci contentInfo
	rest, err := asn1.Unmarshal(der, &ci)
	sd := ci.Content
	if err != nil || len(sd.Signers) != 1 || len(sd.Certs) < 1 || len(sd.Certs) > maxChain {
		return nil, errCMS
	}
	if len(bytes.Trim(rest, "\x00")) > 0 {
		return nil, errCMS
	}
	c := &cmsSignature{signature: sd.Signers[0].Signature}
	if c.chain, err = signerChain(sd); err != nil {
		return nil, err
	}
	if !supported(c.chain[0]) {
		return nil, errCMS
	}
	for _, a := range sd.Signers[0].Attrs {
		if a.Type.Equal(oidMessageDigest) && len(a.Values) == 1 {
			c.digest = a.Values[0].Bytes
		}
	}
	again, err := c.marshal()
	if err != nil || !bytes.Equal(again, der[:len(der)-len(rest)]) {
		return nil, errCMS
	}
	if n, err := capacity(c.chain); err != nil || n != len(der) {
		return nil, errCMS
	}
	return c, nil
}

// signerChain returns the certificates, the signer's first.
func signerChain(sd signedData) ([]*x509.Certificate, error) {
	var certs []*x509.Certificate
	for _, raw := range sd.Certs {
		c, err := x509.ParseCertificate(raw.FullBytes)
		if err != nil {
			return nil, errCMS
		}
		certs = append(certs, c)
	}
	id := sd.Signers[0].Issuer
	i := slices.IndexFunc(certs, func(c *x509.Certificate) bool {
		return id.Serial != nil && c.SerialNumber.Cmp(id.Serial) == 0 && bytes.Equal(c.RawIssuer, id.Name.FullBytes)
	})
	if i < 0 {
		return nil, errCMS
	}
	return chain(certs[i], certs), nil
}
