package main

import (
	"bytes"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"reconcile/internal/study"
)

// TestRelease builds everything twice, the second time from a copy of the tree
// in another folder: all files are the same, byte for byte. Then it looks at
// them as those do who install them.
func TestRelease(t *testing.T) {
	if !study.Full() {
		t.Skip("builds the program for six systems: run with -study")
	}
	t.Setenv("SOURCE_DATE_EPOCH", "")
	dir := t.TempDir()
	first := &release{root: "../..", out: filepath.Join(dir, "first"), maintainer: "Yard <yard@example.com>"}
	if err := first.build(); err != nil {
		t.Fatal(err)
	}
	copied(t, filepath.Join(dir, "tree"))
	t.Setenv("TZ", "Pacific/Chatham")
	second := &release{root: filepath.Join(dir, "tree"), out: filepath.Join(dir, "second"), maintainer: first.maintainer}
	if err := second.build(); err != nil {
		t.Fatal(err)
	}
	t.Setenv("TZ", "UTC") // in which dpkg-deb lists times
	// Six systems, two Debian packages, the page, the list.
	if n := same(t, first.out, second.out); n != 10 {
		t.Errorf("%d files (want 10)", n)
	}
	sums := exec.Command(study.Tool(t, "sha256sum"), "--check", "--strict", "SHA256SUMS")
	sums.Dir = first.out
	if out, err := sums.CombinedOutput(); err != nil || bytes.Count(out, []byte(": OK\n")) != 9 {
		t.Errorf("%v\n%s", err, out)
	}
	t.Logf("%s", sumsOf(t, first.out))
	root := unpacked(t, filepath.Join(first.out, "reconcile_"+first.version+"_amd64.deb"))
	run := exec.Command(filepath.Join(root, "usr/bin/reconcile"), "summary", "../../testdata/tickets/planetarium", "--out", filepath.Join(dir, "summaries"))
	if out, err := run.CombinedOutput(); err != nil || !bytes.HasPrefix(out, []byte("do now: ")) {
		t.Errorf("the installed program: %v\n%s", err, out)
	}
}

