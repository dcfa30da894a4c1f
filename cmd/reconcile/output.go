package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"reconcile/internal/flow"
	"reconcile/internal/record"
)

// output says where summaries go and what may be written there.
type output struct {
	out     string // the folder of --out, or ""
	file    string // the file of --out, or ""
	none    bool   // no file is written
	replace bool
	resume  bool
	signer  string // fingerprint of whoever signs the summaries; "" for nobody
	// taken holds, for each path that the run writes, as a file system that knows
	// no case has it, where it comes from.
	taken map[string]string
	// registers are those of the folders that the run writes to and holds, under
	// their real names and as they were given; reals are the real names.
	registers map[string]*register
	reals     map[string]string
	inOrder   []*register
	held      []folderLock
}

// written is a summary in its place.
type written struct{ name, sum string }

// set reads --out: a folder, or the name of the one summary.
func (p *output) set(out string) {
	if strings.HasSuffix(out, ".pdf") {
		p.file = out
		return
	}
	p.out = out
}

// prepare refuses two summaries of one name, takes the locks of the folders that
// are written to, reads their registers and finishes or removes what a run that
// was ended left there. Nothing is written before.
func (p *output) prepare(folders []opened, several bool) error {
	if p.none {
		return nil
	}
	p.registers, p.reals = map[string]*register{}, map[string]string{}
	if err := p.checkNames(folders, several); err != nil {
		return err
	}
	for _, f := range folders {
		if err := p.hold(p.dir(f)); err != nil {
			return err
		}
	}
	return nil
}

func (p *output) checkNames(folders []opened, several bool) error {
	p.taken = map[string]string{}
	writer := map[string]int{} // which of the folders writes a path
	jobs := 0
	for i, f := range folders {
		for _, name := range f.jobs.Names {
			path := p.path(f, name, several)
			key := p.placeKey(path)
			// Two names of one folder that differ in case are a fault of its
			// forms, which reading them reports with its line.
			if other, twice := p.taken[key]; twice && p.file == "" && writer[key] != i {
				return fmt.Errorf("%q and %q would both write %q (want different names)", other, f.dir, path)
			}
			p.taken[key], writer[key] = f.dir, i
			jobs++
		}
	}
	if p.file != "" && jobs > 1 {
		return fmt.Errorf("--out %q is the name of one summary, here are %d jobs (want a folder)", p.file, jobs)
	}
	return nil
}

// hold takes the lock of a folder, once per run, and reads its register.
func (p *output) hold(dir string) error {
	if p.out != "" || p.file != "" {
		if err := os.MkdirAll(dir, 0o777); err != nil {
			return fmt.Errorf("--out %q: %w", dir, cause(err))
		}
	}
	key := real(dir) // once more: the folder is there now
	p.reals[dir] = key
	if p.registers[key] != nil {
		p.registers[dir] = p.registers[key]
		return nil
	}
	held, err := lockFolder(dir)
	if err != nil {
		return err
	}
	p.held = append(p.held, held)
	r, err := openRegister(dir)
	if err != nil {
		return err
	}
	if err := r.finishParts(); err != nil {
		return err
	}
	if err := r.checkLast(); err != nil {
		return err
	}
	removeParts(dir)
	p.registers[key], p.registers[dir], p.inOrder = r, r, append(p.inOrder, r)
	return nil
}

// release lets the next run go on.
func (p *output) release() {
	for _, f := range p.held {
		f.free()
	}
}

// registerOf is the register of the folder that a job's summary goes into.
func (p *output) registerOf(f opened) *register { return p.registers[p.dir(f)] }

// path is where the summary of a job goes.
func (p *output) path(f opened, job string, several bool) string {
	if p.file != "" {
		return p.file
	}
	base := "summary"
	switch {
	case p.out != "" && several && f.jobs.HasJobs:
		base = f.name() + "-" + job
	case p.out != "" && several:
		base = f.name()
	case f.jobs.HasJobs:
		base = job
	}
	return filepath.Join(p.dir(f), base+".pdf")
}

// dir is the folder that the summaries of a folder go into.
func (p *output) dir(f opened) string {
	switch {
	case p.file != "":
		return filepath.Dir(p.file)
	case p.out != "":
		return p.out
	}
	return f.dir
}

func absolute(dir string) string {
	if abs, err := filepath.Abs(dir); err == nil {
		return abs
	}
	return filepath.Clean(dir)
}

// real is a folder under its one name, where links lead too.
func real(dir string) string {
	if to, err := filepath.EvalSymlinks(absolute(dir)); err == nil {
		return to
	}
	return absolute(dir)
}

// placeKey is a path as a file system that knows no case has it. It is called for
// one path at a time.
func (p *output) placeKey(path string) string {
	dir := filepath.Dir(path)
	if p.reals[dir] == "" {
		p.reals[dir] = real(dir)
	}
	return filepath.Join(p.reals[dir], strings.ToLower(filepath.Base(path)))
}

// checkPath refuses what cannot name a file here.
func checkPath(path, job string) error {
	if !filepath.IsLocal(filepath.Base(path)) || strings.ContainsAny(job, `/\`) {
		return fmt.Errorf("job %q: no file can be called %q here (want another name)", job, filepath.Base(path))
	}
	return nil
}

// mayWrite says whether a summary may be written where another file is: over an
// earlier summary of ours of the same job, and says so then; over anything else
// that is not issued only where the flags ask for it.
func (p *output) mayWrite(path string, old existing, r *record.Record) (note string, err error) {
	switch {
	case old.issued():
		return "", fmt.Errorf("%q is signed or numbered and never replaced (want another --out)", path)
	case old.ours(r):
		return fmt.Sprintf("%q: replaced an earlier summary of the same job", path), nil
	case p.replace || p.resume:
		return fmt.Sprintf("%q: replaced what was there", path), nil
	}
	return "", fmt.Errorf("%q is not an intact summary of this job (want --replace, or another --out)", path)
}

// lookAt reads what is in the place of a summary; nil where nothing is.
func lookAt(path string) (*existing, error) {
	old, err := readOld(path)
	switch {
	case os.IsNotExist(err):
		return nil, nil
	case err != nil:
		return nil, fmt.Errorf("reading %q: %w", path, cause(err))
	}
	s := existingOf(old)
	return &s, nil
}

// write draws an unsigned summary without a number and puts it in its place.
func (p *output) write(r *flow.Result, path string) (file written, note string, err error) {
	old, err := lookAt(path)
	if err != nil {
		return written{}, "", err
	}
	if old != nil && p.resume && string(old.line) == string(r.Line) && old.verified("") == nil {
		return written{filepath.Base(path), sumOf(old.pdf)}, "", nil
	}
	pdf, sum, err := r.Summary(nil)
	if err != nil {
		return written{}, "", err
	}
	file = written{filepath.Base(path), sum}
	if old != nil {
		if string(old.pdf) == string(pdf) {
			return file, "", nil
		}
		if note, err = p.mayWrite(path, *old, r.Record); err != nil {
			return written{}, "", err
		}
	}
	if err := writeWhole(path, pdf, 0o666); err != nil {
		return written{}, "", err
	}
	return file, note, nil
}
