package main

import (
	"testing"

	"reconcile/internal/record"
)

// The exit status of each outcome: 0 a plan, or none needed, proved; 1 no
// plan; 2 not proved.
func TestPlanStatus(t *testing.T) {
	short := []record.Blocking{{Rating: "gvm", ExcessKg: 1}}
	for _, c := range []struct {
		name string
		plan record.Plan
		want int
	}{
		{"proved, or none needed", record.Plan{Found: true, Proved: true}, 0},
		{"a plan, not proved", record.Plan{Found: true}, 2},
		{"proved that there is none", record.Plan{Proved: true, Blocking: short}, 1},
		{"none found up to the limit", record.Plan{Blocking: short}, 2},
		{"nothing searched", record.Plan{}, 1},
	} {
		if got := planStatus(&c.plan); got != c.want {
			t.Errorf("%s: %d (want %d)", c.name, got, c.want)
		}
	}
}
