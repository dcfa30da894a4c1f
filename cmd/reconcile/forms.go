package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"reconcile/internal/tickets"
)

var formsVerb = verb{
	name:    "forms",
	args:    "DIR [--region R] [--full]",
	short:   "write forms to fill in, with notes and a worked example",
	example: "reconcile forms myjob --region au",
	flags: func(f *pflag.FlagSet) {
		f.String("region", "", "`REGION` whose usual ratings the forms ask for: au, nz, uk, eu or us")
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
		return s.refuse("forms: want one folder, like reconcile forms myjob --region au")
	}
	dir := args[0]
	full, _ := f.GetBool("full")
	there, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return s.refuse(fmt.Sprintf("folder %q: %v", dir, cause(err)))
	}
	for _, e := range there {
		if isForm(e.Name()) {
			return s.refuse(fmt.Sprintf("%q has forms already (%q); nothing was written (want another folder)", dir, e.Name()))
		}
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return s.refuse(fmt.Sprintf("folder %q: %v", dir, cause(err)))
	}
	for _, form := range tickets.Blank(o.Region, full, nil) {
		path := filepath.Join(dir, form.Name)
		if err := writeNew(path, form.Bytes, 0o666); err != nil {
			return s.refuse(err.Error())
		}
		fmt.Fprintln(s.out, shown(path))
	}
	fmt.Fprintf(s.out, "fill them in, then: reconcile summary %s\n", shown(dir))
	return exitWithin
}

// isForm says whether a file is a form by its name, in any case.
func isForm(file string) bool {
	return slices.ContainsFunc(tickets.FormNames(), func(name string) bool { return strings.EqualFold(name, file) })
}
