package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"reconcile/internal/flow"
)

// place says where summaries go and what may be written there.
type place struct {
	out     string // --out, or ""
	none    bool   // no file is written
	replace bool
	resume  bool
	signer  string // fingerprint of whoever signs the summaries; "" for nobody
	// taken holds, for each path in lower case that the run writes, its folder.
	taken map[string]string
}

// written is a summary in its place.
type written struct{ name, sum string }

// prepare makes the output folder, removes what a killed run left, and refuses
// two summaries of one name, before anything is written.
func (p *place) prepare(folders []opened, several bool) error {
	if p.none {
		return nil
	}
	p.taken = map[string]string{}
	for _, f := range folders {
		for _, name := range f.jobs.Names() {
			path := p.path(f, name, several)
			key := strings.ToLower(path)
			if other, twice := p.taken[key]; twice {
				return fmt.Errorf("%q and %q would both write %q (want different names)", other, f.dir, path)
			}
			p.taken[key] = f.dir
		}
	}
	if p.out == "" {
		for _, f := range folders {
			removeParts(f.dir)
		}
		return nil
	}
	if err := os.MkdirAll(p.out, 0o777); err != nil {
		return fmt.Errorf("--out %q: %w", p.out, cause(err))
	}
	removeParts(p.out)
	return nil
}

// path is where the summary of a job goes.
func (p place) path(f opened, job string, several bool) string {
	base := "summary"
	folder := filepath.Base(absolute(f.dir))
	switch {
	case p.out != "" && several && f.jobs.HasJobs():
		base = folder + "-" + job
	case p.out != "" && several:
		base = folder
	case f.jobs.HasJobs():
		base = job
	}
	return filepath.Join(p.dir(f), base+".pdf")
}

// dir is the folder that the summaries of a folder go into.
func (p place) dir(f opened) string {
	if p.out != "" {
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

// write draws the summary and puts it in its place, never over other forms'
// summary unasked, never over a signed one.
func (p place) write(r *flow.Result, path string, sign func([]byte) ([]byte, error)) (written, error) {
	if !filepath.IsLocal(filepath.Base(path)) || r.Record.Job != "" && strings.ContainsAny(r.Record.Job, `/\`) {
		return written{}, fmt.Errorf("job %q: no file can be called %q here (want another name)", r.Record.Job, filepath.Base(path))
	}
	old, err := readOld(path)
	if err != nil && !os.IsNotExist(err) {
		return written{}, fmt.Errorf("reading %q: %w", path, cause(err))
	}
	there := err == nil
	if there && p.resume && p.finished(old, r) {
		return writtenAs(path, old), nil
	}
	unsigned, err := r.Summary()
	if err != nil {
		return written{}, err
	}
	pdf, err := sign(unsigned)
	if err != nil {
		return written{}, err
	}
	if there && string(old) == string(pdf) {
		return writtenAs(path, old), nil
	}
	if there {
		if path, err = p.free(path, old); err != nil {
			return written{}, err
		}
	}
	if err := writeWhole(path, pdf, 0o666); err != nil {
		return written{}, err
	}
	return writtenAs(path, pdf), nil
}

// finished says whether an earlier run left this job's summary whole, signed
// by the same signer where this run signs.
func (p place) finished(old []byte, r *flow.Result) bool {
	s := flow.Stands(old, r, p.signer, flow.Released)
	return s.Intact && s.Same && (p.signer == "" || s.Ours)
}

func writtenAs(path string, pdf []byte) written {
	h := sha256.Sum256(pdf)
	return written{filepath.Base(path), hex.EncodeToString(h[:])}
}

// free is the path that may be written where a file is already: the same over
// an unsigned summary, beside a signed one the next number.
func (p place) free(path string, old []byte) (string, error) {
	if signed := flow.Signed(old); !p.replace && signed {
		return "", fmt.Errorf("%q is signed and never replaced (want --replace, which writes beside it, or another --out)", path)
	} else if !p.replace && !p.resume {
		return "", fmt.Errorf("%q holds another summary (want --replace, or another --out)", path)
	}
	base := strings.TrimSuffix(path, ".pdf")
	for n := 2; flow.Signed(old); n++ {
		path = fmt.Sprintf("%s-%d.pdf", base, n)
		if p.taken[strings.ToLower(path)] != "" {
			continue // another job of this run writes there
		}
		var err error
		if old, err = readOld(path); os.IsNotExist(err) {
			return path, nil
		} else if err != nil {
			return "", fmt.Errorf("reading %q: %w", path, cause(err))
		}
	}
	return path, nil
}
