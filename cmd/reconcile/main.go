// Command reconcile reads weighbridge tickets, solves for the coupling
// download and the load on every axle with their uncertainties, holds each
// against its rating, and writes a summary that others can check.
//
//	reconcile summary JOB
//
// where JOB is a folder of CSV forms; reconcile forms DIR writes forms to fill in.
package main

import (
	"os"
	"runtime/debug"
)

// gcPercent lets the memory in use grow fivefold before it is gone through:
// a job needs little, and a day of jobs would have it gone through all the time.
const gcPercent = 400

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(gcPercent)
	}
	outliveReaders()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
