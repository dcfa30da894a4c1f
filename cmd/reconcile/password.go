package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"unicode"
	"unicode/utf8"

	"golang.org/x/term"
)

// passwordVariable is where a password may be; never on the command line.
const passwordVariable = "RECONCILE_PASSWORD"

// password finds the password of a key: the first line of a file, else the
// environment, else a prompt without echo. Twice asks again, for a new key.
func password(file string, twice bool, s streams) (string, error) {
	if file != "" {
		if openToOthers(file) {
			fmt.Fprintf(s.err, "reconcile: warning: others on this machine can read the password in %q (want mode 0600)\n", file)
		}
		return passwordIn(file)
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

// passwordIn is the first line of a file, without the mark that some editors
// put before a text. No error holds any of it.
func passwordIn(file string) (string, error) {
	b, err := readFile("--password-file", file, largestPasswordFile)
	if err != nil {
		return "", err
	}
	line, _, _ := bytes.Cut(bytes.TrimPrefix(b, []byte("\ufeff")), []byte("\n"))
	line = bytes.TrimSuffix(line, []byte("\r"))
	if !utf8.Valid(line) || bytes.ContainsFunc(line, unicode.IsControl) {
		return "", fmt.Errorf("--password-file %q: its first line is not plain text (want UTF-8)", file)
	}
	return string(line), nil
}

// ask prompts once. Interrupted, it turns the echo on again first.
func ask(in *os.File, prompt string, s streams) (string, error) {
	fd := int(in.Fd())
	before, err := term.GetState(fd)
	if err != nil {
		return "", err
	}
	stop := make(chan os.Signal, 1)
	signal.Notify(stop, os.Interrupt, syscall.SIGTERM)
	defer signal.Stop(stop)
	fmt.Fprint(s.err, prompt)
	defer fmt.Fprintln(s.err)
	typed := make(chan []byte, 1)
	failed := make(chan error, 1)
	go func() {
		b, err := term.ReadPassword(fd)
		if err != nil {
			failed <- err
			return
		}
		typed <- b
	}()
	select {
	case <-stop:
		return "", errors.Join(errors.New("no password: interrupted"), term.Restore(fd, before))
	case err := <-failed:
		return "", fmt.Errorf("no password: %w", err)
	case b := <-typed:
		return string(b), nil
	}
}
