package derive

import (
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// noRedundancy is a redundancy that counts as none: nothing then says what the
// observation should have been.
const noRedundancy = 1e-6

// Without is χ² and its degrees of freedom of the fit with some observations, as
// indices, left out: by their residuals and redundancies, not solved again. Where a
// reading is given there is one such observation, and the reading comes in its place:
//
//	χ²(others) + (y′ − predicted)²/(u′² + u(predicted)²)
//
// predicted: what the others say that it should have been. The residual of an
// observation and its redundancy ρ give both without solving for the others:
//
//	y − predicted = residual/ρ,  u(predicted)² = u²·(1/ρ − 1)
func (s *Solution) Without(observations []int, other *tickets.Reading) (chiSquare float64, dof int) {
	if other == nil {
		chi, dof := s.fit.exact.Without(observations, noRedundancy)
		return portable.Ratio(chi), dof
	}
	o, repeats := &s.Observations[observations[0]], 0
	if o.Redundancy < noRedundancy {
		return s.Agreement.ChiSquare, s.Agreement.DOF // whatever it is, the loads follow it
	}
	for i := range s.Used {
		if s.Used[i].First == o.First {
			repeats++
		}
	}
	was := s.Job.Readings[o.Index].Kg.InexactFloat64()
	// What the others predict is the reading less residual/ρ, and the load they predict it
	// for is the same whatever is typed here.
	gap := o.Residual/o.Redundancy + other.Kg.InexactFloat64() - was
	u := portable.Kg(readingU(s.Job, other, repeats))
	predicted := float64(float64(o.U*o.U) * (1/o.Redundancy - 1))
	chi, known := s.alone[observations[0]] // many figures are tried in place of one
	if !known {
		chi, _ = s.Without(observations, nil)
		if s.alone == nil {
			s.alone = map[int]float64{}
		}
		s.alone[observations[0]] = chi
	}
	return portable.Ratio(chi + float64(gap*gap)/(float64(u*u)+predicted)), s.Agreement.DOF
}

// Try solves a changed copy of the job, and returns nothing unless it is then free of
// conflict: the readings agree, no load is impossible, and no ticket contradicts a figure
// that it prints. The change is in the readings given, as indices, and only their tickets are added
// up again; a figure that it takes for a sum of others need not be one. cost is the work
// of it, in multiplications or so: of a ticket that does not add up none, as no solution
// is needed to see it.
func (s *Solution) Try(job *tickets.Job, o Options, readings []int) (tried *Solution, cost int) {
	if s.contradictedIn(job, readings) {
		return nil, 0
	}
	tried, err := Solve(job, o)
	if err != nil {
		return nil, s.Work
	}
	cost = tried.Work
	if tried.Agreement.Conflict || tried.overloaded() || len(tried.impossibleLoads()) > 0 {
		tried.Release()
		return nil, cost
	}
	return tried, cost
}

// contradictedIn says whether a ticket of a changed job does not add up.
func (s *Solution) contradictedIn(job *tickets.Job, readings []int) bool {
	changed := func(i int) bool {
		return slices.ContainsFunc(readings, func(j int) bool { return job.Readings[i].Ticket == job.Readings[j].Ticket })
	}
	for _, c := range s.Doubts().CannotBe {
		if c.Code == doesNotAddUp && !changed(c.Reading) {
			return true
		}
	}
	for i := range job.Readings {
		r := &job.Readings[i]
		if r.Calculated && s.Job.Readings[i].Calculated && changed(i) && contradicted(job, i, othersOf(job, i)) {
			return true
		}
	}
	return false
}
