package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// licences are those that may be linked, each with a sentence of its text (as
// published by SPDX) by which it is known.
var licences = map[string]string{
	"Apache-2.0":   "Apache License Version 2.0, January 2004",
	"MIT":          "Permission is hereby granted, free of charge, to any person obtaining a copy of this software",
	"BSD-3-Clause": "Redistributions in binary form must reproduce the above copyright notice",
	"MPL-2.0":      "Mozilla Public License Version 2.0",
	"OFL-1.1":      "SIL OPEN FONT LICENSE Version 1.1",
}

// module is a line of the table, or what the go command lists.
type module struct{ Path, Version, Dir string }

// systems are those that the program is built for.
var systems = []string{"linux", "windows", "darwin"}

// links is what is compiled into something: packages, and modules but ours.
type links struct {
	packages []string
	modules  map[string]module
}

// programLinks keeps what [inProgram] found, by system.
var programLinks = map[string]links{}

// inProgram lists what is compiled into the program, once a system.
func inProgram(t *testing.T, system string) links {
	t.Helper()
	l, known := programLinks[system]
	if !known {
		l = linked(t, system, "reconcile/cmd/reconcile")
		programLinks[system] = l
	}
	return l
}

// linked lists what is compiled into something for a system.
func linked(t *testing.T, system string, what ...string) links {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-tags=browser", "-deps", "-json=ImportPath,Module"}, what...)...)
	cmd.Env = append(os.Environ(), "GOOS="+system)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, errs.String())
	}
	all := links{modules: map[string]module{}}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			ImportPath string
			Module     *module
		}
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all.packages = append(all.packages, p.ImportPath)
		if p.Module != nil && p.Module.Path != "reconcile" {
			all.modules[p.Module.Path] = *p.Module
		}
	}
}

// table reads the modules that are allowed.
func table(t *testing.T) (lines [][]string) {
	t.Helper()
	f, err := os.Open("testdata/modules.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err = csv.NewReader(f).ReadAll()
	if err != nil || len(lines) < 10 || !slices.Equal(lines[0], []string{"module", "version", "used", "licence", "why"}) {
		t.Fatalf("%d lines of modules (%v)", len(lines), err)
	}
	return lines[1:]
}

// TestModules holds every module that is linked, on every system the program
// is built for, against a table of those allowed: its version, its licence by
// the text it comes with, and why it is here. No line is left over.
func TestModules(t *testing.T) {
	ofProgram, inTests := map[string]module{}, linked(t, "linux", "-test", "reconcile/...").modules
	for _, system := range systems {
		for path, m := range inProgram(t, system).modules {
			ofProgram[path] = m
			inTests[path] = m
		}
	}
	sums, err := os.ReadFile("../../go.sum")
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range table(t) {
		path, version, used, licence, why := line[0], line[1], line[2], line[3], line[4]
		m, ok := inTests[path]
		delete(inTests, path)
		_, program := ofProgram[path]
		switch {
		case !ok:
			t.Errorf("%s is in the table and not linked", path)
			continue
		case m.Version != version:
			t.Errorf("%s is %s (the table has %s)", path, m.Version, version)
		case program != (used == "program"):
			t.Errorf("%s is in the program: %v (the table has %q)", path, program, used)
		case why == "":
			t.Errorf("%s has no reason", path)
		case !bytes.Contains(sums, []byte(path+" "+version+" h1:")):
			t.Errorf("%s is not pinned by its hash", path)
		}
		comesUnder(t, m, licence)
	}
	for path := range inTests {
		t.Errorf("%s is linked and not in the table", path)
	}
	t.Logf("%d modules in the program, %d more in its tests, %d kinds of licence", len(ofProgram), len(table(t))-len(ofProgram), len(licences))
}

// comesUnder looks for a licence's sentence in the files a module brings.
func comesUnder(t *testing.T, m module, licence string) {
	t.Helper()
	files, _ := filepath.Glob(filepath.Join(m.Dir, "LICENSE*"))
	var text strings.Builder
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		text.WriteString(strings.Join(strings.Fields(string(b)), " "))
	}
	for _, name := range strings.Split(licence, " + ") {
		sentence, allowed := licences[name]
		if !allowed {
			t.Errorf("%s: licence %q is not among those allowed", m.Path, name)
		} else if !strings.Contains(text.String(), sentence) {
			t.Errorf("%s: no text of %s in %d files", m.Path, name, len(files))
		}
	}
}
