package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// jobsTable is jobs.csv, written as the jobs are done: into a part, which gets
// its name when the run is complete, in place of the last run's. A nil table takes
// lines and keeps none.
type jobsTable struct {
	path  string
	part  *os.File
	lines *bufio.Writer
	err   error // the first that writing met
}

// newJobsTable gives the table of a folder; nil where no file is written.
func (p *output) newJobsTable(dir string) *jobsTable {
	if p.none || p.file != "" {
		return nil
	}
	return &jobsTable{path: filepath.Join(dir, "jobs.csv")}
}

// add writes the line of a job.
func (t *jobsTable) add(row jobsRow) {
	if t == nil || t.err != nil {
		return
	}
	if t.part == nil {
		if t.part, t.err = newPart(partOf(t.path), 0o666); t.err != nil {
			return
		}
		t.lines = bufio.NewWriter(t.part)
		t.lines.WriteString(jobsHeader)
	}
	_, t.err = t.lines.WriteString(row.line())
}

// finish gives the table its name. A run of no job leaves none.
func (t *jobsTable) finish() error {
	if t == nil || t.part == nil && t.err == nil {
		return nil
	}
	err := t.err
	if err == nil {
		err = t.lines.Flush()
	}
	if err == nil {
		err = t.part.Sync()
	}
	if err == nil {
		err = t.part.Close()
	}
	if err == nil {
		err = t.settle()
	}
	if err != nil {
		t.drop()
		return fmt.Errorf("writing %q: %w", t.path, cause(err))
	}
	return nil
}

// settle replaces a table of an earlier run, and nothing else.
func (t *jobsTable) settle() error {
	old, err := readOld(t.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !bytes.HasPrefix(old, []byte("job,file,")):
		return errors.New("what is there is not the table of a run (want it out of the way, or another --out)")
	}
	return os.Rename(t.part.Name(), t.path)
}

// drop leaves nothing behind.
func (t *jobsTable) drop() {
	if t != nil && t.part != nil {
		t.part.Close()
		os.Remove(t.part.Name())
	}
}
