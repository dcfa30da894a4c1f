//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package main

import (
	"os"
	"runtime"
	"strings"
	"syscall"
	"testing"
)

// TestFreedInAChildToo: a child that is being started has the locked file open
// too, until it becomes the other program; the lock is free all the same.
func TestFreedInAChildToo(t *testing.T) {
	dir := t.TempDir()
	held, err := lockFolder(dir)
	if err != nil {
		t.Fatal(err)
	}
	child, err := syscall.Dup(int(held.file.Fd()))
	if err != nil {
		t.Fatal(err)
	}
	defer syscall.Close(child)
	held.free()
	again, err := lockFolder(dir)
	if err != nil {
		t.Fatalf("given back, and still locked: %v", err)
	}
	again.free()
}

// TestDecidedWhileTheDiskIsWaitedFor: summaries are settled into a register that takes
// nothing before somebody reads from it (a pipe); meanwhile the register answers, so that
// the summaries after them can be decided. Else this test does not end.
func TestDecidedWhileTheDiskIsWaitedFor(t *testing.T) {
	r, all := toSettle(t, "1", "2")
	if err := syscall.Mkfifo(r.path(), 0o600); err != nil {
		t.Fatal(err)
	}
	r.there = true
	settled := make(chan []error)
	go func() { settled <- r.settle(all) }()
	for _, p := range all { // each is closed once it is on the disk
		for _, err := p.part.Stat(); err == nil; _, err = p.part.Stat() {
			runtime.Gosched()
		}
	}
	for range 100_000 { // most of them while the register is waited for
		if lines := r.issued("1.pdf", ""); len(lines) != 0 || r.hasStopped() != nil {
			t.Fatalf("before it is settled: %v, %v", lines, r.hasStopped())
		}
		runtime.Gosched()
	}
	reader, err := os.Open(r.path())
	if err != nil {
		t.Fatal(err)
	}
	defer reader.Close()
	for _, err := range <-settled { // into a pipe nothing can be written at a place
		if err == nil || !strings.Contains(err.Error(), r.path()) && !strings.Contains(err.Error(), "is not issued") {
			t.Errorf("said %v", err)
		}
	}
	if r.hasStopped() == nil || len(r.issued("1.pdf", "")) != 0 {
		t.Error("after it could not be settled more is issued")
	}
}
