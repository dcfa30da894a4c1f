package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/screen"
)

var adjustVerb = verb{
	name:    "adjust",
	args:    "JOB [FLAGS]",
	short:   "say what to move or leave behind so that every rating is kept",
	example: "reconcile adjust testdata/tickets/planetarium-overloaded",
	flags: func(f *pflag.FlagSet) {
		f.Bool("json", false, "print the plan as a line of JSON instead of the report")
		optionFlags(f)
		f.String("set", "", "plan as if the `SET` of planned ratings applied")
	},
	run: runAdjust,
}

func runAdjust(args []string, f *pflag.FlagSet, s streams) int {
	o, err := options(f)
	switch {
	case err != nil:
		return s.refuse(err.Error())
	case len(args) != 1:
		return s.refuse("adjust: want one job folder, like reconcile adjust myjob")
	}
	folder, err := openFolder(args[0])
	if err != nil {
		return s.refuse(err.Error())
	}
	read := flow.Read(folder, o, true)
	s.sayUnfilled(args[0], read)
	jobs, faults := read.All()
	printFaults(s.err, faults)
	status := exitWithin
	if len(faults) > 0 {
		status = exitCouldNot
	}
	asJSON, _ := f.GetBool("json")
	for i, job := range jobs {
		r, err := flow.Adjust(job, o, nil)
		if err == nil {
			err = s.printPlan(r, asJSON, i > 0)
		}
		if err != nil {
			status = gravest(status, s.refuse(err.Error()))
			continue
		}
		status = gravest(status, planStatus(r.Plan))
		if asks(r, o.Set) {
			status = gravest(status, exitUnsettled)
		}
	}
	return status
}

// printPlan prints one job's plan as a report, or as a line of JSON.
func (s streams) printPlan(r *record.Record, asJSON, again bool) error {
	if asJSON {
		line, err := record.Line(nil, r.Plan)
		s.out.Write(line)
		return err
	}
	if again {
		fmt.Fprintln(s.out)
	}
	screen.Plan(s.out, r)
	return nil
}

// asks says whether a question is not answered that affects the plan for a set.
func asks(r *record.Record, set string) bool {
	for _, q := range r.Questions {
		if !q.Answered && (q.Args == nil || q.Args.Set == "" || q.Args.Set == set) {
			return true
		}
	}
	return false
}

// planStatus is the exit status of a plan: 0 a plan, or none needed, proved; 1
// none; 2 not proved: neither the plan the best, nor that there is none.
func planStatus(p *record.Plan) int {
	switch {
	case p.Found && p.Proved:
		return exitWithin
	case p.Found, !p.Proved && len(p.Blocking) > 0:
		return exitUnsettled
	}
	return exitOver
}
