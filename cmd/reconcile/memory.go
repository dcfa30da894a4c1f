package main

import (
	"os"
	"runtime"
	"runtime/debug"

	"reconcile/internal/tickets"
)

const (
	// gcPercent lets the memory in use grow fivefold before it is gone
	// through: a job needs little, and a day of jobs would have it gone through
	// all the time.
	gcPercent = 400
	// headroom is how many bytes may be in use beyond those kept for the whole
	// run, which for very many jobs are many: the index of the forms.
	headroom = 32 << 20
	// leastPercent is below what going through it would take most of the time.
	leastPercent = 50
)

// fewCollections sets how often memory is gone through, unless the user did.
func fewCollections() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(gcPercent)
	}
}

// largeForms is the size of forms, in bytes, whose index is made in little memory.
const largeForms = 4 << 20

// boundIndexing does so for forms that are about to be gone through.
func boundIndexing(sources []tickets.Source) {
	size := int64(0)
	for _, s := range sources {
		size += s.Size
	}
	if size > largeForms && os.Getenv("GOGC") == "" {
		debug.SetGCPercent(leastPercent)
	}
}

// boundMemory does so again when all is kept that will be.
func boundMemory() {
	if os.Getenv("GOGC") != "" {
		return
	}
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	debug.SetGCPercent(max(leastPercent, min(gcPercent, int(100*headroom/max(m.HeapAlloc, 1)))))
}
