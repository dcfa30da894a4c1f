package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// switchFile is added to a package: which mutant is on.
const switchFile = "mutant_switch.go"

const switchText = `package %s

import "os"

var mutantOn = os.Getenv("MUTANT")

func mutant(number string) bool { return mutantOn == number }
`

// describe says what a mutant is.
func (p *pack) describe(s *site) string {
	at := p.set.Position(s.from)
	return fmt.Sprintf("%3d %s/%s:%d:%d %s: %s -> %s in %s", s.number, p.dir, s.file, at.Line, at.Column, s.kind, s.was, s.is, p.excerpt(s))
}

// excerpt is the text that the mutant changes, short and on one line.
func (p *pack) excerpt(s *site) string {
	text := string(bytes.Join(bytes.Fields(p.source(s.file, s.from, s.to)), []byte(" ")))
	if r := []rune(text); len(r) > 70 {
		text = string(r[:70]) + "…"
	}
	return "`" + text + "`"
}

func (p *pack) source(file string, from, to token.Pos) []byte {
	return p.texts[file][p.set.Position(from).Offset:p.set.Position(to).Offset]
}

// render gives a file's text from one place to another with the switches of
// the drawn mutants in it, the outermost first.
func (p *pack) render(file string, from, to token.Pos, drawn []*site) string {
	var out bytes.Buffer
	at := from
	for len(drawn) > 0 {
		s := drawn[0]
		rest := drawn[1:]
		if s.from < at || s.to > to {
			drawn = rest
			continue
		}
		out.Write(p.source(file, at, s.from))
		inner := slices.DeleteFunc(slices.Clone(rest), func(o *site) bool { return o.to > s.to })
		out.WriteString(s.build(s.on(), func(n ast.Node) string {
			return p.render(file, n.Pos(), n.End(), inner)
		}))
		at = s.to
		drawn = rest
	}
	out.Write(p.source(file, at, to))
	return out.String()
}

// outermostFirst sorts places so that one comes before those inside it.
func outermostFirst(a, b *site) int {
	if a.from != b.from {
		return int(a.from - b.from)
	}
	if a.to != b.to {
		return int(b.to - a.to)
	}
	return a.number - b.number
}

// instrument writes the package with these mutants into a copy of the tree.
func (p *pack) instrument(root string, drawn []*site) error {
	drawn = slices.Clone(drawn)
	slices.SortFunc(drawn, outermostFirst)
	for name, text := range p.texts {
		own := slices.DeleteFunc(slices.Clone(drawn), func(s *site) bool { return s.file != name })
		made := string(text)
		if len(own) > 0 {
			base := p.base(own[0])
			made = p.render(name, base, base+token.Pos(len(text)), own)
		}
		for _, s := range own {
			if !strings.Contains(made, s.on()) {
				return fmt.Errorf("mutant is not in the text: %s", p.describe(s))
			}
		}
		if err := os.WriteFile(filepath.Join(root, p.dir, name), []byte(made), 0o666); err != nil {
			return err
		}
	}
	text := fmt.Sprintf(switchText, p.own.Name())
	return os.WriteFile(filepath.Join(root, p.dir, switchFile), []byte(text), 0o666)
}

// on is the expression that says whether a mutant is switched on.
func (s *site) on() string { return fmt.Sprintf(`mutant("%d")`, s.number) }

// base is the position of a site's file's first byte.
func (p *pack) base(s *site) token.Pos { return token.Pos(p.set.File(s.from).Base()) }

// buildable returns the mutants that compile: the few that do not are found
// by halves.
func (p *pack) buildable(root string, drawn []*site) ([]*site, error) {
	if len(drawn) == 0 {
		return nil, nil
	}
	if err := p.instrument(root, drawn); err != nil {
		return nil, err
	}
	cmd := exec.Command("go", "build", "./"+p.dir)
	cmd.Dir = root
	out, err := cmd.CombinedOutput()
	if err == nil {
		return drawn, nil
	}
	if len(drawn) == 1 {
		fmt.Fprintf(os.Stderr, "does not compile: %s\n%s", p.describe(drawn[0]), out)
		return nil, nil
	}
	a, err := p.buildable(root, drawn[:len(drawn)/2])
	if err != nil {
		return nil, err
	}
	b, err := p.buildable(root, drawn[len(drawn)/2:])
	return append(slices.Clone(a), b...), err
}
