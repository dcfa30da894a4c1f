package derive

import (
	"math"
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/shelf"
	"reconcile/internal/tickets"
)

// The limits of the rounds in which the ties' uncertainties settle, of what is called
// determined, and of the tests of agreement.
const (
	maxRounds      = 20
	convergedKg    = 1e-6   // no load moves by more
	notConvergedKg = 0.01   // in the last round
	maxDeterminedU = 500.0  // kg, expanded
	coverage       = 2.0    // U = 2u
	criticalW      = 3.2905 // |w| beyond it has the probability 0.001
	smallestDOF    = 1
	conflictP      = 0.001
	strainedP      = 0.05
	inseparable    = 0.999999 // correlation of two residuals
	noticeable     = 0.01     // ∂value/∂reading that matters
)

// Solution is a solved Job. It keeps what it was asked for, and is for one goroutine
// at a time.
type Solution struct {
	Job          *tickets.Job
	Observations []observation  // used readings, then stated masses, …, ties last
	Used         []observation  // those of the used readings
	Masses, Ties []observation  // those of stated masses and of ties
	Agreement    agreement      // of all the readings, ties and stated masses included
	Freed        Quantity       // the zero of the scale that Options free, in kilograms
	Work         int            // about how many multiplications it took
	Unknown      []unknownShare // shares that were assumed
	ties         []tie
	system       *system
	fit          *fitted
	untied       *fitted // the fit without ties; nil until asked for
	previous     *fitted // the round before, where the rounds did not converge
	amounts      []float64
	decks        [][]float64               // see deckRows; nil until asked for
	figures      *figures                  // nil until asked for
	further      map[tickets.State]*fitted // see fitFor
	doubts       doubts
	alone        map[int]float64 // χ² of the others, by observation; see Without
	looked       bool            // whether doubts were looked for
	lists                        // what was asked for so far
	shelf.Lent[Solution]
}

// lists are what a solution was asked for, each worked out once. They are of use to
// the solution that is written into their memory.
type lists struct {
	sums       []groupSum      // those that Sum was asked for
	weighings  []weighing      // see weighedAs
	quantities []namedQuantity // see quantities
	onDeck     []Quantity      // see Results
	zeros      []unreadZero    // see Doubts
	causes     causes          // see contributors
	rows       []sensitivity   // those that were asked for
	place      *figures        // where figures are
	indices    shelf.Shelf[int]
	numbers    shelf.Shelf[float64]
}

// emptied is the same memory without anything in it.
func (l lists) emptied() lists {
	l.sums, l.weighings, l.quantities, l.rows = l.sums[:0], l.weighings[:0], l.quantities[:0], l.rows[:0]
	l.onDeck, l.zeros, l.causes = l.onDeck[:0], l.zeros[:0], l.causes.emptied()
	l.indices.Clear()
	l.numbers.Clear()
	return l
}

// sensitivity is how a quantity depends on the observations.
type sensitivity struct {
	row   *float64 // the first number of the quantity's row, by which it is known again
	byObs []float64
}

// sensitivity is ∂q/∂y of a determined quantity, one for each observation, worked out
// once: checks and budgets ask for those of the same loads. Nobody changes them.
func (s *Solution) sensitivity(q Quantity) []float64 {
	for i := range s.rows {
		if known := &s.rows[i]; known.row == &q.row[0] {
			return known.byObs
		}
	}
	d := s.fit.sensitivity(q.row, s.numbers.List(len(s.fit.obs)))
	s.rows = append(s.rows, sensitivity{&q.row[0], d})
	return d
}

// Solve derives everything that the job's readings hold. Readings that contradict each
// other are solved too, and the agreement says so. It refuses a move of a
// load, or to a place, that is not stated or has no position; else it fails only where
// the equations cannot be solved at all, which no job that was read can cause.
func Solve(job *tickets.Job, o Options) (*Solution, error) {
	for _, m := range o.Moves {
		if err := movable(job, m); err != nil {
			return nil, err
		}
	}
	s := new(Solution)
	if err := s.solved(job, o); err != nil {
		return nil, err
	}
	s.Agreement = s.fit.agreement(len(s.system.obs), s.fillObservations())
	if o.FreeZero != nil {
		s.Freed = s.zero(*o.FreeZero)
	}
	return s, nil
}

