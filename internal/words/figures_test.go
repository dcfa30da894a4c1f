package words

import (
	"strings"
	"testing"

	"reconcile/internal/record"
)

// TestForces: a D-value is printed in kilonewtons with the unit, in pounds too.
func TestForces(t *testing.T) {
	c := record.Check{Rating: "d_value", On: "coupling", LimitKN: ptr("13.5"), ValueKN: ptr(12.004), UKN: ptr(0.03), MarginKN: ptr(1.496), Verdict: "within"}
	for _, unit := range []string{"kg", "lb"} {
		w := in(unit)
		if v, l, m := w.valueText(c), w.limitText(c), w.marginText(c); v != "12.00 ± 0.06 kN" || l != say("13.5 kN") || m != "1.50 kN" {
			t.Errorf("%s: %q, %q, %q", unit, v, l, m)
		}
		want(t, unit, say(w.figures(c)), "12.00 ± 0.06 kN against 13.5 kN, 1.50 kN left")
	}
	c.Verdict = "not_weighed"
	want(t, "not weighed", in("kg").valueText(c), "not weighed")
	if in("kg").marginText(c) != "" || in("kg").hiddenFigure(c) != "" || in("kg").hiddenMistake(c) != "" {
		t.Error("what was not weighed has a figure")
	}
}

// TestThePlatedForce: a D-value row says the force of the plated masses too,
// and where that is more than the rating. 9.81 · 3.2 · 2.55 / 5.75 = 13.92 kN
// (vehicle-rules.md 4.3, by hand).
func TestThePlatedForce(t *testing.T) {
	w := in("kg")
	c := record.Check{Rating: "d_value", LimitKN: ptr("14"), ValueKN: ptr(12.58), UKN: ptr(0.03), MarginKN: ptr(1.42), Verdict: "within", PlatedKN: ptr(13.921669565)}
	for _, v := range []struct{ limit, want string }{
		{"14", "computed from the masses as weighed; with the plated masses, which UN R55 means, it is 13.92 kN"},
		{"12", "computed from the masses as weighed; with the plated masses, which UN R55 means, it is 13.92 kN, more than the rating"},
	} {
		c.LimitKN = &v.limit
		want(t, "plated", w.check(&c).Plated, v.want)
		if !strings.Contains(strings.Join(w.check(&c).Notes, "\n"), v.want) {
			t.Errorf("notes %q lack %q", w.check(&c).Notes, v.want)
		}
	}
	c.PlatedKN = nil
	want(t, "not given", w.check(&c).Plated, "computed from the masses as weighed; UN R55 means the plated masses, which are not all given")
	if got := w.check(&w.Record.Checks[0]).Plated; got != "" {
		t.Errorf("a row that is no D-value says %q", got)
	}
}

func TestHiddenMistakes(t *testing.T) {
	w := in("kg")
	c := w.Record.Checks[0]
	want(t, "figure", w.hiddenFigure(c), "42")
	c.Checked = false
	want(t, "figure", w.hiddenFigure(c), "any")
	want(t, "sentence", w.hiddenMistake(c), "a mistake of any size in a reading it rests on would not show")
	c.Checked, c.MistakeEffectKg = true, nil
	if w.hiddenFigure(c) != "" || w.hiddenMistake(c) != "" {
		t.Error("no reading affects it: nothing to say")
	}
}

// TestOdds: p as people say it; the nearest of the steps (by hand).
func TestOdds(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want string
	}{
		{0.004, "less than 1 chance in 100 that it is over"}, {0.025, "about 1 chance in 40 that it is over"}, {0.05, "about 1 chance in 20 that it is over"}, {0.31, "about 3 chances in 10 that it is over"},
		{0.08, "about 1 chance in 10 that it is over"}, {0.92, "about 9 chances in 10 that it is over"}, {0.95, "about 19 chances in 20 that it is over"}, {0.98, "about 39 chances in 40 that it is over"}, {0.999, "more than 99 chances in 100 that it is over"},
	} {
		want(t, "odds", say(oddsText(record.Check{POver: &c.p})), c.want)
	}
	want(t, "least", say(oddsText(record.Check{Rating: "download_min", POver: ptr(0.31)})), "about 3 chances in 10 that it is too little")
	if oddsText(record.Check{}) != "" {
		t.Error("odds of nothing")
	}
	for p, text := range map[float64]string{0.0001: "< 0.001", 0.44: "0.440", 0.9999: "> 0.999"} {
		if got := probability(&p); got != text {
			t.Errorf("%v: %q", p, got)
		}
	}
	if probability(nil) != "–" {
		t.Error("no p")
	}
}

