package main

import (
	"fmt"
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

// progress tells how far a run of many jobs is, on a terminal only.
type progress struct {
	w     io.Writer
	shown bool // standard error is a terminal and there is something to wait for
	jobs  int
	at    int
	start time.Time
	last  time.Time
}

// fewJobs are done before anyone could read a line about them.
const fewJobs = 50

func newProgress(w io.Writer, jobs int) *progress {
	f, ok := w.(*os.File)
	shown := ok && jobs >= fewJobs && term.IsTerminal(int(f.Fd()))
	return &progress{w: w, shown: shown, jobs: jobs, start: time.Now()}
}

// step counts one more job, and says so a few times a second.
func (p *progress) step() {
	p.at++
	if now := time.Now(); p.shown && now.Sub(p.last) > 200*time.Millisecond {
		p.last = now
		rate := float64(p.at) / now.Sub(p.start).Seconds()
		left := time.Duration(float64(p.jobs-p.at) / rate * float64(time.Second)).Round(time.Second)
		fmt.Fprintf(p.w, "\r%d of %d jobs, %.0f a second, %s left \033[K", p.at, p.jobs, rate, left)
	}
}

// done clears the line.
func (p *progress) done() {
	if p.shown {
		fmt.Fprint(p.w, "\r\033[K")
	}
}

// stopped says how far an interrupted run got.
func (p *progress) stopped() {
	p.done()
	fmt.Fprintf(p.w, "reconcile: stopped after %d of %d jobs; every summary written is whole; --resume goes on\n", p.at, p.jobs)
}
