package main

import (
	"math"
	"path/filepath"
	"testing"

	"reconcile/internal/derive/lsq"
)

// TestRecorded keeps the systems of a demo job and solves them again. Each
// solution is put back into its equations: what is observed is what follows
// from it and the residual, and the constraints hold.
func TestRecorded(t *testing.T) {
	file := filepath.Join(t.TempDir(), "systems.bin")
	if err := record("../..", "../../testdata/tickets/planetarium", file); err != nil {
		t.Fatal(err)
	}
	all, err := read(file)
	if err != nil || len(all) < 3 {
		t.Fatalf("%d systems (%v)", len(all), err)
	}
	for i, s := range all {
		fit, err := lsq.Solve(s, nil)
		if err != nil {
			t.Fatalf("system %d: %v", i, err)
		}
		if len(s.A) < 3 {
			t.Errorf("system %d has %d observations", i, len(s.A))
		}
		for j, row := range s.A {
			if y := dot(row, fit.X) + fit.Residuals[j]; math.Abs(y-s.Y[j]) > 1e-6 {
				t.Errorf("system %d, observation %d: %v (observed %v)", i, j, y, s.Y[j])
			}
		}
		for j, row := range s.C {
			if d := dot(row, fit.X); math.Abs(d-s.D[j]) > 1e-6 {
				t.Errorf("system %d, constraint %d: %v (want %v)", i, j, d, s.D[j])
			}
		}
	}
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
