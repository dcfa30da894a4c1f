package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/screen"
)

var planVerb = verb{
	name:    "plan",
	args:    "JOB [--region R] [--json]",
	short:   "say which weighings the ratings of a job need, before the visit",
	example: "reconcile plan testdata/tickets/before-the-visit",
	flags: func(f *pflag.FlagSet) {
		f.String("region", "", "`REGION` whose words and usual ratings apply: au, nz, uk, eu or us")
		f.Bool("json", false, "print the plan as a line of JSON")
	},
	run: runPlan,
}

func runPlan(args []string, f *pflag.FlagSet, s streams) int {
	o, err := options(f)
	switch {
	case err != nil:
		return s.refuse(err.Error())
	case len(args) != 1:
		return s.refuse("plan: want one job folder")
	}
	folder, err := openFolder(args[0])
	if err != nil {
		return s.refuse(err.Error())
	}
	read := flow.Read(folder, o, false)
	printFaults(s.err, read.Faults)
	status := exitWithin
	if len(read.Faults) > 0 {
		status = exitCouldNot
	}
	asJSON, _ := f.GetBool("json")
	for i := range read.Jobs {
		visit, err := flow.Visit(&read.Jobs[i])
		if err == nil {
			err = s.visit(visit, i > 0, asJSON)
		}
		if err != nil {
			return s.refuse(err.Error())
		}
	}
	return status
}

// visit prints one plan; a blank line parts several.
func (s streams) visit(v *record.Visit, again, asJSON bool) error {
	if asJSON {
		line, err := v.Line()
		if err == nil {
			_, err = s.out.Write(line)
		}
		return err
	}
	if again {
		fmt.Fprintln(s.out)
	}
	return screen.Visit(s.out, v, string(regions.Of(regions.Region(v.Region)).PrintIn))
}
