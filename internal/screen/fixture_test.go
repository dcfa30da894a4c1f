package screen

import (
	"encoding/json"
	"math"
	"strconv"

	"reconcile/internal/record"
)

// The records of this file are invented: a crew-cab utility that tows a
// planetarium in a tandem-axle trailer. Verdicts and margins are worked out
// here from value, u and limit, without the program.

func ptr[T any](v T) *T { return &v }

// line is one rating line of the invented ratings.csv, in one state.
type line struct {
	rating, on, state string
	limit             float64
	value, u          float64 // u 0: not weighed
	other             bool    // does not decide
	open              bool    // not cross-checked
}

func (l line) check() record.Check {
	c := record.Check{Rating: l.rating, On: l.on, State: l.state, LimitKg: ptr(strconv.FormatFloat(l.limit, 'f', -1, 64)),
		Verdict: "not_weighed", Decides: !l.other, Checked: !l.open}
	if l.u == 0 {
		return c
	}
	margin := l.limit - l.value
	if l.rating == "download_min" {
		margin = -margin
	}
	c.ValueKg, c.UKg, c.MarginKg = &l.value, &l.u, &margin
	c.POver = ptr(0.5 * math.Erfc(margin/l.u/math.Sqrt2))
	c.Verdict = map[bool]string{true: "within", false: "unsettled"}[margin >= 2*l.u]
	if margin < -2*l.u {
		c.Verdict = "over"
	}
	return c
}

// read makes a part of a document from its JSON.
func read[T any](text string) *T {
	v := new(T)
	if err := json.Unmarshal([]byte(text), v); err != nil {
		panic(err)
	}
	return v
}

// add adds an entry to a list, to be filled in.
func add[S ~[]T, T any](list *S) *T {
	*list = append(*list, *new(T))
	return &(*list)[len(*list)-1]
}

// made puts a new one in place, to be filled in.
func made[T any](at **T) *T {
	*at = new(T)
	return *at
}

// outfit is the invented outfit, weighed completely, with every usual rating given.
func outfit(region string) *record.Record {
	r := &record.Record{
		Schema: "reconcile-record/2", Program: "2.0.0", Model: 2, Verdict: "within", Agreement: "agree",
		Outfit: record.Outfit{Vehicle: "crew-cab utility", VehicleID: "STAR 01", Trailer: "planetarium trailer", TrailerID: "DOME 7",
			Travels: "plain", TravelsStated: true, RearAxles: ptr(1), TrailerAxles: ptr(2), TrailerKind: "centre_axle", Suspension: "springs"},
		Readings: []record.Reading{{Line: 2, Ticket: "4711", Setup: "coupled", Hitch: "slack", OnDeck: "front", Use: "yes", ReadingKg: "1320"},
			{Line: 7, Ticket: "4712", Setup: "trailer_alone", OnDeck: "trailer+nose", Use: "yes", ReadingKg: "2500"}},
	}
	r.Options.Rule, r.Options.Region, r.Options.Paper, r.Options.Unit = "guarded", region, "a4", "kg"
	if region == "us" {
		r.Options.Unit = "lb"
	}
	for _, q := range []struct {
		name, unit string
		value, u   float64
		basis      string
	}{
		{"trailer_mass", "kg", 2501.2, 9.8, "weighed"}, {"combination", "kg", 5741.3, 12.7, "weighed"},
		{"download", "kg", 240.4, 10.9, "difference"}, {"download_share", "", 0.0961, 0.0044, ""},
	} {
		at := add(&r.Quantities)
		at.Name = q.name
		found := made(&at.Value)
		found.Unit, found.Value, found.U, found.Basis = q.unit, q.value, q.u, q.basis
	}
	r.Fit.Observations, r.Fit.DOF, r.Fit.ChiSquare, r.Fit.PValue = 12, 3, 1.93, ptr(0.587)
	set(r, plain()...)
	return r
}

