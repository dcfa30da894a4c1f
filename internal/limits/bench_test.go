package limits

import (
	"testing"

	"reconcile/internal/derive"
)

// BenchmarkFind is one job with every usual rating; BenchmarkSolve the solution before it.
func BenchmarkFind(b *testing.B) {
	job := levered(au(allUsual()...))
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Find(job, s, Guarded)
	}
}

func BenchmarkSolve(b *testing.B) {
	job := levered(au(allUsual()...))
	for b.Loop() {
		if _, err := derive.Solve(job, derive.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
