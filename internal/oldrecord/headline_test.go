package record

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func ptr[T any](v T) *T { return &v }

// held makes a deciding, checked row of an invented outfit. The verdict is
// given, not computed: this package only puts words to it.
func held(rating, on, state, limit string, value, u float64, verdict string) Check {
	c := Check{Rating: rating, On: on, State: state, LimitKg: &limit, Verdict: verdict, Decides: true, Checked: true, Source: "plate"}
	if verdict == "not_weighed" {
		return c
	}
	n := map[string]float64{"1950": 1950, "3350": 3350, "350": 350, "25": 25, "3000": 3000}[limit]
	c.ValueKg, c.UKg, c.MarginKg, c.POver = &value, &u, ptr(n-value), ptr(0.31)
	if rating == "download_min" {
		c.MarginKg = ptr(value - n)
	}
	return c
}

func au(verdict string, checks ...Check) *Record {
	return &Record{Verdict: verdict, Agreement: "agree", Checks: checks,
		Options: Options{Rule: "guarded", Region: "au"}, Outfit: Outfit{Travels: "plain"}}
}

func TestHeadlines(t *testing.T) {
	rearIn := held("axle", "rear", "coupled_slack", "1950", 1890, 12, "within")
	rearOver := held("axle", "rear", "coupled_slack", "1950", 2090, 12, "over")
	rearUnsure := held("axle", "rear", "coupled_slack", "1950", 1944, 12, "unsettled")
	gvmIn := held("gvm", "", "coupled_slack", "3350", 3240, 14, "within")
	gvmOver := held("gvm", "", "coupled_slack", "3350", 3400, 14, "over")
	missing := held("axle", "rear", "coupled_slack", "1950", 0, 0, "not_weighed")
	simple := au("over", rearOver)
	simple.Options.Rule = "simple"
	simpleHeadline := " (simple rule: the value alone decides, without its ±)"
	unchecked := gvmIn
	unchecked.Checked = false
	notGiven := au("incomplete", gvmIn)
	notGiven.NotGiven = []string{"gcm", "towing"}
	both := au("incomplete", gvmIn, missing)
	both.NotGiven = []string{"gcm"}
	tensioned := rearIn
	tensioned.OnlyTensioned = true
	conflict := au("conflict", rearOver)
	conflict.Agreement = "conflict"
	conflict.Mistakes = []Mistake{{Line: 7, Kind: "digits_swapped"}}
	cases := []struct {
		name                  string
		r                     *Record
		o                     HeadlineOptions
		doNow, verdict, heldT string
	}{
		{"within", au("within", gvmIn, rearIn), HeadlineOptions{Ratings: 7},
			"it may be driven as weighed, within the 7 ratings given",
			"within the 7 ratings given",
			"the rear axle governs (coupled): 1,890 ± 24 kg against 1,950, 60 left"},
		{"within, counted", au("within", gvmIn, rearIn), HeadlineOptions{},
			"it may be driven as weighed, within the 2 ratings given",
			"within the 2 ratings given",
			"the rear axle governs (coupled): 1,890 ± 24 kg against 1,950, 60 left"},
		{"within, not cross-checked", au("within", unchecked), HeadlineOptions{},
			"it may be driven as weighed; weigh once more to have it cross-checked",
			"within the 1 rating given, not cross-checked",
			"the GVM governs (coupled): 3,240 ± 28 kg against 3,350, 110 left"},
		{"only by the hitch", au("within", tensioned), HeadlineOptions{},
			"it may be driven as weighed, within the 1 rating given",
			"within the 1 rating given",
			"the rear axle governs (coupled): 1,890 ± 24 kg against 1,950, 60 left; it passes only because the hitch is tensioned"},
		{"over", au("over", rearOver, gvmIn), HeadlineOptions{}, // 2,090 + 24 − 1,950 = 164
			"do not drive it as weighed: take at least 164 kg off the rear axle",
			"over",
			"the rear axle is over (coupled): 2,090 ± 24 kg against 1,950, 140 too much"},
		{"two over", au("over", gvmOver, rearOver), HeadlineOptions{},
			"do not drive it as weighed: take at least 164 kg off the rear axle",
			"over",
			"the rear axle is over (coupled): 2,090 ± 24 kg against 1,950, 140 too much; also over: GVM"},
		{"over by the simple rule", simple, HeadlineOptions{},
			"do not drive it as weighed: take at least 140 kg off the rear axle",
			"over",
			"the rear axle is over (coupled): 2,090 ± 24 kg against 1,950, 140 too much" + simpleHeadline},
		{"too little download", au("over", held("download_min", "", "", "25", 10, 4, "over")), HeadlineOptions{}, // 25 − 10 + 8
			"do not drive it as weighed: put at least 23 kg more on the coupling",
			"over",
			"the towball download is too small: 10 ± 8 kg against at least 25, 15 too little"},
		{"unsettled", au("unsettled", rearUnsure), HeadlineOptions{}, // 1,944 + 24 − 1,950 = 18
			"take at least 18 kg off the rear axle, or weigh it again to settle it",
			"unsettled",
			"the rear axle is unsettled (coupled): 1,944 ± 24 kg against 1,950, 6 left, about 3 in 10 that it is over"},
		{"not weighed", au("incomplete", gvmIn, missing), HeadlineOptions{},
			"before driving, weigh the rear axle",
			"incomplete",
			"of what could be held, the GVM governs (coupled): 3,240 ± 28 kg against 3,350, 110 left"},
		{"not given", notGiven, HeadlineOptions{},
			"before driving, find the GCM and rated towing capacity",
			"incomplete",
			"of what could be held, the GVM governs (coupled): 3,240 ± 28 kg against 3,350, 110 left"},
		{"neither", both, HeadlineOptions{},
			"before driving, weigh the rear axle; find the GCM",
			"incomplete",
			"of what could be held, the GVM governs (coupled): 3,240 ± 28 kg against 3,350, 110 left"},
		{"no ratings", au("incomplete"), HeadlineOptions{},
			"fill in ratings.csv: there is no rating to hold a load against",
			"incomplete",
			"no load was held against a rating"},
		{"conflict", conflict, HeadlineOptions{},
			"check line 7 of tickets.csv against its ticket, or weigh again",
			"the readings disagree",
			"the readings disagree: no loads fit them all"},
		{"conflict, over anyway", conflict, HeadlineOptions{OverAnyway: []Check{rearOver}},
			"do not drive it: the rear axle is over in any case; weigh again",
			"the readings disagree",
			"the readings disagree: no loads fit them all; over under every mistake listed: axle rating, rear (coupled)"},
	}
	if len(cases) != 15 {
		t.Fatalf("%d cases, want 15", len(cases))
	}
	for _, c := range cases {
		got := Headlines(c.r, c.o)
		if want := (Headline{c.doNow, c.verdict, c.heldT}); got != want {
			t.Errorf("%s:\n got %q\nwant %q", c.name, got, want)
		}
	}
}

