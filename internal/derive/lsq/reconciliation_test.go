package lsq

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// programLimit is the rank limit the program uses.
const programLimit = 1e-9

// network is a data reconciliation problem of the literature, every quantity
// measured once unless it is listed as unmeasured, and what is expected of it.
// A nil table is not given by the source.
type network struct {
	name, source string
	y, u         []float64
	corr         [][3]float64 // i, j, correlation
	c            [][]float64
	unmeasured   []int

	x, ux      []float64 // reconciled values and their standard uncertainties
	v          []float64 // adjustments x − y
	z          []float64 // |measurement test|
	redundancy []float64
	detectable []float64 // smallest detectable error
	chi        float64
	dof        int
	tol        float64 // of all of these: half a unit of the last digit given
	scaleU     float64 // ux is given as this many u
}

var networks = []network{
	{
		name:   "heat exchanger with bypass",
		source: "Narasimhan & Jordache 2000, Example 1-1; printed x 100.22 64.50 35.72 64.50 35.72 100.22 [M], further digits recomputed",
		y:      []float64{101.91, 64.45, 34.65, 64.20, 36.44, 98.88}, u: ones(6), c: exchanger,
		x:          []float64{100.22, 64.50, 35.72, 64.50, 35.72, 100.22},
		ux:         repeat(0.577350, 6),
		v:          []float64{-1.69, 0.05, 1.07, 0.30, -0.72, 1.34},
		z:          []float64{2.069819, 0.061237, 1.310477, 0.367423, 0.881816, 1.641158},
		redundancy: repeat(2.0/3, 6),
		chi:        6.4075, dof: 4, tol: 6e-7,
	},
	{
		name:   "heat exchanger, +4 on stream 2",
		source: "Narasimhan & Jordache 2000, Example 7-1; printed gamma 16.674 [M], the rest recomputed",
		y:      []float64{101.91, 68.45, 34.65, 64.20, 36.44, 98.88}, u: ones(6), c: exchanger,
		x:          []float64{100.886667, 65.833333, 35.053333, 65.833333, 35.053333, 100.886667},
		z:          []float64{1.253322, 3.204749, 0.493980, 2.000417, 1.698313, 2.457655},
		detectable: repeat(5.060827, 6), // with 4.132148 in place of 4.1321: off by 6e-5
		chi:        16.674167, dof: 4, tol: 6e-7,
	},
	{
		name:   "heat exchanger, stream 2 deleted",
		source: "the same, stream 2 unmeasured; recomputed",
		y:      []float64{101.91, math.NaN(), 34.65, 64.20, 36.44, 98.88}, u: ones(6), c: exchanger,
		unmeasured: []int{1},
		x:          []float64{100.2325, 64.525, 35.7075, 64.525, 35.7075, 100.2325},
		ux:         []float64{0.612372, 0.707107, 0.612372, 0.707107, 0.612372, 0.612372},
		chi:        6.403750, dof: 3, tol: 6e-7,
	},
	{
		name:   "feedwater and steam, run 1",
		source: "VDI 2048 Part 1 worked example, correlated; v of an open test suite to 1e-11, the rest recomputed",
		y:      steam, u: steamU(0.800, 0.790), corr: steamCorr, c: steamNodes,
		v: []float64{-1.27651079357085, -1.25002785826582, 0.350904047191697, 0.348096449940544, 0.00134787242233519,
			0.575060829315, 0.0117829833264503, 0.00140440603423252, 0.00140440603423252, 0.0155917953949165, 0},
		chi: 20.309588, dof: 3, tol: 5e-7,
	},
	{
		name:   "feedwater and steam, run 1, values",
		source: "VDI 2048 Part 1 worked example; 95 % half-widths, 1.96 u",
		y:      steam, u: steamU(0.800, 0.790), corr: steamCorr, c: steamNodes,
		x: []float64{44.9644892064, 44.4179721417, 44.9259040472, 44.6670964499, 0.5263478724, 70.5530608293,
			10.3757829833, 3.7454044060, 4.3924044060, 18.5135917954, 2.092},
		ux: []float64{0.575626571, 0.572817587, 0.404463177, 0.402919370, 0.104623410, 0.559872849,
			0.133003389, 0.056695252, 0.056695252, 0.137102511, 0.272},
		scaleU: 1.96,
		chi:    20.309588, dof: 3, tol: 5e-7,
	},
	{
		name:   "feedwater and steam, run 2",
		source: "VDI 2048 Part 1 worked example, half-width of the feedwater 2.5, correlated; recomputed",
		y:      steam, u: steamU(2.5, 2.5), corr: steamCorr, c: steamNodes,
		x: []float64{44.695956572532, 44.122956572532, 44.642626935634, 44.386085849830, 0.524499101002, 70.004962302293,
			10.364202992972, 3.744024194599, 4.391024194599, 18.499251382169, 2.092},
		ux: []float64{1.610621937, 1.610621937, 0.425365585, 0.423571700, 0.104626941, 0.615136281,
			0.133112309, 0.056698883, 0.056698883, 0.137264526, 0.272},
		scaleU: 1.96,
		chi:    2.537015, dof: 3, tol: 5e-7,
	},
	{
		name:   "feedwater and steam, run 2 uncorrelated",
		source: "VDI 2048 Part 1 worked example as in an open test suite; NaN: not printed there",
		y:      steam, u: steamU(2.5, 2.5), c: steamNodes,
		x:      []float64{44.6918, nan, 44.6385, 44.3818, 0.524194, 69.997, 10.364, 3.744, nan, 18.499, nan},
		ux:     []float64{1.78991, nan, 0.471702, 0.469808, 0.104563, 0.566796, 0.133016, 0.0566957, nan, 0.137122, nan},
		scaleU: 1.96,
		chi:    3.060222, dof: 3, tol: 5.1e-4,
	},
	{
		name:   "twelve streams",
		source: "Mitsas 2010, Measurement 43:702-707; data from an open benchmark, answers recomputed",
		y:      []float64{100.49, 29.46, 40.41, 30.05, 15.17, 4.98, 9.92, 70.68, 10.03, 19.82, 81.06, 101.57},
		u:      []float64{1, .3, .4, .3, .3, .1, .2, .7, .3, .4, .8, 1},
		c: balances(12, []int{1, -2, -3, -4}, []int{2, -5, -6, -7}, []int{3, 5, 6, 7, -8},
			[]int{4, -9, -10}, []int{8, 9, -11}, []int{10, 11, -12}),
		x: []float64{100.582049, 29.801228, 40.709460, 30.071360, 14.997218, 4.960802, 9.843208, 70.510689,
			10.145989, 19.925371, 80.656677, 100.582049},
		z: []float64{.098834, 1.654664, 1.199218, .123282, .883584, .883584, .883584, .271958, .679909, .369776,
			.568432, 1.060782},
		chi: 3.891347, dof: 6, tol: 6e-7,
	},
	{
		name:   "eight streams",
		source: "Yang 1995; data from an open benchmark, answers recomputed",
		y:      []float64{110.1, 41.1, 79, 30.6, 108.3, 19.8, 55, 39},
		u:      roots(3.234, 1.803, 1.665, .999, 3.129, .418, 3.228, 1.623),
		c:      balances(8, []int{1, -2, -7}, []int{2, -3, 8}, []int{3, 4, -5}, []int{-6, 7, -8}),
		x:      []float64{101.339051, 42.529144, 80.900036, 29.825573, 110.725609, 20.439015, 58.809907, 38.370892},
		z:      []float64{5.672573, 1.535478, 1.92982, 1.72726, 1.72726, 2.523419, 2.515919, .695272},
		chi:    35.232721, dof: 4, tol: 6e-7,
	},
	{
		name:   "six streams",
		source: "Dovi and Del Borghi; data from an open benchmark, answers recomputed",
		y:      []float64{11, 9.9, 21.25, 11.1, 7, 3.8},
		u:      roots(.032, .026, .120, .033, .052, .015),
		c:      balances(6, []int{1, 2, -3}, []int{-2, 3, -4}, []int{4, -5, -6}),
		x:      []float64{11.029312, 9.957109, 20.986421, 11.029312, 7.177973, 3.851338},
		chi:    1.667492, dof: 3, tol: 6e-7,
	},
	{
		name:   "one closure",
		source: "Rao & Narasimhan 1996; data from an open benchmark, answers recomputed",
		y:      []float64{9.22, 4.83, 3.22}, u: []float64{.2766, .1449, .0966}, // 3 % each
		c:   balances(3, []int{1, -2, -3}),
		x:   []float64{8.382131, 5.059937, 3.322194},
		z:   repeat(3.579553, 3),
		chi: 12.813201, dof: 1, tol: 6e-7,
	},
	{
		name:   "towing layout",
		source: "not published: derived here",
		y:      towing(0), u: repeat(10, 8), c: towingLaws,
		x: []float64{2476.896552, 1183.448276, 1293.448276, 1860.344828, 4337.241379, 1082.413793, 1562.413793,
			1692.413793},
		ux: []float64{6.948083, 7.878386, 7.878386, 7.656415, 7.191950, 8.509629, 8.509629, 8.509629},
		redundancy: []float64{.517241, .379310, .379310, .413793, .482759, .275862, .275862,
			.275862},
		chi: .586207, dof: 3, tol: 6e-7,
	},
	{
		name:   "towing layout, +100 kg on the trailer's axle",
		source: "not published: derived here; NaN: not worked out",
		y:      towing(100), u: repeat(10, 8), c: towingLaws,
		z:   []float64{nan, nan, nan, nan, nan, 4.792685, 4.792685, 4.792685},
		chi: 23.344828, dof: 3, tol: 6e-7,
	},
}

