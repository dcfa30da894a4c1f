package derive

import (
	"reconcile/internal/portable"
	"reconcile/internal/tickets"
)

// route is the download by one way of weighing it.
type route struct {
	Name     string // trailer, vehicle, front_lift, gauge
	Value, U float64
}

// routes returns the download by each route that the tickets allow, each from
// its own readings alone:
//
//	trailer      T − G    the trailer alone less its axles, coupled
//	vehicle      Vc − V   the vehicle coupled less alone
//	front_lift   (w/a)·(front alone − front coupled)
//	gauge        what a gauge under the coupling shows
//
// They are for a reader who wants to see with his own eyes that different ways of
// weighing agree; the result is the solution of all readings together. Weighings
// with the hitch tensioned are no route: with tension on the bars T − G and Vc − V
// differ from the static download by what the bars move.
func (s *Solution) routes() []route {
	routes := make([]route, 0, mostRoutes)
	var part Solution // of one route after the other
	if part.solvedPart(s, onTrailerRoute, trailerLoads) {
		var room [3]Part
		parts := append(room[:0], supportLoad(-1, tickets.CoupledSlack, tickets.Term{Group: tickets.Trailer}))
		for _, g := range groupsOf(&s.Job.Outfit, tickets.TrailerAlone) {
			parts = append(parts, supportLoad(1, tickets.TrailerAlone, tickets.Term{Group: g}))
		}
		routes = appendRoute(routes, "trailer", part.Sum(parts...))
		part.Release()
	}
	if part.solvedPart(s, onVehicleRoute, downloadLoads) {
		routes = appendRoute(routes, "vehicle", part.download())
		routes = part.appendFrontLift(routes)
		part.Release()
	}
	if part.solvedPart(s, onGauge, downloadLoads) {
		routes = appendRoute(routes, "gauge", part.download())
		part.Release()
	}
	return routes
}

// The loads that routes need: T and G, and those that the download is the difference of.
var (
	trailerLoads  = []groupsIn{loadsOn(tickets.TrailerAlone, trailerGroups...), loadsOn(tickets.CoupledSlack, tickets.Trailer)}
	downloadLoads = []groupsIn{loadsOn(tickets.VehicleAlone, vehicleGroups...), loadsOn(tickets.CoupledSlack, vehicleGroups...)}
)

// loadsOn are groups in a state.
func loadsOn(state tickets.State, groups ...tickets.Group) groupsIn {
	in := groupsIn{state: uint8(stateIndex(state))}
	for _, g := range groups {
		in.groups |= 1 << groupIndex(g)
	}
	return in
}

// mostRoutes is the number of routes there are.
const mostRoutes = 4

// solvedPart makes p the solution of the readings of one route, mass not conserved between
// states: with it the routes would lean on each other, and their difference show nothing. How its
// readings agree nobody asks. The loads that the route does not need have no column. It is
// false where there are no readings.
func (p *Solution) solvedPart(of *Solution, keep func(*tickets.Reading) bool, loads []groupsIn) bool {
	any := false
	for _, r := range of.system.used {
		any = any || keep(r)
	}
	if !any {
		return false
	}
	o := of.system.options
	o.free, o.keep, o.only, o.WithoutTies, o.partOf = true, keep, loads, allTies, of.system
	return p.solved(of.Job, o) == nil
}

// onTrailerRoute keeps what T − G needs: the trailer alone, and its axles coupled,
// bars slack. A gauge is a route of its own.
func onTrailerRoute(r *tickets.Reading) bool {
	return !onGauge(r) && (r.State == tickets.TrailerAlone || r.State == tickets.CoupledSlack && only(r, tickets.Trailer))
}

// onVehicleRoute keeps what Vc − V and the front axle's lift need: axles of the
// vehicle, together or separately, without the trailer's on the same deck.
func onVehicleRoute(r *tickets.Reading) bool {
	return r.State == tickets.VehicleAlone || r.State == tickets.CoupledSlack && only(r, tickets.Front, tickets.Rear)
}

// only says whether nothing but these groups was on the deck.
func only(r *tickets.Reading, groups ...tickets.Group) bool {
	for _, t := range r.Terms {
		in := false
		for _, g := range groups {
			in = in || t.Group == g
		}
		if !in {
			return false
		}
	}
	return true
}

// appendRoute adds a route that its readings determine: with no weighing of the vehicle
// alone, say, there is no Vc − V.
func appendRoute(routes []route, name string, q Quantity) []route {
	if v, u, ok := q.Number(); ok {
		return append(routes, route{name, v, u})
	}
	return routes
}

// appendFrontLift adds front_lift·w/a, with the uncertainty of the vehicle tie: moments
// about the rear axle, front_lift·w = D·a. So with D = lift/q, q = a/w,
//
//	u(D)² = (u(lift)² + t²)/q² + (D·u(q)/q)²
//
// t is how far the lift may be from (a/w)·D on a real vehicle (vehicleTieT).
func (s *Solution) appendFrontLift(routes []route) []route {
	o := &s.Job.Outfit
	lift, u, ok := s.frontLess(tickets.VehicleAlone, tickets.CoupledSlack).Number()
	if !ok || !o.RearAxleToCoupling.Known || !o.Wheelbase.Known {
		return routes
	}
	q := ratioOf(o.LengthUncertaintyMm, named{lengthW, o.Wheelbase}, named{lengthA, o.RearAxleToCoupling})
	if q.value == 0 { // a coupling over the rear axle lifts nothing, whatever rests on it
		return routes
	}
	d := lift / q.value
	u = portable.Hypot(u, vehicleTieT(o))                              // the lift is (a/w)·D to within t
	u = portable.Kg(portable.Hypot(u/q.value, float64(d*q.u)/q.value)) // ahead of it, a < 0, the front axle gains
	if float64(coverage*u) > maxDeterminedU {
		return routes
	}
	return append(routes, route{"front_lift", portable.Kg(d), u})
}
