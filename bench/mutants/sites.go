package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
)

// site is one place where one mutant can be made.
type site struct {
	number   int // 0 where not drawn
	file     string
	from, to token.Pos // the text that is replaced
	kind     string    // operator, comparison, boundary, logic, constant, sign, negation, removed
	was, is  string    // for people
	// build gives the text with a switch in it; text renders a part with the
	// switches of the mutants inside it.
	build func(on string, text func(ast.Node) string) string
}

// find lists every place of a file.
func (p *pack) find(f *ast.File) {
	v := &finder{pack: p, file: p.set.Position(f.Pos()).Filename, fixed: map[ast.Node]bool{}}
	ast.Inspect(f, v.visit)
}

// finder walks one file.
type finder struct {
	*pack
	file  string
	fixed map[ast.Node]bool // has to stay as it is: constant, or a statement's head
}

func (v *finder) add(n ast.Node, kind, was, is string, build func(string, func(ast.Node) string) string) {
	v.sites = append(v.sites, &site{file: v.file, from: n.Pos(), to: n.End(), kind: kind, was: was, is: is, build: build})
}

// visit looks at one node; false keeps out of what is below it.
func (v *finder) visit(n ast.Node) bool {
	if n == nil || v.fixed[n] {
		return false
	}
	switch n := n.(type) {
	case *ast.GenDecl:
		return n.Tok == token.VAR && !v.table(n) // constants and types stay
	case *ast.ArrayType:
		return false
	case *ast.CallExpr:
		return v.call(n)
	case *ast.BinaryExpr:
		return v.binary(n)
	case *ast.UnaryExpr:
		if v.info.Types[n].Value != nil {
			v.literal(n)
			return false
		}
		v.sign(n)
	case *ast.BasicLit:
		v.literal(n)
	case *ast.IfStmt:
		v.negation(n)
	case *ast.ForStmt:
		v.head(n.Init, n.Post)
	case *ast.SwitchStmt:
		v.head(n.Init)
	case *ast.BlockStmt:
		v.statements(n.List)
	case *ast.CaseClause:
		v.statements(n.Body)
	}
	return true
}

// table says whether a declaration of the package holds tables of figures
// only: those are checked against their sources and compute nothing.
func (v *finder) table(n *ast.GenDecl) bool {
	for _, s := range n.Specs {
		for _, value := range s.(*ast.ValueSpec).Values {
			if _, ok := value.(*ast.CompositeLit); ok {
				return true
			}
		}
	}
	return false
}

// head keeps the parts of a statement's head that cannot hold a block.
func (v *finder) head(parts ...ast.Stmt) {
	for _, s := range parts {
		if s != nil {
			v.fixed[s] = true
		}
	}
}

// swapped are the methods of decimals, and functions, that have a likely wrong twin.
var swapped = map[string]string{
	"Add": "Sub", "Sub": "Add", "Mul": "Add", "GreaterThan": "GreaterThanOrEqual", "GreaterThanOrEqual": "GreaterThan",
	"LessThan": "LessThanOrEqual", "LessThanOrEqual": "LessThan", "Max": "Min", "Min": "Max", "Hypot": "Max",
}

// call finds the twin of a function or method of numbers.
func (v *finder) call(n *ast.CallExpr) bool {
	name, isName := n.Fun.(*ast.Ident)
	if isName && (name.Name == "make" || name.Name == "panic") {
		return false
	}
	if isName && (name.Name == "min" || name.Name == "max") {
		twin := map[string]string{"min": "max", "max": "min"}[name.Name]
		v.twin(n, "", name, twin)
		return true
	}
	f, ok := n.Fun.(*ast.SelectorExpr)
	if !ok || swapped[f.Sel.Name] == "" {
		return true
	}
	if on := v.info.Uses[f.Sel]; on != nil && on.Pkg() != nil && (on.Pkg().Path() == "math" || on.Pkg().Name() == "decimal") {
		v.twin(n, "dot", f.Sel, swapped[f.Sel.Name])
	}
	return true
}

// twin adds the mutant that calls another function with the same arguments.
func (v *finder) twin(n *ast.CallExpr, dot string, name *ast.Ident, other string) {
	t, ok := v.typeName(v.file, v.info.Types[n].Type)
	if !ok {
		return
	}
	v.add(n, "operator", name.Name, other, func(on string, text func(ast.Node) string) string {
		fun := name.Name
		before := ""
		if dot != "" {
			before = text(n.Fun.(*ast.SelectorExpr).X) + "."
		}
		args := ""
		for _, a := range n.Args {
			args += text(a) + ", "
		}
		if n.Ellipsis.IsValid() {
			args = args[:len(args)-2] + "..."
		}
		return either(on, t, before+other+"("+args+")", before+fun+"("+args+")")
	})
}

// either is an expression that gives one of two, by the switch.
func either(on, t, mutant, plain string) string {
	return fmt.Sprintf("func() %s { if %s { return %s }; return %s }()", t, on, mutant, plain)
}

