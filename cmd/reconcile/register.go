package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"reconcile/internal/screen"
)

// register is jobs.csv, written as the jobs are done: into a part, which gets
// its name when the run is whole. A nil register takes lines and keeps none.
type register struct {
	place place
	path  string
	part  *os.File
	lines *bufio.Writer
	err   error // the first that writing met
}

// newRegister gives the register of a folder; nil where no file is written.
func (p place) newRegister(dir string) *register {
	if p.none {
		return nil
	}
	return &register{place: p, path: filepath.Join(dir, "jobs.csv")}
}

// registerHead is the header line, and what stands before the first row.
var registerHead = screen.Jobs(nil)

// add writes the line of a job.
func (r *register) add(row screen.Row) {
	if r == nil || r.err != nil {
		return
	}
	if r.part == nil {
		if r.part, r.err = newPart(partOf(r.path), 0o666); r.err != nil {
			return
		}
		r.lines = bufio.NewWriter(r.part)
		r.lines.Write(registerHead)
	}
	_, r.err = r.lines.Write(row.Line())
}

// finish gives the register its name, never over another one unasked. A run
// of no job leaves none.
func (r *register) finish() error {
	if r == nil || r.part == nil && r.err == nil {
		return nil
	}
	err := r.err
	if err == nil {
		err = r.lines.Flush()
	}
	if err == nil {
		err = r.part.Sync()
	}
	if err == nil && r.part != nil {
		err = r.part.Close()
	}
	if err != nil {
		r.drop()
		return fmt.Errorf("writing %q: %w", r.path, cause(err))
	}
	return r.settle()
}

// settle decides between the register written and one that is there.
func (r *register) settle() error {
	part := partOf(r.path)
	if _, err := os.Lstat(r.path); err == nil {
		same, err := sameFiles(part, r.path)
		if err == nil && same {
			return os.Remove(part)
		}
		if !r.place.replace && !r.place.resume {
			r.drop()
			return fmt.Errorf("%q holds another register (want --replace, or another --out)", r.path)
		}
	}
	if err := os.Rename(part, r.path); err != nil {
		r.drop()
		return fmt.Errorf("writing %q: %w", r.path, cause(err))
	}
	return nil
}

// drop leaves nothing behind.
func (r *register) drop() {
	if r != nil && r.part != nil {
		r.part.Close()
		os.Remove(r.part.Name())
	}
}

// sameFiles says whether two files hold the same bytes.
func sameFiles(a, b string) (bool, error) {
	one, err := os.Open(a)
	if err != nil {
		return false, err
	}
	defer one.Close()
	other, err := os.Open(b)
	if err != nil {
		return false, err
	}
	defer other.Close()
	p, q := make([]byte, 1<<16), make([]byte, 1<<16)
	for {
		n, err := io.ReadFull(one, p)
		m, otherErr := io.ReadFull(other, q)
		switch {
		case !bytes.Equal(p[:n], q[:m]):
			return false, nil
		case err == io.EOF || err == io.ErrUnexpectedEOF:
			return true, nil
		case err != nil || otherErr != nil:
			return false, fmt.Errorf("comparing: %w", err)
		}
	}
}