func plain() []line {
	return []line{
		{rating: "gvm", state: "vehicle_alone", limit: 3350, value: 2999.7, u: 9.4},
		{rating: "gvm", state: "coupled_slack", limit: 3350, value: 3240.1, u: 13.8},
		{rating: "gcm", limit: 6000, value: 5741.3, u: 12.7},
		{rating: "atm", limit: 3000, value: 2501.2, u: 9.8},
		{rating: "gtm", state: "coupled_slack", limit: 2700, value: 2260.8, u: 11.9, other: true},
		{rating: "axle", on: "front", state: "coupled_slack", limit: 1480, value: 1350.2, u: 11.2},
		{rating: "axle", on: "rear", state: "vehicle_alone", limit: 1950, value: 1560.3, u: 11.4},
		{rating: "axle", on: "rear", state: "coupled_slack", limit: 1950, value: 1889.9, u: 11.9},
		{rating: "axle", on: "trailer", state: "coupled_slack", limit: 2600, value: 2260.8, u: 11.9},
		{rating: "towing", limit: 3500, value: 2501.2, u: 9.8, other: true}, // atm is lower
		{rating: "download_max", on: "towbar", limit: 350, value: 240.4, u: 10.9, other: true},
		{rating: "download_max", on: "vehicle", limit: 310, value: 240.4, u: 10.9},
		{rating: "download_min", limit: 25, value: 240.4, u: 10.9},
	}
}

// set puts rows in the record, each on a rating line of its own, and says what
// to do now and what governs.
func set(r *record.Record, lines ...line) {
	r.Checks = nil
	for i, l := range lines {
		c := l.check()
		c.Line = ptr(i + 2)
		r.Checks = append(r.Checks, c)
	}
	decide(r)
}

// change alters the rows of the plain outfit and gives the verdict.
func change(r *record.Record, verdict string, with func(*line)) *record.Record {
	lines := plain()
	for i := range lines {
		with(&lines[i])
	}
	r.Verdict = verdict
	set(r, lines...)
	return r
}

func foot(r *record.Record, code string, at int, args record.Args) {
	r.Footnotes = append(r.Footnotes, record.Note{Code: code, Line: at, Args: args})
}

// decide fills what line 1 says and what governs, from the rows.
func decide(r *record.Record) {
	r.Do, r.Governs = nil, nil
	grave := map[string]int{"not_weighed": 0, "within": 1, "unsettled": 2, "over": 3}
	var worst *record.Check
	missing := &record.Args{}
	ratings := 0
	for i := range r.Checks {
		c := &r.Checks[i]
		if !c.Decides {
			continue
		}
		ratings++
		switch c.Verdict {
		case "over", "unsettled":
			r.Do = append(r.Do, record.Do{Code: c.Verdict, Args: &record.Args{Rating: c.Rating, On: c.On, State: c.State, Kg: ptr(2**c.UKg - *c.MarginKg)}})
		case "not_weighed":
			key := add(&missing.Checks)
			key.Rating, key.On, key.State = c.Rating, c.On, c.State
		}
		if c.MarginKg != nil && (worst == nil || grave[c.Verdict] > grave[worst.Verdict] || grave[c.Verdict] == grave[worst.Verdict] && *c.MarginKg < *worst.MarginKg) {
			worst = c
		}
	}
	if worst != nil {
		key := made(&r.Governs)
		key.Rating, key.On, key.State = worst.Rating, worst.On, worst.State
	}
	if len(missing.Checks) > 0 {
		r.Do = append(r.Do, record.Do{Code: "weigh", Args: missing})
	}
	if len(r.NotGiven) > 0 {
		r.Do = append(r.Do, record.Do{Code: "find", Args: &record.Args{Ratings: r.NotGiven}})
	}
	switch {
	case r.Verdict == "conflict":
		r.Do, r.Governs = []record.Do{{Code: "compare", Args: &record.Args{AtLine: 7, Ticket: "4712", On: "trailer+nose"}}}, nil
	case len(r.Do) == 0:
		r.Do = []record.Do{{Code: "drive", Args: &record.Args{Number: ptr(ratings)}}}
	}
}

