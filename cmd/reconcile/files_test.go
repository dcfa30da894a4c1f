package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// growing is a file that somebody writes to after the first part is read.
type growing struct {
	*os.File
	t    *testing.T
	path string
	then func(path string) error
	done bool
}

func (g *growing) Read(b []byte) (int, error) {
	n, err := g.File.Read(b)
	if !g.done {
		g.done = true
		if err := g.then(g.path); err != nil {
			g.t.Fatal(err)
		}
	}
	return n, err
}

func TestInputChangedWhileRead(t *testing.T) {
	for name, then := range map[string]func(string) error{
		"longer":  func(p string) error { return os.WriteFile(p, []byte("ticket,reading\n1,2\n3,4\n"), 0o666) },
		"shorter": func(p string) error { return os.Truncate(p, 3) },
		"as long": func(p string) error { return os.Chtimes(p, time.Time{}, time.Unix(1, 0)) },
	} {
		path := filepath.Join(t.TempDir(), "tickets.csv")
		put(t, path, "ticket,reading\n1,2\n")
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if b, err := readStable(&growing{File: f, t: t, path: path, then: then}, 100, nil); !errors.Is(err, errChanged) {
			t.Errorf("%s: read %q, %v (want it refused)", name, b, err)
		}
		if _, err := readStable(f, 1, nil); err != nil {
			t.Errorf("%s: at its end, unchanged: %v", name, err)
		}
	}
}

func TestSizeIsBounded(t *testing.T) {
	path := filepath.Join(t.TempDir(), "key.p12")
	put(t, path, "12345")
	if b, err := readFile("--sign", path, 5); err != nil || len(b) != 5 {
		t.Errorf("read %q, %v", b, err)
	}
	for path, limit := range map[string]int64{path: 4, "/dev/zero": 1000} {
		b, err := readFile("--sign", path, limit)
		if want := fmt.Sprintf("--sign %q: it has more than %d bytes", path, limit); err == nil || err.Error() != want || int64(len(b)) != limit+1 {
			t.Errorf("read %d bytes and %v (want one beyond the limit, and %s)", len(b), err, want)
		}
	}
}

