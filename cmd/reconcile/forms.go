package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/pflag"

	"reconcile/internal/tickets"
)

var formsVerb = verb{
	name:    "forms",
	args:    "DIR [--region R] [--full]",
	short:   "write forms to fill in, with notes and a worked example",
	example: "reconcile forms myjob --region au",
	flags: func(f *pflag.FlagSet) {
		f.String("region", "", "`REGION` whose usual ratings stand ready: au, nz, uk, eu or us")
		f.Bool("full", false, "all forms and columns, not only those an owner needs")
	},
	run: runForms,
}

func runForms(args []string, f *pflag.FlagSet, s streams) int {
	o, err := options(f)
	switch {
	case err != nil:
		return s.refuse(err.Error())
	case len(args) != 1:
		return s.refuse("forms: want one folder")
	}
	dir := args[0]
	full, _ := f.GetBool("full")
	for _, name := range tickets.FormNames() {
		if _, err := os.Lstat(filepath.Join(dir, name)); err == nil {
			return s.refuse(fmt.Sprintf("%q has forms already (%s); nothing was written", dir, name))
		}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return s.refuse(fmt.Sprintf("folder %q: %v", dir, cause(err)))
	}
	for _, form := range tickets.Blank(tickets.Region(o.Region), full) {
		path := filepath.Join(dir, form.Name)
		if err := writeNew(path, form.Bytes, 0o666); err != nil {
			return s.refuse(err.Error())
		}
		fmt.Fprintln(s.out, shown(path))
	}
	fmt.Fprintf(s.out, "fill them in, then: reconcile summary %s\n", shown(dir))
	return exitWithin
}