// others are what an operator becomes, and the kind of that mutant.
var others = map[token.Token][]struct {
	op   token.Token
	kind string
}{
	token.ADD: {{token.SUB, "operator"}}, token.SUB: {{token.ADD, "operator"}},
	token.MUL: {{token.QUO, "operator"}}, token.QUO: {{token.MUL, "operator"}}, token.REM: {{token.MUL, "operator"}},
	token.LSS: {{token.LEQ, "boundary"}, {token.GEQ, "comparison"}}, token.LEQ: {{token.LSS, "boundary"}, {token.GTR, "comparison"}},
	token.GTR: {{token.GEQ, "boundary"}, {token.LEQ, "comparison"}}, token.GEQ: {{token.GTR, "boundary"}, {token.LSS, "comparison"}},
	token.EQL: {{token.NEQ, "comparison"}}, token.NEQ: {{token.EQL, "comparison"}},
	token.LAND: {{token.LOR, "logic"}}, token.LOR: {{token.LAND, "logic"}},
}

// binary finds the mutants of an operator. Constant expressions stay.
func (v *finder) binary(n *ast.BinaryExpr) bool {
	tv := v.info.Types[n]
	if tv.Value != nil {
		return false
	}
	t, ok := v.typeName(v.file, tv.Type)
	if !ok || n.Op == token.ADD && !numeric(tv.Type) {
		return true
	}
	for _, o := range others[n.Op] {
		v.add(n, o.kind, n.Op.String(), o.op.String(), func(on string, text func(ast.Node) string) string {
			a, b := text(n.X), text(n.Y)
			return either(on, t, fmt.Sprintf("(%s) %s (%s)", a, o.op, b), fmt.Sprintf("(%s) %s (%s)", a, n.Op, b))
		})
	}
	return n.Op != token.SHL && n.Op != token.SHR
}

func numeric(t types.Type) bool {
	b, ok := t.Underlying().(*types.Basic)
	return ok && b.Info()&types.IsNumeric != 0
}

// sign drops a minus.
func (v *finder) sign(n *ast.UnaryExpr) {
	t, ok := v.typeName(v.file, v.info.Types[n].Type)
	switch {
	case !ok:
	case n.Op == token.SUB:
		v.add(n, "sign", "-", "", func(on string, text func(ast.Node) string) string {
			return either(on, t, text(n.X), "-("+text(n.X)+")")
		})
	case n.Op == token.NOT:
		v.add(n, "negation", "!", "", func(on string, text func(ast.Node) string) string {
			return either(on, t, text(n.X), "!("+text(n.X)+")")
		})
	}
}

// literal makes a number, or its negative, one more.
func (v *finder) literal(n ast.Expr) {
	tv := v.info.Types[n]
	if tv.Value == nil || !numeric(tv.Type) || types.Identical(types.Default(tv.Type), types.Typ[types.Rune]) {
		return
	}
	t, ok := v.typeName(v.file, tv.Type)
	if !ok {
		return
	}
	was := string(v.source(v.file, n.Pos(), n.End()))
	v.add(n, "constant", was, was+" + 1", func(on string, _ func(ast.Node) string) string {
		return either(on, t, was+" + 1", was)
	})
}

// negation turns a condition round, where its operator does not offer just that.
func (v *finder) negation(n *ast.IfStmt) {
	if n.Init != nil {
		v.fixed[n.Init] = true
	}
	switch c := n.Cond.(type) {
	case *ast.BinaryExpr:
		if c.Op != token.LAND && c.Op != token.LOR {
			return
		}
	case *ast.UnaryExpr:
		return
	}
	if t := v.info.Types[n.Cond].Type; !types.Identical(types.Default(t), types.Typ[types.Bool]) {
		return
	}
	v.add(n.Cond, "negation", "if", "if not", func(on string, text func(ast.Node) string) string {
		return fmt.Sprintf("%s != (%s)", on, text(n.Cond))
	})
}

// statements finds what can be left out, and assignments that compute.
func (v *finder) statements(list []ast.Stmt) {
	for _, s := range list {
		switch s := s.(type) {
		case *ast.AssignStmt:
			v.assignment(s)
		case *ast.IncDecStmt:
			v.removal(s)
		case *ast.ExprStmt:
			if c, ok := s.X.(*ast.CallExpr); ok && fmt.Sprint(c.Fun) != "panic" {
				v.removal(s)
			}
		case *ast.BranchStmt:
			if s.Label == nil && (s.Tok == token.CONTINUE || s.Tok == token.BREAK) {
				v.removal(s)
			}
		}
	}
}

func (v *finder) removal(s ast.Stmt) {
	v.add(s, "removed", "statement", "", func(on string, text func(ast.Node) string) string {
		return fmt.Sprintf("if !%s { %s }", on, text(s))
	})
}

// computing assignments and what they become.
var assignments = map[token.Token]token.Token{
	token.ADD_ASSIGN: token.SUB_ASSIGN, token.SUB_ASSIGN: token.ADD_ASSIGN,
	token.MUL_ASSIGN: token.QUO_ASSIGN, token.QUO_ASSIGN: token.MUL_ASSIGN,
}

func (v *finder) assignment(s *ast.AssignStmt) {
	if s.Tok == token.DEFINE {
		return
	}
	v.removal(s)
	other, ok := assignments[s.Tok]
	if !ok || !numeric(v.info.Types[s.Lhs[0]].Type) {
		return
	}
	v.add(s, "operator", s.Tok.String(), other.String(), func(on string, text func(ast.Node) string) string {
		a, b := text(s.Lhs[0]), text(s.Rhs[0])
		return fmt.Sprintf("if %s { %s %s %s } else { %s %s %s }", on, a, other, b, a, s.Tok, b)
	})
}
