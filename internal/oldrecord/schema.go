// Package record is the waist of the program: everything found narrows into
// one Record, and all that anyone sees or checks is drawn from it. It holds the
// schema, the building of a Record from what was derived and held against the
// ratings, every sentence that is printed, and the comparison of two Records.
package record

// Schema and PlanSchema name the versions of the two JSON documents.
const (
	Schema     = "reconcile-record/1"
	PlanSchema = "reconcile-plan/1"
)

// Model is the version of the model that this program derives with.
const Model = 1

// Record is one job's result. Marshalled, it is one line of JSON; numbers are
// unrounded, masses as typed are decimal strings, null is not determined.
// Slices are never nil, so that an empty list is [] and never null.
type Record struct {
	Schema     string               `json:"schema"`
	Program    string               `json:"program"`
	Model      int                  `json:"model"`
	Job        string               `json:"job"`
	Options    Options              `json:"options"`
	Verdict    string               `json:"verdict"`
	Agreement  string               `json:"agreement"`
	Headline   Headline             `json:"headline"`
	Fit        Fit                  `json:"fit"`
	Quantities map[string]*Quantity `json:"quantities"`
	Readings   []Reading            `json:"readings"`
	Ties       []Tie                `json:"ties"`
	Loads      []Load               `json:"loads"`
	Checks     []Check              `json:"checks"`
	NotGiven   []string             `json:"not_given"`
	Declared   []Declared           `json:"declared"`
	Budgets    map[string][]Cause   `json:"budgets"`
	Routes     []Route              `json:"routes"`
	Doubtful   [][]Place            `json:"doubtful"`
	Mistakes   []Mistake            `json:"mistakes"`
	Guides     []Guide              `json:"guides"`
	Cautions   []Caution            `json:"cautions"`
	Headroom   []Headroom           `json:"headroom"`
	Imbalance  []Imbalance          `json:"imbalance"`
	Advice     []Advice             `json:"advice"`
	Plan       *Plan                `json:"plan"`
	Footnotes  []Footnote           `json:"footnotes"`
	Outfit     Outfit               `json:"outfit"`
	Issuer     Issuer               `json:"issuer"`
	Scales     []Scale              `json:"scales"`
	Ratings    []Rating             `json:"ratings"`
	Inputs     []Input              `json:"inputs"`
}

// Options are the choices the record was made with.
type Options struct {
	Rule   string `json:"rule"`   // guarded or simple
	Region string `json:"region"` // resolved: the flag's or the form's
	Set    string `json:"set"`
	Issued string `json:"issued"`
	Paper  string `json:"paper"` // a4 or letter
}

// Headline is page 1 in three sentences.
type Headline struct {
	DoNow       string `json:"do_now"`
	VerdictText string `json:"verdict_text"`
	HeldText    string `json:"held_text"`
}

// Fit says how the readings agree as a whole.
type Fit struct {
	Observations int      `json:"observations"`
	DOF          int      `json:"dof"`
	ChiSquare    float64  `json:"chi_square"`
	PValue       *float64 `json:"p_value"` // null where dof is 0
	WithoutTies  FitPart  `json:"without_ties"`
}

// FitPart is a fit without the moment ties.
type FitPart struct {
	DOF       int      `json:"dof"`
	ChiSquare float64  `json:"chi_square"`
	PValue    *float64 `json:"p_value"`
}

// The units a Quantity can be in; the unit decides the keys of its JSON.
const (
	InKg    = "kg"  // value_kg, u_kg, basis
	InRatio = ""    // value, u
	InKgM   = "kgm" // value_kgm, u_kgm
	InMm    = "mm"  // value_mm, u_mm
)

// Quantity is a determined value with its standard uncertainty. A quantity
// that is not determined is a nil pointer in Quantities, never a number.
type Quantity struct {
	Unit     string
	Value, U float64
	Basis    string // weighed, moment, difference; only in kg
}

// Reading is one figure of tickets.csv beside what it became.
type Reading struct {
	Line                 int      `json:"line"`
	Column               string   `json:"column"`
	Ticket               string   `json:"ticket"`
	WeighedAt            string   `json:"weighed_at"`
	Scale                string   `json:"scale"`
	Site                 string   `json:"site"`
	Setup                string   `json:"setup"`
	Hitch                string   `json:"hitch"`
	OnDeck               string   `json:"on_deck"`
	Use                  string   `json:"use"`
	Reading              string   `json:"reading"` // as typed
	Unit                 string   `json:"unit"`
	ReadingKg            string   `json:"reading_kg"`
	IntervalKg           string   `json:"interval_kg"`
	CorrectionKg         *float64 `json:"correction_kg"`
	ReconciledKg         *float64 `json:"reconciled_kg"`
	UKg                  *float64 `json:"u_kg"`
	ResidualKg           *float64 `json:"residual_kg"`
	Standardised         *float64 `json:"standardised"`
	Redundancy           *float64 `json:"redundancy"`
	SmallestDetectableKg *float64 `json:"smallest_detectable_kg"`
	Suspect              bool     `json:"suspect"`
	Without              []string `json:"without"`
	With                 []string `json:"with"`
	People               *int     `json:"people"`
	VehicleID            string   `json:"vehicle_id"`
	TrailerID            string   `json:"trailer_id"`
	Copy                 string   `json:"copy"`
	Note                 string   `json:"note"`
}

