package main

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
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
	f.String("out", "", "write the summaries into `DIR`, or the one summary into FILE.pdf, instead of the job's folder")
	f.Bool("json", false, "print the record of each job as one line of JSON instead of the report")
	optionFlags(f)
	f.String("set", "", "also show the planned ratings of the set `SET`")
	f.String("issued", "", "`DATE` of issue to print, like 2026-03-14; a signed summary has the day of its signature")
	f.String("paper", "a4", "paper `SIZE`: a4 or letter")
	f.String("unit", "", "`UNIT` of mass to print: kg or lb (default: that of the region)")
	f.Bool("short", false, "two pages only; the same files are attached")
	f.Bool("replace", false, "replace whatever file is there, but never a signed or numbered summary")
	f.Bool("resume", false, "write only what is missing, damaged or out of date")
	f.String("after", "", "compare with the earlier visit whose summary is `OLD.pdf`")
	f.String("because", "", "issue an amendment of a summary already issued, and print `TEXT` as the reason")
	f.Bool("even-in-conflict", false, "with --sign: sign and number a job even if its readings contradict each other")
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
	o := flow.Options{Program: flow.Program, Rule: "guarded", Paper: "a4"}
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
	output  output
	json    bool
	because string // --because
	even    bool   // --even-in-conflict
	signer  *signoff.SigningKey
	now     func() time.Time
	several bool // more than one folder
	jobs    int  // of all folders
	halted  bool // a fault of the forms stops all jobs: nothing is issued
	faults  faultPrinter
	status  int
	printed int
	kept    int // issued before and left as they are
	amended int
	closing []screen.Row
}

func runSummary(args []string, f *pflag.FlagSet, s streams) int {
	run, err := newSummaries(f, s)
	if err != nil {
		return s.refuse(err.Error())
	}
	if len(args) == 0 {
		return s.refuse("summary: no job folder given (want one or more, like reconcile summary myjob)")
	}
	run.several = len(args) > 1
	ctx, stop := interruptible()
	defer stop()
	defer run.output.release()
	return run.all(ctx, args)
}

func newSummaries(f *pflag.FlagSet, s streams) (*summaries, error) {
	o, err := options(f)
	if err != nil {
		return nil, err
	}
	run := &summaries{streams: s, options: o, now: time.Now}
	out, _ := f.GetString("out")
	run.output.set(out)
	run.output.replace, _ = f.GetBool("replace")
	run.output.resume, _ = f.GetBool("resume")
	run.json, _ = f.GetBool("json")
	run.options.Short, _ = f.GetBool("short")
	run.because, _ = f.GetString("because")
	run.even, _ = f.GetBool("even-in-conflict")
	run.output.none = run.json && out == ""
	if err := run.checkFlags(f); err != nil {
		return nil, err
	}
	if run.signer, err = signer(f, s); err != nil {
		return nil, err
	}
	if run.signing() {
		run.output.signer = run.signer.Fingerprint
	}
	if f.Changed("after") {
		err = run.readEarlier(f.Lookup("after").Value.String())
	}
	return run, err
}

// checkFlags refuses flags that would be ignored.
func (run *summaries) checkFlags(f *pflag.FlagSet) error {
	switch {
	case run.output.none && (f.Changed("sign") || run.output.resume || run.output.replace || f.Changed("because") || run.even):
		return errors.New("--json without --out writes no file (--sign, --resume, --replace, --because and --even-in-conflict need one)")
	case run.output.file == "" && strings.EqualFold(filepath.Ext(run.output.out), ".pdf"):
		return fmt.Errorf("--out %q is not the name of a summary (want one that ends in .pdf)", run.output.out)
	case run.even && !f.Changed("sign"):
		return errors.New("--even-in-conflict goes with --sign")
	case f.Changed("because") && !oneLine(run.because):
		return fmt.Errorf("--because %q is not a reason (want one line of plain text)", run.because)
	}
	if today := run.now().Format(time.DateOnly); f.Changed("sign") && run.options.Issued != "" && run.options.Issued != today {
		return fmt.Errorf("--issued %q goes with an unsigned summary (a signed one is issued when it is signed: %s)", run.options.Issued, today)
	}
	return nil
}

