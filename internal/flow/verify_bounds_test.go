package flow

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/signoff"
	"reconcile/internal/study"
	"reconcile/internal/tickets"
)

// The bounds of verify and sign (contract, section 9).
const (
	mostMemory = 512 << 10 // kilobytes resident
	mostTime   = 10        // seconds of processor, for a file up to 64 MB
)

// hostile are files made to take time or memory: each a line and files that are
// attached to it under true pages. The largest have some size bytes; where that
// is less than the 60 MB of a study, so are the others.
func hostile(t *testing.T, size int) map[string]func() (line []byte, files []record.File) {
	of := func(most int) int { return most / (60_000_000 / size) }
	r := recordsOf(t, "planetarium")[0]
	head, _, _ := bytes.Cut(r.Line, []byte(`"readings":[`))
	_, tail, _ := bytes.Cut(r.Line, []byte(`],"ties":`))
	between := func(text string, n int) []byte {
		var b bytes.Buffer
		b.Write(head)
		b.WriteString(`"readings":[`)
		b.WriteString(text)
		for range n - 1 {
			b.WriteString("," + text)
		}
		b.WriteString(`],"ties":`)
		b.Write(tail)
		return b.Bytes()
	}
	var empty []byte
	{
		var x record.Record
		x.Readings = []record.Reading{{Without: []string{}, With: []string{}}}
		line, err := record.Line(nil, &x)
		if err != nil {
			t.Fatal(err)
		}
		_, empty, _ = bytes.Cut(line, []byte(`"readings":[`))
		empty, _, _ = bytes.Cut(empty, []byte(`],"ties":`))
	}
	form := func(name string, text string, n int) func() ([]byte, []record.File) {
		return func() ([]byte, []record.File) {
			f := forgeryOf(t, r)
			a := f.file(name)
			a.Bytes = append(a.Bytes, strings.Repeat(text, n)...)
			f.rehash(name)
			line, err := record.Line(nil, f.record)
			if err != nil {
				t.Fatal(err)
			}
			return line, f.files
		}
	}
	own := func(line []byte) func() ([]byte, []record.File) {
		return func() ([]byte, []record.File) { return line, r.Files }
	}
	long := func(n int) func() ([]byte, []record.File) {
		return own(bytes.Replace(r.Line, []byte(`"owner":"`), []byte(`"owner":"`+strings.Repeat("a", n)), 1))
	}
	return map[string]func() ([]byte, []record.File){
		"very many empty readings":      own(between(string(empty), size/len(empty))),
		"a very long text":              long(size),
		"a form of empty lines":         form("tickets.csv", "\n", size),
		"as many empty readings as fit": own(between(string(empty), of(mostRecord-len(r.Line))/(len(empty)+1))),
		"broken readings":               own(between("{}", of(5_000_000))),
		"a text as long as fits":        long(of(mostRecord - len(r.Line))),
		"lists in a list":               own(bytes.Replace(r.Line, []byte(`"doubtful":[`), []byte(`"doubtful":[`+strings.Repeat("[],", of(5_000_000))), 1)),
		"line numbers without end":      own(bytes.Replace(r.Line, []byte(`"lines":[]`), []byte(`"lines":[[1,7999999]]`), 1)),
		"runs of lines":                 own(bytes.Replace(r.Line, []byte(`"lines":[]`), []byte(`"lines":[`+strings.Repeat("[1,1],", of(2_000_000))+`[1,1]]`), 1)),
		"empty lines":                   form("tickets.csv", "\n", tickets.MaxJob.Lines-100),
		"commas":                        form("tickets.csv", ",", tickets.MaxJob.Bytes-5000),
		"tickets":                       form("tickets.csv", "7,,depot,coupled,front,1240,kg,\n", tickets.MaxJob.Lines-100),
		"ratings":                       form("ratings.csv", "gvm,,3200,kg,,plate\n", tickets.MaxJob.Lines-100),
		"axle ratings":                  form("ratings.csv", "axle,front,1480,kg,,plate\n", tickets.MaxJob.Lines-100),
		"as many sets as may be":        form("ratings.csv", lines("gvm,,%d,kg,,plate\n", 980), 1),
		"as many loads as may be":       withForms(t, r, manyLoads()),
		"scales":                        form("scales.csv", "x\n", tickets.MaxJob.Lines-100),
		"jobs":                          form("tickets.csv", "a\nb\n", tickets.MaxJob.Lines/2-100),
		"a quote without end":           form("tickets.csv", "\"", tickets.MaxJob.Bytes-5001),
	}
}

// lines are n lines, each with a number of its own.
func lines(format string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format, 3200+i)
	}
	return b.String()
}

// manyLoads are as many loads as a job may have, each of which may go to as many
// places, in an outfit over its ratings, with as many ratings of sets.
func manyLoads() map[string]string {
	var places []string
	for i := range 50 {
		places = append(places, fmt.Sprint("p", 3200+i))
	}
	return map[string]string{
		"loads.csv":   "load,mass,on,place,may_go,may_leave,divisible\n" + lines("l%d,17,trailer,p3200,"+strings.Join(places, "+")+",yes,yes\n", 200),
		"places.csv":  "on,at,capacity,place\ntrailer,0,,p3200\n" + strings.Join(strings.SplitAfter(lines("vehicle,900,100,p%d\n", 50), "\n")[1:], ""),
		"ratings.csv": "rating,on,unit,set,value\ngvm,,kg,,2500\natm,,kg,,2000\n" + lines("gvm,,kg,s%[1]d,%[1]d\n", 990),
	}
}

