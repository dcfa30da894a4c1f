package main

import (
	"bytes"
	"crypto/x509"
	"errors"
	"fmt"

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
	return verifyAll(args, trust, s)
}

// verified is what one summary came to, ready to be told in its turn.
type verified struct {
	out, err bytes.Buffer
	status   int
}

// verifyAll verifies on all cores and tells in the order given.
func verifyAll(paths []string, trust []*x509.Certificate, s streams) int {
	ctx, stop := interruptible()
	defer stop()
	status, p := exitWithin, newProgress(s.err, len(paths), "summaries")
	done := flow.Ordered(ctx, len(paths), func(i int) *verified {
		v := &verified{}
		v.status = verifyOne(paths[i], trust, streams{out: &v.out, err: &v.err})
		return v
	}, func(_ int, v *verified) bool {
		p.clear()
		s.err.Write(v.err.Bytes())
		s.out.Write(v.out.Bytes())
		status = gravest(status, v.status)
		p.step()
		return true
	})
	if done < len(paths) {
		p.stopped("the rest was not looked at")
		return exitCouldNot
	}
	p.done()
	return status
}

func certificates(path string) ([]*x509.Certificate, error) {
	b, err := readFile("--trust", path, largestCertificates)
	if err != nil {
		return nil, err
	}
	all, err := signoff.ReadCertificates(b)
	if err != nil {
		return nil, fmt.Errorf("--trust %q: %w", path, err)
	}
	return all, nil
}

// verifyOne prints one line a finding, and what they come to.
func verifyOne(path string, trust []*x509.Certificate, s streams) int {
	b, err := readPDF(path)
	if err != nil {
		return s.refuse(err.Error())
	}
	findings, signers, err := flow.VerifySigners(b, trust, Version)
	if err != nil {
		return s.refuse(fmt.Sprintf("%s: %v", shown(path), err))
	}
	for _, f := range findings {
		fmt.Fprintf(s.out, "%s: %s: %s\n", shown(path), f.Status, f)
	}
	outcome := signoff.OutcomeOf(findings, signers)
	fmt.Fprintf(s.out, "%s: %s\n", shown(path), outcome)
	switch outcome.Status {
	case signoff.Unsound:
		return exitOver
	case signoff.Unchecked:
		return exitUnsettled
	}
	return exitWithin
}

// readPDF reads a summary. One too large to be ours is cut behind the limit:
// whoever opens it then says that it is not sound.
func readPDF(path string) ([]byte, error) {
	b, err := readFile("summary", path, signoff.MaxSize)
	var large errTooLarge
	switch {
	case errors.As(err, &large):
		return b, nil
	case err == nil && len(b) == 0:
		return nil, fmt.Errorf("%q is empty (want a summary)", path)
	}
	return b, err
}
