package lsq

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"sync"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The expected numbers of this file are computed in the test by another path:
// textbook formulas, differences, or analysis given next to them.

// randomNetwork is a solvable reconciliation problem: n measured unknowns
// without bounds on their sizes, k independent constraints, u from 1 to 30,
// and a correlated covariance where asked.
func randomNetwork(seed uint64, correlated bool) System {
	rng := rand.New(rand.NewPCG(seed, 2))
	n := 3 + rng.IntN(8)
	s := System{Columns: n, RankLimit: programLimit}
	for j := range n {
		s.A, s.Y, s.U = append(s.A, unit(n, j)), append(s.Y, 100+2000*rng.Float64()), append(s.U, 1+29*rng.Float64())
	}
	for range 1 + rng.IntN(n-1) {
		s.C, s.D = append(s.C, randomRow(rng, n)), append(s.D, 50*rng.NormFloat64())
	}
	if correlated {
		s.Cov = rowsOf(randomCovariance(rng, s.U))
	}
	return s
}

func randomRow(rng *rand.Rand, n int) []float64 {
	row := make([]float64, n)
	for j := range row {
		row[j] = rng.NormFloat64()
	}
	return row
}

// randomCovariance has the given standard deviations: F·Fᵀ + 1, scaled.
func randomCovariance(rng *rand.Rand, u []float64) *mat.SymDense {
	n := len(u)
	f := mat.NewDense(n, n, randomRow(rng, n*n))
	var ff mat.Dense
	ff.Mul(f, f.T())
	cov := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			v := ff.At(i, j)
			if i == j {
				v++
			}
			cov.SetSym(i, j, v*u[i]*u[j]/math.Sqrt((ff.At(i, i)+1)*(ff.At(j, j)+1)))
		}
	}
	return cov
}

func rowsOf(m mat.Matrix) (rows [][]float64) {
	n, _ := m.Dims()
	for i := range n {
		rows = append(rows, mat.Row(nil, i, m))
	}
	return rows
}

func dense(rows [][]float64) *mat.Dense {
	m := mat.NewDense(len(rows), len(rows[0]), nil)
	for i, row := range rows {
		m.SetRow(i, row)
	}
	return m
}

func (s *System) covariance() *mat.SymDense {
	if s.Cov != nil {
		return mat.NewSymDense(len(s.Y), slices.Concat(s.Cov...))
	}
	m := mat.NewSymDense(len(s.U), nil)
	for i, u := range s.U {
		m.SetSym(i, i, u*u)
	}
	return m
}

// closeTo holds got against want, relative to size.
func closeTo(t *testing.T, what string, got, want, size float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*math.Max(math.Abs(size), 1e-300)) {
		t.Errorf("%s = %.15g, want %.15g", what, got, want)
	}
}

// Narasimhan and Jordache 2000, chapter 3 and equation 7-13: with all unknowns
// measured, V = C·Σ·Cᵀ, x = y − Σ·Cᵀ·V⁻¹·(C·y − d), W = Σ·Cᵀ·V⁻¹·C·Σ and
// cov(x) = Σ − W.
func TestAgainstTextbookFormula(t *testing.T) {
	for seed := range uint64(60) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			s := randomNetwork(seed, seed%2 == 1)
			compareTextbook(t, s, mustSolve(t, s))
		})
	}
}

func compareTextbook(t *testing.T, s System, sol *Solution) {
	n := s.Columns
	c, sigma, y := dense(s.C), s.covariance(), mat.NewVecDense(n, s.Y)
	var sc, v, vi, gain, w, sigmaInverse, share mat.Dense
	sc.Mul(sigma, c.T())
	v.Mul(c, &sc)
	if vi.Inverse(&v) != nil || sigmaInverse.Inverse(sigma) != nil {
		t.Fatal("the test's own inverse failed")
	}
	gain.Mul(&sc, &vi)
	w.Mul(&gain, sc.T())
	share.Mul(&w, &sigmaInverse)
	var gap, adjustment mat.VecDense
	gap.MulVec(c, y)
	gap.SubVec(&gap, mat.NewVecDense(len(s.D), s.D))
	adjustment.MulVec(&gain, &gap)
	var half mat.VecDense
	half.MulVec(&vi, &gap)
	closeTo(t, "chi-square", sol.ChiSquare, mat.Dot(&gap, &half), sol.ChiSquare+1)
	for i := range n {
		ui := math.Sqrt(sigma.At(i, i))
		closeTo(t, "x", sol.X[i], s.Y[i]-adjustment.AtVec(i), 1e4)
		closeTo(t, "residual", sol.Residuals[i], adjustment.AtVec(i), 1e4)
		closeTo(t, "redundancy", sol.redundancies()[i], share.At(i, i), 1)
		for j := range n {
			uj := math.Sqrt(sigma.At(j, j))
			closeTo(t, "covariance", sol.Covariance(unit(n, i), unit(n, j)), sigma.At(i, j)-w.At(i, j), ui*uj)
			closeTo(t, "residual covariance", sol.ResidualCovariance(i, j), w.At(i, j)/ui/uj, 1)
		}
	}
}

