package flow

import (
	"errors"
	"fmt"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// ErrStopped is what Finish returns where it was stopped.
var ErrStopped = errors.New("stopped")

// Begun is a job taken as far as its verdict. What takes longer, the likely
// mistakes and what to do next, is left to Finish: whoever types sees the
// answer first.
type Begun struct {
	Job   *tickets.Job
	made  record.Made
	given Given
	s     *derive.Solution
	found *limits.Findings
	rule  limits.Options
}

// Begin solves one job and compares its loads with its ratings.
func Begin(job *tickets.Job, f Folder, o Options, g Given) (*Begun, error) {
	made, err := given(job, f, o, g)
	if err != nil {
		return nil, err
	}
	s, err := derive.Solve(job)
	if err != nil {
		return nil, err
	}
	rule := limits.Options{Rule: limits.Rule(made.Options.Rule)}
	return &Begun{Job: job, made: made, given: g, s: s, found: limits.Find(job, s, rule), rule: rule}, nil
}

// Answer is the record without the mistakes and what to do next. It is for the
// eye alone: what is kept comes from Finish.
func (b *Begun) Answer() *record.Record {
	return record.Build(b.made, b.Job, b.s, b.found, record.Beyond{})
}

// Finish completes the record. It asks stop, where there is one, between the
// steps of its searches, and returns ErrStopped once that has said yes.
func (b *Begun) Finish(stop func() bool) (*Result, error) {
	beyond, err := b.beyond(stop)
	if err != nil {
		return nil, err
	}
	r := &Result{Files: attachments(b.Job, b.made), Record: record.Build(b.made, b.Job, b.s, b.found, beyond)}
	if b.given.Earlier != nil {
		if r.Earlier, err = record.Parse(b.given.Earlier, record.MostElements); err != nil {
			return nil, fmt.Errorf("record of an earlier visit: %w", err)
		}
	}
	r.Line, err = r.Record.Line()
	return r, err
}

// beyond tries what was not typed: in a conflict every likely mistake, each
// compared with the ratings; where a rating in force is exceeded or unsettled a
// plan, as weighed or over the trip; and for all jobs what to do next.
func (b *Begun) beyond(stop func() bool) (record.Beyond, error) {
	stopped := func() bool { return stop != nil && stop() }
	out := record.Beyond{Advice: adjust.NextUnless(b.s, b.found, stop)}
	if stopped() {
		return out, ErrStopped
	}
	var err error
	switch {
	case exceeds(b.found):
		out.Plan, err = adjust.Find(b.Job, b.s, b.found, adjust.Options{})
	case b.found.Verdict == limits.JobConflict:
		out.Mistakes = b.s.MistakesUnless(stop)
		var under []*limits.Findings
		for i := range out.Mistakes {
			under = append(under, limits.Compare(out.Mistakes[i].Job, out.Mistakes[i].Solution, b.rule))
		}
		out.OverAnyway = b.found.OverInAll(under)
	}
	if stopped() {
		return out, ErrStopped
	}
	return out, err
}
