// Package record is the waist of the program: everything found narrows into
// one Record, and all that anyone sees or checks is made from it. A record
// holds facts and no words: every string in it is what was typed, a date, a
// hash or a code of [a-z0-9_.]; every number was rounded at the door of the
// solution. Build finishes it; nothing is added afterwards. A better sentence
// therefore changes no record. schema.json describes the documents key by key
// and code by code (JSON Schema, draft 2020-12).
package record

import "reconcile/internal/shelf"

// recordSchema, planSchema, visitSchema and estimateSchema name the versions of
// the JSON documents.
const (
	recordSchema   = "reconcile-record/2"
	planSchema     = "reconcile-plan/1"
	visitSchema    = "reconcile-visit/2"
	estimateSchema = "reconcile-estimate/1"
)

// model is the version of the model that this program derives with. Every
// model from 2 on stays in the program, and package flow lists them with the
// schemas of their records.
const model = 2

// Record is one job's result. Written by Line it is one line of JSON, keys in
// the order of the fields. A nil pointer is null: not determined, or not
// there. Slices are never nil, so that an empty list is [] and never null.
// Masses as typed are decimal strings of kilograms.
type Record struct {
	Schema     string      `json:"schema"`
	Program    string      `json:"program"`
	Model      int         `json:"model"`
	Job        string      `json:"job"`
	Options    options     `json:"options"`
	Verdict    string      `json:"verdict"`   // conflict, over, unsettled, incomplete, unconfirmed, within
	Agreement  string      `json:"agreement"` // conflict, strained, agree, untested
	Fit        fit         `json:"fit"`
	Do         []Do        `json:"do"`      // what to do now, gravest first
	Governs    *checkKey   `json:"governs"` // null where no check decides
	CannotBe   []cannotBe  `json:"cannot_be"`
	Questions  []question  `json:"questions"`
	Quantities quantities  `json:"quantities"`
	Readings   []Reading   `json:"readings"`
	Ties       []tie       `json:"ties"`
	Loads      []load      `json:"loads"`
	Checks     []Check     `json:"checks"`
	NotGiven   []RatingKey `json:"not_given"`
	Declared   []declared  `json:"declared"`
	Budgets    budgets     `json:"budgets"`
	Mistakes   []Mistake   `json:"mistakes"`
	Trip       *trip       `json:"trip"`
	HitchRange *hitchRange `json:"hitch_range"`
	Levers     []lever     `json:"levers"`
	Replaces   *Replaces   `json:"replaces"`
	Guides     []guide     `json:"guides"`
	Advice     []Advice    `json:"advice"`
	Cautions   []Note      `json:"cautions"`
	Footnotes  []Note      `json:"footnotes"`
	Inputs     []input     `json:"inputs"`
	Outfit     Outfit      `json:"outfit"`
	Issuer     issuer      `json:"issuer"`
	Scales     []scale     `json:"scales"`
	Ratings    []rating    `json:"ratings"`
	Routes     []route     `json:"routes"`
	Doubtful   [][]Place   `json:"doubtful"` // sets that cannot be separated, largest |w| first
	Headroom   []headroom  `json:"headroom"`
	Imbalance  []imbalance `json:"imbalance"`
	Plan       *Plan       `json:"plan"`
	// MistakesComplete is false where the search for mistakes stopped at its
	// bound.
	MistakesComplete bool `json:"mistakes_complete"`

	memory             *memory `json:"-"` // that it is in; nil for one that was read
	shelf.Lent[Record] `json:"-"`
}

// options are the choices the record was made with. They are given and not
// derived: verify takes them from the record.
type options struct {
	Rule     string  `json:"rule"`   // guarded or simple
	Region   string  `json:"region"` // resolved: the flag's or the form's
	Set      string  `json:"set"`
	Issued   string  `json:"issued"` // date, or ""
	Paper    string  `json:"paper"`  // a4 or letter
	Unit     string  `json:"unit"`   // kg or lb: what the pages print
	Short    bool    `json:"short"`
	After    string  `json:"after"` // SHA-256 of the earlier record, attached as earlier.json; or ""
	SignedBy *Signer `json:"signed_by"`
}

