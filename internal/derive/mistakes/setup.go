package mistakes

import (
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/derive"
	"reconcile/internal/tickets"
)

// hypothesisFor is the hypothesis that the readings of a group should have been others.
// Several readings change together as one mistake, with one prior: somebody made
// one wrong assumption for all of them.
func (s *search) hypothesisFor(kind kind, g group, prior float64, change func(*tickets.Reading)) hypothesis {
	return hypothesis{
		Mistake: Mistake{Kind: kind, Scope: g.scope, Readings: g.readings},
		prior:   prior, touched: s.observed(g.readings),
		change: func(j *tickets.Job) {
			for _, i := range g.readings {
				change(&j.Readings[i])
			}
		},
	}
}

// hitchMistakes: the hitch was tensioned where the form says slack, or the
// other way; on a line, or on all of a ticket. An outfit that is stated to have
// no load-distribution hitch cannot have tensioned one.
func (s *search) hitchMistakes() []hypothesis {
	if s.Job.Outfit.TravelsStated && s.Job.Outfit.TravelsPlain {
		return nil
	}
	// A form that speaks of tensioned bars nowhere is mostly that of an outfit
	// without any, so that its readings are much less likely to have been taken
	// with them (priors.go).
	mentioned := ""
	if !s.tensioned && s.Job.Outfit.Travels != tickets.CoupledTensioned {
		mentioned = ", unmentioned"
	}
	var all []hypothesis
	for _, to := range coupledStates {
		// A reading whose tension is not known counts as not tensioned: it is
		// tried as tensioned only.
		other := func(r *tickets.Reading) bool {
			return r.State.Coupled() && (r.State == tickets.CoupledTensioned && !r.HitchUnknown) != (to == tickets.CoupledTensioned)
		}
		change := func(r *tickets.Reading) { r.State, r.HitchUnknown = to, false }
		for _, g := range s.groups(other) {
			all = append(all, s.hypothesisFor(hitchWrong, g, priorOf(hitchWrong, string(g.scope)+mentioned, 1), change))
		}
		for _, g := range s.runs(other) {
			all = append(all, s.hypothesisFor(hitchWrong, g, priorOf(hitchWrong, "visit"+mentioned, 1), change))
		}
	}
	return all
}

// longestRun bounds the tickets that are taken together for one state of the
// hitch: some thirty runs of eight tickets.
const longestRun = 8

// runs lists the sets of two tickets or more of one visit that follow each other:
// the bars stay as they are until somebody gets out.
func (s *search) runs(pass func(*tickets.Reading) bool) []group {
	var all []group
	for _, tickets := range s.visitsWith(pass) {
		for first := range tickets {
			run := group{scope: oneVisit, readings: slices.Clone(tickets[first].readings)}
			for last := first + 1; last < len(tickets) && last < first+longestRun; last++ {
				// The shorter run is in the list already and keeps its own
				// readings.
				run.readings = append(slices.Clone(run.readings), tickets[last].readings...)
				all = append(all, run)
			}
		}
	}
	for i := range all {
		slices.Sort(all[i].readings)
	}
	return all
}

// loadMistakes: a stated load was on board after all, or was not; or a person
// whom no form lists was in, or out. On a line, or on all of a ticket.
func (s *search) loadMistakes() []hypothesis {
	var all []hypothesis
	for i := range s.Job.Loads {
		l := &s.Job.Loads[i]
		// A load that is nowhere on the outfit, or only in a set of planned
		// ratings, is part of no reading.
		if l.On == "" || l.Set != "" {
			continue
		}
		for _, onBoard := range []bool{true, false} {
			could := func(r *tickets.Reading) bool { return couldBear(r, l) && s.onBoard(r, l.Name) != onBoard }
			for _, g := range s.groups(could) {
				h := s.hypothesisFor(loadWrong, g, priorOf(loadWrong, string(g.scope), 1), func(r *tickets.Reading) { s.put(r, l.Name, onBoard) })
				h.Load, h.OnBoard = l.Name, onBoard
				if l.Place != "" {
					h.Places = []string{l.Place}
				}
				all = append(all, h)
			}
		}
	}
	return append(all, s.personMistakes()...)
}

// couldBear says whether a load can have been in a reading at all, and shows.
// A gauge under the coupling is read below the trailer alone.
func couldBear(r *tickets.Reading, l *tickets.Load) bool {
	switch {
	case onGauge(r):
		return l.On == tickets.OnTrailer
	case l.On == tickets.OnVehicle:
		return r.State != tickets.TrailerAlone && !only(r, tickets.Trailer)
	}
	return r.State != tickets.VehicleAlone
}