const networksExpected = 13

var nan = math.NaN()

var (
	exchanger = balances(6, []int{1, -2, -3}, []int{2, -4}, []int{3, -5}, []int{4, 5, -6})

	// Order FDKeI FDKeII SpI SpII V HK A7 A6 A5 HDNK D.
	steam      = []float64{46.241, 45.668, 44.575, 44.319, 0.525, 69.978, 10.364, 3.744, 4.391, 18.498, 2.092}
	steamCorr  = [][3]float64{{0, 1, 0.2}, {2, 3, 0.4}}
	steamNodes = [][]float64{
		{1, 1, -1, -1, 0.4, 0, 0, 0, 0, 0, 0},
		{0, 0, 1, 1, -1, -1, -1, -1, -1, 0, 0},
		{0, 0, 0, 0, 0, 0, 1, 1, 1, -1, 0},
	}

	// Order V VF VR T C F R A: vehicle, its two axles alone, trailer alone,
	// combination, the three axles coupled.
	towingLaws = balances(8, []int{1, -2, -3}, []int{5, -6, -7, -8}, []int{1, 4, -5})
)

func towing(onTrailerAxle float64) []float64 {
	return []float64{2480, 1180, 1290, 1860, 4340, 1080, 1560, 1690 + onTrailerAxle}
}

