package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// An example run is a block of a document that starts with a command; what
// follows the command is what it prints. A line "..." is in the place of lines left out
// up to the line that follows it.
var exampleRun = regexp.MustCompile("(?ms)^```console\n(.*?)^```$")

// exampleRuns are the documents that hold example runs, with the fewest that
// each must have.
var exampleRuns = map[string]int{
	"README.md":         1,
	"docs/owner.md":     8,
	"docs/operator.md":  1,
	"docs/inspector.md": 1,
	"docs/method.md":    0,
}

// TestExampleRuns runs every command of the README and of docs/ and compares
// what comes out. UPDATE=1 writes the documents again.
func TestExampleRuns(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	documents, err := filepath.Glob(filepath.Join(root, "docs", "*.md"))
	if err != nil || len(documents) != len(exampleRuns)-1 {
		t.Fatalf("docs/ has %d documents, want %d (%v)", len(documents), len(exampleRuns)-1, err)
	}
	for name, fewest := range exampleRuns {
		t.Run(name, func(t *testing.T) { runExamples(t, filepath.Join(root, name), root, fewest) })
	}
}

// runExamples runs the examples of one document, in a folder of their own.
func runExamples(t *testing.T, path, root string, fewest int) {
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	work := t.TempDir()
	copyJobs(t, root, work, string(text))
	t.Chdir(work)
	t.Setenv(passwordVariable, "a password of the test")
	blocks := 0
	got := exampleRun.ReplaceAllFunc(text, func(block []byte) []byte {
		blocks++
		return []byte(rerun(t, string(block)))
	})
	if blocks < fewest {
		t.Fatalf("%d example runs (want at least %d)", blocks, fewest)
	}
	if bytes.Equal(got, text) {
		return
	}
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(path, got, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("the document says other than the program (UPDATE=1 go test ./cmd/reconcile -run ExampleRuns writes it again):\n%s", firstDifference(string(text), string(got)))
}

// demoJob is a demo job that a text names.
var demoJob = regexp.MustCompile(`testdata/tickets/([a-z0-9-]+)`)

// copyJobs copies the demo jobs that a text names: its commands write among them.
func copyJobs(t *testing.T, root, work, text string) {
	t.Helper()
	for _, m := range demoJob.FindAllStringSubmatch(text, -1) {
		to := filepath.Join(work, m[0])
		if _, err := os.Stat(to); err == nil {
			continue
		}
		if err := os.CopyFS(to, os.DirFS(filepath.Join(root, m[0]))); err != nil {
			t.Fatal(err)
		}
	}
}

// rerun runs the commands of one block and gives the block as it should be.
func rerun(t *testing.T, block string) string {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(block, "\n```"), "\n")
	out := lines[0] + "\n"
	for i := 1; i < len(lines); i++ {
		command, is := strings.CutPrefix(lines[i], "$ ")
		if !is {
			continue
		}
		end := i + 1
		for end < len(lines) && !strings.HasPrefix(lines[end], "$ ") {
			end++
		}
		out += lines[i] + "\n" + leftOut(runLine(t, command), lines[i+1:end])
	}
	return out + "```"
}

// leftOut leaves out of what was printed what the document leaves out: from a
// line "..." to the printed line that follows it there, or to the end.
func leftOut(printed string, wanted []string) string {
	lines := strings.SplitAfter(printed, "\n")
	var out strings.Builder
	at := 0
	keep := func(n int) {
		n = min(n, len(lines)-at)
		out.WriteString(strings.Join(lines[at:at+n], ""))
		at += n
	}
	for i := 0; i < len(wanted); {
		end := i
		for end < len(wanted) && wanted[end] != "..." {
			end++
		}
		keep(end - i)
		if end == len(wanted) {
			break
		}
		out.WriteString("...\n")
		if end+1 == len(wanted) {
			return out.String()
		}
		if next := slices.Index(lines[at:], wanted[end+1]+"\n"); next > 0 {
			at += next
		}
		i = end + 1
	}
	keep(len(lines))
	return out.String()
}

// runLine runs one command line of the program.
func runLine(t *testing.T, line string) string {
	t.Helper()
	args := fields(line)
	switch {
	case len(args) > 2 && args[0] == "go" && args[1] == "run":
		args = args[3:]
	case len(args) > 0 && args[0] == "reconcile":
		args = args[1:]
	case len(args) == 4 && args[0] == "sed" && args[1] == "-i":
		edit(t, args[2], args[3])
		return ""
	default:
		t.Fatalf("the command %q is not one of ours", line)
	}
	var out bytes.Buffer
	run(args, strings.NewReader(""), &out, &out)
	return signedHash.ReplaceAllString(out.String(), "$1 …")
}

// edit does what sed -i s/OLD/NEW/ FILE does where OLD is there once and is no
// pattern.
func edit(t *testing.T, command, file string) {
	t.Helper()
	part := strings.Split(command, "/")
	b, err := os.ReadFile(file)
	if err != nil || len(part) != 4 || part[0] != "s" || bytes.Count(b, []byte(part[1])) != 1 {
		t.Fatalf("sed %s %s: not one place to change (%v)", command, file, err)
	}
	put(t, file, strings.Replace(string(b), part[1], part[2], 1))
}

// signedHash is that of a certificate, or of a record that names it: another one
// in each run.
var signedHash = regexp.MustCompile(`(fingerprint|with the record) [0-9A-F]{64}`)

// fields splits a command line as a shell does, double quotes kept together.
func fields(line string) []string {
	var all []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			all = append(all, part)
		} else {
			all = append(all, strings.Fields(part)...)
		}
	}
	return all
}

func firstDifference(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return "document: " + x[i] + "\nprogram:  " + y[i]
		}
	}
	return "one is longer"
}
