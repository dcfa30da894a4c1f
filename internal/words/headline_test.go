package words

import (
	"strings"
	"testing"

	"reconcile/internal/record"
)

func do(code string, a record.Args) record.Do { return record.Do{Code: code, Args: &a} }

// TestLine1: every class is named, the gravest first. The sentences in quotes
// in the contract (section 3, verdict and trip) are there word for word.
func TestLine1(t *testing.T) {
	rear := record.Args{Rating: "axle", On: "rear", State: "coupled_slack", Kg: ptr(61.0)}
	download := record.Args{Rating: "download_max", Kg: ptr(24.0)}
	for _, c := range []struct {
		verdict string
		do      []record.Do
		want    string
	}{
		{"over", []record.Do{do("over", rear), do("unsettled", download), do("weigh", *read[record.Args](`{"checks": [{"rating": "atm"}]}`))},
			"do not drive it as weighed: take at least 61 kg off the rear axle; towball download unsettled; not weighed: ATM"},
		{"over", []record.Do{do("over", rear), do("over", download)}, "do not drive it as weighed: take at least 61 kg off the rear axle and 24 kg off the coupling"},
		{"over", []record.Do{do("over", record.Args{Rating: "gvm", State: "vehicle_alone", Kg: ptr(178.0)}), do("over", rear), do("over", record.Args{Rating: "gvm", State: "coupled_slack", Kg: ptr(423.0)})},
			"do not drive it as weighed: take at least 423 kg off the vehicle and 61 kg off the rear axle"},
		{"over", []record.Do{do("over", record.Args{Rating: "download_min", Kg: ptr(12.0)})}, "do not drive it as weighed: put at least 12 kg more on the coupling"},
		{"over", []record.Do{do("over", record.Args{Rating: "d_value"})}, "do not drive it as weighed: the trailer is too heavy for the coupling's D-value"},
		{"unsettled", []record.Do{do("unsettled", download)}, "before driving, take at least 24 kg off the coupling, or weigh again: towball download unsettled"},
		{"unsettled", []record.Do{do("unsettled", record.Args{Rating: "d_value"})}, "before driving, tow less or weigh again: coupling (D-value) unsettled"},
		{"within", []record.Do{do("over_elsewhere", rear), do("drive", record.Args{Number: ptr(6)})}, "you may drive it as weighed, within the 6 ratings given; with the bars slack the rear axle is 61 over"},
		{"within", []record.Do{do("drive", record.Args{Number: ptr(1)})}, "you may drive it as weighed, within the 1 rating given"},
		{"within", []record.Do{do("within_known", record.Args{Number: ptr(3), OfAll: ptr(8)})}, "within the 3 ratings known, of 8: ask the maker for the others before driving"},
		{"incomplete", []record.Do{do("weigh", *read[record.Args](`{"checks": [{"rating": "axle", "on": "rear"}, {"rating": "tyre", "on": "rear"}, {"rating": "download_max"}]}`)), do("find", record.Args{Ratings: []record.RatingKey{{Rating: "gcm"}}})},
			"before driving, weigh the rear axle and the towball download; find the GCM (not given)"},
		{"incomplete", []record.Do{do("find", record.Args{Ratings: []record.RatingKey{{Rating: "gcm"}, {Rating: "axle", On: "trailer_or_gtm"}}})}, "before driving, find the GCM and trailer axle rating (or GTM)"},
		{"unconfirmed", []record.Do{do("look_again", record.Args{File: "tickets.csv", AtLine: 4, Name: "not_uncoupled", Number: ptr(2)})}, "look again at line 4 of tickets.csv: was the trailer unhitched? (1 more question below)"},
		{"over", []record.Do{do("look_again", record.Args{File: "tickets.csv", AtLine: 4, Name: "not_uncoupled", Number: ptr(1)}), do("over", record.Args{Rating: "download_min", Kg: ptr(2460.0)})},
			"look again at line 4 of tickets.csv (was the trailer unhitched?); if that line is right, do not drive it as weighed: put at least 2,460 kg more on the coupling"},
		{"conflict", []record.Do{do("compare", record.Args{AtLine: 7, Ticket: "3", On: "rear"}), do("over_anyway", rear)}, "compare line 7 of tickets.csv (ticket 3, rear) with the ticket, or weigh again; do not drive it: the rear axle is over in any case"},
		{"conflict", []record.Do{do("compare_ticket", record.Args{Ticket: "5", Lines: []int{2, 3, 4}})}, "compare lines 2-4 of tickets.csv with ticket 5: the figures cannot all be right"},
	} {
		w := Of(base(au), nil)
		w.Record.Outfit.Travels, w.Record.Verdict, w.Record.Do = "tensioned", c.verdict, c.do
		want(t, c.do[0].Code, w.headline().DoNow, c.want)
	}
}

