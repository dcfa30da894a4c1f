package record

import (
	"math"
	"strings"
	"testing"
)

// Expected numbers in this file are arithmetic by hand unless a line names
// another origin; expected words are our own.

func TestKgRoundsHalfAwayFromZero(t *testing.T) {
	cases := []struct {
		kg   float64
		want string
	}{
		{0, "0"}, {0.5, "1"}, {-0.5, "-1"}, {0.49, "0"}, {-0.49, "0"}, {1.5, "2"}, {2.5, "3"}, {-2.5, "-3"},
		{999.4, "999"}, {999.5, "1,000"}, {-999.5, "-1,000"}, {3240, "3,240"}, {12880, "12,880"}, {1234567, "1,234,567"},
		{100, "100"}, {math.Copysign(0, -1), "0"}, {1e-320, "0"}, {-1e-320, "0"},
		{math.NaN(), "not determined"}, {math.Inf(1), "not determined"}, {math.Inf(-1), "not determined"},
	}
	if len(cases) != 21 {
		t.Fatalf("%d cases, want 21", len(cases))
	}
	for _, c := range cases {
		if got := Kg(c.kg); got != c.want {
			t.Errorf("Kg(%v) = %q, want %q", c.kg, got, c.want)
		}
	}
}

func TestKgText(t *testing.T) {
	for in, want := range map[string]string{
		"1950": "1,950", "1587.57": "1,588", "2.5": "3", "-0.4": "0", "0": "0", "none": "none", "": "",
		"1360.77711": "1,361", // 3,000 lb × 0.45359237 kg (exact by definition)
	} {
		if got := KgText(in); got != want {
			t.Errorf("KgText(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestPlusMinusIsTwiceUAndNeverNought(t *testing.T) {
	for u, want := range map[float64]string{12: "± 24", 0.2: "± 1", 0: "± 1", 0.75: "± 2", 12.24: "± 24", 12.25: "± 25", 700: "± 1,400"} {
		if got := PlusMinus(u); got != want {
			t.Errorf("PlusMinus(%v) = %q, want %q", u, got, want)
		}
	}
	if got := KgU(1890.2, 12.1); got != "1,890 ± 24" {
		t.Errorf("KgU = %q", got)
	}
}

func TestCheckLabel(t *testing.T) {
	cases := []struct{ region, rating, on, want string }{
		{"au", "gvm", "", "GVM"},
		{"au", "axle", "rear", "axle rating, rear"},
		{"au", "tyre", "trailer", "trailer tyre"},
		{"us", "tyre", "trailer", "trailer tire"},
		{"uk", "tyre", "trailer.2.left", "tyre, trailer axle 2, left"},
		{"us", "axle", "rear.1", "GAWR, rear axle 1"},
		{"eu", "download_max", "towbar", "static coupling load (S), towbar"},
		{"uk", "download_min", "", "least noseweight"},
		{"nz", "atm", "", "GVM of trailer"},
		{"", "download_max", "", "download_max"},
		{"", "axle", "front", "axle, front"},
	}
	for _, c := range cases {
		r := &Record{Options: Options{Region: c.region}}
		if got := r.CheckLabel(Check{Rating: c.rating, On: c.on}); got != c.want {
			t.Errorf("%q %s %s: %q, want %q", c.region, c.rating, c.on, got, c.want)
		}
	}
}

func TestStateWordNeverSaysSlackWhenPlain(t *testing.T) {
	words := map[string][2]string{ // plain, slack
		"vehicle_alone":     {"vehicle alone", "vehicle alone"},
		"trailer_alone":     {"trailer alone", "trailer alone"},
		"coupled_slack":     {"coupled", "coupled, hitch slack"},
		"coupled_tensioned": {"coupled, hitch tensioned", "coupled, hitch tensioned"},
		"":                  {"", ""},
	}
	for state, want := range words {
		for i, travels := range []string{"plain", "slack"} {
			r := &Record{Outfit: Outfit{Travels: travels}}
			if got := r.StateWord(state); got != want[i] {
				t.Errorf("%s, travels %s: %q, want %q", state, travels, got, want[i])
			}
		}
	}
}

// quantityNames are the names that always stand in a record's quantities.
var quantityNames = []string{
	"vehicle_alone.front", "vehicle_alone.rear", "vehicle_alone.vehicle", "trailer_alone.trailer", "trailer_alone.nose",
	"coupled_slack.front", "coupled_slack.rear", "coupled_slack.vehicle", "coupled_slack.trailer",
	"coupled_tensioned.front", "coupled_tensioned.rear", "coupled_tensioned.vehicle", "coupled_tensioned.trailer",
	"trailer_mass", "combination", "download", "front_lift", "front_restored", "download_share", "restoration", "hitch_moment",
	"vehicle_cg", "trailer_cg", "payload_used", "payload_left", "trailer_payload_used", "trailer_payload_left", "unlisted",
}

func TestEveryQuantityHasItsOwnWords(t *testing.T) {
	if len(quantityNames) != 28 {
		t.Fatalf("%d names, want 28", len(quantityNames))
	}
	r := &Record{Options: Options{Region: "au"}, Outfit: Outfit{Travels: "plain"}}
	seen := map[string]string{}
	for _, name := range quantityNames {
		got := r.QuantityLabel(name)
		if got == name || strings.ContainsAny(got, "_.%") || strings.Contains(got, "slack") {
			t.Errorf("%s: %q is no owner's word", name, got)
		}
		if other, twice := seen[got]; twice {
			t.Errorf("%s and %s are both %q", name, other, got)
		}
		seen[got] = name
	}
	two := 2
	r.Outfit.TrailerAxles = &two
	for name, want := range map[string]string{
		"coupled_slack.trailer":     "trailer axle group, coupled",
		"coupled_slack.trailer.1":   "trailer axle 1, coupled",
		"coupled_slack.rear.1.left": "rear axle 1, left, coupled",
		"download":                  "towball download",
		"payload_left":              "payload left to the GVM",
	} {
		if got := r.QuantityLabel(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

func TestVerdictWord(t *testing.T) {
	cases := []struct {
		verdict string
		n       int
		checked bool
		want    string
	}{
		{"within", 7, true, "within the 7 ratings given"},
		{"within", 7, false, "within the 7 ratings given, not cross-checked"},
		{"within", 1, true, "within the 1 rating given"},
		{"over", 7, false, "over"},
		{"unsettled", 7, true, "unsettled"},
		{"incomplete", 0, true, "incomplete"},
		{"conflict", 7, false, "the readings disagree"},
	}
	for _, c := range cases {
		if got := VerdictWord(c.verdict, c.n, c.checked); got != c.want {
			t.Errorf("VerdictWord(%q, %d, %v) = %q, want %q", c.verdict, c.n, c.checked, got, c.want)
		}
	}
}

func TestOddsText(t *testing.T) {
	cases := []struct {
		p    float64
		want string
	}{
		{0.31, "about 3 in 10 that it is over"},
		{0.5, "about 5 in 10 that it is over"},
		{0.0228, "about 1 in 40 that it is over"}, // Φ(−2), the edge of within: tables of the normal distribution
		{0.05, "about 1 in 20 that it is over"},
		{0.08, "about 1 in 10 that it is over"},
		{0.92, "about 9 in 10 that it is over"},
		{0.95, "about 19 in 20 that it is over"},
		{0.9772, "about 39 in 40 that it is over"}, // Φ(2), the edge of over
		{0.001, "less than 1 in 100 that it is over"},
		{0.999, "more than 99 in 100 that it is over"},
	}
	for _, c := range cases {
		if got := OddsText(c.p); got != c.want {
			t.Errorf("OddsText(%v) = %q, want %q", c.p, got, c.want)
		}
	}
	p := 0.3
	if got := (Check{Rating: "download_min", POver: &p}).OddsText(); got != "about 3 in 10 that it is too little" {
		t.Errorf("download_min: %q", got)
	}
}

func TestAgreementText(t *testing.T) {
	low, high := 0.0001, 0.4
	cases := []struct {
		name string
		r    Record
		want string
	}{
		{"agree", Record{Agreement: "agree"}, "the readings agree"},
		{"strained", Record{Agreement: "strained", Fit: Fit{DOF: 4, ChiSquare: 9}}, // √(9/4) = 1.5
			"the readings agree poorly; the uncertainty of every check is multiplied by 1.5"},
		{"untested", Record{Agreement: "untested"}, "the readings are untested: nothing cross-checks them, a mistake in one would not show"},
		{"conflict", Record{Agreement: "conflict"}, "the readings disagree: no loads fit them all"},
		{"conflict with ties", Record{Agreement: "conflict", Ties: []Tie{{}}, Fit: Fit{DOF: 3, WithoutTies: FitPart{DOF: 2, PValue: &low}}},
			"the readings disagree: no loads fit them all"},
		{"only ties", Record{Agreement: "conflict", Ties: []Tie{{}}, Fit: Fit{DOF: 3, WithoutTies: FitPart{DOF: 2, PValue: &high}}},
			"the readings agree; the lengths, or the level of the outfit, do not fit them"},
		{"only ties check", Record{Agreement: "conflict", Ties: []Tie{{}}, Fit: Fit{DOF: 1}},
			"the readings and the lengths disagree: nothing else cross-checks the readings"},
		{"ties strain", Record{Agreement: "strained", Ties: []Tie{{}}, Fit: Fit{DOF: 1, ChiSquare: 4, WithoutTies: FitPart{PValue: &high}}},
			"the readings agree; the lengths, or the level of the outfit, do not fit them; the uncertainty of every check is multiplied by 2.0"},
	}
	for _, c := range cases {
		if got := c.r.AgreementText(); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// footnoteCodes are the codes a record may carry: the published list.
const footnoteCodes = "people_not_stated, no_time, different_days, interval_assumed, travels_assumed, no_hitch_stated, looks_calculated, does_not_add_up, nose_off_deck, below_minimum, " +
	"above_max, not_a_multiple, scale_verified_later, rating_not_in_force, share_unknown, strained, sum_rounded, equal_share"

func TestEveryFootnoteCodeHasASentence(t *testing.T) {
	codes := strings.Split(footnoteCodes, ", ")
	if len(codes) != 18 || len(footnoteWords) != 18 {
		t.Fatalf("%d codes listed, %d with words, want 18", len(codes), len(footnoteWords))
	}
	r := &Record{Fit: Fit{DOF: 4, ChiSquare: 9}, Outfit: Outfit{Travels: "plain"}}
	for _, code := range codes {
		text := FootnoteText(code, 3, "bridge A", r)
		if _, known := footnoteWords[code]; !known {
			t.Errorf("%s has no sentence", code)
		}
		if len(strings.Fields(text)) < 4 || strings.Contains(text, "(bridge A)") == saidAlready[code] || strings.ContainsAny(text, "[]_%`") && code != "equal_share" || strings.Contains(text, "slack") {
			t.Errorf("%s: %q", code, text)
		}
		if bare := FootnoteText(code, 0, "", r); strings.Contains(bare, "()") || strings.HasSuffix(bare, " ") {
			t.Errorf("%s without detail: %q", code, bare)
		}
	}
}

func TestFootnoteTextHoldsThePromisedWords(t *testing.T) {
	for code, words := range map[string]string{
		"people_not_stated": "people aboard not stated",
		"looks_calculated":  "looks calculated",
		"no_hitch_stated":   "no load-distribution hitch stated",
		"strained":          "agree poorly",
	} {
		if got := FootnoteText(code, 0, "", &Record{}); !strings.Contains(got, words) {
			t.Errorf("%s: %q does not hold %q", code, got, words)
		}
	}
	us := &Record{Options: Options{Region: "us"}}
	if got := FootnoteText("interval_assumed", 2, "", us); got != "no division given, so 20 kg is assumed" {
		t.Errorf("us interval: %q", got)
	}
}

func TestFootnoteGroupsKeepTheirNumbers(t *testing.T) {
	r := &Record{Footnotes: []Footnote{
		{"people_not_stated", 2, "a"}, {"people_not_stated", 3, "a"}, {"no_time", 3, "b"}, {"people_not_stated", 5, "a"}, {"sum_rounded", 0, "c"},
	}}
	groups := r.FootnoteGroups()
	if len(groups) != 3 {
		t.Fatalf("%d groups, want 3", len(groups))
	}
	if got := Runs(groups[0].Numbers) + "|" + groups[0].Sentence(); got != "1-2, 4|lines 2-3, 5 of tickets.csv: a" {
		t.Errorf("first group: %q", got)
	}
	if got := Runs(groups[2].Numbers) + "|" + groups[2].Sentence(); got != "5|c" {
		t.Errorf("last group: %q", got)
	}
}

func TestNotGivenLabel(t *testing.T) {
	r := &Record{Options: Options{Region: "us"}}
	for entry, want := range map[string]string{
		"gvm": "GVWR", "gcm": "GCWR", "atm": "trailer GVWR", "axle front": "GAWR, front", "axle rear": "GAWR, rear",
		"axle trailer or gtm": "GAWR, trailer, or sum of trailer GAWR", "towing": "tow rating", "download_max": "tongue weight",
	} {
		if got := r.NotGivenLabel(entry); got != want {
			t.Errorf("%s: %q, want %q", entry, got, want)
		}
	}
}

func TestDeclaredText(t *testing.T) {
	if got := DeclaredText(3240, 300, 2940); got != "weighed 3,240, declared away 300, held 2,940" {
		t.Errorf("%q", got)
	}
	if got := DeclaredText(2640, -300, 2940); got != "weighed 2,640, declared added 300, held 2,940" {
		t.Errorf("%q", got)
	}
}

func TestDeclaredTotals(t *testing.T) {
	r := &Record{
		Quantities: map[string]*Quantity{"trailer_mass": {Unit: InKg, Value: 2940, U: 9, Basis: "weighed"}, "combination": nil},
		Loads:      []Load{{Load: "dome blower", DeclaredKg: "300"}},
		Readings: []Reading{
			{Setup: "trailer_alone", Use: "yes", With: []string{"dome blower"}},
			{Setup: "trailer_alone", Use: "yes", With: []string{"dome blower"}},
			{Setup: "trailer_alone", Use: "no", Without: []string{"dome blower"}},
			{Setup: "coupled", Use: "yes", Without: []string{"dome blower"}},
		},
	}
	got := strings.Join(r.DeclaredTotals(), "|")
	if want := "whole trailer: weighed 3,240, declared away 300, held 2,940 (dome blower)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestMethodAndCautionsAreWhole(t *testing.T) {
	text := ""
	for _, p := range Method() {
		text += p.Head + " " + p.Text + "\n"
	}
	for _, source := range []string{"JCGM 100", "OIML R 76-1", "JCGM 106", "ILAC-G8"} {
		if !strings.Contains(text, source) {
			t.Errorf("the method does not name %s", source)
		}
	}
	if strings.Contains(text, "slack") {
		t.Error("the method says slack, which a plain outfit has not")
	}
	cautions := strings.Join(StandardCautions(), " ")
	for _, words := range []string{"no certificate of a licensed weighbridge", "no legal advice", "plate", "handbook", "local law", "not driven", "licensed people", "signer's word"} {
		if !strings.Contains(cautions, words) {
			t.Errorf("the cautions do not say %q", words)
		}
	}
}
