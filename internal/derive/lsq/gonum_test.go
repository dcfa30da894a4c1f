package lsq

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// reference is a system solved by gonum alone, another way: singular values of
// the constraints give their null space N and a point on them, singular values
// of the whitened observations within N the rest.
type reference struct {
	x, residual, redundancy []float64
	cov                     *mat.Dense
	rank, nullity           int
	chi                     float64
}

func thinRank(values []float64, least float64) (rank int) {
	for rank < len(values) && values[rank] > least {
		rank++
	}
	return rank
}

// byGonum solves s. Columns are scaled to length 1 in the whitened
// observations and constraints together.
func byGonum(t *testing.T, s System) reference {
	t.Helper()
	n, m := s.Columns, len(s.A)
	whitener := mat.NewDense(m, m, nil)
	var chol mat.Cholesky
	var upper, lower mat.TriDense
	if !chol.Factorize(s.covariance()) {
		t.Fatal("the reference cannot factorise the covariance")
	}
	chol.UTo(&upper)
	if err := lower.InverseTri(&upper); err != nil {
		t.Fatal(err)
	}
	whitener.CloneFrom(lower.T())
	var aw mat.Dense
	aw.Mul(whitener, dense(s.A))
	var yw mat.VecDense
	yw.MulVec(whitener, mat.NewVecDense(m, s.Y))

	scale := make([]float64, n)
	for j := range n {
		sum := 0.0
		for i := range m {
			sum += aw.At(i, j) * aw.At(i, j)
		}
		for _, c := range s.C {
			sum += c[j] * c[j]
		}
		if scale[j] = math.Sqrt(sum); sum == 0 {
			scale[j] = 1
		}
	}
	unscale := mat.NewDiagDense(n, nil)
	for j, v := range scale {
		unscale.SetDiag(j, 1/v)
	}
	aw.Mul(&aw, unscale)
	null, point := gonumConstraints(t, s, unscale)
	_, free := null.Dims()
	var b mat.Dense
	b.Mul(&aw, null)
	var rest mat.VecDense
	rest.MulVec(&aw, point)
	rest.SubVec(&yw, &rest)
	var svd mat.SVD
	if !svd.Factorize(&b, mat.SVDThin) {
		t.Fatal("the reference's singular values do not converge")
	}
	values := svd.Values(nil)
	r := reference{rank: thinRank(values, programLimit*math.Max(1, values[0]))}
	r.nullity = free - r.rank
	var u, v, k mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	q := mat.DenseCopyOf(u.Slice(0, m, 0, max(r.rank, 1)))
	half := mat.DenseCopyOf(v.Slice(0, free, 0, max(r.rank, 1)))
	for i := range max(r.rank, 1) {
		for j := range free {
			half.Set(j, i, half.At(j, i)/values[i])
		}
	}
	k.Mul(null, half)
	k.Mul(unscale, &k)
	var qty, x, fit mat.VecDense
	qty.MulVec(q.T(), &rest)
	x.MulVec(&k, &qty)
	var at mat.VecDense
	at.MulVec(unscale, point)
	x.AddVec(&x, &at)
	r.cov = mat.NewDense(n, n, nil)
	r.cov.Mul(&k, k.T())
	fit.MulVec(q, &qty)
	rest.SubVec(&rest, &fit)
	r.chi = mat.Dot(&rest, &rest)
	// residual = Uᵀ·rest; redundancy = diag(Uᵀ·(1 − QQᵀ)·U⁻ᵀ).
	var residual mat.VecDense
	residual.MulVec(upper.T(), &rest)
	var share, projector mat.Dense
	projector.Mul(q, q.T())
	share.Mul(upper.T(), &projector)
	share.Mul(&share, whitener)
	for i := range m {
		r.residual = append(r.residual, residual.AtVec(i))
		r.redundancy = append(r.redundancy, 1-share.At(i, i))
	}
	for j := range n {
		r.x = append(r.x, x.AtVec(j))
	}
	return r
}

