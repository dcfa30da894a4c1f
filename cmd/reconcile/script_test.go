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
	// Absolute paths: [inside] changes the folder under scripts that run side by side.
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	jobs := filepath.Join(here, "../../testdata/tickets")
	scripts, err := filepath.Glob(filepath.Join(here, "testdata/script/*.txtar"))
	if err != nil || len(scripts) == 0 {
		t.Fatalf("no scripts (%v)", err)
	}
	testscript.Run(t, testscript.Params{
		Files: scripts, UpdateScripts: os.Getenv("UPDATE") != "", RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("JOBS", jobs)
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"status": statusCommand, "process": processCommand, "register": registerCommand, "quickkey": quickKeyCommand},
	})
}

// statusCommand is `status N ARGUMENTS` of the scripts: the program, run in the
// process of the test, has to end with status N; stdout and stderr can be matched
// after it. Of the script's environment it has the password, where that is not
// empty, and no standard input.
func statusCommand(ts *testscript.TestScript, neg bool, args []string) {
	want := wantedStatus(ts, neg, args)
	oneInside.Lock()
	defer oneInside.Unlock()
	if p := ts.Getenv(passwordVariable); p != "" {
		os.Setenv(passwordVariable, p)
		defer os.Unsetenv(passwordVariable)
	}
	got, err := inside(ts.MkAbs("."), args[1:], ts.Stdout(), ts.Stderr())
	ts.Check(err)
	wantStatus(ts, got, want)
}

// processCommand is `process N ARGUMENTS` of the scripts: [statusCommand] as a
// process of its own, for scripts that test what belongs to a process.
func processCommand(ts *testscript.TestScript, neg bool, args []string) {
	want, got := wantedStatus(ts, neg, args), 0
	var exit *exec.ExitError
	if err := ts.Exec("reconcile", args[1:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	wantStatus(ts, got, want)
}

func wantedStatus(ts *testscript.TestScript, neg bool, args []string) int {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N ARGUMENTS or process N ARGUMENTS")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	return want
}

func wantStatus(ts *testscript.TestScript, got, want int) {
	if got != want {
		ts.Fatalf("exit status %d (want %d)", got, want)
	}
}
