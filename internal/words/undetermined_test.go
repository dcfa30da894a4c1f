package words

import (
	"strings"
	"testing"

	"reconcile/internal/record"
)

func readingOf(setup, hitch, deck, kg string) record.Reading {
	return record.Reading{Line: 2, Setup: setup, Hitch: hitch, OnDeck: deck, Use: "yes", ReadingKg: kg}
}

// unfound is a record with readings in which only some quantities are known.
func unfound(known string, readings ...record.Reading) *Words {
	r := &record.Record{Readings: readings}
	r.Options.Unit, r.Outfit.Travels, r.Outfit.TrailerKind = "kg", "plain", "centre_axle"
	for _, q := range strings.Fields(known) {
		addRatio(r, q, 0, 0)
	}
	return Of(r, nil)
}

// TestNotFound says why there is no number, a row a way of weighing. The
// sentences are ours; what each way of weighing can give is the algebra of the
// download: what the vehicle weighs more coupled, hitch slack, than alone.
func TestNotFound(t *testing.T) {
	slack := func(deck string) record.Reading { return readingOf("coupled", "slack", deck, "1000") }
	tense := func(deck string) record.Reading { return readingOf("coupled", "tensioned", deck, "1000") }
	alone, trailer := readingOf("vehicle_alone", "", "vehicle", "2960"), readingOf("trailer_alone", "", "all", "2880")
	long := unfound("trailer_mass", tense("front"), tense("rear"), tense("trailer"), trailer)
	l := &long.Record.Outfit.LengthsMm
	l.Wheelbase, l.RearAxleToCoupling, l.CouplingToTrailerAxle = ptr(3000.0), ptr(3000.0), ptr(3000.0)
	const coupledAlone = "and it is how much heavier the vehicle is coupled than alone: weigh "
	cases := []struct {
		name string
		w    *Words
		want []string
	}{
		{"nose off the deck", unfound("download", readingOf("trailer_alone", "", "trailer", "2580")),
			[]string{"whole trailer: the jockey wheel or stand was off the deck: 2,580 kg is what the axles carry, not the trailer's mass; weigh the whole trailer uncoupled, its jockey wheel or stand on the deck too"}},
		{"nose weighed separately", unfound("download", readingOf("trailer_alone", "", "trailer", "2580"), readingOf("trailer_alone", "", "nose", "300")), nil},
		{"not used", unfound("download", record.Reading{Setup: "trailer_alone", OnDeck: "trailer", Use: "no"}), nil},
		{"nothing coupled", unfound("trailer_mass", trailer), []string{"nothing was weighed coupled, " + coupledAlone + "the trailer's axles coupled, or"}},
		{"wholes", unfound("vehicle_alone.vehicle trailer_mass", alone, trailer, slack("all")),
			[]string{"weighing only the complete vehicle, trailer or outfit cannot give it: weigh the trailer's axles coupled or the vehicle's axles coupled, or use a gauge under the coupling"}},
		{"the outfit by its terms", unfound("", slack("front+rear+trailer"), slack("vehicle+trailer")), []string{"weighing only the complete vehicle"}},
		{"coupled only", unfound("coupled_slack.vehicle coupled_slack.trailer", slack("front"), slack("rear"), slack("trailer")),
			[]string{"weighed coupled only, " + coupledAlone + "the vehicle alone or the whole trailer alone, or use a gauge"}},
		{"one side of all", unfound("", slack("front.left+rear.left+trailer.left")), []string{"weighed coupled only"}},
		{"vehicle alone, trailer's axles coupled", unfound("vehicle_alone.vehicle coupled_slack.trailer", alone, slack("trailer")),
			[]string{"these readings leave it open, " + coupledAlone + "the whole trailer alone or the vehicle's axles coupled, or"}},
		{"tensioned without lengths", unfound("", tense("front.left"), tense("trailer.1.left")),
			[]string{"the tension shifts load between them, so without lengths these readings give no download: give the lengths in outfit.csv and weigh the vehicle alone by axles and the whole trailer, or weigh"}},
		{"bars not known", unfound("", readingOf("coupled", "unknown", "front", "1000")), []string{"without lengths these readings give no download"}},
		{"tensioned with lengths", long, []string{"these readings give no download: weigh the trailer's axles coupled, or use a gauge"}},
		{"found", unfound("download trailer_mass"), nil},
	}
	for _, c := range cases {
		got := strings.Join(c.w.report().NotFound, "\n")
		if c.want == nil && got != "" {
			t.Errorf("%s: %q, want nothing", c.name, got)
		}
		for _, want := range c.want {
			if !strings.Contains(got, say(want)) {
				t.Errorf("%s: %q, want %q", c.name, got, want)
			}
		}
	}
	long.Record.Outfit.Travels = "tensioned"
	if got := strings.Join(long.report().NotFound, "\n"); !strings.Contains(got, say("the trailer's axles coupled with the hitch slack")) {
		t.Errorf("a hitch with bars: %q", got)
	}
	drawbar := unfound("", readingOf("trailer_alone", "", "trailer", "2580"))
	drawbar.Record.Outfit.TrailerKind = "drawbar"
	if got := drawbar.report().NotFound; len(got) != 0 {
		t.Errorf("a hinged drawbar has no download and no nose to miss: %q", got)
	}
}