// steamU are the 95 % half-widths of the VDI example over 1.96.
func steamU(first, second float64) []float64 {
	u := []float64{first, second, 0.535, 0.532, 0.105, 0.854, 0.168, 0.058, 0.058, 0.205, 0.272}
	for i := range u {
		u[i] /= 1.96
	}
	return u
}

// balances writes constraints Σ ±x = 0 from lists of signed numbers, from 1.
func balances(n int, nodes ...[]int) [][]float64 {
	var c [][]float64
	for _, node := range nodes {
		row := make([]float64, n)
		for _, k := range node {
			row[max(k, -k)-1] = math.Copysign(1, float64(k))
		}
		c = append(c, row)
	}
	return c
}

func repeat(v float64, n int) []float64 { return slices.Repeat([]float64{v}, n) }

func ones(n int) []float64 { return repeat(1, n) }

func roots(variances ...float64) []float64 {
	for i, v := range variances {
		variances[i] = math.Sqrt(v)
	}
	return variances
}

func unit(n, j int) []float64 {
	row := make([]float64, n)
	row[j] = 1
	return row
}

// system writes the network as a System; at[i] is the observation of unknown
// i, −1 where it is not measured.
func (w network) system() (s System, at []int) {
	n := len(w.y)
	s = System{Columns: n, C: w.c, D: make([]float64, len(w.c)), RankLimit: programLimit}
	for j := range n {
		if slices.Contains(w.unmeasured, j) {
			at = append(at, -1)
			continue
		}
		at = append(at, len(s.Y))
		s.A, s.Y, s.U = append(s.A, unit(n, j)), append(s.Y, w.y[j]), append(s.U, w.u[j])
	}
	if w.corr != nil {
		cov := mat.NewSymDense(n, nil)
		for i, u := range w.u {
			cov.SetSym(i, i, u*u)
		}
		for _, c := range w.corr {
			i, j := int(c[0]), int(c[1])
			cov.SetSym(i, j, c[2]*w.u[i]*w.u[j])
		}
		s.Cov = rowsOf(cov)
	}
	return s, at
}

