package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/screen"
	"reconcile/internal/tickets"
)

var summaryVerb = verb{
	name:    "summary",
	args:    "JOB... [FLAGS]",
	short:   "read the tickets of a job and write its summary",
	example: "reconcile summary testdata/tickets/planetarium",
	flags:   summaryFlags,
	run:     runSummary,
}

func summaryFlags(f *pflag.FlagSet) {
	f.String("out", "", "write the summaries into `DIR` instead of the job's folder")
	f.Bool("json", false, "print the record as a line of JSON instead of the report")
	optionFlags(f)
	f.String("set", "", "name a `SET` of planned ratings to show beside those in force")
	f.String("issued", "", "`DATE` of issue to print, like 2026-03-14")
	f.String("paper", "a4", "paper `SIZE`: a4 or letter")
	f.Bool("replace", false, "replace an unsigned summary of other forms")
}

// optionFlags are the flags that every deriving verb has.
func optionFlags(f *pflag.FlagSet) {
	f.String("rule", "guarded", "decision `RULE`: guarded (value and uncertainty) or simple (value alone)")
	f.String("region", "", "`REGION` whose words and usual ratings apply: au, nz, uk, eu or us")
}

// words are the values a flag may have.
var words = map[string][]string{
	"rule":   {"guarded", "simple"},
	"region": {"au", "nz", "uk", "eu", "us", ""},
	"paper":  {"a4", "letter"},
}

// options reads the deriving flags; a word that is not known is refused.
func options(f *pflag.FlagSet) (flow.Options, error) {
	o := flow.Options{Program: Version, Rule: "guarded", Paper: "a4"}
	into := map[string]*string{"rule": &o.Rule, "region": &o.Region, "set": &o.Set, "issued": &o.Issued, "paper": &o.Paper}
	for _, name := range []string{"rule", "region", "set", "issued", "paper"} {
		flag := f.Lookup(name)
		if flag == nil {
			continue
		}
		value := flag.Value.String()
		if allowed, ok := words[name]; ok && !slices.Contains(allowed, value) {
			return o, fmt.Errorf("--%s %q is not known (want %s)%s", name, value, orList(allowed), meant(value, allowed))
		}
		*into[name] = value
	}
	if o.Issued != "" {
		if _, err := time.Parse(time.DateOnly, o.Issued); err != nil {
			return o, fmt.Errorf("--issued %q is not a date (want one like 2026-03-14)", o.Issued)
		}
	}
	return o, nil
}

func orList(words []string) string {
	var named []string
	for _, w := range words {
		if w != "" {
			named = append(named, w)
		}
	}
	return strings.Join(named[:len(named)-1], ", ") + " or " + named[len(named)-1]
}

// summaries is one run of the verb.
type summaries struct {
	streams
	options flow.Options
	out     string // --out, or ""
	json    bool
	replace bool
	status  int
	rows    []screen.Row
	printed int
}

func runSummary(args []string, f *pflag.FlagSet, s streams) int {
	o, err := options(f)
	if err != nil {
		return s.refuse(err.Error())
	}
	if len(args) == 0 {
		return s.refuse("summary: no job folder given (want one or more)")
	}
	run := &summaries{streams: s, options: o}
	run.out, _ = f.GetString("out")
	run.json, _ = f.GetBool("json")
	run.replace, _ = f.GetBool("replace")
	return run.all(args)
}

// opened is one folder, read.
type opened struct {
	dir    string
	folder flow.Folder
	read   tickets.Result
}

// all reads every folder before anything is written, so that faults of use
// leave nothing behind; faulty jobs stop alone.
func (run *summaries) all(dirs []string) int {
	var folders []opened
	for _, dir := range dirs {
		folder, err := openFolder(dir)
		if err != nil {
			return run.refuse(err.Error())
		}
		folders = append(folders, opened{dir, folder, flow.Read(folder, run.options, true)})
	}
	if err := run.prepare(folders); err != nil {
		return run.refuse(err.Error())
	}
	for _, f := range folders {
		run.folder(f, len(folders) > 1)
	}
	if err := run.register(folders); err != nil {
		return run.refuse(err.Error())
	}
	return run.status
}

// prepare makes the output folder and refuses two summaries of one name.
func (run *summaries) prepare(folders []opened) error {
	if run.json && run.out == "" {
		return nil
	}
	seen := map[string]string{}
	for _, f := range folders {
		for _, name := range f.read.Order {
			path := run.path(f, name, len(folders) > 1)
			key := strings.ToLower(path)
			if other, twice := seen[key]; twice {
				return fmt.Errorf("%q and %q would both write %q (want different names)", other, f.dir, path)
			}
			seen[key] = f.dir
		}
	}
	if run.out == "" {
		for _, f := range folders {
			removeParts(f.dir)
		}
		return nil
	}
	if err := os.MkdirAll(run.out, 0o777); err != nil {
		return fmt.Errorf("--out %q: %w", run.out, cause(err))
	}
	removeParts(run.out)
	return nil
}

