package main

import (
	"os"
	"path/filepath"
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

// TestQuestionOfASet: what is asked of planned ratings alone leaves a plan for the
// ratings in force, or for other planned ones, as it is (contract, section 3,
// questions: one of a set is asked of the set alone).
func TestQuestionOfASet(t *testing.T) {
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "job"), os.DirFS("../../testdata/tickets/planetarium-overloaded")); err != nil {
		t.Fatal(err)
	}
	ratings := filesIn(t, filepath.Join(dir, "job"))["ratings.csv"]
	put(t, filepath.Join(dir, "job", "ratings.csv"), ratings+"gvm,,34000,kg,,tall springs,typed with a digit too many\n")
	runIn(t, dir, "adjust", "job").wants(t, "for the ratings in force", exitWithin, "")
	for set, status := range map[string]int{"heavier rear springs": exitWithin, "tall springs": exitUnsettled} {
		runIn(t, dir, "adjust", "job", "--set", set).wants(t, "for the set "+set, status, "")
	}
}