// TestSignOfTheTrip: what is within as weighed and not over the trip has no sign of
// within (contract, section 3, the trip: line 1 says so, and exit 0 becomes 2).
func TestSignOfTheTrip(t *testing.T) {
	for _, c := range [][3]string{
		{"within", "", "within"}, {"within", "within", "within"}, {"within", "over", "over"}, {"within", "not_known", "unsettled"},
		{"within", "unsettled", "unsettled"}, {"over", "within", "over"}, {"incomplete", "over", "incomplete"},
	} {
		w := Of(&record.Record{Verdict: c[0]}, nil)
		if c[1] != "" {
			made(&w.Record.Trip).Verdict = c[1]
		}
		if got := w.Headline().Sign; got != c[2] {
			t.Errorf("%s, over the trip %q: the sign of %q (want %q)", c[0], c[1], got, c[2])
		}
	}
}

// TestTripOnLine1: the contract's own sentence (section 3, the trip).
func TestTripOnLine1(t *testing.T) {
	w := Of(base(au), nil)
	trip := made(&w.Record.Trip)
	trip.Verdict = "over"
	for _, row := range []struct {
		rating, limit string
		kg            float64
		verdict, tank string
	}{{"download_max", "310", 331, "over", "120"}, {"download_min", "0", 180, "within", "0"}} {
		c := add(&trip.Checks)
		c.Rating, c.LimitKg, c.ValueKg, c.UKg, c.Verdict = row.rating, &row.limit, &row.kg, ptr(12.0), row.verdict
		at := add(&c.At)
		at.Load, at.Kg = "front tank", row.tank
	}
	w.Record.Do = append(w.Record.Do, do("not_on_trip", record.Args{Rating: "download_max", Of: "over", Kg: ptr(331.0), UKg: ptr(12.0), LimitKg: ptr(310.0), Names: []string{"front tank"}}))
	want(t, "trip", w.headline().DoNow, "it may be driven as weighed, not with the front tank full: towball download 331 ± 24 against 310")
	w.Record.Verdict, w.Record.Do[0] = "unsettled", do("unsettled", record.Args{Rating: "axle", On: "rear", Kg: ptr(9.0)})
	want(t, "not even as weighed", w.headline().DoNow, "before driving, take at least 9 kg off the rear axle, or weigh again: rear axle unsettled; on the trip, with the front tank full: towball download 331 ± 24 against 310")
	w.Record.Verdict, w.Record.Do[0] = "within", do("drive_not_checked", record.Args{Number: ptr(8)})
	want(t, "not cross-checked", w.headline().DoNow, "you may drive it as weighed, within the 8 ratings given, not cross-checked: a mistake in one reading may not show; not with the front tank full: towball download 331 ± 24 against 310")
	w.Record.Do[0] = do("within_known", record.Args{Number: ptr(3), OfAll: ptr(8)}) // it is not said that it may be driven
	want(t, "few known", w.headline().DoNow, "within the 3 ratings known, of 8: ask the maker for the others before driving; on the trip, with the front tank full: towball download 331 ± 24 against 310")
	want(t, "corner", w.report().Trip.Checks[0].Text, "towball download: 331 ± 24 against 310, over, with the front tank full")
	want(t, "other corner", w.report().Trip.Checks[1].At, "with the front tank empty")
	w.Record.Trip.Checks = w.Record.Trip.Checks[:1] // whether 120 kg is the most is then not known
	want(t, "one corner", w.report().Trip.Checks[0].At, "with front tank at 120 kg")
	w.Record.Verdict = "conflict" // no verdict while the readings disagree
	want(t, "conflict", w.report().Trip.Text, "not to be relied on: the readings disagree")
	want(t, "conflict, row", w.report().Trip.Checks[0].Text, "towball download: 331 ± 24 against 310, with front tank at 120 kg")
}

