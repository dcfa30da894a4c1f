package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"reconcile/internal/flow"
	"reconcile/internal/tickets"
)

// largestForm is the size a form may have; a spreadsheet of readings is far smaller.
const largestForm = 1 << 30

// formNames are the forms a folder may hold.
var formNames = []string{"tickets.csv", "ratings.csv", "outfit.csv", "scales.csv", "loads.csv", "places.csv", "issuer.csv"}

// openFolder reads the forms of a folder. Copies are read when they are needed.
func openFolder(dir string) (flow.Folder, error) {
	f := flow.Folder{HasFile: func(name string) bool { return hasFile(dir, name) },
		ReadFile: func(name string) ([]byte, error) { return os.ReadFile(filepath.Join(dir, name)) }}
	info, err := os.Stat(dir)
	if err != nil {
		return f, fmt.Errorf("folder %q: %w", dir, cause(err))
	}
	if !info.IsDir() {
		return f, fmt.Errorf("%q is a file (want a folder of forms)", dir)
	}
	for _, name := range formNames {
		b, err := readForm(filepath.Join(dir, name))
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return f, err
		}
		f.Forms = append(f.Forms, tickets.Form{Name: name, Bytes: b})
	}
	return f, nil
}

func readForm(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, fmt.Errorf("%q is a folder (want a form)", path)
	case info.Size() > largestForm:
		return nil, fmt.Errorf("%q has %d bytes (want at most %d)", path, info.Size(), largestForm)
	}
	b, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("form %q: %w", path, cause(err))
	}
	return b, nil
}

// hasFile says whether a plain file of that name stands in the folder itself.
func hasFile(dir, name string) bool {
	if name != filepath.Base(name) || strings.ContainsAny(name, `/\`) {
		return false
	}
	info, err := os.Stat(filepath.Join(dir, name))
	return err == nil && info.Mode().IsRegular()
}

// cause drops the path that a file error repeats.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// partOf is the name a file has until it is whole.
func partOf(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".part")
}

// writeWhole writes a file whole or not at all: into a part beside it, to the
// disk, and then under its name.
func writeWhole(path string, b []byte, mode fs.FileMode) (err error) {
	part := partOf(path)
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, mode)
	if err != nil {
		return fmt.Errorf("writing %q: %w", path, cause(err))
	}
	defer func() {
		if err != nil {
			os.Remove(part)
			err = fmt.Errorf("writing %q: %w", path, cause(err))
		}
	}()
	if _, err = f.Write(b); err != nil {
		f.Close()
		return err
	}
	if err = f.Sync(); err != nil {
		f.Close()
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(part, path)
}

// removeParts removes what an earlier run that was killed left behind.
func removeParts(dir string) {
	parts, _ := filepath.Glob(filepath.Join(dir, ".*.pdf.part"))
	for _, p := range parts {
		os.Remove(p)
	}
}

// sameAs says whether a file holds just these bytes.
func sameAs(path string, b []byte) bool {
	old, err := os.ReadFile(path)
	return err == nil && bytes.Equal(old, b)
}
