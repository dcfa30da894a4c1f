// Package study is for tests alone: which of them run at their full size, and
// where the machine has the tools that some of them compare with.
package study

import (
	"flag"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

var full = flag.Bool("study", false, "run the studies at their full size (minutes to half an hour)")

// Full reports whether studies were asked for.
func Full() bool { return *full }

// Size is how many cases a study takes: all where studies were asked for, few in
// a short run, and usual otherwise.
func Size(all, usual, few int) int {
	switch {
	case *full:
		return all
	case testing.Short():
		return few
	}
	return usual
}

// Tool is the path of a program of that name, or of the first Python of that name
// that has all the modules. Where there is none the test is skipped and says so;
// with CI=true it fails.
func Tool(t testing.TB, name string, modules ...string) string {
	t.Helper()
	if len(modules) > 0 {
		return python(t, name, modules)
	}
	path, err := exec.LookPath(name)
	if err != nil {
		lacking(t, name)
	}
	return path
}

func python(t testing.TB, name string, modules []string) string {
	t.Helper()
	wanted := strings.Join(modules, " ")
	const looks = "import sys, importlib.util as u; sys.exit(not all(map(u.find_spec, sys.argv[1].split())))" // importing takes longer
	found, _ := pythons.LoadOrStore(name+" "+wanted, sync.OnceValue(func() string { return firstThat(name, "-c", looks, wanted) }))
	path := found.(func() string)()
	if path == "" {
		lacking(t, name+" with "+wanted)
	}
	return path
}

// pythons keeps what was found, by what was looked for: func() string.
var pythons sync.Map

// firstThat is the first program of a name that ends well with the arguments, or
// "". A script of that name stands for a program elsewhere, and may take half a
// second to find it each time: such come last.
func firstThat(name string, args ...string) string {
	var programs, scripts []string
	for _, dir := range filepath.SplitList(os.Getenv("PATH")) {
		path := filepath.Join(dir, name)
		if isScript(path) {
			scripts = append(scripts, path)
		} else {
			programs = append(programs, path)
		}
	}
	for _, path := range append(programs, scripts...) {
		if exec.Command(path, args...).Run() == nil {
			return path
		}
	}
	return ""
}

func isScript(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var b [2]byte
	_, err = io.ReadFull(f, b[:])
	return err == nil && string(b[:]) == "#!"
}

// lacking skips the test for want of a tool, and fails it with CI=true, where
// nothing may be skipped.
func lacking(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("no %s, and CI must not skip", what)
	}
	t.Skipf("no %s", what)
}