func mustSolve(t testing.TB, s System) *Solution {
	t.Helper()
	sol, err := Solve(s, nil)
	if err != nil {
		t.Fatalf("Solve: %v", err)
	}
	return sol
}

// near fails unless got is want to within tol; a NaN wanted is not compared.
func near(t *testing.T, what string, i int, got, want, tol float64) {
	t.Helper()
	if !math.IsNaN(want) && !(math.Abs(got-want) <= tol) {
		t.Errorf("%s %d = %.12g, want %.12g ± %g", what, i, got, want, tol)
	}
}

func TestNetworks(t *testing.T) {
	run := 0
	for _, w := range networks {
		t.Run(w.name, func(t *testing.T) {
			run++
			s, at := w.system()
			w.compare(t, mustSolve(t, s), at)
		})
	}
	if run != networksExpected {
		t.Errorf("%d networks compared, want %d", run, networksExpected)
	}
}

// compare holds every table that the source gives against the solution.
func (w network) compare(t *testing.T, sol *Solution, at []int) {
	n := len(w.y)
	near(t, "chi-square", 0, sol.ChiSquare, w.chi, max(w.tol, 5e-7))
	if sol.DOF != w.dof {
		t.Errorf("dof = %d, want %d", sol.DOF, w.dof)
	}
	for j := range n {
		if !sol.determined(unit(n, j)) {
			t.Errorf("unknown %d is not determined", j)
		}
	}
	for j, x := range w.x {
		near(t, "x", j, sol.value(unit(n, j)), x, w.tol)
	}
	for j, u := range w.ux {
		near(t, "u", j, sol.u(unit(n, j))*max(w.scaleU, 1), u, w.tol)
	}
	for j, v := range w.v {
		near(t, "adjustment", j, -sol.Residuals[at[j]], v, 1e-11) // the suite's own agreement
	}
	for j, r := range w.redundancy {
		near(t, "redundancy", j, sol.redundancies()[at[j]], r, w.tol)
	}
	for j, z := range w.z {
		got, ok := sol.standardised(at[j])
		near(t, "measurement test", j, math.Abs(got), z, w.tol)
		if !ok {
			t.Errorf("measurement test %d has no value", j)
		}
	}
	for j, d := range w.detectable {
		got, _ := sol.smallestDetectable(at[j])
		near(t, "smallest detectable", j, got, d, 6e-5)
	}
	var sum float64
	for _, r := range sol.redundancies() {
		sum += r
	}
	near(t, "sum of redundancies", 0, sum, float64(w.dof), 1e-12)
}

// Critical values of χ²: three decimals in NIST/SEMATECH e-Handbook 1.3.6.7.4
// [M], further digits recomputed.
func TestPValue(t *testing.T) {
	for _, c := range []struct {
		dof    int
		chi, p float64
	}{
		{1, 3.841459, 0.05}, {2, 5.991465, 0.05}, {3, 7.814728, 0.05}, {4, 9.487729, 0.05}, {5, 11.070498, 0.05}, {6, 12.591587, 0.05},
		{1, 6.634897, 0.01}, {2, 9.210340, 0.01}, {3, 11.344867, 0.01}, {4, 13.276704, 0.01}, {5, 15.086272, 0.01}, {6, 16.811894, 0.01},
		{1, 10.827566, 0.001}, {2, 13.815511, 0.001}, {3, 16.266236, 0.001}, {4, 18.466827, 0.001}, {5, 20.515006, 0.001}, {6, 22.457744, 0.001},
	} {
		p, ok := (&Solution{DOF: c.dof, ChiSquare: c.chi}).pValue()
		if !ok {
			t.Errorf("dof %d: no p", c.dof)
		}
		near(t, "p", c.dof, p, c.p, 2e-8)
	}
	if p, ok := (&Solution{}).pValue(); ok || p != 0 {
		t.Errorf("no degrees of freedom: p = %v, %v, want 0, false", p, ok)
	}
}