// visits says whether a load is on board only in readings that say so.
// A job names such a load under `with` where it came along, and every other load
// under `without` where it stayed away.
func (s *search) visits(load string) bool {
	for i := range s.Job.Readings {
		if slices.Contains(s.Job.Readings[i].With, load) {
			return true
		}
	}
	return false
}

// onBoard says whether the form has a load on board in a reading. Without a word
// the load that visits is not, and any other is.
func (s *search) onBoard(r *tickets.Reading, load string) bool {
	if s.visits(load) {
		return slices.Contains(r.With, load)
	}
	return !slices.Contains(r.Without, load)
}

// put changes whether a load was on board in a reading.
func (s *search) put(r *tickets.Reading, load string, onBoard bool) {
	list := &r.Without
	if s.visits(load) {
		list = &r.With
	}
	// Without its name a load that visits was away and any other on board; the
	// name is put into the list only where it has to say the opposite.
	without := slices.DeleteFunc(slices.Clone(*list), func(n string) bool { return n == load })
	if s.visits(load) == onBoard {
		without = append(without, load)
	}
	*list = without
}

// The mass of a person whom no form lists, and its standard uncertainty.
//
// Common practice, no source: 75 to 80 kg a person in the rules for mass in
// running order; grown people mostly weigh 50 to 110 kg.
const (
	personKg = 80
	personU  = 15.0
)

// personMistakes: somebody got in or out. In a trailer alone, somebody stood
// in it or on the deck.
func (s *search) personMistakes() []hypothesis {
	var all []hypothesis
	for _, on := range []tickets.Unit{tickets.OnVehicle, tickets.OnTrailer} {
		// Such a person is tried on either unit; in the vehicle as got in and as
		// got out, in a trailer alone only as there, since nobody rides in a
		// trailer.
		l := tickets.Load{Name: unlistedPerson, Kg: decimal.NewFromInt(personKg), UKg: personU, On: on}
		for _, onBoard := range []bool{true, false} {
			could := func(r *tickets.Reading) bool {
				return couldBear(r, &l) && !onGauge(r) && (on == tickets.OnVehicle || onBoard && r.State == tickets.TrailerAlone)
			}
			for _, g := range s.groups(could) {
				all = append(all, s.person(g, l, onBoard))
			}
		}
	}
	return all
}

// person is the hypothesis that somebody was on board, or was not, in the
// readings of a group. Where one of their lines counts the people the form says
// so itself, and the hypothesis is less likely.
func (s *search) person(g group, l tickets.Load, onBoard bool) hypothesis {
	which := "person"
	if g.scope == oneTicket {
		which = "person, ticket"
	}
	for _, i := range g.readings {
		if s.Job.Readings[i].People != nil {
			which = "person, people stated"
		}
	}
	h := s.hypothesisFor(loadWrong, g, priorOf(loadWrong, which, 1), func(r *tickets.Reading) {
		if onBoard {
			r.With = append(slices.Clone(r.With), l.Name)
		} else {
			r.Without = append(slices.Clone(r.Without), l.Name)
		}
	})
	put := h.change
	h.change = func(j *tickets.Job) {
		// The load is new to the changed job only: changed has cloned the list.
		j.Loads = append(j.Loads, l)
		put(j)
	}
	h.Load, h.OnBoard, h.Places = unlistedPerson, onBoard, s.seats(l.On)
	return h
}

// seats lists the places of one unit, any of which a person may have been at: one
// hypothesis, as what he puts on each axle is one of its unknowns.
func (s *search) seats(on tickets.Unit) []string {
	var names []string
	for i := range s.Job.Places {
		if s.Job.Places[i].On == on {
			names = append(names, s.Job.Places[i].Name)
		}
	}
	return names
}

// coupledStates are those of the coupled outfit: with the bars slack and tensioned.
var coupledStates = []tickets.State{tickets.CoupledSlack, tickets.CoupledTensioned}

// setupMistakes: what was on the deck, or the setup, is wrong.
// The deck is a matter of one figure; the setup is one of all that was typed from
// a line or a ticket.
func (s *search) setupMistakes() []hypothesis {
	var all []hypothesis
	for _, i := range s.used {
		all = append(all, s.otherDecks(i)...)
	}
	for _, m := range takenForCoupled {
		for _, to := range s.coupled() {
			all = append(all, s.otherSetup(func(r *tickets.Reading) bool { return r.State == m.alone }, m.groups, to)...)
		}
		all = append(all, s.otherSetup(func(r *tickets.Reading) bool { return r.State.Coupled() }, m.groups, m.alone)...)
	}
	return append(all, s.notUnhitched()...)
}