func TestAgreement(t *testing.T) {
	for _, c := range []struct {
		agreement string
		ties      bool
		dof       int
		p         float64
		want      string
	}{
		{"agree", false, 1, 0.5, "the readings agree"},
		{"untested", false, 0, 0, "the readings are untested: nothing cross-checks them, so a mistake in one would not show"},
		{"conflict", false, 1, 0.0001, "the readings contradict each other; no set of loads fits them all"},
		{"conflict", true, 0, 0, "the readings and the lengths disagree: nothing else cross-checks the readings"},
		{"conflict", true, 1, 0.04, "the readings contradict each other; no set of loads fits them all"},
		{"strained", true, 1, 0.05, "the readings agree; the lengths, or the level of the outfit, do not fit them; the uncertainty of every check is multiplied by 0.8"},
	} {
		w := in("kg")
		w.Record.Agreement, w.Record.Fit.WithoutTies.DOF, w.Record.Fit.WithoutTies.PValue = c.agreement, c.dof, &c.p
		if c.dof == 0 {
			w.Record.Fit.WithoutTies.PValue = nil
		}
		if c.ties {
			add(&w.Record.Ties).Name = "vehicle"
		}
		want(t, c.agreement, w.report().Agreement, c.want)
	}
	w := in("kg")
	w.Record.Cautions = []record.Note{{Code: "zero_unseen"}}
	want(t, "zero", w.report().Agreement, "the readings agree; a zero of the scale that did not return would not show")
	want(t, "fit", say(w.fitTexts()), "All equations: χ² 1.93 with 3 degrees of freedom, p 0.587. Without the moment ties: χ² 0.40 with 1 degree of freedom, p 0.530. 12 observations in all.")
	w.Record.Fit.DOF, w.Record.Fit.PValue = 0, nil
	if got := say(w.fitTexts()); !strings.HasPrefix(got, say("All equations: no redundancy, so nothing is tested.")) {
		t.Errorf("%q", got)
	}
}

func TestPlaces(t *testing.T) {
	w := in("kg")
	for column, text := range map[string]string{"tie.vehicle": "the lengths (vehicle)", "load.projector": "the stated mass of projector", "share.projector": "where projector rides", "scale.north": "the scale north", "scale.": "the scale", "other": "other"} {
		want(t, column, say(w.placeWord(record.Place{Column: column})), text)
	}
	want(t, "reading", say(w.placeWord(record.Place{Line: 7})), "ticket 3, rear (line 7)")
	want(t, "no such reading", say(w.placeWord(record.Place{Line: 99})), "line 99")
	want(t, "set", say(w.doubtfulText([]record.Place{{Line: 7}, {Line: 8}}, true)), "ticket 3, rear (line 7) or ticket 3, trailer (line 8) (the readings cannot tell which)")
	want(t, "compare", say(w.advice(&record.Advice{Kind: "compare", Among: []record.Place{{Line: 7}}}, false)), "compare each of these with the ticket: ticket 3, rear (line 7)")
}