// solved makes s the solution of a job of which nothing is said of the observations yet.
func (s *Solution) solved(job *tickets.Job, o Options) error {
	y := newSystem(job, o)
	*s = Solution{Job: job, system: y, ties: y.ties, Unknown: y.Unknown, Work: y.work(), lists: y.lists.emptied()}
	shelf.Lend(&s.Lent, s, takeBack)
	return s.rounds()
}

// takeBack lets other solutions have the memory of this one, which then holds nothing: its
// methods panic.
func takeBack(s *Solution) {
	y := s.system
	for _, f := range [...]*fitted{s.fit, s.untied, s.previous} {
		f.release()
	}
	y.lists = s.lists
	*s = Solution{}
	systems.Put(y)
}

// rounds solves until no load moves: the uncertainty of a tie grows with the
// amount that its ratio multiplies, which the solution before it gives:
//
//	u² = t² + (amount·u(ratio))²
//
// The first round takes the amounts as 0, the ties at their most certain. Three
// rounds are usual, as u(ratio) is small. Should the loads still
// move in the last one, those that do are not determined (see quantity).
func (s *Solution) rounds() error {
	s.amounts = make([]float64, len(s.ties))
	for round := 1; ; round++ {
		fit, err := s.system.solve(s.amounts)
		if err != nil {
			return err
		}
		before := s.fit
		s.fit = fit
		settled := len(s.ties) == 0 || before != nil && s.largestShift(before) <= convergedKg
		if !settled && round == maxRounds {
			s.previous = before
			return nil
		}
		before.release()
		if settled {
			return nil
		}
		for i := range s.ties {
			s.amounts[i], _, _ = s.judged(s.ties[i].amount).Number()
		}
	}
}

// largestShift is the largest change of a determined load since another round, in
// kilograms. Supports alone count: masses, gains and zeros follow them.
func (s *Solution) largestShift(before *fitted) float64 {
	largest := 0.0
	for c := range s.system.layout.supports {
		now, ok := s.fit.unknown(c)
		was, also := before.unknown(c)
		if ok && also {
			largest = max(largest, portable.Kg(math.Abs(now-was)))
		}
	}
	return largest
}

// fillObservations takes residuals and tests over from the fit: w = residual/(u·√r) and
// the smallest detectable error 4.1321·u/√r, r being the redundancy. suspect says
// whether one of them is.
func (s *Solution) fillObservations() (suspect bool) {
	s.Observations = s.system.obs
	n, used := len(s.Observations), len(s.system.used)
	s.Used, s.Masses, s.Ties = s.Observations[:used], s.Observations[used:used+len(s.system.loads)], s.Observations[n-len(s.ties):]
	for i := range s.Observations {
		o := &s.Observations[i]
		o.Residual, o.Redundancy = s.fit.residual(i), portable.Ratio(s.fit.redundancies()[i])
		if w, ok := s.fit.standardised(i); ok {
			o.Standardised, o.Testable = w, true
			o.Smallest, _ = s.fit.smallestDetectable(i)
			o.Suspect = math.Abs(w) > criticalW
			suspect = suspect || o.Suspect
		}
	}
	return suspect
}

// Quantity is a linear combination of unknowns with its standard uncertainty, or a
// figure worked out of some. Its number can be had only through Number, which says
// whether it is determined: what is not known must not be read as 0 kg.
type Quantity struct {
	value, u   float64
	Determined bool // it has a number
	vague      bool // fixed in principle, but U > 500 kg
	// Weighed is true where one used reading had exactly these supports on the deck, ByMoment
	// where it is not determined without the moment ties; where neither is, it is a difference.
	Weighed, ByMoment bool
	row               []float64 // nil of a figure, and of a support that is not solved separately
}

// Number returns value and standard uncertainty, in kilograms but for some
// [Solution.Figures]; ok is false where the quantity is not determined, and both are then 0.
func (q Quantity) Number() (value, u float64, ok bool) {
	if !q.Determined {
		return 0, 0, false
	}
	return q.value, q.u, true
}