func (run *summaries) readEarlier(path string) error {
	pdf, err := readPDF(path)
	if err != nil {
		return err
	}
	found := flow.Verify(pdf, nil)
	if !found.Usable {
		return fmt.Errorf("--after %q: the earlier summary cannot be used: %s", path, found.Last)
	}
	run.options.Earlier = found.Line
	return nil
}

// opened is one folder, gone through once.
type opened struct {
	dir    string
	folder flow.Folder
	jobs   *tickets.Reader
}

// name is the name of the folder, however it was given.
func (f opened) name() string { return filepath.Base(absolute(f.dir)) } // it asks the system

// all goes through every folder before anything is written, so that faults of
// use leave nothing behind; faulty jobs stop alone.
func (run *summaries) all(ctx context.Context, dirs []string) int {
	var folders []opened
	for _, dir := range dirs {
		f, err := run.open(dir)
		if err != nil {
			return run.refuse(err.Error())
		}
		folders = append(folders, f)
		run.jobs += len(f.jobs.Names)
		run.halted = run.halted || slices.ContainsFunc(f.jobs.Faults, func(f tickets.Fault) bool { return f.All })
	}
	if run.options.Earlier != nil && run.jobs > 1 {
		return run.refuse("--after compares one job with its earlier visit (here are several)")
	}
	if err := run.output.prepare(folders, run.several); err != nil {
		return run.refuse(err.Error())
	}
	if err := run.oneToAmend(ctx, folders); err != nil {
		return run.refuse(err.Error())
	}
	if run.jobs > 1 {
		runtime.GC() // the bytes that the forms were read into: half of all memory, for the jobs
	}
	return run.folders(ctx, folders, newProgress(run.err, run.jobs, "jobs"))
}

func (run *summaries) open(dir string) (opened, error) {
	folder, err := openFolder(dir)
	if err != nil {
		return opened{}, err
	}
	jobs := flow.Read(folder, run.options, true)
	run.sayUnfilled(dir, jobs)
	folder.Forms = nil // the reader keeps their text
	return opened{dir, folder, jobs}, nil
}

// sayUnfilled says that nobody has typed a ticket yet, before every line that
// waits is refused.
func (s streams) sayUnfilled(dir string, read *tickets.Reader) {
	if read.Unfilled {
		fmt.Fprintf(s.err, "reconcile: %q is not filled in yet (want a line for each figure on your tickets; the notes in it say how)\n", filepath.Join(dir, "tickets.csv"))
	}
}

// oneToAmend refuses --because where more than one job would be amended: one
// reason is no reason for several.
func (run *summaries) oneToAmend(ctx context.Context, folders []opened) error {
	if run.because == "" || run.jobs < 2 {
		return nil
	}
	var amend []string
	for _, f := range folders {
		n := len(f.jobs.Names)
		done := ordered(ctx, n, func(i int) bool { return run.wouldAmend(f, i) }, func(i int, would bool) bool {
			if would {
				amend = append(amend, fmt.Sprintf("%q", f.jobs.Names[i]))
			}
			return true
		})
		if done < n {
			return errors.New("stopped before anything was written")
		}
	}
	if len(amend) > 1 {
		return fmt.Errorf("--because gives one reason, and %d jobs differ from what was issued: %s (want them one by one, or the column because of outfit.csv)", len(amend), strings.Join(amend, ", "))
	}
	return nil
}

// wouldAmend says whether a job differs from what was issued for it.
func (run *summaries) wouldAmend(f opened, i int) bool {
	job, _ := f.jobs.Job(i)
	if job == nil {
		return false
	}
	found, err := flow.Find(job, f.folder, run.options, nil)
	if err != nil {
		return false // said in its turn
	}
	before := run.lookBefore(f, found)
	return before.err == nil && before.last != nil && !before.same
}

