package tickets

import (
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/rogpeppe/go-internal/txtar"
)

var update = flag.Bool("update", false, "write the messages found into testdata/faults, to be read through")

// faultCases is the number of files under testdata/faults; a lost file is seen.
const faultCases = 391

// faultCase is one file: forms with one fault, and the message it must give.
type faultCase struct {
	path    string
	text    string
	forms   []Form
	options Options
	want    string
}

// read reads the forms of a case.
func (c faultCase) read() folderRead {
	return readFolder(c.forms, c.options)
}

// readFaultCase reads a file of the corpus. In its comment a line
// "options: region=us set=lift no-tickets" gives options; a file NAME.quoted
// holds a Go string, for bytes that are no text.
func readFaultCase(t testing.TB, path string) faultCase {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	ar := txtar.Parse(text)
	c := faultCase{path: path, text: string(text), options: Options{NeedTickets: true, CopySize: onlyPhoto}}
	for _, l := range strings.Split(string(ar.Comment), "\n") {
		rest, ok := strings.CutPrefix(l, "options:")
		for _, o := range strings.Fields(rest) {
			switch k, v, _ := strings.Cut(o, "="); {
			case !ok:
			case k == "region":
				c.options.Region = v
			case k == "set":
				c.options.Set = v
			case k == "no-tickets":
				c.options.NeedTickets = false
			default:
				t.Fatalf("%s: option %q", path, o)
			}
		}
	}
	for _, f := range ar.Files {
		name, quoted := strings.CutSuffix(f.Name, ".quoted")
		switch data := string(f.Data); {
		case name == "faults":
			c.want = strings.TrimSpace(data)
		case quoted:
			text, err := strconv.Unquote(strings.TrimSpace(data))
			if err != nil {
				t.Fatalf("%s: %s: %v", path, f.Name, err)
			}
			c.forms = append(c.forms, Form{Name: name, Bytes: []byte(text)})
		default:
			c.forms = append(c.forms, Form{Name: name, Bytes: []byte(data)})
		}
	}
	return c
}

func faultFiles(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob("testdata/faults/*.txtar")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no files under testdata/faults: %v", err)
	}
	return paths
}

// TestFaults holds the exact message of every faulty form of the corpus.
func TestFaults(t *testing.T) {
	paths := faultFiles(t)
	if len(paths) != faultCases && !*update {
		t.Errorf("testdata/faults holds %d files, want %d", len(paths), faultCases)
	}
	for _, path := range paths {
		c := readFaultCase(t, path)
		t.Run(strings.TrimSuffix(filepath.Base(path), ".txtar"), func(t *testing.T) {
			res := c.read()
			got := showFaults(res.Faults)
			if *update {
				c.write(t, got)
				return
			}
			if got != c.want {
				t.Errorf("found\n%s\nwant\n%s", got, c.want)
			}
			if len(res.Faults) == 0 {
				t.Error("no fault found")
			}
			checkStopped(t, res)
		})
	}
}

func showFaults(faults []Fault) string {
	var lines []string
	for _, f := range faults {
		lines = append(lines, f.Error())
	}
	return strings.Join(lines, "\n")
}

// checkStopped says whether jobs and faults agree: every job is read or
// stopped, and a fault of all jobs leaves none.
func checkStopped(t *testing.T, res folderRead) {
	t.Helper()
	if len(res.Jobs)+len(res.Stopped) != len(res.Order) {
		t.Errorf("%d jobs read and %d stopped of %d", len(res.Jobs), len(res.Stopped), len(res.Order))
	}
	for _, f := range res.Faults {
		for _, j := range res.Jobs {
			if f.All || f.Job == j.Name {
				t.Errorf("job %q is read in spite of %v", j.Name, f)
			}
		}
	}
}

func (c faultCase) write(t *testing.T, got string) {
	t.Helper()
	forms, _, _ := strings.Cut(c.text, "-- faults --\n")
	if err := os.WriteFile(c.path, []byte(forms+"-- faults --\n"+got+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestFaultForm holds the form of all messages: lower case at the start, no
// full stop, on one line, saying what was wanted, and not blaming the reader.
func TestFaultForm(t *testing.T) {
	for _, path := range faultFiles(t) {
		c := readFaultCase(t, path)
		for _, f := range c.read().Faults {
			if f.Wanted == "" {
				t.Errorf("%s: %q does not say what was wanted", path, f.What)
			}
			for _, s := range []string{f.What, f.Wanted, f.Hint} {
				if strings.HasSuffix(s, ".") || strings.Contains(s, "\n") || strings.Contains(s, "(") && !strings.Contains(s, `"`) {
					t.Errorf("%s: %q ends in a full stop, runs on or holds brackets", path, s)
				}
				if s != "" && unicode.IsUpper([]rune(s)[0]) && !isTradeWord(s) {
					t.Errorf("%s: %q begins with a capital", path, s)
				}
			}
		}
	}
}

// isTradeWord allows what is written with a capital anywhere: an accuracy class.
func isTradeWord(s string) bool { return strings.HasPrefix(s, "III") }
