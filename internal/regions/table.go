package regions

// Table holds the regions in the order in which they are listed, the neutral
// row last.
//
// Sources of the labels: the terms of each region's rules and plates (national
// design rules of au and nz; plating regulations of the uk; codes of the
// registration document and type approval of the eu; 49 CFR 571.3 of the us).
// The label of download_min, and those without an entry there, are our own
// plain words. Usual ratings: what a plate, a certificate and a handbook of
// the region hold (common practice, no source). Expected shares: common
// practice, no source. The sources of the guides are given at their rows.
var Table = []Row{
	{
		Region: "au", Name: "Australia", Dates: dayFirst, UnitNeeded: no, PrintIn: "kg", Paper: "a4", DecimalComma: no, Language: "en-AU",
		Labels:    australianLabels("ATM"),
		Usual:     usual,
		Plated:    plated("gvm", "gcm", "atm", "axle", "towing", "download_max"),
		TowsAxles: no, TowingRefused: no,
		Share:    shareGuide{true, 0.08, 0.15, 0.10, "common_practice"},
		Expected: share{0.10, 0.02},
		Least:    noLeastDownload,
		Brakes: []brakeClass{
			{"none", 750, false, 1, []On{{"gtm", ""}, {"axle", "trailer"}, {"atm", ""}}, "adr_38"},
			{"overrun", 2000, false, 0, []On{{"gtm", ""}, {"axle", "trailer"}, {"atm", ""}}, "adr_38"},
		},
		// South Australia, Light Vehicle Mass and Loading Requirements 2013,
		// Sch. 1: 1.5 × unladen with brakes operable by the driver, else 1.0 ×
		// (New South Wales Road Rules 2014 r 294-2: 1.5 with any working brakes).
		Towed: []towingDefault{
			{Guide: "towing_default", Brakes: []string{"driver"}, Factor: 1.5, Of: "kerb", Unrated: true, Source: "sa_2013_sch_1"},
			{Guide: "towing_default", Brakes: []string{"none", "overrun", ""}, Factor: 1, Of: "kerb", Unrated: true, Source: "sa_2013_sch_1"},
		},
		PassengerTyreDivisor: "1", TyresTogether: "common_practice",
		NoTrainWeight: no, RearAllowance: no, GtmMayExceedAtm: no, BarsUsual: yes,
	},
	{
		Region: "nz", Name: "New Zealand", Dates: dayFirst, UnitNeeded: no, PrintIn: "kg", Paper: "a4", DecimalComma: no, Language: "en-NZ",
		Labels:    australianLabels("GVM of trailer"),
		Usual:     usual,
		Plated:    plated("gvm", "gcm", "gvm_trailer", "axle", "towing", "download_max"),
		TowsAxles: no, TowingRefused: no,
		Share:    shareGuide{true, 0.08, 0.15, 0.10, "common_practice"},
		Expected: share{0.10, 0.02},
		Least:    noLeastDownload,
		// Land Transport Rule: Light-vehicle Brakes 2002, on the laden mass;
		// over-run brakes with a certificate up to 3,500 kg.
		Brakes: []brakeClass{
			{"none", 2000, true, 0, nil, "nz_brakes_2002"},
			{"overrun", 2500, false, 0, nil, "nz_brakes_2002"},
		},
		// The agency recommends: unbraked up to 3/4 of the unladen vehicle.
		Towed: []towingDefault{
			{Guide: "unbraked_share", Brakes: []string{"none"}, Factor: 0.75, Of: "kerb", Source: "nz_agency"},
		},
		PassengerTyreDivisor: "1", TyresTogether: "common_practice",
		NoTrainWeight: no, RearAllowance: no, GtmMayExceedAtm: no, BarsUsual: yes,
	},
	{
		Region: "uk", Name: "United Kingdom", Dates: dayFirst, UnitNeeded: no, PrintIn: "kg", Paper: "a4", DecimalComma: no, Language: "en-GB",
		Labels: map[string]string{
			"gvm": "MAM", "gcm": "gross train weight", "atm": "MTPLM", "gtm": "trailer axle weight",
			"axle": "plated axle weight", "towing": "towing limit",
			"download": "noseweight", "download_max": "noseweight", "download_min": "least noseweight",
			"d_value": "D-value", "tyre": "tyre", "wheel": "wheel rim",
			"kerb": "kerbside weight", "tare": "tare weight", "running_order": "mass in running order",
			"interval": "scale interval", "download_semi": "coupling download",
		},
		Usual:  usual,
		Plated: plated("mam_vehicle", "gtw", "mtplm", "axle", "towing", "noseweight"),
		// Type approval limits the axle load; guidance of the region compares the
		// whole trailer, which is the safe side.
		TowsAxles: no, TowingRefused: no,
		Share:    shareGuide{true, 0.05, 0.07, 0.06, "common_practice"},
		Expected: share{0.06, 0.01},
		Least:    noLeastDownload,
		// Trailer safety checks of the government: brakes above 750 kg maximum
		// mass; Construction and Use Regulations 1986: over-run up to 3,500 kg.
		Brakes: []brakeClass{
			{"none", 750, false, 0, []On{{"atm", ""}}, "uk_trailer_checks"},
			{"overrun", 3500, false, 0, []On{{"atm", ""}}, "cu_1986"},
		},
		// Government page of 2012: unbraked up to half of the car's weight.
		Towed: []towingDefault{
			{Guide: "unbraked_share", Brakes: []string{"none"}, Factor: 0.5, Of: "kerb", Source: "uk_page_2012"},
		},
		PassengerTyreDivisor: "1", TyresTogether: "common_practice",
		// Government page of 2012: if the plate lists no train weight, do not tow.
		NoTrainWeight: yes, RearAllowance: no, GtmMayExceedAtm: no, BarsUsual: no,
	},
	{
		Region: "eu", Name: "European Union", Dates: dayFirst, UnitNeeded: no, PrintIn: "kg", Paper: "a4", DecimalComma: yes, Language: "en-GB",
		Labels: map[string]string{
			"gvm": "F.1 max laden mass", "gcm": "F.3 combination mass", "atm": "max laden mass of trailer",
			"gtm": "trailer axle load", "axle": "max axle mass", "towing": "towable mass (axle load)",
			"download": "static coupling load (S)", "download_max": "static coupling load (S)",
			"download_min": "least static coupling load (S)",
			"d_value":      "D-value", "tyre": "tyre", "wheel": "wheel rim",
			"kerb": "kerb mass", "tare": "tare mass", "running_order": "mass in running order",
			"interval": "scale interval", "download_semi": "coupling download",
		},
		Usual:  usual,
		Plated: plated("f.1", "f.3", "mam_trailer", "axle", "o.1", "s"),
		// Reg. (EU) 1230/2012 Art. 2(9), from memory, confirmed by the data of
		// certificates of conformity.
		TowsAxles: yes, TowingRefused: no,
		Share:    shareGuide{Source: "none"},
		Expected: share{0.05, 0.015},
		// Germany, StVZO § 44(3): 4 % of the actual mass, but no more than 25 kg
		// is asked for; above 3.5 t no more than 500 kg.
		Least: leastDownload{true, 0.04, 25, 3500, 500, "stvzo_44_3"},
		// UN R13, classes O1 and O2, from memory.
		Brakes: []brakeClass{
			{"none", 750, false, 0, []On{{"atm", ""}}, "un_r13"},
			{"overrun", 3500, false, 0, []On{{"atm", ""}}, "un_r13"},
		},
		// Germany, StVZO § 42(1), (2).
		Towed: []towingDefault{
			{Guide: "towing_default", Brakes: []string{"overrun", "driver"}, Factor: 1, Of: "gvm", Unrated: true, MostKg: 3500, Source: "stvzo_42_1"},
			{Guide: "towing_default", Brakes: []string{"none"}, Factor: 0.5, Of: "kerb", PlusKg: 75, Unrated: true, MostKg: 750, Source: "stvzo_42_2"},
		},
		PassengerTyreDivisor: "1", TyresTogether: "common_practice",
		NoTrainWeight: no, RearAllowance: yes, GtmMayExceedAtm: no, BarsUsual: no,
	},
	{
		Region: "us", Name: "United States", Dates: monthFirst, UnitNeeded: yes, PrintIn: "lb", Paper: "letter", DecimalComma: no, Language: "en-US",
		Labels: map[string]string{
			"gvm": "GVWR", "gcm": "GCWR", "atm": "trailer GVWR", "gtm": "sum of trailer GAWR",
			"axle": "GAWR", "towing": "tow rating",
			"download": "tongue weight", "download_max": "tongue weight", "download_min": "least tongue weight",
			"d_value": "D-value", "tyre": "tire", "wheel": "wheel rim",
			"kerb": "curb weight", "tare": "tare weight", "running_order": "mass in running order",
			"interval": "division", "download_semi": "pin weight",
		},
		Usual:     usual,
		Plated:    plated("gvwr", "gcwr", "gvwr_trailer", "gawr", "towing", "tongue"),
		TowsAxles: no, TowingRefused: no,
		Share:    shareGuide{true, 0.10, 0.15, 0.125, "common_practice"},
		Expected: share{0.125, 0.02},
		Least:    noLeastDownload,
		// 49 CFR 393.42, commercial vehicles only: 3,000 lb gross; states differ.
		Brakes: []brakeClass{
			{"none", 1360.77711, false, 0, nil, "cfr_393_42"},
		},
		Towed: []towingDefault{},
		// FMVSS 120 S5.1.2 (49 CFR 571.120), agency letter of 17 November 1976.
		PassengerTyreDivisor: "1.10",
		// 49 CFR 571.110 and 571.120.
		TyresTogether: "cfr_571_120",
		NoTrainWeight: no, RearAllowance: no, GtmMayExceedAtm: yes, BarsUsual: yes,
	},
	{
		Region: "", Name: "no region", Dates: noOrder, UnitNeeded: no, PrintIn: "kg", Paper: "a4", DecimalComma: no, Language: "en",
		Labels: map[string]string{
			"gvm": "gvm", "gcm": "gcm", "atm": "atm", "gtm": "gtm", "axle": "axle", "towing": "towing",
			"download": "download", "download_max": "download_max", "download_min": "download_min",
			"d_value": "d_value", "tyre": "tyre", "wheel": "wheel",
			"kerb": "kerb", "tare": "tare", "running_order": "running_order", "interval": "scale interval", "download_semi": "coupling download",
		},
		Usual: []On{{"gvm", ""}, {"atm", ""}, {"axle", "front"}, {"axle", "rear"}, {"download_max", ""}},
		Plated: []On{{"gvm", ""}, {"atm", ""}, {"axle", "front"}, {"axle", "rear"},
			{"download_max", "towbar"}},
		TowsAxles: no, TowingRefused: yes,
		Share:                shareGuide{Source: "none"},
		Expected:             share{0.10, 0.04},
		Least:                noLeastDownload,
		Brakes:               []brakeClass{},
		Towed:                []towingDefault{},
		PassengerTyreDivisor: "1", TyresTogether: "none",
		NoTrainWeight: no, RearAllowance: no, GtmMayExceedAtm: no, BarsUsual: no,
	},
}