// weigh notes that a used reading had just its supports on the deck: then it is close to
// what a ticket says, whether or not the ties were needed too.
func (q *Quantity) weigh() { q.Weighed, q.ByMoment = true, false }

// fixedOnlyTo returns U in kilograms of a quantity that is fixed, but too
// vaguely to be called determined.
func (q Quantity) fixedOnlyTo() (U float64, ok bool) {
	return float64(coverage * q.u), q.vague
}

// quantity judges a row, and says how what is determined came about.
func (s *Solution) quantity(row []float64) Quantity {
	q := s.judged(row)
	q.ByMoment = q.Determined && s.leansOnTies(row)
	return q
}

// judged judges a row without asking what it is without the ties: determined is what the
// null space leaves alone, with U of 500 kg at most, and what did not move in the last
// round. What is known to half a tonne is as good as unknown, and is called so instead of
// being compared with a rating; such a load is fixed by an assumed share or a vague
// stated mass.
func (s *Solution) judged(row []float64) Quantity {
	q := Quantity{row: row}
	if row == nil {
		return q
	}
	value, u, fixed := s.fit.estimate(row)
	if !fixed {
		return q
	}
	q.value, q.u = value, u
	switch {
	case math.IsNaN(q.value) || math.IsNaN(q.u) || float64(coverage*q.u) > maxDeterminedU:
		q.vague = !math.IsNaN(q.u)
	case s.previous != nil && s.movedBy(row, q.value) > notConvergedKg:
	default:
		q.Determined = true
	}
	return q
}

// movedBy is how far a value moved in the last round, in kilograms.
func (s *Solution) movedBy(row []float64, value float64) float64 {
	before, _, _ := s.previous.estimate(row)
	return portable.Kg(math.Abs(value - before))
}

// leansOnTies says whether a row is not determined without the moment ties. Such a
// quantity is called by moments: the reader has to know that no scale showed it, and
// that it is as good as the lengths and the level of the outfit.
func (s *Solution) leansOnTies(row []float64) bool {
	if len(s.ties) == 0 {
		return false
	}
	untied := s.withoutTies()
	if untied == nil {
		return true
	}
	_, u, determined := untied.estimate(row)
	return !determined || float64(coverage*u) > maxDeterminedU
}

// withoutTies is fitWithoutTies, solved once.
func (s *Solution) withoutTies() *fitted {
	if s.untied == nil {
		s.untied = s.system.fitWithoutTies()
	}
	return s.untied
}

// fitWithoutTies solves the same unknowns without the ties, which are the last
// observations; nil where that cannot be solved. Unknowns that the ties alone
// determined are then in the null space.
func (y *system) fitWithoutTies() *fitted {
	f, err := y.solve(nil)
	if err != nil {
		return nil
	}
	return f
}

// Part is a factor times the load on a support in a state, or times the mass of a load
// that a used reading names: readings with and without it correct the mass that was
// typed.
type Part struct {
	Factor  float64
	State   tickets.State
	Support tickets.Term
	Load    string // blank: the load on the support
}

// supportLoad is a factor times the load on a support in a state.
func supportLoad(factor float64, state tickets.State, support tickets.Term) Part {
	return Part{Factor: factor, State: state, Support: support}
}

// Sum returns any linear combination of support loads and masses:
//
//	Σ factor·load,  u² = rowᵀ·cov(x)·row
//
// Their covariance is in u: what two of them have in common, a gain or a reading of
// both, is not counted twice. It is called weighed where a reading had just
// these supports on the deck: the figure is then close to what a ticket says. A support
// that is not solved separately, or not loaded in that state, and a load that no used
// reading names, leave the sum not determined.
func (s *Solution) Sum(parts ...Part) Quantity {
	which, whole := wholeGroups(parts)
	if !whole {
		return s.sum(parts)
	}
	for i := range s.sums {
		if known := &s.sums[i]; known.groupsIn == which {
			return known.Quantity
		}
	}
	q := s.sum(parts)
	if cap(s.sums) == 0 {
		s.sums = make([]groupSum, 0, sumsExpected)
	}
	s.sums = append(s.sums, groupSum{which, q})
	return q
}

// sumsExpected is the number of such loads that most records list.
const sumsExpected = 16