// otherSetup: readings of a setup were taken in another. A support that the other
// has not got cannot have been on the deck in it.
func (s *search) otherSetup(of func(*tickets.Reading) bool, both []tickets.Group, to tickets.State) []hypothesis {
	var all []hypothesis
	for _, g := range s.groups(func(r *tickets.Reading) bool { return of(r) && only(r, both...) }) {
		which := "setup"
		if g.scope == oneTicket {
			which = "setup, ticket"
		}
		all = append(all, s.hypothesisFor(setupWrong, g, priorOf(setupWrong, which, 1), func(r *tickets.Reading) { s.reset(r, to) }))
	}
	return all
}

// notUnhitched: the trailer was on the hook when the form says alone, on a line
// or ticket that takenForCoupled does not have, or on all tickets of the job. Its
// jack carried nothing.
func (s *search) notUnhitched() []hypothesis {
	// A reading of the nose alone would have nothing left on the deck, once hook
	// has taken the nose off.
	alone := func(r *tickets.Reading) bool {
		return r.State == tickets.VehicleAlone || r.State == tickets.TrailerAlone && r.Terms[0].Group == tickets.Trailer
	}
	var tried []group
	for _, g := range s.groups(alone) {
		if s.offNose(g) || s.bothAlone(g) {
			tried = append(tried, g)
		}
	}
	// All tickets as one: whoever was not asked to unhitch did so nowhere.
	every := group{scope: oneVisit}
	for _, v := range s.visitsWith(alone) {
		for _, t := range v {
			every.readings = append(every.readings, t.readings...)
		}
	}
	slices.Sort(every.readings)
	// A single reading is a line, which is tried above or by otherSetup.
	if len(every.readings) > 1 {
		tried = append(tried, every)
	}
	var all []hypothesis
	for _, g := range tried {
		which := "not unhitched"
		if g.scope == oneVisit {
			which = "never unhitched"
		}
		for _, to := range s.coupled() {
			all = append(all, s.hypothesisFor(setupWrong, g, priorOf(setupWrong, which, 1), func(r *tickets.Reading) { s.hook(r, to) }))
		}
	}
	return all
}

// offNose says whether a group has a trailer with its nose on the deck, whose
// setup alone cannot be changed.
func (s *search) offNose(g group) bool {
	return slices.ContainsFunc(g.readings, func(i int) bool {
		r := &s.Job.Readings[i]
		return r.State == tickets.TrailerAlone && r.Terms[len(r.Terms)-1].Group == tickets.Nose
	})
}

// bothAlone says whether a group has the vehicle alone and the trailer alone.
// One ticket with both is a job weighed in two halves that were never separated;
// otherSetup changes one half at a time.
func (s *search) bothAlone(g group) bool {
	return slices.ContainsFunc(g.readings, func(i int) bool {
		return s.Job.Readings[i].State != s.Job.Readings[g.readings[0]].State
	})
}

// hook takes a reading as one of the coupled outfit: the same wheels, no jack.
// The terms are cloned first: a copied reading shares them with the job as typed.
func (s *search) hook(r *tickets.Reading, to tickets.State) {
	s.reset(r, to)
	r.Terms = slices.DeleteFunc(slices.Clone(r.Terms), func(t tickets.Term) bool { return t.Group == tickets.Nose })
	r.OnDeck = tickets.Spell(r.Terms...)
}

// takenForCoupled are the states that the coupled outfit can be taken for, or that for
// them, and the groups that both have.
var takenForCoupled = []struct {
	alone  tickets.State
	groups []tickets.Group
}{
	{tickets.VehicleAlone, vehicleGroups},
	{tickets.TrailerAlone, []tickets.Group{tickets.Trailer}},
}

// coupled lists the states that a reading of the coupled outfit can have been in.
// Bars that no reading has tensioned are not tensioned here: setup and bars would
// be two mistakes.
func (s *search) coupled() []tickets.State {
	if s.tensioned {
		return coupledStates
	}
	return coupledStates[:1]
}

// reset changes the state of a reading; loads of a unit that is then not
// there are neither on board nor missing.
func (s *search) reset(r *tickets.Reading, to tickets.State) {
	r.State, r.HitchUnknown = to, false
	// To the coupled outfit every load may belong: only the unit that is not
	// there takes its loads with it.
	gone := func(name string) bool {
		l := s.Job.Load(name)
		return l != nil && (to == tickets.VehicleAlone && l.On == tickets.OnTrailer || to == tickets.TrailerAlone && l.On == tickets.OnVehicle)
	}
	r.Without = slices.DeleteFunc(slices.Clone(r.Without), gone)
	r.With = slices.DeleteFunc(slices.Clone(r.With), gone)
}