// With unmeasured unknowns: the inverse of [AᵀΣ⁻¹A Cᵀ; C 0] has cov(x) in its
// first block (Heyen 1996), and gives x.
func TestAgainstBorderedMatrix(t *testing.T) {
	for seed := range uint64(40) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			s := randomGeneral(seed)
			if seed%3 == 0 {
				s.Cov = rowsOf(randomCovariance(rand.New(rand.NewPCG(seed, 3)), s.U))
			}
			compareBordered(t, s, mustSolve(t, s))
		})
	}
}

// randomGeneral has dense random rows: more observations and constraints
// together than unknowns, so that everything is determined.
func randomGeneral(seed uint64) System {
	rng := rand.New(rand.NewPCG(seed, 4))
	n, k := 3+rng.IntN(8), rng.IntN(3)
	s := System{Columns: n, RankLimit: programLimit}
	for range n - k + rng.IntN(6) {
		s.A, s.Y, s.U = append(s.A, randomRow(rng, n)), append(s.Y, 1000*rng.NormFloat64()), append(s.U, 1+29*rng.Float64())
	}
	for range k {
		s.C, s.D = append(s.C, randomRow(rng, n)), append(s.D, 50*rng.NormFloat64())
	}
	return s
}

func compareBordered(t *testing.T, s System, sol *Solution) {
	n, k := s.Columns, len(s.C)
	var si, aw, normal mat.Dense
	if si.Inverse(s.covariance()) != nil {
		t.Fatal("the test's own inverse failed")
	}
	a := dense(s.A)
	aw.Mul(a.T(), &si)
	normal.Mul(&aw, a)
	bordered, right := mat.NewDense(n+k, n+k, nil), mat.NewVecDense(n+k, nil)
	bordered.Slice(0, n, 0, n).(*mat.Dense).Copy(&normal)
	right.SliceVec(0, n).(*mat.VecDense).MulVec(&aw, mat.NewVecDense(len(s.Y), s.Y))
	for i, row := range s.C {
		for j, v := range row {
			bordered.Set(n+i, j, v)
			bordered.Set(j, n+i, v)
		}
		right.SetVec(n+i, s.D[i])
	}
	var inverse mat.Dense
	if err := inverse.Inverse(bordered); err != nil {
		t.Fatalf("the test's own inverse failed: %v", err)
	}
	var x mat.VecDense
	x.MulVec(&inverse, right)
	for i := range n {
		size := math.Abs(inverse.At(i, i)) + 1
		// The bordered matrix squares the condition: it is the less exact of
		// the two, hence 1e-6.
		near(t, "x", i, sol.X[i], x.AtVec(i), 1e-6*(1+math.Abs(x.AtVec(i))))
		for j := range n {
			near(t, "covariance", i, sol.Covariance(unit(n, i), unit(n, j)), inverse.At(i, j), 1e-6*(size+math.Abs(inverse.At(j, j))))
		}
	}
}

// The solution fulfils the constraints, and Sensitivity is what a change of
// one observation does (the problem is linear: a step of 1 is exact).
func TestSensitivityAgainstDifferences(t *testing.T) {
	systems := []System{shaped(20, 24, 1), shaped(20, 15, 2), randomNetwork(1, true), randomNetwork(2, false), randomGeneral(5)}
	for k, s := range systems {
		sol := mustSolve(t, s)
		rng := rand.New(rand.NewPCG(uint64(k), 5))
		for range 3 {
			row := randomRow(rng, s.Columns)
			got := sol.Sensitivity(row, nil)
			for i := range s.Y {
				moved := s
				moved.Y = slices.Clone(s.Y)
				moved.Y[i]++
				near(t, fmt.Sprintf("system %d, sensitivity", k), i, got[i], mustSolve(t, moved).value(row)-sol.value(row), 1e-9)
			}
			near(t, "u from the sensitivities", k, propagate(s, got), sol.u(row), 1e-9*sol.u(row))
		}
		for i, c := range s.C {
			near(t, "constraint", i, sol.value(c), s.D[i], 1e-8)
			near(t, "its u", i, sol.u(c), 0, 1e-10)
		}
	}
}

// propagate is the law of propagation of uncertainty, JCGM 100:2008 (13).
func propagate(s System, c []float64) float64 {
	v := mat.NewVecDense(len(c), c)
	return math.Sqrt(mat.Inner(v, s.covariance(), v))
}

