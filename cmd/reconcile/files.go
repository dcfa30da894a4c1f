package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"reconcile/internal/flow"
	"reconcile/internal/tickets"
)

// folderOf is a folder without its forms. Copies are read when they are needed.
func folderOf(dir string) (flow.Folder, error) {
	f := flow.Folder{CopySize: func(name string) (int64, error) { return copySize(dir, name) },
		ReadFile: func(name string) ([]byte, error) { return readFile("copy", filepath.Join(dir, name), largestCopy) }}
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return f, fmt.Errorf("folder %q is not there (want the folder of a job's forms)%s", dir, meant(filepath.Base(dir), foldersNextTo(dir)))
	case err != nil:
		return f, fmt.Errorf("folder %q: %w", dir, cause(err))
	case !info.IsDir():
		return f, fmt.Errorf("%q is a file (want the folder of a job's forms, here %q)", dir, filepath.Dir(dir))
	}
	return f, nil
}

// foldersNextTo names the folders among which dir would be.
func foldersNextTo(dir string) []string {
	var names []string
	entries, _ := os.ReadDir(filepath.Dir(dir))
	for _, e := range entries {
		if e.IsDir() {
			names = append(names, e.Name())
		}
	}
	return names
}

// formFile is a form in a folder.
type formFile struct{ name, path string }

// formsIn finds the forms of a folder, their names without regard to case. A
// form that is there under another name would be ignored, and what it says with
// it: it is refused where it is recognised.
func formsIn(dir string) ([]formFile, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("folder %q: %w", dir, cause(err))
	}
	var found []formFile
	for _, name := range tickets.FormNames() {
		here, misnamed := "", ""
		for _, e := range entries {
			switch {
			case strings.EqualFold(e.Name(), name) && here != "":
				return nil, fmt.Errorf("folder %q: %q and %q are one form (want one of them)", dir, here, e.Name())
			case strings.EqualFold(e.Name(), name):
				here = e.Name()
			case misnamed == "" && meansForm(e.Name(), name):
				misnamed = e.Name()
			}
		}
		switch {
		case here != "":
			found = append(found, formFile{name, filepath.Join(dir, here)})
		case misnamed != "":
			return nil, fmt.Errorf("folder %q: %q is not read (want it saved as %q, or moved out of the folder)", dir, misnamed, name)
		}
	}
	return found, nil
}

// spreadsheetEndings are those of files that a form is made in before it is
// saved as CSV, or that a system hides behind .csv.
var spreadsheetEndings = []string{".xlsx", ".xls", ".ods", ".numbers", ".txt", ".tsv", ".csv.txt", ".csv.csv"}

// meansForm says whether a file looks like a form under a wrong name: another
// ending, or a name a letter off.
func meansForm(file, form string) bool {
	file = strings.ToLower(file)
	base := strings.TrimSuffix(form, ".csv")
	for _, ending := range spreadsheetEndings {
		if file == base+ending {
			return true
		}
	}
	return strings.HasSuffix(file, ".csv") && distance(file, form) == 1
}

// openFolder reads the forms of a folder, which has to have some.
func openFolder(dir string) (flow.Folder, error) {
	f, err := readFolder(dir)
	if err == nil && len(f.Forms) == 0 {
		err = fmt.Errorf("folder %q has no forms in it (want tickets.csv and others: reconcile forms writes them)", dir)
	}
	return f, err
}

// readFolder reads the forms of a folder, if there are any.
func readFolder(dir string) (flow.Folder, error) {
	f, err := folderOf(dir)
	if err != nil {
		return f, err
	}
	forms, err := formsIn(dir)
	if err != nil {
		return f, err
	}
	for _, form := range forms {
		b, err := readForm(form.path)
		if err != nil {
			return f, err
		}
		f.Forms = append(f.Forms, tickets.Form{Name: form.name, Bytes: b})
	}
	return f, nil
}

// readForm reads one form, which has to be a plain file: a pipe would be
// waited for without end.
func readForm(path string) ([]byte, error) {
	if _, err := statForm(path); err != nil {
		return nil, err
	}
	return readFile("form", path, largestForm)
}

func statForm(path string) (fs.FileInfo, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, fmt.Errorf("form %q: %w", path, cause(err))
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("form %q: it is not a plain file", path)
	}
	return info, nil
}

