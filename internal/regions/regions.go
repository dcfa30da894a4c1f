// Package regions is the one table of what differs from region to region: the
// word of the region, the order of its dates, whether a unit must be stated,
// what its plates call a rating, the ratings an outfit usually has, the guides
// of its trade, and how its pages are printed. A region is one row. The package
// imports nothing of the program, so that the flag, the forms, the refusals,
// the checks and the pages can all read it.
package regions

// Region is the word of a region as the forms and the flag take it; blank is
// the neutral row.
type Region string

// The regions.
const (
	None          Region = ""
	Australia     Region = "au"
	NewZealand    Region = "nz"
	UnitedKingdom Region = "uk"
	Europe        Region = "eu"
	UnitedStates  Region = "us"
)

// dateOrder is the order of day and month in a date like 14/03/2026.
type dateOrder string

// The orders. NoOrder: such a date is refused.
const (
	dayFirst   dateOrder = "day_first"
	MonthFirst dateOrder = "month_first"
	NoOrder    dateOrder = "none"
)

// unitRule says what a blank unit of a mass means.
type unitRule string

// The rules of a blank unit.
const (
	unitKg       unitRule = "kg"       // it is kilograms
	UnitRequired unitRule = "required" // it is refused
)

// unit is a unit of mass.
type unit string

// The units that pages are printed in.
const (
	kg unit = "kg"
	Lb unit = "lb"
)

// Towed is the load that a rating `towing` limits.
type Towed string

// The loads. NotComparable: without a region such a rating is refused, for it
// would be compared with different loads.
const (
	wholeTrailer  Towed = "whole_trailer"
	TrailerAxles  Towed = "trailer_axles"
	NotComparable Towed = "none"
)

// On is a rating word and what it is on; On "" is any.
type On struct{ Rating, On string }

// Share is a share of the trailer's mass with its standard uncertainty.
type Share struct{ Value, U float64 }

// shareGuide is the usual download as a share of the trailer's mass.
type shareGuide struct {
	Stated           bool // false: the region has no guide
	Low, High, Usual float64
	Source           string // code
}

// leastDownload is the least download asked for on the road:
//
//	min(Share·mass, LightKg), above LightUpToKg min(Share·mass, HeavyKg)
type leastDownload struct {
	Stated                               bool // false: the region asks for none
	Share, LightKg, LightUpToKg, HeavyKg float64
	Source                               string // code
}

// Mass is a mass by which a trailer is put into a class.
type Mass string

// The masses: ratings in force, or the trailer as weighed.
const (
	ByGTM       Mass = "gtm"
	ByTrailer   Mass = "axle_trailer"
	byATM       Mass = "atm"
	ByLadenMass Mass = "laden"
)

// BrakeClass is the heaviest trailer that may have no, or only over-run, brakes.
type BrakeClass struct {
	Brakes    string // as outfit.csv's trailer_brakes
	MostKg    float64
	Below     bool   // less than MostKg, not up to it
	MostAxles int    // 0: any number
	By        []Mass // the first that is given counts
	Source    string // code
}

// TowingDefault is what may be towed where no rating says, or with one:
//
//	(mass of Of + PlusKg) × Factor
type TowingDefault struct {
	Guide   string   // code of the guide
	Brakes  []string // trailer_brakes it holds for; "" is not stated
	Factor  float64
	Of      string // kerb: the vehicle's empty mass; gvm: its rating
	PlusKg  float64
	Unrated bool    // only where no towing rating is given
	MostKg  float64 // never more than this; 0 for no such bound
	Source  string  // code
}

// Row is all that is particular to one region. Every cell is filled; what a
// region truly has not is written as an empty list, none, or Stated false.
type Row struct {
	Region   Region
	Name     string // in English
	Dates    dateOrder
	Units    unitRule
	PrintIn  unit
	Language string            // tag of the pages' language (BCP 47)
	Labels   map[string]string // by rating word, download, interval
	Usual    []On              // the ratings a job needs a line for, as not_given names them
	Plated   []On              // the same in the words that its plates print, for blank forms
	Towing   Towed
	// TowingIsGuidance: type approval limits the axle load, and the guidance of
	// the region compares the whole trailer, which is the safe side.
	TowingIsGuidance guidanceOnly
	Share            shareGuide
	Expected         Share // download share of a trailer that nobody weighed, for an estimate
	Least            leastDownload
	Brakes           []BrakeClass
	Towed            []TowingDefault
	// PassengerTyreDivisor divides the rating of a passenger tyre on the
	// trailer, as decimal digits; "1" divides nothing.
	PassengerTyreDivisor string
	TyresTogether        string // source code of: the tyres carry at least the axle rating
	NoTrainWeight        advice // what a plate without a combination mass means
	RearAllowance        advice // whether handbooks state an allowance for towing
	GtmMayExceedAtm      answer // the sum of the trailer's axle ratings is above atm as a rule
	BarsUsual            answer // load-distribution hitches are usual behind heavy trailers
}

// guidanceOnly says whether the comparison of a towing rating is guidance.
type guidanceOnly string

// answer is yes or no.
type answer string

// advice is a code of what a region adds, or none.
type advice string

// The words of these cells.
const (
	rule     guidanceOnly = "rule"
	guidance guidanceOnly = "guidance"

	Yes answer = "yes"
	no  answer = "no"

	noAdvice  advice = "none"
	DoNotTow  advice = "do_not_tow"
	Allowance advice = "eu_allowance"
)

// Of is the row of a region; an unknown one reads the neutral row.
func Of(r Region) *Row {
	for i := range Table {
		if Table[i].Region == r {
			return &Table[i]
		}
	}
	return neutral()
}

func neutral() *Row { return &Table[len(Table)-1] }

// Words lists the words that a form or the flag may hold, in the table's order.
func Words() []string {
	var words []string
	for i := range Table {
		if w := string(Table[i].Region); w != "" {
			words = append(words, w)
		}
	}
	return words
}

// Known reports whether a word names a region, the blank one not among them.
func Known(word string) bool {
	return word != "" && Of(Region(word)).Region == Region(word)
}

// Label is what the region calls a rating word, the download or the interval;
// a word that the table does not hold is given back as it is.
func (r *Row) Label(word string) string {
	if label, ok := r.Labels[word]; ok {
		return label
	}
	return word
}

// Label is what a region calls a rating word, the download or the interval.
func Label(word string, r Region) string { return Of(r).Label(word) }

// LeastKg is the least download of a trailer, in kilograms; ok is false where
// the region asks for none.
func (l *leastDownload) LeastKg(trailerKg float64) (kg float64, ok bool) {
	most := l.LightKg
	if trailerKg > l.LightUpToKg {
		most = l.HeavyKg
	}
	return min(float64(l.Share*trailerKg), most), l.Stated
}
