package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

// order is the one way that imports may run, leftmost first: a package may
// import only packages before it.
var order = []string{
	"internal/regions", "internal/portable", "internal/shelf", "internal/tickets", "internal/derive/lsq", "internal/derive", "internal/derive/mistakes", "internal/limits",
	"internal/adjust/search", "internal/adjust", "internal/record", "internal/words", "internal/screen", "internal/pdfout",
	"internal/signoff", "internal/issue", "internal/flow", "internal/page", "cmd/page/core", "cmd/page", "cmd/reconcile",
}

// alone may import none of the others, portable and shelf aside.
var alone = []string{"internal/regions", "internal/portable", "internal/shelf", "internal/derive/lsq", "internal/adjust/search", "internal/signoff"}

// sources gives every file of the program that is not a test, by its folder.
func sources(t *testing.T) (*token.FileSet, map[string][]*ast.File) {
	t.Helper()
	all, err := parsed()
	if err != nil || len(all.byFolder) < 10 {
		t.Fatalf("%d packages found (%v)", len(all.byFolder), err)
	}
	return all.set, all.byFolder
}

// parsedFiles are the files of the program.
type parsedFiles struct {
	set      *token.FileSet
	byFolder map[string][]*ast.File
}

// parsed reads them once for all tests.
var parsed = sync.OnceValues(func() (parsedFiles, error) {
	all := parsedFiles{token.NewFileSet(), map[string][]*ast.File{}}
	err := filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		dir, _ := filepath.Rel("../..", filepath.Dir(path))
		dir = filepath.ToSlash(dir)
		if dir == "internal/study" { // for tests alone: see TestStudyIsForTests
			return nil
		}
		if !strings.HasPrefix(dir, "internal/") && !strings.HasPrefix(dir, "cmd/") || strings.Contains(dir, "testdata") {
			return nil
		}
		f, err := parser.ParseFile(all.set, path, nil, parser.ParseComments)
		all.byFolder[dir] = append(all.byFolder[dir], f)
		return err
	})
	return all, err
})

func TestImportsRunOneWay(t *testing.T) {
	_, all := sources(t)
	for dir, files := range all {
		at := slices.Index(order, dir)
		if at < 0 {
			t.Errorf("package %s has no place in the order of imports", dir)
		}
		for _, f := range files {
			for _, imp := range f.Imports {
				path, ours := strings.CutPrefix(strings.Trim(imp.Path.Value, `"`), "reconcile/")
				if !ours {
					continue
				}
				if slices.Index(order, path) >= at || slices.Contains(alone, dir) && path != "internal/portable" && path != "internal/shelf" {
					t.Errorf("%s imports %s", dir, path)
				}
			}
		}
	}
}

// TestStudyIsForTests wants no file of the program to import what only tests use.
func TestStudyIsForTests(t *testing.T) {
	_, all := sources(t)
	for dir, files := range all {
		for _, f := range files {
			for _, imp := range f.Imports {
				if imp.Path.Value == `"reconcile/internal/study"` {
					t.Errorf("%s imports internal/study, which is for tests", dir)
				}
			}
		}
	}
}

// TestFunctionsDoOneJob measures what the contributor's guide promises.
func TestFunctionsDoOneJob(t *testing.T) {
	set, all := sources(t)
	var lengths []int
	for _, files := range all {
		for _, f := range files {
			for _, d := range f.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok || fn.Body == nil {
					continue
				}
				n := set.Position(fn.End()).Line - set.Position(fn.Pos()).Line + 1
				lengths = append(lengths, n)
				if n > 80 {
					t.Errorf("%s: %s has %d lines (want at most 80)", set.Position(fn.Pos()), fn.Name.Name, n)
				}
			}
		}
	}
	slices.Sort(lengths)
	median, tenth := lengths[len(lengths)/2], lengths[len(lengths)*9/10]
	t.Logf("%d functions, median %d lines, nine in ten at most %d, longest %d", len(lengths), median, tenth, lengths[len(lengths)-1])
	if median > 12 || tenth > 40 {
		t.Errorf("median %d, nine in ten at most %d lines (want 12 and 40)", median, tenth)
	}
}

func TestExportedNamesAreDocumented(t *testing.T) {
	set, all := sources(t)
	for dir, files := range all {
		if dir == "cmd/reconcile" {
			continue
		}
		for _, f := range files {
			for _, d := range f.Decls {
				if fn, ok := d.(*ast.FuncDecl); ok && fn.Name.IsExported() && fn.Doc == nil && !interfaceMethod(fn) {
					t.Errorf("%s: %s is not documented", set.Position(fn.Pos()), fn.Name.Name)
				}
				if gen, ok := d.(*ast.GenDecl); ok && gen.Tok == token.TYPE {
					undocumentedTypes(t, set, gen)
				}
			}
		}
	}
}

// interfaceMethod says whether a method's name is documented by the interface
// that wants it.
func interfaceMethod(fn *ast.FuncDecl) bool {
	return fn.Recv != nil && slices.Contains([]string{"Error", "String", "Unwrap", "Read", "Len", "Less", "Swap", "MarshalJSON", "UnmarshalCSV"}, fn.Name.Name) ||
		fn.Recv != nil && !receiverExported(fn)
}

func receiverExported(fn *ast.FuncDecl) bool {
	name := ""
	ast.Inspect(fn.Recv.List[0].Type, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && name == "" {
			name = id.Name
		}
		return true
	})
	return ast.IsExported(name)
}

func undocumentedTypes(t *testing.T, set *token.FileSet, gen *ast.GenDecl) {
	t.Helper()
	for _, s := range gen.Specs {
		if ts, ok := s.(*ast.TypeSpec); ok && ts.Name.IsExported() && ts.Doc == nil && gen.Doc == nil {
			t.Errorf("%s: type %s is not documented", set.Position(ts.Pos()), ts.Name.Name)
		}
	}
}

// TestNoNetwork wants no package of the network client in the program.
func TestNoNetwork(t *testing.T) {
	for _, system := range systems {
		deps := inProgram(t, system).packages
		if len(deps) < 100 {
			t.Fatalf("only %d packages listed", len(deps))
		}
		if slices.Contains(deps, "net/http") {
			t.Errorf("the program for %s links net/http", system)
		}
	}
}

// TestOneExit wants main to be the only place that ends the program.
func TestOneExit(t *testing.T) {
	exits := 0
	for _, dir := range []string{"../../internal", "."} {
		err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			b, err := os.ReadFile(path)
			exits += strings.Count(string(b), "os.Exit(") + strings.Count(string(b), "log.Fatal")
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if exits != 1 {
		t.Errorf("%d places end the program (want 1, in main)", exits)
	}
}
