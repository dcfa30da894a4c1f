package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// sources parses the package's own files but for the tests.
func sources(t *testing.T) (*token.FileSet, map[string]*ast.File) {
	t.Helper()
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	set, files := token.NewFileSet(), map[string]*ast.File{}
	for _, e := range entries {
		name := e.Name()
		if !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files[name] = f
	}
	if len(files) < 25 {
		t.Fatalf("only %d files", len(files))
	}
	return set, files
}

// avoid are the words that make a sentence sound translated (the list of plain
// English that the house keeps).
var avoid = regexp.MustCompile(`(?i)\b(anew|beside|besides|stands?|stood|told|apart|held|aboard|bears?|declared|spelt|nobody trusted|is not driven|transcript)\b`)

// quotedWords are what the contract fixes, avoided words included.
var quotedWords = []string{"people aboard not stated", "declared away ", "declared added ", ", held ", "declared", "only declared", "relying on declared masses: none", "held", "jockey wheel or stand", "the jockey wheel or stand was"}

func TestNoSentenceHasAWordToAvoid(t *testing.T) {
	set, files := sources(t)
	seen := 0
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			text, err := strconv.Unquote(lit.Value)
			if err != nil {
				t.Fatal(err)
			}
			seen++
			if word := avoid.FindString(text); word != "" && !slices.Contains(quotedWords, text) {
				t.Errorf("%s: %q in %q", set.Position(lit.Pos()), word, text)
			}
			return true
		})
	}
	if seen < 1000 {
		t.Errorf("only %d literals", seen)
	}
}

// figures are the exported functions that print nothing but figures, which need
// no words.
var figures = []string{"Escape", "Cell", "CellText", "TextOfCell"}

// TestEveryFunctionSays: what an exported function returns as text went
// through say, or through another exported function, so that words can be
// exchanged in one place.
func TestEveryFunctionSays(t *testing.T) {
	set, files := sources(t)
	seen := 0
	for _, f := range files {
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || !fn.Name.IsExported() || !returnsText(fn) || slices.Contains(figures, fn.Name.Name) {
				continue
			}
			seen++
			if !says(fn) {
				t.Errorf("%s: %s returns text that nothing says", set.Position(fn.Pos()), fn.Name.Name)
			}
		}
	}
	if seen < 8 {
		t.Errorf("only %d functions", seen)
	}
}

func returnsText(fn *ast.FuncDecl) bool {
	if fn.Type.Results == nil || len(fn.Type.Results.List) != 1 {
		return false
	}
	switch r := fn.Type.Results.List[0].Type.(type) {
	case *ast.Ident:
		return r.Name == "string"
	case *ast.ArrayType:
		id, ok := r.Elt.(*ast.Ident)
		return ok && (id.Name == "string" || id.Name == "Paragraph" || id.Name == "Change") && fn.Name.Name != "Sets"
	}
	return false
}

// says reports whether every return of a function that may hold words calls
// something that says them, or gives back what such a call gave.
func says(fn *ast.FuncDecl) bool {
	calls, bad := 0, 0
	ast.Inspect(fn.Body, func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok && saidBy(call) {
			calls++
		}
		r, ok := n.(*ast.ReturnStmt)
		if !ok {
			return true
		}
		if _, isConcat := r.Results[0].(*ast.BinaryExpr); isConcat && !allSaid(r.Results[0]) {
			bad++
		}
		if lit, isLit := r.Results[0].(*ast.BasicLit); isLit && lit.Value != `""` {
			bad++
		}
		return true
	})
	return calls > 0 && bad == 0
}

// allSaid reports whether no literal with a letter is outside a call.
func allSaid(e ast.Expr) bool {
	switch x := e.(type) {
	case *ast.BinaryExpr:
		return allSaid(x.X) && allSaid(x.Y)
	case *ast.BasicLit:
		return strings.IndexFunc(x.Value, func(c rune) bool { return c >= 'a' && c <= 'z' }) < 0 || x.Value == `" kN"`
	}
	return true
}

func saidBy(call *ast.CallExpr) bool {
	name := ""
	switch f := call.Fun.(type) {
	case *ast.Ident:
		name = f.Name
	case *ast.SelectorExpr:
		name = f.Sel.Name
	}
	return name == "say" || name == "sayAll" || ast.IsExported(name)
}

// TestFunctionsAreShort: none is longer than 40 lines (tables aside).
func TestFunctionsAreShort(t *testing.T) {
	set, files := sources(t)
	seen := 0
	for _, f := range files {
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok {
				seen++
				if lines := set.Position(fn.End()).Line - set.Position(fn.Pos()).Line + 1; lines > 40 {
					t.Errorf("%s: %s has %d lines", set.Position(fn.Pos()), fn.Name.Name, lines)
				}
			}
		}
	}
	if seen < 150 {
		t.Errorf("only %d functions", seen)
	}
}

// TestImports: a record, the table of regions, decimals and the standard
// library is all that words know.
func TestImports(t *testing.T) {
	allowed := []string{"reconcile/internal/record", "reconcile/internal/regions", "github.com/shopspring/decimal"}
	_, files := sources(t)
	seen := 0
	for name, f := range files {
		for _, i := range f.Imports {
			path, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				t.Fatal(err)
			}
			seen++
			if strings.Contains(path, ".") || strings.HasPrefix(path, "reconcile") {
				if !slices.Contains(allowed, path) {
					t.Errorf("%s imports %s", name, path)
				}
			}
		}
	}
	if seen < 30 {
		t.Errorf("only %d imports", seen)
	}
}
