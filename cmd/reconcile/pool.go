package main

import (
	"context"
	"runtime"
	"sync"
)

// ahead is how many results per worker may wait for their turn: it bounds the
// memory of a run by the jobs in flight.
const ahead = 8

// ordered runs n tasks on all cores and hands their results over in order, one
// at a time. It stops handing out tasks when ctx is done or take returns false,
// lets those in flight finish, and returns how many were handed over.
func ordered[R any](ctx context.Context, n int, do func(i int) R, take func(i int, r R) bool) int {
	workers := min(runtime.GOMAXPROCS(0), max(n, 1))
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	handedOut, tasks := make(chan int, workers*ahead), make(chan int)
	// Results wait each in its place. There is one place more than tasks are handed out and
	// not asked for: it is empty again when it is the next one's.
	places := make([]chan R, workers*ahead+1)
	for i := range places {
		places[i] = make(chan R, 1)
	}
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for i := range tasks {
				places[i%len(places)] <- do(i)
			}
		})
	}
	go func() {
		defer close(handedOut)
		defer close(tasks)
		for i := range n {
			select {
			case <-ctx.Done():
				return
			case handedOut <- i:
			}
			tasks <- i
		}
	}()
	done, wanted := 0, true
	for i := range handedOut {
		r := <-places[i%len(places)]
		if wanted {
			wanted = take(done, r)
			done++
		}
		if !wanted {
			cancel()
		}
	}
	wait.Wait()
	return done
}