func TestLeversAndHeadroom(t *testing.T) {
	for _, c := range []struct {
		kg   *float64
		want string
	}{{nil, "–"}, {ptr(11.24), "+11.2"}, {ptr(-3.36), "-3.4"}, {ptr(0.01), "0.0"}} {
		if got := leverFigure(c.kg); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	w := in("lb")
	want(t, "head", w.report().Levers.Head, "what 10 lb at a place adds, coupled")
	lever := add(&w.Record.Levers)
	lever.Place, lever.On = "at_axle", "trailer"
	room := add(&w.Record.Headroom)
	room.Place, room.Kg, room.Rating = "at_axle", 61.9, "atm"
	want(t, "room", w.report().Headroom[0].Text, "over the trailer's axle: 136 lb more, then the trailer (ATM) is at its limit") // 61.9/0.45359237 = 136.5
	room.Kg = 0
	want(t, "no room", w.report().Headroom[0].Text, "over the trailer's axle: no room left, because of the trailer (ATM)")
	room.Place, room.Kg, room.Rating, room.On = "rear bay", 90, "capacity", "rear bay" // 90/0.45359237 = 198.4
	want(t, "capacity", w.report().Headroom[0].Text, "rear bay: 198 lb more, then it is full")
	want(t, "at_coupling", placeName("at_coupling", "trailer"), "over the coupling")
	for restored, text := range map[float64]string{0: "slack", 0.25: "25 % put back", 1: "all of the lift put back"} {
		want(t, "restored", say(restoredText(restored)), text)
	}
}

// TestPlacesNamedAsStandardOnes: a place of the form is called what was typed, also
// where a standard place has that name in the record or in words (contract, section 4:
// levers and headroom list the form's places, then the standard ones).
func TestPlacesNamedAsStandardOnes(t *testing.T) {
	w := Of(base(au), nil)
	for _, p := range [][2]string{{"at_nose", "trailer"}, {"Over the rear axle", "vehicle"}, {"at_front_axle", "vehicle"},
		{"at_front_axle", "vehicle"}, {"at_rear_axle", "vehicle"}, {"at_coupling", "vehicle"}, {"at_coupling", "trailer"}, {"at_nose", "trailer"}, {"at_axle", "trailer"}} {
		l := add(&w.Record.Levers)
		l.Place, l.On, l.TrailerKg = p[0], p[1], ptr(float64(len(w.Record.Levers)))
		if p[0] == "at_front_axle" && len(w.Record.Levers) == 3 {
			continue // a place that has no row of its own
		}
		h := add(&w.Record.Headroom)
		h.Place, h.Kg, h.Rating = p[0], 5, "gvm"
	}
	var places, rooms []string
	for _, row := range w.report().Levers.Rows {
		places = append(places, row[0])
	}
	for _, h := range w.report().Headroom {
		rooms = append(rooms, h.Cells[0])
	}
	standard := "over the front axle, over the rear axle, the vehicle's coupling, over the coupling, the nose, over the axle"
	want(t, "levers", strings.Join(places, ", "), "at_nose, Over the rear axle (in places.csv), at_front_axle, "+standard)
	want(t, "room", strings.Join(rooms, ", "), "at_nose, Over the rear axle (in places.csv), "+standard)
	if i := w.lever("trailer", "at_nose"); i != 7 {
		t.Errorf("the lever of the nose is that of row %d (want 8, the standard place's)", i+1)
	}
	w.places = func(string, int) (string, int) { return "", 0 }
	want(t, "on the page", w.report().Headroom[1].Text, "Over the rear axle (your place): 5 kg more, then the vehicle (GVM) is at its limit")
}

// TestWhoseWordTheTimeIs: a summary says whose word the time of signing is
// wherever it is signed, or may be (contract, section 6).
func TestWhoseWordTheTimeIs(t *testing.T) {
	w := Of(base(au), nil)
	const word = "the time of signing is the signer's word"
	if all := w.evidence().Standing; w.headline().Signed != "" || !strings.Contains(all[len(all)-1], "If somebody signs this file, "+word) {
		t.Errorf("unsigned: %q", all)
	}
	w.Record.Options.SignedBy = &record.Signer{Name: "Dome", Fingerprint: "AB"}
	if signed := w.headline().Signed; !strings.Contains(signed, word) || strings.Contains(strings.Join(w.evidence().Standing, " "), word) {
		t.Errorf("signed %q", signed)
	}
}

func TestStandingSentences(t *testing.T) {
	w := in("kg")
	want(t, "caution", w.evidence().Standing[1], "Do not drive an outfit that exceeds a rating. Have modifications made by licensed people.")
	for _, s := range append(w.evidence().Standing, w.report().Standing...) {
		sane(t, "standing", s)
	}
	for n, text := range map[int]string{0: "", 1: "1 further row, not weighed and not decisive, is omitted", 3: "3 further rows, not weighed and not decisive, are omitted"} {
		want(t, "omitted", w.Head("omitted", n), text)
	}
	for code, text := range map[string]string{"conflict": "the readings disagree", "unconfirmed": "look again", "over": "over", "refused": "refused"} {
		want(t, code, w.Head(code), text)
	}
	for code, text := range map[string]string{"moment": "from the lengths", "difference": "by difference", "weighed": "weighed"} {
		want(t, code, say(basisWord(code)), text)
	}
	want(t, "on", OnWord("rear.1.left"), "rear axle 1, left")
	w.Record.Footnotes = []record.Note{{Code: "equal_share", Line: 7}, {Code: "no_time", Line: 7}, {Code: "no_time", Line: 8}}
	want(t, "footnotes of a line of tickets.csv", w.evidence().Readings[1].Footnotes, "footnote 2")
}
