// Package tickets turns the forms of a weighing job into one typed Job: any
// spreadsheet dialect becomes cells with their place, cells become exact
// decimals in kilograms and lengths in millimetres. Every refusal of the
// program is made here, in words, with file, line and column; later steps
// refuse nothing. The package knows nothing of uncertainty, or of what
// a rating is compared with.
package tickets

import (
	"time"

	"github.com/shopspring/decimal"

	"reconcile/internal/shelf"
)

// State is one of the four states in which the supports of an outfit carry load.
type State string

// The states. CoupledSlack also is an outfit without a load-distribution hitch: what
// such a hitch changes is nothing while its bars are slack.
const (
	VehicleAlone     State = "vehicle_alone"
	TrailerAlone     State = "trailer_alone"
	CoupledSlack     State = "coupled_slack"
	CoupledTensioned State = "coupled_tensioned"
)

// Coupled says whether vehicle and trailer carry each other in the state.
func (s State) Coupled() bool { return s == CoupledSlack || s == CoupledTensioned }

// coupledState is that of a coupled outfit whose bars are tensioned, or are not.
func coupledState(tensioned bool) State {
	if tensioned {
		return CoupledTensioned
	}
	return CoupledSlack
}

// Cells gives what the columns setup and hitch of tickets.csv say of the state.
func (s State) Cells() (setup, hitch string) {
	switch s {
	case CoupledSlack:
		return coupled, slack
	case CoupledTensioned:
		return coupled, tensioned
	}
	return string(s), ""
}

// The words of the columns setup, hitch and travels that are no states by
// themselves. Plain is an outfit without a load-distribution hitch; unknown, that
// nobody knows how the bars were.
const (
	coupled   = "coupled"
	plain     = "plain"
	slack     = "slack"
	tensioned = "tensioned"
	unknown   = "unknown"
)

// The words of the column trailer_kind, those of UN R55, beside centre_axle.
const (
	drawbar = "drawbar"
	semi    = "semi"
)

// The words of the column use.
const (
	yes        = "yes"
	no         = "no"
	calculated = "calculated"
)

// Group is a support that a reading can name: an axle or axle group, the
// nose of an uncoupled trailer, or the gauge under its coupling.
type Group string

// The groups.
const (
	Front    Group = "front"
	Rear     Group = "rear"
	Trailer  Group = "trailer"
	Nose     Group = "nose"
	Coupling Group = "coupling"
)

// Side is the driver's left or right; blank is both.
type Side string

// The sides.
const (
	Left  Side = "left"
	Right Side = "right"
)

// Term is one support on the deck, after words like vehicle and all have been
// in full: Axle 0 is every axle of the group, Side blank both sides.
type Term struct {
	Group Group
	Axle  int
	Side  Side
}

// Unit is the half of an outfit that a load rides on.
type Unit string

// The two units.
const (
	OnVehicle Unit = "vehicle"
	OnTrailer Unit = "trailer"
)

// The words of the column deck, beside single.
const (
	multi      = "multi"
	pads       = "pads"
	padsInTurn = "pads_in_turn"
	gauge      = "gauge"
)

// moment is a date, with or without a time of day, as it was read.
type moment struct {
	Typed string // trimmed cell
	// Printed is the one form in which it is shown: a date without a time has no
	// time, a time without a date no date. [ParseMoment] reads it back.
	Printed string
	Known   bool      // a date was given
	Time    time.Time // of a time alone, of the year 0
	HasTime bool      // a time of day was given
	HasZone bool      // with its distance from universal time
}