// Signer is who signs in the same run.
type Signer struct {
	Name        string `json:"name"`
	Fingerprint string `json:"fingerprint"` // SHA-256 of the certificate, upper-case hex
}

// fit says how all readings agree.
type fit struct {
	Observations int      `json:"observations"`
	DOF          int      `json:"dof"`
	ChiSquare    float64  `json:"chi_square"`
	PValue       *float64 `json:"p_value"` // null where dof is 0
	WithoutTies  fitPart  `json:"without_ties"`
}

// fitPart is a fit without the moment ties.
type fitPart struct {
	DOF       int      `json:"dof"`
	ChiSquare float64  `json:"chi_square"`
	PValue    *float64 `json:"p_value"`
}

// RatingKey names a rating by its word and what it is on.
type RatingKey struct {
	Rating string `json:"rating"`
	On     string `json:"on"`
}

// checkKey names a check of the ratings in force.
type checkKey struct {
	Rating string `json:"rating"`
	On     string `json:"on"`
	State  string `json:"state"`
}

// Place is where a figure is in tickets.csv. Line 0 is no reading: Column then
// is a tie, load, share or scale as kind.name.
type Place struct {
	Line   int    `json:"line"`
	Column string `json:"column"`
}

// Args are the arguments of a code. Only those that the code has are there,
// in this order; codes.go has the table of all codes with their arguments.
type Args struct {
	Rating  string      `json:"rating,omitempty"`
	On      string      `json:"on,omitempty"`
	State   string      `json:"state,omitempty"`
	Set     string      `json:"set,omitempty"`
	Other   string      `json:"other,omitempty"` // a second rating word, name or figure as typed
	OtherOn string      `json:"other_on,omitempty"`
	Of      string      `json:"of,omitempty"` // a code: what kind, from where
	File    string      `json:"file,omitempty"`
	AtLine  int         `json:"at_line,omitempty"` // a line, where the entry has no key line of its own
	Ticket  string      `json:"ticket,omitempty"`
	Column  string      `json:"column,omitempty"`
	Name    string      `json:"name,omitempty"` // scale, load, place, column or code
	Typed   string      `json:"typed,omitempty"`
	Kg      *float64    `json:"kg,omitempty"`
	UKg     *float64    `json:"u_kg,omitempty"`
	LimitKg *float64    `json:"limit_kg,omitempty"`
	Value   *float64    `json:"value,omitempty"` // ratio
	U       *float64    `json:"u,omitempty"`     // of the ratio
	Limit   *float64    `json:"limit,omitempty"` // of the ratio
	Number  *int        `json:"number,omitempty"`
	OfAll   *int        `json:"of_all,omitempty"`
	Lines   []int       `json:"lines,omitempty"`
	Names   []string    `json:"names,omitempty"`
	Checks  []checkKey  `json:"checks,omitempty"`
	Ratings []RatingKey `json:"ratings,omitempty"`
	Figures []figure    `json:"figures,omitempty"`
}

// figure is one figure that would mend a ticket that does not add up: what it
// says, and what it would have to say, in its own unit.
type figure struct {
	Line   int    `json:"line"`
	Column string `json:"column"`
	OnDeck string `json:"on_deck"`
	Was    string `json:"was"`
	Should string `json:"should"`
	Unit   string `json:"unit"`
	Digit  bool   `json:"digit"` // a single digit away
}

// Do is one thing that line 1 says. See doCodes.
type Do struct {
	Code string `json:"code"`
	Args *Args  `json:"args,omitempty"`
}

// cannotBe is what cannot be whatever χ² says: impossible, does_not_add_up.
type cannotBe struct {
	Code  string `json:"code"`
	File  string `json:"file"`
	Line  int    `json:"line"`
	On    string `json:"on"`
	State string `json:"state"`
	Args  *Args  `json:"args"`
}

