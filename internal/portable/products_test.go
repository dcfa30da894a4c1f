package portable_test

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"math"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/go/packages"
)

// sameBits are the packages whose numbers reach a record or a page: their
// arithmetic has to give the same bits on every machine.
var sameBits = []string{
	"reconcile/internal/portable",
	"reconcile/internal/derive/lsq",
	"reconcile/internal/derive",
	"reconcile/internal/adjust",
	"reconcile/internal/adjust/search",
	"reconcile/internal/limits",
	"reconcile/internal/record",
	"reconcile/internal/regions",
	"reconcile/internal/words",
	"reconcile/internal/pdfout",
}

// leastProducts is about the number of products in them, so that the test
// cannot pass on an empty set.
const leastProducts = 100

// TestSameBits: every product of floats that is no constant is converted
// (x*y + z may be fused unless it is: language specification, floating-point
// operators), nothing is used whose bits hang on the processor, and no map is
// gone through.
func TestSameBits(t *testing.T) {
	mode := packages.NeedName | packages.NeedFiles | packages.NeedSyntax | packages.NeedTypes |
		packages.NeedTypesInfo | packages.NeedImports | packages.NeedExportFile
	loaded, err := packages.Load(&packages.Config{Mode: mode}, sameBits...)
	if err != nil {
		t.Fatal(err)
	}
	if len(loaded) != len(sameBits) {
		t.Fatalf("%d packages loaded, want %d", len(loaded), len(sameBits))
	}
	products := 0
	for _, p := range loaded {
		for _, e := range p.Errors {
			t.Errorf("%s: %v", p.PkgPath, e)
		}
		c := checker{info: p.TypesInfo, fset: p.Fset}
		for _, f := range p.Syntax {
			c.file(f)
		}
		products += c.products
		for _, f := range c.faults {
			t.Error(f)
		}
	}
	if products < leastProducts {
		t.Errorf("%d products seen, want %d or more", products, leastProducts)
	}
}

// checker looks through the files of a package.
type checker struct {
	info     *types.Info
	fset     *token.FileSet
	products int
	faults   []string
}

func (c *checker) fault(n ast.Node, what string) {
	c.faults = append(c.faults, fmt.Sprintf("%s: %s", c.fset.Position(n.Pos()), what))
}

// file visits every node with those around it.
func (c *checker) file(f *ast.File) {
	for _, i := range f.Imports {
		if strings.HasPrefix(i.Path.Value, `"gonum.org/`) {
			c.fault(i, "imports gonum, whose kernels are not the same on every processor")
		}
	}
	var around []ast.Node
	ast.Inspect(f, func(n ast.Node) bool {
		if n == nil {
			around = around[:len(around)-1]
			return true
		}
		c.node(n, around)
		around = append(around, n)
		return true
	})
}

func (c *checker) node(n ast.Node, around []ast.Node) {
	switch n := n.(type) {
	case *ast.BinaryExpr:
		if n.Op == token.MUL && c.isProduct(n) {
			c.products++
			if !c.converted(around) {
				c.fault(n, "product not converted (want float64(x*y))")
			}
		}
		if n.Op == token.QUO && c.halves(n) && isSummand(around) {
			c.fault(n, "quotient by a power of two not converted, which compilers take for a product (want float64(x/2))")
		}
	case *ast.AssignStmt:
		if n.Tok == token.MUL_ASSIGN && isFloat(c.info.TypeOf(n.Lhs[0])) {
			c.fault(n, "product not converted (want x = float64(x*y))")
		}
	case *ast.RangeStmt:
		if _, ok := c.info.TypeOf(n.X).Underlying().(*types.Map); ok {
			c.fault(n, "goes through a map, whose order is another each time (want its keys sorted)")
		}
	case *ast.SelectorExpr:
		c.selector(n)
	case *ast.Ident:
		if t, ok := c.info.Uses[n].(*types.TypeName); ok && t.Type() == types.Typ[types.Float32] {
			c.fault(n, "float32")
		}
	}
}

func (c *checker) isProduct(e *ast.BinaryExpr) bool {
	v := c.info.Types[e]
	return (v.Value == nil || v.Value.Kind() == constant.Unknown) && isFloat(v.Type)
}

func isFloat(t types.Type) bool {
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&(types.IsFloat|types.IsComplex) != 0
}

// halves says whether e is a quotient of floats by a constant power of two.
func (c *checker) halves(e *ast.BinaryExpr) bool {
	by := c.info.Types[e.Y].Value
	if !isFloat(c.info.Types[e].Type) || c.info.Types[e].Value != nil || by == nil {
		return false
	}
	v, _ := constant.Float64Val(constant.ToFloat(by))
	fraction, _ := math.Frexp(v)
	return math.Abs(fraction) == 0.5
}

// isSummand says whether the innermost node around, but for parentheses, adds
// or takes away.
func isSummand(around []ast.Node) bool {
	for _, n := range slices.Backward(around) {
		switch n := n.(type) {
		case *ast.ParenExpr:
			continue
		case *ast.BinaryExpr:
			return n.Op == token.ADD || n.Op == token.SUB
		case *ast.AssignStmt:
			return n.Tok == token.ADD_ASSIGN || n.Tok == token.SUB_ASSIGN
		}
		return false
	}
	return false
}

// converted says whether the innermost node around, but for parentheses, is a
// conversion to a type of floats.
func (c *checker) converted(around []ast.Node) bool {
	for _, n := range slices.Backward(around) {
		if _, ok := n.(*ast.ParenExpr); ok {
			continue
		}
		call, ok := n.(*ast.CallExpr)
		return ok && c.info.Types[call.Fun].IsType() && isFloat(c.info.Types[call.Fun].Type)
	}
	return false
}

// exact are the functions of package math that give the same bits everywhere:
// IEEE 754 defines their results, or they only move bits.
var exact = []string{
	"Abs", "Ceil", "Copysign", "Float64bits", "Float64frombits", "Floor", "Frexp", "Inf", "IsInf", "IsNaN",
	"Ldexp", "Max", "Min", "NaN", "Nextafter", "Round", "RoundToEven", "Signbit", "Sqrt", "Trunc",
}

func (c *checker) selector(s *ast.SelectorExpr) {
	f, ok := c.info.Uses[s.Sel].(*types.Func)
	if ok && f.Pkg() != nil && f.Pkg().Path() == "math" && !slices.Contains(exact, f.Name()) {
		c.fault(s, "math."+f.Name()+" (want one of package portable)")
	}
}
