package main

import (
	"fmt"
	"io"

	"reconcile/internal/tickets"
)

// printFaults prints every fault, with the folder before the file where
// several folders were given.
func printFaults(w io.Writer, faults []tickets.Fault, dir string, several bool) {
	for _, f := range faults {
		if several {
			f.File = dir + "/" + f.File
		}
		fmt.Fprintln(w, f.Error())
	}
}