// question is what is not impossible but hardly right, asked at its line.
type question struct {
	Code     string `json:"code"`
	File     string `json:"file"`
	Line     int    `json:"line"`
	Answered bool   `json:"answered"` // the line's confirmed has the code
	Args     *Args  `json:"args"`
}

// The units a quantity can be in; the unit decides the keys of its JSON.
const (
	inKg    = "kg"  // value_kg, u_kg, basis
	inRatio = ""    // value, u
	inKgM   = "kgm" // value_kgm, u_kgm
	inMm    = "mm"  // value_mm, u_mm
)

// quantity is a determined value with its standard uncertainty. A quantity
// that is not determined is nil in the record, never a number.
type quantity struct {
	Unit     string
	Value, U float64
	Basis    string // weighed, moment, difference; only in kg
}

// named are values by their names, in a fixed order; in JSON an object with its
// keys in that order.
type named[T any] []entry[T]

// entry is a value with its name.
type entry[T any] struct {
	Name  string
	Value T
}

// Get gives the value of a name; its zero value where the name is not there.
func (all named[T]) Get(name string) T {
	for i := range all {
		if all[i].Name == name {
			return all[i].Value
		}
	}
	return *new(T)
}

// quantities are all names of the model; nil: not determined.
type quantities = named[*quantity]

// Reading is one figure of tickets.csv with what it became. The pointers are
// null where the line is out of the calculation.
type Reading struct {
	Line                 int      `json:"line"`
	Column               string   `json:"column"`
	Ticket               string   `json:"ticket"`
	Setup                string   `json:"setup"`
	Hitch                string   `json:"hitch"` // slack, tensioned, unknown; "" for uncoupled lines
	OnDeck               string   `json:"on_deck"`
	Use                  string   `json:"use"` // yes, no, calculated (also where taken as calculated)
	ReadingKg            string   `json:"reading_kg"`
	CorrectionKg         *float64 `json:"correction_kg"`
	ReconciledKg         *float64 `json:"reconciled_kg"`
	UKg                  *float64 `json:"u_kg"`
	ResidualKg           *float64 `json:"residual_kg"`
	Standardised         *float64 `json:"standardised"`
	Redundancy           *float64 `json:"redundancy"`
	SmallestDetectableKg *float64 `json:"smallest_detectable_kg"`
	Suspect              bool     `json:"suspect"`
	WeighedAt            string   `json:"weighed_at"` // as accepted: 2026-03-14 09:20, 2026-03-14 or 15:31
	Scale                string   `json:"scale"`
	Site                 string   `json:"site"`
	Reading              string   `json:"reading"` // as typed, in unit
	Unit                 string   `json:"unit"`
	IntervalKg           string   `json:"interval_kg"`
	IntervalAssumed      bool     `json:"interval_assumed"`
	Without              []string `json:"without"`
	With                 []string `json:"with"`
	People               *int     `json:"people"`
	VehicleID            string   `json:"vehicle_id"`
	TrailerID            string   `json:"trailer_id"`
	Copy                 string   `json:"copy"`
	Note                 string   `json:"note"`
}

// tie is one moment tie in force: vehicle, nose or hitch.
type tie struct {
	Name         string   `json:"name"`
	ResidualKg   float64  `json:"residual_kg"`
	UKg          float64  `json:"u_kg"`
	Standardised *float64 `json:"standardised"`
	Redundancy   float64  `json:"redundancy"`
	Suspect      bool     `json:"suspect"`
}

// load is a load that a used reading names in without or with.
type load struct {
	Load         string   `json:"load"`
	DeclaredKg   string   `json:"declared_kg"`
	SolvedKg     *float64 `json:"solved_kg"` // null with its u: not determined
	UKg          *float64 `json:"u_kg"`
	Standardised *float64 `json:"standardised"`
	Redundancy   float64  `json:"redundancy"`
	Suspect      bool     `json:"suspect"`
}