// otherDecks tries everything else that can have been on the deck.
// The prior of a wheel on or off the deck is shared among all decks tried; a
// jockey wheel beyond the end of a short deck is a slip of its own (priors.go).
func (s *search) otherDecks(index int) []hypothesis {
	r := &s.Job.Readings[index]
	others := otherTerms(&s.Job.Outfit, r)
	var all []hypothesis
	for _, terms := range others {
		prior := priorOf(setupWrong, "deck", len(others))
		if isNose(r.Terms, terms) {
			prior = priorOf(setupWrong, "nose", 1)
		}
		h := s.hypothesisFor(setupWrong, group{oneFigure, []int{index}}, prior, func(r *tickets.Reading) { r.Terms, r.OnDeck = terms, tickets.Spell(terms...) })
		all = append(all, h)
	}
	return all
}

// isNose says whether two decks differ by the jockey wheel alone.
// A trailer's axles with the jockey wheel, and without it, are the decks most
// easily confused: a short deck ends between them.
func isNose(a, b []tickets.Term) bool {
	with, less := a, b
	if len(b) > len(a) {
		with, less = b, a
	}
	return len(with) == len(less)+1 && len(less) > 0 && less[0].Group == tickets.Trailer &&
		with[len(with)-1].Group == tickets.Nose && slices.Equal(with[:len(less)], less)
}

// otherTerms lists what else can have been on the deck: of single axles or sides
// their neighbours, else every other set of groups that one deck can hold in that
// setup. Single axles are not taken for groups: who reads wheels separately does
// not read a group by mistake.
func otherTerms(o *tickets.Outfit, r *tickets.Reading) [][]tickets.Term {
	for _, t := range r.Terms {
		if t.Axle > 0 || t.Side != "" {
			return otherSupports(o, r)
		}
	}
	var all [][]tickets.Term
	for _, groups := range derive.DecksOf(o, r.State) {
		if terms := termsOf(groups); !slices.Equal(terms, r.Terms) {
			all = append(all, terms)
		}
	}
	return all
}

// termsOf is groups as the terms of a deck.
func termsOf(groups []tickets.Group) []tickets.Term {
	terms := make([]tickets.Term, len(groups))
	for i, g := range groups {
		terms[i].Group = g
	}
	return terms
}

// otherSupports tries, for a reading below a group, the other side, another
// axle, and the same side of the vehicle's other axle.
func otherSupports(o *tickets.Outfit, r *tickets.Reading) [][]tickets.Term {
	var all [][]tickets.Term
	each := func(change func(*tickets.Term)) {
		terms := slices.Clone(r.Terms)
		for i := range terms {
			change(&terms[i])
		}
		if !slices.Equal(terms, r.Terms) {
			all = append(all, terms)
		}
	}
	each(otherSide)
	// Of several terms only the side, which they share, is mistaken in one slip.
	if len(r.Terms) > 1 {
		return all
	}
	if t := r.Terms[0]; t.Axle > 0 {
		for a := 1; a <= o.Axles(t.Group); a++ {
			each(func(t *tickets.Term) { t.Axle = a })
		}
	} else {
		each(otherAxle)
	}
	return all
}

// otherSide exchanges left and right, which depend on whether one faces the
// outfit or sits in it; a term of both sides stays.
func otherSide(t *tickets.Term) {
	switch t.Side {
	case tickets.Left:
		t.Side = tickets.Right
	case tickets.Right:
		t.Side = tickets.Left
	}
}

// otherAxle exchanges the vehicle's two axles, which an outfit backed onto the
// deck shows in the other order.
func otherAxle(t *tickets.Term) {
	switch t.Group {
	case tickets.Front:
		t.Group = tickets.Rear
	case tickets.Rear:
		t.Group = tickets.Front
	}
}

// only says whether nothing but these groups was on the deck.
func only(r *tickets.Reading, groups ...tickets.Group) bool {
	return !slices.ContainsFunc(r.Terms, func(t tickets.Term) bool { return !slices.Contains(groups, t.Group) })
}

// onGauge says whether a reading is that of a gauge under the coupling.
// Its figure is the load on the coupling, in which the vehicle has no part.
func onGauge(r *tickets.Reading) bool { return only(r, tickets.Coupling) }

// vehicleGroups are the supports of the vehicle.
var vehicleGroups = []tickets.Group{tickets.Front, tickets.Rear}
