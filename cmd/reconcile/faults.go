package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"reconcile/internal/tickets"
)

// printFaults prints the faults of one folder, at most 100 per form.
func printFaults(w io.Writer, faults []tickets.Fault) {
	var p faultPrinter
	p.print(w, "", faults)
	p.close(w)
}

// mostPrinted is how many faults of one form are printed.
const mostPrinted = 100

// faultPrinter prints faults, at most 100 per form, and at the end how many more
// there are. Faults may come job by job.
type faultPrinter struct {
	met   map[string]int
	forms []string // in the order in which they were met
}

// print prints faults, a line each and a hint below where there is a cure.
// shown is put before the name of each form: a folder, or "".
func (p *faultPrinter) print(w io.Writer, shown string, faults []tickets.Fault) {
	if p.met == nil {
		p.met = map[string]int{}
	}
	for _, f := range faults {
		f.File = shown + f.File
		if p.met[f.File]++; p.met[f.File] == 1 {
			p.forms = append(p.forms, f.File)
		}
		if p.met[f.File] <= mostPrinted {
			fmt.Fprintln(w, f.Error())
		}
	}
}

// close prints how many faults of each form were not printed.
func (p *faultPrinter) close(w io.Writer) {
	for _, form := range p.forms {
		switch more := p.met[form] - mostPrinted; {
		case more == 1:
			fmt.Fprintf(w, "%s: 1 more fault\n", form)
		case more > 1:
			fmt.Fprintf(w, "%s: %d more faults\n", form, more)
		}
	}
}

// shown is a path as it is printed: in quotes where a line break or a control
// character in it could pass for a line of the program's own.
func shown(path string) string {
	if strings.ContainsFunc(path, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(path)
	}
	return path
}
