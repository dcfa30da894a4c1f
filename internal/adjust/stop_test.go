package adjust

import (
	"errors"
	"reflect"
	"testing"

	"reconcile/internal/limits"
)

// after stops a search at its nth question, and not again: whoever forgets the
// first yes would go on.
func after(n int, asked *int) func() bool {
	*asked = 0
	return func() bool {
		*asked++
		return *asked == n
	}
}

// Wherever advice or a plan is stopped there is none of it, and an error that
// says so; asked one time more than it asks, it is what it is without a stop.
func TestStoppedIsNeverAResult(t *testing.T) {
	for _, c := range []struct {
		job   string
		least int // questions in all: a search that asks less often is stopped too late
	}{
		{"five-tickets-5", 50},       // advice in several rounds
		{"governs-tyre", 20},         // advice that every candidate is solved for
		{"planetarium-conflict", 10}, // the reading that would locate the mistake
		{"planetarium-overloaded", 2},
		{"planetarium-no-way", 3}, // no plan, which limits conflict
	} {
		s, f := weighed(t, c.job, nil)
		find := func(stop func() bool) (any, error) { return result(Next(s, f, stop)) }
		if f.Verdict == limits.JobOver {
			find = func(stop func() bool) (any, error) { return result(Find(s.Job, s, f, Options{Stop: stop})) }
		}
		finished, err := find(nil)
		if err != nil {
			t.Fatal(err)
		}
		asked := 0
		for n := 1; ; n += 1 + n/8 {
			got, err := find(after(n, &asked))
			if asked < n {
				if err != nil || !reflect.DeepEqual(got, finished) {
					t.Errorf("%s, not stopped: %+v, %v", c.job, got, err)
				}
				break
			}
			if !errors.Is(err, ErrStopped) || got != nil {
				t.Fatalf("%s, stopped at question %d: %+v, %v (want nothing and ErrStopped)", c.job, n, got, err)
			}
		}
		if asked < c.least {
			t.Errorf("%s: asked %d times (want %d or more)", c.job, asked, c.least)
		}
	}
}

// result turns a pointer to nothing into nothing.
func result[T any](p *T, err error) (any, error) {
	if p == nil {
		return nil, err
	}
	return p, err
}
