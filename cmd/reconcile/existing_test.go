package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reconcile/internal/record"
	"reconcile/internal/words"
)

// TestTypedMarks: what is typed stays as it is in a summary where the form is small.
// A summary is not taken for a signed one for it, nor for a weighing sheet, which
// gives way to another; a signed one that cannot be read is still signed.
func TestTypedMarks(t *testing.T) {
	t.Setenv(passwordVariable, quickPassword)
	dir := t.TempDir()
	job, path := filepath.Join(dir, "job"), filepath.Join(dir, "summary.pdf")
	if err := os.CopyFS(job, os.DirFS("../../testdata/tickets/planetarium")); err != nil {
		t.Fatal(err)
	}
	marks := "/ByteRange /Subject (" + words.OfVisit(&record.Visit{}, "", nil).Sheet.Note + ") "
	put(t, filepath.Join(job, "loads.csv"), "load,mass,on,note\ncrate,60,trailer,\"typed "+marks+"here\"\n")
	runIn(t, dir, "summary", "job", "--out", "summary.pdf").wants(t, "summary", exitWithin, "")
	pdf, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(pdf, []byte(marks)) {
		t.Fatal("what was typed is not in the file as it is: nothing is tested")
	}
	if s := existingOf(pdf); s.signed || !s.intact {
		t.Errorf("not signed, it is signed %v, intact %v", s.signed, s.intact)
	}
	runIn(t, dir, "plan", "job", "--out", "summary.pdf").wants(t, "plan", exitCouldNot, "is not a weighing sheet of this program")
	mustQuickKey(t, filepath.Join(dir, "yard.p12"), "Yard")
	runIn(t, dir, "sign", "summary.pdf", "--sign", "yard.p12").wants(t, "sign", exitWithin, "")
	signed, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if s := existingOf(signed); !s.signed || !s.intact {
		t.Errorf("signed, it is signed %v, intact %v", s.signed, s.intact)
	}
	signed[len("%PDF-1.")] ^= 1
	if s := existingOf(signed); !s.signed || s.intact {
		t.Errorf("signed and damaged, it is signed %v, intact %v", s.signed, s.intact)
	}
}

// TestAddedBytes: what a mail program or an editor adds to a summary makes it no
// signed one: it is not intact, and made again where that is asked for.
func TestAddedBytes(t *testing.T) {
	dir := t.TempDir()
	job, path := filepath.Join(dir, "job"), filepath.Join(dir, "summary.pdf")
	if err := os.CopyFS(job, os.DirFS("../../testdata/tickets/planetarium")); err != nil {
		t.Fatal(err)
	}
	runIn(t, dir, "summary", "job", "--out", "summary.pdf").wants(t, "summary", exitWithin, "")
	made, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	added := string(made) + "\n"
	for _, flag := range []string{"--resume", "--replace"} {
		put(t, path, added)
		runIn(t, dir, "summary", "job", "--out", "summary.pdf").wants(t, "no flag", exitCouldNot, "not an intact summary of this job")
		runIn(t, dir, "summary", "job", "--out", "summary.pdf", flag).wants(t, flag, exitWithin, "")
		if again, err := os.ReadFile(path); err != nil || !bytes.Equal(again, made) {
			t.Errorf("%s: the summary is not made again (%v)", flag, err)
		}
	}
}

// TestSignatureTakenAway: a summary whose pages say who signed it is still a signed
// one without that signature, and never replaced.
func TestSignatureTakenAway(t *testing.T) {
	t.Setenv(passwordVariable, quickPassword)
	dir := t.TempDir()
	job, path := filepath.Join(dir, "job"), filepath.Join(dir, "summary.pdf")
	if err := os.CopyFS(job, os.DirFS("../../testdata/tickets/planetarium")); err != nil {
		t.Fatal(err)
	}
	mustQuickKey(t, filepath.Join(dir, "yard.p12"), "Yard")
	runIn(t, dir, "summary", "job", "--out", "summary.pdf", "--sign", "yard.p12").wants(t, "summary", exitWithin, "")
	signed, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	end := bytes.Index(signed, []byte("%%EOF\n")) + len("%%EOF\n")
	put(t, path, string(signed[:end]))
	if err := os.Remove(filepath.Join(dir, registerName)); err != nil { // without it the hash of its line says so
		t.Fatal(err)
	}
	for _, flags := range [][]string{nil, {"--replace"}, {"--resume"}} {
		runIn(t, dir, append([]string{"summary", "job", "--out", "summary.pdf"}, flags...)...).wants(t, "again", exitCouldNot, "never replaced")
	}
}

// TestAsIssued: a file is as issued also where signatures were added behind it.
func TestAsIssued(t *testing.T) {
	first := "%PDF-1.7\nbody\n%%EOF\n"
	want := sumOf([]byte(first))
	for text, is := range map[string]bool{
		first: true, first + "more\n%%EOF\n": true, first + "%%EOF\nmore\n%%EOF\n": true, first + "cut": true,
		"": false, first[:len(first)-1]: false, "x" + first: false, strings.Replace(first, "body", "bodY", 1): false,
	} {
		if asIssued([]byte(text), want) != is {
			t.Errorf("%q: as issued is %v", text, !is)
		}
	}
}
