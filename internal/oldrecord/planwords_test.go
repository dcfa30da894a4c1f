package record

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/shopspring/decimal"

	"reconcile/internal/adjust"
	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// plannedOf reads a job of testdata, builds its record and plans it.
func plannedOf(t *testing.T, name string, change func(*tickets.Job)) (*Record, *adjust.Plan, PlanText) {
	t.Helper()
	r, job, s, f := toldOf(t, name, change)
	p, err := adjust.Find(job, s, f, adjust.Options{})
	if err != nil {
		t.Fatal(err)
	}
	r.Plan = PlanOf(job.Name, p)
	return r, p, r.PlanText(p, adjust.Modifications(job, s, f))
}

// The words are our own; the figures are those of the lever law (see the tests
// of the plan itself).
func TestPlanOfTheOverloadedInWords(t *testing.T) {
	r, p, text := plannedOf(t, "planetarium-overloaded", nil)
	want := PlanText{
		DoNow:   "make the 2 changes below, then weigh again",
		Verdict: "0 kg left behind, 136 kg moved, 2 loads touched; proved: no plan leaves less behind, then moves less, then touches fewer loads",
		Actions: []string{
			"move projector (74 kg) from nose locker to over the axles: takes 79 kg off the rear axle and 56 kg off the coupling",
			"move generator (62 kg) from tray rear to tray front: takes 24 kg off the rear axle",
		},
		Instead: []string{"heavier rear springs (38 kg of its own), alone, would leave: the towball download, vehicle, over (340 ± 22 kg against 310, 30 too much)"},
		Limits:  []string{weighAgain},
	}
	if text.DoNow != want.DoNow || text.Verdict != want.Verdict {
		t.Errorf("%q, %q", text.DoNow, text.Verdict)
	}
	for _, c := range []struct{ got, want []string }{{text.Actions, want.Actions}, {text.Instead, want.Instead}, {text.Limits, want.Limits}, {text.Nearest, nil}, {text.NotOffered, nil}} {
		if strings.Join(c.got, "\n") != strings.Join(c.want, "\n") {
			t.Errorf("got\n%s\nwant\n%s", strings.Join(c.got, "\n"), strings.Join(c.want, "\n"))
		}
	}
	advice := r.PlanAdvice(p)
	if len(advice) != 3 || advice[0].Kind != "remove" || advice[0].Text != want.Actions[0] || advice[2].Text != weighAgain {
		t.Errorf("advice %v", advice)
	}
}

func TestNoWayInWords(t *testing.T) {
	r, p, text := plannedOf(t, "planetarium-no-way", nil)
	const want = "the front axle and the rear axle pull against each other: nothing you may move lowers both; " +
		"at best there remains beyond the limit, ± U included: the rear axle 45 kg and the front axle 6 kg"
	if text.Verdict != want || len(text.Nearest) != 1 || len(text.Limits) != 0 {
		t.Errorf("%q, nearest %v, limits %v", text.Verdict, text.Nearest, text.Limits)
	}
	if a := r.PlanAdvice(p); len(a) != 1 || a[0].Text != "no plan: "+want {
		t.Errorf("advice %v", a)
	}
}

