package main

import (
	"fmt"
	"slices"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/screen"
)

var estimateVerb = verb{
	name:    "estimate",
	args:    "JOB [--region R] [--unit kg|lb] [--json]",
	short:   "say what the stated masses come to, before anything is weighed",
	example: "reconcile estimate testdata/tickets/stated-only",
	flags: func(f *pflag.FlagSet) {
		f.String("region", "", "`REGION` whose words, expected download and usual ratings apply: au, nz, uk, eu or us")
		f.String("unit", "", "`UNIT` of the masses printed: kg or lb (default: that of the region)")
		f.Bool("json", false, "print the estimate as a line of JSON, in kg")
	},
	run: runEstimate,
}

// massUnits are the values of --unit.
var massUnits = []string{"kg", "lb", ""}

func runEstimate(args []string, f *pflag.FlagSet, s streams) int {
	o, err := options(f)
	unit, _ := f.GetString("unit")
	switch {
	case err != nil:
		return s.refuse(err.Error())
	case !slices.Contains(massUnits, unit):
		return s.refuse(fmt.Sprintf("--unit %q is not known (want %s)%s", unit, orList(massUnits), meant(unit, massUnits)))
	case len(args) != 1:
		return s.refuse("estimate: want one job folder, like reconcile estimate myjob")
	}
	folder, err := openFolder(args[0])
	if err != nil {
		return s.refuse(err.Error())
	}
	all, faults := flow.Estimate(folder, o)
	printFaults(s.err, faults)
	status := exitWithin
	if len(faults) > 0 {
		status = exitCouldNot
	}
	asJSON, _ := f.GetBool("json")
	for i, e := range all {
		if err := s.estimate(e, unit, i > 0, asJSON); err != nil {
			return s.refuse(err.Error())
		}
		status = gravest(status, estimateStatus(e))
	}
	return status
}

// estimate prints one job; a blank line comes between several.
func (s streams) estimate(e *record.Estimate, unit string, again, asJSON bool) error {
	if asJSON {
		line, err := record.Line(nil, e)
		if err == nil {
			_, err = s.out.Write(line)
		}
		return err
	}
	if again {
		fmt.Fprintln(s.out)
	}
	if unit == "" {
		unit = regions.Of(e.Region).PrintIn
	}
	return screen.Estimate(s.out, e, unit)
}

// estimateStatus is the exit status of an estimate: 0 all likely within, 1 one
// likely over, 2 else.
func estimateStatus(e *record.Estimate) int {
	switch e.Verdict {
	case "likely_within":
		return exitWithin
	case "likely_over":
		return exitOver
	}
	return exitUnsettled
}
