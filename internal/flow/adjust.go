package flow

import (
	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// Adjust plans what to move and what to leave behind in one job; with a set, as if
// its planned ratings applied. It gives the record with its plan. It asks stop, where
// there is one, between the steps of its search, and returns [context.Canceled] once
// that has said yes.
func Adjust(job *tickets.Job, o Options, stop func() bool) (*record.Record, error) {
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		return nil, err
	}
	p := record.Parts{Job: job, Solution: s}
	o.give(&p)
	p.Findings = limits.Find(job, s, p.Options.Rule)
	if p.Plan, err = adjust.Find(s, p.Findings, o.Set, stop); err != nil {
		return nil, err
	}
	return record.Build(p), nil
}
