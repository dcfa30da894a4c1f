package main

import (
	"bytes"
	"compress/zlib"
	"crypto/ecdsa"
	"encoding/base64"
	"encoding/hex"
	"encoding/pem"
	"io"
	"math/big"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	pkcs12 "software.sslmate.com/src/go-pkcs12"
)

const (
	secret = "lantern-48-Quoll"
	wrong  = "lantern-49-Quoll" // typed by mistake, and as telling
)

// withSecret runs the program with a password in the environment.
func withSecret(t *testing.T, dir, password string, args ...string) ended {
	t.Helper()
	var out, errs bytes.Buffer
	cmd := exec.Command("reconcile", args...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &errs
	cmd.Env = append(os.Environ(), passwordVariable+"="+password)
	return finish(t, cmd, &out, &errs)
}

// TestSecretsStayInside runs all that handles a key, rightly and wrongly, and
// searches everything printed and everything written for the password and the
// private key, in the spellings that a careless line would give them.
func TestSecretsStayInside(t *testing.T) {
	dir := t.TempDir()
	dayForms(t, filepath.Join(dir, "day"), 2, 0)
	put(t, filepath.Join(dir, "pw.txt"), secret+"\n")
	put(t, filepath.Join(dir, "wrong.txt"), wrong+"\n")
	said := map[string]string{}
	run := func(password string, status int, args string) {
		got := withSecret(t, dir, password, strings.Fields(args)...)
		got.wants(t, args, status, "")
		said[password+" "+args] = got.out + got.errs
	}
	run(secret, exitWithin, "key yard.p12 --name Yard")
	run(secret, exitCouldNot, "key yard.p12 --name Yard")
	quicken(t, filepath.Join(dir, "yard.p12"))
	cut(t, filepath.Join(dir, "yard.p12"), filepath.Join(dir, "cut.p12"))
	run(secret, exitUnsettled, "summary day --out a --sign yard.p12")
	run("", exitUnsettled, "summary day --out b --json --sign yard.p12 --password-file pw.txt")
	run(secret, exitWithin, "sign a/j00.pdf --sign yard.p12")
	run(secret, exitUnsettled, "verify a/j00.pdf")
	run(secret, exitWithin, "verify a/j00.pdf a/j01.pdf --trust yard.pem")
	run(wrong, exitCouldNot, "summary day --out c --sign yard.p12")
	run(wrong, exitCouldNot, "sign a/j01.pdf --sign yard.p12")
	run("", exitCouldNot, "sign a/j01.pdf --sign yard.p12 --password-file wrong.txt")
	run(secret, exitCouldNot, "sign a/j01.pdf --sign cut.p12")
	run(secret, exitCouldNot, "sign a/j01.pdf --sign pw.txt")
	run(secret, exitCouldNot, "verify a/j00.pdf --trust yard.p12")
	run(secret, exitCouldNot, "verify a/j00.pdf --trust pw.txt")
	run("", exitCouldNot, "verify pw.txt")
	run("", exitCouldNot, "summary pw.txt")
	for _, out := range []string{"a", "b"} {
		for name, b := range filesIn(t, filepath.Join(dir, out)) {
			said[out+"/"+name] = b
		}
	}
	certificate, err := os.ReadFile(filepath.Join(dir, "yard.pem"))
	if err != nil {
		t.Fatal(err)
	}
	said["yard.pem"] = string(certificate)
	said["packed"] = unpacked(t, said["a/j00.pdf"])
	secrets := spellings(t, filepath.Join(dir, "yard.p12"))
	for _, found := range search(said, secrets) {
		t.Error(found)
	}
	if len(said) < 20 {
		t.Errorf("only %d texts were searched", len(said))
	}
	for _, part := range []string{"(Every load and every rating) Tj", `{"schema":"reconcile-record/`} { // a page, and what is attached
		if !strings.Contains(said["packed"], part) {
			t.Errorf("%s is not among what was searched", part)
		}
	}
	for what, s := range secrets {
		if found := search(map[string]string{"a text": "lead " + s + " tail"}, secrets); len(found) == 0 {
			t.Errorf("the search does not find the %s", what)
		}
	}
}

// quicken wants a key that nobody else may read, and seals it again so that
// opening it takes no time.
func quicken(t *testing.T, p12 string) {
	t.Helper()
	if info, err := os.Stat(p12); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key has mode %v (%v)", info.Mode(), err)
	}
	b, err := os.ReadFile(p12)
	if err != nil {
		t.Fatal(err)
	}
	quick, err := sealedQuickly(b, secret)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(p12, quick, 0o600); err != nil {
		t.Fatal(err)
	}
}

