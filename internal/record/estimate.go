package record

// Estimate is what the stated masses of a job come to before anything is
// weighed. Written by Line it is one line of JSON; slices are never nil, a nil
// pointer is null: not known.
type Estimate struct {
	Schema      string          `json:"schema"`
	Job         string          `json:"job"`
	Vehicle     *StatedMass     `json:"vehicle"`
	Trailer     *StatedMass     `json:"trailer"`
	Download    *StatedMass     `json:"download"`
	Combination *StatedMass     `json:"combination"`
	PayloadKg   *string         `json:"payload_kg"` // gvm less the empty vehicle
	PayloadLeft *StatedMass     `json:"payload_left"`
	Checks      []estimateCheck `json:"checks"`
	Fits        fits            `json:"fits"`
	TrailerFrom string          `json:"trailer_from"` // tare, kerb, running_order, atm; "" where T is not known
	VehicleFrom string          `json:"vehicle_from"` // kerb, tare, running_order, front_and_rear; ""
	StopsFirst  *statedKey      `json:"stops_first"`  // the check that Fits ends at; null where no limit is known
	PayloadSum  []sumStep       `json:"payload_sum"`  // from gvm to what is left
	TrailerSum  []sumStep       `json:"trailer_sum"`  // what the trailer comes to
	Share       downloadShare   `json:"download_share"`
	Sets        []estimateSet   `json:"sets"` // what the masses come to with each set of planned ratings
	NotGiven    []RatingKey     `json:"not_given"`
	Remarks     []remark        `json:"remarks"` // see remark
	Region      string          `json:"region"`
	Travels     string          `json:"travels"`
	TrailerKind string          `json:"trailer_kind"`
	// Verdict is the gravest of the ratings in force: likely_over, open,
	// not_known, likely_within; not_known where none is compared. It is not
	// written.
	Verdict string `json:"-"`
}

// StatedMass is a sum of stated masses with its standard uncertainty.
type StatedMass struct {
	ValueKg float64 `json:"value_kg"`
	UKg     float64 `json:"u_kg"`
}

// estimateCheck is a rating line compared with what the stated masses come to.
// Set is left out for the ratings in force; a D-value alone has the keys in kN.
type estimateCheck struct {
	Rating   string   `json:"rating"`
	On       string   `json:"on"`
	State    string   `json:"state"` // vehicle_alone, coupled or ""
	Set      string   `json:"set,omitempty"`
	LimitKg  *string  `json:"limit_kg"`
	ValueKg  *float64 `json:"value_kg"`
	UKg      *float64 `json:"u_kg"`
	MarginKg *float64 `json:"margin_kg"`
	Verdict  string   `json:"verdict"` // likely_within, likely_over, open, not_known
	LimitKN  *string  `json:"limit_kn,omitempty"`
	ValueKN  *float64 `json:"value_kn,omitempty"`
	UKN      *float64 `json:"u_kn,omitempty"`
	MarginKN *float64 `json:"margin_kn,omitempty"`
	Assumed  []string `json:"assumed,omitempty"` // codes: equal_share, fitted
}

// fits is the heaviest trailer, with its download, for which the ratings hold
// on the values; null where none does.
type fits struct {
	DownloadKg *float64 `json:"download_kg"`
	TrailerKg  *float64 `json:"trailer_kg"`
}

// sumStep is one line of a running sum: what is added or taken off, and what
// there is then.
type sumStep struct {
	Step   string  `json:"step"` // gvm, atm, kerb, tare, running_order, driver_counted, load, download
	Name   string  `json:"name"` // of a load; front or rear of an empty mass on an axle
	Line   int     `json:"line"` // in its form; 0: no line states it
	Kg     float64 `json:"kg"`
	ThenKg float64 `json:"then_kg"`
}

// downloadShare is the download as a part of the trailer's mass.
type downloadShare struct {
	Value float64 `json:"value"`
	U     float64 `json:"u"`
	From  string  `json:"from"` // outfit, region, semi, drawbar
}

// statedKey names a check of an estimate, which has states of its own.
type statedKey checkKey

// estimateSet is what the masses come to with the ratings and loads of a set.
type estimateSet struct {
	Set         string      `json:"set"`
	Vehicle     *StatedMass `json:"vehicle"`
	Trailer     *StatedMass `json:"trailer"`
	Download    *StatedMass `json:"download"`
	Combination *StatedMass `json:"combination"`
	PayloadKg   *string     `json:"payload_kg"`
	PayloadLeft *StatedMass `json:"payload_left"`
	Fits        fits        `json:"fits"`
	TrailerFrom string      `json:"trailer_from"`
	VehicleFrom string      `json:"vehicle_from"`
	StopsFirst  *statedKey  `json:"stops_first"`
	PayloadSum  []sumStep   `json:"payload_sum"`
	TrailerSum  []sumStep   `json:"trailer_sum"`
}

// remark is something that the sums rest on or lack, by its code:
//
//	driver_included  running order without a load `driver`: a driver of 75 kg and 90 % of the fuel are in it
//	fuel_included    running order, the driver counted as a load: 90 % of the fuel is in it
//	trailer_at_atm   no empty trailer is stated: it is taken as heavy as it may be
//	no_vehicle_mass  no empty vehicle is stated
//	no_trailer_mass  neither an empty trailer nor an atm is stated
//	load_on_neither  line, name: the load says neither vehicle nor trailer
//	no_axle_mass     name: no empty mass of that axle is stated
//	no_position      line, name: the load has no place, or its place no position
//	no_length        name: a column of outfit.csv that is blank
//	part_of_group    line, name: one axle of a group, whose part of the load nothing says
//	bars_tensioned   it travels with tensioned bars, which the sums leave out
//	not_in_fits      name: a rating word that Fits is not sought under
type remark struct {
	Code string `json:"code"`
	Line int    `json:"line"` // in its form; 0: none
	Name string `json:"name"` // of a load, an axle, a column or a rating word
}

// gravest is the gravest verdict of the ratings in force.
func gravest(checks []estimateCheck) string {
	worst := 0
	order := []string{"", "likely_within", "not_known", "open", "likely_over"}
	for i := range checks {
		for rank, word := range order {
			if c := &checks[i]; c.Set == "" && c.Verdict == word {
				worst = max(worst, rank)
			}
		}
	}
	if worst == 0 {
		return "not_known"
	}
	return order[worst]
}
