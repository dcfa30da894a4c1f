package main

import (
	"crypto/rand"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"reconcile/internal/signoff"

	"github.com/rogpeppe/go-internal/testscript"
	pkcs12 "software.sslmate.com/src/go-pkcs12"
)

// quickPassword opens the keys of quickKey.
const quickPassword = "lantern"

// quickKeys keeps the keys by name: a p12 file and the certificate to hand out.
var quickKeys sync.Map

// quickKey writes the two files that `reconcile key FILE --name NAME` writes, but
// sealed with one iteration in place of many: tests that sign open a key very
// often, and what the iterations are for is no concern of theirs.
func quickKey(file, name string) error {
	made, err := quickened(name)
	if err != nil {
		return err
	}
	if err := os.WriteFile(file, made[0], 0o600); err != nil {
		return err
	}
	return os.WriteFile(strings.TrimSuffix(file, ".p12")+".pem", made[1], 0o666)
}

// quickened makes the key of a name, once.
func quickened(name string) (files [2][]byte, err error) {
	if known, ok := quickKeys.Load(name); ok {
		return known.([2][]byte), nil
	}
	key, err := signoff.NewKey(name, time.Now(), quickPassword, rand.Reader)
	if err != nil {
		return files, err
	}
	private, leaf, chain, err := pkcs12.DecodeChain(key.P12, quickPassword)
	if err != nil {
		return files, err
	}
	quick, err := pkcs12.Modern2023.WithIterations(1).Encode(private, leaf, chain, quickPassword)
	known, _ := quickKeys.LoadOrStore(name, [2][]byte{quick, key.PEM})
	return known.([2][]byte), err
}

// mustQuickKey is quickKey for a test that is no script.
func mustQuickKey(t testing.TB, file, name string) {
	t.Helper()
	if err := quickKey(file, name); err != nil {
		t.Fatal(err)
	}
}

// quickKeyCommand is `quickkey FILE NAME` of the scripts.
func quickKeyCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: quickkey FILE NAME")
	}
	ts.Check(quickKey(ts.MkAbs(args[0]), args[1]))
}
