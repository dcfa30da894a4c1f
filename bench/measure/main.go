// Command measure times whole runs of the program beside the least that
// others need for the same, and prints the ratios; bench/run builds what it
// needs and starts it. Runs that are compared alternate, and each figure is
// the median of its runs.
//
//	measure BIN WORK
//
// BIN holds the programs, WORK is a folder for what they write.
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
	"JOBS":        20000,  // forms to records
	"PDFS":        1000,   // summaries
	"CURVE":       100000, // end of the curve without PDFs
	"PDF_CURVE":   1000,   // and with
	"SYSTEM_JOBS": 2000,   // jobs whose systems numpy solves
}

func main() {
	if len(os.Args) != 3 {
		log.Fatal("usage: measure BIN WORK")
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
	b := &bench{bin: os.Args[1], work: os.Args[2]}
	fmt.Printf("%d cores, medians of %d runs; s: seconds of the clock, cpu: of all cores together\n", runtime.NumCPU(), sizes["RUNS"])
	b.records()
	b.systems()
	b.summaries()
	b.single()
	b.curve("curve, forms to records", sizes["CURVE"], false)
	b.curve("curve, with summaries", sizes["PDF_CURVE"], true)
	if b.missed > 0 {
		fmt.Printf("%d of the bounds are not kept\n", b.missed)
	}
}

// bench runs the programs.
type bench struct {
	bin, work string
	missed    int
	perJob    float64 // seconds of the clock from forms to a record
	perPDF    float64 // and for a summary
}

func (b *bench) program(name string) string { return filepath.Join(b.bin, name) }

func (b *bench) path(name string) string { return filepath.Join(b.work, name) }

// bound prints a ratio and the bound that it has to keep.
func (b *bench) bound(what string, ratio float64, word string, bound float64) {
	kept := ratio <= bound
	if word == "at least" {
		kept = ratio >= bound
	}
	note := "kept"
	if !kept {
		note = "NOT KEPT"
		b.missed++
	}
	fmt.Printf("  %-58s %6.2f  (%s %g: %s)\n", what, ratio, word, bound, note)
}

// records: forms to records against the floor.
func (b *bench) records() {
	n := sizes["JOBS"]
	day, conflict := b.day("day", n, 0), b.day("conflict", n, 0.1)
	some := b.path("some.json")
	b.save(some, b.day("some", min(n, 200), 0))
	fmt.Printf("\nforms to records, %d jobs of 6 to 8 readings\n", n)
	f := b.compareAll(
		command{b.program("reconcile"), []string{"summary", "--json", day}, nil}.run(),
		command{b.program("floor"), []string{day, some}, []string{"GOMAXPROCS=1"}}.run())
	ours, floor := f[0], f[1]
	ours.print("reconcile summary --json", n)
	floor.print("the floor, one core: encoding/csv, numbers, encoding/json", n)
	b.bound("reconcile / floor", ours.wall/floor.wall, "at most", 4)
	fmt.Printf("  %-58s %6.2f\n", "cpu of reconcile / cpu of the floor", ours.cpu/floor.cpu)
	hard := b.compareAll(command{b.program("reconcile"), []string{"summary", "--json", conflict}, nil}.status(1))[0]
	hard.print("the same with 10 % of the jobs in conflict", n)
	b.perJob = ours.wall / float64(n)
}

// systems: the same equations solved by this program and by numpy.
func (b *bench) systems() {
	n := sizes["SYSTEM_JOBS"]
	file := b.path("systems.bin")
	b.writeOutput(file, b.program("systems"), strconv.Itoa(n))
	fmt.Printf("\nthe systems of equations of %d jobs\n", n)
	var ours, theirs []float64
	var systems, oursSum, theirsSum float64
	for range sizes["RUNS"] {
		o := b.numbers(nil, b.program("systems"), "-solve", strconv.Itoa(n))
		t := b.numbers([]string{"OMP_NUM_THREADS=1", "OPENBLAS_NUM_THREADS=1"}, "/usr/bin/python3", "bench/solve.py", file)
		ours, theirs = append(ours, o[1]), append(theirs, t[1])
		systems, oursSum, theirsSum = o[0], o[2], t[2]
	}
	if d := oursSum/theirsSum - 1; d > 1e-6 || d < -1e-6 {
		log.Fatalf("the two solvers disagree: squared residuals %v and %v", oursSum, theirsSum)
	}
	a, z := median(ours), median(theirs)
	fmt.Printf("  %-58s %6.1f µs a system\n", "this program's solver, all cores", 1e6*a/systems)
	fmt.Printf("  %-58s %6.1f µs a system\n", "numpy in a loop", 1e6*z/systems)
	fmt.Printf("  %-58s %6.2f\n", "numpy / this program's solver", z/a)
	b.bound("numpy solving / reconcile from forms to record, a job", z/float64(n)/b.perJob, "at least", 10)
}

// summaries: pages against bare gofpdf and reportlab, and verifying them.
func (b *bench) summaries() {
	n := sizes["PDFS"]
	day, out := b.day("pdfs", n, 0), b.path("issued")
	content, fonts := b.content(day)
	fmt.Printf("\nsummaries, %d jobs, unsigned\n", n)
	ours := command{b.program("reconcile"), []string{"summary", day, "--out", out}, nil}.into(out)
	plain := command{b.program("plain"), []string{"-n", strconv.Itoa(n), content, b.path("plain")}, nil}.into(b.path("plain"))
	lab := command{"/usr/bin/python3", []string{"bench/draw.py", strconv.Itoa(n), content, b.path("lab"), fonts[0], fonts[1]}, nil}.into(b.path("lab"))
	f := b.compareAll(ours, plain, lab)
	f[0].print("reconcile summary, read, derived, drawn, on the disk", n)
	f[1].print("bare gofpdf, the same texts, lines and attachments", n)
	f[2].print("reportlab, the same texts and lines", n)
	b.bound("reconcile / bare gofpdf", f[0].wall/f[1].wall, "at most", 1)
	b.bound("reportlab / reconcile", f[2].wall/f[0].wall, "at least", 4)
	b.perPDF = f[0].wall / float64(n)
	pdfs, err := filepath.Glob(filepath.Join(out, "*.pdf"))
	if err != nil || len(pdfs) != n {
		log.Fatalf("%d summaries of %d (%v)", len(pdfs), n, err)
	}
	v := b.compareAll(command{b.program("reconcile"), append([]string{"verify"}, pdfs...), nil}.status(2))[0]
	v.print("reconcile verify", n)
	b.bound("verified a second / summaries a second", f[0].wall/v.wall, "at least", 1)
}

// single: one job from the shell.
func (b *bench) single() {
	day, out := b.day("one", 1, 0), b.path("one-issued")
	content, _ := b.content(day)
	fmt.Printf("\na single job, whole process\n")
	f := b.compareAll(
		command{b.program("reconcile"), []string{"summary", day, "--out", out}, nil}.into(out),
		command{b.program("plain"), []string{content, b.path("plain-one")}, nil}.into(b.path("plain-one")))
	f[0].print("reconcile summary", 1)
	f[1].print("bare gofpdf", 1)
	b.bound("reconcile / bare gofpdf", f[0].wall/f[1].wall, "at most", 3)
	b.bound("peak memory of reconcile, MiB", f[0].peak/1024, "at most", 64)
}

// curve: time and memory a job, from 100 jobs by tens.
func (b *bench) curve(what string, last int, pdfs bool) {
	fmt.Printf("\n%s\n  %10s %12s %12s %12s %14s\n", what, "jobs", "s", "ms a job", "cpu ms a job", "peak MiB")
	for n := min(100, last); n <= last; n *= 10 {
		out := b.path("curve-out")
		args := []string{"summary", "--json", b.day("curve", n, 0)}
		if pdfs {
			args = []string{"summary", b.day("curve", n, 0), "--out", out}
		}
		f := b.compareAll(command{b.program("reconcile"), args, nil}.into(out))[0]
		fmt.Printf("  %10d %12.3f %12.3f %12.3f %14.1f\n", n, f.wall, 1e3*f.wall/float64(n), 1e3*f.cpu/float64(n), f.peak/1024)
	}
}
