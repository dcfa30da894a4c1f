package words

import (
	"strings"
	"testing"

	"reconcile/internal/record"
)

// relieved is what a move takes off the check of a rating.
type relieved struct {
	rating, on string
	kg         float64
	kn         bool
}

// moved is a move with what it relieves.
func moved(load, from, to, kg string, whole bool, relief ...relieved) record.Move {
	m := record.Move{Load: load, From: from, Kg: kg, Whole: whole}
	if to != "" {
		m.To = &to
	}
	for _, r := range relief {
		x := add(&m.Relief)
		x.Rating, x.On, x.Kg, x.KN = r.rating, r.on, r.kg, r.kn
	}
	return m
}

// TestPlanInWords: a move with its effect; the figures of the effect are given.
func TestPlanInWords(t *testing.T) {
	on := func(rating, on string, kg float64) relieved { return relieved{rating, on, kg, false} }
	r := base(au)
	r.Plan = &record.Plan{
		Found: true, Proved: true, LeftKg: "20", MovedKg: "74", Touched: 2,
		Moves: []record.Move{
			moved("projector", "nose locker", "over the axles", "74", true, on("axle", "rear", 79), on("download_max", "", 56), on("gtm", "", -60), on("gvm", "", 0.3), relieved{"d_value", "", 3, true}),
			moved("water", "tank", "", "20", false, on("download_min", "", 5)),
		},
	}
	p := made(&r.Plan.Facts)
	for _, n := range []struct{ Load, To, Missing string }{{"gas", "", "place"}, {"tools", "tray", "place"}, {"bed", "", "wheelbase"}} {
		p.NotOffered = append(p.NotOffered, n)
	}
	for _, m := range []struct {
		Set, MassKg string
		Conflict    bool
		Remains     []record.Check
	}{{"springs", "38", false, []record.Check{base(au).Checks[1]}}, {"tyres", "0", true, nil}} {
		p.Instead = append(p.Instead, m)
	}
	p.Instead[0].Remains[0].Verdict = "over"
	text := Of(r, nil).plan()
	want(t, "do now", text.DoNow, "make the 2 changes below, then weigh again")
	want(t, "verdict", text.Verdict, "20 kg left behind, 74 kg moved, 2 loads touched; proved: no plan leaves less behind, then moves less, then touches fewer loads")
	want(t, "first", text.Actions[0], "move projector (74 kg) from nose locker to over the axles: takes 79 kg off the rear axle and 56 kg off the coupling, and puts 60 kg on the trailer axle group")
	want(t, "second", text.Actions[1], "leave 20 kg of water behind, now in tank: puts 5 kg on the coupling")
	want(t, "not offered", strings.Join(text.NotOffered, "|"), "gas: it has no place, or a place without a position (at)|tools to tray: that place has no position (at)|bed: wheelbase is not given, so what it would change is not known")
	want(t, "instead", text.Instead[0], "springs (38 kg of its own), alone, would leave: the rear axle (coupled), over (1,890 ± 24 kg against 1,950, 60 left)")
	want(t, "instead", text.Instead[1], "tyres: the readings disagree")
	if len(text.Limits) != 1 {
		t.Errorf("limits %q", text.Limits)
	}
	w := Of(r, nil)
	w.Record.Do = []record.Do{do("look_again", record.Args{File: "ratings.csv", AtLine: 3, Name: "gvm_far_above", Number: ptr(1)})}
	want(t, "asked", w.plan().DoNow, "first look again at line 3 of ratings.csv (is it in pounds?); then make the 2 changes below, then weigh again")
}

