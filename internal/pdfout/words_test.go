package pdfout

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// prints are what puts a text on a page.
var prints = []string{"put", "putMid", "putRight", "para", "lines", "wrap", "bullet", "bookmark", "labelledLine", "section", "heading", "paragraphs", "joined"}

// TestNoWordsOfItsOwn: whatever is printed comes from package words, so that
// another language is another set of them.
func TestNoWordsOfItsOwn(t *testing.T) {
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	word := regexp.MustCompile(`[A-Za-z]{3}`)
	seen := 0
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") {
			continue
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, e.Name(), nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || !slices.Contains(prints, nameOf(call.Fun)) {
				return true
			}
			seen++
			for _, text := range literals(call.Args) {
				if word.MatchString(text.Value) {
					t.Errorf("%s prints %s", set.Position(text.Pos()), text.Value)
				}
			}
			return true
		})
	}
	if seen < 60 {
		t.Errorf("%d texts are printed", seen)
	}
}

func nameOf(f ast.Expr) string {
	switch f := f.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		return f.Sel.Name
	}
	return ""
}

// literals are those of arguments but for what is given to other calls.
func literals(all []ast.Expr) (found []*ast.BasicLit) {
	for _, a := range all {
		ast.Inspect(a, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				found = append(found, lit)
			}
			_, call := n.(*ast.CallExpr)
			return !call
		})
	}
	return found
}
