package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// issuedJobs are the jobs of one day.
const issuedJobs = 40

// TestKilledWhileIssuing kills runs that number and sign, at random moments, day
// after day in one folder. After each kill the register holds: no line of before
// is lost or changed, no number is there twice, every line's summary is intact.
// In the end every job of every day was issued once, and no number is passed over.
func TestKilledWhileIssuing(t *testing.T) {
	n := kills()
	k := newIssuing(t)
	for i := 0; i < n || k.midst < n/3 && i < 10*n; i++ { // more where the machine is busy and few hit
		k.kill()
	}
	k.run()
	rows, err := registered(k.out, false)
	if err != nil || len(rows) != k.days*issuedJobs {
		t.Fatalf("%d lines of %d days of %d jobs: %v", len(rows), k.days, issuedJobs, err)
	}
	for i, row := range rows {
		if want := fmt.Sprintf("W-%04d", i+98); row[0] != want {
			t.Errorf("line %d has number %s (want %s)", i+2, row[0], want)
		}
	}
	t.Logf("%d runs killed, %d of them after the first and before the last line of a day; %d left a line without its file's name, %d one cut in two; %d days, %d lines",
		n, k.midst, k.unnamed, k.cut, k.days, len(rows))
	if k.midst < n/3 {
		t.Errorf("only %d of %d kills hit a run in its midst", k.midst, n)
	}
}

// issuing is a folder of issued summaries, and the day in hand.
type issuingDays struct {
	*testing.T
	rng                  *rand.Rand
	forms, out, key      string
	takes                time.Duration
	days, midst, unnamed int
	cut                  int    // lines that a kill cut in two
	before               []byte // the register at the last look
}

func newIssuing(t *testing.T) *issuingDays {
	dir := t.TempDir()
	k := &issuingDays{T: t, rng: rand.New(rand.NewPCG(killSeed, 1)), forms: filepath.Join(dir, "forms"), out: filepath.Join(dir, "out"), key: filepath.Join(dir, "yard.p12")}
	t.Setenv(passwordVariable, quickPassword)
	mustQuickKey(t, k.key, "Yard")
	k.nextDay()
	start := time.Now()
	k.run()
	k.takes = time.Since(start)
	k.nextDay()
	return k
}

// nextDay is another day's forms, of other jobs; nobody raises next_number.
func (k *issuingDays) nextDay() {
	k.days++
	dayForms(k, k.forms, issuedJobs, 0)
	text := filesIn(k, k.forms)["tickets.csv"]
	put(k, filepath.Join(k.forms, "tickets.csv"), strings.ReplaceAll(text, "\nj", fmt.Sprintf("\nd%d-j", k.days)))
	put(k, filepath.Join(k.forms, "issuer.csv"), "name,next_number\nYard,W-0098\n")
}

func (k *issuingDays) args() []string {
	return []string{"summary", k.forms, "--out", k.out, "--sign", k.key}
}

// run runs to the end.
func (k *issuingDays) run() {
	k.Helper()
	process(k.T, ".", k.args()...).wants(k.T, "not killed", exitUnsettled, "")
	k.look(false)
}

// kill kills a run of what is left of the day, and looks at what it left.
func (k *issuingDays) kill() {
	k.Helper()
	run := exec.Command("reconcile", k.args()...)
	if err := run.Start(); err != nil {
		k.Fatal(err)
	}
	time.Sleep(time.Duration(k.rng.Float64() * float64(k.takes)))
	killed := run.Process.Kill() == nil
	run.Wait()
	k.mend()
	rows := k.look(true)
	switch today := rows - (k.days-1)*issuedJobs; {
	case killed && today > 0 && today < issuedJobs:
		k.midst++
	case today == issuedJobs:
		k.run() // names the last one, and writes the table
		k.nextDay()
	}
}

// mend does by hand what the program asks for where a kill cut a line in two, as it may
// between two pages of memory: the next run writes nothing and says so, and the piece is
// taken away.
func (k *issuingDays) mend() {
	k.Helper()
	path := filepath.Join(k.out, "register.csv")
	b, err := os.ReadFile(path)
	if err != nil || bytes.HasSuffix(b, []byte("\n")) {
		return // not begun, or whole
	}
	k.cut++
	process(k.T, ".", k.args()...).wants(k.T, "a line cut in two", exitCouldNot, "the last line is broken off")
	if same, err := os.ReadFile(path); err != nil || !bytes.Equal(same, b) {
		k.Fatalf("a broken register was changed (%v)", err)
	}
	put(k, path, string(b[:bytes.LastIndexByte(b, '\n')+1]))
}

// look wants the register to hold, with all lines of before in it.
func (k *issuingDays) look(killed bool) int {
	k.Helper()
	b, err := os.ReadFile(filepath.Join(k.out, "register.csv"))
	if err != nil || !bytes.HasPrefix(b, k.before) {
		k.Fatalf("lines of before are lost (%v)", err)
	}
	k.before = b
	rows, err := registered(k.out, killed)
	if err != nil {
		k.Fatal(err)
	}
	if len(rows) > 0 {
		if _, err := os.Stat(filepath.Join(k.out, rows[len(rows)-1][12])); err != nil {
			k.unnamed++
		}
	}
	return len(rows)
}

// TestTwoRunsAtOnce starts runs of one day side by side: one writes, the others
// end at once or find everything issued.
func TestTwoRunsAtOnce(t *testing.T) {
	dir := t.TempDir()
	forms, out := filepath.Join(dir, "forms"), filepath.Join(dir, "out")
	dayForms(t, forms, 12, 0)
	put(t, filepath.Join(forms, "issuer.csv"), "name,next_number\nYard,1\n")
	refused := 0
	for round := range 3 {
		if err := os.RemoveAll(out); err != nil {
			t.Fatal(err)
		}
		var all [4]ended
		var wait sync.WaitGroup
		for i := range all {
			wait.Go(func() { all[i] = process(t, dir, "summary", forms, "--out", out) })
		}
		wait.Wait()
		for _, e := range all {
			if e.status == exitCouldNot && strings.Contains(e.errs, "another run writes into") && e.out == "" {
				refused++
			} else if e.status != exitUnsettled {
				t.Errorf("round %d: status %d, said %q", round, e.status, e.errs)
			}
		}
		if rows, err := registered(out, false); err != nil || len(rows) != 12 {
			t.Errorf("round %d: %d lines (want 12), %v", round, len(rows), err)
		}
	}
	if refused == 0 {
		t.Error("no run met another one")
	}
}
