package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"reconcile/internal/issue"
	"reconcile/internal/words"
)

// register is register.csv of a folder whose lock this run holds.
type register struct {
	*issue.Register
	lock  sync.Mutex // summaries are decided while those before them are written
	dir   string
	there bool // the file is
	// stopped is why nothing more is issued in this run: a number was given to a
	// summary that could not be written, and must not be passed over.
	stopped   error
	left      bool     // lines may be in the file that could not be written whole
	summaries int      // written in this run and not issued
	counted   bool     // the summaries outside the register were looked at
	outside   []string // their numbers
}

// registerName is the name of the register in its folder.
const registerName = "register.csv"

func (r *register) path() string { return filepath.Join(r.dir, registerName) }

// openRegister reads the register of a folder. A broken one stops the run.
func openRegister(dir string) (*register, error) {
	r := &register{dir: dir}
	b, err := readOld(r.path())
	if r.there = !errors.Is(err, fs.ErrNotExist); r.there && err != nil {
		return nil, fmt.Errorf("reading %q: %w", r.path(), cause(err))
	}
	if r.Register, err = issue.Parse(b, r.there); err != nil {
		return nil, fmt.Errorf("%s/%s:%w", shown(dir), registerName, err)
	}
	return r, nil
}

// issued are the lines of a file's name, or what amends what ref names; see
// [issue.Register.Issued].
func (r *register) issued(file, ref string) []issue.Line {
	r.lock.Lock()
	defer r.lock.Unlock()
	return r.Issued(file, ref)
}

// holds says whether a file's name is in the register.
func (r *register) holds(file string) bool { return len(r.Issued(file, "")) > 0 }

// finishParts gives their names to summaries that are in the register while
// their run was ended before it could.
func (r *register) finishParts() error {
	entries, err := os.ReadDir(r.dir)
	if err != nil {
		return fmt.Errorf("folder %q: %w", r.dir, cause(err))
	}
	for _, e := range entries {
		name, isPart := strings.CutSuffix(e.Name(), ".part")
		name, hidden := strings.CutPrefix(name, ".")
		lines := r.Issued(name, "")
		if !isPart || !hidden || !e.Type().IsRegular() || len(lines) == 0 {
			continue
		}
		line := &lines[0]
		path := filepath.Join(r.dir, name)
		b, err := os.ReadFile(partOf(path))
		if err != nil {
			return fmt.Errorf("reading %q: %w", partOf(path), cause(err))
		}
		if sumOf(b) != line.FileSHA256 || r.asIssued(path, line) {
			continue
		}
		if err := errors.Join(r.rename(path), r.renamed()); err != nil {
			return err
		}
	}
	return nil
}

// checkLast compares the last line, which no chain protects, with its summary.
func (r *register) checkLast() error {
	count := len(r.Lines)
	if count == 0 {
		return nil
	}
	l := &r.Lines[count-1]
	pdf, err := readOld(filepath.Join(r.dir, words.TextOfCell(l.File)))
	if err != nil || !asIssued(pdf, l.FileSHA256) {
		return nil // its job says so
	}
	line, rec := recordIn(pdf)
	if rec == nil {
		return nil
	}
	because := ""
	if rec.Replaces != nil {
		because = rec.Replaces.Because
	}
	o := &rec.Outfit
	says := []string{rec.Issuer.Number, rec.Job, o.Owner, o.VehicleID, o.TrailerID, rec.Verdict, sumOf(line), because}
	for i, cell := range []string{l.Number, l.Job, l.Owner, l.VehicleID, l.TrailerID, l.Verdict, l.RecordSHA256, l.Because} {
		if cell != words.CellText(says[i]) {
			return fmt.Errorf("%s:%d: %q is not what %q says (want %q)\nhint: an editor may have changed it: put back the copy that the program wrote", shown(r.path()), count+1, cell, l.File, words.CellText(says[i]))
		}
	}
	return nil
}

// countOutside looks, once per run, at the summaries that the register does not
// hold, so that no number of theirs is given again: lines may have been lost.
func (r *register) countOutside() (notes []string) {
	if r.counted {
		return nil
	}
	r.counted = true
	var outside []string
	entries, _ := os.ReadDir(r.dir)
	for _, e := range entries {
		name := e.Name()
		if !strings.EqualFold(filepath.Ext(name), ".pdf") || strings.HasPrefix(name, ".") || r.holds(name) {
			continue
		}
		pdf, err := readOld(filepath.Join(r.dir, name))
		if err != nil {
			continue
		}
		if _, rec := recordIn(pdf); rec != nil && rec.Issuer.Number != "" {
			r.outside = append(r.outside, rec.Issuer.Number)
			outside = append(outside, fmt.Sprintf("%q (number %s)", name, rec.Issuer.Number))
		}
	}
	switch n := len(outside); {
	case n == 1:
		notes = append(notes, fmt.Sprintf("%q does not list %s; its number is not given again", r.path(), outside[0]))
	case n > 1:
		notes = append(notes, fmt.Sprintf("%q does not list %s and %d more; their numbers are not given again", r.path(), outside[0], n-1))
	}
	return notes
}

// asIssued says whether the file of a line is there and as it was issued.
func (r *register) asIssued(path string, line *issue.Line) bool {
	b, err := readOld(path)
	return err == nil && asIssued(b, line.FileSHA256)
}

// rename gives a finished part its name; renamed keeps such names for good.
func (r *register) rename(path string) error {
	if err := os.Rename(partOf(path), path); err != nil {
		return fmt.Errorf("writing %q: %w", path, cause(err))
	}
	return nil
}

func (r *register) renamed() error {
	if err := syncFolder(r.dir); err != nil {
		return fmt.Errorf("writing into %q: %w", r.dir, cause(err))
	}
	return nil
}

// append puts lines behind the others, on the disk, once the finished parts are
// there for good. It says whether the lines are in the register.
func (r *register) append(all []*pending) (in bool, err error) {
	if len(all) == 0 {
		return true, nil
	}
	if !r.there {
		if _, err := r.Append(nil, func(header []byte) error { return writeNew(r.path(), header, 0o666) }); err != nil {
			return false, err
		}
		r.there = true
	}
	var lines []issue.Line
	for _, p := range all {
		lines = append(lines, p.line)
	}
	r.lock.Lock()
	defer r.lock.Unlock()
	in, err = r.Append(lines, func(b []byte) error {
		r.lock.Unlock()
		defer r.lock.Lock()
		err := syncFolder(r.dir)
		if err == nil {
			err = appendTo(r.path(), b)
		}
		r.left = errors.Is(err, errLeft)
		if err != nil {
			return fmt.Errorf("writing %q: %w", r.path(), cause(err))
		}
		return nil
	})
	if in && err != nil {
		err = fmt.Errorf("%s:%w", registerName, err)
	}
	return in, err
}

// errLeft says that what an append wrote could not be taken back.
var errLeft = errors.New("some of it may be there")

// appendTo appends bytes, all or none; where it could not take back what it wrote
// the error is also errLeft. The file is not opened to be appended to: some
// systems would then not let it be cut off again.
func appendTo(path string, b []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	_, err = f.WriteAt(b, info.Size())
	if err == nil {
		err = f.Sync()
	}
	if err != nil && f.Truncate(info.Size()) != nil { // no room: no half a line
		return errors.Join(err, errLeft)
	}
	return err // what is on the disk is there, whatever closing says
}

// syncFolder puts the names of a folder on the disk, where the system can.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" || runtime.GOOS == "js" {
		return nil
	}
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Sync()
}

func sumOf(b []byte) string {
	h := sha256.Sum256(b)
	return hex.EncodeToString(h[:])
}