// Reading is one figure of one line of tickets.csv.
type Reading struct {
	Line      int    // line in the form
	Column    string // the reading column ("front.left"); "" for the reading cell
	Ticket    string
	WeighedAt moment
	Scale     string // "" is the one unnamed scale
	State     State  // with a slack hitch where a coupled line does not say how it was; "" for an empty deck
	// HitchUnknown is true where the line says that nobody knows how the bars of the
	// hitch were: read as tensioned, which is any tension or none.
	HitchUnknown bool
	// HitchStated is true where the line says how the hitch was.
	HitchStated bool
	Empty       bool   // what the display showed with nothing on the deck, of either sign: without state and terms
	OnDeck      string // as typed, or the reading column's name; may be blank on a calculated line
	Terms       []Term // written in full: vehicle → front, rear; all → every support of the setup; no overlaps; sorted front, rear, trailer, nose, coupling
	Typed       string // the figure as typed (a decimal comma becomes a point; nothing else changed)
	Unit        string // kg, t or lb
	Kg          decimal.Decimal
	IntervalKg  decimal.Decimal
	// IntervalAssumed is true where neither the line nor its scale gives an interval.
	IntervalAssumed bool
	Without         []string // load names, as listed in loads.csv
	With            []string
	People          *int
	// Used is an observation, Calculated a printed figure that nobody weighed; what is
	// neither is evidence only.
	Used, Calculated bool
	UseStated        bool // the line says yes, no or calculated
	// TakenAsCalculated is true where use is blank and other lines of the
	// ticket add up to the figure exactly: it is then Calculated.
	TakenAsCalculated bool
	VehicleID         string
	TrailerID         string
	WeighedBy         string
	Copy              string
	Note              string
	// NotMultiple is true where a used figure is no whole number of the interval
	// stated for it, or is the one left aside by the interval assumed.
	NotMultiple bool
	Confirmed   []string // codes of questions looked into and found right
}

// Scale is one weighing instrument. The unnamed one of a job without scale
// names has Name "" and Line 0.
type Scale struct {
	Line       int // 0: not listed in scales.csv
	Name       string
	Site       string
	Operator   string
	Class      string // of accuracy (OIML R 76-1): III, IIII, III L or none; resolved: IIII for pads, else III, where blank
	IntervalKg decimal.NullDecimal
	MaxKg      decimal.NullDecimal
	VerifiedOn moment
	ExpandedKg decimal.NullDecimal // expanded uncertainty, k = 2
	StatedAtKg decimal.NullDecimal // the load it is stated for
	SplitKg    decimal.NullDecimal // split_uncertainty
	Copy       string
	// Typed holds the trimmed cells by column name, for the record.
	Typed map[string]string

	// How it takes the load. What is none of these is a single deck, as where the cell
	// is blank.
	Multi  bool // a deck for each group
	Pads   bool // a pad under each wheel
	InTurn bool // of pads: fewer than wheels, so moved on
	Gauge  bool // under the coupling
}

// Load is one person or thing.
type Load struct {
	Line      int
	Name      string
	Typed     string          // mass as typed
	Kg        decimal.Decimal // stated mass
	UKg       float64         // standard uncertainty, resolved: 5 %, at least 1 kg, where blank
	On        Unit            // resolved from its place; "" where neither is given
	Place     string          // "" where it has none
	MayGo     []string        // names of places
	MayLeave  bool
	Divisible bool
	Set       string              // on board only in that set of planned ratings
	Least     decimal.NullDecimal // kg it weighs at least during a trip
	Most      decimal.NullDecimal // kg it weighs at most
	Note      string
}

// Place is one place where a load can ride.
type Place struct {
	Line       int
	Name       string
	On         Unit
	HasAt      bool
	AtMm       float64 // vehicle: behind the front axle; trailer: ahead of the axle centre
	Over       Group   // no place of a form: right over this support, wherever that is; else blank
	CapacityKg decimal.NullDecimal
}

// Length is a length in millimetres, or none.
type Length struct {
	Known bool
	Mm    float64
}

// Outfit is a vehicle and its trailer.
type Outfit struct {
	Line                     int // 0: no line for this job
	Owner                    string
	Vehicle                  string
	VehicleID                string
	Trailer                  string
	TrailerID                string
	WeighedBy                string
	CheckedBy                string
	People                   *int
	Wheelbase                Length
	RearAxleToCoupling       Length
	CouplingToTrailerAxle    Length
	NoseSupportToTrailerAxle Length
	LengthUncertaintyMm      float64 // standard; 10 where blank
	RearAxles                int     // 0: not stated
	TrailerAxles             int     // 0: not stated
	Travels                  State   // the coupled state on the road; resolved
	TravelsPlain             bool    // without a load-distribution hitch; resolved
	TravelsStated            bool
	TrailerBrakes            string              // none, overrun, driver or ""
	Suspension               string              // springs or rocker, of the trailer's group; resolved: springs where blank
	DownloadShare            decimal.NullDecimal // percent, for an estimate
	Because                  string              // why an amendment is issued

	// The kind of trailer. A centre-axle trailer, which is neither, has a rigid drawbar
	// and carries a download. A drawbar trailer has a hinged one and a steered front
	// axle; a semi-trailer rests on the vehicle over or ahead of its rear axle.
	Drawbar, Semi bool
}

