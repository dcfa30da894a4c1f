package main

import (
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/study"
)

// killJobs is how many jobs a run has that is killed.
func killJobs() int { return study.Size(60, 20, 20) }

// kills is how many runs are killed: some in every run of the tests, and 200 of
// a study.
func kills() int { return study.Size(200, 3, 3) }

// writing is about how long it takes to write a summary with a copy in it.
const writing = 500 * time.Microsecond

// killSeed makes the moments the same in every run of the tests, as far as
// the machine is.
const killSeed = 9

// TestKilled kills a run of many jobs at random moments, now into an empty
// folder, now over the summaries of other forms. Every file then there is
// complete: byte for byte that of a run not killed, before or after; and those
// verify. The next run removes the parts and ends with what one run writes.
func TestKilled(t *testing.T) {
	n := kills()
	k := newKilling(t)
	for i := 0; i < n || k.midst < n/2 && i < 10*n; i++ { // more where the machine is busy and few hit
		k.once(i%2 == 1)
	}
	t.Logf("%d runs of %d jobs killed, %d of them between their first and last file; %d files left, %d of them parts; a run takes about %s",
		n, killJobs(), k.midst, k.files, k.parts, k.takes.Round(10*time.Millisecond))
	if k.midst < n/2 {
		t.Errorf("only %d of %d kills hit a run between its first and last file", k.midst, n)
	}
	k.goOn()
}

// killing is a day, what a run makes of it, and what was found so far.
type killing struct {
	*testing.T
	rng                 *rand.Rand
	forms, older, out   string
	want, before        map[string]string // what a whole run writes now, and wrote of other forms
	takes               time.Duration
	midst, files, parts int
}

func newKilling(t *testing.T) *killing {
	dir := t.TempDir()
	k := &killing{T: t, rng: rand.New(rand.NewPCG(killSeed, 0)), forms: filepath.Join(dir, "forms"),
		older: filepath.Join(dir, "older"), out: filepath.Join(dir, "out")}
	dayForms(t, k.forms, killJobs(), 0)
	dayForms(t, k.older, killJobs(), 20)
	withCopies(t, k.forms)
	withCopies(t, k.older)
	start := time.Now()
	k.want = k.whole(k.forms, filepath.Join(dir, "whole"))
	k.takes = time.Since(start)
	k.before = k.whole(k.older, filepath.Join(dir, "before"))
	return k
}

// withCopies attaches a copy of a megabyte to every sixth job: such a file
// takes a while to write.
func withCopies(t *testing.T, forms string) {
	t.Helper()
	scan := make([]byte, 1<<20)
	r := rand.NewChaCha8([32]byte{killSeed})
	r.Read(scan)
	put(t, filepath.Join(forms, "scan.jpg"), string(scan))
	text := filesIn(t, forms)["tickets.csv"]
	lines := strings.Split(strings.TrimSpace(text), "\n")
	for i := range lines {
		switch {
		case i == 0:
			lines[i] += ",copy"
		case i%18 == 1:
			lines[i] += ",scan.jpg"
		default:
			lines[i] += ","
		}
	}
	put(t, filepath.Join(forms, "tickets.csv"), strings.Join(lines, "\n")+"\n")
}

// whole runs to the end, and verifies what is there then.
func (k *killing) whole(forms, out string) map[string]string {
	k.Helper()
	process(k.T, ".", "summary", forms, "--out", out).wants(k.T, "not killed", exitUnsettled, "")
	all := filesIn(k, out)
	if len(all) != killJobs()+1 {
		k.Fatalf("%d files of a run of %d jobs (want a summary each and the register)", len(all), killJobs())
	}
	for name, b := range all {
		if !strings.HasSuffix(name, ".pdf") {
			continue
		}
		if v := flow.Verify([]byte(b), nil); !v.Usable {
			k.Fatalf("%s: %s", name, v.Last)
		}
	}
	return all
}

// once kills one run, and looks at what it left.
func (k *killing) once(replacing bool) {
	k.Helper()
	if err := os.RemoveAll(k.out); err != nil {
		k.Fatal(err)
	}
	args := []string{"summary", k.forms, "--out", k.out}
	if replacing {
		for name, b := range k.before {
			put(k, filepath.Join(k.out, name), b)
		}
		args = append(args, "--replace")
	}
	begun := time.Now()
	run := exec.Command("reconcile", args...)
	if err := run.Start(); err != nil {
		k.Fatal(err)
	}
	k.wait(k.rng.IntN(killJobs()-2), begun)
	if k.rng.IntN(2) == 0 {
		k.untilNew()
		time.Sleep(time.Duration(k.rng.IntN(int(writing))))
	} else {
		time.Sleep(time.Duration(k.rng.Float64() * 2 * float64(k.takes) / float64(killJobs())))
	}
	if err := run.Process.Kill(); err != nil && run.ProcessState == nil {
		k.Log(err) // it has ended already
	}
	run.Wait()
	k.look(replacing)
}

// untilNew waits for the next file, under whatever name, not to miss the
// short while in which it is written.
func (k *killing) untilNew() {
	names := func() string { return strings.Join(slices.Sorted(maps.Keys(sizes(k.out))), "/") }
	for was, limit := names(), time.Now().Add(time.Second); names() == was && time.Now().Before(limit); {
	}
}

// sizes lists a folder's files.
func sizes(dir string) map[string]int64 {
	all := map[string]int64{}
	entries, _ := os.ReadDir(dir)
	for _, e := range entries {
		if info, err := e.Info(); err == nil {
			all[e.Name()] = info.Size()
		}
	}
	return all
}

// wait waits until the run has put so many files in their places.
func (k *killing) wait(files int, begun time.Time) {
	for limit := begun.Add(time.Minute); time.Now().Before(limit); time.Sleep(500 * time.Microsecond) {
		at := 0
		entries, _ := os.ReadDir(k.out)
		for _, e := range entries {
			if info, err := e.Info(); err == nil && !strings.HasPrefix(e.Name(), ".") && info.ModTime().After(begun) {
				at++
			}
		}
		if at >= files {
			return
		}
	}
	k.Fatalf("no %d files within a minute", files)
}

// look wants every file to be whole: of this run, or untouched of the one before.
func (k *killing) look(replacing bool) {
	k.Helper()
	made := 0
	for name, b := range filesIn(k, k.out) {
		if strings.HasPrefix(name, ".") && strings.HasSuffix(name, ".part") {
			k.parts++
			continue
		}
		k.files++
		switch {
		case b == k.want[name]:
			made++
		case !replacing || b != k.before[name]:
			k.Errorf("%s is neither what a whole run writes nor what was there: %d bytes of %d", name, len(b), len(k.want[name]))
		}
	}
	if made > 0 && made <= killJobs() {
		k.midst++
	}
}

// goOn runs to the end where the last run was killed, among parts.
func (k *killing) goOn() {
	k.Helper()
	put(k, filepath.Join(k.out, ".j07.pdf.part"), "%PDF-1.7\nhalf a summ")
	process(k.T, ".", "summary", k.forms, "--out", k.out, "--resume").wants(k.T, "going on", exitUnsettled, "")
	if got := filesIn(k, k.out); !maps.Equal(got, k.want) {
		k.Errorf("%d files after going on (want the %d of a run not killed, byte for byte)", len(got), len(k.want))
	}
}