// copySize is that of what a folder itself has under the name of a copy. A link
// is no plain file, wherever it leads.
func copySize(dir, name string) (int64, error) {
	if name != filepath.Base(name) || strings.ContainsAny(name, `/\`) {
		return 0, fs.ErrNotExist
	}
	info, err := os.Lstat(filepath.Join(dir, name))
	switch {
	case err != nil:
		return 0, fs.ErrNotExist
	case !info.Mode().IsRegular():
		return info.Size(), errors.New("it is not a plain file")
	}
	return info.Size(), nil
}

// cause drops the path that a file error repeats.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// partOf is the name a file has until it is complete.
func partOf(path string) string {
	return filepath.Join(filepath.Dir(path), partName(filepath.Base(path)))
}

func partName(name string) string { return "." + name + ".part" }

// writeWhole writes all of a file or nothing, over one that is there: into a
// part next to it, to the disk, and then under its name. Where a link is
// under the name, the link is replaced and not what it points at.
func writeWhole(path string, b []byte, mode fs.FileMode) error {
	return putWhole(path, b, mode, os.Rename)
}

// writeNew writes all of a file or nothing, and never over one that is there.
func writeNew(path string, b []byte, mode fs.FileMode) error {
	return putWhole(path, b, mode, func(part, path string) error {
		err := os.Link(part, path) // fails where path is, which a rename does not
		switch {
		case err == nil:
			return os.Remove(part)
		case errors.Is(err, fs.ErrExist):
			return fs.ErrExist
		}
		if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
			return fs.ErrExist
		}
		return os.Rename(part, path) // a file system without links
	})
}

// putWhole writes the part and gives it its name by settle.
func putWhole(path string, b []byte, mode fs.FileMode, settle func(part, path string) error) (err error) {
	part := partOf(path)
	defer func() {
		if err != nil {
			err = fmt.Errorf("writing %q: %w", path, cause(err))
		}
	}()
	if err := fillPart(part, b, mode); err != nil {
		return err
	}
	if err := settle(part, path); err != nil {
		os.Remove(part)
		return err
	}
	return nil
}

// fillPart writes all of a part, or leaves none.
func fillPart(part string, b []byte, mode fs.FileMode) error {
	f, err := newPart(part, mode)
	if err != nil {
		return err
	}
	if err := fill(f, b); err != nil {
		os.Remove(part)
		return err
	}
	return nil
}

// writePart writes all of a file under its temporary name, to be put on the disk
// (see onDisk) and to get its own name later.
func writePart(path string, b []byte) (*os.File, error) {
	f, err := newPart(partOf(path), 0o666)
	if err == nil {
		if _, err = f.Write(b); err != nil {
			f.Close()
			os.Remove(partOf(path))
		}
	}
	if err != nil {
		return nil, fmt.Errorf("writing %q: %w", path, cause(err))
	}
	return f, nil
}

// newPart makes a part of its own: what a killed run left, or a link that
// somebody laid there, would lend it other permissions or another place.
func newPart(part string, mode fs.FileMode) (*os.File, error) {
	const made = os.O_WRONLY | os.O_CREATE | os.O_EXCL
	f, err := os.OpenFile(part, made, mode)
	if !errors.Is(err, fs.ErrExist) {
		return f, err
	}
	if err := os.Remove(part); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	return os.OpenFile(part, made, mode)
}

// fill writes a part to the disk.
func fill(f *os.File, b []byte) error {
	if _, err := f.Write(b); err != nil {
		f.Close()
		return err
	}
	return onDisk(f)
}

// onDisk closes a part once it is on the disk. It fails where another run has put
// a part of its own there meanwhile, so that neither gives its name to the other's.
func onDisk(f *os.File) error {
	defer f.Close()
	if err := f.Sync(); err != nil {
		return err
	}
	ours, err := f.Stat()
	if err != nil {
		return err
	}
	there, err := os.Lstat(f.Name())
	if err != nil || !os.SameFile(ours, there) {
		return errors.New("another run writes there (want one at a time)")
	}
	return f.Close()
}

// removeParts removes what an earlier run that was killed left behind.
func removeParts(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return // whoever writes there says so
	}
	for _, e := range entries {
		name := e.Name()
		summary := strings.HasPrefix(name, ".") && strings.HasSuffix(name, ".pdf.part")
		table := name == partName("jobs.csv") || name == partName(registerName)
		if (summary || table) && !e.IsDir() {
			os.Remove(filepath.Join(dir, name))
		}
	}
}

// readOld reads what is in the place of an output; not there is
// fs.ErrNotExist, and so is a link that leads nowhere.
func readOld(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, errors.New("it is a folder")
	case !info.Mode().IsRegular():
		return nil, errors.New("it is not a plain file")
	}
	return os.ReadFile(path)
}
