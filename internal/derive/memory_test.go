package derive

import (
	"fmt"
	"math"
	"testing"

	"reconcile/internal/tickets"
)

// usedSystem is a released system whose memory is full of what no job holds: a number
// of it that was read would be no number, and a word of it another one.
func usedSystem() *system {
	const n = 1 << 9
	nan, reading, load := math.NaN(), &tickets.Reading{Scale: "wrong"}, &tickets.Load{Name: "wrong"}
	wrong := cause{Kind: "wrong", Index: -7, Line: -7, Name: "wrong"}
	q := Quantity{value: nan, u: nan, Determined: true, Weighed: true, ByMoment: true}
	y := &system{
		layout: &layout{
			split: [groupCount]splitOf{{7, true}, {7, true}}, columns: 99, supports: 99, side: map[sideKey]int{{"wrong", "rear"}: 3},
			allCells: make([]cell, n), mass: make(columns, n), share: make(columns, n), gain: make(columns, n), zero: make(columns, n),
		},
		options: Options{WithoutTies: allTies, free: true}, Unknown: []unknownShare{{Load: "wrong"}}, moved: make([]movedPart, 3),
		all: make([]*tickets.Reading, n), used: make([]*tickets.Reading, n), usedIndex: make([]int, n), loads: make([]*tickets.Load, n),
		ties: make([]tie, n), obs: make([]observation, n), rows: make([][]float64, n), values: make([]float64, n),
		balance: make([][]float64, n), us: make([]float64, n), numbers: make([]float64, 16*n),
		lists: lists{
			sums: make([]groupSum, n), weighings: make([]weighing, n), quantities: make([]namedQuantity, n), zeros: make([]unreadZero, n),
			causes: causes{all: make([]cause, n), of: make([]int, n), us: make([]float64, n), listed: make([]contribution, n)},
			rows:   make([]sensitivity, n), place: &figures{Download: q, TrailerMass: q, HitchMoment: q, TrailerCG: q},
		},
	}
	for i := range n {
		y.layout.allCells[i] = cell{tickets.Term{Group: tickets.Nose, Axle: 7}, 99}
		for _, c := range []columns{y.layout.mass, y.layout.share, y.layout.gain, y.layout.zero} {
			c[i] = namedColumn{[]string{"a", "b", "load 1", "wrong"}[i%4], i % 5}
		}
		y.all[i], y.used[i], y.usedIndex[i], y.loads[i] = reading, reading, -7, load
		y.ties[i] = tie{name: "wrong", t: nan}
		y.obs[i] = observation{Kind: "wrong", Name: "wrong", U: nan, Residual: nan, Redundancy: nan, Standardised: nan, Suspect: true, Testable: true}
		y.rows[i], y.balance[i] = []float64{nan}, []float64{nan}
		y.values[i], y.us[i] = nan, nan
		y.lists.sums[i] = groupSum{groupsIn{2, uint8(i)}, q}
		y.lists.zeros[i] = unreadZero{"wrong", nan}
		y.lists.weighings[i] = weighing{2, columnSet{uint64(i)}}
		y.lists.quantities[i] = namedQuantity{"wrong", q, []contribution{{&wrong, nan}}}
		y.lists.causes.all[i], y.lists.causes.of[i], y.lists.causes.us[i], y.lists.causes.listed[i] = wrong, 3, nan, contribution{&wrong, nan}
	}
	for i, d := range y.lists.numbers.List(n) {
		y.lists.indices.List(1)[0] = -7
		y.lists.rows[i] = sensitivity{&y.numbers[i], []float64{nan, d}}
	}
	for i := range y.numbers {
		y.numbers[i] = nan
	}
	return y
}

// usedMemory puts memory that was used before where the next systems and fits take theirs.
func usedMemory() {
	for range 6 { // a pool may drop what it is given, and routes take some
		systems.Put(usedSystem())
		fits.Put(&fitted{obs: make([]observation, 3), redundancy: []float64{math.NaN(), math.NaN()}[:0]})
	}
}

// says is all that a record asks of a solution, and what an adviser asks of it.
func says(s *Solution) string {
	text := fmt.Sprint(s.Observations, s.Agreement, s.Unknown, s.Results(), s.Figures(), *s.Doubts(), s.overloaded())
	for i := range s.Job.Readings {
		onDeck, shown := s.loadOn(i), s.expected(i)
		b := s.Behind(onDeck)
		text += fmt.Sprint(onDeck, shown, b.Readings, b.Most, b.Checked, b.MistakeKg, b.Tested)
	}
	return text
}

// TestSolvedInUsedMemory compares what is said of drawn jobs, of all kinds, that are solved
// in new memory, with what is said of them in memory that is full of what no job
// holds, and again after other jobs were solved and released.
func TestSolvedInUsedMemory(t *testing.T) {
	var kept []*Solution
	var said []string
	for seed := range uint64(60) {
		job := wildJob(seed)
		for systems.Get().(*system).layout != nil {
		}
		want := says(mustSolve(t, job))
		usedMemory()
		s := mustSolve(t, job)
		if got := says(s); got != want {
			t.Fatalf("job %d in used memory:\n%s\n(want %s)", seed, got, want)
		}
		again := mustSolve(t, job)
		says(again)
		copied := *again
		copied.Release() // which gives nothing
		if got := says(again); got != want {
			t.Errorf("job %d after a copy was released:\n%s\n(want %s)", seed, got, want)
		}
		copied = *again
		again.Release()
		again.Release() // once more gives nothing
		then := mustSolve(t, job)
		copied.Release()
		if got := says(then); got != want {
			t.Errorf("job %d after a copy of a solution before was released:\n%s\n(want %s)", seed, got, want)
		}
		kept, said = append(kept, s), append(said, want)
	}
	for i, s := range kept {
		if got := says(s); got != said[i] {
			t.Errorf("job %d says something else after others were solved:\n%s\n(want %s)", i, got, said[i])
		}
	}
}

// A solution that was released answers nothing: it panics, and gives no number that is
// another job's.
func TestReleasedSaysNothing(t *testing.T) {
	s := mustSolve(t, triple(0))
	q := s.total(tickets.VehicleAlone, vehicleGroups...)
	s.Release()
	for name, ask := range map[string]func(){
		"Sum":      func() { s.total(tickets.VehicleAlone, vehicleGroups...) },
		"Behind":   func() { s.Behind(q) },
		"Doubts":   func() { s.Doubts() },
		"Results":  func() { s.Results() },
		"Figures":  func() { s.Figures() },
		"expected": func() { s.expected(0) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s of a released solution answers", name)
				}
			}()
			ask()
		}()
	}
}

// String says which cause it is, not where it lies.
func (c contribution) String() string { return fmt.Sprint(*c.cause, c.U) }