// TestEveryOutcomeOfAPlan has a first line and a second that says why.
func TestEveryOutcomeOfAPlan(t *testing.T) {
	axle := func(on string, kg float64) record.Blocking {
		return record.Blocking{Rating: "axle", On: on, State: "coupled_slack", ExcessKg: kg}
	}
	alone := record.Blocking{Rating: "axle", On: "rear", State: "vehicle_alone"}
	least := record.Blocking{Rating: "download_min", On: "towbar", ExcessKg: 3}
	pair := []record.Blocking{axle("front", 0), axle("rear", 12.2)}
	moves := []record.Move{moved("a", "b", "", "10", false)}
	// facts are what is known beyond the document.
	type facts struct {
		Why                   string
		Offered               int
		Opposed               bool
		Against               []record.Blocking
		BoundLeft, BoundMoved string
		ToWeigh               []string // ratings
	}
	seen := map[string]bool{}
	for _, c := range []struct {
		name string
		p    facts
		plan record.Plan
		want string // in the verdict
	}{
		{"none needed", facts{}, record.Plan{Found: true, Proved: true}, "none needed"},
		{"conflict", facts{Why: "conflict"}, record.Plan{}, "the readings disagree"},
		{"trip not known", facts{Why: "trip_not_known"}, record.Plan{}, "where a load with least or most rides is not known, so no plan can be checked over the trip"},
		{"nothing decides", facts{Why: "nothing_decides"}, record.Plan{}, "no rating is given that decides"},
		{"not weighed", facts{Why: "not_weighed", ToWeigh: []string{"atm", "download_max"}}, record.Plan{}, "the trailer and the towball download decide and were not weighed, so no plan can be checked against them"},
		{"nothing may move", facts{Why: "cannot_hold"}, record.Plan{Blocking: pair[1:]}, "no load in the form may move or be left behind; even the best plan exceeds, including ± U: the rear axle by 13 kg"},
		{"alone", facts{Why: "cannot_hold", Offered: 1, Against: pair[1:]}, record.Plan{Blocking: pair[1:]}, "nothing you may move or leave behind brings the rear axle within its limit"},
		{"not opposed", facts{Why: "cannot_hold", Offered: 1, Against: pair}, record.Plan{Blocking: pair}, "the front axle and the rear axle conflict: no permitted move lowers both enough"},
		{"opposed", facts{Why: "cannot_hold", Offered: 1, Opposed: true, Against: pair}, record.Plan{Blocking: pair}, "no permitted move satisfies both"},
		{"a least among them", facts{Why: "cannot_hold", Offered: 1, Against: []record.Blocking{pair[1], least}}, record.Plan{Blocking: []record.Blocking{least}}, "the rear axle and the least towball download conflict: no permitted move satisfies both"},
		{"one axle in two states", facts{Why: "cannot_hold", Offered: 1, Against: []record.Blocking{pair[1], alone}}, record.Plan{Blocking: pair}, "the rear axle (coupled) and the rear axle (vehicle alone) conflict"},
		{"three", facts{Why: "cannot_hold", Offered: 1, Against: append(append([]record.Blocking{}, pair...), record.Blocking{Rating: "capacity", On: "tray"})}, record.Plan{Blocking: pair}, "the front axle, the rear axle and the room in tray conflict: no permitted move satisfies all of them"},
		{"guides", facts{Why: "cannot_hold", Offered: 1, Against: []record.Blocking{{Rating: "download_share"}, {Rating: "front_restored"}}}, record.Plan{Blocking: pair}, "the least usual share of the towball download and what the hitch puts back on the front axle conflict"},
		{"node limit", facts{Why: "node_limit"}, record.Plan{Blocking: pair}, "none was found before the search reached its limit, and none is proved impossible"},
		{"plan, less may be left", facts{Why: "node_limit", BoundLeft: "48.9"}, record.Plan{Found: true, Moves: moves, LeftKg: "51", MovedKg: "0"}, "so far proved: none leaves less than 48 kg behind"},
		{"plan, less may be moved", facts{Why: "node_limit", BoundLeft: "0", BoundMoved: "270"}, record.Plan{Found: true, Moves: moves, LeftKg: "0", MovedKg: "280"}, "none that leaves no more moves less than 270 kg"},
		{"plan, fewer may be touched", facts{Why: "node_limit", BoundLeft: "0", BoundMoved: "280"}, record.Plan{Found: true, Moves: moves, LeftKg: "0", MovedKg: "280"}, "one could touch fewer loads"},
		{"plan, narrowed", facts{Why: "tightened_recheck"}, record.Plan{Found: true, Moves: moves, LeftKg: "0", MovedKg: "0"}, "the first one found did not pass when it was recalculated, and a limit was narrowed"},
		{"failed", facts{Why: "failed_recheck"}, record.Plan{Blocking: pair}, "the plan found did not pass when it was recalculated"},
	} {
		r := base(au)
		r.Plan = &c.plan
		f := made(&r.Plan.Facts)
		f.Why, f.Offered, f.Opposed, f.Against, f.BoundLeft, f.BoundMoved = c.p.Why, c.p.Offered, c.p.Opposed, c.p.Against, c.p.BoundLeft, c.p.BoundMoved
		for _, rating := range c.p.ToWeigh {
			add(&f.ToWeigh).Rating = rating
		}
		text := Of(r, nil).plan()
		seen[c.p.Why] = true
		if !strings.Contains(text.Verdict, say(c.want)) {
			t.Errorf("%s: %q (want %q in it)", c.name, text.Verdict, c.want)
		}
		sane(t, c.name, text.DoNow)
		sane(t, c.name, text.Verdict)
		sane(t, c.name, strings.TrimSuffix(text.Table, ":"))
	}
	for _, why := range planReasons {
		if !seen[why] {
			t.Errorf("%s was not tried", why)
		}
	}
}

