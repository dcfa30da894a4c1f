// Package regions is the one table of what differs from region to region: the
// word of the region, the order of its dates, whether a unit must be stated,
// what its plates call a rating, the ratings an outfit usually has, the guides
// of its trade, and how its pages are printed. A region is one row. The package
// imports nothing of the program, so that the flag, the forms, the refusals,
// the checks and the pages can all read it.
package regions

// dateOrder is the order of day and month in a date like 14/03/2026.
type dateOrder struct {
	Stated bool   // false: such a date is refused
	Layout string // of such a date, as package time reads it
	Words  string
}

// answer is a cell with yes or no; the zero value is an empty cell.
type answer struct{ Filled, Yes bool }

var (
	dayFirst   = dateOrder{true, "2/1/2006", "day/month/year"}
	monthFirst = dateOrder{true, "1/2/2006", "month/day/year"}
	noOrder    = dateOrder{Words: "none"}

	yes = answer{true, true}
	no  = answer{true, false}
)

// On is a rating word and what it is on; On "" is any.
type On struct{ Rating, On string }

// share is a share of the trailer's mass with its standard uncertainty.
type share struct{ Value, U float64 }

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

// brakeClass is the heaviest trailer that may have no, or only over-run, brakes.
type brakeClass struct {
	Brakes    string // as outfit.csv's trailer_brakes
	MostKg    float64
	Below     bool   // less than MostKg, not up to it
	MostAxles int    // 0: any number
	By        []On   // ratings: the first that is in force counts, else the trailer as weighed
	Source    string // code
}

// towingDefault is what may be towed where no rating says, or with one:
//
//	(mass of Of + PlusKg) × Factor
type towingDefault struct {
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
	Region string // its word as the forms and the flag take it: au, nz, uk, eu or us; blank is the neutral row
	Name   string // in English
	Dates  dateOrder
	// UnitNeeded: a mass without a unit is refused; else it is in kilograms.
	UnitNeeded   answer
	PrintIn      string            // kg or lb
	Paper        string            // a4 or letter
	DecimalComma answer            // telephones type 2,5
	Language     string            // tag of the pages' language (BCP 47)
	Labels       map[string]string // what it calls a rating word, download, download_semi, interval
	Usual        []On              // the ratings a job needs a line for, as not_given names them
	Plated       []On              // the same in the words that its plates print, for blank forms
	// TowsAxles: a rating towing limits the axle load of the trailer, else the
	// whole trailer.
	TowsAxles answer
	// TowingRefused: a rating towing is refused, for it would be compared with
	// different loads.
	TowingRefused answer
	Share         shareGuide
	Expected      share // download share of a trailer that nobody weighed, for an estimate
	Least         leastDownload
	Brakes        []brakeClass
	Towed         []towingDefault
	// PassengerTyreDivisor divides the rating of a passenger tyre on the
	// trailer, as decimal digits; "1" divides nothing.
	PassengerTyreDivisor string
	TyresTogether        string // source code of: the tyres carry at least the axle rating
	NoTrainWeight        answer // a plate without a combination mass means: do not tow
	RearAllowance        answer // handbooks state an allowance for towing
	GtmMayExceedAtm      answer // the sum of the trailer's axle ratings is above atm as a rule
	BarsUsual            answer // load-distribution hitches are usual behind heavy trailers
}

// Of is the row of a region; an unknown one reads the neutral row.
func Of(region string) *Row {
	for i := range Table {
		if Table[i].Region == region {
			return &Table[i]
		}
	}
	return neutral()
}

func neutral() *Row { return &Table[len(Table)-1] }