// A scale error common to all readings: an unknown gain g, observed 0 ± u_g,
// says the same as readings correlated by it. Analysis: for n readings Y ± u
// of one mass, u²(mass) = u²/n + (Y·u_g)², which repeats do not lower, and in
// the difference of two equal masses it cancels.
func TestCommonScaleError(t *testing.T) {
	const n, reading, u, ug = 4, 2000.0, 5.0, 0.001
	gain := System{Columns: 3, Y: []float64{0}, U: []float64{ug}, A: [][]float64{{0, 0, 1}}, RankLimit: programLimit}
	cov := mat.NewSymDense(2*n, nil)
	plain := System{Columns: 2, RankLimit: programLimit}
	for i := range 2 * n {
		y := reading + float64(i)
		gain.A = append(gain.A, []float64{float64(1 - i%2), float64(i % 2), reading})
		gain.Y, gain.U = append(gain.Y, y), append(gain.U, u)
		plain.A = append(plain.A, []float64{float64(1 - i%2), float64(i % 2)})
		plain.Y = append(plain.Y, y)
		for j := i; j < 2*n; j++ {
			cov.SetSym(i, j, reading*ug*reading*ug)
		}
		cov.SetSym(i, i, u*u+reading*ug*reading*ug)
	}
	plain.Cov = rowsOf(cov)
	a, b := mustSolve(t, gain), mustSolve(t, plain)
	mass, difference := []float64{1, 0, 0}, []float64{1, -1, 0}
	near(t, "u(mass)", 0, a.u(mass), math.Sqrt(u*u/n+reading*ug*reading*ug), 1e-10)
	near(t, "u(difference)", 0, a.u(difference), math.Sqrt(2*u*u/n), 1e-10)
	near(t, "chi-square", 0, a.ChiSquare, b.ChiSquare, 1e-10)
	for _, row := range [][]float64{mass, difference, {0, 1, 0}} {
		near(t, "value", 0, b.value(row[:2]), a.value(row), 1e-8)
		near(t, "u", 0, b.u(row[:2]), a.u(row), 1e-10)
	}
	if a.DOF != b.DOF {
		t.Errorf("dof %d with a gain, %d with correlations", a.DOF, b.DOF)
	}
}

// What is determined, against the null space of all equations stacked,
// columns scaled to length 1, by singular values: for random sparse systems,
// every unknown and sums and differences of two.
func TestDeterminedAgainstStackedSystem(t *testing.T) {
	var yes, no int
	for seed := range uint64(200) {
		s := sparse(seed)
		sol, null := mustSolve(t, s), stackedNull(s)
		if null.cols != sol.Nullity {
			t.Errorf("seed %d: nullity %d, want %d", seed, sol.Nullity, null.cols)
		}
		for i := range s.Columns {
			for j := range s.Columns {
				row := unit(s.Columns, i)
				row[j] -= 0.5 // i = j: half an unknown
				want := null.length(row) <= 1e-6*norm(row)
				if got := sol.determined(row); got != want {
					t.Errorf("seed %d, row %v: determined %v, want %v", seed, row, got, want)
				}
				if want {
					yes++
				} else {
					no++
				}
			}
		}
	}
	if yes < 2000 || no < 2000 {
		t.Errorf("%d determined, %d not: the cases are lopsided", yes, no)
	}
}

// sparse has rows of a few small integer coefficients, one column in other
// units, and constraints of which some repeat others.
func sparse(seed uint64) System {
	rng := rand.New(rand.NewPCG(seed, 6))
	n := 4 + rng.IntN(9)
	row := func() []float64 {
		r := make([]float64, n)
		for range 1 + rng.IntN(3) {
			r[rng.IntN(n)] = float64(1 - 2*rng.IntN(2))
		}
		return r
	}
	s := System{Columns: n, RankLimit: programLimit}
	for range rng.IntN(n + 2) {
		r := row()
		r[n-1] *= 2000
		s.A, s.Y, s.U = append(s.A, r), append(s.Y, 1000*rng.Float64()), append(s.U, 1+30*rng.Float64())
	}
	for range rng.IntN(4) {
		s.C, s.D = append(s.C, row()), append(s.D, 0)
	}
	if len(s.C) > 1 {
		sum := make([]float64, n)
		for j := range sum {
			sum[j] = s.C[0][j] - 2*s.C[1][j]
		}
		s.C, s.D = append(s.C, sum), append(s.D, 0)
	}
	return s
}

// basis is an orthonormal null space.
type basis struct {
	n    *mat.Dense
	cols int
}

func (b basis) length(row []float64) float64 {
	if b.cols == 0 {
		return 0
	}
	var v mat.VecDense
	v.MulVec(b.n.T(), mat.NewVecDense(len(row), row))
	return mat.Norm(&v, 2)
}

// stackedNull is the null space of [A/u; C] with columns of length 1, taken
// back to the unknowns' units and made orthonormal.
func stackedNull(s System) basis {
	n := s.Columns
	m := mat.NewDense(len(s.A)+len(s.C)+1, n, nil) // a row of zeros: never empty
	for i, row := range s.A {
		for j, v := range row {
			m.Set(i, j, v/s.U[i])
		}
	}
	for i, row := range s.C {
		m.SetRow(len(s.A)+i, row)
	}
	scale := make([]float64, n)
	for j := range n {
		if scale[j] = mat.Norm(m.ColView(j), 2); scale[j] == 0 {
			scale[j] = 1
		}
		for i := range m.RawMatrix().Rows {
			m.Set(i, j, m.At(i, j)/scale[j])
		}
	}
	var svd mat.SVD
	svd.Factorize(m, mat.SVDFull)
	values, rank := svd.Values(nil), 0
	for rank < len(values) && values[rank] > programLimit*values[0] {
		rank++
	}
	if rank == n {
		return basis{}
	}
	var v, q mat.Dense
	svd.VTo(&v)
	null := mat.DenseCopyOf(v.Slice(0, n, rank, n))
	for j := range n {
		for k := range n - rank {
			null.Set(j, k, null.At(j, k)/scale[j])
		}
	}
	var qr mat.QR
	qr.Factorize(null)
	qr.QTo(&q)
	return basis{mat.DenseCopyOf(q.Slice(0, n, 0, n-rank)), n - rank}
}

