package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/signoff"
)

var signVerb = verb{
	name:    "sign",
	args:    "PDF --sign FILE.p12 [--password-file F]",
	short:   "add your signature to a summary; the bytes before stay as they are",
	example: "reconcile sign testdata/tickets/planetarium/summary.pdf --sign yard.p12",
	flags: func(f *pflag.FlagSet) {
		signFlags(f)
	},
	run: runSign,
}

// signingReason is what a signature says of itself.
const signingReason = "weighing summary"

func signFlags(f *pflag.FlagSet) {
	f.String("sign", "", "sign with the key in `FILE.p12`")
	passwordFlag(f)
}

// signer opens the key that the flags name; nil where none is named.
func signer(f *pflag.FlagSet, s streams) (*signoff.SigningKey, error) {
	path, _ := f.GetString("sign")
	if path == "" && f.Changed("password-file") {
		return nil, errors.New("--password-file goes with --sign")
	}
	if path == "" {
		return nil, nil
	}
	b, err := readFile("--sign", path, largestKey)
	if err != nil {
		return nil, err
	}
	if openToOthers(path) {
		fmt.Fprintf(s.err, "reconcile: warning: others on this machine can read the key %q (want mode 0600)\n", path)
	}
	file, _ := f.GetString("password-file")
	secret, err := password(file, false, s)
	if err != nil {
		return nil, err
	}
	k, err := signoff.LoadSigningKey(b, secret)
	if err != nil {
		return nil, fmt.Errorf("--sign %q: %w", path, err)
	}
	return k, nil
}

// openToOthers says whether others may read a file. On Windows the mode does
// not say.
func openToOthers(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().Perm()&0o077 != 0 && runtime.GOOS != "windows"
}

func runSign(args []string, f *pflag.FlagSet, s streams) int {
	switch {
	case len(args) != 1:
		return s.refuse("sign: want one summary, like reconcile sign summary.pdf --sign yard.p12")
	case f.Lookup("sign").Value.String() == "":
		return s.refuse("sign: no key given (want --sign FILE.p12; reconcile key FILE.p12 makes one)")
	}
	path := args[0]
	if _, err := readPDF(path); err != nil { // before a lock is left where nothing is
		return s.refuse(err.Error())
	}
	held, err := lockFolder(filepath.Dir(path))
	if err != nil {
		return s.refuse(err.Error())
	}
	defer held.free()
	pdf, err := signable(path, s)
	if err != nil {
		return s.refuse(err.Error())
	}
	k, err := signer(f, s)
	if err != nil {
		return s.refuse(err.Error())
	}
	if err := countersign(path, pdf, k); err != nil {
		return s.refuse(err.Error())
	}
	fmt.Fprintf(s.out, "%s: signed by %q\n", shown(path), k.Name)
	return exitWithin
}

// signable reads a summary that verify would call sound. It is looked at before
// anybody is asked for a password.
func signable(path string, s streams) ([]byte, error) {
	pdf, err := readPDF(path)
	if err != nil {
		return nil, err
	}
	found := flow.Verify(pdf, nil)
	if !found.Usable {
		for _, f := range found.Findings {
			if f.Status == "not_sound" {
				fmt.Fprintf(s.err, "%s: %s\n", shown(path), f.Said)
			}
		}
		return nil, fmt.Errorf("%q is not signed: %s", path, found.Last)
	}
	return pdf, nil
}

// countersign puts the file with one more signature in the place of the file.
func countersign(path string, pdf []byte, k *signoff.SigningKey) error {
	signed, err := signoff.Sign(pdf, k, time.Now(), signingReason)
	if err != nil {
		return err
	}
	info, err := os.Stat(path)
	if err != nil {
		return fmt.Errorf("%q: %w", path, cause(err))
	}
	return writeWhole(path, signed, info.Mode().Perm())
}
