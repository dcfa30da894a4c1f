package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"time"
)

// settings are those of every build, whatever the builder's own are.
var settings = []string{
	"CGO_ENABLED=0", "GOFLAGS=-trimpath -buildvcs=false", "GOAMD64=v1", "GOARM64=v8.0", "GOEXPERIMENT=", "GOWORK=off",
}

// goRun runs the go command in the module's folder and returns what it prints.
func (r *release) goRun(env []string, args ...string) ([]byte, error) {
	return r.run(append(append([]string{}, settings...), env...), "go", args...)
}

func (r *release) run(env []string, name string, args ...string) ([]byte, error) {
	var out, said bytes.Buffer
	cmd := exec.Command(name, args...)
	cmd.Dir, cmd.Env, cmd.Stdout, cmd.Stderr = r.root, append(os.Environ(), env...), &out, &said
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("%s %q: %w\n%s", name, args, err, said.Bytes())
	}
	return out.Bytes(), nil
}

// program builds the program for a system.
func (r *release) program(system, processor string) ([]byte, error) {
	return r.built(func(path string) error {
		_, err := r.goRun([]string{"GOOS=" + system, "GOARCH=" + processor}, "build", "-ldflags=-s -w", "-o", path, "./cmd/reconcile")
		return err
	})
}

// page builds the page for a browser.
func (r *release) page() error {
	return r.keep("page.html", func() ([]byte, error) {
		return r.built(func(path string) error {
			_, err := r.goRun(nil, "run", "./cmd/page", "--out", path)
			return err
		})
	})
}

// built reads a file that something writes.
func (r *release) built(write func(path string) error) ([]byte, error) {
	dir, err := os.MkdirTemp("", "release")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "built")
	if err := write(path); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
}

// shells are those that have a completion, each with the file's name that it
// looks for and the folder where Debian has it look.
var shells = []struct{ shell, file, folder string }{
	{"bash", "reconcile", "usr/share/bash-completion/completions/"},
	{"zsh", "_reconcile", "usr/share/zsh/vendor-completions/"},
	{"fish", "reconcile.fish", "usr/share/fish/vendor_completions.d/"},
}

// papers are what comes with every program.
type papers struct {
	date       time.Time
	manual     []byte
	completion map[string][]byte // by shell
	docs       []file
}

// titled is the first line of the manual page: date and version.
var titled = regexp.MustCompile(`(?m)^\.TH RECONCILE 1 (\d{4}-\d{2}-\d{2}) "reconcile (\d+\.\d+\.\d+)"$`)

// readPapers lets the program, built for this machine, print its papers, and
// takes version and date from the manual page.
func (r *release) readPapers() error {
	dir, err := os.MkdirTemp("", "release")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	here := filepath.Join(dir, "reconcile")
	if _, err := r.goRun([]string{"GOOS=" + runtime.GOOS, "GOARCH=" + runtime.GOARCH}, "build", "-o", here, "./cmd/reconcile"); err != nil {
		return err
	}
	p := papers{completion: map[string][]byte{}}
	if p.manual, err = r.run(nil, here, "man"); err != nil {
		return err
	}
	for _, s := range shells {
		if p.completion[s.shell], err = r.run(nil, here, "completion", s.shell); err != nil {
			return err
		}
	}
	if p.docs, err = r.docs(); err != nil {
		return err
	}
	m := titled.FindSubmatch(p.manual)
	if m == nil {
		return fmt.Errorf("the manual page has no line of date and version (%s)", titled)
	}
	r.version = string(m[2])
	if p.date, err = dated(string(m[1])); err != nil {
		return err
	}
	r.papers = p
	return nil
}

// dated is the time that files get.
func dated(day string) (time.Time, error) {
	epoch := os.Getenv("SOURCE_DATE_EPOCH")
	if epoch == "" {
		return time.Parse(time.DateOnly, day)
	}
	seconds, err := strconv.ParseInt(epoch, 10, 64)
	if err != nil {
		return time.Time{}, fmt.Errorf("SOURCE_DATE_EPOCH=%q (want seconds since 1970)", epoch)
	}
	return time.Unix(seconds, 0).UTC(), nil
}

// docs reads the documents for users.
func (r *release) docs() (all []file, err error) {
	paths, err := filepath.Glob(filepath.Join(r.root, "docs", "*.md"))
	if err != nil || len(paths) < 4 {
		return nil, fmt.Errorf("%d documents (%v)", len(paths), err)
	}
	for _, path := range paths {
		b, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		all = append(all, file{"docs/" + filepath.Base(path), 0o644, b})
	}
	return all, nil
}
