// Package study is for tests alone: which of them run at their full size, and
// where the machine has the tools that some of them compare with.
package study

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

var (
	full = flag.Bool("study", false, "run the studies at their full size (minutes to half an hour)")
	size = flag.Int("study-size", 0, "jobs per kind in the studies of jobs drawn at random; 0: what each study takes")
)

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

// Drawn is [Size] for a study of jobs drawn at random, of which -study-size may
// ask for another number.
func Drawn(all, usual, few int) int {
	if *size > 0 {
		return *size
	}
	return Size(all, usual, few)
}

// Tool is the path of a program of that name. Where there is none the test is
// skipped and says so; with CI=true it fails.
func Tool(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		Lacking(t, name)
	}
	return path
}

// Python is the path of the first python3 that has all the modules; without
// one it does what [Tool] does.
func Python(t testing.TB, modules ...string) string {
	t.Helper()
	imports := "pass"
	for _, m := range modules {
		imports += "\nimport " + m
	}
	for _, dir := range filepath.SplitList(os.Getenv("PATH")) {
		path := filepath.Join(dir, "python3")
		if exec.Command(path, "-c", imports).Run() == nil {
			return path
		}
	}
	Lacking(t, "python3 with "+imports)
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
