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

// folderLock is a lock that this run holds on a folder.
type folderLock struct{ file *os.File }

// free gives the lock back. It says so to the system before it closes the file:
// a child that is being started holds the same open file until it has become
// the other program, and would keep the lock until then.
func (l folderLock) free() {
	unlock(l.file)
	l.file.Close()
}

// lockFolder takes the lock of a folder, which the operating system frees when
// the program ends, however it ends. It never waits.
func lockFolder(dir string) (folderLock, error) {
	path := filepath.Join(dir, lockName)
	if info, err := os.Lstat(path); err == nil && !info.Mode().IsRegular() {
		return folderLock{}, fmt.Errorf("%q is not a plain file (want it out of the way: a run locks it)", path)
	}
	f, err := os.OpenFile(path, os.O_RDONLY|os.O_CREATE, 0o666)
	if err != nil {
		return folderLock{}, fmt.Errorf("locking %q: %w", dir, cause(err))
	}
	if err := tryLock(f); err != nil {
		f.Close()
		if errors.Is(err, errLocked) {
			return folderLock{}, fmt.Errorf("another run writes into %q (want one at a time: wait until it has ended)", dir)
		}
		return folderLock{}, fmt.Errorf("locking %q: %w", dir, err)
	}
	return folderLock{f}, nil
}
