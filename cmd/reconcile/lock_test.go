package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestLocked starts a run while another one holds the folder: it ends at once
// and writes nothing; one that writes no file is not stopped.
func TestLocked(t *testing.T) {
	dir := t.TempDir()
	day, out := filepath.Join(dir, "day"), filepath.Join(dir, "out")
	dayForms(t, day, 2, 0)
	put(t, filepath.Join(out, "there.txt"), "")
	held, err := lockFolder(out)
	if err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{"summary", day, "--out", out}, {"summary", day, "--out", filepath.Join(out, "one.pdf")},
		{"summary", day, "--json", "--out", out}} {
		if args[3] != out && args[2] != "--json" {
			dayForms(t, day, 1, 0)
		}
		got := runIn(t, dir, args...)
		got.wants(t, strings.Join(args, " "), exitCouldNot, "another run writes into")
		if files := filesIn(t, out); len(files) != 1 || got.out != "" {
			t.Errorf("%v wrote %q and said %q", args, files, got.out)
		}
	}
	runIn(t, dir, "summary", day, "--json").wants(t, "writes no file", exitUnsettled, "")
	held.free()
	runIn(t, dir, "summary", day, "--out", out).wants(t, "freed", exitUnsettled, "")
}

// TestLockIsOfTheProcess: a run that was killed holds nothing any more, and one
// folder under two names is one folder.
func TestLockIsOfTheProcess(t *testing.T) {
	dir := t.TempDir()
	if err := os.Symlink(dir, dir+"-too"); err != nil {
		t.Fatal(err)
	}
	held, err := lockFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := lockFolder(dir + "-too"); err == nil || !strings.Contains(err.Error(), "another run") {
		t.Errorf("the same folder is locked twice: %v", err)
	}
	held.free()
	if err := os.Remove(filepath.Join(dir, lockName)); err != nil {
		t.Fatal(err)
	}
	if err := exec.Command("mkfifo", filepath.Join(dir, lockName)).Run(); err != nil && !errors.Is(err, exec.ErrNotFound) {
		t.Fatal(err)
	}
	if _, err := lockFolder(dir); err == nil {
		t.Error("a pipe is locked")
	}
}
