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
	s.sayUnfilled(args[0], folder)
	read := flow.Read(folder, o, true)
	printFaults(s.err, read.Faults)
	status := exitWithin
	if len(read.Faults) > 0 {
		status = exitCouldNot
	}
	asJSON, _ := f.GetBool("json")
	for i := range read.Jobs {
		a, err := flow.Adjust(&read.Jobs[i], o, nil)
		if err != nil {
			status = gravest(status, s.refuse(err.Error()))
			continue
		}
		s.printPlan(a, asJSON, i > 0)
		status = gravest(status, planStatus(a.Record.Plan))
		if a.Asks {
			status = gravest(status, exitUnsettled)
		}
	}
	return status
}

// printPlan prints one job's plan as a report, or as a line of JSON.
func (s streams) printPlan(a *flow.Adjusted, asJSON, again bool) {
	if asJSON {
		s.out.Write(a.Line)
		return
	}
	if again {
		fmt.Fprintln(s.out)
	}
	screen.Plan(s.out, a.Record, a.Text)
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
