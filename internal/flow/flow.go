// Package flow runs the steps once, on bytes in memory: forms, derive, limits,
// what next, record, summary. It is the only package that imports all the
// others; every verb of the program uses it.
package flow

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"

	"reconcile/internal/limits"
	"reconcile/internal/pdfout"
	"reconcile/internal/record"
	"reconcile/internal/regions"
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
	Program  string // the program's version
	Rule     string // guarded or simple; "" is guarded
	Region   string
	Set      string
	Issued   string
	Paper    string // a4 or letter; "" is a4
	Unit     string // kg or lb; "" is what the job's region prints
	Short    bool
	SignedBy *record.Signer // who signs in the same run
}

// Given is what one job is given besides its forms.
type Given struct {
	Number   string           // of the summary
	Replaces *record.Replaces // the issued summary that it amends
	Earlier  []byte           // the record of an earlier visit
}

// Result is one job's record, the line of JSON that it is, the record that it
// is compared with, and what is attached.
type Result struct {
	Record  *record.Record
	Line    []byte
	Earlier *record.Record // nil without one
	Files   []pdfout.Attachment
}

// SHA256 is the hash of the record's bytes, lower-case hex.
func (r *Result) SHA256() string {
	sum := sha256.Sum256(r.Line)
	return hex.EncodeToString(sum[:])
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

// Derive takes one job through to its record, which is then complete.
func Derive(job *tickets.Job, f Folder, o Options, g Given) (*Result, error) {
	b, err := Begin(job, f, o, g)
	if err != nil {
		return nil, err
	}
	return b.Finish(nil)
}

// given gathers what the record is given, the copies read.
func given(job *tickets.Job, f Folder, o Options, g Given) (record.Made, error) {
	made := record.Made{Program: o.Program, Options: optionsOf(job, o), Number: g.Number, Replaces: g.Replaces, Earlier: g.Earlier}
	if g.Earlier != nil {
		sum := sha256.Sum256(g.Earlier)
		made.Options.After = hex.EncodeToString(sum[:])
	}
	for _, name := range job.Copies {
		b, err := f.ReadFile(name)
		if err != nil {
			return made, fmt.Errorf("copy %q of job %q: %w", name, job.Name, err)
		}
		made.Copies = append(made.Copies, record.File{Name: name, Bytes: b})
	}
	return made, nil
}

func optionsOf(job *tickets.Job, o Options) record.Options {
	unit := o.Unit
	if unit == "" {
		unit = string(regions.Of(job.Region).PrintIn)
	}
	return record.Options{
		Rule: cmp.Or(o.Rule, string(limits.Guarded)), Region: string(job.Region), Set: o.Set, Issued: o.Issued,
		Paper: cmp.Or(o.Paper, "a4"), Unit: unit, Short: o.Short, SignedBy: o.SignedBy,
	}
}

// attachments lists the job's own part of each form, the copies it names, and
// the earlier record.
func attachments(job *tickets.Job, m record.Made) []pdfout.Attachment {
	var files []pdfout.Attachment
	for _, in := range job.Inputs {
		files = append(files, pdfout.Attachment{Name: in.File, Bytes: in.Bytes})
	}
	for _, f := range m.Copies {
		files = append(files, pdfout.Attachment(f))
	}
	if m.Earlier != nil {
		files = append(files, pdfout.Attachment{Name: record.EarlierFile, Bytes: m.Earlier})
	}
	return files
}

// exceeds says whether a rating in force is exceeded or unsettled, as weighed
// or over the trip.
func exceeds(f *limits.Findings) bool {
	switch f.Verdict {
	case limits.JobOver, limits.JobUnsettled:
		return true
	case limits.JobConflict:
		return false
	}
	return f.Trip != nil && (f.Trip.Verdict == limits.Over || f.Trip.Verdict == limits.Unsettled)
}

// Summary draws the job's pages and fills in the hash that an unsigned
// summary carries of itself.
func (r *Result) Summary() ([]byte, error) {
	pdf, err := pdfout.Draw(r.Record, r.Line, r.Earlier, r.Files)
	if err != nil {
		return nil, err
	}
	return signoff.FillID(pdf)
}