// Two rows that differ by less and less: the parts become less and less sure,
// by analysis u = √(1 + (1+ε)²)/ε, and are then not determined any more; at
// every step the sum is as sure as ever, and the truth within 5 u.
func TestNearlySingular(t *testing.T) {
	const x0, x1 = 1180.0, 1290.0
	for e := 0; e <= 16; e++ {
		eps := math.Pow(10, -float64(e))
		s := System{
			Columns: 2, A: [][]float64{{1, 1}, {1, 1 + eps}},
			Y: []float64{x0 + x1, x0 + (1+eps)*x1}, U: ones(2), RankLimit: programLimit,
		}
		sol := mustSolve(t, s)
		part, sum := []float64{1, 0}, []float64{1, 1}
		// Columns of length 1: the singular values are √(1±c), c the cosine
		// between them, so their ratio is about ε/4.
		if determined, want := sol.determined(part), eps/4 > programLimit; determined != want {
			t.Errorf("ε = %g: part determined %v, want %v", eps, determined, want)
		}
		if !sol.determined(sum) {
			t.Errorf("ε = %g: sum is not determined", eps)
		}
		near(t, "sum", e, sol.value(sum), x0+x1, 1e-3)
		if u := sol.u(sum); !(u > 0.7 && u <= 1.0001) {
			t.Errorf("ε = %g: u(sum) = %v, want 0.7 (both rows the same) to 1 (all different)", eps, u)
		}
		if sol.determined(part) {
			want := math.Hypot(1, 1+eps) / eps
			near(t, "u(part)", e, sol.u(part), want, 1e-6*want)
			near(t, "part", e, sol.value(part), x0, 5*want)
		}
	}
}

// In the gap where QR cannot be certain, singular values are held to the limit
// itself. Two columns at a small angle as above, next to others that make the
// bounds of QR wider; the ratio of the singular values is ε/4.
func TestRankNearTheLimit(t *testing.T) {
	for _, c := range []struct {
		others int
		eps    float64
		rank   int
	}{
		{8, 3.0e-9, 1}, {8, 3.9e-9, 1}, {8, 4.1e-9, 2}, {8, 5e-9, 2}, {8, 8e-9, 2},
		{0, 3.0e-9, 1}, {0, 3.9e-9, 1}, {0, 4.1e-9, 2},
	} {
		s := System{Columns: 2 + c.others, RankLimit: programLimit}
		for i := range 2 + c.others {
			s.A, s.Y, s.U = append(s.A, unit(s.Columns, i)), append(s.Y, 100), append(s.U, 1)
		}
		s.A[0][1], s.A[1][0], s.A[1][1] = 1, 1, 1+c.eps
		sol := mustSolve(t, s)
		if sol.Rank != c.others+c.rank {
			t.Errorf("ε = %g: rank %d, want %d", c.eps, sol.Rank, c.others+c.rank)
		}
		if got := sol.determined(unit(s.Columns, 0)); got != (c.rank == 2) {
			t.Errorf("ε = %g: determined %v", c.eps, got)
		}
	}
}

// A redundancy of minRedundancy is where checking begins. By analysis: two
// readings of one thing, u² = r and 1 − r, have the redundancies r and 1 − r.
func TestCheckedFromOnePercent(t *testing.T) {
	for _, c := range []struct {
		r  float64
		ok bool
	}{{0.0099, false}, {0.0101, true}} {
		sol := mustSolve(t, System{
			Columns: 1, A: [][]float64{{1}, {1}}, Y: []float64{5, 6}, U: roots(c.r, 1-c.r), RankLimit: programLimit,
		})
		near(t, "redundancy", 0, sol.redundancies()[0], c.r, 1e-12)
		if _, ok := sol.standardised(0); ok != c.ok {
			t.Errorf("redundancy %v: tested %v, want %v", c.r, ok, c.ok)
		}
		if _, ok := sol.smallestDetectable(0); ok != c.ok {
			t.Errorf("redundancy %v: detectable %v, want %v", c.r, ok, c.ok)
		}
	}
}

// An error of the smallest detectable size moves the test by δ₀ = 4.1321
// (Baarda 1968), with correlations too.
func TestSmallestDetectableIsDetected(t *testing.T) {
	tested := 0
	for seed := range uint64(20) {
		s := randomNetwork(seed, seed%2 == 1)
		sol := mustSolve(t, s)
		for i := range s.Y {
			size, ok := sol.smallestDetectable(i)
			if !ok {
				continue
			}
			moved := s
			moved.Y = slices.Clone(s.Y)
			moved.Y[i] += size
			before, _ := sol.standardised(i)
			after, _ := mustSolve(t, moved).standardised(i)
			near(t, "shift of the test", i, after-before, 4.1321, 1e-8)
			tested++
		}
	}
	if tested < 60 {
		t.Errorf("%d observations tested, want 60 or more", tested)
	}
}