// Rating is one line of ratings.csv. Exactly one of LimitKg, LimitKN, Index
// and None says what it holds.
type Rating struct {
	Line        int
	Word        string // first-column word of the README's list: gvm, axle, towing …
	Typed       string // the word as typed, which may be a synonym
	On          string // in lower case: front, rear.1, vehicle, towbar …
	OnTyped     string
	Terms       []Term // on, written in full, for axle, tyre and wheel
	Value       string // as typed (decimal comma → point)
	Unit        string // resolved: kg, t, lb; kN for d_value; "" for a load index or none
	None        bool   // looked for and not found
	LimitKg     decimal.NullDecimal
	LimitKN     decimal.NullDecimal
	Index       []int  // load index of a tyre: single and, where it is given, dual
	Fitted      int    // tyres or rims of all that on names; 0: not stated
	Kind        string // braked, unbraked (also from o.1, o.2); passenger, commercial; ""
	When        string // alone, coupled, slack, tensioned; ""
	Set         string
	Source      string
	Certificate string
	CertifiedOn moment
	Replaced    bool
	Confirmed   []string // codes of questions looked into and found right
	Copy        string
	Note        string
}

// issuer is the letterhead.
type issuer struct {
	Line                                 int // 0: none
	Name, Address, Licence, Phone, Email string
	NextNumber                           string // as typed
}

// note is what reading found, did not refuse, and every reader of the result
// must be shown: a footnote code of the record with the line and column it is about.
type note struct {
	Code   string // people_not_stated, no_time, … (record has the sentences)
	Line   int    // 0: the job
	Column string
	Detail string // a name or figure the sentence needs, as typed
}

// input is what one form gave to a job: the bytes to attach and hash.
type input struct {
	File  string
	Bytes []byte   // header and the lines of this job and of no job, byte for byte; not for changing
	Lines [][2]int // their numbers in the form, first and last of each run; none is the entire file
}

// Job is all that was typed about one outfit's weighing.
type Job struct {
	Name     string // "" where the folder has no job column
	Region   string // its word, as package regions has it; "" for none
	Outfit   Outfit
	Readings []Reading // in the order of the form
	Scales   []Scale   // those its readings name, in order of first use
	Loads    []Load
	Places   []Place
	Ratings  []Rating
	Issuer   issuer
	Notes    []note
	Inputs   []input
	Copies   []string // names of the copies its lines name, in order of first mention, no duplicates

	memory *memory // that of its lists; nil: the job was not read by a Reader
	shelf.Lent[Job]
}

// Scale returns the job's scale of that name; every reading's scale exists.
func (j *Job) Scale(name string) *Scale {
	for i := range j.Scales {
		if j.Scales[i].Name == name {
			return &j.Scales[i]
		}
	}
	return nil
}

// Load returns the listed load of that name, or nil.
func (j *Job) Load(name string) *Load {
	for i := range j.Loads {
		if j.Loads[i].Name == name {
			return &j.Loads[i]
		}
	}
	return nil
}

// Place returns the listed place of that name, or nil.
func (j *Job) Place(name string) *Place {
	for i := range j.Places {
		if j.Places[i].Name == name {
			return &j.Places[i]
		}
	}
	return nil
}

// Form is one CSV form as bytes. Lines gives the numbers that the lines of Bytes
// have in the original form, where Bytes is a part of it: first and last of each
// run, counting up, and no more of them than Bytes has lines; nil otherwise.
type Form struct {
	Name  string // tickets.csv …
	Bytes []byte
	Lines [][2]int
}

// Options are what the command line adds to the forms.
type Options struct {
	Region string // its word, as package regions has it; "" where the forms say it
	Set    string // must be named by some line where given
	// CopySize gives the bytes of what the folder has under the name of a copy:
	// fs.ErrNotExist where it has nothing, and another error where that is no
	// plain file of the folder itself but a link, a pipe or a folder. Without
	// CopySize names alone are checked.
	CopySize func(name string) (int64, error)
	// NeedTickets is false for a plan, which may have no tickets.csv.
	NeedTickets bool
}

// Fault is one refusal.
type Fault struct {
	File         string
	Line, Column int
	What         string // the cell quoted
	Wanted       string
	Hint         string // without "hint: "; "" for none
	Job          string // the job it stops
	All          bool   // it stops all jobs
}
