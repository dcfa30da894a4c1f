package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
)

// Sizes that the files which a run reads may have, in bytes.
const (
	largestForm         = 1 << 30    // a spreadsheet of readings is far smaller
	largestCopy         = 20_000_000 // as the forms have it
	largestKey          = 1 << 20    // a key with its certificates takes some 4 kB
	largestCertificates = 1 << 20    // some hundreds of them
	largestPasswordFile = 1 << 16
)

// errChanged is a file that something wrote to while it was read: what was
// read may be half of the old and half of the new.
var errChanged = errors.New("it changed while it was read (run again when nothing writes to it)")

// readFile reads a file of at most limit bytes as it was at one moment.
// what names it in an error: form, --sign. Of one that is larger it gives what
// is beyond the limit by a byte, and an error; with any other error nothing.
func readFile(what, path string, limit int64) ([]byte, error) {
	return readInto(nil, what, path, limit)
}

// readInto is readFile into room, where that is large enough.
func readInto(room []byte, what, path string, limit int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s %q: %w", what, path, cause(err))
	}
	defer f.Close()
	b, err := readStable(f, limit, room)
	if err != nil {
		return b, fmt.Errorf("%s %q: %w", what, path, cause(err))
	}
	return b, nil
}

// readStable reads an open file, into room where that is large enough, and holds its
// size and time after reading against those before.
func readStable(f fs.File, limit int64, room []byte) ([]byte, error) {
	before, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if before.IsDir() {
		return nil, errors.New("it is a folder")
	}
	size := min(max(before.Size(), 0), limit) + bytes.MinRead
	b := bytes.NewBuffer(slices.Grow(room[:0], int(size)))
	if _, err := b.ReadFrom(io.LimitReader(f, limit+1)); err != nil {
		return nil, err
	}
	if int64(b.Len()) > limit {
		return b.Bytes(), fmt.Errorf("it has more than %d bytes", limit)
	}
	after, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if before.Size() != after.Size() || !before.ModTime().Equal(after.ModTime()) {
		return nil, errChanged
	}
	return b.Bytes(), nil
}
