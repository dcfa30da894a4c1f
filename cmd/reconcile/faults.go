package main

import (
	"io"
	"strconv"
	"strings"
	"unicode"

	"reconcile/internal/tickets"
)

// printFaults prints the faults of one folder, at most 100 a form.
func printFaults(w io.Writer, faults []tickets.Fault) {
	var p tickets.FaultPrinter
	p.Print(w, "", faults)
	p.Close(w)
}

// shown is a path as it is printed: in quotes where a line break or a control
// character in it could pass for a line of the program's own.
func shown(path string) string {
	if strings.ContainsFunc(path, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(path)
	}
	return path
}
