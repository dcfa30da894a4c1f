package derive

import "reconcile/internal/tickets"

// decks are the sets of groups that can be on a deck in a setup: those that are next
// to each other, since a deck has no gap to leave one out. Coupled, the nose carries
// nothing; uncoupled, a gauge under the coupling takes the place of the nose.
var decks = map[tickets.Setup][][]tickets.Group{
	tickets.VehicleAlone: {{tickets.Front}, {tickets.Rear}, {tickets.Front, tickets.Rear}},
	tickets.TrailerAlone: {{tickets.Trailer}, {tickets.Nose}, {tickets.Trailer, tickets.Nose}, {tickets.Coupling}},
	tickets.Coupled: {
		{tickets.Front}, {tickets.Rear}, {tickets.Trailer}, {tickets.Front, tickets.Rear},
		{tickets.Rear, tickets.Trailer}, {tickets.Front, tickets.Rear, tickets.Trailer},
	},
}

// DecksOf lists the sets of groups of an outfit that can be on one deck in a
// setup: a drawbar trailer has neither nose nor coupling that a scale could be
// under.
func DecksOf(o *tickets.Outfit, setup tickets.Setup) [][]tickets.Group {
	if setup == tickets.TrailerAlone && o.TrailerKind == tickets.Drawbar {
		return [][]tickets.Group{{tickets.Trailer}}
	}
	return decks[setup]
}
