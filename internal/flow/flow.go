// Package flow runs the steps once, on bytes in memory: forms, derive, limits,
// what next, record, summary. It is the only package that imports all the
// others; every verb of the program uses it.
package flow

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"sync"

	"reconcile/internal/limits"
	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/shelf"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// Folder is a job's forms in memory, and a way to the copies that they name.
type Folder struct {
	Forms    []tickets.Form
	CopySize func(name string) (int64, error) // as tickets.Options
	ReadFile func(name string) ([]byte, error)
}

// Options are the choices of a run, and what one summary is given in addition to
// its forms: the latter derives nothing.
type Options struct {
	Program  string // the program's version
	Rule     string // guarded or simple; "" is guarded
	Region   string
	Set      string
	Issued   string
	Paper    string // a4 or letter; "" is a4
	Unit     string // kg or lb; "" is what the job's region prints
	Short    bool
	SignedBy *record.Signer   // who signs in the same run
	Number   string           // of the summary
	Replaces *record.Replaces // the issued summary that it amends
	Earlier  []byte           // the record of an earlier visit
}

// Result is one job's record, the line of JSON that it is, the record that it
// is compared with, and what is attached. Released, it also gives the memory of the job
// that it is of: another result of that job may not be used either.
type Result struct {
	Record *record.Record
	Say    *words.Words // its words, with the record that it is compared with: what was said once is not worked out again
	Line   []byte
	Files  []record.File
	job    *tickets.Job // that it is of
	memory *memory      // nil: not of this package
	shelf.Lent[Result]
}

// memory is that of one result.
type memory struct {
	line  []byte
	files []record.File
}

// memories are those of results that were released.
var memories = sync.Pool{New: func() any { return &memory{line: make([]byte, 0, 1<<15)} }}

// hashOf is the SHA-256 of some bytes as records have it, lower-case hex.
func hashOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// Read goes through the forms of a folder; every refusal is made here, and when
// its jobs are read.
func Read(f Folder, o Options, needTickets bool) *tickets.Reader {
	return tickets.Read(f.Forms, tickets.Options{Region: o.Region, Set: o.Set, CopySize: f.CopySize, NeedTickets: needTickets})
}

// Found is one job taken through the steps: all that its record is built of. The record is
// complete without it: it may be released before what was built of it.
type Found struct {
	Job     *tickets.Job
	Verdict string // of the job
	parts   record.Parts
	shelf.Lent[Found]
}

// Result builds the record. Of the options only those that derive nothing may
// differ from the ones of Find: how it is printed, the day of issue, who signs,
// and what the summary is given.
func (d *Found) Result(o Options) (*Result, error) {
	p := d.parts
	o.give(&p)
	p.Number, p.Replaces, p.Earlier = o.Number, o.Replaces, o.Earlier
	r := &Result{job: d.Job, memory: memories.Get().(*memory)}
	shelf.Lend(&r.Lent, r, takeBack)
	r.Files = attachments(r.memory.files, &p)
	var earlier *record.Record
	var err error
	if o.Earlier != nil {
		p.Options.After = hashOf(o.Earlier)
		if earlier, err = record.Parse(o.Earlier, 0); err != nil {
			return nil, fmt.Errorf("record of an earlier visit: %w", err)
		}
	}
	r.Record = record.Build(p)
	r.Say = words.Of(r.Record, nil)
	if r.Say.Earlier = earlier; earlier != nil {
		if wrong := r.Say.Report().Changes.WrongWay; wrong != "" {
			return nil, errors.New(wrong)
		}
	}
	if r.Line, err = record.Line(r.memory.line, r.Record); err != nil {
		return nil, err
	}
	return r, nil
}

// forget gives the memory of what was solved and compared to later jobs.
func forget(d *Found) {
	d.parts.Solution.Release()
	d.parts.Findings.Release()
	for i := range d.parts.Mistakes {
		d.parts.Mistakes[i].Solution.Release()
	}
}

// takeBack gives the memory of a result, its record and its job to later ones.
func takeBack(r *Result) {
	m := r.memory
	m.line, m.files = r.Line[:0], r.Files[:0]
	clear(r.Files) // so that no forms are kept alive
	r.Record.Release()
	r.job.Release()
	memories.Put(m)
	*r = Result{}
}

// give puts the options into what a record of the job is built of.
func (o Options) give(p *record.Parts) {
	to := &p.Options
	to.Rule, to.Set, to.Issued, to.Short, to.SignedBy = cmp.Or(o.Rule, limits.Guarded), o.Set, o.Issued, o.Short, o.SignedBy
	to.Paper, to.Unit = cmp.Or(o.Paper, "a4"), o.unit(p.Job)
	p.Program = o.Program
}

// unit is that in which masses are printed.
func (o Options) unit(job *tickets.Job) string { return cmp.Or(o.Unit, regions.Of(job.Region).PrintIn) }

// attachments lists the job's own part of each form, the copies it names, and
// the earlier record, in files where there is room.
func attachments(files []record.File, p *record.Parts) []record.File {
	files = slices.Grow(files, len(p.Job.Inputs)+len(p.Copies)+1)
	for i := range p.Job.Inputs {
		in := &p.Job.Inputs[i]
		files = append(files, record.File{Name: in.File, Bytes: in.Bytes})
	}
	files = append(files, p.Copies...)
	if p.Earlier != nil {
		files = append(files, record.File{Name: record.EarlierFile, Bytes: p.Earlier})
	}
	return files
}

// exceeds says whether a rating in force is exceeded or unsettled, as weighed
// or over the trip.
func exceeds(f *limits.Findings) bool {
	over := f.Verdict == limits.Over || f.Verdict == limits.Unsettled
	return over || !f.Conflict && (f.Trip == limits.Over || f.Trip == limits.Unsettled)
}

// Summary draws the job's pages, fills in the hash that an unsigned summary carries
// of itself, and gives the SHA-256 of the file. It is drawn into room where that is
// large enough: the first touch of memory takes longer than writing a file into it.
func (r *Result) Summary(room []byte) (pdf []byte, sum string, err error) {
	if pdf, err = r.draw(room); err == nil {
		sum, err = signoff.FillID(pdf)
	}
	if err != nil {
		return nil, "", err
	}
	return pdf, sum, nil
}

// draw draws the job's pages, into room where that is large enough.
func (r *Result) draw(room []byte) ([]byte, error) {
	attached := len(r.Line)
	for _, f := range r.Files {
		attached += len(f.Bytes)
	}
	if attached > signoff.MaxSize {
		return nil, fmt.Errorf("what is attached to the summary has %d bytes (at most %d: nobody could check it)", attached, signoff.MaxSize)
	}
	return pdfout.Draw(r.Say, r.Line, r.Files, room)
}
