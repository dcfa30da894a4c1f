// Command reconcile reads weighbridge tickets, solves for the coupling
// download and the load on every axle with their uncertainties, compares
// each with its rating, and writes a summary that others can check.
//
//	reconcile summary JOB
//
// where JOB is a folder of CSV forms; reconcile forms DIR writes forms to fill in.
package main

import "os"

func main() {
	ignoreBrokenPipe()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