// TestVerdicts: line 2 as the contract fixes it (section 4).
func TestVerdicts(t *testing.T) {
	for verdict, sentence := range map[string]string{
		"conflict": "the readings disagree", "over": "over", "unsettled": "unsettled", "incomplete": "incomplete", "unconfirmed": "look again", "within": "within the 2 ratings given",
	} {
		w := Of(base(au), nil)
		w.Record.Verdict = verdict
		want(t, verdict, w.headline().Verdict, sentence)
	}
	w := Of(base(au), nil)
	w.Record.Checks[1].Checked = false
	want(t, "not checked", w.headline().Verdict, "within the 2 ratings given, not cross-checked")
	w.Record.Do = []record.Do{do("within_known", record.Args{Number: ptr(3), OfAll: ptr(8)})}
	w.Record.Checks[1].Checked = true
	want(t, "few known", w.headline().Verdict, "within the 3 ratings known, of 8")
	w.Record.Checks = append(w.Record.Checks, record.Check{Rating: "download_min", Floor: true, Verdict: "within", Decides: true, Checked: true, LimitKg: ptr("0"), ValueKg: ptr(240.0), UKg: ptr(11.0), MarginKg: ptr(240.0)})
	w.Record.Do = nil
	want(t, "the floor is no rating given", w.headline().Verdict, "within the 2 ratings given")
}

func TestWhy(t *testing.T) {
	w := Of(base(au), nil)
	want(t, "within", w.headline().Why, "the rear axle governs (coupled): 1,890 ± 24 kg against 1,950, 60 left; a mistake in one reading worth up to 31 kg would not show")
	w.Record.Options.Rule = "simple"
	want(t, "simple", w.headline().Why, "the rear axle governs (coupled): 1,890 ± 24 kg against 1,950, 60 left; a mistake in one reading worth up to 31 kg would not show (simple rule: the value alone decides, without its ±)")
	w = Of(base(au), nil)
	c := &w.Record.Checks[1]
	w.Record.Verdict, c.Verdict, c.ValueKg, c.MarginKg = "over", "over", ptr(1987.0), ptr(-37.0)
	want(t, "over", w.headline().Why, "the rear axle is over (coupled): 1,987 ± 24 kg against 1,950, 37 too much")
	w.Record.Verdict, c.Verdict, c.MarginKg, c.POver = "unsettled", "unsettled", ptr(-0.3), ptr(0.51)
	want(t, "unsettled", w.headline().Why, "the rear axle is unsettled (coupled): 1,987 ± 24 kg against 1,950, less than 1 too much, about 5 chances in 10 that it is over")
	w.Record.Verdict, w.Record.Agreement = "conflict", "conflict"
	w.Record.Do = []record.Do{do("compare", record.Args{}), do("over_anyway", record.Args{Rating: "axle", On: "rear", State: "coupled_slack"})}
	want(t, "conflict", w.headline().Why, "the readings contradict each other; no set of loads fits them all; over under every mistake listed: axle rating, rear (coupled)")
	w.Record.Governs, w.Record.Verdict = nil, "incomplete"
	want(t, "nothing", w.headline().Why, "no load could be compared with a rating")
}

// TestWhyFloorGoverns: where the download above nothing is the least margin of
// all, the sentence names the rating of least margin, not that there is none.
func TestWhyFloorGoverns(t *testing.T) {
	w := Of(base(au), nil)
	floor := record.Check{Rating: "download_min", Floor: true, Verdict: "within", Decides: true, Checked: true, LimitKg: ptr("0"), ValueKg: ptr(40.0), UKg: ptr(11.0), MarginKg: ptr(40.0)}
	w.Record.Checks = append(w.Record.Checks, floor)
	made(&w.Record.Governs).Rating = "download_min"
	want(t, "kept", w.headline().Why, "the rear axle governs (coupled): 1,890 ± 24 kg against 1,950, 60 left; a mistake in one reading worth up to 31 kg would not show")
	w.Record.Checks = w.Record.Checks[2:]
	want(t, "alone", w.headline().Why, "no load could be compared with a rating")
	c := &w.Record.Checks[0]
	w.Record.Verdict, c.Verdict, c.ValueKg, c.MarginKg = "unsettled", "unsettled", ptr(-10.0), ptr(-10.0)
	if got := w.headline().Why; !strings.Contains(got, "the towball download is unsettled") {
		t.Errorf("a floor not kept is not named: %q", got)
	}
}