// One observation in no constraint: VDI 2048's D. Its correction and
// redundancy are 0 and no test statistic exists for it.
func TestUncheckedObservation(t *testing.T) {
	for _, w := range networks {
		if len(w.y) != len(steam) {
			continue
		}
		s, _ := w.system()
		sol := mustSolve(t, s)
		if sol.redundancies()[10] != 0 {
			t.Errorf("%s: redundancy of D = %v, want 0", w.name, sol.redundancies()[10])
		}
		near(t, "residual of D", 10, sol.Residuals[10], 0, 1e-12)
		if z, ok := sol.standardised(10); ok || z != 0 {
			t.Errorf("%s: measurement test of D = %v, %v, want 0, false", w.name, z, ok)
		}
		if d, ok := sol.smallestDetectable(10); ok || d != 0 {
			t.Errorf("%s: smallest detectable of D = %v, %v, want 0, false", w.name, d, ok)
		}
		if r := sol.residualCorrelation(10, 3); r != 0 {
			t.Errorf("%s: residual correlation of D = %v, want 0", w.name, r)
		}
	}
}

// VDI 2048 Part 1, derived quantities of run 1 and 2 (95 % half-widths).
func TestSteamFreeVariables(t *testing.T) {
	fd := []float64{1, 1, 0, 0, -0.2, 0, 0, 0, 0, 0, 0}
	fd2 := []float64{0, 0, 1, 1, -0.6, 0, 0, 0, 0, 0, 0}
	drain := []float64{0, 0, 0, 0, 0, 0, 1, 1, 1, 0, 0}
	for _, c := range []struct {
		u        []float64
		row      []float64
		value, U float64
	}{
		{steamU(0.800, 0.790), fd, 89.2771917737, 0.5547960930},
		{steamU(0.800, 0.790), fd2, 89.2771917737, 0.5547960930},
		{steamU(0.800, 0.790), drain, 18.5135917954, 0.1371025114},
		{steamU(2.5, 2.5), fd, 88.714013324863, 0.613478632}, // recomputed
	} {
		s, _ := network{y: steam, u: c.u, corr: steamCorr, c: steamNodes}.system()
		sol := mustSolve(t, s)
		near(t, "value", 0, sol.value(c.row), c.value, 6e-11)
		near(t, "half-width", 0, 1.96*sol.u(c.row), c.U, 6e-10)
	}
}

// VDI 2048 Part 1: |v| over the 95 % half-width of the correction, "local
// quality" of an open test suite, run 2 uncorrelated.
func TestSteamLocalQuality(t *testing.T) {
	s, _ := network{y: steam, u: steamU(2.5, 2.5), c: steamNodes}.system()
	sol := mustSolve(t, s)
	want := []float64{0.887628, nan, 0.251487, nan, 0.0242626, 0.0297734, 0.000342739, 0.00022856, nan, 0.00684795, nan}
	for i, q := range want {
		// VDI's floor: never less than a tenth of the variance.
		w := math.Max(sol.ResidualCovariance(i, i), 0.1) * s.U[i] * s.U[i]
		near(t, "local quality", i, math.Abs(sol.Residuals[i])/math.Sqrt(w)/1.96, q, 2e-6)
	}
}

