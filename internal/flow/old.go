package flow

import (
	"fmt"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/oldpdfout"
	oldrecord "reconcile/internal/oldrecord"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
)

// Version 1 of the record, for what still draws and prints it.

// OldResult is one job's record of version 1, its line, and what is attached.
type OldResult struct {
	Record *oldrecord.Record
	Line   []byte
	Files  []oldpdfout.Attachment
}

// OldDerive takes one job through to its record of version 1.
func OldDerive(job *tickets.Job, f Folder, o Options) (*OldResult, error) {
	r, err := oldRecordOf(job, o)
	if err != nil {
		return nil, err
	}
	files, err := oldAttach(job, f)
	if err != nil {
		return nil, err
	}
	for i := len(job.Inputs); i < len(files); i++ {
		r.Inputs = append(r.Inputs, oldrecord.InputOf(files[i].Name, files[i].Bytes, ""))
	}
	line, err := r.Line()
	if err != nil {
		return nil, err
	}
	return &OldResult{Record: r, Line: line, Files: files}, nil
}

func oldRecordOf(job *tickets.Job, o Options) (*oldrecord.Record, error) {
	s, err := derive.Solve(job)
	if err != nil {
		return nil, err
	}
	found := limits.Find(job, s, limits.Options{Rule: limits.Rule(o.Rule)})
	made := oldrecord.Made{
		Program: o.Program,
		Options: oldrecord.Options{Rule: o.Rule, Region: string(job.Region), Set: o.Set, Issued: o.Issued, Paper: o.Paper},
	}
	r := oldrecord.Build(made, job, s, found, oldBeyond(s, found, o))
	return r, oldAddPlan(r, job, s, found)
}

// beyond tries what was not typed: in a conflict every likely mistake, each
// held against the ratings; and for all jobs the next weighing.
func oldBeyond(s *derive.Solution, found *limits.Findings, o Options) oldrecord.Beyond {
	b := oldrecord.Beyond{Advice: adjust.Next(s, found)}
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
func oldAttach(job *tickets.Job, f Folder) ([]oldpdfout.Attachment, error) {
	var files []oldpdfout.Attachment
	for _, in := range job.Inputs {
		files = append(files, oldpdfout.Attachment{Name: in.File, Bytes: in.Bytes})
	}
	for _, name := range job.Copies {
		b, err := f.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("copy %q of job %q: %w", name, job.Name, err)
		}
		files = append(files, oldpdfout.Attachment{Name: name, Bytes: b})
	}
	return files, nil
}

// Summary draws the job's pages and fills in the hash that an unsigned
// summary carries of itself.
func (r *OldResult) Summary() ([]byte, error) {
	pdf, err := oldpdfout.Draw(r.Record, r.Line, r.Files)
	if err != nil {
		return nil, err
	}
	return signoff.FillID(pdf)
}

// oldAddPlan fills in the plan, and adds its actions to the advice, where a
// rating in force is exceeded or unsettled.
func oldAddPlan(r *oldrecord.Record, job *tickets.Job, s *derive.Solution, f *limits.Findings) error {
	if f.Verdict != limits.JobOver && f.Verdict != limits.JobUnsettled {
		return nil
	}
	p, err := adjust.Find(job, s, f, adjust.Options{})
	if err != nil {
		return err
	}
	r.Plan = oldrecord.PlanOf(job.Name, p)
	r.Advice = append(r.Advice, r.PlanAdvice(p)...)
	return nil
}
