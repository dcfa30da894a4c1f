package page

import (
	"strings"
	"testing"
	"time"
)

// What to move is worked out behind the answer, only while it is looked at; what
// is done meanwhile stops it.
func TestPlanFollows(t *testing.T) {
	pg := New(time.Now)
	pg.Do([]Event{{Do: "restore", Files: jobFiles(t, "planetarium-overloaded")}, {Do: "goto", Value: "answer"}})
	if r := pg.goOn(nil); r.Rest != nil || pg.later.planned {
		t.Error("a plan is made that nobody looks at")
	}
	r := pg.Do([]Event{{Do: "goto", Value: "whatif"}})
	if r.Rest == nil || !strings.Contains(onPage(pg, "whatif"), `class="coming"`) {
		t.Error("it is not marked as on its way")
	}
	if r := pg.goOn(func() bool { return true }); r.Part != "" || pg.later.planned {
		t.Error("stopped, it changes the page")
	}
	if r := pg.goOn(nil); r.Rest != nil || !strings.Contains(onPage(pg, "whatif"), "Move projector") {
		t.Errorf("no plan: %v", r.Rest != nil)
	}
}

// The sheet for the weighbridge is worked out once it is opened; what is done
// meanwhile stops it.
func TestSheetFollows(t *testing.T) {
	pg := New(time.Now)
	pg.Do([]Event{{Do: "restore", Files: jobFiles(t, "before-the-visit")}})
	pg.goOn(nil)
	if r := pg.Do([]Event{{Do: "open", At: "sheet", Value: "true"}}); r.Rest == nil {
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
