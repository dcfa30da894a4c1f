package lsq

import (
	"math/rand/v2"
	"testing"
)

// shaped is a full system like those of a weighing: n unknowns in four groups,
// two balances between the groups, m observations each of a few unknowns.
func shaped(n, m int, seed uint64) System {
	rng := rand.New(rand.NewPCG(seed, 1))
	s := System{Columns: n, RankLimit: programLimit, C: [][]float64{make([]float64, n), make([]float64, n)}, D: []float64{0, 0}}
	for j := range n {
		switch j % 4 {
		case 0, 1:
			s.C[0][j] = 1
		case 2:
			s.C[0][j], s.C[1][j] = -1, 1
		default:
			s.C[1][j] = -1
		}
	}
	for i := range m {
		row := make([]float64, n)
		row[i%n] = 1
		if i >= n || i%3 == 0 {
			row[rng.IntN(n)] = 1
			row[rng.IntN(n)] = -0.4 + rng.Float64()
		}
		s.A, s.Y, s.U = append(s.A, row), append(s.Y, 500+1500*rng.Float64()), append(s.U, 5+20*rng.Float64())
	}
	return s
}

func benchmark(b *testing.B, s System) {
	var sol Solution
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Solve(s, &sol); err != nil {
			b.Fatal(err)
		}
		sol.Release()
	}
}

func BenchmarkSolve15x12(b *testing.B) { benchmark(b, shaped(12, 15, 1)) }
func BenchmarkSolve24x20(b *testing.B) { benchmark(b, shaped(20, 24, 1)) }
func BenchmarkSolve34x30(b *testing.B) { benchmark(b, shaped(30, 34, 1)) }

// Undetermined unknowns: the null space is formed too.
func BenchmarkSolve15x20(b *testing.B) { benchmark(b, shaped(20, 15, 1)) }

// Nearly undetermined: singular values decide.
func BenchmarkSolveBySingularValues(b *testing.B) {
	s := shaped(20, 24, 1)
	for i := range s.A {
		s.A[i][1] = s.A[i][5] * (1 + 1e-10*float64(i))
	}
	benchmark(b, s)
}
