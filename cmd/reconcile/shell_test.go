package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/study"
)

// overstruck is a letter printed twice for bold, or over an underscore.
var overstruck = regexp.MustCompile(".\b")

// printedTo writes what the program prints to a file and gives its path.
func printedTo(t *testing.T, name string, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if status := run(args, strings.NewReader(""), &out, &errs); status != exitWithin {
		t.Fatalf("%v: exit status %d, %s", args, status, &errs)
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, out.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestManPage wants no remark of the manual page's checker, and every verb,
// flag and form in it.
func TestManPage(t *testing.T) {
	mandoc := study.Tool(t, "mandoc")
	page := printedTo(t, "reconcile.1", "man")
	if out, err := exec.Command(mandoc, "-T", "lint", page).CombinedOutput(); err != nil || len(out) > 0 {
		t.Errorf("mandoc -T lint: %v\n%s", err, out)
	}
	text, err := exec.Command(mandoc, "-T", "ascii", page).Output()
	if err != nil {
		t.Fatal(err)
	}
	plain := overstruck.ReplaceAllString(string(text), "")
	wanted := []string{"tickets.csv", "issuer.csv", "EXIT STATUS", passwordVariable, `--name "Copper Lane grain depot"`}
	for _, v := range verbs() {
		wanted = append(wanted, "reconcile "+v.name)
		for _, f := range flagsOf(v) {
			wanted = append(wanted, "--"+f.Name)
		}
	}
	for _, w := range wanted {
		if !strings.Contains(plain, w) {
			t.Errorf("the manual page does not say %q", w)
		}
	}
}

// TestCompletionSyntax has each shell read its script.
func TestCompletionSyntax(t *testing.T) {
	for shell, flag := range map[string]string{"bash": "-n", "zsh": "-n", "fish": "--no-execute"} {
		t.Run(shell, func(t *testing.T) {
			path := study.Tool(t, shell)
			script := printedTo(t, "completion", "completion", shell)
			if out, err := exec.Command(path, flag, script).CombinedOutput(); err != nil || len(out) > 0 {
				t.Errorf("%s %s: %v\n%s", shell, flag, err, out)
			}
		})
	}
}

// TestBashCompletion completes words as a user's shell would.
func TestBashCompletion(t *testing.T) {
	bash := study.Tool(t, "bash")
	script := printedTo(t, "completion", "completion", "bash")
	for _, c := range []struct{ words, want string }{
		{"reconcile su", "summary"}, {"reconcile ver", "verify"},
		{"reconcile summary --af", "--after"}, {"reconcile key --pass", "--password-file"},
		{"reconcile plan --re", "--region"}, {"reconcile plan --sign", ""},
	} {
		const complete = `source "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _reconcile; echo "${COMPREPLY[*]}"`
		out, err := exec.Command(bash, append([]string{"-c", complete, "bash", script}, strings.Fields(c.words)...)...).CombinedOutput()
		if got := strings.TrimSpace(string(out)); err != nil || got != c.want {
			t.Errorf("%s: %q, want %q (%v)", c.words, got, c.want, err)
		}
	}
}

// TestExamples runs the example of every verb's help, in the order in which one
// needs the other; each has to work.
func TestExamples(t *testing.T) {
	byName, examples := map[string]verb{}, ""
	for _, v := range verbs() {
		byName[v.name] = v
		examples += v.example + "\n"
	}
	work := t.TempDir()
	copyJobs(t, "../..", work, examples)
	t.Chdir(work)
	t.Setenv(passwordVariable, "a password of the test")
	order := strings.Fields("estimate forms key summary plan adjust sign verify completion man")
	if len(order) != len(byName) {
		t.Fatalf("%d examples are tried, there are %d verbs", len(order), len(byName))
	}
	ended := map[string]int{"estimate": exitUnsettled} // its example leaves a rating open
	for _, name := range order {
		var out, errs bytes.Buffer
		args := fields(commandOf(byName[name].example))
		if status := run(args[1:], strings.NewReader(""), &out, &errs); args[0] != "reconcile" || status != ended[name] {
			t.Errorf("%s: exit status %d\n%s%s", byName[name].example, status, &out, &errs)
		}
	}
}

// commandOf takes what belongs to the shell off an example.
func commandOf(example string) string {
	example, _, _ = strings.Cut(example, " | ")
	example = strings.TrimPrefix(example, "source <(")
	return strings.TrimSuffix(example, ")")
}
