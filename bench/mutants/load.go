package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
)

// pack is one package, parsed and type-checked, with the places where a
// mutant can be made.
type pack struct {
	dir   string // under the root of the module
	set   *token.FileSet
	info  *types.Info
	own   *types.Package
	texts map[string][]byte // file name to source
	names map[string]map[string]bool
	sites []*site
	drawn []*site
}

// load reads the package in a folder of the module; tests are left out.
func load(root, dir string) (*pack, error) {
	exports, files, err := listed(root, dir)
	if err != nil {
		return nil, err
	}
	p := &pack{dir: dir, set: token.NewFileSet(), texts: map[string][]byte{}, names: map[string]map[string]bool{},
		info: &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}}
	var parsed []*ast.File
	for _, name := range files {
		path := filepath.Join(root, dir, name)
		if p.texts[name], err = os.ReadFile(path); err != nil {
			return nil, err
		}
		f, err := parser.ParseFile(p.set, name, p.texts[name], parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		p.names[name] = imported(f)
		parsed = append(parsed, f)
	}
	lookup := func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) }
	conf := types.Config{Importer: importer.ForCompiler(p.set, "gc", lookup)}
	if p.own, err = conf.Check("reconcile/"+dir, p.set, parsed, p.info); err != nil {
		return nil, err
	}
	for _, f := range parsed {
		p.find(f)
	}
	return p, nil
}

// listed asks the go command for the files of a package, and where the
// compiled form of everything it imports is.
func listed(root, dir string) (exports map[string]string, files []string, err error) {
	cmd := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Export,GoFiles", "./"+dir)
	cmd.Dir = root
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, nil, fmt.Errorf("go list: %w", err)
	}
	exports = map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var one struct {
			ImportPath, Export string
			GoFiles            []string
		}
		if err := d.Decode(&one); errors.Is(err, io.EOF) {
			return exports, files, nil
		} else if err != nil {
			return nil, nil, err
		}
		exports[one.ImportPath] = one.Export
		files = one.GoFiles // the package itself comes last
	}
}

// imported lists the packages a file can name.
func imported(f *ast.File) map[string]bool {
	names := map[string]bool{}
	for _, i := range f.Imports {
		if i.Name == nil {
			names[i.Path.Value[1:len(i.Path.Value)-1]] = true
		}
	}
	return names
}

// typeName spells a type as a file can, or says that it cannot.
func (p *pack) typeName(file string, t types.Type) (string, bool) {
	can := true
	name := types.TypeString(types.Default(t), func(other *types.Package) string {
		switch {
		case other == p.own:
			return ""
		case !p.names[file][other.Path()]:
			can = false
		}
		return other.Name()
	})
	return name, can
}