// folders runs every folder and writes the tables.
func (run *summaries) folders(ctx context.Context, folders []opened, p *progress) int {
	var all *jobsTable
	if run.output.out != "" && (run.several || folders[0].jobs.HasJobs) {
		all = run.output.newJobsTable(run.output.out)
	}
	for _, f := range folders {
		rows := all
		if f.jobs.HasJobs && run.output.out == "" {
			rows = run.output.newJobsTable(f.dir)
		}
		whole := run.folder(ctx, f, rows, p)
		if !whole {
			rows.drop()
			p.clear()
			run.faults.close(run.err)
			run.nextNumbers()
			p.stopped("every summary written is complete; --resume goes on")
			return exitCouldNot
		}
		if rows != all {
			run.finish(rows)
		}
	}
	run.finish(all)
	p.done()
	run.faults.close(run.err)
	run.close()
	return run.status
}

// closes says whether the run ends with the table of its jobs.
func (run *summaries) closes() bool { return run.jobs > 1 && !run.json }

// close says what the run came to.
func (run *summaries) close() {
	if run.closes() {
		screen.Closing(run.streams.out, run.closing)
	}
	for _, reg := range run.output.inOrder {
		if reg.summaries > 0 {
			fmt.Fprintf(run.err, "summaries: %d in %s\n", reg.summaries, shown(reg.dir))
		}
	}
	if run.kept > 0 {
		fmt.Fprintf(run.err, "issued before and left as they are: %d of %d\n", run.kept, run.jobs)
	}
	if run.because != "" && run.amended == 0 {
		fmt.Fprintln(run.err, "--because: nothing was amended")
	}
	run.nextNumbers()
}

// nextNumbers says the next number of each prefix, where one was issued.
func (run *summaries) nextNumbers() {
	for _, reg := range run.output.inOrder {
		for _, number := range reg.Following {
			fmt.Fprintf(run.err, "next number: %s\n", number)
		}
	}
}

// finish puts a table in its place.
func (run *summaries) finish(rows *jobsTable) {
	if err := rows.finish(); err != nil {
		run.status = gravest(run.status, run.refuse(err.Error()))
	}
}

// folder writes the jobs of a folder, on all cores, and prints them and their
// faults in the order of the forms. It is false where it was interrupted.
func (run *summaries) folder(ctx context.Context, f opened, rows *jobsTable, p *progress) bool {
	run.printFaults(f.jobs.Faults, f.dir, p)
	n := len(f.jobs.Names)
	t := newTurns()
	var waiting []outcome // to be issued together
	reports := func() {
		settle(waiting)
		for _, m := range waiting {
			run.printFaults(m.faults, f.dir, p)
			p.clear()
			run.report(m)
			if rows != nil || run.closes() {
				row := m.row()
				row.closing.Called = m.called
				rows.add(row)
				run.closing = append(run.closing, row.closing)
			}
			if m.result != nil {
				m.result.Release()
			}
			p.step()
		}
		waiting = waiting[:0]
	}
	done := ordered(ctx, n, func(i int) outcome { return run.make(f, i, t) }, func(i int, m outcome) bool {
		if waiting = append(waiting, m); m.pending == nil || len(waiting) == mostPending {
			reports()
		}
		return !run.output.none || !run.broken()
	})
	reports()
	return run.broken() || done == n // the end of the program says that the reader is gone
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
	run.faults.print(run.err, before, faults)
	run.status = gravest(run.status, exitCouldNot)
}

// outcome is what one job came to, ready to be reported in its turn.
type outcome struct {
	called  string // the job, or, of several folders, one that has no name by its folder
	faults  []tickets.Fault
	result  *flow.Result // nil where the job is stopped
	file    written
	path    string    // of the summary
	reg     *register // of its folder; nil where no file is written
	pending *pending  // to be issued
	gaveUp  bool      // a number was given and the summary could not be finished
	kept    bool      // issued before
	notes   []string
	err     error
}

// make reads one job, derives it and draws its summary, next to others; what is
// to be done with the summary is decided in the order of the forms.
func (run *summaries) make(f opened, i int, t *turns) outcome {
	var found *flow.Found
	job, faults := f.jobs.Job(i)
	m := outcome{called: f.jobs.Names[i], faults: faults}
	if m.called == "" && run.several {
		m.called = f.name()
	}
	if job != nil {
		if found, m.err = flow.Find(job, f.folder, run.options, nil); m.err != nil {
			found = nil
		}
	}
	switch {
	case !run.output.none:
		m.write(run, f, i, t, found)
	case found != nil:
		m.result, m.err = found.Result(run.options)
	}
	if found != nil { // the record is built: the next job may have the memory
		found.Release()
	}
	return m
}