func TestNext(t *testing.T) {
	missing := func(rating, on, state string) record.Check {
		return record.Check{Rating: rating, On: on, State: state, Verdict: "not_weighed", Decides: true}
	}
	const find = " on the plate or in the handbook; a line with the value none says that there is none"
	weigh := []record.Advice{{Kind: "weigh", Setup: "coupled", Hitch: "slack", OnDeck: "rear"}, {Kind: "weigh", Setup: "vehicle_alone", OnDeck: "front+rear"}}
	cases := []struct {
		name, verdict, region string
		checks                []record.Check
		notGiven              []record.RatingKey
		advice                []record.Advice
		want                  string
	}{
		{"axle", "incomplete", "au", []record.Check{missing("axle", "rear", "coupled_slack")}, nil, nil, "weigh the rear axle alone on the deck, coupled"},
		{"vehicle", "incomplete", "au", []record.Check{missing("gvm", "", "coupled_slack")}, nil, nil, "weigh the vehicle's axles alone on the deck, coupled"},
		{"one weighing for two", "incomplete", "au", []record.Check{missing("atm", "", ""), missing("towing", "", "")}, nil, nil, "weigh the whole trailer uncoupled, its jockey wheel or stand on the deck"},
		{"towing in eu", "incomplete", "eu", []record.Check{missing("towing", "", "coupled_slack")}, nil, nil, "weigh the trailer's axles alone on the deck, coupled"},
		{"download", "incomplete", "au", []record.Check{missing("download_max", "towbar", "")}, nil, nil, "for the towball download, weigh the whole trailer and then its axles coupled, or use a gauge under the coupling"},
		{"advice, then a rating", "incomplete", "au", []record.Check{missing("axle", "rear", "coupled_slack")}, []record.RatingKey{{Rating: "gcm"}}, weigh,
			"weigh the coupled outfit, with only the rear axle on the deck|then weigh the whole vehicle uncoupled|find the GCM" + find},
		{"within", "within", "au", nil, nil, nil, ""},
		{"over", "over", "au", nil, nil, nil, "take load off or move it, then weigh again"},
		{"conflict", "conflict", "au", nil, nil, nil, "compare every line of tickets.csv with its ticket, and weigh again what that does not clear up"},
		{"asked", "unconfirmed", "au", nil, nil, nil, "look again at what is asked: correct the line, or write the question's code in its column confirmed"},
	}
	for _, c := range cases {
		w := Of(base(outfit{c.region, "centre_axle", "plain", "kg"}), nil)
		w.Record.Verdict, w.Record.Checks, w.Record.NotGiven, w.Record.Advice = c.verdict, c.checks, c.notGiven, c.advice
		var texts []string
		for _, n := range w.headline().Next {
			texts = append(texts, n.Text)
		}
		want(t, c.name, strings.Join(texts, "|"), c.want)
	}
}

