package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// licences gives the licence of all that is part of the program for a system:
// the modules linked into it, the font, and the library and runtime of Go.
func (r *release) licences(system string) (string, error) {
	modules, err := r.linked(system)
	if err != nil {
		return "", err
	}
	root, err := r.goRun(nil, "env", "GOROOT")
	if err != nil {
		return "", err
	}
	var text strings.Builder
	text.WriteString("reconcile is built from its own source, which carries no licence: ask whoever\n" +
		"publishes it. Part of the program are also, each under the licence below:\n")
	parts := append([]part{
		{"the standard library and the runtime of Go", strings.TrimSpace(string(root)), "LICENSE"},
		{"the typeface Liberation Sans", filepath.Join(r.root, "internal", "pdfout"), "LICENSE-fonts.txt"},
	}, modules...)
	for _, p := range parts {
		if err := p.write(&text); err != nil {
			return "", err
		}
	}
	return text.String(), nil
}

// part is something that is part of the program, and where its licence is.
type part struct{ name, dir, files string }

// write writes the texts of the licence below the part's name.
func (p part) write(w io.Writer) error {
	paths, err := filepath.Glob(filepath.Join(p.dir, p.files))
	if err != nil || len(paths) == 0 {
		return fmt.Errorf("%s: no licence %s in %s (%v)", p.name, p.files, p.dir, err)
	}
	for _, path := range paths {
		b, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		b = bytes.ReplaceAll(b, []byte("\r\n"), []byte("\n"))
		rule := strings.Repeat("=", 79)
		fmt.Fprintf(w, "\n%s\n%s (%s)\n%s\n\n%s\n", rule, p.name, filepath.Base(path), rule, bytes.TrimSpace(b))
	}
	return nil
}

// linked lists the modules that the program for a system is made of, by name.
func (r *release) linked(system string) ([]part, error) {
	out, err := r.goRun([]string{"GOOS=" + system, "GOARCH=amd64"}, "list", "-deps", "-json=Module", "./cmd/reconcile")
	if err != nil {
		return nil, err
	}
	found := map[string]part{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			Module *struct{ Path, Version, Dir string }
		}
		switch err := d.Decode(&p); {
		case errors.Is(err, io.EOF):
			return sorted(found)
		case err != nil:
			return nil, err
		case p.Module != nil && p.Module.Version != "": // ours has none
			found[p.Module.Path] = part{p.Module.Path + " " + p.Module.Version, p.Module.Dir, "LICENSE*"}
		}
	}
}

func sorted(found map[string]part) (all []part, err error) {
	for _, p := range found {
		all = append(all, p)
	}
	if len(all) < 8 {
		return nil, fmt.Errorf("only %d modules are linked", len(all))
	}
	slices.SortFunc(all, func(a, b part) int { return strings.Compare(a.name, b.name) })
	return all, nil
}
