// Command measure times runs of the program and the least that others need for
// the same, and prints both as the table in DEVELOPERS.md; bench/run builds what
// it needs and starts it. Runs that are compared alternate; a time is the median
// of its runs, and a ratio the median of the ratios in each round.
//
//	measure BIN WORK PYTHON
//
// BIN holds the programs, WORK is a folder for what they write, PYTHON a python3
// with numpy and reportlab.
package main

import (
	"fmt"
	"log"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
)

// sizes of the runs; each can be set by an environment variable of its name.
var sizes = map[string]int{
	"RUNS":        5,      // of which the median is taken
	"SINGLE_RUNS": 25,     // the same for a single job
	"JOBS":        5000,   // forms to records
	"PDFS":        400,    // summaries
	"SYSTEM_JOBS": 1000,   // jobs whose systems numpy solves
	"CURVE":       100000, // end of the curve without PDFs
	"PDF_CURVE":   1000,   // and with
}

func main() {
	if len(os.Args) != 4 {
		log.Fatal("usage: measure BIN WORK PYTHON")
	}
	for name := range sizes {
		if v := os.Getenv(name); v != "" {
			n, err := strconv.Atoi(v)
			if err != nil || n < 1 {
				log.Fatalf("%s=%q (want a number from 1)", name, v)
			}
			sizes[name] = n
		}
	}
	b := &bench{bin: os.Args[1], work: os.Args[2], python: os.Args[3]}
	// The peak of a child counts from that of this program: what needs little
	// memory is measured first.
	b.single()
	b.records()
	b.systems()
	b.summaries()
	b.table()
	b.curve()
	if b.missed > 0 {
		fmt.Printf("\n%d of the bounds are not kept\n", b.missed)
	}
}

// bench runs the programs and keeps the rows of the table.
type bench struct {
	bin, work, python string
	rows              []string
	missed            int
}

func (b *bench) program(name string) string { return filepath.Join(b.bin, name) }

func (b *bench) path(name string) string { return filepath.Join(b.work, name) }

// table prints the rows.
func (b *bench) table() {
	fmt.Printf("\n%d cores; %d rounds (a single job: %d), %d jobs to records, %d summaries, the systems of %d jobs; ms of the clock / of the processor, of all cores together\n\n",
		runtime.NumCPU(), sizes["RUNS"], sizes["SINGLE_RUNS"], sizes["JOBS"], sizes["PDFS"], sizes["SYSTEM_JOBS"])
	fmt.Println("| | reconcile, ms | compared with | ms | ratio by the clock / of the processor | wanted |")
	fmt.Println("|---|---|---|---|---|---|")
	for _, r := range b.rows {
		fmt.Println(r)
	}
}

// single: one job from the shell.
func (b *bench) single() {
	out := b.path("one-issued")
	content, _ := b.content(b.day("one", 1, 0))
	ours := command{b.program("reconcile"), []string{"summary", b.path("one"), "--out", out}, nil}.into(out)
	plain := command{b.program("plain"), []string{content, b.path("plain-one")}, nil}.into(b.path("plain-one"))
	s := compareAll(sizes["SINGLE_RUNS"], ours, plain)
	b.row("one job from the shell", s[0], 1, "bare gofpdf, the same texts, lines and attachments", s[1], bound{most: 1})
	b.peak("its memory at the peak", s[0], 32)
}

// records: forms to records against the floor.
func (b *bench) records() {
	n := sizes["JOBS"]
	// The floor reads its records with our parser, which is no part of it: few of them.
	day, conflict, some := b.day("day", n, 0), b.day("conflict", n, 0.1), b.path("some.json")
	b.writeOutput(some, b.program("reconcile"), "summary", "--json", b.day("some", min(n, 5), 0))
	s := compareAll(sizes["RUNS"],
		command{b.program("reconcile"), []string{"summary", "--json", day}, nil}.run(),
		command{b.program("reconcile"), []string{"summary", "--json", day}, []string{"GOMAXPROCS=1"}}.run(),
		command{b.program("floor"), []string{day, some}, []string{"GOMAXPROCS=1"}}.run(),
		command{b.program("reconcile"), []string{"summary", "--json", conflict}, nil}.status(1))
	const floor = "the floor on one core: `encoding/csv`, numbers, `encoding/json`"
	b.row("forms to record, a job, on one core", s[1], n, floor, s[2], bound{most: 2.5})
	b.row("the same on all cores", s[0], n, floor, s[2], bound{most: 2.5})
	b.rows = append(b.rows, fmt.Sprintf("| the same, 10 %% in conflict | %s | | | | |", s[3].each(n)))
}