// TestWhyCannotBe: what cannot be is listed by itself, so the sentence under
// the verdict does not repeat it.
func TestWhyCannotBe(t *testing.T) {
	w := Of(base(au), nil)
	w.Record.Verdict, w.Record.Agreement = "conflict", "untested"
	w.saidCannotBe("impossible", "tickets.csv", "rear", "coupled_slack", nil)
	want(t, "cannot be", w.headline().Why, "the readings cannot all be right")
}

// TestWhyLeftOut: a verdict that only a reading left out unsettles says so; no
// row does.
func TestWhyLeftOut(t *testing.T) {
	w := Of(base(au), nil)
	w.Record.Verdict = "unsettled"
	want(t, "left out", w.headline().Why, "if the reading that is left out is right, a load exceeds its rating; without it, the rear axle governs (coupled): 1,890 ± 24 kg against 1,950, 60 left; a mistake in one reading worth up to 31 kg would not show")
}

// TestConflictMarksNothing: in a conflict no row has a verdict and the column
// says so (contract, section 3, verdict).
func TestConflictMarksNothing(t *testing.T) {
	w := Of(base(au), nil)
	w.Record.Verdict = "conflict"
	want(t, "head", w.Head("row_verdict"), "not to be relied on")
	if got := say(w.rowVerdict("over")); got != "" {
		t.Errorf("a row of a conflict is marked %q", got)
	}
	want(t, "not weighed", say(w.rowVerdict("not_weighed")), "not weighed")
	addRoute(w.Record, "trailer", 240, 10)
	addRoute(w.Record, "vehicle", 238, 10)
	addRoute(w.Record, "front_lift", 412, 14)
	want(t, "routes", w.report().OddRoute, "the towball download comes to 412 ± 28 kg by what the front axle loses, by the lengths, and to 240 ± 20 by the whole trailer less its axles coupled and 238 ± 20 by the vehicle coupled less vehicle alone")
	w.Record.Routes[2].ValueKg = 245
	if got := w.report().OddRoute; got != "" {
		t.Errorf("no route disagrees: %q", got)
	}
}

// addRoute adds the download by a route.
func addRoute(r *record.Record, name string, kg, u float64) {
	route := add(&r.Routes)
	route.Route, route.ValueKg, route.UKg = name, kg, u
}

// TestPlainHasNoSlack: with travels plain nothing printed says slack (contract,
// section 1, travels).
func TestPlainHasNoSlack(t *testing.T) {
	w := Of(base(au), nil)
	want(t, "state", say(w.stateWord("coupled_slack")), "coupled")
	w.Record.Outfit.Travels = "tensioned"
	want(t, "state", say(w.stateWord("coupled_slack")), "coupled, hitch slack")
}

// TestQuotedWords are those that the contract quotes elsewhere.
func TestQuotedWords(t *testing.T) {
	w := Of(base(au), nil)
	w.Record.Agreement = "strained"
	want(t, "poor", w.report().Agreement, "the readings agree poorly; the uncertainty of every check is multiplied by 0.8")
	w.Record.Agreement, add(&w.Record.Ties).Name = "conflict", "vehicle"
	want(t, "ties", w.report().Agreement, "the readings agree; the lengths, or the level of the outfit, do not fit them")
	want(t, "people", say(w.footnote(record.Note{Code: "people_not_stated"})), "people aboard not stated, so everyone who travels is assumed to be on board")
	want(t, "hitch", say(w.footnote(record.Note{Code: "no_hitch_stated"})), "no load-distribution hitch stated, so the outfit is assumed to travel without one")
	want(t, "smeared", say(w.doubtfulText([]record.Place{{Line: 7}}, false)), "ticket 3, rear (line 7), may be smeared")
	want(t, "set", setHead("springs"), "if these ratings applied (springs):")
	// 2,940 weighed without the projector's 300: the example of section 3
	want(t, "declared", say(say(say(w.declaredTotals()[0]))), "whole vehicle, alone: weighed 3,240, declared away 300, held 2,940 (projector)")
	want(t, "lever", Of(leverRecord(), nil).report().Levers.Sentences[0], "10 kg from the nose to over the axle takes 11 off the rear axle and 8 off the coupling")
	for code, head := range map[string]string{"do_now": "do now", "verdict": "verdict", "not_weighed": "not weighed", "not_given": "not given", "declared": "declared", "next": "next", "look_again": "look again"} {
		want(t, code, w.Head(code), head)
	}
}

