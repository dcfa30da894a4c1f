// Command mutants asks whether the tests notice when a line that computes is
// wrong. It draws mutants of the packages' expressions with a fixed seed (an
// operator exchanged, a bound moved, a constant one more, a condition negated,
// a statement removed), runs the quick tests of the package against each, and
// prints which turned a test red and which survived:
//
//	go run -C bench ./mutants -n 300 -seed 1
//
// All mutants of a package are built into one test program, in a copy of the
// tree, each behind a switch that an environment variable turns on: one build
// and many runs. It exits with status 1 where fewer than the wanted part were
// killed.
package main

import (
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
)

// packages are those whose computing lines are tried.
var packages = []string{"internal/derive", "internal/derive/mistakes", "internal/limits", "internal/adjust"}

type choices struct {
	root string // of the module
	n    int
	seed uint64
	want float64 // part to be killed, 0 to 1
	list bool
	only string // numbers to try, with commas between, or a package
}

func main() {
	var c choices
	flag.StringVar(&c.root, "root", "..", "`folder` of the module")
	flag.IntVar(&c.n, "n", 300, "how many mutants")
	flag.Uint64Var(&c.seed, "seed", 1, "of the draw")
	flag.Float64Var(&c.want, "want", 0.9, "part that has to be killed")
	flag.BoolVar(&c.list, "list", false, "list the mutants drawn and run nothing")
	flag.StringVar(&c.only, "only", "", "of the mutants drawn try only these `numbers`, or those of a package")
	flag.Parse()
	ok, err := c.run(os.Stdout)
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(3)
	}
	if !ok {
		os.Exit(1)
	}
}

// run draws, builds and runs; it says whether enough were killed.
func (c choices) run(w io.Writer) (bool, error) {
	var loaded []*pack
	for _, dir := range packages {
		p, err := load(c.root, dir)
		if err != nil {
			return false, fmt.Errorf("%s: %w", dir, err)
		}
		loaded = append(loaded, p)
	}
	total := c.draw(loaded)
	c.narrow(loaded)
	fmt.Fprintf(w, "%d mutants can be made, %d drawn with seed %d\n", total, c.n, c.seed)
	if c.list {
		for _, p := range loaded {
			for _, s := range p.drawn {
				fmt.Fprintln(w, p.describe(s))
			}
		}
		return true, nil
	}
	killed, tried := 0, 0
	for _, p := range loaded {
		k, n, err := c.try(w, p)
		if err != nil {
			return false, fmt.Errorf("%s: %w", p.dir, err)
		}
		killed, tried = killed+k, tried+n
	}
	part := float64(killed) / float64(max(tried, 1))
	fmt.Fprintf(w, "together: %d of %d killed (%.1f %%; want %.0f %%)\n", killed, tried, 100*part, 100*c.want)
	return part >= c.want && tried > 0, nil
}

// narrow drops the mutants drawn that are not to be tried now.
func (c choices) narrow(loaded []*pack) {
	wanted := strings.Split(c.only, ",")
	for _, p := range loaded {
		p.drawn = slices.DeleteFunc(p.drawn, func(s *site) bool {
			return c.only != "" && c.only != p.dir && !slices.Contains(wanted, strconv.Itoa(s.number))
		})
	}
}

// draw picks n mutants out of all packages, all alike likely, at most one of
// the same text, and numbers them.
func (c choices) draw(loaded []*pack) (total int) {
	type at struct {
		p *pack
		s *site
	}
	var all []at
	for _, p := range loaded {
		for _, s := range p.sites {
			all = append(all, at{p, s})
		}
	}
	r := rand.New(rand.NewPCG(c.seed, 0))
	r.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	number := 0
	for _, a := range all {
		same := func(s *site) bool { return s.from == a.s.from && s.to == a.s.to }
		if number < c.n && !slices.ContainsFunc(a.p.drawn, same) {
			number++
			a.s.number = number
			a.p.drawn = append(a.p.drawn, a.s)
		}
	}
	for _, p := range loaded {
		slices.SortFunc(p.drawn, func(a, b *site) int { return int(a.from - b.from) })
	}
	return len(all)
}
