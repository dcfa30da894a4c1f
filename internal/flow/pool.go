package flow

import (
	"context"
	"runtime"
	"sync"
)

// ahead is how many results per worker may wait for their turn: it bounds the
// memory of a run by the jobs in flight.
const ahead = 4

// Ordered runs n tasks on all cores and hands their results over in order, one
// at a time. It stops handing out tasks when ctx is done or take returns false,
// lets those in flight finish, and returns how many were handed over.
func Ordered[R any](ctx context.Context, n int, do func(i int) R, take func(i int, r R) bool) int {
	workers := min(runtime.GOMAXPROCS(0), max(n, 1))
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	slots := make(chan chan R, workers*ahead) // in order of handing out
	tasks := make(chan func())
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			for task := range tasks {
				task()
			}
		})
	}
	go func() {
		defer close(slots)
		defer close(tasks)
		for i := range n {
			result := make(chan R, 1)
			select {
			case <-ctx.Done():
				return
			case slots <- result:
			}
			tasks <- func() { result <- do(i) }
		}
	}()
	done, wanted := 0, true
	for result := range slots {
		r := <-result
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
