package derive

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// fuzzSeeds is how many jobs every run of the tests solves.
const fuzzSeeds = 1500

// choices draws from given bytes, eight a number, and goes on by itself where
// they end; so a fuzzer that changes a byte changes one choice.
type choices struct {
	bytes []byte
	then  rand.Source
}

func (c *choices) Uint64() uint64 {
	if len(c.bytes) < 8 {
		return c.then.Uint64()
	}
	n := binary.LittleEndian.Uint64(c.bytes)
	c.bytes = c.bytes[8:]
	return n
}

// chosen is the job that bytes choose: a wild one, one in four of them with
// sizes that no outfit has. The first two bytes, read from the end, seed the rest.
func chosen(b []byte) (job *tickets.Job, exaggerated bool) {
	var seed uint64
	for _, x := range b {
		seed = seed*257 + uint64(x)
	}
	source := &choices{b, rand.NewPCG(seed, 7)}
	job = wildFrom(source, fmt.Sprintf("%x", b))
	rng := rand.New(source)
	if exaggerated = rng.IntN(4) == 0; exaggerated {
		exaggerate(job, rng)
	}
	return job, exaggerated
}

// exaggerate makes figures and lengths far too large or too small.
func exaggerate(job *tickets.Job, rng *rand.Rand) {
	for i := range job.Readings {
		if rng.IntN(3) == 0 {
			r := &job.Readings[i]
			r.Kg = r.Kg.Mul(decimal.New(1, int32(rng.IntN(8)-3)))
			r.IntervalKg = r.IntervalKg.Mul(decimal.New(1, int32(rng.IntN(8)-5)))
		}
	}
	o := &job.Outfit
	for _, l := range []*tickets.Length{&o.Wheelbase, &o.RearAxleToCoupling, &o.CouplingToTrailerAxle, &o.NoseSupportToTrailerAxle} {
		l.Mm *= math.Pow(10, float64(rng.IntN(7)-3))
	}
	o.LengthUncertaintyMm *= math.Pow(10, float64(rng.IntN(5)-1))
	for i := range job.Loads {
		job.Loads[i].Kg = job.Loads[i].Kg.Mul(decimal.New(1, int32(rng.IntN(6)-2)))
	}
}

// FuzzJobs asks of any job: no panic, no refusal, nothing but finite numbers
// with an uncertainty, and none for what the equations leave open. Its seeds
// are solved by every run of the tests.
func FuzzJobs(f *testing.F) {
	for seed := range fuzzSeeds {
		f.Add(binary.LittleEndian.AppendUint16(nil, uint16(seed)))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		job, exaggerated := chosen(b)
		s, err := Solve(job, Options{})
		if err != nil {
			t.Fatalf("%s: %v", job.Name, err)
		}
		finiteQuantities(t, s)
		finiteRest(t, s)
		if !exaggerated { // else what counts as nothing depends on how it is scaled
			nothingOpen(t, s)
		}
	})
}

// number asks for a finite value and an uncertainty above nothing.
func number(t *testing.T, s *Solution, name string, v, u float64) {
	t.Helper()
	if math.IsNaN(v) || math.IsInf(v, 0) || !(u > 0) || math.IsInf(u, 0) {
		t.Errorf("%s: %s is %g, u %g", s.Job.Name, name, v, u)
	}
}

func finiteQuantities(t *testing.T, s *Solution) {
	t.Helper()
	for _, q := range append(s.quantities(), s.imbalances()...) {
		v, u, ok := q.Number()
		if !ok {
			if v != 0 || u != 0 {
				t.Errorf("%s: %s leaks %g, %g", s.Job.Name, q.Name, v, u)
			}
			continue
		}
		number(t, s, q.Name, v, u)
		if coverage*u > maxDeterminedU {
			t.Errorf("%s: %s has a number with U = %g", s.Job.Name, q.Name, coverage*u)
		}
		if b := s.Behind(q.Quantity); b.Tested {
			number(t, s, "what a mistake moves "+q.Name+" by", b.MistakeKg, 1)
		}
		for _, c := range s.budget(q.Quantity) {
			number(t, s, "a cause of "+q.Name, 0, c.U)
		}
	}
}