func overRecord() *record.Record {
	r := change(outfit("au"), "over", func(l *line) {
		if l.on == "rear" && l.state == "coupled_slack" {
			l.value = 2090.3
		}
		if l.on == "vehicle" {
			l.value, l.limit = 240.4, 200
		}
	})
	r.Advice = []record.Advice{*read[record.Advice](`{"kind": "remove", "for": [{"rating": "axle", "on": "rear", "state": "coupled_slack", "need": "unsettled"}], "kg": 164.1, "needed_kg": 2120}`)}
	away, load := add(&r.Declared), add(&r.Loads)
	away.Load, away.AwayKg = "projector case", "300"
	load.Load, load.DeclaredKg, load.SolvedKg, load.UKg = "projector case", "300", new(300.0), new(15.0)
	r.Readings[1].With = []string{"projector case"}
	foot(r, "people_not_stated", 2, record.Args{})
	foot(r, "people_not_stated", 3, record.Args{})
	foot(r, "interval_assumed", 2, record.Args{Typed: "20"})
	foot(r, "people_not_stated", 4, record.Args{})
	foot(r, "rating_not_in_force", 5, record.Args{Rating: "axle", On: "rear"})
	return r
}

func unsettledRecord() *record.Record {
	r := change(outfit("uk"), "unsettled", func(l *line) {
		if l.on == "rear" && l.state == "coupled_slack" {
			l.value = 1944.2
		}
	})
	r.Agreement, r.Fit.ChiSquare, r.Fit.PValue = "strained", 9.1, ptr(0.028)
	foot(r, "strained", 0, record.Args{})
	r.Cautions = []record.Note{{Code: "share_below_guide", Args: record.Args{Value: ptr(0.041), U: ptr(0.004), Limit: ptr(0.05), Of: "common_practice"}}}
	r.Advice = []record.Advice{*read[record.Advice](`{"kind": "weigh", "setup": "coupled", "hitch": "slack", "on_deck": "rear",
		"for": [{"rating": "axle", "on": "rear", "state": "coupled_slack", "need": "unsettled", "u_now_kg": 11.9, "u_then_kg": 8.4}], "u_now_kg": 11.9, "u_then_kg": 8.4}`)}
	q := add(&r.Questions)
	q.Code, q.File, q.Line, q.Args = "not_a_multiple", "tickets.csv", 7, &record.Args{Typed: "2503", Other: "20"}
	set(r, func() []line { // keep the rows, renew the headline with the agreement
		lines := plain()
		lines[7].value = 1944.2
		return lines
	}()...)
	return r
}

func incompleteRecord() *record.Record {
	r := change(outfit("us"), "incomplete", func(l *line) {
		if l.rating == "download_max" || l.rating == "download_min" || l.state == "vehicle_alone" {
			l.u = 0
		}
		if l.state == "vehicle_alone" {
			l.other = true
		}
	})
	r.NotGiven = []record.RatingKey{{Rating: "gcm"}, {Rating: "towing"}}
	r.Quantities[2].Value, r.Quantities[3].Value = nil, nil
	decide(r)
	foot(r, "no_hitch_stated", 0, record.Args{})
	foot(r, "nose_off_deck", 7, record.Args{Kg: ptr(2260.0)})
	return r
}

func conflictRecord() *record.Record {
	r := change(outfit("nz"), "conflict", func(l *line) {
		if l.on == "front" {
			l.value = 1530
		}
	})
	r.Agreement, r.Fit.ChiSquare, r.Fit.PValue = "conflict", 44.1, ptr(1.4e-9)
	r.MistakesComplete = true
	r.Mistakes = []record.Mistake{
		{Kind: "digits_swapped", File: "tickets.csv", Line: 7, Ticket: "4712", OnDeck: "trailer+nose", Was: "2500", Should: "2050", Unit: "kg", PValue: ptr(0.44), Scope: "figure", Readings: []record.Place{{Line: 7}}, Rank: 1},
		{Kind: "load_wrong", File: "tickets.csv", Line: 2, Ticket: "4711", OnDeck: "front", PValue: ptr(0.11), Scope: "figure", Readings: []record.Place{{Line: 2}}, Places: []string{"front seats"}, Rank: 2},
		{Kind: "length_wrong", File: "outfit.csv", PValue: ptr(0.06), Scope: "length", Lengths: []string{"wheelbase"}, Rank: 3}}
	r.Do = append(r.Do, record.Do{Code: "over_anyway", Args: &record.Args{Rating: "axle", On: "front", State: "coupled_slack"}})
	return r
}