// Where both would do, QR and singular values say the same.
func TestSingularValuesAgreeWithQR(t *testing.T) {
	for seed := range uint64(40) {
		s := sparse(seed)
		if len(s.A) == 0 {
			continue
		}
		room := &arena{}
		m, y := weights{u: ones(len(s.Y))}.whiten(room, &s)
		qr, ok1 := factorise(room, room.clone(m), y, 0, programLimit)
		svd, ok2 := qr, qr.rank == 0
		if qr.rank > 0 {
			svd, ok2 = bySingularValues(room, room, factorQR(room, m, true), y, 0, programLimit)
		}
		if !ok1 || !ok2 || qr.rank != svd.rank {
			t.Fatalf("seed %d: ranks %d, %d, done %v, %v", seed, qr.rank, svd.rank, ok1, ok2)
		}
		closeTo(t, "chi-square", svd.chi, qr.chi, 1+square(y))
		e := &constraints{scale: ones(s.Columns)}
		w := weights{u: ones(len(y))}
		var p, q Solution
		p.fill(room, w, e, &qr)
		q.fill(room, w, e, &svd)
		for i := range s.Columns {
			closeTo(t, "x", q.X[i], p.X[i], 1e4)
			for j := range s.Columns {
				closeTo(t, "covariance", q.Covariance(unit(s.Columns, i), unit(s.Columns, j)),
					p.Covariance(unit(s.Columns, i), unit(s.Columns, j)), 10)
			}
		}
		for i := range y {
			closeTo(t, "residual", q.Residuals[i], p.Residuals[i], 1e4)
			closeTo(t, "redundancy", q.redundancies()[i], p.redundancies()[i], 1)
		}
	}
}

// TestReleased: memory that another solution had before changes no bit of the next,
// and a solution that gave it away answers nothing.
func TestReleased(t *testing.T) {
	for seed := range uint64(60) {
		first := sparse(seed)
		row := make([]float64, first.Columns)
		for j := range row {
			row[j] = 1 + float64(j)
		}
		facts := func(s *Solution) map[string][]float64 {
			value, u, _ := s.Estimate(row)
			return map[string][]float64{
				"x": s.X, "residuals": s.Residuals, "redundancy": s.redundancies(),
				"null part": s.NullPart(row), "sensitivity": s.Sensitivity(row, nil),
				"numbers": {s.ChiSquare, s.Condition, value, u},
			}
		}
		want := facts(mustSolve(t, first))
		mustSolve(t, sparse(seed+1000)).Release()
		again := mustSolve(t, first)
		for name, got := range facts(again) {
			if !slices.Equal(got, want[name]) {
				t.Errorf("seed %d: %s in memory used before = %v, want %v", seed, name, got, want[name])
			}
		}
		again.Release()
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("seed %d: a released solution still answers", seed)
				}
			}()
			again.Estimate(row)
		}()
	}
}

// As many observations as unknowns: everything fits, nothing is checked.
func TestNoDegreesOfFreedom(t *testing.T) {
	sol := mustSolve(t, System{
		Columns: 2, A: [][]float64{{1, 0}, {1, 1}}, Y: []float64{1180, 2480}, U: []float64{10, 10}, RankLimit: programLimit,
	})
	if sol.DOF != 0 || sol.Rank != 2 || sol.Nullity != 0 {
		t.Errorf("dof %d, rank %d, nullity %d, want 0, 2, 0", sol.DOF, sol.Rank, sol.Nullity)
	}
	near(t, "chi-square", 0, sol.ChiSquare, 0, 1e-20)
	if _, ok := sol.pValue(); ok {
		t.Error("a p-value without degrees of freedom")
	}
	for i := range 2 {
		_, w := sol.standardised(i)
		_, d := sol.smallestDetectable(i)
		if sol.redundancies()[i] != 0 || w || d || sol.residualCorrelation(0, i) != 0 {
			t.Errorf("observation %d: redundancy %v, test %v, detectable %v", i, sol.redundancies()[i], w, d)
		}
	}
	near(t, "difference", 0, sol.value([]float64{0, 1}), 1300, 1e-9)
	near(t, "its u", 0, sol.u([]float64{0, 1}), 10*math.Sqrt2, 1e-12)
}

// Two readings of one thing that nothing else checks: either may be wrong.
// With a third they can be distinguished.
func TestDuplicateRows(t *testing.T) {
	s := System{Columns: 1, A: [][]float64{{1}, {1}}, Y: []float64{100, 110}, U: []float64{3, 4}, RankLimit: programLimit}
	two := mustSolve(t, s)
	near(t, "correlation of two", 0, two.residualCorrelation(0, 1), -1, 1e-12)
	// By analysis: u² = 1/(1/9 + 1/16), r₀ = 1 − u²/9, w = 10/5.
	near(t, "u", 0, two.u([]float64{1}), 2.4, 1e-12)
	near(t, "redundancy", 0, two.redundancies()[0], 0.36, 1e-12)
	for i, want := range []float64{-2, 2} {
		w, _ := two.standardised(i)
		near(t, "test", i, w, want, 1e-12)
	}
	s.A, s.Y, s.U = append(s.A, []float64{1}), append(s.Y, 101), append(s.U, 3)
	if r := mustSolve(t, s).residualCorrelation(0, 1); math.Abs(r) > 0.9 {
		t.Errorf("correlation among three = %v, want well below 1", r)
	}
}