func leverRecord() *record.Record {
	r := base(au)
	addLever(r, "at_nose", "trailer", 0.2, 11.2, 10.3, 8)
	addLever(r, "at_axle", "trailer", 0, 0, 10, 0)
	return r
}

// TestHitchRange: 1,268 to 1,339 is the contract's example; the front axle
// slack is 1,200 here, the lift 150: by hand 1,267.4 up, 1,339.2 down,
// 67.4/150 = 45 %, 139.2/150 = 93 %.
func TestHitchRange(t *testing.T) {
	w := Of(base(au), nil)
	h := made(&w.Record.HitchRange)
	h.LowKg, h.HighKg, h.LowBy, h.HighBy = ptr(67.4), ptr(139.2), &record.RatingKey{Rating: "axle", On: "rear"}, &record.RatingKey{Rating: "front_lift"}
	want(t, "front", w.report().Bars.Front, "1,268 to 1,339 kg")
	want(t, "text", w.report().Bars.Text, "the bars are right where the front axle, coupled with the hitch tensioned, shows 1,268 to 1,339 kg on a deck: 45 to 93 % of what the trailer lifts off it; "+
		"the low end is set by the rating of the rear axle, the high end by the front axle carrying as much as uncoupled")
	h.LowKg, h.HighKg, h.HighBy = nil, nil, &record.RatingKey{Rating: "gtm"}
	want(t, "none", w.report().Bars.Text, "no tension of the bars keeps every limit: the rating of the rear axle and the trailer axle group (GTM) exclude each other")
	w.Record.Verdict = "conflict"
	want(t, "conflict", w.report().Bars.Text, "how tight the bars may be is not to be relied on: the readings disagree")
}

// TestImpossibleNamesEveryLineItRestsOn: any of them may be the wrong one.
func TestImpossibleNamesEveryLineItRestsOn(t *testing.T) {
	w := Of(base(au), nil)
	lifts := func(lines ...int) string {
		return w.saidCannotBe("impossible", "tickets.csv", "rear", "coupled_slack", &record.Args{Kg: ptr(-120.0), UKg: ptr(9.0), Lines: lines})
	}
	want(t, "two", lifts(7, 8), "the rear axle (coupled) would carry -120 ± 18 kg, and no load can be below zero: compare line 7 of tickets.csv (ticket 3, rear) and line 8 (ticket 3, trailer) with their tickets")
	want(t, "one", lifts(7), "the rear axle (coupled) would carry -120 ± 18 kg, and no load can be below zero: compare line 7 of tickets.csv (ticket 3, rear) with the ticket")
	whole := &record.Args{Kg: ptr(-760.0), UKg: ptr(6.0), Lines: []int{7}}
	want(t, "what is left", w.saidCannotBe("impossible", "tickets.csv", "trailer.2+trailer.3", "coupled_slack", whole), "trailer axle 2 and trailer axle 3 together (coupled) would carry -760 ± 12 kg, and no load can be below zero: compare line 7 of tickets.csv (ticket 3, rear) with the ticket")
	want(t, "the trailer", w.saidCannotBe("impossible", "tickets.csv", "all", "trailer_alone", whole), "the whole trailer (trailer alone) would carry -760 ± 12 kg, and no load can be below zero: compare line 7 of tickets.csv (ticket 3, rear) with the ticket")
}
