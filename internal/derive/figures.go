package derive

import (
	"fmt"
	"math"
	"strconv"

	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// Named is a quantity under its name in the record.
type Named struct {
	Name string
	Quantity
}

// Quantities returns every load that is solved, in kilograms, under its name:
// groups and totals always, finer supports where solved separately. They are all in
// travelling condition, also those of the states in which nothing was weighed: mass
// conservation and the ties reach these, or they are not determined.
func (s *Solution) Quantities() []Named {
	var all []Named
	for _, state := range States {
		all = append(all, s.ofState(state)...)
	}
	return append(all,
		Named{"trailer_mass", s.TrailerMass()},
		Named{"combination", s.combination()},
		Named{"download", s.Download()},
		Named{"front_lift", s.FrontLift()},
		Named{"front_restored", s.FrontRestored()},
	)
}

// ofState is the loads of a state, groups before their parts, the vehicle's total
// after its rear.
func (s *Solution) ofState(state State) []Named {
	var all []Named
	for _, g := range state.groups() {
		all = append(all, Named{string(state) + "." + string(g), s.Load(state, tickets.Term{Group: g})})
		for _, t := range s.finer(g) {
			all = append(all, Named{string(state) + "." + SupportName(t), s.Load(state, t)})
		}
		if g == tickets.Rear {
			all = append(all, Named{string(state) + ".vehicle", s.Total(state, vehicleGroups...)})
		}
	}
	return all
}

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

// SupportName spells a support as the forms do: rear, rear.1, trailer.2.left.
func SupportName(t tickets.Term) string {
	name := string(t.Group)
	if t.Axle > 0 {
		name += "." + strconv.Itoa(t.Axle)
	}
	if t.Side != tickets.Both {
		name += "." + string(t.Side)
	}
	return name
}

// OnDeck spells terms as the forms do, joined by +.
func OnDeck(terms []tickets.Term) string {
	names := ""
	for i, t := range terms {
		if i > 0 {
			names += "+"
		}
		names += SupportName(t)
	}
	return names
}

// imbalance is left less right of a support, or one axle less the next.
type imbalance struct {
	Support string
	Quantity
}

// Imbalances returns the differences that the readings distinguish, determined ones
// only: left less right, and an axle less the next one of its group. Their u is less
// than that of the two loads in quadrature, as the gain of the scale is common to both.
func (s *Solution) Imbalances() []imbalance {
	var all []imbalance
	for _, state := range States {
		for _, g := range state.groups() {
			for _, i := range s.imbalancesOf(state, g) {
				if i.determined {
					all = append(all, i)
				}
			}
		}
	}
	return all
}

// imbalancesOf compares sides and neighbouring axles of one group: sides of the group,
// sides of each axle, then each axle with the next.
func (s *Solution) imbalancesOf(state State, g tickets.Group) []imbalance {
	split := s.system.layout.splitOf(g)
	difference := func(name string, a, b tickets.Term) imbalance {
		return imbalance{fmt.Sprintf("%s.%s %s", state, g, name), s.Sum(Part{1, state, a}, Part{-1, state, b})}
	}
	var all []imbalance
	if split.sides {
		all = append(all, difference("left-right", tickets.Term{Group: g, Side: tickets.Left}, tickets.Term{Group: g, Side: tickets.Right}))
	}
	for a := 1; a <= split.axles; a++ {
		if split.sides && split.axles > 1 {
			all = append(all, difference(fmt.Sprintf("%d left-right", a),
				tickets.Term{Group: g, Axle: a, Side: tickets.Left}, tickets.Term{Group: g, Axle: a, Side: tickets.Right}))
		}
	}
	for a := 1; a < split.axles; a++ {
		all = append(all, difference(fmt.Sprintf("%d-%d", a, a+1), tickets.Term{Group: g, Axle: a}, tickets.Term{Group: g, Axle: a + 1}))
	}
	return all
}

// figure is a determined value in another unit than kilograms, or nothing. It
// is worked out from numbers that passed the door and rounded again: a ratio to 1e-9,
// millimetres and kg·m to 1e-6.
type figure struct {
	value, u   float64
	determined bool
}

// Number returns value and standard uncertainty; ok is false where the figure
// is not determined.
func (f figure) Number() (value, u float64, ok bool) { return f.value, f.u, f.determined }

// rounded takes a figure through the door.
func (f figure) rounded(to func(float64) float64) figure {
	return figure{to(f.value), to(f.u), f.determined}
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
	variance := (float64(ux*ux) + float64(float64(float64(q*q)*uy)*uy) - float64(float64(2*q)*s.Covariance(a, b))) / float64(y*y)
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

// DownloadShare is download / trailer mass, as the trade states it: of a
// centre-axle trailer 0.06 to 0.12 or so.
func (s *Solution) DownloadShare() figure {
	return s.quotient(s.Download(), s.TrailerMass()).rounded(portable.Ratio)
}

// Restoration is front_restored / front_lift: how much of what the trailer took off
// the front axle the tensioned bars put back. It is not determined unless front_lift
// exceeds its U: over a lift that may be nothing it says nothing.
func (s *Solution) Restoration() figure {
	lift := s.FrontLift()
	if v, u, ok := lift.Number(); !ok || v <= float64(coverage*u) {
		return figure{}
	}
	return s.quotient(s.FrontRestored(), lift).rounded(portable.Ratio)
}

// HitchMoment is front_restored·w·L/(L + a) in kg·m: the moment M that the bars put
// between vehicle and trailer. The coupling gives up M/L of its download, to the
// trailer's axle, so that the front axle, w ahead of the rear one, gains
//
//	M/w + (a/w)·M/L = M·(L + a)/(L·w)
//
// Source: moments about the rear axle and about the trailer's axle.
func (s *Solution) HitchMoment() figure {
	o := &s.Job.Outfit
	v, u, ok := s.FrontRestored().Number()
	if !ok || !o.Wheelbase.Known || !o.CouplingToTrailerAxle.Known || !o.RearAxleToCoupling.Known {
		return figure{}
	}
	w, l, a := o.Wheelbase.Mm, o.CouplingToTrailerAxle.Mm, o.RearAxleToCoupling.Mm
	if l+a == 0 {
		return figure{}
	}
	const perMetre = 1e-3
	moment := figure{v, u, true}.timesLength(float64(float64(perMetre*w)*l)/(l+a), o.LengthUncertaintyMm, 1/w, 1/l-1/(l+a), 1/(l+a))
	return moment.rounded(portable.Kg)
}

// VehicleCG is w·rear/vehicle, alone, in mm behind the front axle: the moments of
// the rear axle's load and of the vehicle's about the front axle are equal.
func (s *Solution) VehicleCG() figure {
	o := &s.Job.Outfit
	if !o.Wheelbase.Known {
		return figure{}
	}
	f := s.quotient(s.Total(VehicleAlone, tickets.Rear), s.Total(VehicleAlone, vehicleGroups...))
	return f.timesLength(o.Wheelbase.Mm, o.LengthUncertaintyMm, 1/o.Wheelbase.Mm).rounded(portable.Kg)
}

// TrailerCG is L·download/trailer mass, in mm ahead of its axle: where the mass has
// to be for its moment about the axle to be the download's, D·L = m·x. Of a drawbar
// trailer, whose two axles are far from each other, the download says nothing of it.
func (s *Solution) TrailerCG() figure {
	o := &s.Job.Outfit
	if !o.CouplingToTrailerAxle.Known || o.TrailerKind == tickets.Drawbar {
		return figure{}
	}
	share := s.quotient(s.Download(), s.TrailerMass())
	return share.timesLength(o.CouplingToTrailerAxle.Mm, o.LengthUncertaintyMm, 1/o.CouplingToTrailerAxle.Mm).rounded(portable.Kg)
}