// A unit is a word: pounds for kilograms in the unknowns, in the observations
// or in the constraints changes no rank, no χ², no redundancy.
func TestUnitsHaveNoSay(t *testing.T) {
	for seed := range uint64(50) {
		s := sparse(seed)
		base := mustSolve(t, s)
		for _, f := range []float64{1e-3, 0.45359237, 1e5} {
			for name, other := range map[string]System{"unknown": scaleColumn(s, f), "observations": scaleObservations(s, f), "constraints": scaleConstraints(s, f)} {
				sol := mustSolve(t, other)
				if sol.Rank != base.Rank || sol.Nullity != base.Nullity {
					t.Errorf("seed %d, %s × %g: rank %d, %d, want %d, %d", seed, name, f, sol.Rank, sol.Nullity, base.Rank, base.Nullity)
				}
				closeTo(t, name+": chi-square", sol.ChiSquare, base.ChiSquare, base.ChiSquare+1)
				for i, r := range base.redundancies() {
					closeTo(t, name+": redundancy", sol.redundancies()[i], r, 1)
				}
			}
		}
	}
}

// How sure the observations are, all alike, has no say in what they determine,
// be it micrograms or tonnes next to constraints whose coefficients are 1.
func TestLevelOfUncertaintyHasNoSay(t *testing.T) {
	for seed := range uint64(50) {
		s := sparse(seed)
		base := mustSolve(t, s)
		for _, f := range []float64{1e-12, 1e-6, 1e6, 1e12} {
			other := s
			other.U = scaleRows([][]float64{s.U}, f)[0]
			sol := mustSolve(t, other)
			if sol.Rank != base.Rank || sol.Nullity != base.Nullity {
				t.Errorf("seed %d, u × %g: rank %d, %d, want %d, %d", seed, f, sol.Rank, sol.Nullity, base.Rank, base.Nullity)
			}
			for j := range s.Columns {
				row := unit(s.Columns, j)
				closeTo(t, "u", sol.u(row)/f, base.u(row), base.u(row)+0.1)
			}
		}
	}
}

func scaleRows(rows [][]float64, f float64) (out [][]float64) {
	for _, row := range rows {
		row = slices.Clone(row)
		for j := range row {
			row[j] *= f
		}
		out = append(out, row)
	}
	return out
}

func scaleColumn(s System, f float64) System {
	s.A, s.C = scaleRows(s.A, 1), scaleRows(s.C, 1)
	for _, row := range slices.Concat(s.A, s.C) {
		row[0] *= f
	}
	return s
}

func scaleObservations(s System, f float64) System {
	s.A, s.Y, s.U = scaleRows(s.A, f), scaleRows([][]float64{s.Y}, f)[0], scaleRows([][]float64{s.U}, f)[0]
	return s
}

func scaleConstraints(s System, f float64) System {
	s.C, s.D = scaleRows(s.C, f), slices.Clone(s.D)
	for k := range s.D {
		s.D[k] *= f
	}
	return s
}

// One more observation never makes anything less sure.
func TestMoreIsNotLess(t *testing.T) {
	for seed := range uint64(50) {
		s := sparse(seed)
		more := s
		rng := rand.New(rand.NewPCG(seed, 7))
		more.A = append(slices.Clone(s.A), randomRow(rng, s.Columns))
		more.Y, more.U = append(slices.Clone(s.Y), 1000), append(slices.Clone(s.U), 20)
		before, after := mustSolve(t, s), mustSolve(t, more)
		for j := range s.Columns {
			row := unit(s.Columns, j)
			if !before.determined(row) {
				continue
			}
			if !after.determined(row) || after.u(row) > before.u(row)+1e-9 {
				t.Errorf("seed %d, unknown %d: u %v, then %v, determined %v", seed, j, before.u(row), after.u(row), after.determined(row))
			}
		}
	}
}

// Nothing observed, or nothing at all said.
func TestWithoutObservations(t *testing.T) {
	sol := mustSolve(t, System{Columns: 3, C: [][]float64{{1, -1, 0}, {2, -2, 0}, {0, 0, 0}}, D: []float64{5, 10, 0}, RankLimit: programLimit})
	if !slices.Equal(sol.Dropped, []int{1, 2}) && !slices.Equal(sol.Dropped, []int{0, 2}) {
		t.Errorf("dropped %v, want one of the first two, and the last", sol.Dropped)
	}
	if sol.Nullity != 2 || sol.DOF != 0 || sol.determined([]float64{1, 0, 0}) || !sol.determined([]float64{1, -1, 0}) {
		t.Errorf("nullity %d, dof %d", sol.Nullity, sol.DOF)
	}
	near(t, "difference", 0, sol.value([]float64{3, -3, 0}), 15, 1e-12)
	empty := mustSolve(t, System{Columns: 2, Cov: [][]float64{}, RankLimit: programLimit})
	if !reflect.DeepEqual(empty.X, mustSolve(t, System{Columns: 2, RankLimit: programLimit}).X) {
		t.Error("empty system: an empty covariance makes a difference")
	}
	if empty.Nullity != 2 || empty.determined([]float64{1, 1}) || !empty.determined([]float64{0, 0}) {
		t.Errorf("empty system: nullity %d", empty.Nullity)
	}
	if len(empty.Sensitivity([]float64{1, 0}, nil)) != 0 || empty.u([]float64{1, 0}) != 0 {
		t.Error("empty system: a sensitivity or an uncertainty")
	}
}