// tensionedRecord travels with the hitch tensioned, is one of a day's jobs,
// passes at the rear by the hitch alone, has tyres of an assumed share, an
// unchecked trailer, a coupling class in kilonewtons and a planned set.
func tensionedRecord() *record.Record {
	r := outfit("au")
	r.Job, r.Outfit.Travels = "dome-3", "tensioned"
	set(r, line{rating: "gvm", state: "coupled_slack", limit: 3350, value: 3240.1, u: 13.8, other: true},
		line{rating: "gvm", state: "coupled_tensioned", limit: 3350, value: 3205.6, u: 13.9},
		line{rating: "axle", on: "rear", state: "coupled_slack", limit: 1800, value: 1889.9, u: 11.9, other: true},
		line{rating: "axle", on: "rear", state: "coupled_tensioned", limit: 1800, value: 1740.3, u: 12.4},
		line{rating: "atm", limit: 3000, value: 2501.2, u: 9.8, open: true},
		line{rating: "tyre", on: "trailer", state: "coupled_tensioned", limit: 1000, value: 575.1, u: 21.1},
		line{rating: "gvm", state: "vehicle_alone", limit: 3350, other: true})
	r.Checks[3].OnlyTensioned = true
	r.Checks[5].Assumed = []string{"equal_share"}
	r.Checks = append(r.Checks, record.Check{Rating: "d_value", State: "", Line: ptr(9), LimitKN: ptr("16.0"), ValueKN: ptr(13.06), UKN: ptr(0.04), MarginKN: ptr(2.94),
		POver: ptr(0.0), Verdict: "within", Decides: true, Checked: true})
	planned := line{rating: "gvm", state: "coupled_tensioned", limit: 3500, value: 3205.6, u: 13.9, other: true}.check()
	planned.Set = "heavier springs"
	r.Checks = append(r.Checks, planned)
	foot(r, "equal_share", 7, record.Args{Rating: "tyre", On: "trailer"})
	r.Cautions = []record.Note{{Code: "trailer_heavier", Args: record.Args{Value: ptr(1.04), U: ptr(0.005), Limit: ptr(1.0)}}}
	decide(r)
	return r
}

// hostileRecord holds text that would spoil a terminal.
func hostileRecord() *record.Record {
	r := outfit("eu")
	r.Job = "night\x1b[31m\tshow"
	r.Outfit.Vehicle = "移動式天文館の車" + string(rune(0x202e)) + "e\u0301toile"
	r.Outfit.Trailer = "trailer-with-a-name-that-never-ends-" + "abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrstuvwxyz"
	return r
}

// simpleRecord is judged by the simple rule, with no region.
func simpleRecord() *record.Record {
	r := outfit("")
	r.Options.Rule = "simple"
	return r
}

// named is every golden report.
func named() map[string]*record.Record {
	all := map[string]*record.Record{
		"over": overRecord(), "unsettled": unsettledRecord(), "incomplete": incompleteRecord(), "conflict": conflictRecord(),
		"tensioned": tensionedRecord(), "hostile": hostileRecord(), "simple": simpleRecord(), "bare": {Verdict: "incomplete", Agreement: "untested"},
	}
	all["bare"].Do = []record.Do{{Code: "give_ratings"}}
	for _, region := range []string{"", "au", "nz", "uk", "eu", "us"} {
		all["within-"+map[bool]string{true: "neutral", false: region}[region == ""]] = outfit(region)
	}
	return all
}
