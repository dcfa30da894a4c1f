package page

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"reconcile/internal/flow"
	"reconcile/internal/record"
)

// summaryOf makes the summary of a demo job by the page.
func summaryOf(t *testing.T, job string) []byte {
	t.Helper()
	names, err := filepath.Glob("../../testdata/tickets/" + job + "/*.csv")
	if err != nil || len(names) == 0 {
		t.Fatalf("no forms of %s", job)
	}
	var files []record.File
	for _, name := range names {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, record.File{Name: filepath.Base(name), Bytes: b})
	}
	pg := newPage(time.Now)
	pg.do([]event{{Do: "files", Files: files}})
	r := pg.do([]event{{Do: "pdf"}})
	if r.Download == nil {
		t.Fatalf("no summary of %s: %s", job, pg.notice)
	}
	return r.Download.Bytes
}

// Of a summary that was changed the page repeats nothing: "you may drive it"
// must not be read off a forged one.
func TestForgedSummaryIsNotRepeated(t *testing.T) {
	sound := summaryOf(t, "planetarium")
	forged := bytes.Clone(sound)
	forged[bytes.Index(forged, []byte("stream"))+40] ^= 1
	pg := newPage(time.Now)
	pg.do([]event{{Do: "look", Files: []record.File{{Name: "a.pdf", Bytes: sound}}}})
	const drive, proves = "You may drive it", "It proves"
	if html := pg.drawLook(); !strings.Contains(html, drive) || !strings.Contains(html, proves) {
		t.Errorf("a sound summary is not repeated: %s", html)
	}
	for _, files := range [][]record.File{{{Name: "b.pdf", Bytes: forged}}, {{Name: "b.pdf", Bytes: forged}, {Name: "b.pdf", Bytes: forged}}} {
		pg.do([]event{{Do: "look", Files: files}})
		html := pg.drawLook()
		if pg.looked[0].found.Outcome != "not_sound" || pg.looked[0].found.Record == nil {
			t.Fatalf("the forged summary is %s", pg.looked[0].found.Outcome)
		}
		for _, text := range []string{drive, proves, "<table"} {
			if strings.Contains(html, text) {
				t.Errorf("%d forged: it says %q", len(files), text)
			}
		}
	}
}

// What may be repeated is what is sound.
func TestOutcomesThatMayBeRepeated(t *testing.T) {
	r := &record.Record{}
	for _, c := range []struct {
		found flow.Verification
		want  bool
	}{
		{flow.Verification{Read: true, Sound: true, Usable: true, Record: r}, true},
		{flow.Verification{Read: true, Sound: true, Record: r}, true}, // another version drew the pages
		{flow.Verification{Read: true, Sound: true}, false},
		{flow.Verification{Read: true, Record: r}, false},
		{flow.Verification{Record: r}, false},
		{*flow.Verify(nil, nil), false},
	} {
		if l := (looked{found: &c.found}); l.believed() != c.want {
			t.Errorf("%+v: %v (want %v)", c.found, l.believed(), c.want)
		}
	}
}

// More than two summaries are refused, none of them left out.
func TestAtMostTwoSummaries(t *testing.T) {
	pg := newPage(time.Now)
	pg.do([]event{{Do: "look", Files: []record.File{{Name: "a", Bytes: nil}, {Name: "b", Bytes: nil}, {Name: "c", Bytes: nil}}}})
	if html := pg.drawLook(); len(pg.looked) > 0 || !pg.refused || !strings.Contains(html, "3 files") {
		t.Errorf("%d looked at; %s", len(pg.looked), html)
	}
}

// With plates only the way goes on to what they come to, not to a slip.
func TestAfterThePlates(t *testing.T) {
	for have, next := range map[string]string{"plates": "whatif", "slip": "slip"} {
		pg := newPage(time.Now)
		act(pg, [3]string{"start", have, "plates"})
		if html := pg.afterPlates(); !strings.Contains(html, `value="`+next+`"`) {
			t.Errorf("%s: %s (want on to %s)", have, html, next)
		}
	}
}

