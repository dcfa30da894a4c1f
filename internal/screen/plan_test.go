package screen

import (
	"bytes"
	"strings"
	"testing"

	"reconcile/internal/record"
)

// planned is a record with a plan and what is known beyond it.
func planned() *record.Record {
	r := overRecord()
	r.Job = "spring\x1b[31m tour"
	r.Plan = read[record.Plan](`{
		"found": true, "proved": true, "left_kg": "0", "moved_kg": "74", "touched": 1,
		"moves": [{"load": "projector", "from": "nose locker", "to": "over the axles", "kg": "74"}],
		"before": [
			{"rating": "axle", "on": "rear", "state": "coupled_slack", "limit_kg": "1920", "value_kg": 1979, "u_kg": 15.6, "verdict": "over"},
			{"rating": "d_value", "limit_kn": "16.5", "value_kn": 12.8, "u_kn": 0.05, "verdict": "within"}],
		"after": [
			{"rating": "axle", "on": "rear", "state": "coupled_slack", "limit_kg": "1920", "value_kg": 1876, "u_kg": 15.7, "verdict": "within"},
			{"rating": "d_value", "limit_kn": "16.5", "value_kn": 12.7, "u_kn": 0.05, "verdict": "within"}]
	}`)
	move := &r.Plan.Moves[0]
	move.Whole = true
	rear := add(&move.Relief)
	rear.Rating, rear.On, rear.Kg = "axle", "rear", 79
	coupling := add(&move.Relief)
	coupling.Rating, coupling.Kg = "download_max", 56
	facts := made(&r.Plan.Facts)
	springs, water := add(&facts.Instead), add(&facts.NotOffered)
	springs.Set, springs.MassKg, springs.Remains = "heavier springs", "0", []record.Check{{Rating: "download_max", Verdict: "not_weighed"}}
	water.Load, water.Missing = "water", "place"
	return r
}

func drawn(t *testing.T, r *record.Record) string {
	t.Helper()
	var b bytes.Buffer
	if err := Plan(&b, r); err != nil {
		t.Fatal(err)
	}
	for i, l := range strings.Split(b.String(), "\n") {
		if cells(l) > columns || strings.TrimRight(l, " ") != l || strings.ContainsAny(l, "\x1b\t") {
			t.Errorf("line %d is not plain text of 80 columns: %q", i+1, l)
		}
	}
	return b.String()
}

// Read by eye as an owner would; nothing but this program is its source.
func TestPlanIsDrawn(t *testing.T) {
	r := planned()
	const want = `do now: move projector (74 kg) from nose locker to over the axles, then weigh
        again
plan: 0 kg left behind, 74 kg moved, 1 load touched; proved: no plan leaves less
      behind, then moves less, then touches fewer loads
job: spring [31m tour

what to do, the greatest effect first:
  1. move projector (74 kg) from nose locker to over the axles: takes 79 kg off
     the rear axle and 56 kg off the coupling

deciding loads before and after (recalculated), in kg, ± U:
rating       on    state    limit        before         after  verdict
axle rating  rear  coupled  1,920    1,979 ± 31    1,876 ± 31  over, then within
D-value, kN                  16.5  12.80 ± 0.10  12.70 ± 0.10  within

instead of moving: heavier springs, alone, would leave: the towball download,
                   not weighed

not offered: water: it has no place, or a place without a position (at)

limits of the plan: a plan is computed from masses as stated, places as listed
                    and the law of the lever: weigh again after the change
`
	if got := drawn(t, r); got != want {
		t.Errorf("got\n%s", got)
	}
}

func TestNoPlanIsDrawn(t *testing.T) {
	r := planned()
	f := r.Plan.Facts
	f.Why, f.Offered, f.Set, f.Nearest, f.Instead = "cannot_hold", 1, "heavier springs", r.Plan.Moves, nil
	r.Plan.Found, r.Plan.Moves, r.Plan.After = false, nil, nil
	got := drawn(t, r)
	for _, want := range []string{"the best that can be done, which still exceeds a limit:\n  1. move projector", "value ± U  verdict\n", "for the set: heavier springs, planned ratings; those in force stay what they are\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	for _, no := range []string{"what to do", "limits of", "instead of moving", "after"} {
		if strings.Contains(got, no) {
			t.Errorf("%q is in\n%s", no, got)
		}
	}
	r.Plan.Before = nil
	if strings.Contains(drawn(t, r), "rating ") {
		t.Error("a table without rows is drawn")
	}
}

func TestPlanTellsTheWritersError(t *testing.T) {
	if Plan(broken{}, planned()) == nil {
		t.Error("the error was lost")
	}
}