// A coefficient that is only rounding is no observation: here the second and
// third unknown are bound to each other and otherwise seen through 1e-17.
func TestRoundingIsNoInformation(t *testing.T) {
	sol := mustSolve(t, System{
		Columns: 4, A: [][]float64{{1, 1e-17, 1e-17, 0}, {1, -1e-17, 1e-18, 0}}, Y: []float64{100, 100}, U: []float64{1, 1},
		C: [][]float64{{0, 1, -1, 0}, {1, 0, 0, -1}}, D: []float64{0, 0}, RankLimit: programLimit,
	})
	for _, c := range []struct {
		row  []float64
		want bool
	}{{unit(4, 0), true}, {unit(4, 1), false}, {unit(4, 2), false}, {unit(4, 3), true}, {[]float64{0, 1, -1, 0}, true}} {
		if got := sol.determined(c.row); got != c.want {
			t.Errorf("row %v: determined %v, want %v", c.row, got, c.want)
		}
	}
}

// An observation of which the constraints leave next to nothing: x₁ = −δ·x₃/2,
// x₃ = x₄, and only x₁ is observed. Against the other equations its length
// is about δ/4.
func TestFaintObservation(t *testing.T) {
	for _, c := range []struct {
		delta float64
		want  bool
	}{{1e-7, true}, {1e-10, false}, {1e-15, false}} {
		s := System{
			Columns: 4, A: [][]float64{{1, 0, 0, 0}}, Y: []float64{100}, U: []float64{1}, D: []float64{0, 0, 0},
			C: [][]float64{{1, 1, 0, 0}, {1, -1, c.delta, 0}, {0, 0, 1, -1}}, RankLimit: programLimit,
		}
		sol := mustSolve(t, s)
		if sol.determined(unit(4, 2)) != c.want || (stackedNull(s).cols == 0) != c.want {
			t.Errorf("δ = %g: determined %v, nullity of the stacked system %d, want %v",
				c.delta, sol.determined(unit(4, 2)), stackedNull(s).cols, c.want)
		}
		if c.want {
			near(t, "u", 2, sol.u(unit(4, 2)), 2/c.delta, 1e-6*2/c.delta)
		}
	}
}

func TestRefusals(t *testing.T) {
	good := func() System {
		return System{
			Columns: 2, A: [][]float64{{1, 0}, {0, 1}, {1, 1}}, Y: []float64{1, 2, 3}, U: []float64{1, 1, 1},
			C: [][]float64{{1, -1}}, D: []float64{0}, RankLimit: programLimit,
		}
	}
	mustSolve(t, good())
	cov := func(v ...float64) [][]float64 { return [][]float64{v[:3], v[3:6], v[6:]} }
	for _, c := range []struct {
		name string
		bend func(s *System)
		want error
	}{
		{"no unknowns", func(s *System) { s.Columns = 0 }, errShape},
		{"short row", func(s *System) { s.A[1] = []float64{1} }, errShape},
		{"values missing", func(s *System) { s.Y = s.Y[:2] }, errShape},
		{"uncertainty missing", func(s *System) { s.U = s.U[:2] }, errShape},
		{"long constraint", func(s *System) { s.C[0] = []float64{1, 1, 1} }, errShape},
		{"right-hand side missing", func(s *System) { s.D = nil }, errShape},
		{"small covariance", func(s *System) { s.Cov = [][]float64{{1, 0}, {0, 1}} }, errShape},
		{"short covariance row", func(s *System) { s.Cov = [][]float64{{1, 0, 0}, {0, 1}, {0, 0, 1}} }, errShape},
		{"lopsided covariance", func(s *System) { s.Cov = cov(1, 0.5, 0, 0.4, 1, 0, 0, 0, 1) }, errCovariance},
		{"NaN coefficient", func(s *System) { s.A[0][1] = nan }, errNotFinite},
		{"infinite value", func(s *System) { s.Y[2] = math.Inf(1) }, errNotFinite},
		{"NaN uncertainty", func(s *System) { s.U[0] = nan }, errNotFinite},
		{"infinite constraint", func(s *System) { s.C[0][0] = math.Inf(-1) }, errNotFinite},
		{"NaN right-hand side", func(s *System) { s.D[0] = nan }, errNotFinite},
		{"NaN covariance", func(s *System) { s.Cov = cov(1, nan, 0, nan, 1, 0, 0, 0, 1) }, errNotFinite},
		{"huge coefficient", func(s *System) { s.A[0][0] = 1e71 }, errRange},
		{"tiny coefficient", func(s *System) { s.A[0][0] = -1e-71 }, errRange},
		{"huge value", func(s *System) { s.Y[0] = 1e300 }, errRange},
		{"tiny uncertainty", func(s *System) { s.U[0] = 1e-300 }, errRange},
		{"tiny variance", func(s *System) { s.Cov = cov(1e-300, 0, 0, 0, 1, 0, 0, 0, 1) }, errRange},
		{"zero uncertainty", func(s *System) { s.U[1] = 0 }, errUncertainty},
		{"negative uncertainty", func(s *System) { s.U[1] = -1 }, errUncertainty},
		{"zero variance", func(s *System) { s.Cov = cov(1, 0, 0, 0, 0, 0, 0, 0, 1) }, errCovariance},
		{"correlation above 1", func(s *System) { s.Cov = cov(1, 2, 0, 2, 1, 0, 0, 0, 1) }, errCovariance},
		{"correlation 1", func(s *System) { s.Cov = cov(1, 1, 0, 1, 1, 0, 0, 0, 1) }, errCovariance},
		{"correlation all but 1", func(s *System) { s.Cov = cov(1, 1-1e-15, 0, 1-1e-15, 1, 0, 0, 0, 1) }, errCovariance},
		{"no rank limit", func(s *System) { s.RankLimit = 0 }, errRankLimit},
		{"rank limit 1", func(s *System) { s.RankLimit = 1 }, errRankLimit},
		{"NaN rank limit", func(s *System) { s.RankLimit = nan }, errRankLimit},
	} {
		s := good()
		c.bend(&s)
		if sol, err := Solve(s, nil); !errors.Is(err, c.want) || sol != nil {
			t.Errorf("%s: error %v, want %v", c.name, err, c.want)
		}
	}
}

