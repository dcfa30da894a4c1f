package words

// sourceWords say where a guide comes from, by the code in the table of regions.
var sourceWords = map[string]string{
	"common_practice":   "common practice",
	"adr_38":            "ADR 38",
	"sa_2013_sch_1":     "South Australia, Light Vehicle Mass and Loading Requirements 2013, Sch. 1",
	"nz_brakes_2002":    "Land Transport Rule: Light-vehicle Brakes 2002",
	"nz_agency":         "recommendation of the agency",
	"uk_trailer_checks": "trailer safety checks of the government",
	"cu_1986":           "Construction and Use Regulations 1986",
	"uk_page_2012":      "government page of 2012",
	"stvzo_44_3":        "Germany, StVZO § 44(3)",
	"stvzo_42_1":        "Germany, StVZO § 42(1)",
	"stvzo_42_2":        "Germany, StVZO § 42(2)",
	"un_r13":            "UN R13, from memory",
	"cfr_393_42":        "49 CFR 393.42, commercial vehicles; states differ",
	"cfr_571_120":       "49 CFR 571.110 and 571.120",
	"none":              "no source",
}

// sourceWord says where a guide comes from.
func sourceWord(code string) string {
	if words, known := sourceWords[code]; known {
		return words
	}
	return codeWord(code)
}
