package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"reconcile/internal/tickets"
)

// printFaults prints every fault, with the folder before the file where
// several folders were given.
func printFaults(w io.Writer, faults []tickets.Fault, dir string, several bool) {
	for _, f := range faults {
		if several {
			f.File = shown(dir) + "/" + f.File
		}
		fmt.Fprintln(w, f.Error())
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
