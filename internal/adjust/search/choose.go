package search

import (
	"cmp"
	"math"
	"slices"
)

// candidate is a variable to branch on and its value in the solution.
type candidate struct {
	v     int
	at    float64
	score float64
}

// branchOn chooses the variable to split: of those not whole that most mass
// depends on, the one whose halves raise the bound most, by what was seen of
// it or, where little was, by trying. Where the solution is in whole numbers
// but no plan, it is the first still open; −1 if none is. It may find that
// one half holds nothing and narrow t; then retry is set.
func (s *searcher) branchOn(t *tableau, least float64) (v int, x float64, retry bool) {
	list := s.candidates(t)
	if len(list) == 0 {
		return -1, 0, false
	}
	best := list[0]
	if best.score == 0 {
		return best.v, best.at, false
	}
	most := -1.0
	for _, c := range list[:min(len(list), tried)] {
		if c.score == 0 {
			break
		}
		for dir := range 2 {
			if s.seen[c.v].count[dir] < trusted && s.try(t, c, dir, least) {
				return 0, 0, true
			}
		}
		if g := s.seen[c.v].gain(c); g > most {
			best, most = c, g
		}
	}
	return best.v, best.at, false
}

// How many candidates are looked at, and how often a half is tried before
// what was seen of it is trusted.
const (
	tried   = 6
	trusted = 3
)

// pseudocost is what branching on a variable did to the bound: per unit that the
// variable had to go, downwards and upwards.
type pseudocost struct {
	sum   [2]float64
	count [2]int
}

// note adds one half that was solved: 0 downwards, 1 upwards.
func (p *pseudocost) note(dir int, perUnit float64) {
	p.sum[dir] += perUnit
	p.count[dir]++
}

// gain estimates what the two halves do to the bound: their product, so that
// neither is left as it was.
func (p *pseudocost) gain(c candidate) float64 {
	// A half that does nothing counts as a little, or it would hide what the
	// other does.
	product := 1.0
	for dir, way := range []float64{c.at - math.Floor(c.at), math.Ceil(c.at) - c.at} {
		product = float64(product * math.Max(1e-6, float64(p.sum[dir]/float64(max(1, p.count[dir]))*way)))
	}
	return product
}

// try solves one half of a split (0 down, 1 up) and notes the bound. If the
// half holds nothing better, t is narrowed to the other.
func (s *searcher) try(t *tableau, c candidate, dir int, least float64) (narrowed bool) {
	if s.nodes == 0 {
		return false
	}
	s.nodes--
	half := s.copyOf(t)
	defer func() { s.spare = append(s.spare, half) }()
	down, up := math.Floor(c.at), dir == 1
	half.narrow(c.v, down, up)
	bound, dead, _ := s.solve(half, least)
	// The cost is noted per unit that the variable had to go: 0.1 down costs less
	// than 0.9 up for that reason alone.
	way := c.at - down
	if up {
		way = 1 - way
	}
	if dead || bound > s.threshold() {
		t.narrow(c.v, down, !up)
		return true
	}
	s.seen[c.v].note(dir, math.Max(0, bound-least)/way)
	return false
}

// candidates lists the variables still open, those not whole first, by the
// mass that depends on them.
func (s *searcher) candidates(t *tableau) []candidate {
	var list []candidate
	for _, row := range s.p.sums {
		v := t.n + row
		at := math.Min(math.Max(t.at(v), t.lo[v]), t.hi[v])
		if f := math.Abs(at - math.Round(at)); f > 1e-5 && t.lo[v] < t.hi[v] {
			list = append(list, candidate{v, at, f}) // after the columns
		}
	}
	for j := range s.p.whole {
		if t.lo[j] == t.hi[j] {
			continue
		}
		c := candidate{v: j, at: math.Min(math.Max(t.at(j), t.lo[j]), t.hi[j])}
		if f := math.Abs(c.at - math.Round(c.at)); f > integral {
			c.score = float64(f * s.weight(j))
		}
		list = append(list, c)
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return cmp.Compare(b.score, a.score) })
	return list
}

// weight is the grams that one unit of variable j moves. A switch comes before
// every mass, since its item's columns mean little while it is open.
func (s *searcher) weight(j int) float64 {
	if j >= len(s.cols) {
		return 1e9 // whether an item is touched at all
	}
	return float64(s.cols[j].unit)
}
