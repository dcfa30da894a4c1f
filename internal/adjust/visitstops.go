package adjust

import (
	"context"
	"fmt"
	"slices"

	"reconcile/internal/derive"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// states lists the drives in the order in which an outfit that arrives coupled
// makes them. It arrives in the state in which it travels, which comes first:
// nothing is done to the hitch before it.
func (v *visit) states() []tickets.State {
	all := []tickets.State{tickets.CoupledSlack, tickets.TrailerAlone, tickets.VehicleAlone}
	if v.job.Outfit.Travels == tickets.CoupledTensioned {
		all = append([]tickets.State{tickets.CoupledTensioned}, all...)
	}
	return all
}

// listStops fills in every stop, with the figures that agreeing loads would
// show: each is predicted from those before it.
func (v *visit) listStops(s *derive.Solution) error {
	for _, state := range v.states() {
		for _, stop := range v.stopsOf(state) {
			p := placed{state: state, scale: v.scale}
			for _, terms := range stop {
				p.Readings = append(p.Readings, toTake(state, &v.scale, terms))
			}
			v.stops = append(v.stops, p)
		}
	}
	if !v.job.Outfit.Drawbar { // which has no download to show
		g := onGauge()
		v.stops = append(v.stops, placed{state: g.Reading.State, stopover: stopover{[]tickets.Reading{g.Reading}}, gauge: true, scale: g.Scale})
	}
	for i := range v.stops {
		for k := range v.stops[i].Readings {
			if v.stop != nil && v.stop() {
				return context.Canceled
			}
			// Solved with each before the next: figures that agree leave no
			// residual, and so no strain that would widen a U.
			then, err := s.WithReading(&v.stops[i].Readings[k], &v.stops[i].scale)
			if err != nil {
				return fmt.Errorf("a plan of the visit: %w", err)
			}
			s = then
		}
	}
	return nil
}

// stopsOf lists the stops of a drive, in the order of driving, each with the
// sets of supports that it reads.
func (v *visit) stopsOf(state tickets.State) [][][]tickets.Term {
	switch {
	// One stop reads all groups at once, each on a deck of its own.
	case v.scale.Multi:
		return [][][]tickets.Term{each(v.groupsOf(state))}
	// One stop reads every wheel; with fewer pads than wheels they are moved on,
	// the outfit is not.
	case v.scale.Pads:
		return [][][]tickets.Term{v.wheels(v.groupsOf(state))}
	}
	var stops [][][]tickets.Term
	for _, groups := range v.rollOn(state) {
		stops = append(stops, [][]tickets.Term{terms(groups)})
	}
	for _, t := range v.axlesAsked(state) {
		stops = append(stops, [][]tickets.Term{{t}})
	}
	return stops
}

// rollOn is what is on a single deck while an outfit drives over it. The trailer
// alone is put down on it, jockey wheel and all. The parts come on and go off at
// the ends of the deck: front, front and rear, all, then without the front, then
// the trailer's axles by themselves.
func (v *visit) rollOn(state tickets.State) [][]tickets.Group {
	switch state {
	case tickets.VehicleAlone:
		return [][]tickets.Group{{tickets.Front}, {tickets.Front, tickets.Rear}, {tickets.Rear}}
	case tickets.TrailerAlone:
		return [][]tickets.Group{v.groupsOf(state)}
	}
	return [][]tickets.Group{
		{tickets.Front}, {tickets.Front, tickets.Rear}, {tickets.Front, tickets.Rear, tickets.Trailer},
		{tickets.Rear, tickets.Trailer}, {tickets.Trailer},
	}
}

// groupsOf lists what rests on the ground in a state, as the kind of trailer has it: the
// most that can be on one deck.
func (v *visit) groupsOf(state tickets.State) []tickets.Group {
	return slices.MaxFunc(derive.DecksOf(&v.job.Outfit, state), func(a, b []tickets.Group) int { return len(a) - len(b) })
}

// each is the groups one by one, a set of supports for each.
func each(groups []tickets.Group) [][]tickets.Term {
	var all [][]tickets.Term
	for _, t := range terms(groups) {
		all = append(all, []tickets.Term{t})
	}
	return all
}

// wheels reads every wheel, or side of an axle, on its own.
func (v *visit) wheels(groups []tickets.Group) [][]tickets.Term {
	var all [][]tickets.Term
	for _, g := range groups {
		if g == tickets.Nose {
			all = append(all, []tickets.Term{{Group: g}})
			continue
		}
		// Axle 0 is the group: of a single axle, or where the axles are not
		// counted.
		first, last := 0, 0
		if n := v.axlesOf(g); n > 1 {
			first, last = 1, n
		}
		for a := first; a <= last; a++ {
			all = append(all, []tickets.Term{{Group: g, Axle: a, Side: tickets.Left}}, []tickets.Term{{Group: g, Axle: a, Side: tickets.Right}})
		}
	}
	return all
}

// axlesOf is 0 where the outfit does not state it.
func (v *visit) axlesOf(g tickets.Group) int { return v.job.Outfit.Axles(g) }

// axlesAsked lists the axles of a group that have a rating of their own.
func (v *visit) axlesAsked(state tickets.State) []tickets.Term {
	var all []tickets.Term
	for _, g := range v.groupsOf(state) {
		// A rating of one axle is reason to read every axle of its group.
		asked := slices.ContainsFunc(v.needs, func(c limits.Check) bool {
			return c.Line != nil && slices.ContainsFunc(c.Line.Terms, func(t tickets.Term) bool { return t.Group == g && t.Axle > 0 })
		})
		for a := 1; asked && v.axlesOf(g) > 1 && a <= v.axlesOf(g); a++ {
			all = append(all, tickets.Term{Group: g, Axle: a})
		}
	}
	return all
}