func TestVisitInWords(t *testing.T) {
	v := read[record.Visit](`{
		"region": "au", "travels": "plain", "trailer_kind": "centre_axle", "rated": true, "deck": "single", "taken": 1, "not_given": [{"rating": "gcm"}],
		"drives": [{"setup": "coupled", "hitch": "slack", "stops": [{"on_deck": ["front"]}, {"on_deck": ["front+rear"]}, {"on_deck": ["front+rear+trailer"]}]},
			{"setup": "vehicle_alone", "stops": [{"on_deck": ["front.left", "front.right"]}]}],
		"checks": [{"rating": "gvm", "state": "coupled_slack", "u_kg": 13.5, "mistake_effect_kg": 70.2}, {"rating": "gvm", "state": "coupled_slack"}, {"rating": "d_value", "u_kn": 0.001}]
	}`)
	w := OfVisit(v, "kg", nil)
	want(t, "title", w.Title, "the weighings that these ratings need, in addition to the 1 reading taken, on a weighbridge with a single deck: 2 drives, 4 stops")
	want(t, "drive", w.Drives[0].Name, "coupled")
	want(t, "alone", w.Drives[1].Name, "vehicle uncoupled")
	for i, text := range []string{"the front axle", "the whole vehicle", "the whole outfit"} {
		want(t, "stop", w.Drives[0].Stops[i].Name, text)
	}
	want(t, "pads", w.Drives[1].Stops[0].Name, "all of it at once, each read separately: front axle, left; front axle, right")
	want(t, "check", w.Known[0], "GVM (coupled): to ± 27 kg; cross-checked, a mistake worth more than 71 kg would show")
	want(t, "open", w.Known[1], "GVM (coupled): none of these readings gives it")
	want(t, "force", w.Known[2], "D-value: to ± 0.01 kN")
	v.Rated, v.Drives, v.Taken = false, nil, 0
	want(t, "none", OfVisit(v, "kg", nil).Title, "no ratings yet: the weighings that the usual ones need: none")
	eachOutfit(t, func(t *testing.T, w *Words) {
		for _, code := range mindCodes {
			text := say(w.mind(v, code))
			sane(t, code, text)
			if code == "lengths" && w.drawbar() == strings.Contains(text, "nose support") {
				t.Errorf("drawbar %v: %q", w.drawbar(), text)
			}
			if w.plain() && strings.Contains(strings.ToLower(text), "tensioned as on the road where") {
				t.Errorf("plain: %q", text)
			}
		}
		for _, deck := range []string{"single", "multi", "pads", "pads_in_turn", "gauge"} {
			sane(t, deck, OnPage("deck_"+deck))
		}
	})
}

// TestSets: which rows that are not kept a set lifts, and which it leaves.
func TestSets(t *testing.T) {
	w := Of(base(au), nil)
	w.Record.Checks[0].Verdict, w.Record.Checks[1].Verdict = "unsettled", "over"
	gvm, axle := w.Record.Checks[0], w.Record.Checks[1]
	gvm.Set, gvm.Decides, gvm.Verdict = "springs", false, "unsettled"
	axle.Set, axle.Decides, axle.Verdict = "springs", false, "within"
	w.Record.Checks = append(w.Record.Checks, gvm, axle)
	sets := w.report().Sets
	if len(sets) != 1 || sets[0].Name != "springs" {
		t.Fatalf("%+v", sets)
	}
	want(t, "set", strings.Join(sets[0].Effects, "|"), "these ratings would bring within the limit: axle rating, rear (coupled)|these ratings would leave: GVM (coupled) (unsettled)|"+
		"a rating is worth no more than those below it: tyres, wheels and springs, then the axle, then the GVM, then the GCM")
}