// The verdict has to be the second line of a terminal, so no do_now may be
// longer than the first.
func TestDoNowFitsTheFirstLine(t *testing.T) {
	ons := map[string][]string{
		"gvm": {""}, "gcm": {""}, "atm": {""}, "gtm": {""}, "towing": {""}, "d_value": {"", "coupling"},
		"axle": {"front", "rear", "trailer", "rear.1", "trailer.2.left", "trailer.right"}, "download_max": {"", "towbar"}, "download_min": {""},
		"tyre": {"front", "trailer", "trailer.2.left", "trailer.right"}, "wheel": {"rear", "trailer.2.right"},
	}
	n := 0
	for _, region := range []string{"", "au", "nz", "uk", "eu", "us"} {
		for rating, places := range ons {
			for _, on := range places {
				for _, verdict := range []string{"within", "over", "unsettled", "not_weighed"} {
					c := held(rating, on, "coupled_slack", "3000", 14000, 500, verdict)
					r := au(map[string]string{"not_weighed": "incomplete"}[verdict]+map[bool]string{true: "", false: verdict}[verdict == "not_weighed"], c)
					r.Options.Region, r.Outfit.TrailerAxles, r.Outfit.RearAxles = region, ptr(2), ptr(2)
					n += checkDoNow(t, r)
				}
			}
		}
	}
	if n == 0 {
		t.Fatal("no sentence was checked")
	}
}

