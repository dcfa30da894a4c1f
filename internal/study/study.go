// Package study is for tests alone: which of them run at their full size, and
// where the machine has the tools that some of them compare with.
package study

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
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
		Lacking(t, name)
	}
	return path
}

func python(t testing.TB, name string, modules []string) string {
	t.Helper()
	imports := "import " + strings.Join(modules, ", ")
	for _, dir := range filepath.SplitList(os.Getenv("PATH")) {
		path := filepath.Join(dir, name)
		if exec.Command(path, "-c", imports).Run() == nil {
			return path
		}
	}
	Lacking(t, name+" with "+imports)
	return ""
}

// Lacking skips the test for want of a tool, and fails it with CI=true, where
// nothing may be skipped.
func Lacking(t testing.TB, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("no %s, and CI must not skip", what)
	}
	t.Skipf("no %s", what)
}
