package page

import (
	"strings"
	"testing"
	"time"

	"reconcile/internal/record"
)

// lengthsOpen says whether the lengths are open on the plates.
func lengthsOpen(pg *page) bool {
	return strings.Contains(pg.drawPlates(), `data-open="lengths" open=""`)
}

// The lengths are folded while nothing of them is typed. They open by themselves
// where a length, or their unit, is typed or refused, and stay open under the hand
// of whoever takes the last one out.
func TestLengthsFold(t *testing.T) {
	pg := newPage(time.Now)
	if html := pg.drawPlates(); !strings.Contains(html, `data-open="lengths"`) || lengthsOpen(pg) {
		t.Error("nothing is typed, and the lengths are not folded")
	}
	act(pg, [3]string{"one", "outfit.csv|people", "2"})
	if lengthsOpen(pg) {
		t.Error("something else is typed, and the lengths are open")
	}
	for column, good := range map[string]string{"wheelbase": "3085", "rear_axle_to_coupling": "1245", "coupling_to_trailer_axle": "4600", "nose_support_to_trailer_axle": "4200", "length_unit": "cm"} {
		for _, typed := range []string{good, "x"} {
			opened := newPage(time.Now)
			opened.do([]event{{Do: "restore", Files: []record.File{{Name: "outfit.csv", Bytes: []byte("people," + column + "\n2," + typed + "\n")}}}})
			if !lengthsOpen(opened) || len(opened.faults) == 0 != (typed == good) {
				t.Errorf("%s is %q: open is %v (want true); %v", column, typed, lengthsOpen(opened), opened.faults)
			}
		}
	}
	act(pg, [3]string{"one", "outfit.csv|wheelbase", "3"}, [3]string{"one", "outfit.csv|wheelbase", ""})
	if !lengthsOpen(pg) {
		t.Error("the last length is taken out, and the lengths fold under the hand")
	}
}

// A load that is listed on the slip is folded and read back; it is open while it is
// typed, and where something is to be mended.
func TestLoadsFoldOnTheSlip(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "restore", Files: jobFiles(t, "planetarium-overloaded")}})
	line := func() string { html, _, _ := strings.Cut(pg.loadLine(0, false), "</summary>"); return html }
	if html := line(); strings.Contains(html, ` open=""`) || !strings.HasSuffix(html, "Load 1 projector, 74 kg, nose locker") {
		t.Errorf("a load that was opened: %s", html)
	}
	act(pg, [3]string{"cell", "loads.csv|0|mass", "70"})
	if html := line(); !strings.Contains(html, ` open=""`) {
		t.Errorf("its mass is typed: %s", html)
	}
	pg.view.Open = map[string]bool{}
	pg.forms.set(loadsForm, 0, "mass", "x")
	pg.read()
	if html := line(); !strings.Contains(html, ` open=""`) {
		t.Errorf("its mass is refused: %s", html)
	}
}

// The heading of a rating is the label of its figure: it leads into the field, and
// a screen reader says it there. Where a certificate gives a second figure each has
// a label of its own.
func TestHeadingLabelsItsFigure(t *testing.T) {
	pg := newPage(time.Now)
	gvm := func() string { return pg.drawBox(vehicleBoxes[0]) }
	const heads = `<label for="f-rating-gvm---value-first">gvm: the loaded vehicle</label></legend>`
	if html := gvm(); !strings.Contains(html, heads) || strings.Count(html, `id="f-rating-gvm---value-first"`) != 1 || !strings.Contains(html, `aria-label="Unit"`) {
		t.Errorf("an empty box: %s", html)
	}
	act(pg, [3]string{"rating", "gvm|||value|first", "3200"})
	if html := gvm(); !strings.Contains(html, heads) || strings.Contains(html, "There is none") {
		t.Errorf("a figure: %s", html)
	}
	act(pg, [3]string{"certificate", "gvm|||"})
	if html := gvm(); strings.Contains(html, heads) || !strings.Contains(html, ">Plate, before the change<") || !strings.Contains(html, ">The certificate states<") {
		t.Errorf("two figures: %s", html)
	}
	act(pg, [3]string{"remove", "ratings.csv|1"}, [3]string{"remove", "ratings.csv|0"}, [3]string{"none", "gvm||", "true"})
	if html := gvm(); strings.Contains(html, "<label for") && strings.Contains(html, heads) || !strings.Contains(html, `checked=""`) {
		t.Errorf("there is none: %s", html)
	}
}

// Without a slip there is no answer to see, and the slip's part has no way to it.
func TestNoAnswerWithoutASlip(t *testing.T) {
	pg := newPage(time.Now)
	for _, want := range []bool{false, true} {
		if html := pg.drawSlips(); strings.Contains(html, "See the answer") != want {
			t.Errorf("%d lines: the way to the answer is there: %v (want %v)", pg.forms.rows(ticketsForm), !want, want)
		}
		act(pg, [3]string{"add-slip"})
	}
}
