package mistakes

import (
	"math/rand/v2"
	"reconcile/internal/derive"
	"testing"
)

func BenchmarkMistakes(b *testing.B) {
	var jobs []*derive.Solution
	for n := uint64(0); len(jobs) < 20; n++ {
		w := newWorld(rand.New(rand.NewPCG(5, n)))
		if in, ok := w.inject(digitWrong); ok {
			if s, err := derive.Solve(in.form, derive.Options{}); err == nil && s.Agreement.Conflict {
				jobs = append(jobs, s)
			}
		}
	}
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		Find(jobs[i%len(jobs)], nil)
		i++
	}
}

func BenchmarkSolve(b *testing.B) {
	w := newWorld(rand.New(rand.NewPCG(5, 3)))
	job := w.job()
	w.design(job)
	w.weigh(job)
	b.ReportAllocs()
	for b.Loop() {
		derive.Solve(job, derive.Options{})
	}
}