// TestAdvice: a further weighing is called a cross-check only where what could
// still hide is no more than the margin of what governs, 60 kg here (contract,
// section 3, advice).
func TestAdvice(t *testing.T) {
	gauge := func(effect float64) record.Advice {
		a := record.Advice{Kind: "weigh", Setup: "trailer_alone", OnDeck: "coupling"}
		served := add(&a.For)
		served.Rating, served.Need, served.MistakeEffectKg = "download_max", "not_checked", &effect
		return a
	}
	const gaugeWords = "weigh the towball download with a gauge under the coupling, trailer uncoupled and level: "
	settle := *read[record.Advice](`{"kind": "weigh", "setup": "coupled", "hitch": "slack", "on_deck": "front+rear+trailer", "for": [
		{"rating": "axle", "on": "rear", "state": "coupled_slack", "need": "unsettled", "u_now_kg": 12, "u_then_kg": 8, "solved": true, "verdict": "within"},
		{"rating": "gvm", "state": "coupled_slack", "need": "unsettled", "u_now_kg": 12, "u_then_kg": 11},
		{"rating": "atm", "need": "not_weighed", "u_then_kg": 9}, {"rating": "d_value", "need": "not_weighed", "u_then_kn": 0.04}]}`)
	for _, c := range []struct {
		a    record.Advice
		want string
	}{
		{gauge(60), gaugeWords + "it cross-checks the towball download: a mistake worth more than 60 kg would show"},
		{gauge(61), gaugeWords + "a mistake worth more than 61 kg in a reading of the towball download would then show; a smaller one could still hide more than is left"},
		{settle,
			"weigh the whole outfit coupled: it gives the trailer (ATM) to ± 18 kg and the coupling (D-value) to ± 0.08 kN; U of the rear axle (coupled) falls from 24 kg to 16 kg, which settles it (within) if it weighs the same; " +
				"U of the vehicle (GVM, coupled) falls from 24 kg to 22 kg, which does not settle it"},
		{record.Advice{Kind: "weigh", Setup: "trailer_alone", OnDeck: "trailer+nose", Among: []record.Place{{Line: 7}, {Line: 8}}},
			"weigh the whole trailer uncoupled, its jockey wheel or stand on the deck: it would show whether the mistake is in ticket 3, rear (line 7) or ticket 3, trailer (line 8)"},
		{*read[record.Advice](`{"kind": "remove", "kg": 61, "needed_kg": 1970, "for": [{"rating": "axle", "on": "rear", "state": "coupled_slack"}]}`), "take at least 61 kg off the rear axle: 2,011 ± 24 kg against 1,950, 61 too much; the rating would have to be 1,970 kg"},
		{*read[record.Advice](`{"kind": "remove", "kg": 5.2, "for": [{"rating": "download_min"}]}`), "put at least 6 kg more on the coupling"},
		{*read[record.Advice](`{"kind": "weigh", "setup": "coupled", "hitch": "slack", "on_deck": "rear.1.left+trailer.2", "for": [
			{"rating": "axle", "on": "front", "state": "vehicle_alone", "need": "not_checked", "mistake_effect_kg": 99}, {"rating": "axle", "on": "front", "state": "coupled_slack", "need": "not_checked"},
			{"rating": "gvm", "need": "not_checked"}, {"rating": "download_max", "need": "not_checked"}, {"rating": "download_min", "need": "not_checked"}, {"rating": "atm", "need": "not_checked"}, {"rating": "gcm", "need": "not_checked"}]}`),
			"weigh the coupled outfit, with only the left of rear axle 1 and trailer axle 2 on the deck: a mistake worth more than 99 kg in a reading of the front axle, the vehicle (GVM), the towball download and 2 more loads would then show; a smaller one could still hide more than is left"},
		{record.Advice{Kind: "look", File: "ratings.csv", Line: 5, Code: "gtm_above_atm"}, "look again at line 5 of ratings.csv: are the two trailer ratings exchanged? Correct it, or write gtm_above_atm in its column confirmed"},
		{record.Advice{Kind: "look", File: "outfit.csv", Line: 2, Code: "bars_not_stated"}, "look again at line 2 of outfit.csv: is there a load-distribution hitch? Fill in travels"},
		{record.Advice{Kind: "weigh", OnDeck: "empty"}, "write down what the display shows with nothing on the deck"},
	} {
		w := Of(base(au), nil)
		if c.a.Kind == "remove" {
			w.Record.Checks[1].Verdict, w.Record.Checks[1].ValueKg, w.Record.Checks[1].MarginKg = "over", ptr(2011.0), ptr(-61.0)
		}
		want(t, c.a.Kind, say(w.advice(&c.a, false)), c.want)
	}
}

