package main

import (
	"crypto/rand"
	"fmt"
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

// quickKeys makes the keys once, by name. There are two, as making one takes a
// third of a second.
var quickKeys = map[string]func() (quickFiles, error){
	"Yard":         sync.OnceValues(func() (quickFiles, error) { return quickened("Yard") }),
	"Lantern Hill": sync.OnceValues(func() (quickFiles, error) { return quickened("Lantern Hill") }),
}

// quickFiles are the key's file and the certificate to hand out.
type quickFiles struct{ p12, pem []byte }

// quickKey writes the two files that `reconcile key FILE --name NAME` writes, but
// sealed with one iteration in place of many: tests that sign open a key very
// often, and what the iterations are for is no concern of theirs.
func quickKey(file, name string) error {
	make, known := quickKeys[name]
	if !known {
		return fmt.Errorf("no quick key of %q", name)
	}
	made, err := make()
	if err != nil {
		return err
	}
	if err := os.WriteFile(file, made.p12, 0o600); err != nil {
		return err
	}
	return os.WriteFile(strings.TrimSuffix(file, ".p12")+".pem", made.pem, 0o666)
}

// quickened makes the key of a name.
func quickened(name string) (quickFiles, error) {
	key, err := signoff.NewKey(name, time.Now(), quickPassword, rand.Reader)
	if err != nil {
		return quickFiles{}, err
	}
	quick, err := sealedQuickly(key.P12, quickPassword)
	return quickFiles{quick, key.PEM}, err
}

// sealedQuickly is a key sealed again with its password, and with one iteration.
func sealedQuickly(p12 []byte, password string) ([]byte, error) {
	private, leaf, chain, err := pkcs12.DecodeChain(p12, password)
	if err != nil {
		return nil, err
	}
	return pkcs12.Modern2023.WithIterations(1).Encode(private, leaf, chain, password)
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
