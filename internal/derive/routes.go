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

// Routes returns the download by each route that the tickets allow, each from
// its own readings alone: trailer less its axles coupled (T − G), vehicle
// coupled less alone (Vc − V), the lift of the front axle times w/a, a gauge.
// Weighings with the hitch tensioned are no route: they are not the download.
func (s *Solution) Routes() []route {
	var routes []route
	if t := s.part(onTrailerRoute); t != nil {
		whole, axles := t.TrailerMass(), t.Load(CoupledSlack, tickets.Term{Group: tickets.Trailer})
		routes = appendRoute(routes, "trailer", t.Add(whole, -1, axles))
	}
	if v := s.part(onVehicleRoute); v != nil {
		routes = appendRoute(routes, "vehicle", v.Download())
		routes = append(routes, v.byFrontLift()...)
	}
	if g := s.part(onGauge); g != nil {
		routes = appendRoute(routes, "gauge", g.Download())
	}
	return routes
}

// part solves the readings of one route, mass not conserved between states: with
// it the routes would lean on each other, and their difference show nothing.
func (s *Solution) part(keep func(*tickets.Reading) bool) *Solution {
	any := false
	for _, r := range s.system.used {
		any = any || keep(r)
	}
	if !any {
		return nil
	}
	o := s.system.options
	o.free, o.keep, o.WithoutTies, o.partOf = true, keep, allTies, s.system
	p, err := solve(s.Job, o)
	if err != nil {
		return nil
	}
	return p
}

// onTrailerRoute keeps what T − G needs: the trailer alone, and its axles coupled,
// bars slack.
func onTrailerRoute(r *tickets.Reading) bool {
	return !onGauge(r) && (r.Setup == tickets.TrailerAlone || StateOf(r) == CoupledSlack && only(r, tickets.Trailer))
}

// onVehicleRoute keeps what Vc − V and the front axle's lift need.
func onVehicleRoute(r *tickets.Reading) bool {
	return r.Setup == tickets.VehicleAlone || StateOf(r) == CoupledSlack && only(r, tickets.Front, tickets.Rear)
}

// only says whether nothing but these groups stood on the deck.
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

// appendRoute adds a route that its readings determine.
func appendRoute(routes []route, name string, q Quantity) []route {
	if v, u, ok := q.Number(); ok {
		return append(routes, route{name, v, u})
	}
	return routes
}

// byFrontLift is front_lift·w/a, with the uncertainty of the vehicle tie.
func (s *Solution) byFrontLift() []route {
	o := &s.Job.Outfit
	lift, u, ok := s.FrontLift().Number()
	if !ok || !o.RearAxleToCoupling.Known || !o.Wheelbase.Known {
		return nil
	}
	q := ratioOf(o.LengthUncertaintyMm, named{lengthW, o.Wheelbase}, named{lengthA, o.RearAxleToCoupling})
	if q.value == 0 { // a coupling over the rear axle lifts nothing, whatever rests on it
		return nil
	}
	d := lift / q.value
	u = portable.Hypot(u, vehicleTieT(o))                              // the lift is (a/w)·D to within t
	u = portable.Kg(portable.Hypot(u/q.value, float64(d*q.u)/q.value)) // ahead of it, a < 0, the front axle gains
	if float64(coverage*u) > maxDeterminedU {
		return nil
	}
	return []route{{"front_lift", portable.Kg(d), u}}
}
