package derive

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// The shares of 1,000 loads, held against the equations of equilibrium
// themselves rather than the formulas solved from them: forces and moments of
// each body are nothing (statics; from the definitions).
//
//	trailer alone:  nose + axles = 1;  moments about its axle: nose·n = z
//	coupled:        front + rear + axles = 1;  about its axle: coupling·L = z;
//	                about the vehicle's rear axle: front·w + coupling·a = 0
//	vehicle:        front + rear = 1;  about its front axle: rear·w = x
func TestSharesAreInEquilibrium(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 20260314))
	for range 1000 {
		w, a, l, n := 2400+1600*rng.Float64(), 800+1000*rng.Float64(), 3000+3000*rng.Float64(), 2500+3000*rng.Float64()
		job := &tickets.Job{Outfit: tickets.Outfit{Wheelbase: known(w), RearAxleToCoupling: known(a), CouplingToTrailerAxle: known(l), NoseSupportToTrailerAxle: known(n)}}
		z := -2000 + 7000*rng.Float64()
		nothing := func(name string, sum float64) {
			t.Helper()
			if math.Abs(sum) > 1e-9*(w+l+n) {
				t.Errorf("w %g, a %g, L %g, n %g, at %g: %s %g (want nothing)", w, a, l, n, z, name, sum)
			}
		}
		alone, _, _ := share(job, tickets.OnTrailer, z, tickets.TrailerAlone)
		nothing("forces, trailer alone", alone.nose+alone.trailer-1)
		nothing("moments, trailer alone", alone.nose*n-z)
		on, _, _ := share(job, tickets.OnTrailer, z, tickets.CoupledTensioned)
		coupling := on.front + on.rear
		nothing("forces, coupled", coupling+on.trailer-1)
		nothing("moments of the trailer", coupling*l-z)
		nothing("moments of the vehicle", on.front*w+coupling*a)
		vehicle, _, _ := share(job, tickets.OnVehicle, z, tickets.CoupledSlack)
		nothing("forces, vehicle", vehicle.front+vehicle.rear-1)
		nothing("moments, vehicle", vehicle.rear*w-z)
	}
}

// What the rows of readings use is what Share says, where it says anything.
func TestPartsAreShares(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 20260314))
	compared := 0
	for range 300 {
		job := wildFrom(rand.NewPCG(rng.Uint64(), 8), "")
		for i := range job.Places {
			p := &job.Places[i]
			load := &tickets.Load{Name: "x", Kg: decimal.NewFromInt(1), On: p.On, Place: p.Name}
			for _, state := range states {
				sh, _, ok := share(job, p.On, p.AtMm, state)
				if !ok || !p.HasAt {
					continue
				}
				got := partsOf(job, load, state)
				compared++
				for g, want := range map[tickets.Group]float64{tickets.Front: sh.front, tickets.Rear: sh.rear, tickets.Trailer: sh.trailer, tickets.Nose: sh.nose} {
					if math.Abs(got[g].byMass-want) > 1e-12 || got[g].byShare != 0 {
						t.Errorf("%s at %g, %s, %s: %+v (want %g)", p.On, p.AtMm, state, g, got[g], want)
					}
				}
			}
		}
	}
	if compared < 500 {
		t.Errorf("%d compared (want 500 at least)", compared)
	}
}

// Mass is conserved exactly: whatever is typed, the fitted loads of every
// state add up.
func TestMassIsConserved(t *testing.T) {
	for seed := range uint64(300) {
		s := mustSolve(t, wildJob(10_000+seed))
		size := 1.0
		for _, x := range s.fit.exact.X {
			size = math.Max(size, math.Abs(x))
		}
		sum := func(state tickets.State) (kg float64) {
			for _, g := range stateGroups(state) {
				for _, c := range s.system.layout.cellsOf(state, g) {
					kg += s.fit.exact.X[c.column]
				}
			}
			return kg
		}
		alone, slack, tensioned := sum(tickets.VehicleAlone)+sum(tickets.TrailerAlone), sum(tickets.CoupledSlack), sum(tickets.CoupledTensioned)
		if math.Abs(alone-slack) > 1e-9*size || math.Abs(tensioned-slack) > 1e-9*size {
			t.Errorf("seed %d: %g alone, %g coupled slack, %g tensioned", seed, alone, slack, tensioned)
		}
	}
}