// gonumConstraints is the null space of the scaled constraints, and the
// shortest point on them.
func gonumConstraints(t *testing.T, s System, unscale *mat.DiagDense) (null *mat.Dense, point *mat.VecDense) {
	t.Helper()
	n := s.Columns
	c, d := mat.NewDense(len(s.C)+1, n, nil), mat.NewVecDense(len(s.C)+1, nil) // a row of zeros: never empty
	for i, row := range s.C {
		c.SetRow(i, row)
		d.SetVec(i, s.D[i])
	}
	c.Mul(c, unscale)
	var svd mat.SVD
	if !svd.Factorize(c, mat.SVDFull) {
		t.Fatal("the reference's singular values do not converge")
	}
	values := svd.Values(nil)
	rank := thinRank(values, 1e-11*values[0])
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	point = mat.NewVecDense(n, nil)
	for k := range rank {
		along := mat.Dot(u.ColView(k), d) / values[k]
		point.AddScaledVec(point, along, v.ColView(k))
	}
	return mat.DenseCopyOf(v.Slice(0, n, rank, n)), point
}

// TestAgainstGonum: 1,000 random systems of four kinds, of which a quarter
// leave unknowns open and a quarter have correlated observations: rank, what
// is determined, values, u, residuals, redundancy and χ².
func TestAgainstGonum(t *testing.T) {
	const systems = 1000
	compared, open, correlated, values := 0, 0, 0, 0
	for seed := uint64(0); compared < systems; seed++ {
		s := randomSystem(seed)
		if len(s.A) == 0 {
			continue
		}
		sol, want := mustSolve(t, s), byGonum(t, s)
		compared++
		values += compareGonum(t, seed, s, sol, want)
		if want.nullity > 0 {
			open++
		}
		if s.Cov != nil {
			correlated++
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if open < 150 || correlated < 200 || values < 5000 {
		t.Errorf("%d leave unknowns open, %d correlated, %d values compared: too few", open, correlated, values)
	}
}

func randomSystem(seed uint64) System {
	switch rng := rand.New(rand.NewPCG(seed, 7)); seed % 4 {
	case 0:
		return sparse(seed)
	case 1:
		s := randomGeneral(seed)
		s.Cov = rowsOf(randomCovariance(rng, s.U))
		return s
	case 2:
		return shaped(8+rng.IntN(20), 10+rng.IntN(24), seed)
	default:
		return randomNetwork(seed, false)
	}
}

// compareGonum compares everything once; it returns the number of determined
// values compared.
func compareGonum(t *testing.T, seed uint64, s System, sol *Solution, want reference) (determined int) {
	t.Helper()
	if sol.Rank != want.rank || sol.Nullity != want.nullity || sol.DOF != len(s.A)-want.rank {
		t.Fatalf("seed %d: rank %d, nullity %d, dof %d, want %d, %d, %d",
			seed, sol.Rank, sol.Nullity, sol.DOF, want.rank, want.nullity, len(s.A)-want.rank)
	}
	if want.rank == 0 {
		return 0
	}
	// The condition, about 1e3 here at most, takes digits from both.
	null := stackedNull(s)
	for j := range s.Columns {
		row := unit(s.Columns, j)
		fixed := null.length(row) <= 1e-6
		if sol.determined(row) != fixed {
			t.Errorf("seed %d: unknown %d determined: %v, want %v", seed, j, !fixed, fixed)
		}
		if fixed {
			determined++
			near(t, "value", j, sol.value(row), want.x[j], 1e-9*(1e3+math.Abs(want.x[j])))
			near(t, "u", j, sol.u(row), math.Sqrt(want.cov.At(j, j)), 1e-9*(1+math.Sqrt(want.cov.At(j, j))))
		}
	}
	for i := range s.Y {
		near(t, "residual", i, sol.Residuals[i], want.residual[i], 1e-6)
		near(t, "redundancy", i, sol.redundancies()[i], want.redundancy[i], 1e-9)
	}
	near(t, "chi-square", 0, sol.ChiSquare, want.chi, 1e-9*(1+want.chi))
	return determined
}
