package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"time"
)

// try builds the mutants of a package and runs its quick tests against each.
func (c choices) try(w io.Writer, p *pack) (killed, tried int, err error) {
	if len(p.drawn) == 0 {
		return 0, 0, nil
	}
	root, err := copied(c.root)
	if err != nil {
		return 0, 0, err
	}
	defer os.RemoveAll(root)
	mutants, err := p.buildable(root, p.drawn)
	if err != nil {
		return 0, 0, err
	}
	tests, err := p.compile(root, mutants)
	if err != nil {
		return 0, 0, err
	}
	start := time.Now()
	if how, red := p.test(root, tests, 0, time.Hour); red {
		return 0, 0, fmt.Errorf("the tests are red without a mutant: %s", how)
	}
	limit := 3*time.Since(start) + 30*time.Second
	for _, s := range mutants {
		how, red := p.test(root, tests, s.number, limit)
		if red {
			killed++
			fmt.Fprintf(w, "killed   %s by %s\n", p.describe(s), how)
		} else {
			fmt.Fprintf(w, "SURVIVED %s\n", p.describe(s))
		}
	}
	fmt.Fprintf(w, "%s: %d of %d killed\n", p.dir, killed, len(mutants))
	return killed, len(mutants), nil
}

// copied makes a copy of the module's tree, where its sources can be changed.
func copied(root string) (string, error) {
	to, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return "", err
	}
	for _, part := range []string{"internal", "testdata"} {
		if err := os.CopyFS(filepath.Join(to, part), os.DirFS(filepath.Join(root, part))); err != nil {
			return "", err
		}
	}
	for _, file := range []string{"go.mod", "go.sum"} {
		b, err := os.ReadFile(filepath.Join(root, file))
		if err != nil {
			return "", err
		}
		if err := os.WriteFile(filepath.Join(to, file), b, 0o666); err != nil {
			return "", err
		}
	}
	return to, nil
}

// compile builds the test program with all mutants in it.
func (p *pack) compile(root string, mutants []*site) (string, error) {
	if err := p.instrument(root, mutants); err != nil {
		return "", err
	}
	tests := filepath.Join(root, "tests")
	cmd := exec.Command("go", "test", "-c", "-o", tests, "./"+p.dir)
	cmd.Dir = root
	if out, err := cmd.CombinedOutput(); err != nil {
		return "", fmt.Errorf("building the tests: %w\n%s", err, out)
	}
	return tests, nil
}

// firstRed finds what turned red in the output of a test program.
var firstRed = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)|^(panic: .{0,80}|fatal error: .{0,80})`)

// test runs the quick tests with one mutant on, 0 for none. A run that does
// not end, or takes all memory, is red.
func (p *pack) test(root, tests string, number int, limit time.Duration) (how string, red bool) {
	ctx, stop := context.WithTimeout(context.Background(), limit)
	defer stop()
	// A mutant may ask for memory without end: 4 GB are enough for the tests.
	cmd := exec.CommandContext(ctx, "sh", "-c", `ulimit -v 4000000; exec "$0" "$@"`, tests, "-test.short", "-test.failfast")
	cmd.Dir = filepath.Join(root, p.dir)
	cmd.Env = append(os.Environ(), fmt.Sprintf("MUTANT=%d", number))
	out, err := cmd.CombinedOutput()
	switch {
	case err == nil:
		return "", false
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return fmt.Sprintf("no end in %s", limit.Round(time.Second)), true
	}
	found := firstRed.FindSubmatch(out)
	if found == nil {
		return err.Error(), true
	}
	return string(found[1]) + string(found[2]), true
}
