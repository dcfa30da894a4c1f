package derive

import (
	"math"

	"reconcile/internal/tickets"
)

// KnownAt says whether every used reading knows, without a number that is
// missing, what a load at a place put on its deck; else missing names the
// number: place, or a length's column in outfit.csv. What is moved by way of
// another place would be derived from a guess, and a plan must not rest on one.
func (s *Solution) KnownAt(place string) (missing string, ok bool) {
	p := s.Job.Place(place)
	if place == "" || p == nil || !p.HasAt {
		return "place", false
	}
	for i := range s.system.used {
		if missing := s.system.guessedAt(s.system.used[i], p); missing != "" {
			return missing, false
		}
	}
	return "", true
}

// guessedAt names the number without which a reading does not know what a load
// at a place put on its deck; blank where it does: the place's own lever is known, or
// the deck had all supports that it moves load between.
func (y *system) guessedAt(r *tickets.Reading, p *tickets.Place) string {
	o, state := &y.job.Outfit, r.State
	on := vehicleParts(o, p.AtMm, true, state)
	if p.On == tickets.OnTrailer {
		on = trailerParts(o, p.AtMm, true, state)
	}
	if deck := y.onDeck(r, on); math.Abs(deck.byShare) > negligible {
		return deck.missing
	}
	return y.leverAt(r, p)
}

// leverAt names the length of the lever a/w that a coupled reading lacks, where
// it matters: not where front and rear were on the deck alike. What a trailer load
// puts on the coupling is taken up as −a/w by the front axle and 1 + a/w by the rear,
// so their sum needs no lever.
func (y *system) leverAt(r *tickets.Reading, p *tickets.Place) string {
	_, missing := lever(&y.job.Outfit)
	if missing == "" || p.On == tickets.OnVehicle || p.AtMm == 0 || !r.State.Coupled() {
		return ""
	}
	tilted := parts{tickets.Front: {byMass: -1}, tickets.Rear: {byMass: 1}}
	if math.Abs(y.onDeck(r, tilted).byMass) > negligible {
		return missing
	}
	return ""
}
