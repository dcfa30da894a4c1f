package record

import (
	"slices"
	"strings"

	"reconcile/internal/tickets"
)

// Visit is which weighings the ratings of a job need, in which order. Written
// by Line it is one line of JSON; slices are never nil.
type Visit struct {
	Schema      string       `json:"schema"`
	Job         string       `json:"job"`
	Region      string       `json:"region"`
	Travels     string       `json:"travels"`
	Stated      bool         `json:"travels_stated"`
	TrailerKind string       `json:"trailer_kind"`
	Rated       bool         `json:"rated"` // false: no ratings yet, the plan is for the usual ones
	Deck        string       `json:"deck"`  // single, multi, pads, pads_in_turn
	Taken       int          `json:"taken"` // used readings that the job has already
	Drives      []visitDrive `json:"drives"`
	CrossChecks []visitDrive `json:"cross_checks"`
	Checks      []visitCheck `json:"checks"`
	NotGiven    []RatingKey  `json:"not_given"`
	Mind        []visitMind  `json:"mind"`

	// Not written: what the sheet of the plan draws, and its form takes.
	Program string       `json:"-"`
	Outfit  Outfit       `json:"-"`
	Pads    bool         `json:"-"` // the deck is a pad under each wheel
	Route   []visitDrive `json:"-"` // the drives as they are driven
}

// visitDrive is one drive over the deck; a gauge under the coupling is a drive
// of its own.
type visitDrive struct {
	Setup string      `json:"setup"`
	Hitch string      `json:"hitch"`
	Gauge bool        `json:"gauge"`
	Stops []visitStop `json:"stops"`

	State tickets.State `json:"-"` // not written: setup and hitch in one
}

// visitStop is one standing on the deck; OnDeck has a term of tickets.csv for
// each figure that it gives.
type visitStop struct {
	OnDeck     []string `json:"on_deck"`
	CrossCheck bool     `json:"-"` // not written: in the Route, it determines nothing that is not determined without it
}

// visitCheck is a deciding check and how well the plan would weigh it: UKg by
// the drives, null where they do not determine it; MistakeEffectKg with the
// cross-checks, null where a reading stays unchecked. A D-value has UKN.
type visitCheck struct {
	Rating          string   `json:"rating"`
	On              string   `json:"on"`
	State           string   `json:"state"`
	UKg             *float64 `json:"u_kg"`
	UKN             *float64 `json:"u_kn"`
	Checked         bool     `json:"checked"`
	MistakeEffectKg *float64 `json:"mistake_effect_kg"`
}

// visitMind is one thing to see to before going. See mindCodes.
type visitMind struct {
	Code string `json:"code"`
}

// routeOf gives the drives as they are driven: the stops that cross-check are
// among those of their drive, where there is one, and all are in the order in
// which the wheels roll on and off the deck.
func routeOf(determine, crossCheck []visitDrive) []visitDrive {
	var all []visitDrive
	take := func(drives []visitDrive, cross bool) {
		for _, d := range drives {
			at := slices.IndexFunc(all, func(r visitDrive) bool { return r.Setup == d.Setup && r.Hitch == d.Hitch && r.Gauge == d.Gauge })
			if at < 0 {
				at = len(all)
				all = append(all, visitDrive{Setup: d.Setup, Hitch: d.Hitch, Gauge: d.Gauge, State: d.State})
			}
			for _, s := range d.Stops {
				all[at].Stops = append(all[at].Stops, visitStop{s.OnDeck, cross})
			}
		}
	}
	take(determine, false)
	take(crossCheck, true)
	for i := range all {
		slices.SortStableFunc(all[i].Stops, func(a, b visitStop) int { return rolled(a) - rolled(b) })
	}
	return all
}

// groupOrder are the groups from the front of an outfit to its end.
var groupOrder = []string{"front", "rear", "trailer", "nose"}

// rolled is how far an outfit has rolled over the deck at a stop: the place of
// the first group on it and that of the last.
func rolled(s visitStop) int {
	first, last := len(groupOrder), 0
	for _, on := range s.OnDeck {
		for _, term := range strings.Split(on, "+") {
			group, _, _ := strings.Cut(strings.TrimSpace(term), ".")
			at := max(0, slices.Index(groupOrder, group))
			first, last = min(first, at), max(last, at)
		}
	}
	return first + last
}
