package record

import "reconcile/internal/tickets"

// Words of the forms' columns for what a job holds as facts.
const (
	hitchUnknown   = "unknown"
	travelsPlain   = "plain"
	centreAxle     = "centre_axle"
	drawbar        = "drawbar"
	semi           = "semi"
	useYes         = "yes"
	useNo          = "no"
	useCalculated  = "calculated"
	deckSingle     = "single"
	deckMulti      = "multi"
	deckPads       = "pads"
	deckPadsInTurn = "pads_in_turn"
	deckGauge      = "gauge"
)

// setupAndHitch are the columns setup and hitch of a reading.
func setupAndHitch(r *tickets.Reading) (setup, hitch string) {
	setup, hitch = r.State.Cells()
	if r.HitchUnknown {
		hitch = hitchUnknown
	}
	return setup, hitch
}

// useWord is the column use: yes, no or calculated.
func useWord(r *tickets.Reading) string {
	switch {
	case r.Used:
		return useYes
	case r.Calculated:
		return useCalculated
	}
	return useNo
}

// deckWord is the column deck.
func deckWord(s *tickets.Scale) string {
	switch {
	case s.Multi:
		return deckMulti
	case s.InTurn:
		return deckPadsInTurn
	case s.Pads:
		return deckPads
	case s.Gauge:
		return deckGauge
	}
	return deckSingle
}

// travelsWord is the column travels: plain, slack or tensioned.
func travelsWord(o *tickets.Outfit) string {
	if o.TravelsPlain {
		return travelsPlain
	}
	_, hitch := o.Travels.Cells()
	return hitch
}

// kindWord is the column trailer_kind.
func kindWord(o *tickets.Outfit) string {
	switch {
	case o.Drawbar:
		return drawbar
	case o.Semi:
		return semi
	}
	return centreAxle
}
