package derive

import (
	"math"
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// prospect says beforehand the best that a further reading could do, without
// solving the job with it: one row added to a fit that is there already. What
// it says are bounds, never results: a reading that is advised is solved with
// [Solution.WithReading], and a prospect only spares those that cannot win.
//
// The bounds hold because the fit they start from knows at least as much as
// the job solved with the reading would: an observation never makes a
// determined load less certain, so every way in which the two differ is taken
// at its most certain end.
//
//   - A tie has u = t: u² = t² + (amount·u(ratio))² whatever the amount becomes.
//   - Readings that the further one repeats keep their u, which would grow.
//   - A scale whose span would become better known has no bound.
//   - No u is stretched, though the readings may then be strained.
type prospect struct {
	// Tests is false where the reading could not show a mistake in another: one that
	// only determines what was not known has no residual and tests nothing.
	Tests bool
	// Refines is true where the reading separates axles of a group that none did
	// before: finer supports are then solved, of which nothing is said here.
	Refines bool

	fit      *fitted // nil: nothing is said, and everything is possible
	s        *Solution
	row      []float64 // of the reading; nil where it shows only an unknown of its own
	variance float64   // of the reading, u², with the gain of a scale not used before
	null     []float64 // row·N: what of the row nothing determines yet; nil where all of it is
	of       float64   // variance of the load that the row asks for
	moves    []float64 // ∂(row·x)/∂reading
}

// anything is the prospect where nothing can be said beforehand.
var anything = prospect{Tests: true, Refines: true}

// The limits within which a bound is certain of what the solver would say.
const (
	surelyDetermined = 1e-8 // |row·N|/|row|: the solver asks for 1e-6
	surelyOpen       = 1e-4
	surelyUnchecked  = 1e-6   // redundancy: the solver asks for 0.01
	surelyNoticed    = 0.0101 // ∂value/∂reading: the solver asks for 0.01
	boundSlack       = 1e-6   // of a u, far above the rounding of both ways
)

// Prospect bounds what a further reading on a scale does, with the figure that is
// expected of it where it has none.
func (s *Solution) Prospect(further *tickets.Reading, scale *tickets.Scale) prospect {
	predicted := s.predict(*further)
	y, r := s.system, &predicted
	p := prospect{s: s}
	separates, known := y.refinement(r)
	if !known || len(r.Without)+len(r.With)+len(y.options.Moves) > 0 {
		return anything
	}
	u, column, known := y.furtherU(r, scale)
	if !known {
		return anything
	}
	if p.fit = s.fitFor(r); p.fit == nil {
		return anything
	}
	if p.Refines = separates; separates {
		return p
	}
	p.row, p.variance = y.deckRow(r), portable.Square(u)
	if column >= 0 {
		p.row[column] = r.Kg.InexactFloat64()
	}
	if z, ok := y.layout.zero.of(r.Scale); ok {
		p.row[z] = float64(weighers(&s.Job.Outfit, s.Job.Scale(r.Scale), r))
	}
	return p.begin()
}

// begin works out what all quantities need of the row.
func (p prospect) begin() prospect {
	null := p.fit.exact.NullPart(p.row)
	switch size, all := length(null), length(p.row); {
	case size > float64(surelyOpen*all):
		p.null = null
	case size > float64(surelyDetermined*all):
		return anything // too close to say
	default:
		_, u, _ := p.fit.exact.Estimate(p.row)
		p.of, p.moves, p.Tests = portable.Square(u), p.fit.exact.Sensitivity(p.row, nil), true
	}
	return p
}

// Of is the best that a quantity could come to with the reading: possible says that it
// may be determined then, u is the least standard uncertainty that it could have, and
// checked that every reading behind it may be checked. Where nothing can be said, as of
// a support that is first separated, everything is possible. What nothing determined yet
// the reading determines; what something did it improves:
//
//	u² = u(rest)² + factor²·u(reading)²
//	u² = u(q)² − cov(q, row)²/(u(row)² + u(reading)²)
//
// The factors of the quantity may yet fall to the given fraction of what they are.
func (p *prospect) Of(q Quantity, fraction float64) (u float64, possible, checked bool) {
	if p.fit == nil || q.row == nil && p.Refines {
		return 0, true, true
	}
	if q.row == nil {
		return 0, false, false
	}
	row, factor, ok := p.rest(q.row)
	if !ok {
		return 0, false, false
	}
	u = p.leastU(row, factor)
	possible = float64(coverage*u) <= maxDeterminedU
	return u, possible, possible && p.mayCheck(row, factor, surelyNoticed/fraction)
}

// leastU is the least u of what remains of a quantity and a factor × the reading.
func (p *prospect) leastU(row []float64, factor float64) float64 {
	_, now, _ := p.fit.exact.Estimate(row)
	u2 := portable.Square(now)
	switch {
	case p.null != nil:
		u2 += float64(portable.Square(factor) * p.variance)
	case p.row != nil:
		u2 -= portable.Square(p.fit.exact.Covariance(row, p.row)) / (p.of + p.variance)
	}
	return max(float64(math.Sqrt(max(u2, 0))*(1-boundSlack))-boundSlack, 0)
}

// rest is what remains of a quantity once the reading has taken its part,
// factor × its row, of what nothing determined; ok is false where something
// remains that nothing determines.
func (p *prospect) rest(row []float64) (rest []float64, factor float64, ok bool) {
	null, size := p.fit.exact.NullPart(row), length(row)
	if p.null != nil {
		factor = inner(null, p.null) / inner(p.null, p.null)
		rest = slices.Clone(row)
		for i, v := range p.row {
			rest[i] -= float64(factor * v)
		}
		for i, v := range p.null {
			null[i] -= float64(factor * v)
		}
		row = rest
	}
	return row, factor, length(null) <= float64(surelyOpen*size)
}

// mayCheck reports whether every reading behind a quantity could be checked with
// the further one. It is false where the quantity follows a reading by more than the
// factor noticed, and that reading would still have no redundancy at all, whatever the
// weights.
func (p *prospect) mayCheck(row []float64, factor, noticed float64) bool {
	if math.Abs(factor) > noticed {
		return false // nothing else shows what the reading itself determines
	}
	d, gain := p.fit.exact.Sensitivity(row, nil), p.gain(row)
	for i := range p.s.system.used {
		if redundancy, of := p.with(i, d[i], gain); redundancy < surelyUnchecked && math.Abs(of) > noticed {
			return false
		}
	}
	return true
}

// gain is how much of what the reading moves the quantity q of a row moves with it:
//
//	cov(q, row)/(u(row)² + u(reading)²)
//
// It is 0 where nothing determined what the reading asks for.
func (p *prospect) gain(row []float64) float64 {
	if p.moves == nil {
		return 0
	}
	return p.fit.exact.Covariance(row, p.row) / (p.of + p.variance)
}

// with is what the redundancy of a used reading becomes with the further one, and what
// the sensitivity ∂q/∂yᵢ to it does. The row's own sensitivities are moves:
//
//	ρᵢ + (movesᵢ·uᵢ)²/(u(row)² + u(reading)²)
//	∂q/∂yᵢ − gain·movesᵢ
func (p *prospect) with(i int, sensitivity, gain float64) (redundancy, of float64) {
	redundancy, of = p.fit.redundancies()[i], sensitivity
	if p.moves != nil {
		redundancy += portable.Square(float64(p.moves[i]*p.s.system.obs[i].U)) / (p.of + p.variance)
		of -= float64(gain * p.moves[i])
	}
	return redundancy, of
}

// refinement says whether a reading separates axles of a group that no used
// reading did. It then shows an unknown that no other equation holds, and
// nothing that was known changes. known is false for sides: what the loads put
// on each becomes unknown with them.
func (y *system) refinement(r *tickets.Reading) (separates, known bool) {
	if onGauge(r) {
		return false, true
	}
	for _, t := range r.Terms {
		split := y.layout.splitOf(t.Group)
		switch {
		case t.Side != "" && !split.sides:
			return false, false
		case t.Axle > 0 && split.axles == 0:
			if axlesOf(&y.job.Outfit, t.Group) < 2 {
				return false, false
			}
			separates = true
		}
	}
	return separates, true
}

// furtherU is the standard uncertainty of a further reading, and the column of
// its scale's gain; −1 for a scale without one, whose gain is then part of u.
// known is false where the reading would make the scale's span better known.
func (y *system) furtherU(r *tickets.Reading, on *tickets.Scale) (u float64, column int, known bool) {
	job := withScale(y.job, on)
	scale, repeated := job.Scale(r.Scale), 1
	kind := repeatKey(&job.Outfit, r)
	for i := range y.used {
		if repeatKey(&job.Outfit, y.used[i]) == kind {
			repeated++
		}
	}
	u = readingU(job, r, repeated)
	then := largestOn(job, scale, []*tickets.Reading{r})
	column, used := y.layout.gain.of(r.Scale)
	if !used {
		own := float64(r.Kg.InexactFloat64() * gainU(scale, then))
		return portable.Hypot(u, own), -1, !zeroSeen(job, r.Scale)
	}
	now := largestOn(job, scale, y.all)
	return u, column, !then.load.GreaterThan(now.load) || gainU(scale, then) >= gainU(scale, now)
}

// fitFor is the fit that the bounds of a reading start from: with every tie
// that would then be in force, each at the least u it can have.
func (s *Solution) fitFor(r *tickets.Reading) *fitted {
	if fit, ok := s.further[r.State]; ok {
		return fit
	}
	y := *s.system
	y.rowRoom = nil // the rows of this copy are its own
	y.used = append(slices.Clip(y.used), r)
	y.ties = nil
	y.planTies()
	// Ties are the last observations: all before them stay as they are.
	n := len(y.obs) - len(s.ties)
	y.obs, y.rows, y.values = slices.Clone(y.obs[:n]), slices.Clone(y.rows[:n]), slices.Clone(y.values[:n])
	for i := range y.ties {
		y.observe(observation{Kind: byTie, Name: y.ties[i].name}, y.ties[i].row, 0)
	}
	fit, _ := y.solve(make([]float64, len(y.ties))) // nil where that cannot be solved
	if s.further == nil {
		s.further = map[tickets.State]*fitted{}
	}
	s.further[r.State] = fit
	return fit
}

// inner is Σ aᵢ·bᵢ, each product rounded by itself (see package portable).
func inner(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += float64(v * b[i])
	}
	return sum
}

// length is √Σ aᵢ².
func length(a []float64) float64 { return math.Sqrt(inner(a, a)) }