// path is where the summary of a job goes.
func (run *summaries) path(f opened, job string, several bool) string {
	dir := f.dir
	if run.out != "" {
		dir = run.out
	}
	base := "summary"
	folder := filepath.Base(filepath.Clean(absolute(f.dir)))
	switch {
	case run.out != "" && several && f.read.HasJobs:
		base = folder + "-" + job
	case run.out != "" && several:
		base = folder
	case f.read.HasJobs:
		base = job
	}
	return filepath.Join(dir, base+".pdf")
}

func absolute(dir string) string {
	if abs, err := filepath.Abs(dir); err == nil {
		return abs
	}
	return dir
}

// folder prints the faults of a folder and writes its sound jobs.
func (run *summaries) folder(f opened, several bool) {
	printFaults(run.err, f.read.Faults, f.dir, several)
	if len(f.read.Faults) > 0 {
		run.status = gravest(run.status, exitCouldNot)
	}
	stopped := map[string]bool{}
	for _, name := range f.read.Stopped {
		stopped[name] = true
	}
	next := 0
	for _, name := range f.read.Order {
		if stopped[name] {
			run.rows = append(run.rows, screen.Refused(name))
			continue
		}
		if next < len(f.read.Jobs) {
			run.job(f, &f.read.Jobs[next], several)
			next++
		}
	}
	if f.read.NextNumber != "" {
		fmt.Fprintf(run.err, "next number: %s\n", f.read.NextNumber)
	}
}

// job derives one job, prints it and writes its summary.
func (run *summaries) job(f opened, job *tickets.Job, several bool) {
	r, err := flow.Derive(job, f.folder, run.options)
	if err != nil {
		run.status = gravest(run.status, run.refuse(err.Error()))
		return
	}
	run.print(r, job.Name)
	status := statusOf(r.Record.Verdict)
	if !run.json || run.out != "" {
		file, sum, err := run.write(r, run.path(f, job.Name, several))
		if err != nil {
			status = run.refuse(err.Error())
		}
		run.rows = append(run.rows, screen.RowOf(r.Record, filepath.Base(file), sum))
	}
	run.status = gravest(run.status, status)
}

func (run *summaries) print(r *flow.Result, job string) {
	if run.json {
		run.streams.out.Write(r.Line)
		return
	}
	if run.printed > 0 {
		fmt.Fprintln(run.streams.out)
	}
	run.printed++
	if job != "" {
		fmt.Fprintf(run.streams.out, "job %s\n", job)
	}
	screen.Report(run.streams.out, r.Record)
}

// statusOf is the exit status of a verdict.
func statusOf(verdict string) int {
	switch verdict {
	case "within":
		return exitWithin
	case "over", "conflict":
		return exitOver
	}
	return exitUnsettled
}

// write draws the summary and puts it in its place, never over other forms'
// summary unasked, never over a signed one.
func (run *summaries) write(r *flow.Result, path string) (file, sum string, err error) {
	pdf, err := r.Summary()
	if err != nil {
		return path, "", err
	}
	path, err = run.free(path, pdf)
	if err != nil {
		return path, "", err
	}
	if !sameAs(path, pdf) {
		if err := writeWhole(path, pdf, 0o666); err != nil {
			return path, "", err
		}
	}
	h := sha256.Sum256(pdf)
	return path, hex.EncodeToString(h[:]), nil
}

// free is the path that may be written: the one asked for, or beside a signed
// summary the next number.
func (run *summaries) free(path string, pdf []byte) (string, error) {
	for n := 2; ; n++ {
		old, err := os.ReadFile(path)
		switch {
		case os.IsNotExist(err), err == nil && string(old) == string(pdf):
			return path, nil
		case err != nil:
			return path, fmt.Errorf("reading %q: %w", path, cause(err))
		case !run.replace:
			return path, fmt.Errorf("%q holds another summary (want --replace, or another --out)", path)
		case !flow.Signed(old):
			return path, nil
		}
		path = numbered(path, n)
	}
}

// numbered puts a number behind a name: summary.pdf, summary-2.pdf, summary-3.pdf.
func numbered(path string, n int) string {
	base := strings.TrimSuffix(path, ".pdf")
	if n > 2 {
		base = strings.TrimSuffix(base, fmt.Sprintf("-%d", n-1))
	}
	return fmt.Sprintf("%s-%d.pdf", base, n)
}

// register writes jobs.csv where the forms have jobs, or several folders go to one place.
func (run *summaries) register(folders []opened) error {
	if run.json && run.out == "" || len(run.rows) == 0 {
		return nil
	}
	for _, f := range folders {
		if f.read.HasJobs && run.out == "" {
			if err := run.writeRegister(f.dir); err != nil {
				return err
			}
		}
	}
	if run.out != "" && (len(folders) > 1 || folders[0].read.HasJobs) {
		return run.writeRegister(run.out)
	}
	return nil
}

func (run *summaries) writeRegister(dir string) error {
	path := filepath.Join(dir, "jobs.csv")
	b, err := screen.Register(run.rows)
	if err != nil {
		return err
	}
	if _, err := os.Stat(path); err == nil && !run.replace && !sameAs(path, b) {
		return fmt.Errorf("%q holds another register (want --replace, or another --out)", path)
	}
	return writeWhole(path, b, 0o666)
}
