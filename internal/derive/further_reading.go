package derive

import (
	"errors"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// supposed is what groups carry where nothing is known of them, in kilograms,
// for readings that are not determined: only their uncertainty is asked for,
// and that depends little on the figure. The states agree with each other: a
// download of 200 kg takes 90 kg off the front axle, 45 of which a tensioned
// hitch gives back, with 20 kg more on the trailer's axles.
//
// Common practice, no source: a crew-cab utility and a tandem-axle trailer.
var supposed = map[tickets.State]map[tickets.Group]float64{
	tickets.VehicleAlone:     {tickets.Front: 1300, tickets.Rear: 1200},
	tickets.TrailerAlone:     {tickets.Trailer: 1980, tickets.Nose: 220, tickets.Coupling: 200},
	tickets.CoupledSlack:     {tickets.Front: 1210, tickets.Rear: 1490, tickets.Trailer: 2000},
	tickets.CoupledTensioned: {tickets.Front: 1255, tickets.Rear: 1425, tickets.Trailer: 2020},
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
			kg += s.supposedOn(r.State, t)
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
func (s *Solution) supposedOn(state tickets.State, t tickets.Term) float64 {
	if v, _, ok := s.load(state, t).Number(); ok {
		return v
	}
	f := Fraction(&s.Job.Outfit, t)
	if v, _, ok := s.load(state, tickets.Term{Group: t.Group}).Number(); ok {
		return float64(f * v)
	}
	return float64(f * supposed[state][t.Group])
}

// errFurther is a reading that no deck can give.
var errFurther = errors.New("a further reading needs supports on the deck and an interval")

// WithReading solves the job with one further reading, in travelling condition unless
// it says otherwise, on a scale that the job has or on a new one. Where the reading has
// no figure it fills in the one that is expected. What the solution then says of U, of
// redundancy, and of the smallest mistake that would show, is what weighing so will give
// if it shows that figure.
func (s *Solution) WithReading(r *tickets.Reading, scale *tickets.Scale) (*Solution, error) {
	if len(r.Terms) == 0 || !r.IntervalKg.IsPositive() {
		return nil, fmt.Errorf("%w: on %q, interval %s kg", errFurther, r.OnDeck, r.IntervalKg)
	}
	*r = s.predict(*r)
	job := *withScale(s.Job, scale)
	job.Readings = append(slices.Clip(job.Readings), *r)
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

// Alike is the correlation of the tests of two used readings, by their
// indices in Job.Readings: from 0.999999 in size a mistake in the one cannot be
// distinguished from one in the other. ok is false where one of them is not tested.
func (s *Solution) Alike(a, b int) (correlation float64, ok bool) {
	i, j := -1, -1
	for k := range s.Used {
		if o := &s.Used[k]; o.Testable {
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
