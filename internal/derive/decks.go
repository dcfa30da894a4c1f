package derive

import "reconcile/internal/tickets"

// The sets of groups that can be on a deck: those that are next to each other, since a
// deck has no gap to leave one out. Coupled, the nose carries nothing; uncoupled, a
// gauge under the coupling takes the place of the nose.
var (
	vehicleDecks = [][]tickets.Group{{tickets.Front}, {tickets.Rear}, {tickets.Front, tickets.Rear}}
	trailerDecks = [][]tickets.Group{{tickets.Trailer}, {tickets.Nose}, {tickets.Trailer, tickets.Nose}, {tickets.Coupling}}
	coupledDecks = [][]tickets.Group{
		{tickets.Front}, {tickets.Rear}, {tickets.Trailer}, {tickets.Front, tickets.Rear},
		{tickets.Rear, tickets.Trailer}, {tickets.Front, tickets.Rear, tickets.Trailer},
	}
)

// DecksOf lists the sets of groups of an outfit that can be on one deck in a
// state: a drawbar trailer has neither nose nor coupling that a scale could be
// under.
func DecksOf(o *tickets.Outfit, state tickets.State) [][]tickets.Group {
	switch {
	case state == tickets.VehicleAlone:
		return vehicleDecks
	case state != tickets.TrailerAlone:
		return coupledDecks
	case o.Drawbar:
		return [][]tickets.Group{{tickets.Trailer}}
	}
	return trailerDecks
}
