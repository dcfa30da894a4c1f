//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package main

import (
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