// Numbers at the ends of what is accepted give finite results; by analysis
// x = y/a and u(x) = u/a.
func TestExtremes(t *testing.T) {
	for _, c := range []struct{ a, y, u float64 }{
		{1e70, 1e70, 1e-70}, {1e-70, 1e70, 1e70}, {1e-70, 1e70, 1e-70}, {1e70, 1e-70, 1e70}, {1e70, -1e70, 1e70}, {1e-70, 0, 1e-70},
	} {
		sol := mustSolve(t, System{Columns: 1, A: [][]float64{{c.a}, {c.a}}, Y: []float64{c.y, c.y}, U: []float64{c.u, c.u}, RankLimit: programLimit})
		closeTo(t, "x", sol.value([]float64{1}), c.y/c.a, c.y/c.a)
		closeTo(t, "u", sol.u([]float64{1}), c.u/c.a/math.Sqrt2, c.u/c.a)
		if p, ok := sol.pValue(); !ok || !finite(p, sol.ChiSquare) {
			t.Errorf("%v: p = %v, %v, chi-square %v", c, p, ok, sol.ChiSquare)
		}
	}
	for _, c := range []struct{ chi, p float64 }{{0, 1}, {1e-300, 1}, {1e9, 0}, {1e300, 0}} {
		if p, _ := (&Solution{DOF: 3, ChiSquare: c.chi}).pValue(); p != c.p {
			t.Errorf("p of %g = %v, want %v", c.chi, p, c.p)
		}
	}
}

func TestInconsistentConstraints(t *testing.T) {
	for _, c := range []struct {
		name string
		c    [][]float64
		d    []float64
		want string // a row that contradicts, which the pivoting chooses, and by how much: by analysis, in units of D
	}{
		{"nothing is 5", [][]float64{{0, 0}}, []float64{5}, "number 0 by 5"},
		{"same sum, other value", [][]float64{{2, 2}, {2, 2}}, []float64{100, 101}, "number 1 by 1"},
		{"too many", [][]float64{{1, 0}, {0, 1}, {1, 1}}, []float64{10, 20, 31}, "number 1 by -1"},
	} {
		_, err := Solve(System{Columns: 2, C: c.c, D: c.d, RankLimit: programLimit}, nil)
		if want := "constraints contradict each other: " + c.want; !errors.Is(err, errInconsistent) || err.Error() != want {
			t.Errorf("%s: error %v (want %s)", c.name, err, want)
		}
	}
}

// A functional of the wrong length is a mistake of the program.
func TestWrongLengthPanics(t *testing.T) {
	sol := mustSolve(t, shaped(12, 15, 1))
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	sol.value([]float64{1})
}

// Same system, same bits; calls side by side do not disturb each other, the
// input stays as it was, and an earlier solution stays valid.
func TestSameBits(t *testing.T) {
	s, nearly := shaped(20, 24, 1), shaped(20, 24, 1)
	for i := range nearly.A {
		nearly.A[i][1] = nearly.A[i][5] * (1 + 1e-10*float64(i))
	}
	first := mustSolve(t, s)
	said, saidNearly := bits(first, nil), bits(Solve(nearly, nil))
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 20 {
				if bits(Solve(s, nil)) != said || bits(Solve(nearly, nil)) != saidNearly {
					t.Error("another solution for the same system")
					return
				}
			}
		})
	}
	all.Wait()
	if !reflect.DeepEqual(s, shaped(20, 24, 1)) {
		t.Error("the system was changed")
	}
	if bits(first, nil) != said {
		t.Error("the first solution was changed")
	}
}