// checkDoNow checks a record as it is, with every usual rating missing, and in
// conflict with the check over in any case; it counts the sentences.
func checkDoNow(t *testing.T, r *Record) (n int) {
	t.Helper()
	without := *r
	without.NotGiven = []string{"gvm", "gcm", "atm", "axle front", "axle rear", "axle trailer or gtm", "towing", "download_max"}
	conflict := *r
	conflict.Verdict, conflict.Mistakes = "conflict", []Mistake{{Line: 123456}}
	for _, one := range []*Record{r, &without, &conflict} {
		for _, o := range []HeadlineOptions{{Ratings: 999}, {OverAnyway: one.Checks}} {
			s := Headlines(one, o).DoNow
			n++
			if utf8.RuneCountInString(s) > 80-len("do now: ") || // a terminal's line
				s == "" || strings.Contains(s, "  ") || strings.Contains(s, "slack") {
				t.Errorf("%s %q: %d characters: %q", one.Verdict, one.Options.Region, utf8.RuneCountInString(s), s)
			}
		}
	}
	return n
}

func TestGovCheckTakesTheVerdictThenTheLeastMargin(t *testing.T) {
	wide := held("gvm", "", "coupled_slack", "3350", 3000, 14, "within")
	slim := held("axle", "rear", "coupled_slack", "1950", 1900, 12, "within")
	over := held("atm", "", "", "3000", 3100, 12, "over")
	beside := held("axle", "rear", "vehicle_alone", "1950", 2400, 12, "over")
	beside.Decides = false
	force := Check{Rating: "d_value", MarginKN: ptr(-4.0), Verdict: "over", Decides: true}
	for _, c := range []struct {
		name string
		r    *Record
		want string
	}{
		{"within", au("within", wide, slim), "axle"},
		{"over", au("over", wide, slim, over), "atm"},
		{"not deciding", au("within", wide, beside), "gvm"},
		{"kilograms before kilonewtons", au("over", force, over), "atm"},
		{"kilonewtons alone", au("over", force, wide), "d_value"},
		{"conflict: least margin of all", au("conflict", wide, slim, over), "atm"},
		{"incomplete by a rating", au("incomplete", wide, slim), "axle"},
	} {
		if got := c.r.GovCheck(); got == nil || got.Rating != c.want {
			t.Errorf("%s: %+v, want %s", c.name, got, c.want)
		}
	}
	if got := au("incomplete").GovCheck(); got != nil {
		t.Errorf("no checks: %+v, want nil", got)
	}
}

func TestNounsInSentences(t *testing.T) {
	r := au("within")
	r.Outfit.TrailerAxles = ptr(2)
	for _, c := range []struct{ rating, on, place, load string }{
		{"axle", "rear", "the rear axle", "the rear axle"},
		{"axle", "rear.1", "rear axle 1", "rear axle 1"},
		{"axle", "trailer", "the trailer axle group", "the trailer axle group"},
		{"axle", "trailer.2.left", "the left of trailer axle 2", "the left of trailer axle 2"},
		{"axle", "trailer.left", "the left of the trailer axle group", "the left of the trailer axle group"},
		{"tyre", "rear", "each rear tyre", "the rear tyre"},
		{"tyre", "rear.left", "each left rear tyre", "the left rear tyre"},
		{"wheel", "trailer.2.left", "each left wheel rim of trailer axle 2", "the left wheel rim of trailer axle 2"},
		{"download_min", "", "the coupling", "the towball download"},
		{"download_max", "towbar", "the coupling", "the towball download, towbar"},
		{"gcm", "", "the whole outfit", "the GCM"},
		{"towing", "", "the trailer", "the rated towing capacity"},
	} {
		check := Check{Rating: c.rating, On: c.on}
		if got := r.placeNoun(check); got != c.place {
			t.Errorf("%s %s: off %q, want %q", c.rating, c.on, got, c.place)
		}
		if got := r.loadNoun(check); got != c.load {
			t.Errorf("%s %s: governs %q, want %q", c.rating, c.on, got, c.load)
		}
	}
}
