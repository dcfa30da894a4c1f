package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// ended is what a run of the program as a process of its own came to.
type ended struct {
	status    int // -1: ended by a signal
	out, errs string
}

// process runs the program as a process. The tests' own program is it, where
// it is called by its name.
func process(t *testing.T, dir string, args ...string) ended {
	t.Helper()
	var out, errs bytes.Buffer
	cmd := exec.Command("reconcile", args...)
	cmd.Dir, cmd.Stdout, cmd.Stderr = dir, &out, &errs
	return finish(t, cmd, &out, &errs)
}

// oneInside lets one run of the program at a time be in the process of the test:
// the folder and the environment are those of the whole process.
var oneInside sync.Mutex

// inside runs the program in the process of the test and in a folder, with no
// standard input. Starting a process costs more than most runs do, so only what is
// about the process itself (signals, closed pipes, quotas) starts one: [process].
// Whoever calls it holds oneInside.
func inside(dir string, args []string, out, errs io.Writer) (status int, err error) {
	back, err := os.Getwd()
	if err == nil {
		err = os.Chdir(dir)
	}
	if err != nil {
		return 0, err
	}
	defer func() { err = errors.Join(err, os.Chdir(back)) }()
	return run(args, strings.NewReader(""), out, errs), nil
}

// runIn is [inside] for a test that is no script.
func runIn(t *testing.T, dir string, args ...string) ended {
	t.Helper()
	oneInside.Lock()
	defer oneInside.Unlock()
	var out, errs bytes.Buffer
	status, err := inside(dir, args, &out, &errs)
	if err != nil {
		t.Fatal(err)
	}
	return ended{status, out.String(), errs.String()}
}

func finish(t *testing.T, cmd *exec.Cmd, out, errs *bytes.Buffer) ended {
	t.Helper()
	err := cmd.Run()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	e := ended{cmd.ProcessState.ExitCode(), out.String(), errs.String()}
	if strings.Contains(e.errs, "goroutine ") {
		t.Errorf("%q panicked:\n%s", cmd.Args, e.errs)
	}
	return e
}

// wants holds a run against its status and a part of what it says.
func (e ended) wants(t *testing.T, what string, status int, said string) {
	t.Helper()
	if e.status != status || !strings.Contains(e.errs, said) {
		t.Errorf("%s: status %d (want %d), said %q (want %q)", what, e.status, status, e.errs, said)
	}
}

// dayForms writes a folder of n invented jobs, all of other figures; more makes a
// day whose every summary differs from those of another.
func dayForms(t testing.TB, dir string, n, more int) {
	t.Helper()
	var b strings.Builder
	b.WriteString("job,ticket,setup,on_deck,reading,unit,people\n")
	for i := range n {
		fmt.Fprintf(&b, "j%02d,%d,vehicle_alone,vehicle,%d,kg,2\n", i, 3*i+1, 2600+20*i%300+more)
		fmt.Fprintf(&b, "j%02d,%d,coupled,vehicle,%d,kg,2\n", i, 3*i+2, 2820+20*i%300+more)
		fmt.Fprintf(&b, "j%02d,%d,trailer_alone,all,%d,kg,\n", i, 3*i+3, 2400+20*i%200)
	}
	put(t, filepath.Join(dir, "tickets.csv"), b.String())
	put(t, filepath.Join(dir, "ratings.csv"), "rating,on,value,unit,source\ngvm,,3200,kg,plate\natm,,2800,kg,plate\n")
}

func put(t testing.TB, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
}

// filesIn reads every file of a folder but the one that is locked; a folder that
// is not there has none.
func filesIn(t testing.TB, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil && !os.IsNotExist(err) {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		if e.Name() == lockName {
			continue
		}
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(b)
	}
	return all
}