// What is wrong with a rating that there is none of is shown in its box, though
// the form has no column for it yet.
func TestFaultOfNoneIsInItsBox(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"none", "gcm||", "true"})
	if len(pg.faults) == 0 {
		t.Fatal("none without a source is not refused")
	}
	if html := pg.drawBox(box{word: "gcm"}); !strings.Contains(html, "data-fault") {
		t.Errorf("%v is not shown in the box: %s", pg.faults, html)
	}
	if html := pg.otherFaults(ratingsForm); html != "" {
		t.Errorf("shown below all boxes: %s", html)
	}
}

// A line that repeats another says so itself; a number that is missing is asked
// for once, at the head of the slip.
func TestFaultOfALaterLineIsAtIt(t *testing.T) {
	for number, want := range map[string]int{"12": 1, "": 0} {
		pg := newPage(time.Now)
		act(pg, [3]string{"add-slip"}, [3]string{"slip", "0|ticket", number}, [3]string{"setup", "tickets.csv|0|setup", "coupled"}, [3]string{"deck", "tickets.csv|0|front"}, [3]string{"cell", "tickets.csv|0|reading", "1340"},
			[3]string{"add-line", "0"}, [3]string{"deck", "tickets.csv|1|front"}, [3]string{"cell", "tickets.csv|1|reading", "1360"})
		if len(pg.faults) == 0 {
			t.Fatal("nothing is refused")
		}
		html := pg.drawLineOf(1, 1, 0)
		if got := strings.Count(html, "data-fault"); got != want {
			t.Errorf("number %q: %d faults at line 2 (want %d): %s", number, got, want, html)
		}
		pg.drawSlipHead(0, pg.slips()[0])
		if html := pg.otherFaults(ticketsForm); html != "" {
			t.Errorf("number %q: below all slips: %s", number, html)
		}
	}
}

// What the core says of lines of forms is said of slips and plates: the slip
// begins at line 2 of its form.
func TestFormLinesAsOnThePage(t *testing.T) {
	pg := newPage(time.Now)
	act(pg, [3]string{"rating", "gtm|||value|first", "6000"},
		[3]string{"add-slip"}, [3]string{"slip", "0|ticket", "line 2"}, [3]string{"setup", "tickets.csv|0|setup", "coupled"}, [3]string{"deck", "tickets.csv|0|front"}, [3]string{"cell", "tickets.csv|0|reading", "1340"},
		[3]string{"add-line", "0"}, [3]string{"deck", "tickets.csv|1|front"}, [3]string{"cell", "tickets.csv|1|reading", "1360"})
	if len(pg.faults) != 1 {
		t.Fatalf("faults: %v", pg.faults)
	}
	if got := pg.faultText(&pg.faults[0]); !strings.HasPrefix(got, `number "line 2", hitched together`) || !strings.Contains(got, "repeats slip 1, line 1 (") {
		t.Errorf("the fault says %q", got)
	}
	for _, c := range []struct {
		form string
		line int
		want string
	}{{ratingsForm, 2, pg.words().RatingLabel("gtm", "") + " on the plates"}, {outfitForm, 2, "the plates"}, {ratingsForm, 0, "the plates"}, {ratingsForm, 9, ""}} {
		if got, _ := pg.places(c.form, c.line); got != c.want {
			t.Errorf("line %d of %s is %q (want %q)", c.line, c.form, got, c.want)
		}
	}
}

// The drawing of the answer has the vehicle's and the trailer's own loads too:
// a vehicle over its rating has not green wheels alone.
func TestDrawingHasEveryLoad(t *testing.T) {
	pg := newPage(time.Now)
	summary := summaryOf(t, "planetarium-overloaded")
	pg.do([]event{{Do: "files", Files: []record.File{{Name: "a.pdf", Bytes: summary}}}})
	html := pg.drawAnswer()
	for _, key := range []string{"front", "rear", "trailer", "coupling", "vehicle", "whole"} {
		if !strings.Contains(html, `id="`+fieldID("load", key)+`"`) {
			t.Errorf("the drawing has no %s", key)
		}
	}
}