// TrailerOrGTM is what not_given names where neither the trailer's axle rating
// nor gtm is given.
const TrailerOrGTM = "trailer_or_gtm"

// usual lists the ratings that a job of any region needs a line for.
var usual = []On{
	{"gvm", ""}, {"gcm", ""}, {"atm", ""}, {"axle", "front"}, {"axle", "rear"},
	{"axle", TrailerOrGTM}, {"towing", ""}, {"download_max", ""},
}

// noLeastDownload is that of a region whose rules ask for none.
var noLeastDownload = leastDownload{Source: "none"}

// australianLabels are those of Australia; New Zealand has another word for
// the whole trailer.
func australianLabels(atm string) map[string]string {
	return map[string]string{
		"gvm": "GVM", "gcm": "GCM", "atm": atm, "gtm": "GTM", "axle": "axle rating", "towing": "rated towing capacity",
		"download": "towball download", "download_max": "towball download", "download_min": "least towball download",
		"d_value": "D-value", "tyre": "tyre", "wheel": "wheel rim",
		"kerb": "kerb mass", "tare": "tare mass", "running_order": "mass in running order",
		"interval": "scale interval", "download_semi": "coupling download",
	}
}

// plated lists the usual ratings in the words that plates and documents print.
func plated(gvm, gcm, atm, axle, towing, download string) []On {
	return []On{
		{gvm, ""}, {gcm, ""}, {atm, ""}, {axle, "front"}, {axle, "rear"}, {axle, "trailer"},
		{towing, ""}, {download, "towbar"},
	}
}