// Tie is one moment tie in force: vehicle, nose or hitch.
type Tie struct {
	Name         string   `json:"name"`
	ResidualKg   float64  `json:"residual_kg"`
	UKg          float64  `json:"u_kg"`
	Standardised *float64 `json:"standardised"`
	Redundancy   float64  `json:"redundancy"`
	Suspect      bool     `json:"suspect"`
}

// Load is a declared load that a used reading names.
type Load struct {
	Load         string   `json:"load"`
	DeclaredKg   string   `json:"declared_kg"`
	SolvedKg     *float64 `json:"solved_kg"` // null: not determined, with its u
	UKg          *float64 `json:"u_kg"`
	Standardised *float64 `json:"standardised"`
	Redundancy   float64  `json:"redundancy"`
	Suspect      bool     `json:"suspect"`
}

// Check is one rating line in force in one state. A d_value row has the kN
// keys filled and the kg ones null.
type Check struct {
	Rating          string   `json:"rating"`
	On              string   `json:"on"`
	State           string   `json:"state"`
	Set             string   `json:"set"`
	LimitKg         *string  `json:"limit_kg"`
	ValueKg         *float64 `json:"value_kg"`
	UKg             *float64 `json:"u_kg"`
	MarginKg        *float64 `json:"margin_kg"`
	LimitKN         *string  `json:"limit_kn"`
	ValueKN         *float64 `json:"value_kn"`
	UKN             *float64 `json:"u_kn"`
	MarginKN        *float64 `json:"margin_kn"`
	POver           *float64 `json:"p_over"`
	Verdict         string   `json:"verdict"` // within, over, unsettled, not_weighed
	Decides         bool     `json:"decides"`
	HeldAgainst     string   `json:"held_against"`
	NeededKg        *float64 `json:"needed_kg"`
	Checked         bool     `json:"checked"`
	MistakeEffectKg *float64 `json:"mistake_effect_kg"`
	Assumed         string   `json:"assumed"`
	OnlyTensioned   bool     `json:"only_tensioned"`
	Source          string   `json:"source"`
}

// Declared is a load that was declared, not weighed.
type Declared struct {
	Load   string `json:"load"`
	AwayKg string `json:"away_kg"`
}

// Cause is one contribution to a quantity's uncertainty.
type Cause struct {
	Cause string  `json:"cause"`
	UKg   float64 `json:"u_kg"`
}

// Route is the download by one route: trailer, vehicle, front_lift, gauge.
type Route struct {
	Route   string  `json:"route"`
	ValueKg float64 `json:"value_kg"`
	UKg     float64 `json:"u_kg"`
}

// Place is where a figure stands in tickets.csv.
type Place struct {
	Line   int    `json:"line"`
	Column string `json:"column"`
}

// Mistake is a likely single mistake under which the readings would agree.
type Mistake struct {
	Line      int     `json:"line"`
	Kind      string  `json:"kind"`
	What      string  `json:"what"`
	ReadingKg string  `json:"reading_kg"`
	PValue    float64 `json:"p_value"`
}

// Guide is common practice beside the limits; it never decides.
type Guide struct {
	Guide  string   `json:"guide"`
	Value  *float64 `json:"value"`
	U      *float64 `json:"u"`
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	Kept   *bool    `json:"kept"`
	Source string   `json:"source"`
}

// Caution is printed beside the verdict.
type Caution struct {
	Code string `json:"code"`
	Text string `json:"text"`
}

// Headroom is how much more fits at one place before the first rating.
type Headroom struct {
	Place  string  `json:"place"`
	Kg     float64 `json:"kg"`
	Rating string  `json:"rating"`
	On     string  `json:"on"`
	State  string  `json:"state"`
}

// Imbalance is left less right, or one axle less the next, of a support.
type Imbalance struct {
	Support string  `json:"support"`
	Kg      float64 `json:"kg"`
	UKg     float64 `json:"u_kg"`
}

// Advice is one thing to do next.
type Advice struct {
	Kind   string   `json:"kind"` // weigh, remove, rating
	Setup  string   `json:"setup"`
	Hitch  string   `json:"hitch"`
	OnDeck string   `json:"on_deck"`
	For    string   `json:"for"`
	UNow   *float64 `json:"u_now_kg"`
	UThen  *float64 `json:"u_then_kg"`
	Text   string   `json:"text"`
}

