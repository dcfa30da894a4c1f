package page

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"time"

	"reconcile/internal/flow"
)

// What to move is worked out behind the answer, only while it is looked at, where
// the answer did not need it already; what is done meanwhile stops it.
func TestPlanFollows(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: jobFiles(t, "planetarium-overloaded")}, {Do: "set-shown", Value: "heavier rear springs"}, {Do: "goto", Value: "answer"}})
	if r := pg.goOn(nil); r.Rest != nil || pg.later.planned {
		t.Error("a plan is made that nobody looks at")
	}
	r := pg.do([]event{{Do: "goto", Value: "whatif"}})
	if r.Rest == nil || !strings.Contains(onPage(pg, "whatif"), `class="coming"`) {
		t.Error("it is not marked as on its way")
	}
	if r := pg.goOn(func() bool { return true }); r.Part != "" || pg.later.planned {
		t.Error("stopped, it changes the page")
	}
	if r := pg.goOn(nil); r.Rest != nil || !strings.Contains(onPage(pg, "whatif"), "Move projector (74 kg)") || !strings.Contains(onPage(pg, "whatif"), "eavier rear springs, planned ratings") {
		t.Errorf("no plan: %v", r.Rest != nil)
	}
}

// The sheet for the weighbridge is worked out once it is opened; what is done
// meanwhile stops it.
func TestSheetFollows(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: jobFiles(t, "before-the-visit")}})
	pg.goOn(nil)
	if r := pg.do([]event{{Do: "open", At: "sheet", Value: "true"}}); r.Rest == nil {
		t.Error("the sheet is not on its way")
	}
	asked := 0
	if r := pg.goOn(func() bool { asked++; return asked == 10 }); r.Part != "" || pg.later.visited || asked != 10 {
		t.Errorf("stopped, it changes the page, or goes on: asked %d times", asked)
	}
	pg.goOn(nil)
	if !strings.Contains(pg.sent["answer"], `data-do="sheet"`) {
		t.Error("no sheet")
	}
}

// lineOf is the record of what was found.
func lineOf(t *testing.T, pg *page, found *flow.Found) []byte {
	t.Helper()
	r, err := found.Result(pg.options())
	if err != nil {
		t.Fatal(err)
	}
	return r.Line
}

// The rest goes on from what the answer found, also where it was stopped before: the
// result is the one of the entire flow, and its plan the one of what to move.
func TestRestGoesOn(t *testing.T) {
	plans, stopped := 0, 0
	for _, job := range []string{"planetarium", "planetarium-conflict", "planetarium-overloaded", "planetarium-no-way", "water-tank", "stated-only"} {
		pg := newPage(time.Now)
		pg.do([]event{{Do: "restore", Files: jobFiles(t, job)}, {Do: "goto", Value: "whatif"}})
		if pg.answer == nil {
			continue // nothing was weighed
		}
		for most := 0; most < 10 && pg.result == nil; most += 3 { // stopped early, and later
			asked := 0
			if r := pg.goOn(func() bool { asked++; return asked > most }); r.Part == "" {
				stopped++
			}
		}
		for pg.goOn(nil).Rest != nil {
		}
		want, err := pg.whole(pg.options())
		if err != nil || !bytes.Equal(pg.result.Line, want.Line) {
			t.Errorf("%s: the record is not that of the entire flow (%v)", job, err)
		}
		if again, err := pg.beyond(nil); err != nil || !bytes.Equal(lineOf(t, pg, again), want.Line) {
			t.Errorf("%s: the rest changes what it goes on from (%v)", job, err)
		}
		if pg.answer.Plan == nil {
			continue
		}
		plans++
		adjusted, err := flow.Adjust(pg.job, pg.options(), nil)
		if err != nil || !reflect.DeepEqual(pg.wordsOf(adjusted).Report().Plan, pg.wordsOf(pg.later.plan).Report().Plan) {
			t.Errorf("%s: what to move is another plan (%v)", job, err)
		}
	}
	if plans < 2 || stopped < 10 {
		t.Errorf("%d plans, %d times stopped", plans, stopped)
	}
}
