package record

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"reconcile/internal/derive/mistakes"
	"reconcile/internal/tickets"
)

// said writes what line 1 says as JSON, a thing a line.
func said(t *testing.T, all []Do) string {
	t.Helper()
	var lines []string
	for i := range all {
		b, err := appendValue(nil, reflect.ValueOf(all[i]))
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, string(bytes.ReplaceAll(b, []byte(`"`), nil)))
	}
	return strings.Join(lines, "\n")
}

func row(rating, on, state, verdict string, margin, u float64, decides bool, heldOn ...string) Check {
	c := Check{Rating: rating, On: on, State: state, Verdict: verdict, Decides: decides, HeldOn: heldOn, Checked: true}
	if verdict != "not_weighed" {
		c.MarginKg, c.UKg = &margin, &u
	}
	return c
}

// What line 1 says of each verdict; the figures are the rows' own, by hand:
// what has to come off is the excess given below, over elsewhere −margin.
func TestWhatLineOneSays(t *testing.T) {
	kg, limit := 331.0, "310"
	rated := []Check{row("gvm", "", "coupled_slack", "within", 40, 11, true)}
	for _, c := range []struct {
		name string
		r    Record
		n    counts
		want string
	}{
		{"within", Record{Verdict: "within", Checks: []Check{row("gvm", "", "coupled_slack", "within", 40, 11, true, "vehicle")}}, counts{given: 8, usualKnown: 8, usualAll: 8},
			`{code:drive,args:{number:8}}`},
		{"not checked", Record{Verdict: "within", Checks: []Check{{Rating: "gvm", Verdict: "within", Decides: true}}}, counts{given: 8, usualKnown: 4, usualAll: 8},
			`{code:drive_not_checked,args:{number:8}}`},
		{"three of eight usual ratings", Record{Verdict: "within", Checks: []Check{row("gvm", "", "", "within", 40, 11, true)}}, counts{given: 3, usualKnown: 3, usualAll: 8},
			`{code:within_known,args:{number:3,of_all:8}}`},
		{"over, once a load, the least margin first, then elsewhere", Record{Verdict: "over", Checks: []Check{
			row("atm", "", "", "over", -5, 8, true, "trailer", "nose"), row("towing", "", "", "over", -20, 8, true, "trailer", "nose"),
			row("axle", "rear", "coupled_tensioned", "over", -10, 8, true, "rear"), row("axle", "rear", "coupled_slack", "over", -61, 8, false, "rear"),
			row("gtm", "", "coupled_slack", "over", -7, 8, false, "trailer"), row("atm", "", "", "over", -2, 8, false, "trailer", "nose"),
			row("axle", "front", "coupled_tensioned", "unsettled", 3, 8, true, "front"), row("gcm", "", "", "not_weighed", 0, 0, true, "vehicle", "trailer"),
		}, NotGiven: []RatingKey{{"axle", "trailer_or_gtm"}}}, counts{},
			"{code:over,args:{rating:towing}}\n{code:over,args:{rating:axle,on:rear,state:coupled_tensioned}}\n" +
				"{code:over_elsewhere,args:{rating:axle,on:rear,state:coupled_slack,kg:61}}\n{code:over_elsewhere,args:{rating:gtm,state:coupled_slack,kg:7}}\n" +
				"{code:unsettled,args:{rating:axle,on:front,state:coupled_tensioned}}\n" +
				"{code:weigh,args:{checks:[{rating:gcm,on:,state:}]}}\n{code:find,args:{ratings:[{rating:axle,on:trailer_or_gtm}]}}"},
		{"only the floor decides", Record{Verdict: "incomplete", Checks: []Check{{Rating: "download_min", Floor: true, Verdict: "within", Decides: true}}}, counts{},
			`{code:give_ratings}`},
		{"a rating that is only planned is over", Record{Verdict: "within", Checks: []Check{
			row("gvm", "", "", "within", 40, 11, true), {Rating: "gvm", Set: "springs", Verdict: "over"}}}, counts{given: 1},
			`{code:drive,args:{number:1}}`},
		{"unconfirmed", Record{Verdict: "unconfirmed", Checks: []Check{row("gvm", "", "", "within", 40, 11, true)}, Questions: []question{
			{Code: "share_high", File: "tickets.csv", Line: 3, Answered: true}, {Code: "gcm_below_gvm", File: "ratings.csv", Line: 5, Args: &Args{Set: "springs"}},
			{Code: "rating_small", File: "ratings.csv", Line: 4, Args: &Args{}}, {Code: "axle_each", File: "ratings.csv", Line: 9}}}, counts{},
			`{code:look_again,args:{file:ratings.csv,at_line:4,name:rating_small,number:2}}`},
		{"conflict: the likeliest mistake", Record{Verdict: "conflict", Agreement: "conflict", Checks: []Check{row("gvm", "", "", "over", -40, 11, true)},
			Mistakes: []Mistake{{File: "outfit.csv", Line: 2}, {File: "tickets.csv", Line: 7, Column: "nose"}}, Readings: []Reading{{Line: 7, Column: "nose", Ticket: "50114", OnDeck: "nose"}}},
			counts{overAnyway: []checkKey{{"gvm", "", "coupled_slack"}}},
			"{code:compare,args:{on:nose,at_line:7,ticket:50114,column:nose}}\n{code:over_anyway,args:{rating:gvm,state:coupled_slack}}"},
		{"conflict: the most doubtful", Record{Verdict: "conflict", Agreement: "conflict", Checks: []Check{row("gvm", "", "", "within", 40, 11, true)},
			Doubtful: [][]Place{{{4, ""}}}, Readings: []Reading{{Line: 4, Ticket: "7", OnDeck: "all"}}}, counts{},
			`{code:compare,args:{on:all,at_line:4,ticket:7}}`},
		{"conflict of ties alone", Record{Verdict: "conflict", Agreement: "conflict", Checks: []Check{row("gvm", "", "", "within", 40, 11, true)}}, counts{onlyTies: true},
			`{code:measure_again}`},
		{"ties alone, a reading explains it better", Record{Verdict: "conflict", Agreement: "conflict", Checks: rated, Mistakes: []Mistake{
			{Kind: "digits_swapped", File: "tickets.csv", Line: 2, Rank: 1}, {Kind: "length_wrong", File: "outfit.csv", Rank: 2}}, Readings: []Reading{{Line: 2, Ticket: "7", OnDeck: "front"}}}, counts{onlyTies: true},
			`{code:compare,args:{on:front,at_line:2,ticket:7}}`},
		{"ties alone, a length explains it as well", Record{Verdict: "conflict", Agreement: "conflict", Checks: rated, Mistakes: []Mistake{
			{Kind: "digit_wrong", File: "tickets.csv", Line: 6, Rank: 1}, {Kind: "length_wrong", File: "outfit.csv", Rank: 1}}, Readings: []Reading{{Line: 6, Ticket: "7"}}}, counts{onlyTies: true},
			`{code:measure_again}`},
		{"conflict and an impossible load: not the line that fits worst, but those it rests on", Record{Verdict: "conflict", Agreement: "conflict", Checks: rated, Doubtful: [][]Place{{{2, ""}}}, CannotBe: []cannotBe{
			{Code: "impossible", Line: 5, Args: &Args{Lines: []int{5, 6}}}}, Readings: []Reading{{Line: 2, Ticket: "A"}, {Line: 5, Ticket: "B"}, {Line: 6, Ticket: "B"}}}, counts{onlyTies: true},
			`{code:compare_ticket,args:{ticket:B,lines:[5,6]}}`},
		{"conflict and an impossible load: the one line whose mistakes mend it", Record{Verdict: "conflict", Agreement: "conflict", Checks: rated, CannotBe: []cannotBe{{Code: "impossible", Line: 2, Args: &Args{Lines: []int{2, 3}}}},
			Mistakes: []Mistake{{File: "tickets.csv", Line: 3, Rank: 1, PValue: &kg}, {File: "tickets.csv", Line: 3, Rank: 1, PValue: &kg}, {File: "tickets.csv", Line: 4, Rank: 3, PValue: &kg}},
			Readings: []Reading{{Line: 2, Ticket: "A"}, {Line: 3, Ticket: "A", OnDeck: "front+rear"}}}, counts{},
			`{code:compare,args:{on:front+rear,at_line:3,ticket:A}}`},
		{"an impossible load, and nothing is left to test any mistake", Record{Verdict: "conflict", Agreement: "untested", Checks: rated, CannotBe: []cannotBe{{Code: "impossible", Line: 2, Args: &Args{Lines: []int{2, 3}}}},
			Mistakes: []Mistake{{File: "tickets.csv", Line: 3, Rank: 1}}, Readings: []Reading{{Line: 2, Ticket: "A"}, {Line: 3, Ticket: "C"}}}, counts{},
			"{code:compare_ticket,args:{ticket:A,lines:[2]}}\n{code:compare_ticket,args:{ticket:C,lines:[3]}}"},
		{"a ticket that does not add up, and a mistake in another", Record{Verdict: "conflict", Agreement: "conflict", Checks: rated, CannotBe: []cannotBe{{Code: "does_not_add_up", Line: 4, Args: &Args{Ticket: "A", Figures: []figure{{Line: 2}}}}},
			Mistakes: []Mistake{{File: "tickets.csv", Line: 9, Rank: 1, PValue: &kg}}, Readings: []Reading{{Line: 9, Ticket: "Z"}}}, counts{},
			"{code:compare,args:{at_line:9,ticket:Z}}\n{code:compare_ticket,args:{ticket:A,lines:[2,4]}}"},
		{"hardly uncoupled: look again first of all", Record{Verdict: "over", Checks: []Check{row("download_min", "", "", "over", -2460, 16, true, "coupling")},
			Questions: []question{{Code: "axle_light", File: "tickets.csv", Line: 2}, {Code: "not_uncoupled", File: "tickets.csv", Line: 4}}, Quantities: quantities{{"download", &quantity{Value: -2460, U: 16}}, {"trailer_mass", &quantity{Value: 2480, U: 10}}}}, counts{},
			"{code:look_again,args:{file:tickets.csv,at_line:4,name:not_uncoupled,number:2}}\n{code:over,args:{rating:download_min}}"},
		{"a download a little below nothing: over first", Record{Verdict: "over", Checks: []Check{row("download_min", "", "", "over", -90, 16, true, "coupling")},
			Questions: []question{{Code: "not_uncoupled", File: "tickets.csv", Line: 4}}, Quantities: quantities{{"download", &quantity{Value: -90, U: 16}}, {"trailer_mass", &quantity{Value: 2480, U: 10}}}}, counts{},
			"{code:over,args:{rating:download_min}}\n{code:look_again,args:{file:tickets.csv,at_line:4,name:not_uncoupled,number:1}}"},
		{"what cannot be, each ticket once", Record{Verdict: "conflict", Agreement: "agree", Checks: []Check{row("gvm", "", "", "within", 40, 11, true)}, CannotBe: []cannotBe{
			{Code: "impossible", Line: 5, Args: &Args{}}, {Code: "does_not_add_up", Line: 4, Args: &Args{Ticket: "A", Figures: []figure{{Line: 4}, {Line: 2}}}}},
			Readings: []Reading{{Line: 5, Ticket: "B"}}}, counts{},
			"{code:compare_ticket,args:{ticket:B,lines:[5]}}\n{code:compare_ticket,args:{ticket:A,lines:[2,4]}}"},
		{"not on the trip", Record{Verdict: "within", Checks: []Check{row("gvm", "", "", "within", 40, 11, true)}, Trip: &trip{Verdict: "over", Checks: []tripCheck{
			{Rating: "gvm", Verdict: "within"}, {Rating: "download_max", On: "vehicle", Verdict: "over", LimitKg: &limit, ValueKg: &kg, UKg: &kg, At: []loadMass{{"front tank", "120"}}}}}}, counts{given: 2},
			"{code:drive,args:{number:2}}\n{code:not_on_trip,args:{rating:download_max,on:vehicle,of:over,kg:331,u_kg:331,limit_kg:310,names:[front tank]}}"},
		{"the trip is no graver", Record{Verdict: "over", Checks: []Check{row("gvm", "", "", "over", -40, 11, true)}, Trip: &trip{Verdict: "over", Checks: []tripCheck{{Verdict: "over"}}}}, counts{},
			`{code:over,args:{rating:gvm}}`},
	} {
		c.r.memory = new(memory)
		if got := said(t, c.r.doOf(&c.n)); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
}

// A mistake is at its first reading, with its figures as they were found; a wrong
// length is at the outfit.
func TestMistakeOf(t *testing.T) {
	job := &tickets.Job{Readings: []tickets.Reading{{Line: 7, Ticket: "3", OnDeck: "all"}}}
	row := mistakeOf(job, &mistakes.Mistake{
		Kind: "digits_swapped", Scope: "line", Readings: []int{0}, P: 0.04, Tested: true, Rank: 2, Was: "2.84", Should: "2.48", Unit: "t",
	})
	if row.Was != "2.84" || row.Should != "2.48" || row.Unit != "t" {
		t.Errorf("was %q should %q in %q (want 2.84, 2.48, t)", row.Was, row.Should, row.Unit)
	}
	if row.Line != 7 || row.Ticket != "3" || row.OnDeck != "all" || !row.Poorly || *row.PValue != 0.04 || row.Load != "" || len(row.Readings) != 1 || row.Rank != 2 {
		t.Errorf("%+v", row)
	}
	length := mistakeOf(&tickets.Job{Outfit: tickets.Outfit{Line: 2}}, &mistakes.Mistake{Kind: "length_wrong", Lengths: []string{"wheelbase"}})
	if length.File != "outfit.csv" || length.Line != 2 || length.PValue != nil || length.Poorly || length.Lengths[0] != "wheelbase" {
		t.Errorf("%+v", length)
	}
}