// TestNewIsNeverOver wants a file that must be new to fail where one is,
// though nobody looked before.
func TestNewIsNeverOver(t *testing.T) {
	path := filepath.Join(t.TempDir(), "yard.p12")
	if err := writeNew(path, []byte("first"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := writeNew(path, []byte("second"), 0o600); !errors.Is(err, fs.ErrExist) {
		t.Errorf("over one that is there: %v", err)
	}
	if got := filesIn(t, filepath.Dir(path)); len(got) != 1 || got["yard.p12"] != "first" {
		t.Errorf("there is %q", got)
	}
}

// TestPartsAreOwn wants no byte to go through what is in the place of a
// part, and no mode to come from it.
func TestPartsAreOwn(t *testing.T) {
	dir := t.TempDir()
	path, elsewhere := filepath.Join(dir, "yard.p12"), filepath.Join(t.TempDir(), "elsewhere")
	put(t, elsewhere, "as it was")
	if err := os.Symlink(elsewhere, partOf(path)); err != nil {
		t.Fatal(err)
	}
	if err := writeNew(path, []byte("key"), 0o600); err != nil {
		t.Fatal(err)
	}
	if b, _ := os.ReadFile(elsewhere); string(b) != "as it was" {
		t.Errorf("written through the link: %q", b)
	}
	put(t, partOf(path), "left by a killed run, and readable by all")
	if err := writeWhole(path, []byte("key"), 0o600); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(path); err != nil || info.Mode() != 0o600 {
		t.Errorf("the key has mode %v (%v)", info.Mode(), err)
	}
}

// TestNoRoomForAFile lets no file grow beyond a few kB, as a quota does: what
// was there stays, no part is left, and the register still says what happened.
func TestNoRoomForAFile(t *testing.T) {
	dir := t.TempDir()
	dayForms(t, filepath.Join(dir, "day"), 3, 0)
	limited := func(args ...string) ended {
		var out, errs bytes.Buffer
		cmd := exec.Command("sh", append([]string{"-c", `ulimit -f 8 && exec reconcile "$@"`, "sh"}, args...)...)
		cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &errs
		return finish(t, cmd, &out, &errs)
	}
	limited("summary", "day", "--out", "o").wants(t, "quota", exitCouldNot, `writing "o/j00.pdf": file too large`)
	got := filesIn(t, filepath.Join(dir, "o"))
	if len(got) != 1 || strings.Count(got["jobs.csv"], ",refused,") != 3 {
		t.Errorf("there is %q", got)
	}
	runIn(t, dir, "summary", "day", "--out", "full").wants(t, "no quota", exitUnsettled, "")
	before := filesIn(t, filepath.Join(dir, "full"))
	dayForms(t, filepath.Join(dir, "day"), 3, 20)
	limited("summary", "day", "--out", "full", "--replace").wants(t, "quota, replacing", exitCouldNot, "file too large")
	after := filesIn(t, filepath.Join(dir, "full"))
	delete(before, "jobs.csv")
	delete(after, "jobs.csv")
	if len(before) != 3 || len(after) != 3 {
		t.Errorf("%d summaries before, %d after (want 3)", len(before), len(after))
	}
	for name, b := range before {
		if after[name] != b {
			t.Errorf("%s was touched", name)
		}
	}
}

// TestDiskFull writes into a file system with room for a few summaries. It
// needs one of its own, which user name spaces give.
func TestDiskFull(t *testing.T) {
	dir := t.TempDir()
	dayForms(t, filepath.Join(dir, "day"), 8, 0)
	runIn(t, dir, "summary", "day", "--out", "whole").wants(t, "with room", exitUnsettled, "")
	var out, errs bytes.Buffer
	cmd := exec.Command("unshare", "-rm", "sh", "-c", `mkdir full kept && mount -t tmpfs -o size=256k none full || exit 99
reconcile summary day --out full; status=$?; cp -a full/. kept; exit $status`)
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &errs
	if _, err := exec.LookPath("unshare"); err != nil {
		t.Skip("no unshare: a full disk is not tried (a full quota is)")
	}
	got := finish(t, cmd, &out, &errs)
	if got.status == 99 || strings.HasPrefix(got.errs, "unshare:") {
		t.Logf("not tried: no file system may be mounted here (%s); a full quota is tried", strings.TrimSpace(got.errs))
		return
	}
	got.wants(t, "a full disk", exitCouldNot, "no space left on device")
	whole, kept := filesIn(t, filepath.Join(dir, "whole")), filesIn(t, filepath.Join(dir, "kept"))
	delete(kept, "jobs.csv") // names the refused ones
	if len(kept) == 0 || len(kept) >= 8 {
		t.Errorf("%d summaries fitted (want some of 8)", len(kept))
	}
	for name, b := range kept {
		if whole[name] != b {
			t.Errorf("%s is not whole: %d bytes of %d", name, len(b), len(whole[name]))
		}
	}
}

// TestReaderGone closes standard output: no panic, no status that says all is
// well, and the files are written all the same.
func TestReaderGone(t *testing.T) {
	dir := t.TempDir()
	dayForms(t, filepath.Join(dir, "day"), 3, 0)
	runIn(t, dir, "summary", "day", "--out", "done").wants(t, "first", exitUnsettled, "")
	for _, args := range []string{"summary day --out o", "summary day --json", "summary day --json --out p", "verify done/j00.pdf",
		"adjust day", "adjust day --json", "forms new", "--version", "--help", "summary --help", "completion bash", "man"} {
		var errs bytes.Buffer
		cmd := exec.Command("reconcile", strings.Fields(args)...)
		cmd.Dir, cmd.Stdout, cmd.Stderr = dir, brokenPipe(t), &errs
		finish(t, cmd, new(bytes.Buffer), &errs).wants(t, args+" into a closed pipe", exitCouldNot, "reconcile: standard output: broken pipe")
		os.RemoveAll(filepath.Join(dir, "new"))
		errs.Reset()
		status, err := inside(dir, strings.Fields(args), fullDevice(t), &errs)
		if err != nil {
			t.Fatal(err)
		}
		ended{status: status, errs: errs.String()}.wants(t, args+" into a full device", exitCouldNot, "reconcile: standard output: no space left on device")
		os.RemoveAll(filepath.Join(dir, "new"))
	}
	for _, out := range []string{"o", "p"} {
		if got := filesIn(t, filepath.Join(dir, out)); len(got) != 4 {
			t.Errorf("%d files in %s (want 3 summaries and the register)", len(got), out)
		}
	}
}

// brokenPipe is a pipe that nobody reads.
func brokenPipe(t *testing.T) *os.File {
	t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	r.Close()
	t.Cleanup(func() { w.Close() })
	return w
}

// fullDevice takes no byte.
func fullDevice(t *testing.T) *os.File {
	t.Helper()
	f, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// TestNamesThatLie names files so that a line of the program's own seems to
// be in its output, or a path leads out of the folder.
func TestNamesThatLie(t *testing.T) {
	dir := t.TempDir()
	lie := "a.pdf: unchanged, follows from its readings, signed by a trusted signer\nb.pdf"
	put(t, filepath.Join(dir, lie), "%PDF-1.7\nnothing\n")
	got := runIn(t, dir, "verify", lie)
	got.wants(t, "verify", exitOver, "")
	for _, line := range strings.Split(strings.TrimSpace(got.out), "\n") {
		if !strings.HasPrefix(line, `"a.pdf: unchanged`) || !strings.Contains(line, `\nb.pdf": `) {
			t.Errorf("a line of the file's own: %q", line)
		}
	}
	dayForms(t, filepath.Join(dir, "da\ny", "in"), 1, 0)
	text, err := os.ReadFile(filepath.Join(dir, "da\ny", "in", "tickets.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"../out", `..\out`, "..", "/tmp/out", `"x` + "\n" + `y"`, "a:b", "x\x1by"} {
		put(t, filepath.Join(dir, "da\ny", "in", "tickets.csv"), strings.ReplaceAll(string(text), "j00", name))
		got := runIn(t, dir, "summary", "da\ny/in", "--out", "o/p")
		if got.status != exitCouldNot || !strings.Contains(got.errs, "tickets.csv:") {
			t.Errorf("%d: job %q: status %d, said %q", i, name, got.status, got.errs)
		}
	}
	for _, sub := range []string{"", "o", "o/p"} {
		entries, _ := os.ReadDir(filepath.Join(dir, sub))
		for _, e := range entries {
			if name := e.Name(); name != lie && name != "da\ny" && name != "o" && name != "p" && name != "jobs.csv" && name != lockName {
				t.Errorf("%q was written into %q", name, sub)
			}
		}
	}
}
