package pdfout

import (
	"strings"
	"testing"
)

// Page 2 has the worst corner of the trip and its loads; the figures are those
// of the demo job, by hand: 240.3 + (160·2600 + 40·1500)/4600 = 343.8 is
// the download, 1,759 + 1.404·103.5 = 1,904 of the rear axle.
func TestTripOnPage2(t *testing.T) {
	for unit, want := range map[string][]string{
		"kg": {"344 ± 24", "1,904 ± 34", "worst ± U, kg", "310"},
		"lb": {"758 ± 52", "4,198 ± 75", "worst ± U, lb", "683"},
	} {
		r := *allJobs(t)["water-tank"]
		r.Options.Unit, r.Options.Short = unit, true
		file, _ := drawn(t, &r)
		pages := strings.Split(tool(t, "pdftotext", "-layout", file, "-"), "\f")
		if len(pages) != 3 { // two, and what follows the last form feed
			t.Errorf("%s: %d pages (want 2)", unit, len(pages)-1)
		}
		for _, text := range append(want, "Over at some point of the trip", "with the front tank full and the rear tank empty", "6 more ratings are kept") {
			if !strings.Contains(pages[1], text) {
				t.Errorf("%s: page 2 lacks %q:\n%s", unit, text, pages[1])
			}
		}
		r.Options.Short = false
		file, _ = drawn(t, &r)
		if all := tool(t, "pdftotext", "-layout", file, "-"); !strings.Contains(all, "Over the trip: every rating that decides, at its worst") {
			t.Errorf("%s: the evidence lacks the entire table", unit)
		}
	}
}

// While the readings disagree no row of the trip bears a verdict.
func TestTripInConflict(t *testing.T) {
	r := *allJobs(t)["water-tank"]
	r.Verdict, r.Options.Short = "conflict", true
	file, _ := drawn(t, &r)
	page := strings.Split(tool(t, "pdftotext", "-layout", file, "-"), "\f")[1]
	if from := strings.Index(page, "Over the trip"); from < 0 || strings.Contains(page[from:], "within") || !strings.Contains(page[from:], "Not to be relied on") {
		t.Errorf("page 2:\n%s", page)
	}
}

// Nor is any tension of the bars called right.
func TestBarsInConflict(t *testing.T) {
	r := *allJobs(t)["bars-between-limits"]
	r.Options.Short = true
	for verdict, drawnOut := range map[string]bool{"within": true, "conflict": false} {
		r.Verdict = verdict
		file, _ := drawn(t, &r)
		page := strings.Split(tool(t, "pdftotext", "-layout", file, "-"), "\f")[1]
		if strings.Contains(page, "1,263 to 1,305") != drawnOut || strings.Contains(page, "all of the lift put back") != drawnOut {
			t.Errorf("%s:\n%s", verdict, page)
		}
	}
}
