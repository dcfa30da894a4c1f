package main

import (
	"crypto/rand"
	"fmt"
	"os"
	"os/user"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"reconcile/internal/signoff"
)

var keyVerb = verb{
	name:    "key",
	args:    "FILE.p12 [--name N] [--password-file F]",
	short:   "make a signing key and the certificate to hand out with it",
	example: `reconcile key yard.p12 --name "Copper Lane grain depot"`,
	flags: func(f *pflag.FlagSet) {
		f.String("name", "", "`NAME` in the certificate (default: your name on this machine)")
		passwordFlag(f)
	},
	run: runKey,
}

func passwordFlag(f *pflag.FlagSet) {
	f.String("password-file", "", "take the password from the first line of `FILE`, not from "+passwordVariable+" or a prompt")
}

func runKey(args []string, f *pflag.FlagSet, s streams) int {
	if len(args) != 1 || !strings.HasSuffix(args[0], ".p12") {
		return s.refuse("key: want one file to make whose name ends in .p12, like reconcile key yard.p12")
	}
	p12, pem := args[0], strings.TrimSuffix(args[0], ".p12")+".pem"
	for _, path := range []string{p12, pem} {
		if _, err := os.Lstat(path); err == nil {
			return s.refuse(fmt.Sprintf("%q is there already (a key is never replaced)", path))
		}
	}
	name, _ := f.GetString("name")
	if name == "" {
		name = ownName()
	}
	file, _ := f.GetString("password-file")
	secret, err := password(file, true, s)
	if err != nil {
		return s.refuse(err.Error())
	}
	key, err := signoff.NewKey(name, time.Now(), secret, rand.Reader)
	if err != nil {
		return s.refuse(err.Error())
	}
	if err := writeNew(p12, key.P12, 0o600); err != nil {
		return s.refuse(err.Error())
	}
	if err := writeNew(pem, key.PEM, 0o644); err != nil {
		os.Remove(p12) // a key whose certificate nobody can have is of no use
		return s.refuse(err.Error())
	}
	fmt.Fprintf(s.out, "%s: the key of %q; keep it and its password to yourself\n%s: the certificate to hand out\n", shown(p12), name, shown(pem))
	fmt.Fprintln(s.out, "the key is self-made: the name is only what you typed; anyone who is to trust it must get the certificate from you in person")
	return exitWithin
}

// ownName is the name of whoever runs the program.
func ownName() string {
	u, err := user.Current()
	switch {
	case err != nil:
		return "unnamed"
	case u.Name != "":
		return u.Name
	}
	return u.Username
}
