package search

import (
	"fmt"
	"math"
	"math/big"
	"reflect"
	"strings"
	"testing"
)

// one is an item of mass grams in no place with one option of one coefficient
// a row.
func one(grams int64, coef ...float64) Item {
	return Item{Name: "item", Mass: grams, From: nowhere, Options: []Option{{Place: nowhere, Coef: coef}}}
}

func solve(t *testing.T, p Problem) Result {
	t.Helper()
	r, err := Solve(p, defaultNodes, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestSmall holds cases small enough to be worked out on paper, as the line
// next to each does.
func TestSmall(t *testing.T) {
	left := one(20_000, -1)
	left.Options[0].Left = true
	sand := one(30_000, -1)
	sand.Divisible = true
	water := one(2_500, -1)
	water.Divisible = true
	twice := one(10_000, -1)
	twice.Options = append(twice.Options, twice.Options[0])
	best := one(10_000, 0)
	best.Options = append(best.Options, Option{Place: nowhere, Coef: []float64{-2}})
	empty := Item{Name: "bolted down", Mass: 5_000, From: nowhere}
	goes := func(i, o int, g int64) part { return part{i, o, g} }
	for _, c := range []struct {
		what  string
		items []Item
		limit float64
		want  []part // nil: nothing; see found
		found bool
	}{
		{"nothing there, nothing wanted", nil, 0, nil, true},
		{"already within", []Item{one(10_000, -1)}, 5, nil, true},
		{"already at the limit", []Item{one(10_000, -1)}, 0, nil, true},
		{"nothing there to move", nil, -1, nil, false},
		{"no option", []Item{empty}, -1, nil, false},
		{"no effect", []Item{one(10_000, 0)}, -1, nil, false},
		{"one will do", []Item{one(10_000, -1)}, -10, []part{goes(0, 0, 10_000)}, true},
		{"one will not do", []Item{one(10_000, -1)}, -10.001, nil, false},
		{"the lighter of two", []Item{one(12_000, -1), one(10_000, -1)}, -9, []part{goes(1, 0, 10_000)}, true},
		{"of two alike the first", []Item{one(10_000, -1), one(10_000, -1)}, -9, []part{goes(0, 0, 10_000)}, true},
		{"one of 10 rather than 4 and 6", []Item{one(4_000, -1), one(6_000, -1), one(10_000, -1)}, -10, []part{goes(2, 0, 10_000)}, true},
		{"moved 30 rather than left 20", []Item{left, one(30_000, -1)}, -15, []part{goes(1, 0, 30_000)}, true},
		{"both where moved alone will not do", []Item{left, one(30_000, -1)}, -45, []part{goes(0, 0, 20_000), goes(1, 0, 30_000)}, true},
		{"of options alike the first", []Item{twice}, -5, []part{goes(0, 0, 10_000)}, true},
		{"the option that helps", []Item{best}, -20, []part{goes(0, 1, 10_000)}, true},
		{"whole kilograms: 7.2 needs 8", []Item{sand}, -7.2, []part{goes(0, 0, 8_000)}, true},
		{"all of 2.5 kg where 2 kg will not do", []Item{water}, -2.2, []part{goes(0, 0, 2_500)}, true},
		{"2 kg of 2.5 kg", []Item{water}, -2, []part{goes(0, 0, 2_000)}, true},
	} {
		r := solve(t, Problem{Items: c.items, Limits: []float64{c.limit}})
		if r.Found != c.found || !r.Proved || len(r.Parts)+len(c.want) > 0 && !reflect.DeepEqual(r.Parts, c.want) {
			t.Errorf("%s: %+v, want found %v, parts %v", c.what, r, c.found, c.want)
		}
		if !c.found && (!reflect.DeepEqual(r.Conflict.Rows, []int{0}) || r.Conflict.Total <= 0) {
			t.Errorf("%s: conflict %+v, want row 0 and an excess", c.what, r.Conflict)
		}
	}
}

// TestLastBit: 3·0.1 is above 0.3 in binary, and a limit met in decimals must
// not be refused; but no row may be exceeded by more than 1e-9 of its limit.
func TestLastBit(t *testing.T) {
	for _, c := range []struct {
		limit float64
		found bool
	}{
		{-0.3, true},
		{-0.3 - 0.9e-9, true},  // inside 1e-9·max(1, 0.3)
		{-0.3 - 1.1e-9, false}, // outside
		{-0.3 - 1e-6, false},   // a milligram
		{-0.30000001, false},   // ten micrograms
		{-0.2999999999, true},  // asked for less
		{math.Nextafter(-0.3, -1), true},
	} {
		r := solve(t, Problem{Items: []Item{one(3_000, -0.1)}, Limits: []float64{c.limit}})
		if r.Found != c.found {
			t.Errorf("limit %.12f: found %v, want %v", c.limit, r.Found, c.found)
		}
	}
}

// TestContradiction: the only item lowers row 0 by what it raises row 1 by;
// 10 kg over in one of them whatever is done.
func TestContradiction(t *testing.T) {
	p := Problem{
		Items:  []Item{one(10_000, -1, 1, 0)},
		Limits: []float64{-10, 0, 5}, // the last is never in the way
	}
	r := solve(t, p)
	c := r.Conflict
	if r.Found || !r.Proved {
		t.Fatalf("%+v, want proved impossible", r)
	}
	if math.Abs(c.Total-10) > 1e-3 || !c.Proved || c.AtLeast > 10 || c.AtLeast < 10-2e-3 {
		t.Errorf("excess %v, at least %v, want 10", c.Total, c.AtLeast)
	}
	if !reflect.DeepEqual(c.Rows, []int{0, 1}) || !c.Irreducible || len(c.Places) > 0 {
		t.Errorf("rows %v places %v, want rows 0 and 1 alone", c.Rows, c.Places)
	}
	if len(c.Excess) != 3 || c.Excess[2] != 0 || len(c.Parts) != 0 {
		t.Errorf("excess %v with %v, want three, none of row 2, and nothing moved in vain", c.Excess, c.Parts)
	}
}

// TestPlaces: room is made by what leaves a place, and is never overdrawn.
func TestPlaces(t *testing.T) {
	to := func(grams int64, from, place int, coef float64) Item {
		it := one(grams, coef)
		it.From, it.Options[0].Place = from, place
		return it
	}
	p := Problem{
		Items:  []Item{to(10_000, 0, 1, -1), to(8_000, 1, 0, 0)},
		Limits: []float64{-10},
		Rooms:  []int64{0, 2_000}, // a rack, a box
	}
	want := []part{{0, 0, 10_000}, {1, 0, 8_000}} // they change places
	if r := solve(t, p); !reflect.DeepEqual(r.Parts, want) || !r.Proved {
		t.Errorf("%+v, want %v", r, want)
	}
	p.Rooms[1] = 1_999 // a gram short
	r := solve(t, p)
	if r.Found || !r.Proved || !reflect.DeepEqual(r.Conflict.Rows, []int{0}) || !reflect.DeepEqual(r.Conflict.Places, []int{1}) {
		t.Errorf("%+v %+v, want row 0 against place 1", r, r.Conflict)
	}
}

// TestDegenerate: twenty copies of a row and forty items alike are no harder
// than one row and one item.
func TestDegenerate(t *testing.T) {
	var p Problem
	coef := make([]float64, 20)
	for r := range coef {
		p.Limits, coef[r] = append(p.Limits, -95), -1
	}
	for range 40 {
		p.Items = append(p.Items, one(10_000, coef...))
	}
	r := solve(t, p)
	if !r.Proved || r.Moved != 100_000 || r.Touched != 10 || r.Parts[9].Item != 9 {
		t.Errorf("%+v, want the first ten items", r)
	}
	if r.Nodes > 10 {
		t.Errorf("%d nodes, want at most 10", r.Nodes)
	}
}

// within checks a plan against the rows in rational arithmetic of its own.
func within(p Problem, parts []part) error {
	for r, limit := range p.Limits {
		sum := new(big.Rat)
		for _, part := range parts {
			c := new(big.Rat).SetFloat64(p.Items[part.Item].Options[part.Option].Coef[r])
			sum.Add(sum, c.Mul(c, big.NewRat(part.Grams, 1000)))
		}
		most := new(big.Rat).SetFloat64(limit)
		most.Add(most, new(big.Rat).SetFloat64(1e-9*math.Max(1, math.Abs(limit))))
		if sum.Cmp(most) > 0 {
			return fmt.Errorf("row %d: %s over %v", r, sum.FloatString(9), limit)
		}
	}
	return nil
}

// TestNodeLimit: whatever the limit, a plan holds every row, the bounds stay
// below what the full search finds, and "proved" is never said too early.
func TestNodeLimit(t *testing.T) {
	short, proved, known := 0, 0, 0
	for seed := range uint64(12) {
		p := outfit(seed, 16)
		full := solve(t, p)
		if !full.Proved {
			continue // nothing to compare with
		}
		known++
		for _, limit := range []int{1, 7, 60, 400} {
			r, err := Solve(p, limit, nil)
			if err != nil {
				t.Fatal(err)
			}
			checkLimited(t, fmt.Sprintf("seed %d, %d nodes", seed, limit), p, r, full)
			if r.Proved {
				proved++
			} else {
				short++
			}
		}
	}
	if known < 10 || short == 0 || proved == 0 {
		t.Errorf("%d solved, of them %d cut short, %d proved, want 10 and some of each", known, short, proved)
	}
}

func checkLimited(t *testing.T, name string, p Problem, r, full Result) {
	t.Helper()
	if r.Found {
		if err := within(p, r.Parts); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if r.Bound.Left > full.Left || r.Left == full.Left && r.Bound.Moved > full.Moved {
		t.Errorf("%s: bound %+v, the best plan has %d, %d", name, r.Bound, full.Left, full.Moved)
	}
	if r.Proved && (r.Found != full.Found || r.Left != full.Left || r.Moved != full.Moved || r.Touched != full.Touched) {
		t.Errorf("%s: said to be proved: %+v, full search %+v", name, r, full)
	}
	if !r.Found && r.Conflict.AtLeast > 0 && full.Found {
		t.Errorf("%s: excess of at least %v said of a problem that can be solved", name, r.Conflict.AtLeast)
	}
}

// TestRepeatable: the same problem gives the same plan and the same count.
func TestRepeatable(t *testing.T) {
	for seed := range uint64(6) {
		a, b := solve(t, outfit(seed, 24)), solve(t, outfit(seed, 24))
		if !reflect.DeepEqual(a, b) {
			t.Errorf("seed %d: %+v, then %+v", seed, a, b)
		}
	}
}

// TestNames: what the user called things has no part in it.
func TestNames(t *testing.T) {
	p := outfit(3, 24)
	want := solve(t, p)
	for i := range p.Items {
		p.Items[i].Name = strings.Repeat("z", 40-i)
	}
	if got := solve(t, p); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, with other names %+v", want, got)
	}
}

func TestRefused(t *testing.T) {
	good := func() Problem {
		return Problem{Items: []Item{one(1_000, -1)}, Limits: []float64{1}, Rooms: []int64{1}}
	}
	for _, c := range []struct {
		what  string
		spoil func(p *Problem)
		nodes int
		want  string
	}{
		{"nodes", func(*Problem) {}, -1, "node limit -1"},
		{"limit", func(p *Problem) { p.Limits[0] = math.NaN() }, 1, "row 0: limit NaN"},
		{"limit", func(p *Problem) { p.Limits[0] = math.Inf(1) }, 1, "limit +Inf"},
		{"room", func(p *Problem) { p.Rooms[0] = -1 }, 1, "place 0: room -1 g"},
		{"mass", func(p *Problem) { p.Items[0].Mass = 0 }, 1, `item 0 "item": mass 0 g`},
		{"mass", func(p *Problem) { p.Items[0].Mass = math.MaxInt64 }, 1, "all items together"},
		{"from", func(p *Problem) { p.Items[0].From = 1 }, 1, "from place 1"},
		{"to", func(p *Problem) { p.Items[0].Options[0].Place = -2 }, 1, "option 0: place -2"},
		{"left in a place", func(p *Problem) { p.Items[0].Options[0] = Option{Left: true, Place: 0, Coef: []float64{1}} }, 1, "left behind in place 0"},
		{"coefficients", func(p *Problem) { p.Items[0].Options[0].Coef = nil }, 1, "0 coefficients"},
		{"coefficient", func(p *Problem) { p.Items[0].Options[0].Coef[0] = math.Inf(-1) }, 1, "coefficient -Inf"},
	} {
		p := good()
		c.spoil(&p)
		if _, err := Solve(p, c.nodes, nil); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q in it", c.what, err, c.want)
		}
	}
	if _, err := Solve(good(), 1, nil); err != nil {
		t.Errorf("unspoilt: %v", err)
	}
}

// The rear axle is 35 kg over; the toolbox may go to the front (−1.2 kg on
// the rear axle a kilogram), the sand, in part, be left behind (−1 kg).
func ExampleSolve() {
	p := Problem{
		Limits: []float64{-35}, // of the rear axle
		Items: []Item{
			{"toolbox", 25_000, false, nowhere, []Option{{Place: nowhere, Coef: []float64{-1.2}}}},
			{"sand", 40_000, true, nowhere, []Option{{Left: true, Place: nowhere, Coef: []float64{-1}}}},
		},
	}
	r, err := Solve(p, defaultNodes, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, part := range r.Parts {
		fmt.Println(p.Items[part.Item].Name, part.Grams/1000, "kg")
	}
	fmt.Println("left", r.Left, "g, moved", r.Moved, "g, proved", r.Proved)
	// Output:
	// toolbox 25 kg
	// sand 5 kg
	// left 5000 g, moved 25000 g, proved true
}
