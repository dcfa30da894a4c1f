package main

import (
	"context"
	"sync/atomic"
	"testing"
	"time"
)

// Results come in order, and no more are in flight than the window allows.
func TestOrderedKeepsOrderAndBoundsFlight(t *testing.T) {
	var flying, most atomic.Int64
	next := 0
	got := ordered(context.Background(), 500, func(i int) int {
		if n := flying.Add(1); n > most.Load() {
			most.Store(n)
		}
		if i%7 == 0 {
			time.Sleep(100 * time.Microsecond)
		}
		return i * i
	}, func(i, r int) bool {
		flying.Add(-1)
		if i != next || r != i*i {
			t.Fatalf("result %d is %d, in place %d", i, r, next)
		}
		next++
		return true
	})
	if got != 500 || next != 500 {
		t.Errorf("%d of 500 results", next)
	}
	if most.Load() > 500/2 {
		t.Errorf("%d results in flight (want a bounded window)", most.Load())
	}
}

func TestOrderedStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	taken := ordered(ctx, 1<<30, func(i int) int { return i }, func(i, _ int) bool {
		if i == 10 {
			cancel()
		}
		return true
	})
	if taken < 11 || taken > 1000 {
		t.Errorf("took %d results after being stopped at 10", taken)
	}
	if n := ordered(context.Background(), 100, func(i int) int { return i }, func(i, _ int) bool { return i < 4 }); n != 5 {
		t.Errorf("took %d results (want 5: the fifth said no more)", n)
	}
	if n := ordered(context.Background(), 0, func(i int) int { return i }, func(int, int) bool { return true }); n != 0 {
		t.Errorf("%d results of none", n)
	}
}
