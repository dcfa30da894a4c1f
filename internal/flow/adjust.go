package flow

import (
	"slices"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

// Adjusted is what to move and what to leave behind in one job: the record
// with its plan, the plan as a line of JSON and in words, and whether a question
// that affects the plan is not answered.
type Adjusted struct {
	Record *record.Record
	Line   []byte
	Text   words.Plan
	Asks   bool
}

// Adjust plans one job; with a set, as if its planned ratings applied. It asks
// stop, where there is one, between the steps of its search, and returns
// [context.Canceled] once that has said yes.
func Adjust(job *tickets.Job, o Options, stop func() bool) (*Adjusted, error) {
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		return nil, err
	}
	given := optionsOf(job, o)
	found := limits.Find(job, s, limits.Rule(given.Rule))
	p, err := adjust.Find(s, found, o.Set, stop)
	if err != nil {
		return nil, err
	}
	r := record.Build(record.Parts{Program: o.Program, Options: given, Job: job, Solution: s, Findings: found, Plan: p})
	line, err := record.Line(r.Plan)
	asks := slices.ContainsFunc(r.Questions, func(q record.Question) bool {
		return !q.Answered && (q.Args == nil || q.Args.Set == "" || q.Args.Set == o.Set)
	})
	return &Adjusted{Record: r, Line: line, Text: words.Of(r).Plan(), Asks: asks}, err
}
