package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"reconcile/internal/flow"
)

// The exit statuses. Of several jobs the gravest counts: 3 first, then 1, 2, 0.
const (
	exitWithin    = 0 // within; a plan; unchanged and signed
	exitOver      = 1 // over, in conflict; no plan; not sound
	exitUnsettled = 2 // unsettled or incomplete; not proved; not signed
	exitCouldNot  = 3 // faulty forms, usage, files
)

// gravest returns the graver of two exit statuses.
func gravest(a, b int) int {
	rank := [...]int{exitWithin: 0, exitUnsettled: 1, exitOver: 2, exitCouldNot: 3}
	if rank[a] >= rank[b] {
		return a
	}
	return b
}

// streams are where a verb reads and writes: results on out, all else on err.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

// verb is one command of the program.
type verb struct {
	name  string
	args  string // as in the usage line
	short string
	// example is one command line that works, for --help.
	example string
	flags   func(*pflag.FlagSet) // declares the verb's flags
	run     func(args []string, flags *pflag.FlagSet, s streams) int
}

// run runs the program and returns its exit status: that of a result which
// could not be written to standard output is exitCouldNot.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	stdout := &results{w: out}
	s := streams{in, stdout, errs}
	status := s.run(args)
	if stdout.err != nil {
		return s.refuse(fmt.Sprintf("standard output: %v", cause(stdout.err)))
	}
	return status
}

// run finds the verb and runs it.
func (s streams) run(args []string) int {
	if len(args) == 0 {
		return s.usage("no verb given")
	}
	switch args[0] {
	case "--help", "-h", "help":
		if len(args) > 1 {
			return s.run([]string{args[1], "--help"})
		}
		printUsage(s.out)
		return exitWithin
	case "--version":
		fmt.Fprintf(s.out, "reconcile %s\n", flow.Program)
		return exitWithin
	}
	for _, v := range verbs() {
		if v.name == args[0] {
			return v.start(args[1:], s)
		}
	}
	return s.usage(fmt.Sprintf("unknown verb %q%s", args[0], meant(args[0], verbNames())))
}

// start parses a verb's flags and runs it.
func (v verb) start(args []string, s streams) int {
	flags := pflag.NewFlagSet(v.name, pflag.ContinueOnError)
	flags.SetOutput(io.Discard)
	flags.SortFlags = false
	if v.flags != nil {
		v.flags(flags)
	}
	err := flags.Parse(args)
	switch {
	case errors.Is(err, pflag.ErrHelp):
		v.help(s.out, flags)
		return exitWithin
	case err != nil:
		return s.refuse(v.name + ": " + flagError(err, flags))
	}
	if err := emptyFlag(flags); err != nil {
		return s.refuse(err.Error())
	}
	return v.run(flags.Args(), flags, s)
}

// flagError says what is wrong with a flag, naming the nearest known one.
func flagError(err error, flags *pflag.FlagSet) string {
	var unknown *pflag.NotExistError
	if !errors.As(err, &unknown) {
		return err.Error()
	}
	var names []string
	flags.VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	return fmt.Sprintf("unknown flag --%s%s", unknown.GetSpecifiedName(), strings.Replace(meant(unknown.GetSpecifiedName(), names), `"`, `"--`, 1))
}

// emptyFlag refuses a flag with an empty value, which a script passes when a variable
// was not set: a summary to be signed would silently not be.
func emptyFlag(flags *pflag.FlagSet) (err error) {
	flags.Visit(func(f *pflag.Flag) {
		values := []string{f.Value.String()}
		if several, ok := f.Value.(pflag.SliceValue); ok {
			values = several.GetSlice()
		}
		if slices.Contains(values, "") && err == nil {
			wanted, _ := pflag.UnquoteUsage(f)
			err = fmt.Errorf("--%s \"\" is empty (want %s)", f.Name, wanted)
		}
	})
	return err
}

// refuse says why nothing was done.
func (s streams) refuse(what string) int {
	fmt.Fprintf(s.err, "reconcile: %s\n", what)
	return exitCouldNot
}

// usage refuses and shows how the program is called.
func (s streams) usage(what string) int {
	fmt.Fprintf(s.err, "reconcile: %s\n\n", what)
	printUsage(s.err)
	return exitCouldNot
}

func verbNames() []string {
	var names []string
	for _, v := range verbs() {
		names = append(names, v.name)
	}
	return names
}

func printUsage(w io.Writer) {
	fmt.Fprint(w, "usage: reconcile VERB [FLAGS] [ARGUMENTS]\n\n")
	for _, v := range verbs() {
		fmt.Fprintf(w, "  %-11s %s\n", v.name, v.short)
	}
	fmt.Fprint(w, "\nreconcile VERB --help says more about each; reconcile --version gives the version.\n")
}

func (v verb) help(w io.Writer, flags *pflag.FlagSet) {
	fmt.Fprintf(w, "%s\n\n%s\n", strings.TrimSpace("usage: reconcile "+v.name+" "+v.args), v.short)
	if flags.HasFlags() {
		const value = "[=true|false]" // of a switch: nobody types it
		usages := flags.FlagUsagesWrapped(80)
		fmt.Fprintf(w, "\n%s", strings.ReplaceAll(usages, value, strings.Repeat(" ", len(value))))
	}
	fmt.Fprintf(w, "\nexample:\n  %s\n", v.example)
}

// meant suggests the known name nearest to what was typed.
func meant(typed string, known []string) string {
	best, least := "", 3
	for _, k := range known {
		if d := distance(strings.ToLower(typed), k); d < least {
			best, least = k, d
		}
	}
	if best == "" {
		return ""
	}
	return fmt.Sprintf(" (did you mean %q?)", best)
}

// distance is the number of letters to change, add or drop between two words.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := diagonal
			if a[i-1] != b[j-1] {
				cost++
			}
			diagonal = row[j]
			row[j] = min(cost, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