// Check is one rating line in force in one state, or the floor of the
// download. A d_value row has the kN keys filled and the kg ones null.
type Check struct {
	Rating          string   `json:"rating"` // first-column word
	On              string   `json:"on"`     // as in the form
	State           string   `json:"state"`  // vehicle_alone, coupled_slack, coupled_tensioned or ""
	Set             string   `json:"set"`
	Line            *int     `json:"line"` // of ratings.csv; null for the floor
	Floor           bool     `json:"floor"`
	LimitKg         *string  `json:"limit_kg"`
	ValueKg         *float64 `json:"value_kg"`
	UKg             *float64 `json:"u_kg"`
	MarginKg        *float64 `json:"margin_kg"`
	POver           *float64 `json:"p_over"`
	Verdict         string   `json:"verdict"` // within, over, unsettled, not_weighed
	Decides         bool     `json:"decides"`
	HeldOn          []string `json:"held_on"` // the supports whose load is compared
	NeededKg        *float64 `json:"needed_kg"`
	Checked         bool     `json:"checked"`
	MistakeEffectKg *float64 `json:"mistake_effect_kg"`
	Assumed         []string `json:"assumed"` // codes: see assumedCodes
	OnlyTensioned   bool     `json:"only_tensioned"`
	LimitKN         *string  `json:"limit_kn"`
	ValueKN         *float64 `json:"value_kn"`
	UKN             *float64 `json:"u_kn"`
	MarginKN        *float64 `json:"margin_kn"`
	PlatedKN        *float64 `json:"plated_kn"` // Dc of the plated masses; null where they are not given
}

// declared is a load that was stated, not weighed.
type declared struct {
	Load   string `json:"load"`
	AwayKg string `json:"away_kg"`
}

// cause is one contribution to a quantity's uncertainty: a reading has line
// and column, the others a name.
type cause struct {
	Cause  string  `json:"cause"` // reading, scale, load, share, tie, length
	Line   int     `json:"line"`
	Column string  `json:"column"`
	Name   string  `json:"name"`
	UKg    float64 `json:"u_kg"`
}

// budgets are the causes of each quantity's uncertainty, at most five, largest
// first.
type budgets = named[[]cause]

// Mistake is a likely single mistake under which the readings would agree. It
// is never applied. Was and Should are figures as typed, or codes.
type Mistake struct {
	Kind     string   `json:"kind"` // see mistakeKinds
	File     string   `json:"file"`
	Line     int      `json:"line"` // 0: no line
	Column   string   `json:"column"`
	Ticket   string   `json:"ticket"`
	OnDeck   string   `json:"on_deck"`
	Was      string   `json:"was"`
	Should   string   `json:"should"`
	Unit     string   `json:"unit"`
	PValue   *float64 `json:"p_value"` // null: nothing is left to test
	Poorly   bool     `json:"poorly"`
	Scope    string   `json:"scope"`    // figure, line, ticket, visit, length, scale
	Readings []Place  `json:"readings"` // every figure it is in
	Load     string   `json:"load"`     // of a load_wrong; "" for a person whom no form lists
	Places   []string `json:"places"`   // where that load may be
	Lengths  []string `json:"lengths"`  // columns of outfit.csv that may be wrong
	Rank     int      `json:"rank"`     // equally good ones share it
}

// trip is the verdict over the corners of the loads that vary.
type trip struct {
	Verdict string      `json:"verdict"` // gravest of within, not_known, unsettled, over
	Checks  []tripCheck `json:"checks"`
}