// write waits for the turn of a job, decides what is to be done with its summary, and
// does it. Of a job without one nothing is found.
func (m *outcome) write(run *summaries, f opened, i int, t *turns, found *flow.Found) {
	var before issuedBefore
	if found != nil {
		before = run.lookBefore(f, found)
	}
	var d decision
	t.inTurn(i, func() {
		if found != nil {
			d = run.decide(f, found, before)
		}
	})
	if found != nil {
		m.carryOut(run, &d, run.output.registerOf(f))
	}
}

// carryOut does what was decided, up to what has to be done in turn.
func (m *outcome) carryOut(run *summaries, d *decision, reg *register) {
	m.notes, m.path, m.reg = d.notes, d.path, reg
	m.result, m.err = d.build()
	switch {
	case d.issue && m.err == nil:
		m.pending, m.file, m.err = d.finish(run, m.result)
	case m.err == nil && d.kept != nil:
		m.file, m.kept = *d.kept, true
	case m.err == nil:
		var note string
		if m.file, note, m.err = run.output.write(m.result, d.path); note != "" {
			m.notes = append(m.notes, note)
		}
	}
	m.gaveUp = d.issue && m.err != nil
}

// settle issues the summaries that wait for it together: all of them, or all but
// the last.
func settle(waiting []outcome) {
	var all []*pending
	for _, m := range waiting {
		if m.pending != nil {
			all = append(all, m.pending)
		}
	}
	if len(all) > 0 {
		for i, err := range waiting[0].reg.settle(all) {
			m := &waiting[i]
			if m.err = err; err == nil {
				m.notes = append(m.notes, m.pending.note())
			}
		}
	}
	for _, m := range waiting {
		if m.gaveUp {
			m.reg.stop(m.err)
		}
	}
}

// report prints what a job came to.
func (run *summaries) report(m outcome) {
	if m.result != nil {
		run.print(m.result, m.called)
		run.sayOtherOutfit(m.result)
		run.status = gravest(run.status, statusOf(m.result.Record))
	}
	for _, note := range m.notes {
		fmt.Fprintf(run.err, "%s\n", note)
	}
	run.count(m)
	if m.err != nil {
		run.status = gravest(run.status, run.refuse(m.err.Error()))
	}
}

// row is the line of the table for a job.
func (m *outcome) row() jobsRow {
	switch {
	case m.err != nil || m.result == nil:
		return jobsRow{job: m.called, verdict: "refused", closing: screen.Row{Verdict: "refused"}}
	case m.pending != nil:
		return m.pending.row
	}
	return rowOf(m.result.Say, sumOf(m.result.Line), m.file.name, m.file.sum)
}

// count says where the summary of one job is, where it was not issued now, and
// counts those of several.
func (run *summaries) count(m outcome) {
	switch {
	case m.kept:
		run.kept++
	case m.err != nil || m.result == nil || m.reg == nil || m.pending != nil:
	case run.jobs == 1:
		fmt.Fprintf(run.err, "summary: %s\n", shown(m.path))
	default:
		m.reg.summaries++
	}
}

// print prints the record, or a report: a short one of each of several jobs.
func (run *summaries) print(r *flow.Result, called string) {
	if run.json {
		run.streams.out.Write(r.Line)
		return
	}
	if run.printed > 0 {
		fmt.Fprintln(run.streams.out)
	}
	run.printed++
	if run.jobs > 1 {
		screen.Brief(run.streams.out, r.Say, called)
		return
	}
	screen.Report(run.streams.out, r.Say)
}

// statusOf is the exit status of a record: of its verdict, and of the trip where
// that is graver than within.
func statusOf(r *record.Record) int {
	switch {
	case r.Verdict == "over" || r.Verdict == conflict:
		return exitOver
	case r.Verdict == "within" && (r.Trip == nil || r.Trip.Verdict == "within"):
		return exitWithin
	}
	return exitUnsettled
}