// The weighted residuals of any job: redundancies add up to dof, each is from
// 0 to 1, chi-square is the sum of squares, and no test says more than its
// residual could.
func TestRedundanciesAddUp(t *testing.T) {
	tested := 0
	for seed := range uint64(300) {
		s := mustSolve(t, wildJob(20_000+seed))
		redundancy, chi := 0.0, 0.0
		for i, o := range s.Observations {
			redundancy += o.Redundancy
			chi += o.Residual * o.Residual / (o.U * o.U)
			if o.Redundancy < 0 || o.Redundancy > 1+1e-9 || o.Testable != (o.Redundancy >= 0.01) {
				t.Errorf("seed %d: observation %d has redundancy %g, testable %v", seed, i, o.Redundancy, o.Testable)
			}
			if !o.Testable {
				continue
			}
			tested++
			root, grid := o.U*math.Sqrt(o.Redundancy), 1e-6
			if o.Kind == byScale {
				grid = 1e-9
			}
			// The residual is on its grid, the redundancy on 1e-9.
			off := 1e-6 + grid/root + math.Abs(o.Standardised)*1e-9/o.Redundancy
			if math.Abs(o.Standardised-o.Residual/root) > off || o.Suspect != (math.Abs(o.Standardised) > 3.2905) ||
				math.Abs(o.Smallest*math.Sqrt(o.Redundancy)-4.1321*o.U) > 1e-6*o.U+grid {
				t.Errorf("seed %d: observation %d: %+v", seed, i, o)
			}
			if o.Standardised*o.Standardised > s.Agreement.ChiSquare*(1+1e-9)+1e-9 {
				t.Errorf("seed %d: observation %d: w² = %g of chi-square %g", seed, i, o.Standardised*o.Standardised, s.Agreement.ChiSquare)
			}
		}
		f := s.Agreement
		if math.Abs(redundancy-float64(f.DOF)) > 1e-6 || math.Abs(chi-f.ChiSquare) > 1e-6*(1+chi) {
			t.Errorf("seed %d: redundancies add up to %g of %d, squares to %g of %g", seed, redundancy, f.DOF, chi, f.ChiSquare)
		}
	}
	if tested < 300 {
		t.Errorf("%d observations tested (want 300 at least)", tested)
	}
}

// More is never less: a further reading of anything widens nothing, when the u
// of the others is kept.
func TestAFurtherReadingWidensNothing(t *testing.T) {
	readings := append(aloneReadings(), coupledReadings(tickets.CoupledSlack, 0)...)
	for i := range readings {
		readings[i] = on("a", readings[i])
	}
	job := jobOf(readings...)
	job.Scales = []tickets.Scale{certain("a", 5), certain("b", 40)}
	before := numbers(mustSolve(t, job))
	for _, more := range []tickets.Reading{
		weigh(tickets.VehicleAlone, 2900, "vehicle"), weigh(tickets.TrailerAlone, 2500, "whole trailer"),
		weigh(tickets.CoupledSlack, 5440, "outfit"), weigh(tickets.TrailerAlone, 300, "coupling"),
		weigh(tickets.CoupledTensioned, 5440, "outfit"),
	} {
		longer := *job
		longer.Readings = append(append([]tickets.Reading{}, job.Readings...), on("b", more))
		for name, q := range numbers(mustSolve(t, &longer)) {
			_, was, determined := before[name].Number()
			_, u, ok := q.Number()
			if determined && (!ok || u > was+1e-9) {
				t.Errorf("with %s %v: u(%s) went from %g to %g", more.State, more.Terms, name, was, u)
			}
		}
	}
}

// How a reading fared, and which cannot be distinguished, by hand: of triple's
// one misclosure front and rear take the same sign, the sum the other.
func TestObservedAndAlike(t *testing.T) {
	s := mustSolve(t, triple(20))
	if o, ok := s.observed(1); !ok || math.Abs(o.Redundancy-0.32) > 1e-6 || o.Index != 1 {
		t.Errorf("%+v, %v (want redundancy 0.32)", o, ok)
	}
	if _, ok := s.observed(3); ok {
		t.Error("a reading that is not there fared somehow")
	}
	for _, c := range []struct {
		a, b int
		want float64
	}{{0, 1, 1}, {0, 2, -1}, {2, 1, -1}, {2, 2, 1}} {
		if got, ok := s.Alike(c.a, c.b); !ok || math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%d and %d: %g, %v (want %g)", c.a, c.b, got, ok, c.want)
		}
	}
	if _, ok := mustSolve(t, jobOf(aloneReadings()...)).Alike(0, 1); ok {
		t.Error("readings that nothing tests are distinguished")
	}
}
