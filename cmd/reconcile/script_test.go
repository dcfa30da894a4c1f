package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain makes the program a command of the scripts.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"reconcile": main})
}

// TestScripts runs every script under testdata/script: one a behaviour.
func TestScripts(t *testing.T) {
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts (%v)", err)
	}
	jobs, err := filepath.Abs("../../testdata/tickets")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Files: scripts, UpdateScripts: os.Getenv("UPDATE") != "", RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("JOBS", jobs)
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"status": status, "register": registerCommand, "quickkey": quickKeyCommand},
	})
}

// status N ARGUMENTS runs the program and wants exit status N; stdout and
// stderr can be matched after it.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N ARGUMENTS")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec("reconcile", args[1:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit status %d (want %d)", got, want)
	}
}
