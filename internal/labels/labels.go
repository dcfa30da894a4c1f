// Package labels is the table of the words that an owner in each region reads
// on a plate or in a handbook for the ratings of an outfit. It is data with a
// way to look it up; it imports nothing, so that whatever names a rating can
// use it.
package labels

// Regions are the regions with labels of their own, in the table's order.
// Any other region, the blank one included, reads the neutral words.
var Regions = []string{"au", "nz", "uk", "eu", "us"}

// Row is one word of the forms and what each region calls it.
type Row struct {
	Word               string // the first-column word of ratings.csv, or download, interval
	Au, Nz, Uk, Eu, Us string
	Neutral            string // without a region
}

// Table holds every rating word, the download and the scale interval.
//
// Source: the terms of each region's rules and plates: national design rules
// (au, nz), plating regulations (uk), registration document codes and type
// approval (eu), 49 CFR 571.3 (us). Rows marked "own" are our plain words.
var Table = []Row{
	same("gvm", "GVM", "MAM", "F.1 max laden mass", "GVWR"),
	same("gcm", "GCM", "gross train weight", "F.3 combination mass", "GCWR"),
	{"atm", "ATM", "GVM of trailer", "MTPLM", "max laden mass of trailer", "trailer GVWR", "atm"},
	same("gtm", "GTM", "trailer axle weight", "trailer axle load", "sum of trailer GAWR"),
	same("axle", "axle rating", "plated axle weight", "max axle mass", "GAWR"),
	same("towing", "rated towing capacity", "towing limit", "towable mass (axle load)", "tow rating"),
	same("download", "towball download", "noseweight", "static coupling load (S)", "tongue weight"),
	same("download_max", "towball download", "noseweight", "static coupling load (S)", "tongue weight"),
	// own: "least" tells the lower limit from the upper one
	same("download_min", "least towball download", "least noseweight", "least static coupling load (S)", "least tongue weight"),
	same("d_value", "D-value", "D-value", "D-value", "D-value"),
	same("tyre", "tyre", "tyre", "tyre", "tire"),
	same("wheel", "wheel rim", "wheel rim", "wheel rim", "wheel rim"),
	same("kerb", "kerb mass", "kerbside weight", "kerb mass", "curb weight"),
	same("tare", "tare mass", "tare weight", "tare mass", "tare weight"),
	same("running_order", "mass in running order", "mass in running order", "mass in running order", "mass in running order"),
	{"interval", "scale interval", "scale interval", "scale interval", "scale interval", "division", "scale interval"},
}

// same makes a row in which New Zealand reads what Australia reads, and an
// outfit without a region the word of the form.
func same(word, auNz, uk, eu, us string) Row {
	return Row{word, auNz, auNz, uk, eu, us, word}
}

// In gives the row's label in a region; an unknown region reads the neutral one.
func (r Row) In(region string) string {
	switch region {
	case "au":
		return r.Au
	case "nz":
		return r.Nz
	case "uk":
		return r.Uk
	case "eu":
		return r.Eu
	case "us":
		return r.Us
	}
	return r.Neutral
}

// Rating gives the label of a rating word in a region; a word that the table
// does not hold is given back as it is.
func Rating(word, region string) string {
	for _, row := range Table {
		if row.Word == word {
			return row.In(region)
		}
	}
	return word
}

// Download gives what a region calls the download of the coupling.
func Download(region string) string { return Rating("download", region) }

// Interval gives what a region calls the scale interval.
func Interval(region string) string { return Rating("interval", region) }
