package limits

import (
	"testing"

	"reconcile/internal/derive"
)

// BenchmarkFind is one job with every usual rating, BenchmarkSolve the solution before it,
// both in used memory.
func BenchmarkFind(b *testing.B) {
	job := levered(au(allUsual()...))
	s, err := derive.Solve(job, derive.Options{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Find(job, s, Guarded).Release()
	}
}

// BenchmarkFindFirst asks a solution that nothing was asked of yet.
func BenchmarkFindFirst(b *testing.B) {
	job := levered(au(allUsual()...))
	for b.Loop() {
		s, err := derive.Solve(job, derive.Options{})
		if err != nil {
			b.Fatal(err)
		}
		Find(job, s, Guarded).Release()
		s.Release()
	}
}

func BenchmarkSolve(b *testing.B) {
	job := levered(au(allUsual()...))
	for b.Loop() {
		s, err := derive.Solve(job, derive.Options{})
		if err != nil {
			b.Fatal(err)
		}
		s.Release()
	}
}
