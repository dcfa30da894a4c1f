package main

import (
	"bytes"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
)

// certificates are those of a file given with --trust.
func certificates(path string) ([]*x509.Certificate, error) {
	b, err := readFile("--trust", path, largestCertificates)
	if err != nil {
		return nil, err
	}
	all, err := readCertificates(b)
	if err != nil {
		return nil, fmt.Errorf("--trust %q: %w", path, err)
	}
	return all, nil
}

// readCertificates reads the certificates of a file given to check signers
// against: PEM, one or several, text between them passed over, or one in DER.
// Refused: a file without a certificate, and one that holds anything else in
// PEM, a private key above all, which is not for handing out.
func readCertificates(file []byte) ([]*x509.Certificate, error) {
	if !bytes.Contains(file, []byte("-----BEGIN ")) {
		c, err := x509.ParseCertificate(file)
		if err != nil {
			return nil, errors.New("no certificate in it (PEM or DER)")
		}
		return []*x509.Certificate{c}, nil
	}
	var out []*x509.Certificate
	for b, rest := pem.Decode(file); b != nil; b, rest = pem.Decode(rest) {
		if b.Type != "CERTIFICATE" {
			return nil, fmt.Errorf("a %.40q is in it (only certificates)", b.Type)
		}
		c, err := x509.ParseCertificate(b.Bytes)
		if err != nil {
			return nil, fmt.Errorf("certificate %d in it cannot be read: %w", len(out)+1, err)
		}
		out = append(out, c)
	}
	if len(out) == 0 {
		return nil, errors.New("no intact certificate in it (PEM or DER)")
	}
	return out, nil
}
