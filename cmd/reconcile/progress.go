package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"
	"time"

	"golang.org/x/term"
)

// interruptible gives a context that Ctrl-C or a SIGTERM ends: what is in hand
// is finished, nothing more is begun. A second one ends the program at once.
func interruptible() (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}

// progress says how far a run of many things is, on a terminal only.
type progress struct {
	w     io.Writer
	shown bool   // standard error is a terminal and there is something to wait for
	what  string // that is counted
	all   int
	at    int
	start time.Time
	last  time.Time
	drawn bool // a line of progress is on the terminal
}

// few are done before anyone could read a line about them.
const few = 50

func newProgress(w io.Writer, all int, what string) *progress {
	f, ok := w.(*os.File)
	shown := ok && all >= few && term.IsTerminal(int(f.Fd()))
	return &progress{w: w, shown: shown, what: what, all: all, start: time.Now()}
}

// step counts one more, and says so a few times a second.
func (p *progress) step() {
	p.at++
	if now := time.Now(); p.shown && now.Sub(p.last) > 200*time.Millisecond {
		p.last = now
		fmt.Fprint(p.w, "\r", p.line(now), "\033[K")
		p.drawn = true
	}
}

// line says how many are done, at what rate, and how long the rest will take.
func (p *progress) line(now time.Time) string {
	rate := float64(p.at) / now.Sub(p.start).Seconds()
	left := time.Duration(float64(p.all-p.at) / rate * float64(time.Second)).Round(time.Second)
	return fmt.Sprintf("%d of %d %s, %.0f a second, %s left ", p.at, p.all, p.what, rate, left)
}

// clear takes the line away, for something to be printed.
func (p *progress) clear() {
	if p.drawn {
		fmt.Fprint(p.w, "\r\033[K")
		p.drawn = false
	}
}

// done clears the line.
func (p *progress) done() { p.clear() }

// stopped says how far an interrupted run got, and what that means.
func (p *progress) stopped(so string) {
	p.clear()
	fmt.Fprintf(p.w, "reconcile: stopped after %d of %d %s; %s\n", p.at, p.all, p.what, so)
}
