package main

import (
	"os"
	"runtime/debug"
)

// gcPercent lets the memory in use grow threefold before the garbage collector
// runs: a job needs little, and a day of jobs would have it run all the time.
const gcPercent = 200

// relaxGC makes the garbage collector run less often, unless the user set how
// often it does.
func relaxGC() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(gcPercent)
	}
}
