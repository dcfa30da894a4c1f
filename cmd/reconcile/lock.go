package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// lockName is the file whose lock a run holds in a folder that it writes to.
// The file stays: who removed it would take the lock from under another run.
const lockName = ".lock"

// errLocked is a lock that another run holds.
var errLocked = errors.New("another run writes there")

// lockFolder takes the lock of a folder, which the operating system frees when
// the program ends, however it ends. It never waits.
func lockFolder(dir string) (*os.File, error) {
	path := filepath.Join(dir, lockName)
	if info, err := os.Lstat(path); err == nil && !info.Mode().IsRegular() {
		return nil, fmt.Errorf("%q is not a plain file (want it out of the way: a run locks it)", path)
	}
	f, err := os.OpenFile(path, os.O_RDONLY|os.O_CREATE, 0o666)
	if err != nil {
		return nil, fmt.Errorf("locking %q: %w", dir, cause(err))
	}
	if err := tryLock(f); err != nil {
		f.Close()
		if errors.Is(err, errLocked) {
			return nil, fmt.Errorf("another run writes into %q (want one at a time: wait until it has ended)", dir)
		}
		return nil, fmt.Errorf("locking %q: %w", dir, err)
	}
	return f, nil
}