// Narasimhan & Jordache 2000, Example 7-1: bias estimates and the generalised
// likelihood ratio test T = z², both recomputed; taking stream 2 out lowers χ²
// by its T (Crowe 1992).
func TestBiasEstimates(t *testing.T) {
	s, _ := networks[1].system()
	sol := mustSolve(t, s)
	bias := []float64{1.535, 3.925, -0.605, -2.45, 2.08, -3.01}
	ratio := []float64{1.570817, 10.270417, 0.244017, 4.001667, 2.884267, 6.040067}
	for i := range bias {
		z, _ := sol.standardised(i)
		near(t, "bias", i, sol.Residuals[i]/sol.redundancies()[i], bias[i], 1e-12)
		near(t, "ratio test", i, z*z, ratio[i], 6e-7)
	}
	z, _ := sol.standardised(1)
	near(t, "chi-square without stream 2", 0, sol.ChiSquare-z*z, networks[2].chi, 6e-7)
}

// Which streams can be distinguished: Mitsas 5, 6, 7 run side by side; the single
// closure of Rao & Narasimhan tells none from another; a draft that overlaps
// others is the cure (towing layout, not published: derived here).
func TestSeparable(t *testing.T) {
	draft := func(y []float64, more ...[]float64) System {
		s, _ := network{y: y, u: repeat(10, 8), c: towingLaws}.system()
		for _, m := range more {
			s.A, s.Y, s.U = append(s.A, m[:8]), append(s.Y, m[8]), append(s.U, 10)
		}
		return s
	}
	fr, ra := []float64{0, 0, 0, 0, 0, 1, 1, 0, 2640}, []float64{0, 0, 0, 0, 0, 0, 1, 1, 3250}
	streams, _ := networks[7].system()
	closure, _ := networks[10].system()
	for _, c := range []struct {
		name        string
		s           System
		inseparable [][2]int
		chi         float64
		z           map[int]float64
	}{
		{"twelve streams", streams, [][2]int{{4, 5}, {4, 6}, {5, 6}}, 3.891347, nil},
		{"closure", closure, [][2]int{{0, 1}, {0, 2}, {1, 2}}, 12.813201, nil},
		{"towing", draft(towing(100)), [][2]int{{1, 2}, {5, 6}, {5, 7}, {6, 7}}, 23.344828, nil},
		{"towing and F+R", draft(towing(100), fr), [][2]int{{1, 2}, {5, 6}}, 36.709091,
			map[int]float64{5: 2.147988, 6: 2.147988, 7: 6.027777, 8: 3.655717}},
		{"towing, F+R and R+A", draft(towing(100), fr, ra), [][2]int{{1, 2}}, 48.346154,
			map[int]float64{5: 0.026444, 6: 3.535534, 7: 6.901961, 8: 3.464203, 9: 3.411314}},
	} {
		t.Run(c.name, func(t *testing.T) {
			sol := mustSolve(t, c.s)
			near(t, "chi-square", 0, sol.ChiSquare, c.chi, 6e-7)
			if got := inseparable(sol); !slices.Equal(got, c.inseparable) {
				t.Errorf("inseparable %v, want %v", got, c.inseparable)
			}
			for i, want := range c.z {
				z, _ := sol.standardised(i)
				near(t, "measurement test", i, math.Abs(z), want, 6e-7)
			}
		})
	}
}

func inseparable(sol *Solution) (pairs [][2]int) {
	for i := range sol.Residuals {
		for j := i + 1; j < len(sol.Residuals); j++ {
			if math.Abs(sol.residualCorrelation(i, j)) > 0.999999 {
				pairs = append(pairs, [2]int{i, j})
			}
		}
	}
	return pairs
}

// The download of the towing layout by all routes at once (not published:
// derived here).
func TestTowingDownload(t *testing.T) {
	s, _ := networks[11].system()
	sol := mustSolve(t, s)
	row := []float64{0, 0, 0, 1, 0, 0, 0, -1}
	near(t, "T − A", 0, sol.value(row), 167.931034, 6e-7)
	near(t, "u of it", 0, sol.u(row), 10.504515, 6e-7)
	other := []float64{-1, 0, 0, 0, 0, 1, 1, 0}
	near(t, "F + R − V", 0, sol.value(other), 167.931034, 6e-7)
	near(t, "u of it", 0, sol.u(other), 10.504515, 6e-7)
	near(t, "covariance of both", 0, sol.Covariance(row, other), 10.504515*10.504515, 1.5e-5)
}