func finiteRest(t *testing.T, s *Solution) {
	t.Helper()
	f := s.Figures()
	for i, q := range []Quantity{f.DownloadShare, f.TrailerToVehicle, f.Restoration, f.HitchMoment, f.VehicleCG, f.TrailerCG} {
		if v, u, ok := q.Number(); ok {
			number(t, s, fmt.Sprint("figure ", i), v, u)
		}
	}
	for _, r := range s.routes() {
		number(t, s, "route "+r.Name, r.Value, r.U)
	}
	for i, o := range s.Observations {
		number(t, s, fmt.Sprint("observation ", i), o.Residual+o.Redundancy+o.Standardised+o.Smallest, o.U)
	}
	bare, _ := s.agreementWithoutTies()
	for _, a := range []agreement{s.Agreement, bare} {
		number(t, s, "fit", a.ChiSquare+a.P, 1)
		number(t, s, "scaling", a.Scaling, a.Scaling)
	}
	for i := range s.Job.Readings {
		onDeck, shown := s.loadOn(i), s.expected(i)
		for _, q := range []Quantity{onDeck, shown} {
			if kg, u, ok := q.Number(); ok {
				number(t, s, fmt.Sprint("expected ", i), kg, max(u, 1e-6))
			}
		}
	}
}

// nothingOpen holds what has a number against elimination by hand: a
// functional is fixed where its row is a combination of the rows of the
// equations, whatever their uncertainties.
func nothingOpen(t *testing.T, s *Solution) {
	t.Helper()
	e := eliminated(s.system)
	for _, q := range solvedQuantities(s) {
		fixed := e.spans(q.row)
		moving := s.previous != nil
		switch {
		case q.Determined && !fixed:
			t.Errorf("%s: %s has a number, and the equations leave it open", s.Job.Name, q.Name)
		case fixed && !q.Determined && !q.vague && !moving:
			t.Errorf("%s: %s has no number, and the equations fix it", s.Job.Name, q.Name)
		}
	}
}

// elimination is a set of rows brought to echelon form, its own way: Gauss with
// the largest pivot of all that is left, columns scaled by their largest entry.
type elimination struct {
	scale  []float64
	rows   [][]float64
	pivots []int // column of each row
}

// nothing is what counts as nothing of a row of size 1.
const nothing = 1e-8

func eliminated(y *system) *elimination {
	all := append(append([][]float64{}, y.rows...), y.balance...)
	e := &elimination{scale: make([]float64, y.layout.columns)}
	for _, row := range all {
		for j, a := range row {
			e.scale[j] = math.Max(e.scale[j], math.Abs(a))
		}
	}
	left := make([][]float64, 0, len(all))
	for _, row := range all {
		left = append(left, e.scaled(row))
	}
	for {
		row, column := largestEntry(left)
		if row < 0 {
			return e
		}
		pivot := left[row]
		left = append(left[:row], left[row+1:]...)
		e.rows, e.pivots = append(e.rows, pivot), append(e.pivots, column)
		for i := range left {
			subtract(left[i], pivot, column)
		}
	}
}

// scaled is a row in scaled columns, of size 1.
func (e *elimination) scaled(row []float64) []float64 {
	out, size := make([]float64, len(row)), 0.0
	for j, a := range row {
		if e.scale[j] > 0 {
			a /= e.scale[j]
		}
		out[j], size = a, math.Max(size, math.Abs(a))
	}
	for j := range out {
		if size > 0 {
			out[j] /= size
		}
	}
	return out
}

// largestEntry finds the pivot; row −1 where all that is left is nothing.
func largestEntry(rows [][]float64) (row, column int) {
	row, largest := -1, nothing
	for i := range rows {
		for j, a := range rows[i] {
			if math.Abs(a) > largest {
				row, column, largest = i, j, math.Abs(a)
			}
		}
	}
	return row, column
}

func subtract(row, pivot []float64, column int) {
	f := row[column] / pivot[column]
	for j := range row {
		row[j] -= f * pivot[j]
	}
	row[column] = 0
}

// spans says whether a row is a combination of the rows eliminated.
func (e *elimination) spans(row []float64) bool {
	left := e.scaled(row)
	for i, pivot := range e.rows {
		subtract(left, pivot, e.pivots[i])
	}
	r, _ := largestEntry([][]float64{left})
	return r < 0
}
