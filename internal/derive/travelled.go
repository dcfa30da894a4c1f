package derive

import "reconcile/internal/tickets"

// Travelled is the coupled state that an outfit travels in.
func Travelled(o *tickets.Outfit) State {
	if o.Travels == tickets.TravelsTensioned {
		return CoupledTensioned
	}
	return CoupledSlack
}
