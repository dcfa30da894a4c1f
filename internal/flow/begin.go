package flow

import (
	"context"
	"fmt"

	"reconcile/internal/adjust"
	"reconcile/internal/derive"
	"reconcile/internal/derive/mistakes"
	"reconcile/internal/limits"
	"reconcile/internal/record"
	"reconcile/internal/shelf"
	"reconcile/internal/tickets"
)

// Find takes one job through every step.
func Find(job *tickets.Job, f Folder, o Options, stop func() bool) (*Found, error) {
	p, err := asTyped(job, f, o)
	if err != nil {
		return nil, err
	}
	return beyond(p, stop)
}

// Answer takes a job as far as its verdict, without what takes longer, the likely
// mistakes and what to do next: whoever types sees its record first. That is for the
// eye alone: what is kept has gone on, as Find does, by the function that Answer gives,
// which leaves the record and whatever else it gave as they are.
func Answer(job *tickets.Job, f Folder, o Options) (soFar *record.Record, goOn func(stop func() bool) (*Found, error), err error) {
	p, err := asTyped(job, f, o)
	if err != nil {
		return nil, nil, err
	}
	return record.Build(p), func(stop func() bool) (*Found, error) { return beyond(p, stop) }, nil
}

// asTyped takes a job as far as its verdict.
func asTyped(job *tickets.Job, f Folder, o Options) (p record.Parts, err error) {
	p = record.Parts{Job: job}
	o.give(&p)
	for _, name := range job.Copies {
		b, err := f.ReadFile(name)
		if err != nil {
			return p, fmt.Errorf("copy %q of job %q: %w", name, job.Name, err)
		}
		p.Copies = append(p.Copies, record.File{Name: name, Bytes: b})
	}
	if p.Solution, err = derive.Solve(job, derive.Options{}); err == nil {
		p.Findings = limits.Find(job, p.Solution, p.Options.Rule)
	}
	return p, err
}

// never stops nothing.
func never() bool { return false }

// beyond does what takes longer. In a conflict it tries every likely mistake, each
// compared with the ratings; where a rating in force is exceeded or unsettled it looks
// for a plan, as weighed or over the trip; and for all jobs what to do next. It asks
// stop, where there is one, between the steps of its searches, and returns
// [context.Canceled] once that has said yes.
func beyond(p record.Parts, stop func() bool) (*Found, error) {
	if err := goBeyond(&p, stop); err != nil {
		return nil, err
	}
	d := &Found{Job: p.Job, Verdict: string(p.Findings.Verdict), parts: p}
	shelf.Lend(&d.Lent, d, forget)
	return d, nil
}

// goBeyond tries what was not typed.
func goBeyond(p *record.Parts, stop func() bool) (err error) {
	stopped := never
	if stop != nil {
		yes := false
		stopped = func() bool { // a yes stays one, whatever stop says later
			yes = yes || stop()
			return yes
		}
	}
	if p.Advice, err = adjust.Next(p.Solution, p.Findings, stopped); err != nil {
		return err
	}
	switch {
	case exceeds(p.Findings):
		p.Plan, err = adjust.Find(p.Solution, p.Findings, "", stopped)
	case p.Findings.Conflict:
		var complete bool
		p.Mistakes, complete = mistakes.Find(p.Solution, stopped)
		p.Stopped = !complete
		var under []*limits.Findings
		for i := range p.Mistakes {
			under = append(under, limits.Compare(p.Mistakes[i].Job, p.Mistakes[i].Solution, p.Options.Rule))
		}
		p.OverAnyway = overInAll(p.Findings, under)
		for _, u := range under {
			u.Release()
		}
	}
	if err == nil && stopped() {
		err = context.Canceled
	}
	return err
}

// overInAll lists the deciding checks that are over in a job and under each of its
// mistakes: what can be said of a job whose readings disagree. Without a mistake
// there is no such check.
func overInAll(f *limits.Findings, under []*limits.Findings) []*limits.Check {
	var all []*limits.Check
	for _, c := range f.Deciding {
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