func TestFootnotesOfOneSentenceAreOneGroup(t *testing.T) {
	w := Of(base(au), nil)
	w.Record.Footnotes = []record.Note{{Code: "people_not_stated", Line: 2}, {Code: "strained"}, {Code: "people_not_stated", Line: 3}, {Code: "people_not_stated", Line: 7}, {Code: "nose_off_deck", Line: 2, Args: record.Args{Kg: ptr(61.0)}}, {Code: "nose_off_deck", Line: 3, Args: record.Args{Kg: ptr(62.0)}}}
	notes := w.report().Footnotes
	if len(notes) != 4 || notes[0].Numbers != "1, 3-4" {
		t.Fatalf("%+v", notes)
	}
	want(t, "group", notes[0].Text, "lines 2-3, 7 of tickets.csv: people aboard not stated, so everyone who travels is assumed to be on board")
	want(t, "job", notes[1].Text, "the readings agree poorly; the uncertainty of every check is multiplied by 0.8")
}

// TestChanges: ± by hand: 2·√(12² + 9²) = 30.
func TestChanges(t *testing.T) {
	now, old := base(au), base(au)
	now.Quantities, old.Quantities = nil, nil
	addMass(now, "vehicle_alone.vehicle", 2975, 12)
	addMass(now, "download", 211, 9)
	addMass(now, "trailer_mass", 2500, 12)
	addMass(now, "payload_left", 1, 1)
	addMass(old, "download", 241.5, 12)
	addMass(old, "vehicle_alone.vehicle", 2944, 9)
	addMass(old, "trailer_mass", 2471, 9)
	addMass(old, "payload_left", 1, 1)
	old.Readings = []record.Reading{{WeighedAt: "2025-10-01", Use: "yes"}}
	got := since(now, old).Rows
	if len(got) != 3 {
		t.Fatalf("%d changes", len(got))
	}
	for i, c := range []change{
		{"whole vehicle, alone", "2,944 ± 18", "2,975 ± 24", "+31 ± 30", "heavier"},
		{"towball download", "242 ± 24", "211 ± 18", "-31 ± 30", "lighter"},
		{"whole trailer", "2,471 ± 18", "2,500 ± 24", "+29 ± 30", "within its ±"},
	} {
		want(t, "label", got[i].Label, c.Label)
		want(t, c.Label, got[i].Word, c.Word)
		if got[i].Old != c.Old || got[i].New != c.New || got[i].By != c.By {
			t.Errorf("%+v, want %+v", got[i], c)
		}
	}
	want(t, "head", since(now, old).Head, "changes since the earlier weighing: weighed 2025-10-01, then 2026-03-14 09:20 to 10:05 (the later), in kg:")
	want(t, "right way round", since(now, old).WrongWay, "")
	want(t, "wrong way round", since(old, now).WrongWay, "the earlier visit was weighed 2026-03-14 09:20 to 10:05, after this one (2025-10-01): compare the other way round")
	want(t, "the same", since(now, now).Head, "changes since the earlier weighing: weighed 2026-03-14 09:20 to 10:05, then 2026-03-14 09:20 to 10:05 (the same time: neither is later), in kg:")
	old.Readings = nil
	want(t, "no date", since(now, old).Head, "changes since the earlier weighing: weighed on a day not stated, then 2026-03-14 09:20 to 10:05 (which is later is not known: a date is missing), in kg:")
	want(t, "no date, not refused", since(old, now).WrongWay, "")
}

func TestWeighedWhen(t *testing.T) {
	for in, out := range map[string]string{
		"": "", "15:31": "15:31", "15:31|16:02": "15:31 to 16:02", "2026-03-14": "2026-03-14", "2026-03-14|2026-03-14 09:20": "2026-03-14",
		"2026-03-15 08:00|2026-03-14 09:20": "2026-03-14 09:20 to 2026-03-15 08:00", "15:31|2026-03-14": "2026-03-14",
	} {
		w := Of(base(au), nil)
		w.Record.Readings = nil
		for _, at := range strings.Split(in, "|") {
			w.Record.Readings = append(w.Record.Readings, record.Reading{WeighedAt: at, Use: "yes"})
		}
		want(t, in, w.headline().Weighed, out)
	}
}

// since is what a record changed since an earlier one.
func since(now, earlier *record.Record) changes {
	w := Of(now, nil)
	w.Earlier = earlier
	return w.changes()
}
