package flow

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"reconcile/internal/study"
)

// independent is a second implementation of model and checks, in another
// language and by singular values, written from the description of the
// behaviour without a look at this one.
const independent = "testdata/independent/check.py"

// TestIndependentTickets compares every number and every determined word of the
// records of all example jobs with those of the second implementation.
func TestIndependentTickets(t *testing.T) {
	t.Parallel()
	forms, err := filepath.Glob("../../testdata/tickets/*/tickets.csv")
	if err != nil || len(forms) < 40 {
		t.Fatalf("%d example jobs, want at least 40 (%v)", len(forms), err)
	}
	args := []string{}
	for _, f := range forms {
		args = append(args, filepath.Dir(f))
	}
	// 47 jobs gave 20 295 values on the day this was written.
	compareIndependent(t, len(forms), 19000, args...)
}

// TestIndependentRandom does the same with invented jobs of every kind.
func TestIndependentRandom(t *testing.T) {
	t.Parallel()
	// 60 jobs of this seed gave 43 900 values on the day this was written.
	n := study.Size(60, 6, 6)
	compareIndependent(t, n, n*660, "--random", strconv.Itoa(n), "21", t.TempDir())
}

// TestIndependentKinds does the same with empty decks, suspensions, semi-trailers
// and drawbars, bars that nobody looked at, slips in ratings and answered
// questions.
func TestIndependentKinds(t *testing.T) {
	t.Parallel()
	// 60 jobs of this seed gave 34 204 values on the day this was written.
	n := study.Size(60, 6, 6)
	compareIndependent(t, n, n*500, "--random", strconv.Itoa(n), "31", t.TempDir(), "empty,rocker,asked,kinds")
}

// compareIndependent has the second implementation compare the records of folders
// with its own, and wants no difference, no refused job and at least so many
// folders and values. A study runs it on the program as it is built here; else
// the records are made here.
func compareIndependent(t *testing.T, folders, values int, args ...string) {
	t.Helper()
	program := "-"
	if study.Full() {
		program = buildProgram(t)
	}
	cmd := exec.Command(study.Tool(t, "python3", "numpy"), append([]string{independent, program}, args...)...)
	out, err := answered(cmd)
	if err != nil {
		t.Fatalf("%v\n%s", err, firstLines(out, 60))
	}
	m := regexp.MustCompile(`(\d+) folders, (\d+) values compared, 0 differences, 0 refused`).FindStringSubmatch(out)
	if m == nil {
		t.Fatalf("no count of what was compared:\n%s", firstLines(out, 60))
	}
	f, _ := strconv.Atoi(m[1])
	v, _ := strconv.Atoi(m[2])
	if f < folders || v < values {
		t.Errorf("compared %d folders and %d values, want at least %d and %d", f, v, folders, values)
	}
}

// answered runs a command, answers each line that asks for the records of a
// folder, and gives all else that it printed.
func answered(cmd *exec.Cmd) (string, error) {
	var printed strings.Builder
	cmd.Stderr = &printed
	asks, err := cmd.StdoutPipe()
	if err != nil {
		return "", err
	}
	answers, err := cmd.StdinPipe()
	if err != nil {
		return "", err
	}
	if err := cmd.Start(); err != nil {
		return "", err
	}
	var other strings.Builder
	for lines := bufio.NewScanner(asks); lines.Scan(); {
		if folder, asked := strings.CutPrefix(lines.Text(), "records of\t"); asked {
			answers.Write(recordsIn(folder)) // where it fails, so does the command
		} else {
			fmt.Fprintln(&other, lines.Text())
		}
	}
	err = cmd.Wait()
	return other.String() + printed.String(), err
}

// recordsIn is the number of a folder's records and a line each, or why there are
// none.
func recordsIn(folder string) []byte {
	results, err := resultsOf(openFolder(folder))
	if err != nil {
		return fmt.Appendf(nil, "%q\n", err)
	}
	all := fmt.Appendln(nil, len(results))
	for _, r := range results {
		all = append(all, r.Line...)
	}
	return all
}

// built is the program under test, built once for all tests of the package that
// need it.
var built = sync.OnceValues(func() (program string, err error) {
	if builtIn, err = os.MkdirTemp("", "flow"); err != nil {
		return "", err
	}
	program = filepath.Join(builtIn, "reconcile")
	if out, err := exec.Command("go", "build", "-o", program, "../../cmd/reconcile").CombinedOutput(); err != nil {
		return "", fmt.Errorf("build: %w\n%s", err, out)
	}
	return program, nil
})

// builtIn is the folder of the program; "" while nothing was built.
var builtIn string

// TestMain removes the program when all tests are done. Called as the program is,
// the tests themselves verify a file: see [verifier].
func TestMain(m *testing.M) {
	if len(os.Args) == 3 && os.Args[1] == "verify" {
		os.Exit(verifyAlone(os.Args[2]))
	}
	status := m.Run()
	if builtIn != "" {
		os.RemoveAll(builtIn)
	}
	os.Exit(status)
}

// buildProgram gives the path of the program under test.
func buildProgram(t *testing.T) string {
	t.Helper()
	program, err := built()
	if err != nil {
		t.Fatal(err)
	}
	return program
}

// firstLines is the first lines of a text: the differences come first.
func firstLines(text string, lines int) string {
	all := strings.Split(text, "\n")
	if len(all) > lines {
		all = append(all[:lines], "…", all[len(all)-2])
	}
	return strings.Join(all, "\n")
}