// Footnote is one remark, numbered in this order everywhere.
type Footnote struct {
	Code string `json:"code"`
	Line int    `json:"line"` // 0: the job
	Text string `json:"text"`
}

// Outfit is who and what was weighed.
type Outfit struct {
	Owner         string  `json:"owner"`
	Vehicle       string  `json:"vehicle"`
	VehicleID     string  `json:"vehicle_id"`
	Trailer       string  `json:"trailer"`
	TrailerID     string  `json:"trailer_id"`
	WeighedBy     string  `json:"weighed_by"`
	CheckedBy     string  `json:"checked_by"`
	People        *int    `json:"people"`
	Travels       string  `json:"travels"`
	TravelsStated bool    `json:"travels_stated"`
	TrailerBrakes string  `json:"trailer_brakes"`
	RearAxles     *int    `json:"rear_axles"`
	TrailerAxles  *int    `json:"trailer_axles"`
	LengthsMm     Lengths `json:"lengths_mm"`
}

// Lengths are the outfit's lengths in millimetres; null where not given.
type Lengths struct {
	Wheelbase                *float64 `json:"wheelbase"`
	RearAxleToCoupling       *float64 `json:"rear_axle_to_coupling"`
	CouplingToTrailerAxle    *float64 `json:"coupling_to_trailer_axle"`
	NoseSupportToTrailerAxle *float64 `json:"nose_support_to_trailer_axle"`
	Uncertainty              *float64 `json:"uncertainty"`
}

// Issuer is the letterhead, with this summary's number.
type Issuer struct {
	Name       string `json:"name"`
	Address    string `json:"address"`
	Licence    string `json:"licence"`
	Phone      string `json:"phone"`
	Email      string `json:"email"`
	NextNumber string `json:"next_number"`
	Number     string `json:"number"`
}

// Scale is one weighing instrument as declared, and its interval in kilograms.
type Scale struct {
	Scale               string  `json:"scale"`
	Site                string  `json:"site"`
	Operator            string  `json:"operator"`
	Class               string  `json:"class"`
	Interval            string  `json:"interval"`
	Unit                string  `json:"unit"`
	Max                 string  `json:"max"`
	Deck                string  `json:"deck"`
	Certificate         string  `json:"certificate"`
	VerifiedOn          string  `json:"verified_on"`
	ExpandedUncertainty string  `json:"expanded_uncertainty"`
	StatedAt            string  `json:"stated_at"`
	SplitUncertainty    string  `json:"split_uncertainty"`
	Copy                string  `json:"copy"`
	IntervalKg          *string `json:"interval_kg"`
}

// Rating is one line of ratings.csv and what became of it.
type Rating struct {
	Line        int    `json:"line"`
	Rating      string `json:"rating"`
	On          string `json:"on"`
	Value       string `json:"value"`
	Unit        string `json:"unit"`
	Kind        string `json:"kind"`
	When        string `json:"when"`
	Set         string `json:"set"`
	Source      string `json:"source"`
	Certificate string `json:"certificate"`
	CertifiedOn string `json:"certified_on"`
	Note        string `json:"note"`
	Status      string `json:"status"` // held, none, replaced, not_in_force, other_kind, displaced
}

// Input is one attached file: its bytes' hash and the lines it holds.
type Input struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"` // lower-case hex
	Lines  string `json:"lines"`
}

// Plan is what to move and what to leave behind.
type Plan struct {
	Schema   string     `json:"schema"`
	Job      string     `json:"job"`
	Found    bool       `json:"found"`
	Proved   bool       `json:"proved"`
	LeftKg   string     `json:"left_kg"`
	MovedKg  string     `json:"moved_kg"`
	Touched  int        `json:"touched"`
	Moves    []Move     `json:"moves"`
	Before   []PlanLoad `json:"before"`
	After    []PlanLoad `json:"after"`
	Blocking []Blocking `json:"blocking"`
}

// Move takes part or all of a load from one place to another; To nil is left behind.
type Move struct {
	Load string  `json:"load"`
	From string  `json:"from"`
	To   *string `json:"to"`
	Kg   string  `json:"kg"`
}

// PlanLoad is one deciding load before or after a plan. A D-value has the kN
// fields filled and a blank LimitKg; its JSON has the kg keys null.
type PlanLoad struct {
	Rating, On, State string
	LimitKg           string
	ValueKg, UKg      float64
	LimitKN           string
	ValueKN, UKN      float64
	Verdict           string
}

// Blocking is a limit that no plan meets, and the least excess that remains,
// guard included; a D-value counts by the mass whose weight the force is.
// Rating is that of a check, or capacity (on is the place), download_share or
// front_restored. Excess 0: met, but only because another is not.
type Blocking struct {
	Rating   string  `json:"rating"`
	On       string  `json:"on"`
	State    string  `json:"state"`
	ExcessKg float64 `json:"excess_kg"`
}
