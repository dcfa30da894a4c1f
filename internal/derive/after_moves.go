package derive

import (
	"fmt"
	"math"

	"reconcile/internal/tickets"
)

// Move takes part of a load, or all of it, from one place to another. To
// blank is left behind.
//
// The loads that were solved are not shifted: the job is solved again, as if the moves
// had been made before the outfit travels. What was weighed and what was moved have
// uncertainties in common, and only the system knows them. So each moved part is a load
// of its own, with u(mass)·part/mass, that every reading has `without` at its new place
// and `with` at its old one (left behind: `with` only).
type Move struct {
	Load     string
	From, To string  // names of places
	Kg       float64 // of the load's stated mass
}

// movable refuses a move whose effect would be a guess. A part may be the load to
// within rounding: a sum of parts of it comes out a few bits too large.
func movable(job *tickets.Job, m Move) error {
	l := job.Load(m.Load)
	if l == nil || m.Kg <= 0 || m.Kg > float64(l.Kg.InexactFloat64()*(1+1e-12)) {
		return fmt.Errorf("move of %g kg of %q ((want a load of loads.csv and no more than its mass))", m.Kg, m.Load)
	}
	for _, name := range []string{m.From, m.To} {
		if p := job.Place(name); name != "" && (p == nil || !p.HasAt) {
			return fmt.Errorf("move of %q by way of %q (want places with a position)", m.Load, name)
		}
	}
	return nil
}

// movedPart is the columns of one move: the mass moved, and what its left side
// carries beyond half at its old and its new place.
type movedPart struct {
	mass int
	lean []movedLean
}

// movedLean is the unknown side share of a moved part in a group, at one end of
// the move: sign +1 at its old place, where the deck knew it, −1 at its new one.
type movedLean struct {
	group  tickets.Group
	sign   float64
	u      float64
	column int
}

// planMoves gives columns to the mass of every moved part, and to its side
// shares where the sides of a group are read separately. Each part has a mass of its
// own, since a part of a load need not be in proportion to what was weighed of it.
func (y *system) planMoves() {
	for _, m := range y.options.Moves {
		part := movedPart{mass: y.layout.add()}
		for _, g := range coupledGroups {
			for _, end := range []struct {
				place string
				sign  float64
			}{{m.From, 1}, {m.To, -1}} {
				if u := y.movedSideU(end.place, g, m.Kg); u > 0 {
					part.lean = append(part.lean, movedLean{g, end.sign, u, y.layout.add()})
				}
			}
		}
		y.moved = append(y.moved, part)
	}
}

// movedSideU is the standard uncertainty of a moved part's side share at a
// place, |part|/(2√3) with the largest part over the used readings; 0 where no
// reading distinguishes the sides of the group. As for sideU nobody states left or
// right, at the old place as little as at the new one, and the two are independent.
func (y *system) movedSideU(place string, g tickets.Group, kg float64) float64 {
	needed, largest := false, 0.0
	for i := range y.used {
		r := y.used[i]
		needed = needed || math.Abs(y.leaning(r, g)) > negligible
		largest = math.Max(largest, math.Abs(float64(y.partsAt(place, r.State)[g].byMass*kg)))
	}
	if !needed || largest < negligible {
		return 0
	}
	return largest / float64(2*math.Sqrt(3))
}

// observeMoves adds the stated mass of every moved part, and its side shares. u is the
// same part of the mass for each: u(part) = u(mass)·part/mass.
func (y *system) observeMoves() {
	for i, m := range y.options.Moves {
		l := y.job.Load(m.Load)
		u := float64(l.UKg*m.Kg) / l.Kg.InexactFloat64()
		y.observeOne(observation{Kind: byLoad, Name: m.Load, U: u}, y.moved[i].mass, m.Kg)
		for _, lean := range y.moved[i].lean {
			y.observeOne(observation{Kind: byShare, Name: m.Load, U: lean.u}, lean.column, 0)
		}
	}
}

// addMoves takes every moved part off its new place and puts it on its old one
// in the row of a reading: the deck knew it there. The unknown supports are those
// after the moves, and the readings stay what they were, so covariances between
// what was weighed and what was moved are exact.
func (y *system) addMoves(row []float64, r *tickets.Reading) {
	for i, m := range y.options.Moves {
		s := r.State
		row[y.moved[i].mass] += y.onDeck(r, y.partsAt(m.From, s)).byMass - y.onDeck(r, y.partsAt(m.To, s)).byMass
		for _, lean := range y.moved[i].lean {
			row[lean.column] += float64(lean.sign * y.leaning(r, lean.group))
		}
	}
}

// partsAt is what a load at a place puts on each group; nothing where it was
// left behind. The place has a position: movable refused all others.
func (y *system) partsAt(place string, s tickets.State) parts {
	p := y.job.Place(place)
	switch {
	case p == nil || place == "":
		return nil
	case p.On == tickets.OnVehicle:
		return vehicleParts(&y.job.Outfit, p.AtMm, true, s)
	}
	return trailerParts(&y.job.Outfit, p.AtMm, true, s)
}
