package search

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"
)

// Geometry of the invented outfit of these tests, in metres: wheelbase, rear
// axle to coupling, coupling to trailer axle. Invented, of an ordinary size.
const (
	wheelbase = 3.2
	overhang  = 1.4
	drawbar   = 4.6
)

// spot is a place of the outfit: at metres behind the front axle or, on the
// trailer, ahead of its axle.
type spot struct {
	at      float64
	trailer bool
}

var spots = []spot{{2.4, false}, {3.7, false}, {2.6, true}, {-1.5, true}}

// effect is what a kilogram at s adds to front axle, rear axle, trailer axle
// and download of the coupled outfit, by the law of the lever.
func (s spot) effect() (front, rear, trailer, download float64) {
	if !s.trailer {
		return 1 - s.at/wheelbase, s.at / wheelbase, 0, 0
	}
	d := s.at / drawbar
	return -overhang / wheelbase * d, (1 + overhang/wheelbase) * d, 1 - d, d
}

// quantities are the left sides of the rows for a kilogram at s: three of the
// vehicle alone, then of the coupled outfit front, rear, vehicle, trailer
// axle, whole trailer (twice: its own rating and what may be towed), all
// together, download, the same from below, a lower guide of its share, and
// the front axle that the hitch must not restore beyond what it lost.
func (s spot) quantities() []float64 {
	front, rear, trailer, download := s.effect()
	own := 1.0
	if s.trailer {
		own = 0
	}
	whole := trailer + download
	return []float64{
		own * front, own * rear, own,
		front, rear, front + rear, trailer, whole, whole, front + rear + trailer, download,
		-download, 0.08*whole - download, -overhang / wheelbase * download,
	}
}

// change is what a kilogram does that goes from one spot to another (nil:
// left behind), with a guard of 2·5 % of it on all but the last two rows.
func change(from spot, to *spot) []float64 {
	c := from.quantities()
	for r := range c {
		c[r] = -c[r]
	}
	if to != nil {
		for r, q := range to.quantities() {
			c[r] += q
		}
	}
	for r := range c[:len(c)-2] {
		c[r] += 0.1 * math.Abs(c[r])
	}
	return c
}

// outfit makes a problem of n items, each in one of the four places, that may
// go to the three others and, every second one, be left behind. Rear axle and download are
// over by 10 to 90 kg, in every third problem the whole trailer as well, in
// every third all together; the other limits have room for 20 to 200 kg.
func outfit(seed uint64, n int) Problem {
	rng := rand.New(rand.NewPCG(seed, 40))
	var p Problem
	over := map[int]bool{4: true, 10: true, 7: seed%3 == 1, 9: seed%3 == 2}
	for r := range 14 {
		limit := 20 + 180*rng.Float64()
		switch {
		case over[r]:
			limit = -10 - 80*rng.Float64()
		case r > 10: // what the download may lose is more than what it must
			limit += -1.2 * p.Limits[10]
		}
		p.Limits = append(p.Limits, math.Round(limit*10)/10)
	}
	for range spots {
		p.Rooms = append(p.Rooms, 1000*(30+rng.Int64N(200)))
	}
	for i := range n {
		it := Item{Name: "item " + strconv.Itoa(i), Mass: 1000 * (4 + rng.Int64N(60)), From: rng.IntN(len(spots))}
		if rng.IntN(6) == 0 {
			it.Divisible, it.Mass = true, 1000*(40+rng.Int64N(160))
		}
		for _, to := range rng.Perm(len(spots)) {
			if to != it.From {
				it.Options = append(it.Options, Option{Place: to, Coef: change(spots[it.From], &spots[to])})
			}
		}
		if rng.IntN(2) == 0 {
			it.Options = append(it.Options, Option{Left: true, Place: nowhere, Coef: change(spots[it.From], nil)})
		}
		p.Items = append(p.Items, it)
	}
	return p
}

// BenchmarkOutfit solves problems of 40 items and four places, then of 20, and
// prints median and longest time and how many stay unproved.
func BenchmarkOutfit(b *testing.B) {
	for b.Loop() {
		for _, items := range []int{20, 40} {
			fmt.Fprintln(os.Stderr, measure(b, 200, items))
		}
	}
}

func measure(t testing.TB, problems, items int) string {
	var times []time.Duration
	var nodes []int
	left, impossible, open := 0, 0, 0
	for seed := range uint64(problems) {
		p := outfit(seed, items)
		start := time.Now()
		r, err := Solve(p, defaultNodes, nil)
		if err != nil {
			t.Fatal(err)
		}
		times, nodes = append(times, time.Since(start)), append(nodes, r.Nodes)
		switch {
		case !r.Proved || !r.Found && !r.Conflict.Proved:
			open++
		case !r.Found:
			impossible++
		case r.Left > 0:
			left++
		}
	}
	if open > problems/20 {
		t.Errorf("%d of %d problems of %d items not proved, want at most 1 in 20", open, problems, items)
	}
	slices.Sort(times)
	slices.Sort(nodes)
	k := problems / 2
	return fmt.Sprintf("%d problems of %d items, 4 places: time median %v, 9 in 10 %v, longest %v; nodes median %d, most %d; %d leave something, %d impossible, %d not proved",
		problems, items, times[k], times[problems*9/10], times[problems-1], nodes[k], nodes[problems-1], left, impossible, open)
}
