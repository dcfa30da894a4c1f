package main

import (
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/signoff"
)

var verifyVerb = verb{
	name:    "verify",
	args:    "PDF... [--trust CERT.pem]...",
	short:   "check a summary: unchanged, follows from its readings, signed by whom",
	example: "reconcile verify testdata/tickets/planetarium/summary.pdf --trust yard.pem",
	flags: func(f *pflag.FlagSet) {
		f.StringArray("trust", nil, "a certificate to trust, `CERT.pem`; may be given more than once")
	},
	run: runVerify,
}

// largestPDF is what a summary with its copies may weigh.
const largestPDF = 1 << 30

func runVerify(args []string, f *pflag.FlagSet, s streams) int {
	if len(args) == 0 {
		return s.refuse("verify: no summary given (want one or more)")
	}
	paths, _ := f.GetStringArray("trust")
	var trust []*x509.Certificate
	for _, p := range paths {
		found, err := certificates(p)
		if err != nil {
			return s.refuse(err.Error())
		}
		trust = append(trust, found...)
	}
	status := exitWithin
	for _, path := range args {
		status = gravest(status, verifyOne(path, trust, s))
	}
	return status
}

func certificates(path string) ([]*x509.Certificate, error) {
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("--trust %q: %w", path, cause(err))
	}
	var all []*x509.Certificate
	for block, rest := pem.Decode(b); block != nil; block, rest = pem.Decode(rest) {
		if block.Type != "CERTIFICATE" {
			continue
		}
		c, err := x509.ParseCertificate(block.Bytes)
		if err != nil {
			return nil, fmt.Errorf("--trust %q: %w", path, err)
		}
		all = append(all, c)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("--trust %q holds no certificate (want a file in PEM form)", path)
	}
	return all, nil
}

// verifyOne prints one line a finding, and what they come to.
func verifyOne(path string, trust []*x509.Certificate, s streams) int {
	b, err := readPDF(path)
	if err != nil {
		return s.refuse(err.Error())
	}
	findings, err := flow.Verify(b, trust, Version)
	if err != nil {
		return s.refuse(fmt.Sprintf("%s: %v", path, err))
	}
	for _, f := range findings {
		fmt.Fprintf(s.out, "%s: %s: %s\n", path, f.Status, f.Text)
	}
	switch signoff.Worst(findings) {
	case signoff.Unsound:
		fmt.Fprintf(s.out, "%s: not sound\n", path)
		return exitOver
	case signoff.Unchecked:
		fmt.Fprintf(s.out, "%s: unchanged and follows from its readings, but nobody trusted vouches for it\n", path)
		return exitUnsettled
	}
	fmt.Fprintf(s.out, "%s: unchanged, follows from its readings, signed by a trusted signer\n", path)
	return exitWithin
}

func readPDF(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, fmt.Errorf("%q: %w", path, cause(err))
	case info.IsDir():
		return nil, fmt.Errorf("%q is a folder (want a summary)", path)
	case info.Size() > largestPDF:
		return nil, fmt.Errorf("%q has %d bytes (want at most %d)", path, info.Size(), largestPDF)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("%q: %w", path, cause(err))
	}
	if len(b) == 0 {
		return nil, errors.New(fmt.Sprintf("%q is empty", path))
	}
	return b, nil
}
