package record

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
	Drives      []VisitDrive `json:"drives"`
	CrossChecks []VisitDrive `json:"cross_checks"`
	Checks      []VisitCheck `json:"checks"`
	NotGiven    []RatingKey  `json:"not_given"`
	Mind        []VisitMind  `json:"mind"`
}

// VisitDrive is one drive over the deck; a gauge under the coupling is a drive
// of its own.
type VisitDrive struct {
	Setup string      `json:"setup"`
	Hitch string      `json:"hitch"`
	Gauge bool        `json:"gauge"`
	Stops []VisitStop `json:"stops"`
}

// VisitStop is one standing on the deck; OnDeck has a term of tickets.csv for
// each figure that it gives.
type VisitStop struct {
	OnDeck []string `json:"on_deck"`
}

// VisitCheck is a deciding check and how well the plan would weigh it: UKg by
// the drives, null where they do not determine it; MistakeEffectKg with the
// cross-checks, null where a reading stays unchecked. A D-value has UKN.
type VisitCheck struct {
	Rating          string   `json:"rating"`
	On              string   `json:"on"`
	State           string   `json:"state"`
	UKg             *float64 `json:"u_kg"`
	UKN             *float64 `json:"u_kn"`
	Checked         bool     `json:"checked"`
	MistakeEffectKg *float64 `json:"mistake_effect_kg"`
}

// VisitMind is one thing to mind before going. See MindCodes.
type VisitMind struct {
	Code string `json:"code"`
}
