package main

import (
	"bytes"
	"testing"
	"time"
)

// TestProgress holds the line of progress, and that nothing of it is written
// where standard error is no terminal.
func TestProgress(t *testing.T) {
	var said bytes.Buffer
	p := newProgress(&said, 200, "jobs")
	for range 50 {
		p.step()
	}
	if p.done(); said.Len() != 0 {
		t.Errorf("without a terminal progress writes %q", said.String())
	}
	got := p.line(p.start.Add(2 * time.Second))
	if want := "50 of 200 jobs, 25 a second, 6s left "; got != want { // 150 left at 25 a second
		t.Errorf("progress says %q, want %q", got, want)
	}
	p.stopped("the rest was not looked at")
	if want := "reconcile: stopped after 50 of 200 jobs; the rest was not looked at\n"; said.String() != want {
		t.Errorf("stopped says %q, want %q", said.String(), want)
	}
}
