package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/screen"
	"reconcile/internal/signoff"
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
	f.String("unit", "", "`UNIT` of mass to print: kg or lb (default: that of the region)")
	f.Bool("short", false, "two pages; everything is attached all the same")
	f.Bool("replace", false, "replace an unsigned summary of other forms; beside a signed one write the next number")
	f.Bool("resume", false, "skip the jobs whose summary is there, intact and of the same record")
	f.String("after", "", "compare with the earlier visit whose summary is `OLD.pdf`")
	signFlags(f)
}

// optionFlags are the flags that every deriving verb has.
func optionFlags(f *pflag.FlagSet) {
	f.String("rule", "guarded", "decision `RULE`: guarded (value and uncertainty) or simple (value alone)")
	f.String("region", "", "`REGION` whose words and usual ratings apply: au, nz, uk, eu or us")
}

// choices are the values a flag may have.
var choices = map[string][]string{
	"rule":   {"guarded", "simple"},
	"region": {"au", "nz", "uk", "eu", "us", ""},
	"paper":  {"a4", "letter"},
	"unit":   {"kg", "lb", ""},
}

// options reads the deriving flags; a word that is not known is refused.
func options(f *pflag.FlagSet) (flow.Options, error) {
	o := flow.Options{Program: Version, Rule: "guarded", Paper: "a4"}
	into := map[string]*string{"rule": &o.Rule, "region": &o.Region, "set": &o.Set, "issued": &o.Issued, "paper": &o.Paper, "unit": &o.Unit}
	for _, name := range []string{"rule", "region", "set", "issued", "paper", "unit"} {
		flag := f.Lookup(name)
		if flag == nil {
			continue
		}
		value := flag.Value.String()
		if allowed, ok := choices[name]; ok && !slices.Contains(allowed, value) {
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
	place   place
	json    bool
	signer  *signoff.SigningKey
	now     func() time.Time
	earlier []byte // the record of --after, or nil
	several bool   // more than one folder
	faults  tickets.FaultPrinter
	status  int
	printed int
}

func runSummary(args []string, f *pflag.FlagSet, s streams) int {
	run, err := newSummaries(f, s)
	if err != nil {
		return s.refuse(err.Error())
	}
	if len(args) == 0 {
		return s.refuse("summary: no job folder given (want one or more)")
	}
	run.several = len(args) > 1
	ctx, stop := interruptible()
	defer stop()
	return run.all(ctx, args)
}

func newSummaries(f *pflag.FlagSet, s streams) (*summaries, error) {
	o, err := options(f)
	if err != nil {
		return nil, err
	}
	run := &summaries{streams: s, options: o, now: time.Now}
	run.place.out, _ = f.GetString("out")
	run.place.replace, _ = f.GetBool("replace")
	run.place.resume, _ = f.GetBool("resume")
	run.json, _ = f.GetBool("json")
	run.options.Short, _ = f.GetBool("short")
	run.place.none = run.json && run.place.out == ""
	if run.place.none && (f.Changed("sign") || run.place.resume || run.place.replace) {
		return nil, fmt.Errorf("--json without --out writes no file (--sign, --resume and --replace need one)")
	}
	if run.signer, err = signer(f, s); err != nil {
		return nil, err
	}
	if run.signer != nil {
		if err := run.signedToday(); err != nil {
			return nil, err
		}
	}
	if f.Changed("after") {
		err = run.readEarlier(f.Lookup("after").Value.String())
	}
	return run, err
}

// signedToday puts the signer and the day of signing, which is that of issue,
// into what is recorded.
func (run *summaries) signedToday() error {
	run.place.signer = run.signer.Fingerprint()
	run.options.SignedBy = &record.Signer{Name: run.signer.Name(), Fingerprint: run.signer.Fingerprint()}
	today := run.now().Format(time.DateOnly)
	if run.options.Issued != "" && run.options.Issued != today {
		return fmt.Errorf("--issued %q goes with an unsigned summary (a signed one is issued when it is signed: %s)", run.options.Issued, today)
	}
	run.options.Issued = today
	return nil
}

func (run *summaries) readEarlier(path string) error {
	pdf, err := readPDF(path)
	if err != nil {
		return err
	}
	if run.earlier, err = flow.Earlier(pdf, flow.Released); err != nil {
		return fmt.Errorf("--after %q: %w", path, err)
	}
	return nil
}

// opened is one folder, gone through once.
type opened struct {
	dir    string
	folder flow.Folder
	jobs   *tickets.Reader
}

// all goes through every folder before anything is written, so that faults of
// use leave nothing behind; faulty jobs stop alone.
func (run *summaries) all(ctx context.Context, dirs []string) int {
	var folders []opened
	jobs := 0
	for _, dir := range dirs {
		f, err := run.open(dir)
		if err != nil {
			return run.refuse(err.Error())
		}
		folders = append(folders, f)
		jobs += len(f.jobs.Names())
	}
	if run.earlier != nil && jobs > 1 {
		return run.refuse("--after compares one job with its earlier visit (here are several)")
	}
	if err := run.place.prepare(folders, run.several); err != nil {
		return run.refuse(err.Error())
	}
	return run.folders(ctx, folders, newProgress(run.err, jobs, "jobs"))
}

func (run *summaries) open(dir string) (opened, error) {
	folder, err := openFolder(dir)
	if err != nil {
		return opened{}, err
	}
	return opened{dir, folder, flow.Open(folder, run.options)}, nil
}

// folders runs every folder and writes the registers.
func (run *summaries) folders(ctx context.Context, folders []opened, p *progress) int {
	var all *register
	if run.place.out != "" && (run.several || folders[0].jobs.HasJobs()) {
		all = run.place.newRegister(run.place.out)
	}
	for _, f := range folders {
		rows := all
		if f.jobs.HasJobs() && run.place.out == "" {
			rows = run.place.newRegister(f.dir)
		}
		whole := run.folder(ctx, f, rows, p)
		if !whole {
			rows.drop()
			p.clear()
			run.faults.Close(run.err)
			p.stopped("every summary written is whole; --resume goes on")
			return exitCouldNot
		}
		if rows != all {
			run.finish(rows)
		}
	}
	run.finish(all)
	p.done()
	run.faults.Close(run.err)
	return run.status
}

// finish puts a register in its place.
func (run *summaries) finish(rows *register) {
	if err := rows.finish(); err != nil {
		run.status = gravest(run.status, run.refuse(err.Error()))
	}
}

// folder writes the jobs of a folder, on all cores, and prints them and their
// faults in the order of the forms. It is false where it was interrupted.
func (run *summaries) folder(ctx context.Context, f opened, rows *register, p *progress) bool {
	run.printFaults(f.jobs.Faults(), f.dir, p)
	n := len(f.jobs.Names())
	done := flow.Ordered(ctx, n, func(i int) made { return run.make(f, i) }, func(i int, m made) bool {
		run.printFaults(m.faults, f.dir, p)
		p.clear()
		rows.add(run.take(m, f.jobs.Names()[i]))
		p.step()
		return !run.place.none || !run.broken()
	})
	switch {
	case run.broken():
		return true // which the end of the program tells
	case done < n:
		return false
	}
	if next := f.jobs.NextNumber(); next != "" {
		p.clear()
		fmt.Fprintf(run.err, "next number: %s\n", next)
	}
	return true
}

func (run *summaries) printFaults(faults []tickets.Fault, dir string, p *progress) {
	if len(faults) == 0 {
		return
	}
	p.clear()
	before := ""
	if run.several {
		before = shown(dir) + "/"
	}
	run.faults.Print(run.err, before, faults)
	run.status = gravest(run.status, exitCouldNot)
}

// made is what one job came to, ready to be told in its turn.
type made struct {
	faults []tickets.Fault
	result *flow.Result // nil where the job is stopped
	file   written
	err    error
}

// make reads one job, derives it and writes its summary; it runs beside others.
func (run *summaries) make(f opened, i int) made {
	job, faults := f.jobs.Job(i)
	if job == nil {
		return made{faults: faults}
	}
	r, err := flow.Derive(job, f.folder, run.options, flow.Given{Number: job.Issuer.Number, Earlier: run.earlier})
	if err != nil || run.place.none {
		return made{result: r, err: err}
	}
	file, err := run.place.write(r, run.place.path(f, job.Name, run.several), run.sign)
	return made{result: r, file: file, err: err}
}

// sign signs a summary where a key was given.
func (run *summaries) sign(pdf []byte) ([]byte, error) {
	if run.signer == nil {
		return pdf, nil
	}
	return signoff.Sign(pdf, run.signer, signoff.SignOptions{When: run.now(), Reason: signingReason})
}

// take prints what one job came to and returns its line of the register.
func (run *summaries) take(m made, job string) screen.Row {
	if m.result != nil {
		run.print(m.result)
		run.status = gravest(run.status, statusOf(m.result.Record.Verdict))
	}
	if m.err != nil {
		run.status = gravest(run.status, run.refuse(m.err.Error()))
	}
	if m.err != nil || m.result == nil {
		return screen.RefusedRow(job)
	}
	return screen.RowOf(m.result.Record, m.result.SHA256(), m.file.name, m.file.sum)
}

func (run *summaries) print(r *flow.Result) {
	if run.json {
		run.streams.out.Write(r.Line)
		return
	}
	if run.printed > 0 {
		fmt.Fprintln(run.streams.out)
	}
	run.printed++
	screen.Report(run.streams.out, r.Record)
	if r.Earlier != nil {
		fmt.Fprintln(run.streams.out)
		screen.Changes(run.streams.out, r.Record, r.Earlier)
	}
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
