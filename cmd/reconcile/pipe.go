//go:build !js

package main

import (
	"os/signal"
	"syscall"
)

// ignoreBrokenPipe lets a run that writes files finish after whoever read its
// standard output has gone: the write fails instead of ending the program.
func ignoreBrokenPipe() { signal.Ignore(syscall.SIGPIPE) }