// tripCheck is a deciding check at its worst corner. A D-value alone has the kN
// keys, and the kg ones null.
type tripCheck struct {
	Rating   string     `json:"rating"`
	On       string     `json:"on"`
	State    string     `json:"state"`
	LimitKg  *string    `json:"limit_kg"`
	ValueKg  *float64   `json:"value_kg"`
	UKg      *float64   `json:"u_kg"`
	MarginKg *float64   `json:"margin_kg"`
	Verdict  string     `json:"verdict"`
	At       []loadMass `json:"at"`
	OtherKg  *float64   `json:"other_kg"` // the value with each of those loads at its other end
	LimitKN  *string    `json:"limit_kn,omitempty"`
	ValueKN  *float64   `json:"value_kn,omitempty"`
	UKN      *float64   `json:"u_kn,omitempty"`
	MarginKN *float64   `json:"margin_kn,omitempty"`
	OtherKN  *float64   `json:"other_kn,omitempty"`
}

// loadMass is a load at one end of what it may weigh.
type loadMass struct {
	Load string `json:"load"`
	Kg   string `json:"kg"`
}

// hitchRange is how tight the bars may be: the load restored to the front axle
// between which every limit that tension moves holds.
type hitchRange struct {
	LowKg  *float64     `json:"low_kg"`
	HighKg *float64     `json:"high_kg"`
	LowBy  *RatingKey   `json:"low_by"`
	HighBy *RatingKey   `json:"high_by"`
	Table  []rangeEntry `json:"table"`
}

// rangeEntry is the outfit at one tension.
type rangeEntry struct {
	Restored   float64 `json:"restored"`
	FrontKg    float64 `json:"front_kg"`
	RearKg     float64 `json:"rear_kg"`
	TrailerKg  float64 `json:"trailer_kg"`
	UFrontKg   float64 `json:"u_front_kg"`
	URearKg    float64 `json:"u_rear_kg"`
	UTrailerKg float64 `json:"u_trailer_kg"`
	Verdict    string  `json:"verdict"`
}

// lever is what 10 kg put at a place add, coupled slack; null: a length is missing.
type lever struct {
	Place      string   `json:"place"`
	On         string   `json:"on"`
	FrontKg    *float64 `json:"front_kg"`
	RearKg     *float64 `json:"rear_kg"`
	TrailerKg  *float64 `json:"trailer_kg"`
	DownloadKg *float64 `json:"download_kg"`
}

// Replaces names the issued summary that this one amends.
type Replaces struct {
	Number       string `json:"number"`
	RecordSHA256 string `json:"record_sha256"`
	Because      string `json:"because"`
}

// guide is common practice next to the limits; it never decides.
type guide struct {
	Guide  string   `json:"guide"`
	On     string   `json:"on"`
	Value  *float64 `json:"value"`
	U      *float64 `json:"u"`
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	Kept   *bool    `json:"kept"`
	Source string   `json:"source"` // a code: common_practice, …
}

// Note is a caution, printed next to the verdict (see cautionCodes), or a
// footnote, numbered in this order everywhere (see footnoteCodes).
type Note struct {
	Code string `json:"code"`
	Line int    `json:"line"` // 0: the job
	Args
}

// Advice is one thing to do next.
type Advice struct {
	Kind     string      `json:"kind"`  // weigh, remove, rating, look, compare
	Setup    string      `json:"setup"` // of the reading to take
	Hitch    string      `json:"hitch"`
	OnDeck   string      `json:"on_deck"`
	For      []served    `json:"for"`
	UNowKg   *float64    `json:"u_now_kg"`
	UThenKg  *float64    `json:"u_then_kg"`
	Kg       *float64    `json:"kg"`        // to take off (download_min: to put on)
	NeededKg *float64    `json:"needed_kg"` // what the rating would have to be
	Among    []Place     `json:"among"`     // readings one of which is wrong
	Shows    []Place     `json:"shows"`     // those that the reading would single out
	Ratings  []RatingKey `json:"ratings"`   // to find
	File     string      `json:"file"`      // of the line to look at
	Line     int         `json:"line"`      // to look at; 0: none
	Code     string      `json:"code"`      // of the question to answer there
}

