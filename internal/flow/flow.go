// Package flow runs the steps once, on bytes in memory: forms, derive, limits,
// what next, record, summary. It is the only package that imports all the
// others; every verb of the program uses it.
package flow

import (
	"fmt"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	pdfout "reconcile/internal/oldpdfout"
	record "reconcile/internal/oldrecord"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
)

// Folder is a job's forms in memory, and a way to the copies that they name.
type Folder struct {
	Forms    []tickets.Form
	CopyStat func(name string) tickets.CopyStat
	ReadFile func(name string) ([]byte, error)
}

// Options are the choices of a run.
type Options struct {
	Program string // the program's version
	Rule    string // guarded or simple
	Region  string
	Set     string
	Issued  string
	Paper   string // a4 or letter
}

// Result is one job's record, the line of JSON that it is, and what is attached.
type Result struct {
	Record *record.Record
	Line   []byte
	Files  []pdfout.Attachment
}

// Read reads the forms of a folder; every refusal is made here.
func Read(f Folder, o Options, needTickets bool) tickets.Result {
	return tickets.Read(f.Forms, reading(f, o, needTickets))
}

func reading(f Folder, o Options, needTickets bool) tickets.Options {
	return tickets.Options{Region: tickets.Region(o.Region), Set: o.Set, CopyStat: f.CopyStat, NeedTickets: needTickets}
}

// Open goes through the forms of a folder, to read its jobs one by one.
func Open(f Folder, o Options) *tickets.Reader {
	return tickets.NewReader(f.Forms, reading(f, o, true))
}

// Derive takes one job through to its record.
func Derive(job *tickets.Job, f Folder, o Options) (*Result, error) {
	r, err := recordOf(job, o)
	if err != nil {
		return nil, err
	}
	files, err := attach(job, f)
	if err != nil {
		return nil, err
	}
	for i := len(job.Inputs); i < len(files); i++ {
		r.Inputs = append(r.Inputs, record.InputOf(files[i].Name, files[i].Bytes, ""))
	}
	line, err := r.Line()
	if err != nil {
		return nil, err
	}
	return &Result{Record: r, Line: line, Files: files}, nil
}

func recordOf(job *tickets.Job, o Options) (*record.Record, error) {
	s, err := derive.Solve(job)
	if err != nil {
		return nil, err
	}
	found := limits.Find(job, s, limits.Options{Rule: limits.Rule(o.Rule)})
	made := record.Made{
		Program: o.Program,
		Options: record.Options{Rule: o.Rule, Region: string(job.Region), Set: o.Set, Issued: o.Issued, Paper: o.Paper},
	}
	r := record.Build(made, job, s, found, beyond(s, found, o))
	return r, addPlan(r, job, s, found)
}

// beyond tries what was not typed: in a conflict every likely mistake, each
// held against the ratings; and for all jobs the next weighing.
func beyond(s *derive.Solution, found *limits.Findings, o Options) record.Beyond {
	b := record.Beyond{Advice: adjust.Next(s, found)}
	if found.Verdict != limits.JobConflict {
		return b
	}
	b.Mistakes = s.Mistakes()
	var under []*limits.Findings
	for _, m := range b.Mistakes {
		under = append(under, limits.Find(m.Job, m.Solution, limits.Options{Rule: limits.Rule(o.Rule)}))
	}
	b.OverAnyway = found.OverInAll(under)
	return b
}

// attach lists the job's own part of each form and the copies it names.
func attach(job *tickets.Job, f Folder) ([]pdfout.Attachment, error) {
	var files []pdfout.Attachment
	for _, in := range job.Inputs {
		files = append(files, pdfout.Attachment{Name: in.File, Bytes: in.Bytes})
	}
	for _, name := range job.Copies {
		b, err := f.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("copy %q of job %q: %w", name, job.Name, err)
		}
		files = append(files, pdfout.Attachment{Name: name, Bytes: b})
	}
	return files, nil
}

// Summary draws the job's pages and fills in the hash that an unsigned
// summary carries of itself.
func (r *Result) Summary() ([]byte, error) {
	pdf, err := pdfout.Draw(r.Record, r.Line, r.Files)
	if err != nil {
		return nil, err
	}
	return signoff.FillID(pdf)
}
