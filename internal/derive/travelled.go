package derive

import "reconcile/internal/tickets"

// Travelled is the coupled state that an outfit travels in. Ratings are compared
// with the loads of this state: bars that are tensioned on the road move load from
// the rear axle to the front axle and to the trailer, whatever state was weighed.
func Travelled(o *tickets.Outfit) State {
	if o.Travels == tickets.TravelsTensioned {
		return CoupledTensioned
	}
	return CoupledSlack
}
