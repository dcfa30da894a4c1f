package flow

import (
	"context"
	"fmt"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/derive/mistakes"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/tickets"
)

// Find takes one job as far as its verdict. What takes longer, the likely
// mistakes and what to do next, is left to Rest: whoever types sees the answer
// first.
func Find(job *tickets.Job, f Folder, o Options) (*Found, error) {
	found := &Found{Job: job, rule: limits.Rule(optionsOf(job, o).Rule), parts: record.Parts{Job: job}}
	for _, name := range job.Copies {
		b, err := f.ReadFile(name)
		if err != nil {
			return nil, fmt.Errorf("copy %q of job %q: %w", name, job.Name, err)
		}
		found.parts.Copies = append(found.parts.Copies, record.File{Name: name, Bytes: b})
	}
	var err error
	if found.parts.Solution, err = derive.Solve(job, derive.Options{}); err != nil {
		return nil, err
	}
	found.parts.Findings = limits.Find(job, found.parts.Solution, found.rule)
	found.Verdict = string(found.parts.Findings.Verdict)
	return found, nil
}

// Answer is the record without the mistakes and what to do next, before Rest.
// It is for the eye alone: what is kept is a Result.
func (d *Found) Answer(o Options) *record.Record {
	p := d.parts
	p.Program, p.Options = o.Program, optionsOf(d.Job, o)
	return record.Build(p)
}

// Rest tries what was not typed: in a conflict every likely mistake, each
// compared with the ratings; where a rating in force is exceeded or unsettled a
// plan, as weighed or over the trip; and for all jobs what to do next. It asks
// stop, where there is one, between the steps of its searches, and returns
// [context.Canceled] once that has said yes. Done once, it is not done again.
func (d *Found) Rest(stop func() bool) error {
	if d.complete != nil {
		return nil
	}
	yes := false
	stopped := func() bool { // a yes stays one, whatever stop says later
		yes = yes || stop != nil && stop()
		return yes
	}
	p, solved, found := d.parts, d.parts.Solution, d.parts.Findings
	var err error
	if p.Advice, err = adjust.Next(solved, found, stopped); err != nil {
		return err
	}
	switch {
	case exceeds(found):
		p.Plan, err = adjust.Find(solved, found, "", stopped)
	case found.Verdict == limits.Conflict:
		var complete bool
		p.Mistakes, complete = mistakes.Find(solved, stopped)
		p.Stopped = !complete
		var under []*limits.Findings
		for i := range p.Mistakes {
			under = append(under, limits.Compare(p.Mistakes[i].Job, p.Mistakes[i].Solution, d.rule))
		}
		p.OverAnyway = overInAll(found, under)
	}
	if err != nil {
		return err
	}
	if stopped() {
		return context.Canceled
	}
	d.complete = &p
	return nil
}

// overInAll lists the deciding checks that are over in a job and under each of its
// mistakes: what can be said of a job whose readings disagree. Without a mistake
// there is no such check.
func overInAll(f *limits.Findings, under []*limits.Findings) []*limits.Check {
	var all []*limits.Check
	for _, c := range f.Deciding("") {
		over := len(under) > 0
		for _, u := range under {
			now := u.FindCheck(c)
			over = over && now != nil && now.Verdict == limits.Over
		}
		if over {
			all = append(all, c)
		}
	}
	return all
}
