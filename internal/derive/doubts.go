package derive

import "reconcile/internal/portable"

// doubts are what speaks against single readings, besides χ². A solution can agree with
// itself and still be wrong: a reading that nothing checks has no residual, one that was
// left out has no part in χ², and a zero that did not return is in all readings alike.
type doubts struct {
	// CannotBe are conflicts by themselves, whatever χ² says: loads of less than nothing, in
	// the order of the states, then figures that their tickets contradict, in that of the form.
	CannotBe []cannotBe
	// Inseparable are the sets of a conflict, see inseparable.
	Inseparable [][]int
	// LeftOut are the readings left out that disagree with the others, in the order of the form.
	LeftOut []leftOut
	// Zeros are of each scale with used readings, of which none was of its empty deck.
	Zeros []unreadZero
}

// leftOut is a reading, by its index in Job.Readings, that has no part in the solution and
// differs from what it would have shown by more than U of the difference. Kilograms.
type leftOut struct {
	Reading int
	Kg, U   float64 // what it would have shown; the standard uncertainty of the difference
}

// unreadZero says how much of an error common to all readings of a scale would show.
type unreadZero struct {
	Scale string
	Shows float64 // from 0 to 1, see zeroShows
}

// Doubts looks for what speaks against the readings, once: the verdict rests on it, the
// record lists it, and a search for mistakes starts from it. A solution that is only
// compared with others is not asked. Nobody changes what is returned.
func (s *Solution) Doubts() *doubts {
	if !s.looked {
		s.looked = true
		s.doubts = doubts{append(s.impossibleLoads(), s.contradictoryTickets()...), s.inseparable(), s.disagreeing(), s.unreadZeros()}
	}
	return &s.doubts
}

// inseparable are, in a conflict, the sets of observations, as indices, that cannot
// be distinguished and that hold a suspect, or without a suspect the largest |w|; the
// set with the largest |w| first; nil otherwise. The others may be right: one wrong
// reading pulls the fit, and leaves residuals in readings that share its loads.
//
// They are not part of the agreement, which the search for mistakes asks of thousands
// of solutions.
func (s *Solution) inseparable() [][]int {
	if !s.Agreement.Conflict {
		return nil
	}
	order := s.byStandardised()
	taken := map[int]bool{}
	var sets [][]int
	for n, i := range order {
		if taken[i] || n > 0 && !s.Observations[i].Suspect {
			continue
		}
		set := s.alike(i)
		for _, j := range set {
			taken[j] = true
		}
		sets = append(sets, set)
	}
	return sets
}

// disagreeing lists the readings left out whose supports are solved and which do not fit.
// Calculated figures are no readings: whether they add up is another question.
func (s *Solution) disagreeing() (all []leftOut) {
	for i := range s.Job.Readings {
		r := &s.Job.Readings[i]
		if r.Used || r.Calculated || r.Empty || s.Job.Scale(r.Scale) == nil || !r.IntervalKg.IsPositive() {
			continue
		}
		kg, u, ok := s.expected(i).Number()
		if !ok {
			continue
		}
		// The reading had no part in the solution, so that the two are independent.
		u = portable.Kg(portable.Hypot(portable.Kg(readingU(s.Job, r, 1)), u))
		difference := portable.Kg(r.Kg.InexactFloat64() - kg)
		if max(difference, -difference) > portable.Kg(float64(coverage*u)) {
			all = append(all, leftOut{i, kg, u})
		}
	}
	return all
}

// unreadZeros lists them in the order of the scales. A zero that was read is an unknown of
// its own, with an observation: nothing is then left to doubt.
func (s *Solution) unreadZeros() []unreadZero {
	all := s.lists.zeros[:0]
	for i := range s.Job.Scales {
		if shows, unknown := s.zeroShows(s.Job.Scales[i].Name); unknown {
			all = append(all, unreadZero{s.Job.Scales[i].Name, shows})
		}
	}
	s.lists.zeros = all
	return all
}

// zeroShows is the part of an error common to all used readings of a scale, a
// zero that did not return, that is left in the residuals:
//
//	gᵀRg/gᵀg, g = k/u at each used reading of the scale, 0 elsewhere
//
// R is the covariance of the weighted residuals and k the number of weighers, each of
// which is off by the same. Near 0 the loads take up the error and no residual shows
// it. unknown is false where the scale's empty deck was read, so that its zero is an
// unknown of its own, or where it has no used reading.
func (s *Solution) zeroShows(scale string) (share float64, unknown bool) {
	if zeroSeen(s.Job, scale) {
		return 0, false
	}
	at, g := s.indices.List(len(s.Used))[:0], s.numbers.List(len(s.Used))[:0]
	for i := range s.Used {
		o := &s.Used[i]
		if r := &s.Job.Readings[o.Index]; r.Scale == scale {
			at = append(at, i)
			g = append(g, float64(weighers(&s.Job.Outfit, s.Job.Scale(scale), r))/o.U)
		}
	}
	whole, left := 0.0, 0.0
	for a, i := range at {
		whole += portable.Square(g[a])
		for b, j := range at {
			left += float64(float64(g[a]*g[b]) * s.fit.exact.ResidualCovariance(i, j))
		}
	}
	if whole <= 0 {
		return 0, false
	}
	return portable.Ratio(left / whole), true
}