// served is what a further reading does for one check. u are standard.
type served struct {
	Rating          string   `json:"rating"`
	On              string   `json:"on"`
	State           string   `json:"state"`
	Need            string   `json:"need"` // not_weighed, unsettled, not_checked
	UNowKg          *float64 `json:"u_now_kg"`
	UThenKg         *float64 `json:"u_then_kg"`
	UNowKN          *float64 `json:"u_now_kn"`
	UThenKN         *float64 `json:"u_then_kn"`
	Solved          bool     `json:"solved"`
	Verdict         string   `json:"verdict"` // then, if the load is what it now seems to be; "" where not said
	MistakeEffectKg *float64 `json:"mistake_effect_kg"`
}

// headroom is how much more fits at one place before the first rating.
type headroom struct {
	Place  string  `json:"place"`
	Kg     float64 `json:"kg"`
	Rating string  `json:"rating"`
	On     string  `json:"on"`
	State  string  `json:"state"`
}

// imbalance is left less right, or one axle less the next, of a support.
type imbalance struct {
	Support string  `json:"support"`
	Kg      float64 `json:"kg"`
	UKg     float64 `json:"u_kg"`
}

// route is the download by one route: trailer, vehicle, front_lift, gauge.
type route struct {
	Route   string  `json:"route"`
	ValueKg float64 `json:"value_kg"`
	UKg     float64 `json:"u_kg"`
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
	LengthsMm     lengths `json:"lengths_mm"`
	TrailerKind   string  `json:"trailer_kind"` // centre_axle, drawbar, semi
	Suspension    string  `json:"suspension"`   // springs, rocker
}

// lengths are the outfit's lengths in millimetres; null where not given.
type lengths struct {
	Wheelbase                *float64 `json:"wheelbase"`
	RearAxleToCoupling       *float64 `json:"rear_axle_to_coupling"`
	CouplingToTrailerAxle    *float64 `json:"coupling_to_trailer_axle"`
	NoseSupportToTrailerAxle *float64 `json:"nose_support_to_trailer_axle"`
	Uncertainty              *float64 `json:"uncertainty"`
}

// issuer is the letterhead, with this summary's number.
type issuer struct {
	Name       string `json:"name"`
	Address    string `json:"address"`
	Licence    string `json:"licence"`
	Phone      string `json:"phone"`
	Email      string `json:"email"`
	NextNumber string `json:"next_number"`
	Number     string `json:"number"`
}

// scale is one weighing instrument as typed (class and deck as resolved), and
// its interval in kilograms.
type scale struct {
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

// rating is one line of ratings.csv and what became of it.
type rating struct {
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

// input is one attached file: its bytes' hash and the lines it holds.
type input struct {
	File   string   `json:"file"`
	SHA256 string   `json:"sha256"` // lower-case hex
	Lines  [][2]int `json:"lines"`  // first and last of each run in the form; [] is the entire file
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
	Before   []planLoad `json:"before"`
	After    []planLoad `json:"after"`
	Blocking []Blocking `json:"blocking"`
	Facts    *planFacts `json:"-"` // nil for a plan that was read back
}

// Move takes part or all of a load from one place to another; To nil is left behind.
type Move struct {
	Load string  `json:"load"`
	From string  `json:"from"`
	To   *string `json:"to"`
	Kg   string  `json:"kg"`

	Whole  bool     `json:"-"` // all of the load
	Relief []relief `json:"-"` // on the checks that were not kept
}

// planLoad is one deciding load before or after a plan. A D-value alone has
// the kN keys, and the kg ones null.
type planLoad struct {
	Rating  string   `json:"rating"`
	On      string   `json:"on"`
	State   string   `json:"state"`
	LimitKg *string  `json:"limit_kg"`
	ValueKg *float64 `json:"value_kg"`
	UKg     *float64 `json:"u_kg"`
	Verdict string   `json:"verdict"`
	LimitKN *string  `json:"limit_kn,omitempty"`
	ValueKN *float64 `json:"value_kn,omitempty"`
	UKN     *float64 `json:"u_kn,omitempty"`
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
