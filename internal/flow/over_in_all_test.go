package flow

import (
	"testing"

	"reconcile/internal/limits"
	"reconcile/internal/tickets"
)

// In a conflict a check is over whatever the mistake was where the same line, in
// the same state and as plated, is over under each of them.
func TestOverInAll(t *testing.T) {
	line := func(n int) *tickets.Rating { return &tickets.Rating{Line: n} }
	under := func(c limits.Check) *limits.Findings { return &limits.Findings{Checks: []limits.Check{c}} }
	over := limits.Check{Line: line(2), State: tickets.CoupledSlack, Verdict: limits.Over, Governs: true}
	f := under(over)
	f.Deciding = []*limits.Check{&f.Checks[0]}
	for what, c := range map[string]struct {
		mistakes []*limits.Findings
		want     int
	}{
		"no mistake": {nil, 0}, "one": {[]*limits.Findings{under(over)}, 1}, "two": {[]*limits.Findings{under(over), under(over)}, 1},
		"not there":     {[]*limits.Findings{{}}, 0},
		"another state": {[]*limits.Findings{under(limits.Check{Line: line(2), State: tickets.VehicleAlone, Verdict: limits.Over})}, 0},
		"another line":  {[]*limits.Findings{under(limits.Check{Line: line(3), State: tickets.CoupledSlack, Verdict: limits.Over})}, 0},
		"a planned set": {[]*limits.Findings{under(limits.Check{Line: line(2), State: tickets.CoupledSlack, Set: "x", Verdict: limits.Over})}, 0},
		"within under the first": {[]*limits.Findings{under(limits.Check{Line: line(2), State: tickets.CoupledSlack, Verdict: limits.Within}),
			under(over)}, 0},
	} {
		if got := overInAll(f, c.mistakes); len(got) != c.want {
			t.Errorf("%s: %d over in all (want %d)", what, len(got), c.want)
		}
	}
	if within := under(limits.Check{Line: line(2), Verdict: limits.Within}); len(overInAll(within, []*limits.Findings{f})) != 0 {
		t.Error("what does not decide is over in all")
	}
}
