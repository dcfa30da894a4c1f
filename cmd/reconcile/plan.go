package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
	"reconcile/internal/record"
	"reconcile/internal/regions"
	"reconcile/internal/screen"
	"reconcile/internal/signoff"
	"reconcile/internal/tickets"
	"reconcile/internal/words"
)

var planVerb = verb{
	name:    "plan",
	args:    "JOB [--out FILE.pdf] [--region R] [--unit kg|lb] [--json]",
	short:   "say which weighings the ratings of a job need, before the visit",
	example: "reconcile plan testdata/tickets/before-the-visit",
	flags: func(f *pflag.FlagSet) {
		f.String("out", "", "draw a sheet to take along as `FILE.pdf`; if nobody has typed a ticket yet, also write tickets.csv into the folder of the job, with a line to fill in for each stop")
		f.String("region", "", "`REGION` whose words and usual ratings apply: au, nz, uk, eu or us")
		f.String("unit", "", "`UNIT` of the masses printed: kg or lb (default: that of the region)")
		f.Bool("json", false, "print the plan as a line of JSON, in kg")
	},
	run: runPlan,
}

func runPlan(args []string, f *pflag.FlagSet, s streams) int {
	o, err := options(f)
	out, _ := f.GetString("out")
	switch {
	case err != nil:
		return s.refuse(err.Error())
	case len(args) != 1:
		return s.refuse("plan: want one job folder, like reconcile plan myjob")
	case f.Changed("out") && !strings.EqualFold(filepath.Ext(out), ".pdf"):
		return s.refuse(fmt.Sprintf("--out %q is not a PDF (want a name that ends in .pdf)", out))
	}
	folder, err := readFolder(args[0])
	if err != nil {
		return s.refuse(err.Error())
	}
	read := flow.Read(folder, o, false)
	jobs, faults := read.All()
	printFaults(s.err, faults)
	status := exitWithin
	if len(faults) > 0 {
		status = exitCouldNot
	}
	if out != "" && len(read.Names) > 1 {
		return s.refuse("plan: --out draws the sheet of one job (here are several)")
	}
	if out != "" && len(jobs) > 0 {
		free, err := lockFolders(args[0], filepath.Dir(out))
		if err != nil {
			return s.refuse(err.Error())
		}
		defer free()
	}
	asJSON, _ := f.GetBool("json")
	for i, job := range jobs {
		plan, err := flow.PlanVisit(job, o, nil)
		if err == nil {
			err = s.visit(plan, cmp.Or(o.Unit, regions.Of(job.Region).PrintIn), i > 0, asJSON)
		}
		if err == nil && out != "" {
			err = s.takeAlong(args[0], out, job, plan, o)
		}
		if err != nil {
			return s.refuse(err.Error())
		}
	}
	return status
}

// lockFolders takes the locks of the folders that a run writes to.
func lockFolders(dirs ...string) (free func(), err error) {
	var held []folderLock
	free = func() {
		for _, f := range held {
			f.free()
		}
	}
	for i, dir := range dirs {
		if slices.ContainsFunc(dirs[:i], func(d string) bool { return absolute(d) == absolute(dir) }) {
			continue
		}
		f, err := lockFolder(dir)
		if err != nil {
			free()
			return nil, err
		}
		held = append(held, f)
	}
	return free, nil
}

// visit prints one plan; a blank line comes between several.
func (s streams) visit(v *record.Visit, unit string, again, asJSON bool) error {
	if asJSON {
		line, err := record.Line(nil, v)
		if err == nil {
			_, err = s.out.Write(line)
		}
		return err
	}
	if again {
		fmt.Fprintln(s.out)
	}
	return screen.Visit(s.out, v, unit)
}

// takeAlong writes the sheet of the only job, and the form for its figures where
// nobody has typed any yet and the forms have no column job.
func (s streams) takeAlong(dir, out string, job *tickets.Job, plan *record.Visit, o flow.Options) error {
	pdf, form, err := flow.Sheet(job, plan, o)
	if err != nil {
		return err
	}
	if err := writeSheet(out, pdf); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "sheet to take along: %s\n", shown(out))
	if job.Name != "" || len(plan.Drives)+len(plan.CrossChecks) == 0 {
		return nil
	}
	path, err := freeForm(dir, form)
	if err != nil || path == "" {
		return err
	}
	if err := writeWhole(path, form.Bytes, 0o666); err != nil {
		return err
	}
	fmt.Fprintf(s.err, "also written: %s, with a line for each stop; type in the figures, then: reconcile summary %s\n", shown(path), shown(dir))
	return nil
}

// writeSheet writes a sheet, over an earlier sheet of ours and over nothing else.
func writeSheet(path string, pdf []byte) error {
	old, err := readOld(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return writeNew(path, pdf, 0o666)
	case err != nil:
		return fmt.Errorf("reading %q: %w", path, cause(err))
	case bytes.Equal(old, pdf):
		return nil
	case !isSheet(old):
		return fmt.Errorf("%q is there and is not a weighing sheet of this program (want another --out)", path)
	}
	return writeWhole(path, pdf, 0o666)
}

// isSheet says whether a file is a sheet of this program, as it was made and not
// signed: nothing is lost where another takes its place. Nothing is attached to a
// sheet, so that its subject is not what somebody typed into a form.
func isSheet(pdf []byte) bool {
	old := existingOf(pdf)
	attached, _ := signoff.Attachments(pdf) // of a sheet an error: it has no list of them
	note := words.OfVisit(&record.Visit{}, "", nil).Sheet.Note
	return old.intact && !old.signed && len(attached) == 0 && bytes.Contains(pdf, []byte(" /Subject ("+note+") "))
}

// freeForm is where the form goes: "" where the folder has one that somebody may
// have typed in, or just this one.
func freeForm(dir string, form tickets.Form) (string, error) {
	forms, err := formsIn(dir)
	if err != nil {
		return "", err
	}
	for _, f := range forms {
		if f.name != form.Name {
			continue
		}
		b, err := readForm(f.path)
		there := flow.Folder{Forms: []tickets.Form{{Name: form.Name, Bytes: b}}}
		if err != nil || !flow.Read(there, flow.Options{}, false).Unfilled {
			return "", err
		}
		return f.path, nil
	}
	return filepath.Join(dir, form.Name), nil
}
