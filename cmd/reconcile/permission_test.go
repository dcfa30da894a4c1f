//go:build unix

package main

import (
	"bytes"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// TestNoPermission runs as somebody who may not read or write there.
func TestNoPermission(t *testing.T) {
	dir, reconcile := openFolderFor(t)
	dayForms(t, filepath.Join(dir, "shut"), 1, 0)
	dayForms(t, filepath.Join(dir, "open"), 1, 0)
	put(t, filepath.Join(dir, "shut.p12"), "a key")
	for path, mode := range map[string]fs.FileMode{"shut/ratings.csv": 0, "open": 0o555, "shut.p12": 0} {
		if err := os.Chmod(filepath.Join(dir, path), mode); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ args, says string }{
		{"summary shut --out o", `form "shut/ratings.csv": permission denied`},
		{"summary open", `permission denied`},
		{"summary open --out open/o", `--out "open/o": permission denied`},
		{"summary open --out o --sign shut.p12", `--sign "shut.p12": permission denied`},
		{"forms open/new", `permission denied`},
		{"key open/yard.p12 --name Yard", `permission denied`},
		{"verify shut/ratings.csv", `permission denied`},
	} {
		var out, errs bytes.Buffer
		cmd := exec.Command(reconcile, strings.Fields(c.args)...)
		cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &errs
		cmd.Env = append(os.Environ(), "RECONCILE_PASSWORD=lantern")
		asAnybody(t, cmd)
		finish(t, cmd, &out, &errs).wants(t, c.args, exitCouldNot, c.says)
	}
	if got := filesIn(t, filepath.Join(dir, "open")); len(got) != 2 {
		t.Errorf("%d files in the folder that may not be written (want its 2 forms)", len(got))
	}
}

// asAnybody lets a command run as a user who may not do what root may. Where
// the tests are not root's, they are such a user.
func asAnybody(t *testing.T, cmd *exec.Cmd) {
	t.Helper()
	if os.Getuid() != 0 {
		return
	}
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
}

// openFolderFor makes a folder that everybody can get to, with a copy of the
// program in it.
func openFolderFor(t *testing.T) (dir, program string) {
	t.Helper()
	dir, err := os.MkdirTemp("", "reconcile")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		filepath.Walk(dir, func(path string, info os.FileInfo, err error) error { return os.Chmod(path, 0o777) })
		os.RemoveAll(dir)
	})
	if err := os.Chmod(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program = filepath.Join(dir, "reconcile")
	from, err := os.Open(self)
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	to, err := os.OpenFile(program, os.O_CREATE|os.O_WRONLY, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(to, from); err != nil {
		t.Fatal(err)
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
	return dir, program
}
