package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"

	"golang.org/x/term"
)

// passwordVariable is where a password may stand; never on the command line.
const passwordVariable = "RECONCILE_PASSWORD"

// password finds the password of a key: the first line of a file, else the
// environment, else a prompt without echo. Twice asks again, for a new key.
func password(file string, twice bool, s streams) (string, error) {
	if file != "" {
		b, err := os.ReadFile(file)
		if err != nil {
			return "", fmt.Errorf("--password-file %q: %w", file, cause(err))
		}
		line, _, _ := bytes.Cut(b, []byte("\n"))
		return string(bytes.TrimSuffix(line, []byte("\r"))), nil
	}
	if p, ok := os.LookupEnv(passwordVariable); ok {
		return p, nil
	}
	in, ok := s.in.(*os.File)
	if !ok || !term.IsTerminal(int(in.Fd())) {
		return "", errors.New("no password (want --password-file, " + passwordVariable + ", or a terminal to ask on)")
	}
	first, err := ask(in, "password of the key: ", s)
	if err != nil || !twice {
		return first, err
	}
	second, err := ask(in, "the same again: ", s)
	if err == nil && first != second {
		err = errors.New("the two passwords differ")
	}
	return first, err
}

func ask(in *os.File, prompt string, s streams) (string, error) {
	fmt.Fprint(s.err, prompt)
	b, err := term.ReadPassword(int(in.Fd()))
	fmt.Fprintln(s.err)
	return string(b), err
}
