package limits

import (
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// Of two downloads for every hitch 350 is kept and 200 is not: nothing is owed
// to the tension, whichever way the outfit travels.
func TestNotOnlyTensionedWithoutState(t *testing.T) {
	for _, travels := range waysToTravel {
		job := rated(jobOf(alone(), slack(), tensioned()), rate("download_max", "", 350), rate("download_max", "", 200))
		travel(job, travels)
		f := found(t, job)
		if f.Checks[0].Verdict != Within || f.Checks[1].Verdict != Over || f.Checks[0].OnlyTensioned {
			t.Errorf("%s: %s and %s, only tensioned %v", travels, f.Checks[0].Verdict, f.Checks[1].Verdict, f.Checks[0].OnlyTensioned)
		}
	}
}

// What is over slack and tensioned too is kept by nothing: rear 1,860 and 1,780.
func TestOverIsNotOnlyTensioned(t *testing.T) {
	f := found(t, rated(jobOf(alone(), slack(), tensioned()), rate("axle", "rear", 1700)))
	if c := row(t, f, "axle", "rear", tickets.CoupledTensioned, ""); c.Verdict != Over || c.OnlyTensioned {
		t.Errorf("tensioned: %s, only tensioned %v", c.Verdict, c.OnlyTensioned)
	}
}

// Only the same rating, slack, makes a check one that the tension keeps.
func TestFailsSlack(t *testing.T) {
	c := Check{Rating: "gtm", State: tickets.CoupledTensioned, Verdict: Within}
	for _, o := range []struct {
		other Check
		want  bool
	}{
		{Check{Rating: "gtm", State: tickets.CoupledSlack, Verdict: Over}, true},
		{Check{Rating: "gtm", State: tickets.CoupledSlack, Verdict: Unsettled}, true},
		{Check{Rating: "gtm", State: tickets.CoupledSlack, Verdict: notWeighed}, false},
		{Check{Rating: "gvm", State: tickets.CoupledSlack, Verdict: Over}, false},
		{Check{Rating: "gtm", State: tickets.VehicleAlone, Verdict: Over}, false},
		{Check{Rating: "gtm", State: tickets.CoupledSlack, Verdict: Over, Set: "springs"}, false},
		{Check{Rating: "gtm", State: tickets.CoupledSlack, Verdict: Over, On: "rear"}, false},
	} {
		if got := failsSlack([]Check{c, o.other}, &c); got != o.want {
			t.Errorf("next to %s %s %s %s: %v (want %v)", o.other.Rating, o.other.On, o.other.State, o.other.Verdict, got, o.want)
		}
	}
}

// What a line for a tensioned hitch replaces: the line in force of the same rating,
// on and set, for a slack hitch, that 250 kg with U 20 kg does not keep.
func TestWhatATensionedLineReplaces(t *testing.T) {
	line := with(rate("download_max", "", 300), func(r *tickets.Rating) { r.When = "tensioned" })
	slackLine := func(kg float64, change func(*tickets.Rating)) tickets.Rating {
		return with(rate("download_max", "", kg), change)
	}
	same := func(*tickets.Rating) {}
	for _, c := range []struct {
		name  string
		other tickets.Rating
		want  bool
	}{
		{"200", slackLine(200, same), true},
		{"260, not settled", slackLine(260, same), true},
		{"280, kept", slackLine(280, same), false},
		{"replaced", slackLine(200, func(r *tickets.Rating) { r.Replaced = true }), false},
		{"another rating", rate("towing", "", 200), false},
		{"another on", slackLine(200, func(r *tickets.Rating) { r.On = "ball" }), false},
		{"a set's", planned(slackLine(200, same)), false},
		{"alone", slackLine(200, func(r *tickets.Rating) { r.When = "alone" }), false},
	} {
		h := checkerOf(t, plated(line, c.other))
		check := &Check{Line: &h.job.Ratings[0], Rating: "download_max", Found: &valueFound{Value: 250, U: 10}}
		if got := h.failsReplaced(check); got != c.want {
			t.Errorf("%s: %v (want %v)", c.name, got, c.want)
		}
	}
}

// A check within only because the hitch is tensioned is marked so: rear 1,860
// slack and 1,780 tensioned, compared with 1,830; download 250 under the hitch
// plate's two ratings, 300 tensioned and 200 otherwise.
func TestOnlyTensioned(t *testing.T) {
	job := rated(jobOf(alone(), slack(), tensioned()), rate("axle", "rear", 1820), rate("axle", "front", 1500),
		rate("download_max", "", 200), with(rate("download_max", "", 300), func(r *tickets.Rating) { r.When = "tensioned" }))
	travel(job, "tensioned")
	f := found(t, job)
	c := row(t, f, "axle", "rear", tickets.CoupledTensioned, "")
	if c.Verdict != Within || !c.OnlyTensioned || !c.Decides {
		t.Errorf("rear tensioned: %s, only tensioned %v, decides %v", c.Verdict, c.OnlyTensioned, c.Decides)
	}
	if s := row(t, f, "axle", "rear", tickets.CoupledSlack, ""); s.Verdict == Within || s.Decides || s.OnlyTensioned {
		t.Errorf("rear slack: %s, decides %v, only tensioned %v", s.Verdict, s.Decides, s.OnlyTensioned)
	}
	if c := row(t, f, "axle", "front", tickets.CoupledTensioned, ""); c.OnlyTensioned {
		t.Error("front is marked, though it is kept slack too")
	}
	if c := row(t, f, "download_max", "", noState, ""); c.Verdict != Within || !c.OnlyTensioned || !c.LimitKg.Decimal.Equal(decimal.NewFromInt(300)) {
		t.Errorf("download: %s against %s, only tensioned %v", c.Verdict, c.LimitKg.Decimal, c.OnlyTensioned)
	}
}