// copied copies what the program is built from.
func copied(t *testing.T, to string) {
	t.Helper()
	for _, part := range []string{"cmd", "internal", "docs"} {
		if err := os.CopyFS(filepath.Join(to, part), os.DirFS(filepath.Join("../..", part))); err != nil {
			t.Fatal(err)
		}
	}
	for _, part := range []string{"go.mod", "go.sum"} {
		b, err := os.ReadFile(filepath.Join("../..", part))
		if err == nil {
			err = os.WriteFile(filepath.Join(to, part), b, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

// same compares two folders of files and gives their number.
func same(t *testing.T, a, b string) int {
	t.Helper()
	files, err := os.ReadDir(a)
	if err != nil {
		t.Fatal(err)
	}
	if others, err := os.ReadDir(b); err != nil || len(others) != len(files) {
		t.Errorf("%d files and %d (%v)", len(files), len(others), err)
	}
	for _, f := range files {
		x, errX := os.ReadFile(filepath.Join(a, f.Name()))
		y, errY := os.ReadFile(filepath.Join(b, f.Name()))
		if errX != nil || errY != nil || !bytes.Equal(x, y) {
			t.Errorf("%s is not the same in both (%v, %v)", f.Name(), errX, errY)
		}
	}
	return len(files)
}

func sumsOf(t *testing.T, dir string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, "SHA256SUMS"))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// unpacked installs a Debian package into a folder, and looks at what it says
// and holds.
func unpacked(t *testing.T, path string) (root string) {
	t.Helper()
	root = t.TempDir()
	dpkg := study.Tool(t, "dpkg-deb")
	for _, args := range [][]string{{"--info", path}, {"--contents", path}, {"--extract", path, root}, {"--control", path, filepath.Join(root, "DEBIAN")}} {
		out, err := exec.Command(dpkg, args...).CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", args, err, out)
		}
		if args[0] == "--contents" {
			owned(t, string(out))
		}
	}
	sums := exec.Command(study.Tool(t, "md5sum"), "--check", "--strict", "--quiet", "DEBIAN/md5sums")
	sums.Dir = root
	if out, err := sums.CombinedOutput(); err != nil {
		t.Errorf("%v\n%s", err, out)
	}
	copyright, err := os.ReadFile(filepath.Join(root, "usr/share/doc/reconcile/copyright"))
	if err != nil {
		t.Fatal(err)
	}
	licensed(t, string(copyright))
	return root
}

// owned wants every file to be root's, of the release's date, and the program
// and folders alone to be executable.
func owned(t *testing.T, list string) {
	t.Helper()
	lines := strings.Split(strings.TrimSpace(list), "\n")
	if len(lines) < 20 {
		t.Errorf("%d lines\n%s", len(lines), list)
	}
	line := regexp.MustCompile(`^(drwxr-xr-x root/root +0 \d{4}-\d\d-\d\d 00:00 \./.*/|drwxr-xr-x root/root +0 \d{4}-\d\d-\d\d 00:00 \./|-rwxr-xr-x root/root +\d+ \d{4}-\d\d-\d\d 00:00 \./usr/bin/reconcile|-rw-r--r-- root/root +\d+ \d{4}-\d\d-\d\d 00:00 \./usr/share/.*)$`)
	for _, l := range lines {
		if !line.MatchString(l) {
			t.Errorf("the package holds %q", l)
		}
	}
	for _, path := range []string{"man/man1/reconcile.1.gz", "bash-completion/completions/reconcile", "zsh/vendor-completions/_reconcile",
		"fish/vendor_completions.d/reconcile.fish", "doc/reconcile/copyright", "doc/reconcile/changelog.gz", "doc/reconcile/owner.md"} {
		if !strings.Contains(list, " ./usr/share/"+path+"\n") {
			t.Errorf("the package has no %s", path)
		}
	}
}

// licensed wants the text of each kind of licence (its words as SPDX publishes
// them), and the name of each part that is known to be in the program.
func licensed(t *testing.T, text string) {
	t.Helper()
	words := strings.Join(strings.Fields(text), " ")
	for _, want := range []string{
		"Permission is hereby granted, free of charge, to any person obtaining a copy of this software",
		"Redistributions in binary form must reproduce the above copyright notice",
		"SIL OPEN FONT LICENSE Version 1.1",
		"standard library and the runtime of Go", "Liberation Sans", "github.com/jung-kurt/gofpdf ", "github.com/shopspring/decimal ",
		"github.com/gocarina/gocsv ", "github.com/spf13/pflag ", "rsc.io/qr ", "golang.org/x/text ",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("the licences have no %q", want)
		}
	}
}

// TestDebian packs a small file as the program, twice, and has dpkg-deb look at it.
func TestDebian(t *testing.T) {
	r := &release{root: "../..", version: "9.8.7", maintainer: "Yard <yard@example.com>", papers: papers{
		date: time.Date(2026, 3, 14, 0, 0, 0, 0, time.UTC), manual: []byte("manual"),
		completion: map[string][]byte{"bash": []byte("b"), "zsh": []byte("z"), "fish": []byte("f")},
	}}
	var err error
	if r.papers.docs, err = r.docs(); err != nil {
		t.Fatal(err)
	}
	licences, err := r.licences("linux")
	if err != nil {
		t.Fatal(err)
	}
	b, err := r.debian("arm64", []byte("program"), licences)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "reconcile.deb")
	if err := os.WriteFile(path, b, 0o666); err != nil {
		t.Fatal(err)
	}
	root := unpacked(t, path)
	got, err := os.Stat(filepath.Join(root, "usr/bin/reconcile"))
	if err != nil || got.Mode() != fs.FileMode(0o755) || got.Size() != 7 || !got.ModTime().Equal(r.papers.date) {
		t.Errorf("%v, %v", got, err)
	}
	control, err := os.ReadFile(filepath.Join(root, "DEBIAN/control"))
	if err != nil || !strings.Contains(string(control), "\nVersion: 9.8.7\nArchitecture: arm64\nMaintainer: Yard <yard@example.com>\n") {
		t.Errorf("%s (%v)", control, err)
	}
}