// withForms puts forms in the place of those of a job, or adds them.
func withForms(t *testing.T, r *Result, forms map[string]string) func() ([]byte, []record.File) {
	return func() ([]byte, []record.File) {
		f := forgeryOf(t, r)
		f.record.Inputs, f.files = f.record.Inputs[:0], nil
		for _, name := range tickets.FormNames() {
			text, own := forms[name]
			if i := slices.IndexFunc(r.Files, func(a record.File) bool { return a.Name == name }); i >= 0 && !own {
				text, own = string(r.Files[i].Bytes), true
			}
			if own {
				f.attach(name, []byte(text))
			}
		}
		line, err := record.Line(nil, f.record)
		if err != nil {
			t.Fatal(err)
		}
		return line, f.files
	}
}

// some are the hostile files of every run; a study takes them all, larger.
var some = []string{"very many empty readings", "a very long text", "runs of lines"}

// verifier is a program that verifies a file: that which is built here in a study,
// else the tests' own, which is there already.
func verifier(t *testing.T) string {
	t.Helper()
	if study.Full() {
		return buildProgram(t)
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return self
}

// verifyAlone verifies a file in a process that does nothing else, and gives its
// exit status. The garbage collector runs as often as in the verb.
func verifyAlone(path string) int {
	debug.SetGCPercent(200)
	pdf, err := os.ReadFile(path)
	if err != nil {
		fmt.Println(err)
		return 3
	}
	v := Verify(pdf, nil)
	fmt.Printf("%s: %v\n", path, v.Last)
	if v.Usable {
		return 0
	}
	return 1
}

// TestVerifyBounds runs verify as a process on each hostile file and measures it:
// files of 60 MB with -study, else some of them with some MB, which are within
// the same bounds.
func TestVerifyBounds(t *testing.T) {
	t.Parallel()
	python, program := study.Tool(t, "python3", "resource"), verifier(t)
	dir := t.TempDir()
	r := recordsOf(t, "planetarium")[0]
	measuredFiles := 0
	for name, make := range hostile(t, study.Size(60_000_000, 3_000_000, 1_000_000)) {
		if !study.Full() && !slices.Contains(some, name) {
			continue
		}
		measuredFiles++
		line, files := make()
		pdf, err := pdfout.Draw(r.Say, line, files, nil)
		if err != nil {
			t.Fatal(err)
		}
		if _, err = signoff.FillID(pdf); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "hostile.pdf")
		if err := os.WriteFile(path, pdf, 0o666); err != nil {
			t.Fatal(err)
		}
		kilobytes, seconds, status, out := measured(t, python, program, "verify", path)
		t.Logf("%-28s %9d bytes: %4d MB, %5.2f s, %d, %.120s", name, len(pdf), kilobytes>>10, seconds, status, lastLine(out))
		if kilobytes > mostMemory || seconds > mostTime || status != 1 && status != 3 {
			t.Errorf("%s: %d MB, %.1f s, exit status %d", name, kilobytes>>10, seconds, status)
		}
	}
	if want := study.Size(19, len(some), len(some)); measuredFiles != want {
		t.Errorf("%d files measured, want %d", measuredFiles, want)
	}
}

func lastLine(out string) string {
	lines := strings.Split(strings.TrimSpace(out), "\n")
	_, text, _ := strings.Cut(lines[len(lines)-1], "hostile.pdf: ")
	return text
}

// measuring runs a program from a process that is small itself: what a process
// takes at the most begins with what its parent had.
const measuring = `import resource, subprocess, sys
r = subprocess.run(sys.argv[1:], capture_output=True, text=True, timeout=60)
u = resource.getrusage(resource.RUSAGE_CHILDREN)
print(u.ru_maxrss, u.ru_utime + u.ru_stime, r.returncode)
print(r.stdout + r.stderr)`

// measured runs a program: kilobytes resident at the most, seconds of processor,
// exit status and what it said.
func measured(t *testing.T, python string, args ...string) (kilobytes int, seconds float64, status int, out string) {
	t.Helper()
	b, err := exec.Command(python, append([]string{"-c", measuring}, args...)...).CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, b)
		return mostMemory + 1, 0, 0, ""
	}
	if _, err := fmt.Sscan(string(b), &kilobytes, &seconds, &status); err != nil {
		t.Fatalf("%v\n%s", err, b)
	}
	return kilobytes, seconds, status, string(b)
}

// TestLineNumbers: the numbers of a form's lines count up, and are no more than
// its lines: 12, and one that need not end.
func TestLineNumbers(t *testing.T) {
	v := verification{files: map[string][]byte{"tickets.csv": bytes.Repeat([]byte("\n"), 12)}}
	for want, all := range map[string][][][2]int{
		"":                {nil, {}, {{1, 1}}, {{1, 1}, {4, 4}, {9, 12}}, {{8_000_001, 8_000_013}}},
		"do not fit":      {{{0, 0}}, {{-1, 2}}, {{3, 2}}, {{1, 14}}, {{1, 6}, {8, 15}}, {{1, 99_999_999_999}}},
		"do not count up": {{{2, 2}, {1, 1}}, {{1, 1}, {1, 1}}, {{1, 4}, {4, 5}}},
	} {
		for _, runs := range all {
			err := v.checkLines("tickets.csv", runs)
			if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
				t.Errorf("%v: %v (want %q)", runs, err, want)
			}
		}
	}
}
