package adjust

import (
	"context"
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

// Wherever advice, a plan or the plan of a visit is stopped there is none of it, and an error that
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
		{"over-rear-axle", 1},     // nothing that may move
	} {
		s, f := weighed(t, c.job, nil)
		find := func(stop func() bool) (any, error) { return result(Next(s, f, stop)) }
		if f.Verdict == limits.Over {
			find = func(stop func() bool) (any, error) { return result(Find(s, f, "", stop)) }
		}
		stops(t, c.job, c.least, find)
	}
	job := toVisit(t, nil)
	stops(t, "the plan of a visit", 50, func(stop func() bool) (any, error) { return result(Visit(job, stop)) })
}

// stops stops a search at its questions, one after the other.
func stops(t *testing.T, name string, least int, find func(stop func() bool) (any, error)) {
	t.Helper()
	finished, err := find(nil)
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for n := 1; ; n += 1 + n/8 {
		got, err := find(after(n, &asked))
		if asked < n {
			if err != nil || !reflect.DeepEqual(got, finished) {
				t.Errorf("%s, not stopped: %+v, %v", name, got, err)
			}
			break
		}
		if !errors.Is(err, context.Canceled) || got != nil {
			t.Fatalf("%s, stopped at question %d: %+v, %v (want nothing and context.Canceled)", name, n, got, err)
		}
	}
	if asked < least {
		t.Errorf("%s: asked %d times (want %d or more)", name, asked, least)
	}
}

// result turns a pointer to nothing into nothing.
func result[T any](p *T, err error) (any, error) {
	if p == nil {
		return nil, err
	}
	return p, err
}