// cut leaves half of a key's file.
func cut(t *testing.T, from, to string) {
	t.Helper()
	b, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	put(t, to, string(b[:len(b)/2]))
}

// packedIn is a stream that is packed, in a PDF as this program writes it.
var packedIn = regexp.MustCompile(`/Filter /FlateDecode [^\n]*>>\nstream\n`)

// unpacked is all that is packed inside a summary: what its pages draw, in whose
// strings plain text is written as it is, and what is attached.
func unpacked(t *testing.T, pdf string) string {
	t.Helper()
	var all strings.Builder
	for _, at := range packedIn.FindAllStringIndex(pdf, -1) {
		r, err := zlib.NewReader(strings.NewReader(pdf[at[1]:]))
		if err == nil {
			_, err = io.Copy(&all, r)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return all.String()
}

// spellings are the secrets as they could be printed or written.
func spellings(t *testing.T, p12 string) map[string]string {
	t.Helper()
	b, err := os.ReadFile(p12)
	if err != nil {
		t.Fatal(err)
	}
	key, _, _, err := pkcs12.DecodeChain(b, secret)
	if err != nil {
		t.Fatal(err)
	}
	k := key.(*ecdsa.PrivateKey)
	raw, err := k.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{"password": secret, "wrong password": wrong,
		"password in base64": base64.StdEncoding.EncodeToString([]byte(secret))[:20], "password in hex": hex.EncodeToString([]byte(secret)),
		"key": string(raw), "key in hex": hex.EncodeToString(raw), "key in HEX": strings.ToUpper(hex.EncodeToString(raw)),
		"key in base64": base64.StdEncoding.EncodeToString(raw)[:40], "key in decimal": new(big.Int).SetBytes(raw).String()}
	all["a private key"] = "PRIVATE KEY"
	return all
}

// search looks for secrets in texts, and in what PEM blocks in them hold.
func search(texts, secrets map[string]string) (found []string) {
	for where, text := range texts {
		if block, _ := pem.Decode([]byte(text)); block != nil {
			text += string(block.Bytes)
		}
		for what, s := range secrets {
			if strings.Contains(text, s) {
				found = append(found, where+" holds the "+what)
			}
		}
	}
	return found
}

// TestPasswordFiles reads the first line as editors of all systems write it.
func TestPasswordFiles(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pw.txt")
	for text, want := range map[string]string{
		secret: secret, secret + "\n": secret, secret + "\r\n": secret, secret + "\nmore\n": secret, secret + "\r\nmore\r\n": secret,
		"\ufeff" + secret + "\r\n": secret, " with spaces \n": " with spaces ", "größe\n": "größe", "": "", "\n": "",
	} {
		put(t, path, text)
		if got, err := passwordIn(path); err != nil || got != want {
			t.Errorf("%q gives %q, %v (want %q)", text, got, err, want)
		}
	}
	for _, text := range []string{"\xff\xfel\x00a\x00\r\x00\n\x00", secret + "\x00\n", secret + "\xff\n", secret + "\rmore"} {
		put(t, path, text)
		if got, err := passwordIn(path); err == nil || strings.Contains(err.Error(), "lantern") {
			t.Errorf("%q gives %q, %v (want it refused)", text, got, err)
		}
	}
}

// TestOpenKeyIsWarnedOf signs with a key that others may read.
func TestOpenKeyIsWarnedOf(t *testing.T) {
	dir := t.TempDir()
	t.Setenv(passwordVariable, quickPassword)
	dayForms(t, filepath.Join(dir, "day"), 1, 0)
	mustQuickKey(t, filepath.Join(dir, "yard.p12"), "Yard")
	const warning = `warning: others on this machine can read the key "yard.p12" (want mode 0600)`
	for mode, warned := range map[os.FileMode]bool{0o600: false, 0o400: false, 0o640: true, 0o604: true, 0o666: true} {
		if err := os.Chmod(filepath.Join(dir, "yard.p12"), mode); err != nil {
			t.Fatal(err)
		}
		got := runIn(t, dir, "summary", "day", "--out", mode.String(), "--sign", "yard.p12")
		if got.status != exitUnsettled || strings.Contains(got.errs, warning) != warned {
			t.Errorf("mode %v: status %d, said %q", mode, got.status, got.errs)
		}
	}
}
