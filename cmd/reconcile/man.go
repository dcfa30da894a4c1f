package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"reconcile/internal/record"
)

func manVerb() verb {
	return verb{
		name:    "man",
		args:    "",
		short:   "print the manual page",
		example: "reconcile man | man -l -",
		run:     runMan,
	}
}

// manDate is the date of the manual page: that of its last change.
const manDate = "2026-11-25"

func runMan(args []string, _ *pflag.FlagSet, s streams) int {
	if len(args) != 0 {
		return s.refuse("man: takes no arguments")
	}
	manPage(s.out)
	return exitWithin
}

func manPage(w io.Writer) {
	fmt.Fprintf(w, ".TH RECONCILE 1 %s \"reconcile %s\"\n", manDate, Version)
	fmt.Fprint(w, ".SH NAME\nreconcile \\- what weighbridge tickets say of a tow vehicle and its trailer\n")
	fmt.Fprint(w, ".SH SYNOPSIS\n")
	for i, v := range verbs() {
		if i > 0 {
			fmt.Fprint(w, ".br\n")
		}
		fmt.Fprintf(w, ".B reconcile %s\n%s\n", v.name, roff(v.args))
	}
	fmt.Fprint(w, ".SH DESCRIPTION\nReads weighbridge tickets, solves for the coupling download and the load on every axle with their\n"+
		"uncertainties, says whether the readings agree, holds each load against its rating, and writes a summary\nthat others can check.\n")
	fmt.Fprint(w, ".SH VERBS\n")
	for _, v := range verbs() {
		manVerbOf(w, v)
	}
	fmt.Fprint(w, ".SH EXIT STATUS\n.TP\n0\nwithin; a plan, or none needed; unchanged and signed by a trusted signer\n"+
		".TP\n1\nover, or the readings disagree; no plan; not sound\n.TP\n2\nunsettled or incomplete; not proved; not signed, or the signer is not checked\n"+
		".TP\n3\nfaulty forms, wrong usage, or a file that could not be read or written\n")
	fmt.Fprintf(w, ".SH ENVIRONMENT\n.TP\n%s\nthe password of a key, where no file gives it\n", passwordVariable)
	fmt.Fprint(w, ".SH CAUTIONS\n")
	for _, c := range record.StandardCautions() {
		fmt.Fprintf(w, "%s\n.PP\n", roff(c))
	}
}

func manVerbOf(w io.Writer, v verb) {
	fmt.Fprintf(w, ".SS %s\n%s\n", v.name, roff(v.short))
	for _, f := range flagsOf(v) {
		value, usage := pflag.UnquoteUsage(f)
		fmt.Fprintf(w, ".TP\n.B \\-\\-%s %s\n%s\n", roff(f.Name), roff(value), roff(usage))
	}
	fmt.Fprintf(w, ".PP\nExample:\n.B %s\n", roff(v.example))
}

// roff keeps text from being taken for a request.
func roff(s string) string {
	s = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(s)
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, "'") {
		s = `\&` + s
	}
	return s
}