// Every outcome has a first line that fits and a second that says why.
func TestEveryOutcomeHasWords(t *testing.T) {
	r, _, _, _ := toldOf(t, "planetarium-no-way", nil)
	axle := func(on string, kg float64) adjust.Blocking {
		return adjust.Blocking{Rating: "axle", On: on, State: "coupled_slack", ExcessKg: kg}
	}
	alone := adjust.Blocking{Rating: "axle", On: "rear", State: "vehicle_alone"}
	least := adjust.Blocking{Rating: "download_min", On: "towbar", ExcessKg: 3}
	pair := []adjust.Blocking{axle("front", 0), axle("rear", 12.2)}
	for _, c := range []struct {
		name string
		plan adjust.Plan
		want string // in the verdict
	}{
		{"none needed", adjust.Plan{Found: true, Proved: true}, "none needed"},
		{"conflict", adjust.Plan{Why: adjust.InConflict}, "the readings disagree"},
		{"nothing decides", adjust.Plan{Why: adjust.NothingDecides}, "no rating is given that decides"},
		{"nothing may move", adjust.Plan{Why: adjust.CannotHold, Proved: true, Blocking: pair[1:]}, "no load of the form may move or be left behind; at best there remains beyond the limit, ± U included: the rear axle 13 kg"},
		{"alone", adjust.Plan{Why: adjust.CannotHold, Offered: 1, Against: pair[1:], Blocking: pair[1:]}, "nothing you may move or leave behind brings the rear axle within its limit"},
		{"not opposed", adjust.Plan{Why: adjust.CannotHold, Offered: 1, Against: pair, Blocking: pair}, "nothing you may move lowers both enough"},
		{"opposed", adjust.Plan{Why: adjust.CannotHold, Offered: 1, Opposed: true, Against: pair, Blocking: pair}, "nothing you may move lowers both;"},
		{"a least among them", adjust.Plan{Why: adjust.CannotHold, Offered: 1, Against: []adjust.Blocking{pair[1], least}, Blocking: []adjust.Blocking{least}}, "the rear axle and the least towball download pull against each other: nothing you may move keeps both"},
		{"one axle in two states", adjust.Plan{Why: adjust.CannotHold, Offered: 1, Against: []adjust.Blocking{pair[1], alone}, Blocking: pair[1:]}, "the rear axle (coupled) and the rear axle (vehicle alone) pull"},
		{"three", adjust.Plan{Why: adjust.CannotHold, Offered: 1, Against: append(pair, adjust.Blocking{Rating: "capacity", On: "tray"}), Blocking: pair}, "the front axle, the rear axle and the room in tray pull against each other: nothing you may move keeps all of them"},
		{"guides", adjust.Plan{Why: adjust.CannotHold, Offered: 1, Against: []adjust.Blocking{{Rating: "download_share"}, {Rating: "front_restored"}}, Blocking: pair}, "the least usual share of the towball download and what the hitch puts back on the front axle pull"},
		{"node limit", adjust.Plan{Why: adjust.NodeLimit, Blocking: pair}, "none was found before the search came to its limit, and none is proved impossible"},
		{"plan, node limit", adjust.Plan{Found: true, Why: adjust.NodeLimit, Touched: 1, Moves: []adjust.Move{{Load: "a", From: "b", To: "c", Whole: true}}}, "not proved the best: the search came to its limit first"},
		{"plan, less may be left", adjust.Plan{Found: true, Why: adjust.NodeLimit, Left: decimal.NewFromInt(51), Bound: adjust.Bound{Left: decimal.RequireFromString("48.9")}, Moves: []adjust.Move{{Load: "a", From: "b"}}}, "so far proved: none leaves less than 48 kg behind"},
		{"plan, less may be moved", adjust.Plan{Found: true, Why: adjust.NodeLimit, Moved: decimal.NewFromInt(280), Bound: adjust.Bound{Moved: decimal.NewFromInt(270)}, Moves: []adjust.Move{{Load: "a", From: "b", To: "c"}}}, "none that leaves no more moves less than 270 kg"},
		{"plan, narrowed", adjust.Plan{Found: true, Why: adjust.Tightened, Touched: 1, Moves: []adjust.Move{{Load: strings.Repeat("long ", 20), From: "b"}}}, "did not hold when it was derived anew, and a limit was narrowed"},
		{"failed anew", adjust.Plan{Why: adjust.FailedRecheck, Blocking: pair}, "what the search found did not hold when it was derived anew"},
	} {
		text := r.PlanText(&c.plan, nil)
		if !strings.Contains(text.Verdict, c.want) {
			t.Errorf("%s: %q (want %q in it)", c.name, text.Verdict, c.want)
		}
		if n := utf8.RuneCountInString(text.DoNow); n == 0 || n > doNowWidth {
			t.Errorf("%s: first line of %d characters: %q", c.name, n, text.DoNow)
		}
	}
}

func TestNotWeighedIsNamed(t *testing.T) {
	_, p, text := plannedOf(t, "planetarium-overloaded", func(j *tickets.Job) { j.Readings = j.Readings[:3] }) // coupled alone
	if p.Why != adjust.NotWeighed || text.DoNow != "weigh the trailer and the towball download first, then plan" {
		t.Errorf("%s: %q", p.Why, text.DoNow)
	}
	if want := "the trailer and the towball download decide and were not weighed, so that no plan can be held against them"; text.Verdict != want {
		t.Errorf("%q (want %q)", text.Verdict, want)
	}
}

func TestMovesInWords(t *testing.T) {
	for _, c := range []struct {
		move adjust.Move
		want string
	}{
		{adjust.Move{Load: "water", From: "front tank", Kg: decimal.NewFromInt(47)}, "leave 47 kg of water behind, now in front tank"},
		{adjust.Move{Load: "crate", From: "tray", Whole: true, Kg: decimal.RequireFromString("37.19")}, "leave crate (37 kg) behind, now in tray"},
		{adjust.Move{Load: "sand", From: "tray", To: "rack", Kg: decimal.NewFromInt(1250)}, "move 1,250 kg of sand from tray to rack"},
	} {
		if got := moveText(c.move); got != c.want {
			t.Errorf("%q (want %q)", got, c.want)
		}
	}
}