// groupSum is the load on groups together: ratings, questions and the record ask for the
// same few again and again.
type groupSum struct {
	groupsIn
	Quantity
}

// groupsIn is some groups, bits by groupIndex, in a state, by its place.
type groupsIn struct{ state, groups uint8 }

// wholeGroups says of which groups a sum is the load in one state, each as a whole and
// counted once; ok is false of any other sum.
func wholeGroups(parts []Part) (which groupsIn, ok bool) {
	for i := range parts {
		p := &parts[i]
		bit := uint8(1) << groupIndex(p.Support.Group)
		if p.Factor != 1 || p.Load != "" || p.State != parts[0].State || p.Support.Axle != 0 || p.Support.Side != "" || which.groups&bit != 0 {
			return which, false
		}
		which.groups |= bit
	}
	if len(parts) == 0 {
		return which, false
	}
	which.state = uint8(stateIndex(parts[0].State))
	return which, true
}

func (s *Solution) sum(parts []Part) Quantity {
	row := s.system.row()
	var on columnSet
	plain := len(parts) > 0
	for _, p := range parts {
		solved := false
		s.eachColumn(p, func(c int) {
			row[c] += p.Factor
			solved = true
			if p.Load == "" { // a set holds supports only: masses come after them, and are many
				on.add(c)
			}
		})
		if !solved {
			return Quantity{}
		}
		plain = plain && p.Factor == 1 && p.State == parts[0].State && p.Load == ""
	}
	q := s.quantity(row)
	if q.Determined && plain && s.weighedAs(parts[0].State, on) {
		q.weigh()
	}
	return q
}

// eachColumn hands over the columns of a part: none where it is not solved.
func (s *Solution) eachColumn(p Part, do func(int)) {
	if p.Load == "" {
		s.system.layout.eachColumn(&s.Job.Outfit, p.State, p.Support, do)
	} else if c, ok := s.system.layout.mass.of(p.Load); ok {
		do(c)
	}
}

// load is the load on a support in a state.
func (s *Solution) load(state tickets.State, support tickets.Term) Quantity {
	return s.Sum(supportLoad(1, state, support))
}

// total is the load on groups together in a state.
func (s *Solution) total(state tickets.State, groups ...tickets.Group) Quantity {
	var room [3]Part // no state has more groups
	parts := room[:0]
	for _, g := range groups {
		parts = append(parts, supportLoad(1, state, tickets.Term{Group: g}))
	}
	return s.Sum(parts...)
}

// weighedAs says whether one used reading had exactly these supports on the deck.
// A difference of two readings is as good a number, but nobody read it. A reading with
// a load missing counts: the load was added by its stated mass.
func (s *Solution) weighedAs(state tickets.State, on columnSet) bool {
	if len(s.weighings) == 0 {
		for _, r := range s.system.used {
			if !onGauge(r) {
				s.weighings = append(s.weighings, weighing{stateIndex(r.State), s.cellsOf(r.State, r.Terms)})
			}
		}
	}
	return slices.Contains(s.weighings, weighing{stateIndex(state), on})
}

// weighing is what was on the deck in a used reading, as columns of its state, which is
// given by its place.
type weighing struct {
	state int
	on    columnSet
}

// columnSet is a set of columns of support loads, of which there are fewer
// than 256: nine axles a group, two sides, three states.
type columnSet [4]uint64

func (c *columnSet) add(column int) { c[column/64] |= 1 << (column % 64) }

func (c *columnSet) has(column int) bool { return c[column/64]&(1<<(column%64)) != 0 }

// cellsOf is the columns of supports, as a set: front.left with front.right is front.
func (s *Solution) cellsOf(state tickets.State, terms []tickets.Term) (set columnSet) {
	for _, t := range terms {
		s.system.layout.eachColumn(&s.Job.Outfit, state, t, set.add)
	}
	return set
}

// covariance is that of two determined quantities, in kg².
func (s *Solution) covariance(a, b Quantity) float64 {
	return s.fit.covariance(a.row, b.row)
}

// Split says how far a group is solved separately: axles 0 is not by axle.
func (s *Solution) Split(g tickets.Group) (axles int, sides bool) {
	split := s.system.layout.splitOf(g)
	return split.axles, split.sides
}