// systems: the same equations solved by this program and by numpy.
func (b *bench) systems() {
	n := sizes["SYSTEM_JOBS"]
	file := b.path("systems.bin")
	b.output(nil, b.program("systems"), "record", b.day("systems", n, 0), file)
	var ours, theirs series
	var systems float64
	for range sizes["RUNS"] {
		o := b.numbers([]string{"GOMAXPROCS=1"}, b.program("systems"), "solve", file)
		t := b.numbers([]string{"OMP_NUM_THREADS=1", "OPENBLAS_NUM_THREADS=1"}, b.python, "solve.py", file)
		if d := o[3]/t[3] - 1; d > 1e-6 || d < -1e-6 || o[0] != t[0] {
			log.Fatalf("the two solvers disagree: %v and %v systems, squared residuals %v and %v", o[0], t[0], o[3], t[3])
		}
		ours, theirs = append(ours, figures{wall: o[1], cpu: o[2]}), append(theirs, figures{wall: t[1], cpu: t[2]})
		systems = o[0]
	}
	b.row("one system of equations, both on one core and warmed up by a pass", ours, int(systems), "numpy in a loop", theirs, bound{least: 15})
}

// summaries: pages against bare gofpdf and reportlab, and verifying them.
func (b *bench) summaries() {
	n := sizes["PDFS"]
	day, out := b.day("pdfs", n, 0), b.path("issued")
	content, fonts := b.content(day)
	ours := command{b.program("reconcile"), []string{"summary", day, "--out", out}, nil}.into(out)
	plain := command{b.program("plain"), []string{"-n", strconv.Itoa(n), content, b.path("plain")}, nil}.into(b.path("plain"))
	lab := command{b.python, []string{"draw.py", strconv.Itoa(n), content, b.path("lab"), fonts[0], fonts[1]}, nil}.into(b.path("lab"))
	ours.time() // what verify reads
	pdfs, err := filepath.Glob(filepath.Join(out, "*.pdf"))
	if err != nil || len(pdfs) != n {
		log.Fatalf("%d summaries of %d (%v)", len(pdfs), n, err)
	}
	verify := command{b.program("reconcile"), append([]string{"verify"}, pdfs...), nil}.status(2)
	// The cores of one machine share more than they let see: on one of them each
	// works for itself.
	one := func(t timed) timed {
		t.env = []string{"GOMAXPROCS=1", "CORES=1"}
		return t
	}
	synced := lab
	synced.env = []string{"SYNC=1"}
	s := compareAll(sizes["RUNS"], ours, plain, lab, verify, one(ours), one(lab), one(verify), synced)
	b.row("a summary: read, solved, drawn, on the disk", s[0], n, "bare gofpdf, the same texts, lines and attachments", s[1], bound{most: 0.35})
	b.row("the same", s[0], n, "reportlab, the same texts and lines, nothing attached", s[2], bound{least: 4})
	b.row("the same", s[0], n, "reportlab, which puts its files on the disk too", s[7], bound{least: 4})
	b.row("the same, on one core", s[4], n, "reportlab, on one core", s[5], bound{least: 4})
	b.row("verify", s[3], n, "a summary", s[0], bound{most: 1})
	b.row("verify, on one core", s[6], n, "a summary, on one core", s[4], bound{most: 1})
}

// curve: time and memory a job, from 100 jobs by tens, one run each.
func (b *bench) curve() {
	fmt.Printf("\n| jobs | ms a job by the clock / of the processor | MiB at the peak |\n|---|---|---|\n")
	for _, c := range []struct {
		last int
		what string
	}{{sizes["CURVE"], ""}, {sizes["PDF_CURVE"], " with summaries"}} {
		for n := min(100, c.last); n <= c.last; n *= 10 {
			out := b.path("curve-out")
			args := []string{"summary", "--json", b.day("curve", n, 0)}
			if c.what != "" {
				args = []string{"summary", b.day("curve", n, 0), "--out", out}
			}
			s := compareAll(1, command{b.program("reconcile"), args, nil}.into(out))[0]
			fmt.Printf("| %d%s | %s | %.0f |\n", n, c.what, s.each(n), s[0].peak/1024)
		}
	}
}
