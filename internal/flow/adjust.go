package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	record "reconcile/internal/oldrecord"
	"reconcile/internal/tickets"
)

// Adjusted is what to move and what to leave behind in one job: the record,
// with its Plan filled in, the plan as a line of JSON, and in words.
type Adjusted struct {
	Record *record.Record
	Line   []byte
	Text   record.PlanText
}

// Adjust plans one job; with a set, as if its planned ratings applied.
func Adjust(job *tickets.Job, o Options) (*Adjusted, error) {
	s, err := derive.Solve(job)
	if err != nil {
		return nil, err
	}
	found := limits.Find(job, s, limits.Options{Rule: limits.Rule(o.Rule)})
	p, err := adjust.Find(job, s, found, adjust.Options{Set: o.Set})
	if err != nil {
		return nil, err
	}
	made := record.Made{Program: o.Program, Options: record.Options{Rule: o.Rule, Region: string(job.Region), Set: o.Set}}
	r := record.Build(made, job, s, found, record.Beyond{})
	r.Plan = record.PlanOf(job.Name, p)
	line, err := r.Plan.Line()
	if err != nil {
		return nil, err
	}
	return &Adjusted{Record: r, Line: line, Text: r.PlanText(p, adjust.Modifications(job, s, found))}, nil
}