func TestWhatIsNotOfferedSaysWhy(t *testing.T) {
	for _, c := range []struct {
		n    adjust.NotOffered
		want string
	}{
		{adjust.NotOffered{Load: "a", Missing: "place"}, "a: it has no place, or a place without a position (at)"},
		{adjust.NotOffered{Load: "a", To: "b", Missing: "place"}, "a to b: that place has no position (at)"},
		{adjust.NotOffered{Load: "a", Missing: "wheelbase"}, "a: wheelbase is not given, so that what it would change is not known"},
	} {
		if got := notOfferedText(c.n); got != c.want {
			t.Errorf("%q (want %q)", got, c.want)
		}
	}
}

// The keys are the interface: as promised, in this order, and no others.
func TestPlanAsJSON(t *testing.T) {
	r, _, _ := plannedOf(t, "planetarium-no-way", nil)
	r.Plan.Before, r.Plan.After = r.Plan.Before[:1], nil
	r.Plan.Before[0].ValueKg, r.Plan.Before[0].UKg = 2900.5, 8.25
	r.Plan.After = []PlanLoad{{Rating: "d_value", LimitKN: "12.8", ValueKN: 12.5, UKN: 0.125, Verdict: "within"}}
	r.Plan.Moves = []Move{{Load: "a<b", From: "tray", Kg: "40"}}
	r.Plan.Blocking = []Blocking{{"axle", "rear", "coupled_slack", 4.5}}
	line, err := r.Plan.Line()
	if err != nil {
		t.Fatal(err)
	}
	const want = `{"schema":"reconcile-plan/1","job":"","found":false,"proved":true,"left_kg":"0","moved_kg":"0","touched":0,` +
		`"moves":[{"load":"a<b","from":"tray","to":null,"kg":"40"}],` +
		`"before":[{"rating":"gvm","on":"","state":"vehicle_alone","limit_kg":"3200","value_kg":2900.5,"u_kg":8.25,"verdict":"within"}],` +
		`"after":[{"rating":"d_value","on":"","state":"","limit_kg":null,"value_kg":null,"u_kg":null,"limit_kn":"12.8","value_kn":12.5,"u_kn":0.125,"verdict":"within"}],` +
		`"blocking":[{"rating":"axle","on":"rear","state":"coupled_slack","excess_kg":4.5}]}` + "\n"
	if string(line) != want {
		t.Errorf("got  %swant %s", line, want)
	}
	var back Plan
	if err := json.Unmarshal(line, &back); err != nil {
		t.Fatal(err)
	}
	again, err := back.Line()
	if err != nil || string(again) != want {
		t.Errorf("read back: %s %v", again, err)
	}
	if text := back.After[0].ValueText() + " of " + back.After[0].LimitText(); text != "12.50 ± 0.25 kN of 12.8 kN" {
		t.Error(text)
	}
	for _, bad := range []string{`{"rating":"gvm","more":1}`, `{"rating":"gvm","limit_kg":null}`, `{"limit_kg":"1","value_kg":null,"u_kg":1}`} {
		if err := json.Unmarshal([]byte(bad), new(PlanLoad)); err == nil {
			t.Errorf("%s was read as a load", bad)
		}
	}
}

// A plan with nothing in it has empty lists, never null.
func TestEmptyPlanHasNoNulls(t *testing.T) {
	line, err := PlanOf("x", &adjust.Plan{Why: adjust.NothingDecides}).Line()
	if err != nil || strings.Contains(string(line), "null") {
		t.Errorf("%s %v", line, err)
	}
}

func TestModificationsInWords(t *testing.T) {
	r, _, _, _ := toldOf(t, "planetarium-overloaded", nil)
	for _, c := range []struct {
		m    adjust.Modification
		want string
	}{
		{adjust.Modification{Set: "springs", Verdict: limits.JobWithin}, "springs: nothing need move; each load that is held would keep its limit"},
		{adjust.Modification{Set: "springs", MassKg: decimal.NewFromInt(38), Verdict: limits.JobConflict}, "springs (38 kg of its own): the readings disagree"},
		{adjust.Modification{Set: "springs", Verdict: limits.JobIncomplete, Remains: []*limits.Check{{Rating: "axle", On: "rear", State: "coupled_slack", Verdict: limits.NotWeighed}}},
			"springs, alone, would leave: the rear axle (coupled), not weighed"},
	} {
		if got := r.modification(c.m); got != c.want {
			t.Errorf("%q (want %q)", got, c.want)
		}
	}
}
