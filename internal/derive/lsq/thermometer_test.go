package lsq_test

import (
	"math"
	"testing"

	"reconcile/internal/derive/lsq"
)

// JCGM 100:2008 H.3, published figures with further digits recomputed: with
// t0 = 20 °C, and with t0 the mean temperature, where the correlation is nil.
func TestThermometer(t *testing.T) {
	var mean float64
	for _, v := range thermometerT {
		mean += v / float64(len(thermometerT))
	}
	for _, c := range []struct {
		name              string
		t0, y1, s1, r     float64
		tolValue, tolCorr float64
	}{
		{"t0 = 20", 20, -0.17120379, 0.0028776, -0.930429603, 5e-9, 5e-10},
		{"t0 = mean", mean, -0.16245455, 0.00105456, 0, 5e-9, 1e-12},
	} {
		t.Run(c.name, func(t *testing.T) {
			free := solve(t, thermometer(c.t0, 1))
			s := math.Sqrt(free.ChiSquare / float64(free.DOF))
			sol := solve(t, thermometer(c.t0, s))
			y1, y2, at30 := []float64{1, 0}, []float64{0, 1}, []float64{1, 30 - c.t0}
			v1, u1, _ := sol.Estimate(y1)
			v2, u2, _ := sol.Estimate(y2)
			v30, u30, _ := sol.Estimate(at30)
			for _, v := range []struct {
				what           string
				got, want, tol float64
			}{
				{"mean temperature", mean, 24.0084545, 5e-8},
				{"s", s, 0.00349756396, 5e-12},
				{"y1", v1, c.y1, c.tolValue},
				{"s(y1)", u1, c.s1, 5e-8},
				{"y2", v2, 0.0021827, 5e-8},
				{"s(y2)", u2, 0.00066794, 5e-9},
				{"r(y1, y2)", sol.Covariance(y1, y2) / u1 / u2, c.r, c.tolCorr},
				{"b(30)", v30, -0.14937681, 5e-9},
				{"u(b(30))", u30, 0.00413859575, 5e-12},
				{"dof", float64(sol.DOF), 9, 0},
				{"χ² after s is put in", sol.ChiSquare, 9, 1e-9},
			} {
				if !(math.Abs(v.got-v.want) <= v.tol) {
					t.Errorf("%s = %.12g, want %.12g ± %g", v.what, v.got, v.want, v.tol)
				}
			}
		})
	}
}

func solve(t *testing.T, s lsq.System) *lsq.Solution {
	t.Helper()
	sol, err := lsq.Solve(s, nil)
	if err != nil {
		t.Fatal(err)
	}
	return sol
}
