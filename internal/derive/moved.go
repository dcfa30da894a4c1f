package derive

import (
	"fmt"

	"reconcile/internal/tickets"
)

// Move takes part of a load, or all of it, from one place to another. To
// blank is left behind.
type Move struct {
	Load     string
	From, To string  // names of places
	Kg       float64 // of the load's declared mass
}

// Moved solves the job anew as if the moves had been made before the
// outfit travels: each moved part is a load of its own, with u(mass)·part/mass,
// that every reading has without at its new place and with at its old one
// (left behind: with only). It refuses a move of a load, or to a place, that
// is not declared or has no position.
func (s *Solution) Moved(moves []Move) (*Solution, error) {
	for _, m := range moves {
		if err := movable(s.Job, m); err != nil {
			return nil, err
		}
	}
	return solve(s.Job, options{moves: moves})
}

func movable(job *tickets.Job, m Move) error {
	l := job.Load(m.Load)
	if l == nil || m.Kg <= 0 || m.Kg > l.Kg.InexactFloat64()*(1+1e-12) {
		return fmt.Errorf("move of %g kg of %q (want a declared load and no more than its mass)", m.Kg, m.Load)
	}
	for _, name := range []string{m.From, m.To} {
		if p := job.Place(name); name != "" && (p == nil || !p.HasAt) {
			return fmt.Errorf("move of %q by way of %q (want places with a position)", m.Load, name)
		}
	}
	return nil
}

// planMoves gives a column to the mass of every moved part.
func (y *system) planMoves() {
	for range y.options.moves {
		y.moved = append(y.moved, y.layout.add())
	}
}

// observeMoves adds the declared mass of every moved part.
func (y *system) observeMoves() {
	for i, m := range y.options.moves {
		l := y.job.Load(m.Load)
		u := l.UKg * m.Kg / l.Kg.InexactFloat64()
		y.observeOne(Observation{Kind: ByLoad, Name: m.Load, U: u}, y.moved[i], m.Kg)
	}
}

// addMoves takes every moved part off its new place and puts it on its old one
// in the row of a reading: the deck knew it there.
func (y *system) addMoves(row []float64, r *tickets.Reading) {
	for i, m := range y.options.moves {
		row[y.moved[i]] += y.placed(r, m.From) - y.placed(r, m.To)
	}
}

// placed is what 1 kg at a place puts on the deck of a reading, halved by side.
func (y *system) placed(r *tickets.Reading, place string) float64 {
	p := y.job.Place(place)
	if p == nil || place == "" {
		return 0
	}
	if p.On == tickets.OnVehicle {
		return y.onDeck(r, vehicleParts(&y.job.Outfit, p.AtMm, true, stateOf(r))).byMass
	}
	return y.onDeck(r, trailerParts(&y.job.Outfit, p.AtMm, true, stateOf(r))).byMass
}
