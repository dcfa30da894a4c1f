package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/study"
)

// program makes the test's own binary the program, as the scripts do.
func program(t *testing.T) string {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "reconcile")
	if err := os.Symlink(self, path); err != nil {
		t.Fatal(err)
	}
	return path
}

// interruptJobs is how many jobs a run has that is interrupted.
func interruptJobs() int { return study.Size(150, 60, 60) }

// TestInterrupted stops a run of many jobs in its midst, by Ctrl-C and as a
// system does that shuts down: every file left is a complete summary, no table is
// there, the program says how far it got, and --resume ends with what one run
// would have written.
func TestInterrupted(t *testing.T) {
	forms, once, reconcile := t.TempDir(), t.TempDir(), program(t)
	dayForms(t, forms, interruptJobs(), 0)
	put(t, filepath.Join(forms, "issuer.csv"), "name,next_number\nYard,1\n")
	process(t, ".", "summary", forms, "--out", once).wants(t, "at once", exitUnsettled, "")
	for _, by := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		t.Run(by.String(), func(t *testing.T) { interrupted(t, by, reconcile, forms, once) })
	}
}

// interrupted stops one run, and compares what resuming it gives with once, what
// a run gives that nobody stops.
func interrupted(t *testing.T, by os.Signal, reconcile, forms, once string) {
	jobs, out := interruptJobs(), t.TempDir()
	said := interrupt(t, exec.Command(reconcile, "summary", forms, "--out", out), out, by)
	if !regexp.MustCompile(fmt.Sprintf(`(?m)^reconcile: stopped after \d+ of %d jobs; every summary written is complete; --resume goes on$`, jobs)).MatchString(said) {
		t.Errorf("an interrupted run says %q", said)
	}
	left := wholeSummaries(t, out)
	if left == 0 || left == jobs {
		t.Fatalf("%d of %d summaries: the run was not interrupted in its midst", left, jobs)
	}
	process(t, ".", "summary", forms, "--out", out, "--resume").wants(t, "not interrupted", exitUnsettled, "")
	sameFolders(t, out, once)
}

// interrupt starts a run, sends it an interrupt when a few summaries are
// there, and returns what it said on standard error.
func interrupt(t *testing.T, run *exec.Cmd, out string, by os.Signal) string {
	t.Helper()
	var said bytes.Buffer
	run.Stderr = &said
	if err := run.Start(); err != nil {
		t.Fatal(err)
	}
	for limit := time.Now().Add(time.Minute); ; time.Sleep(time.Millisecond) {
		if there, _ := filepath.Glob(filepath.Join(out, "*.pdf")); len(there) >= 5 {
			break
		}
		if time.Now().After(limit) {
			t.Fatal("no summary within a minute")
		}
	}
	if err := run.Process.Signal(by); err != nil {
		t.Fatal(err)
	}
	if err := run.Wait(); run.ProcessState.ExitCode() != exitCouldNot {
		t.Errorf("an interrupted run ends with %v (want exit status 3)", err)
	}
	return said.String()
}

// wholeSummaries counts the summaries of a folder and refuses any other file.
func wholeSummaries(t *testing.T, dir string) int {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	summaries := 0
	for _, e := range entries {
		if e.Name() == lockName || e.Name() == "register.csv" {
			continue
		}
		summaries++
		pdf, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(e.Name(), ".pdf") || strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s is left", e.Name())
		}
		if v := flow.Verify(pdf, nil); !v.Usable {
			t.Errorf("%s is not complete: %s", e.Name(), v.Last)
		}
	}
	return summaries
}

func sameFolders(t *testing.T, a, b string) {
	t.Helper()
	want, err := os.ReadDir(b)
	if err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadDir(a); err != nil || len(got) != len(want) {
		t.Errorf("%d files after an interruption, %d at once (%v)", len(got), len(want), err)
	}
	for _, e := range want {
		if e.Name() == "register.csv" { // it has the times
			one, errOne := registered(a, false)
			other, errOther := registered(b, false)
			if errOne != nil || errOther != nil || len(one) != len(other) || len(one) == 0 {
				t.Errorf("registers of %d and %d lines (%v, %v)", len(one), len(other), errOne, errOther)
			}
			continue
		}
		x, _ := os.ReadFile(filepath.Join(a, e.Name()))
		y, _ := os.ReadFile(filepath.Join(b, e.Name()))
		if !bytes.Equal(x, y) {
			t.Errorf("%s differs from that of one run", e.Name())
		}
	}
}
