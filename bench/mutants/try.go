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
	"strconv"
	"strings"
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
	for _, s := range mutants {
		if how, red := tests.red(s.number); red {
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
	entries, err := os.ReadDir(root)
	if err != nil {
		return "", err
	}
	for _, e := range entries {
		from, into := filepath.Join(root, e.Name()), filepath.Join(to, e.Name())
		switch {
		case strings.HasPrefix(e.Name(), "."):
			continue
		case e.IsDir():
			err = os.CopyFS(into, os.DirFS(from))
		default:
			var b []byte
			if b, err = os.ReadFile(from); err == nil {
				err = os.WriteFile(into, b, 0o666)
			}
		}
		if err != nil {
			return "", err
		}
	}
	return to, nil
}

// compile builds the test program of a package with all mutants in it, which
// vet would find suspect.
func (p *pack) compile(root string, mutants []*site) (*tester, error) {
	if err := p.instrument(root, mutants); err != nil {
		return nil, err
	}
	t := &tester{binary: filepath.Join(root, "tests"), dir: filepath.Join(root, p.dir)}
	cmd := exec.Command("go", "test", "-vet=off", "-c", "-o", t.binary, "./"+p.dir)
	cmd.Dir = root
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("building the tests: %w\n%s", err, out)
	}
	return t, t.measure()
}

// tester runs the test program of a package.
type tester struct {
	binary, dir string
	quick       string        // pattern of the tests that take next to no time
	limit       time.Duration // no sound run takes so long
}

var (
	// passed finds the tests and how long they took in the output of -v.
	passed = regexp.MustCompile(`(?m)^--- PASS: (\S+) \((\d+\.\d+)s\)$`)
	// firstRed finds what turned red.
	firstRed = regexp.MustCompile(`(?m)^\s*--- FAIL: (\S+)|^(panic: .{0,80}|fatal error: .{0,80})`)
)

// measure runs the tests without a mutant, and tells the quick from the slow:
// most mutants are killed by a quick one, so those are run first.
func (t *tester) measure() error {
	start := time.Now()
	t.limit = time.Hour
	out, err := t.run(0, "-test.v")
	if err != nil {
		return fmt.Errorf("the tests are red without a mutant: %w\n%s", err, firstRed.Find(out))
	}
	t.limit = 3*time.Since(start) + 30*time.Second
	var quick []string
	for _, m := range passed.FindAllSubmatch(out, -1) {
		if seconds, err := strconv.ParseFloat(string(m[2]), 64); err == nil && seconds < 0.2 {
			quick = append(quick, string(m[1]))
		}
	}
	t.quick = "^(" + strings.Join(quick, "|") + ")$"
	return nil
}

// red says whether the tests notice a mutant, and which does so first. A run
// that does not end, or takes all memory, is red too.
func (t *tester) red(number int) (how string, red bool) {
	for _, args := range [][]string{{"-test.run", t.quick}, nil} {
		out, err := t.run(number, args...)
		switch {
		case errors.Is(err, context.DeadlineExceeded):
			return fmt.Sprintf("no end in %s", t.limit.Round(time.Second)), true
		case err != nil:
			if found := firstRed.FindSubmatch(out); found != nil {
				return string(found[1]) + string(found[2]), true
			}
			return err.Error(), true
		}
	}
	return "", false
}

// run runs the quick tests with one mutant on, 0 for none.
func (t *tester) run(number int, args ...string) ([]byte, error) {
	ctx, stop := context.WithTimeout(context.Background(), t.limit)
	defer stop()
	// A mutant may ask for memory without end: 4 GB are enough for the tests.
	args = append([]string{"-c", `ulimit -v 4000000; exec "$0" "$@"`, t.binary, "-test.short", "-test.failfast"}, args...)
	cmd := exec.CommandContext(ctx, "sh", args...)
	cmd.Dir = t.dir
	cmd.Env = append(os.Environ(), fmt.Sprintf("MUTANT=%d", number))
	out, err := cmd.CombinedOutput()
	if ctx.Err() != nil {
		err = ctx.Err()
	}
	return out, err
}
