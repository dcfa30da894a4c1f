package lsq_test

import (
	"fmt"
	"math"

	"reconcile/internal/derive/lsq"
)

// Thermometer readings t and corrections b of JCGM 100:2008, Table H.6.
var (
	thermometerT = []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	thermometerB = []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
)

// thermometer is b = y1 + y2·(t − t0), every correction with the same u.
func thermometer(t0, u float64) lsq.System {
	s := lsq.System{Columns: 2, Y: thermometerB, RankLimit: 1e-9}
	for _, t := range thermometerT {
		s.A = append(s.A, []float64{1, t - t0})
		s.U = append(s.U, u)
	}
	return s
}

// The calibration of a thermometer of JCGM 100:2008 (GUM), example H.3. The
// uncertainty of a correction is not known beforehand; it is estimated from
// the fit (equation H.13f) and put in.
func ExampleSolve() {
	free, err := lsq.Solve(thermometer(20, 1), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	s := math.Sqrt(free.ChiSquare / float64(free.DOF))
	sol, err := lsq.Solve(thermometer(20, s), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	y1, y2, at30 := []float64{1, 0}, []float64{0, 1}, []float64{1, 30 - 20}
	v1, u1, _ := sol.Estimate(y1)
	v2, u2, _ := sol.Estimate(y2)
	v30, u30, _ := sol.Estimate(at30)
	fmt.Printf("y1 = %.4f, s = %.4f\n", v1, u1)
	fmt.Printf("y2 = %.5f, s = %.5f\n", v2, u2)
	fmt.Printf("r = %.3f, s = %.4f\n", sol.Covariance(y1, y2)/u1/u2, s)
	fmt.Printf("b(30) = %.4f, u = %.4f, %d degrees of freedom\n", v30, u30, sol.DOF)
	// Output:
	// y1 = -0.1712, s = 0.0029
	// y2 = 0.00218, s = 0.00067
	// r = -0.930, s = 0.0035
	// b(30) = -0.1494, u = 0.0041, 9 degrees of freedom
}

// One balance of masses, each measured: a mistake shows, but all three
// observations look equally wrong. Data: Rao and Narasimhan 1996, 3 % each.
func ExampleSolution_ResidualCovariance() {
	u := []float64{0.2766, 0.1449, 0.0966}
	sol, err := lsq.Solve(lsq.System{
		Columns: 3,
		A:       [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
		Y:       []float64{9.22, 4.83, 3.22},
		U:       u,
		C:       [][]float64{{1, -1, -1}}, D: []float64{0},
		RankLimit: 1e-9,
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for i := range 3 {
		w := sol.Residuals[i] / u[i] / math.Sqrt(sol.ResidualCovariance(i, i))
		r := sol.ResidualCovariance(0, i) / math.Sqrt(sol.ResidualCovariance(0, 0)*sol.ResidualCovariance(i, i))
		fmt.Printf("w = %+.2f, correlation with the first %+.2f\n", w, r)
	}
	// Output:
	// w = +3.58, correlation with the first +1.00
	// w = -3.58, correlation with the first -1.00
	// w = -3.58, correlation with the first -1.00
}

// Two unknowns of which only the sum is observed: the sum can be said, the
// parts cannot.
func ExampleSolution_Estimate() {
	sol, err := lsq.Solve(lsq.System{
		Columns: 2, A: [][]float64{{1, 1}}, Y: []float64{2480}, U: []float64{10}, RankLimit: 1e-9,
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	_, _, part := sol.Estimate([]float64{1, 0})
	sum, u, both := sol.Estimate([]float64{1, 1})
	fmt.Printf("part determined: %t\n", part)
	fmt.Printf("sum determined: %t, %.0f with u = %.0f\n", both, sum, u)
	// Output:
	// part determined: false
	// sum determined: true, 2480 with u = 10
}
