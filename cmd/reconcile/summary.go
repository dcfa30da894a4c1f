package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
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
	place   place
	json    bool
	signer  *signoff.Signer
	now     func() time.Time
	earlier *record.Record // --after, or nil
	several bool           // more than one folder
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
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
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
	run.place.none = run.json && run.place.out == ""
	if run.signer, err = signer(f, s); err != nil {
		return nil, err
	}
	run.place.signing = run.signer != nil
	switch {
	case run.place.none && (run.signer != nil || run.place.resume || run.place.replace):
		return nil, fmt.Errorf("--json without --out writes no file (--sign, --resume and --replace need one)")
	case run.json && f.Changed("after"):
		return nil, fmt.Errorf("--after goes with the report, not with --json")
	case f.Changed("after"):
		err = run.readEarlier(f.Lookup("after").Value.String())
	}
	return run, err
}

func (run *summaries) readEarlier(path string) error {
	pdf, err := readPDF(path)
	if err != nil {
		return err
	}
	if run.earlier, err = flow.Earlier(pdf, Version); err != nil {
		return fmt.Errorf("--after %q: %w", path, err)
	}
	return nil
}

// opened is one folder, read.
type opened struct {
	dir    string
	folder flow.Folder
	read   tickets.Result
}

// all reads every folder before anything is written, so that faults of use
// leave nothing behind; faulty jobs stop alone.
func (run *summaries) all(ctx context.Context, dirs []string) int {
	var folders []opened
	jobs := 0
	for _, dir := range dirs {
		folder, err := openFolder(dir)
		if err != nil {
			return run.refuse(err.Error())
		}
		read := flow.Read(folder, run.options, true)
		folders = append(folders, opened{dir, folder, read})
		jobs += len(read.Jobs)
	}
	if run.earlier != nil && jobs > 1 {
		return run.refuse("--after compares one job with its earlier visit (here are several)")
	}
	if err := run.place.prepare(folders, run.several); err != nil {
		return run.refuse(err.Error())
	}
	return run.folders(ctx, folders, newProgress(run.err, jobs))
}

// folders runs every folder and writes the registers.
func (run *summaries) folders(ctx context.Context, folders []opened, p *progress) int {
	var all []screen.Row
	for _, f := range folders {
		rows, whole := run.folder(ctx, f, p)
		if !whole {
			p.stopped()
			return exitCouldNot
		}
		all = append(all, rows...)
		if f.read.HasJobs && run.place.out == "" {
			run.register(f.dir, rows)
		}
	}
	p.done()
	if run.place.out != "" && (run.several || folders[0].read.HasJobs) {
		run.register(run.place.out, all)
	}
	return run.status
}

// folder prints the faults of a folder and writes its sound jobs, on all
// cores, in the order of the forms. whole is false where it was interrupted.
func (run *summaries) folder(ctx context.Context, f opened, p *progress) (rows []screen.Row, whole bool) {
	printFaults(run.err, f.read.Faults, f.dir, run.several)
	if len(f.read.Faults) > 0 {
		run.status = gravest(run.status, exitCouldNot)
	}
	stopped := map[string]bool{}
	for _, name := range f.read.Stopped {
		stopped[name] = true
	}
	order := f.read.Order
	put := func(name string) { // stopped jobs up to the next sound one
		for len(order) > 0 && order[0] != name {
			rows = append(rows, screen.RefusedRow(order[0]))
			order = order[1:]
		}
	}
	jobs := f.read.Jobs
	done := flow.Ordered(ctx, len(jobs), func(i int) made { return run.make(f, &jobs[i]) }, func(i int, m made) bool {
		put(jobs[i].Name)
		rows = append(rows, run.take(m, jobs[i].Name))
		if len(order) > 0 {
			order = order[1:]
		}
		p.step()
		return !run.place.none || !run.lost()
	})
	put("")
	if f.read.NextNumber != "" {
		fmt.Fprintf(run.err, "next number: %s\n", f.read.NextNumber)
	}
	return rows, done == len(jobs) || run.lost()
}

// made is what one job came to, ready to be told in its turn.
type made struct {
	result *flow.Result
	file   written
	err    error
}

// make derives one job and writes its summary; it runs beside others.
func (run *summaries) make(f opened, job *tickets.Job) made {
	r, err := flow.Derive(job, f.folder, run.options)
	if err != nil || run.place.none {
		return made{result: r, err: err}
	}
	file, err := run.place.write(r, run.place.path(f, job.Name, run.several), run.sign)
	return made{r, file, err}
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
		run.print(m.result, job)
		run.status = gravest(run.status, statusOf(m.result.Record.Verdict))
	}
	if m.err != nil {
		run.status = gravest(run.status, run.refuse(m.err.Error()))
		return screen.RefusedRow(job)
	}
	return screen.RowOf(m.result.Record, m.file.name, m.file.sum)
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
	screen.Report(run.streams.out, r.Record)
	if run.earlier != nil {
		fmt.Fprintln(run.streams.out)
		screen.Changes(run.streams.out, r.Record, run.earlier)
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

// register writes jobs.csv, one line a job.
func (run *summaries) register(dir string, rows []screen.Row) {
	if run.place.none || len(rows) == 0 {
		return
	}
	if err := run.place.register(dir, screen.Register(rows)); err != nil {
		run.status = gravest(run.status, run.refuse(err.Error()))
	}
}
