package derive

import (
	"errors"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// AnyWeighbridge is the scale that a job without one is advised to use. No form can
// hold its name, nor that of anyGauge: they start with a control character. Nothing but
// its kind is known of it, and its interval is a usual one.
var AnyWeighbridge = tickets.Scale{
	Name: "\x01weighbridge", Class: "III", Deck: tickets.DeckSingle,
	IntervalKg: decimal.NewNullDecimal(decimal.NewFromInt(20)),
}

// anyGauge is a gauge under the coupling, which can be bought.
var anyGauge = tickets.Scale{
	Name: "\x01gauge", Class: "III", Deck: tickets.DeckGauge,
	IntervalKg: decimal.NewNullDecimal(decimal.NewFromInt(2)),
}

// Candidate is a further reading that could be taken, and on what: a scale of the job
// or a new one. Its figure is filled in by [Solution.WithReading].
type Candidate struct {
	Reading tickets.Reading
	Scale   tickets.Scale
}

// Candidates lists every further reading that one drive over a deck can give:
// each setup and set of supports on each kind of deck the job has used (else a
// class III weighbridge with a single deck, e = 20 kg), and last a gauge under
// the coupling of the trailer alone (class III, e = 2 kg), but of a drawbar trailer. The hitch is slack;
// also tensioned where the outfit travels so, or was weighed so.
func (s *Solution) Candidates() []Candidate {
	var all []Candidate
	for _, scale := range s.decksAtHand() {
		for _, at := range s.standings() {
			for _, terms := range s.supportsIn(at.setup) {
				r := at
				all = append(all, Candidate{Scale: scale, Reading: tickets.Reading{
					Setup: r.setup, Hitch: r.hitch, Terms: terms, OnDeck: OnDeck(terms),
					Scale: scale.Name, IntervalKg: scale.IntervalKg.Decimal, Unit: "kg", Use: tickets.UseYes,
				}})
			}
		}
	}
	if s.Job.Outfit.TrailerKind == tickets.Drawbar {
		return all
	}
	return append(all, gaugeCandidate())
}

// gaugeCandidate is the one reading that shows the download by itself, on a cheap
// instrument that can be bought.
func gaugeCandidate() Candidate {
	coupling := []tickets.Term{{Group: tickets.Coupling}}
	return Candidate{Scale: anyGauge, Reading: tickets.Reading{
		Setup: tickets.TrailerAlone, Terms: coupling, OnDeck: OnDeck(coupling),
		Scale: anyGauge.Name, IntervalKg: anyGauge.IntervalKg.Decimal, Unit: "kg", Use: tickets.UseYes,
	}}
}

// decksAtHand is one scale of each kind of deck that the job used, in the order
// of the kinds, each with an interval.
func (s *Solution) decksAtHand() []tickets.Scale {
	var all []tickets.Scale
	for _, kind := range []string{tickets.DeckSingle, tickets.DeckMulti, tickets.DeckPads, tickets.DeckPadsInTurn} {
		for i := range s.Job.Scales {
			scale := s.Job.Scales[i]
			if scale.Deck == kind && s.readOn(&scale) {
				all = append(all, scale)
				break
			}
		}
	}
	if len(all) == 0 {
		all = append(all, AnyWeighbridge)
	}
	return all
}

// readOn says whether a scale has a used reading, and gives it that one's
// interval where the scale states none. A scale that only ever was a gauge is
// no deck.
func (s *Solution) readOn(scale *tickets.Scale) bool {
	for i := range s.system.used {
		r := s.system.used[i]
		if r.Scale != scale.Name || onGauge(r) {
			continue
		}
		if !scale.IntervalKg.Valid {
			scale.IntervalKg = decimal.NewNullDecimal(r.IntervalKg)
		}
		return true
	}
	return false
}

// standing is a setup and hitch state to be weighed in.
type standing struct {
	setup tickets.Setup
	hitch tickets.Hitch
}

// standings lists how an outfit can come to the deck.
func (s *Solution) standings() []standing {
	all := []standing{{tickets.VehicleAlone, ""}, {tickets.TrailerAlone, ""}, {tickets.Coupled, tickets.Slack}}
	_, _, _, tensioned := s.system.weighed()
	if tensioned || s.Job.Outfit.Travels == tickets.Tensioned {
		all = append(all, standing{tickets.Coupled, tickets.Tensioned})
	}
	return all
}

// supportsIn lists what can be on one deck in a setup: groups, then
// the axles of groups that have several.
func (s *Solution) supportsIn(setup tickets.Setup) [][]tickets.Term {
	var all [][]tickets.Term
	seen := map[tickets.Group]bool{}
	for _, groups := range DecksOf(&s.Job.Outfit, setup) {
		if groups[0] == tickets.Coupling {
			continue
		}
		all = append(all, groupTerms(groups))
		seen[groups[0]] = true
	}
	for _, g := range []tickets.Group{tickets.Rear, tickets.Trailer} {
		for a := 1; seen[g] && axlesOf(&s.Job.Outfit, g) > 1 && a <= axlesOf(&s.Job.Outfit, g); a++ {
			all = append(all, []tickets.Term{{Group: g, Axle: a}})
		}
	}
	return all
}

// supposed is what groups carry where nothing is known of them, in kilograms,
// for readings that are not determined: only their uncertainty is asked for,
// and that depends little on the figure. The states agree with each other: a
// download of 200 kg takes 90 kg off the front axle, 45 of which a tensioned
// hitch gives back, with 20 kg more on the trailer's axles.
//
// Common practice, no source: a crew-cab utility and a tandem-axle trailer.
var supposed = map[State]map[tickets.Group]float64{
	VehicleAlone:     {tickets.Front: 1300, tickets.Rear: 1200},
	TrailerAlone:     {tickets.Trailer: 1980, tickets.Nose: 220, tickets.Coupling: 200},
	CoupledSlack:     {tickets.Front: 1210, tickets.Rear: 1490, tickets.Trailer: 2000},
	CoupledTensioned: {tickets.Front: 1255, tickets.Rear: 1425, tickets.Trailer: 2020},
}

// predict fills in the figure that a reading would show: the loads as solved,
// rounded to the scale interval; where they are not determined, supposed ones.
// A reading that has a figure keeps it.
func (s *Solution) predict(r tickets.Reading) tickets.Reading {
	if r.Kg.IsPositive() {
		return r
	}
	var onDeck Quantity
	if row, ok := s.deckNow(&r); ok {
		onDeck = s.quantity(row)
	}
	kg, _, known := onDeck.Number()
	if !known {
		kg = 0
		for _, t := range r.Terms {
			kg += s.supposedOn(StateOf(&r), t)
		}
	}
	n := decimal.NewFromFloat(kg).DivRound(r.IntervalKg, 0)
	if !n.IsPositive() {
		n = decimal.NewFromInt(1)
	}
	r.Kg = n.Mul(r.IntervalKg)
	r.Typed = r.Kg.String()
	return r
}

// supposedOn is the load on a support as far as anything is known of it: its own,
// its part of its group's, its part of what such a group usually carries.
func (s *Solution) supposedOn(state State, t tickets.Term) float64 {
	if v, _, ok := s.load(state, t).Number(); ok {
		return v
	}
	f := s.system.fraction(t)
	if v, _, ok := s.load(state, tickets.Term{Group: t.Group}).Number(); ok {
		return float64(f * v)
	}
	return float64(f * supposed[state][t.Group])
}

// errFurther is a reading that no deck can give.
var errFurther = errors.New("a further reading needs supports on the deck and an interval")

// WithReading solves the job with one further reading, in travelling condition unless
// it says otherwise. Where that has no figure it fills in the one that is expected. What
// the solution then says of U, of redundancy, and of the smallest mistake that would
// show, is what weighing so will give if it shows that figure.
func (s *Solution) WithReading(c *Candidate) (*Solution, error) {
	if len(c.Reading.Terms) == 0 || !c.Reading.IntervalKg.IsPositive() {
		return nil, fmt.Errorf("%w: on %q, interval %s kg", errFurther, c.Reading.OnDeck, c.Reading.IntervalKg)
	}
	c.Reading = s.predict(c.Reading)
	job := *withScale(s.Job, &c.Scale)
	job.Readings = append(slices.Clip(job.Readings), c.Reading)
	return Solve(&job, s.system.options)
}

// withScale is a job with a scale, which it may have.
func withScale(job *tickets.Job, scale *tickets.Scale) *tickets.Job {
	if job.Scale(scale.Name) != nil {
		return job
	}
	with := *job
	with.Scales = append(slices.Clip(job.Scales), *scale)
	return &with
}

// observed returns how a used reading, by its index in Job.Readings, fared.
func (s *Solution) observed(reading int) (Observation, bool) {
	for i := range s.Observations {
		if o := s.Observations[i]; o.Kind == ByReading && o.Index == reading {
			return o, true
		}
	}
	return Observation{}, false
}

// Alike is the correlation of the tests of two used readings, by their
// indices in Job.Readings: from 0.999999 in size a mistake in the one cannot be
// distinguished from one in the other. ok is false where one of them is not tested.
func (s *Solution) Alike(a, b int) (correlation float64, ok bool) {
	i, j := -1, -1
	for k := range s.Observations {
		o := &s.Observations[k]
		if o.Kind == ByReading && o.Testable {
			if o.Index == a {
				i = k
			}
			if o.Index == b {
				j = k
			}
		}
	}
	if i < 0 || j < 0 {
		return 0, false
	}
	return s.fit.residualCorrelation(i, j), true
}
