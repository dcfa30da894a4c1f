package derive

import (
	"fmt"
	"math"
	"slices"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// namedQuantity is a quantity under its name in the record.
type namedQuantity struct {
	Name string
	Quantity
	Budget []contribution // to its uncertainty, the largest first; see budget
}

// quantities lists every load that is solved, in kilograms: the groups and the
// vehicle's totals state by state, then the finer supports where they are solved
// separately, then what concerns the outfit as a whole. They are all in travelling
// condition, also those of the states in which nothing was weighed: mass conservation
// and the ties reach these, or they are not determined.
func (s *Solution) quantities() []namedQuantity {
	all := slices.Grow(s.lists.quantities[:0], s.system.layout.supports+quantitiesExpected)
	add := func(name string, q Quantity) { all = append(all, namedQuantity{Name: name, Quantity: q}) }
	for i, state := range states {
		for _, g := range stateGroups(state) {
			add(groupNames[i][groupIndex(g)], s.load(state, tickets.Term{Group: g}))
			if g == tickets.Rear {
				add(vehicleNames[i], s.total(state, vehicleGroups...))
			}
		}
	}
	for _, state := range states {
		for _, g := range stateGroups(state) {
			for _, t := range s.finer(g) {
				add(string(state)+"."+tickets.Spell(t), s.load(state, t))
			}
		}
	}
	f := s.Figures()
	add("trailer_mass", f.TrailerMass)
	add("combination", s.combination())
	add("download", f.Download)
	add("front_lift", f.FrontLift)
	add("front_restored", f.FrontRestored)
	s.lists.quantities = all
	return all
}

// groupNames and vehicleNames are the names of the loads on groups and vehicle, by the
// place of their state and by groupIndex: every job has the same.
var groupNames, vehicleNames = func() (groups [stateCount][groupCount]string, vehicles [stateCount]string) {
	for i, state := range states {
		for _, g := range stateGroups(state) {
			groups[i][groupIndex(g)] = string(state) + "." + string(g)
		}
		vehicles[i] = string(state) + ".vehicle"
	}
	return groups, vehicles
}()

// quantitiesExpected is the number of those that are listed in addition to the supports: totals
// and what concerns the outfit as a whole.
const quantitiesExpected = 8

// finer lists the supports below a group that are solved: axles, sides, and
// sides of axles. Axles come from the front, left before right.
func (s *Solution) finer(g tickets.Group) []tickets.Term {
	split := s.system.layout.splitOf(g)
	var terms []tickets.Term
	for a := 1; a <= split.axles; a++ {
		terms = append(terms, tickets.Term{Group: g, Axle: a})
	}
	if !split.sides {
		return terms
	}
	for a := 0; a <= split.axles; a++ {
		for _, side := range []tickets.Side{tickets.Left, tickets.Right} {
			terms = append(terms, tickets.Term{Group: g, Axle: a, Side: side})
		}
	}
	return terms
}

// imbalances lists the differences that the readings distinguish, determined ones
// only: left less right, and an axle less the next one of its group. Their u is less
// than that of the two loads in quadrature, as the gain of the scale is common to both.
func (s *Solution) imbalances() []namedQuantity {
	var all []namedQuantity
	for _, state := range states {
		for _, g := range stateGroups(state) {
			all = s.imbalancesOf(all, state, g)
		}
	}
	return all
}

// imbalancesOf adds those of one group: sides of the group, sides of each axle, then
// each axle with the next. They are called coupled_slack.rear.left_right,
// coupled_slack.rear.1.left_right, coupled_slack.rear.1_2.
func (s *Solution) imbalancesOf(all []namedQuantity, state tickets.State, g tickets.Group) []namedQuantity {
	split := s.system.layout.splitOf(g)
	add := func(a, b tickets.Term, format string, axles ...any) {
		if q := s.Sum(supportLoad(1, state, a), supportLoad(-1, state, b)); q.Determined { // a name costs more than a sum
			all = append(all, namedQuantity{Name: fmt.Sprintf("%s.%s.", state, g) + fmt.Sprintf(format, axles...), Quantity: q})
		}
	}
	if split.sides {
		add(tickets.Term{Group: g, Side: tickets.Left}, tickets.Term{Group: g, Side: tickets.Right}, "left_right")
	}
	for a := 1; a <= split.axles; a++ {
		if split.sides && split.axles > 1 {
			add(tickets.Term{Group: g, Axle: a, Side: tickets.Left}, tickets.Term{Group: g, Axle: a, Side: tickets.Right}, "%d.left_right", a)
		}
	}
	for a := 1; a < split.axles; a++ {
		add(tickets.Term{Group: g, Axle: a}, tickets.Term{Group: g, Axle: a + 1}, "%d_%d", a, a+1)
	}
	return all
}

// results are what a record lists of a solution.
type results struct {
	OnDeck     []Quantity      // by reading of Job.Readings, used or not; see loadOn
	Quantities []namedQuantity // see quantities
	Imbalances []namedQuantity // see imbalances
	Routes     []route         // see routes
	// WithoutTies is the agreement with the moment ties left out: mass is conserved, and
	// nothing is said of levers. OnlyTies is true where readings that disagree with the
	// ties agree without them: then a length is wrong, or the outfit was not level.
	WithoutTies agreement
	OnlyTies    bool
}

// Results lists what was on the deck of every reading, every load that is solved, what the two sides and neighbouring axles
// differ by, the download by each route to it, and how readings agree without the ties.
func (s *Solution) Results() results {
	all := s.quantities()
	for i := range all {
		all[i].Budget = s.budget(all[i].Quantity)
	}
	onDeck := slices.Grow(s.lists.onDeck[:0], len(s.Job.Readings))
	for i := range s.Job.Readings {
		onDeck = append(onDeck, s.loadOn(i))
	}
	s.lists.onDeck = onDeck
	without, only := s.agreementWithoutTies()
	return results{onDeck, all, s.imbalances(), s.routes(), without, only}
}

// figures are what is said of the outfit as a whole: masses and loads in kilograms,
// and what is worked out of them in other units.
type figures struct {
	// TrailerMass is the whole trailer, download included: its axles and its nose when
	// it is uncoupled. Of a drawbar trailer it is what its axles carry.
	TrailerMass Quantity
	// Download is the static coupling download, hitch slack: coupled slack vehicle −
	// vehicle alone. By conservation of mass it also is the trailer alone less its axles
	// coupled. A gauge under the coupling weighs just this.
	Download Quantity
	// FrontLift is what the trailer takes off the front axle, hitch slack: (a/w)·D for a
	// coupling a behind the rear axle. Negative for one ahead of it.
	FrontLift Quantity
	// FrontRestored is what the tensioned hitch puts back on the front axle. More than
	// FrontLift presses that axle down harder than it is without the trailer.
	FrontRestored Quantity

	DownloadShare    Quantity // download / trailer mass
	TrailerToVehicle Quantity // trailer mass / vehicle alone
	Restoration      Quantity // front_restored / front_lift
	HitchMoment      Quantity // in kg·m
	VehicleCG        Quantity // in mm behind the front axle
	TrailerCG        Quantity // in mm ahead of the trailer's axle
}

// Figures works the figures out, once. Nobody changes them.
func (s *Solution) Figures() *figures {
	if s.figures != nil {
		return s.figures
	}
	if s.place == nil {
		s.place = new(figures)
	}
	f := s.place
	*f = figures{
		TrailerMass:   s.total(tickets.TrailerAlone, groupsOf(&s.Job.Outfit, tickets.TrailerAlone)...),
		Download:      s.download(),
		FrontLift:     s.frontLess(tickets.VehicleAlone, tickets.CoupledSlack),
		FrontRestored: s.frontLess(tickets.CoupledTensioned, tickets.CoupledSlack),
	}
	f.DownloadShare = s.quotient(f.Download, f.TrailerMass).rounded(portable.Ratio)
	f.TrailerToVehicle = s.trailerToVehicle(f.TrailerMass, s.total(tickets.VehicleAlone, vehicleGroups...))
	f.Restoration = s.restoration(f)
	f.HitchMoment = hitchMoment(&s.Job.Outfit, f.FrontRestored)
	f.VehicleCG = s.vehicleCG()
	f.TrailerCG = s.trailerCG(f)
	s.figures = f
	return f
}

// frontLess is what the front axle carries in one state less what it carries in another.
func (s *Solution) frontLess(a, b tickets.State) Quantity {
	front := tickets.Term{Group: tickets.Front}
	return s.Sum(supportLoad(1, a, front), supportLoad(-1, b, front))
}

// download is weighed where a gauge was read.
func (s *Solution) download() Quantity {
	row := s.system.row()
	s.system.addDownload(row, 1)
	q := s.quantity(row)
	for _, r := range s.system.used {
		if q.Determined && onGauge(r) {
			q.weigh()
		}
	}
	return q
}

// combination is vehicle and trailer together; the download counts once, as it is in
// the vehicle's axle loads and no longer in the trailer's. Bars slack or tensioned, it
// is the same mass (see conserve), and either weighing of it is a weighing.
func (s *Solution) combination() Quantity {
	q := s.total(tickets.CoupledSlack, coupledGroups...)
	if q.Determined && s.weighedAs(tickets.CoupledTensioned, s.system.layout.allOf(tickets.CoupledTensioned, coupledGroups)) {
		q.weigh()
	}
	return q
}

// figure is a determined value in another unit than kilograms, or nothing. It
// is worked out from numbers that passed the door and rounded again: a ratio to 1e-9,
// millimetres and kg·m to 1e-6.
type figure struct {
	value, u   float64
	determined bool
}

// rounded takes a figure through the door.
func (f figure) rounded(to func(float64) float64) Quantity {
	if !f.determined {
		return Quantity{}
	}
	return Quantity{value: to(f.value), u: uncertainty(f.u, to), Determined: true}
}

// quotient returns a/b to first order with the full covariance, not rounded yet:
//
//	u(q)² = (u(a)² + q²·u(b)² − 2q·cov(a, b))/b²,  q = a/b
//
// Source: JCGM 100:2008, 5.2.2. The covariance matters: download and trailer mass
// come out of the same readings.
func (s *Solution) quotient(a, b Quantity) figure {
	x, ux, okA := a.Number()
	y, uy, okB := b.Number()
	if !okA || !okB || y == 0 {
		return figure{}
	}
	q := x / y
	variance := (float64(ux*ux) + float64(float64(float64(q*q)*uy)*uy) - float64(float64(2*q)*s.covariance(a, b))) / float64(y*y)
	return figure{q, math.Sqrt(math.Max(variance, 0)), true}
}

// timesLength multiplies a figure by factors of lengths, each length with its
// share ∂ln(figure)/∂length of the relative uncertainty, all of standard uncertainty
// ul, in mm, and independent of each other and of the readings.
func (f figure) timesLength(factor float64, ul float64, relative ...float64) figure {
	if !f.determined {
		return f
	}
	u := float64(factor * f.u)
	for _, r := range relative {
		u = portable.Hypot(u, float64(float64(float64(f.value*factor)*r)*ul))
	}
	return figure{float64(f.value * factor), u, true}
}

// trailerToVehicle is the quotient again, for a vehicle that weighs something.
func (s *Solution) trailerToVehicle(trailer, vehicle Quantity) Quantity {
	x, ux, okA := trailer.Number()
	y, uy, okB := vehicle.Number()
	if !okA || !okB || y <= 0 {
		return Quantity{}
	}
	r := x / y
	// Trailer and vehicle were on the same scale, and its gain moves both alike: without
	// the covariance the ratio would look vaguer than it is.
	variance := float64(ux*ux) + portable.Square(float64(r*uy)) - float64(float64(2*r)*s.covariance(trailer, vehicle))
	return figure{r, math.Sqrt(max(variance, 0)) / y, true}.rounded(portable.Ratio)
}

// restoration is how much of what the trailer took off the front axle the tensioned
// bars put back. It is not determined unless front_lift exceeds its U: over a lift that
// may be nothing it says nothing.
func (s *Solution) restoration(f *figures) Quantity {
	if v, u, ok := f.FrontLift.Number(); !ok || v <= float64(coverage*u) {
		return Quantity{}
	}
	return s.quotient(f.FrontRestored, f.FrontLift).rounded(portable.Ratio)
}

// hitchMoment is front_restored·w·L/(L + a) in kg·m: the moment M that the bars put
// between vehicle and trailer. The coupling gives up M/L of its download, to the
// trailer's axle, so that the front axle, w ahead of the rear one, gains
//
//	M/w + (a/w)·M/L = M·(L + a)/(L·w)
//
// Source: moments about the rear axle and about the trailer's axle.
func hitchMoment(o *tickets.Outfit, restored Quantity) Quantity {
	v, u, ok := restored.Number()
	if !ok || !o.Wheelbase.Known || !o.CouplingToTrailerAxle.Known || !o.RearAxleToCoupling.Known {
		return Quantity{}
	}
	w, l, a := o.Wheelbase.Mm, o.CouplingToTrailerAxle.Mm, o.RearAxleToCoupling.Mm
	if l+a == 0 {
		return Quantity{}
	}
	const perMetre = 1e-3
	moment := figure{v, u, true}.timesLength(float64(float64(perMetre*w)*l)/(l+a), o.LengthUncertaintyMm, 1/w, 1/l-1/(l+a), 1/(l+a))
	return moment.rounded(portable.Kg)
}

// vehicleCG is w·rear/vehicle, alone, in mm behind the front axle: the moments of
// the rear axle's load and of the vehicle's about the front axle are equal.
func (s *Solution) vehicleCG() Quantity {
	o := &s.Job.Outfit
	if !o.Wheelbase.Known {
		return Quantity{}
	}
	f := s.quotient(s.total(tickets.VehicleAlone, tickets.Rear), s.total(tickets.VehicleAlone, vehicleGroups...))
	return f.timesLength(o.Wheelbase.Mm, o.LengthUncertaintyMm, 1/o.Wheelbase.Mm).rounded(portable.Kg)
}

// trailerCG is L·download/trailer mass, in mm ahead of its axle: where the mass has
// to be for its moment about the axle to be the download's, D·L = m·x. Of a drawbar
// trailer, whose two axles are far from each other, the download says nothing of it.
func (s *Solution) trailerCG(f *figures) Quantity {
	o := &s.Job.Outfit
	if !o.CouplingToTrailerAxle.Known || o.Drawbar {
		return Quantity{}
	}
	share := s.quotient(f.Download, f.TrailerMass)
	return share.timesLength(o.CouplingToTrailerAxle.Mm, o.LengthUncertaintyMm, 1/o.CouplingToTrailerAxle.Mm).rounded(portable.Kg)
}
