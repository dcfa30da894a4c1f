package flow

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"reconcile/internal/tickets"
)

// mistyped is one way in which users type a form wrong, and what comes of it.
type mistyped struct {
	name    string
	job     string // the demo job it is done to
	form    string
	old     string // what stood there; every place is replaced
	new     string
	outcome string // refused: words; footnote: code; caution: code; conflict; unseen: kilograms on the download
}

// The weighings of the demo job with the jockey wheel lifted, and with the
// hitch tensioned at half restoration, are worked out from its levers
// (wheelbase 3,085, overhang 1,245, drawbar 4,600, nose 4,200 mm; download 240):
// nose 263 kg; tension moves 24 kg on to the trailer's axles.
var mistypedForms = []mistyped{
	{"jockey wheel off the deck, typed as all, cross-checked", "planetarium", "tickets.csv", "trailer_alone,all,2480", "trailer_alone,all,2220", "conflict"},
	{"jockey wheel off the deck, typed as all, nothing else shows it", "three-tickets", "tickets.csv", "2,coupled,vehicle,2980,kg\n3,coupled,all,5240,kg", "2,coupled,trailer,2260,kg\n3,trailer_alone,all,2220,kg", "caution: download_not_positive"},
	{"hitch tensioned, left blank, the form says it travels tensioned", "slack-and-tensioned", "tickets.csv", "coupled,tensioned,", "coupled,,", "refused: hitch"},
	{"hitch tensioned, left blank, no travels stated", "three-tickets", "tickets.csv", "2,coupled,vehicle,2980,kg", "2,coupled,vehicle,2960,kg", "unseen: 20"},
	{"a printed total typed as a reading", "planetarium", "tickets.csv", "50112,2026-03-14 09:25,depot,coupled,trailer,2240,kg,2\n", "50112,2026-03-14 09:25,depot,coupled,trailer,2240,kg,2\n50112,2026-03-14 09:25,depot,coupled,all,5240,kg,2\n", "unseen: 0"}, // of two parts only: taken for a whole draft
	{"a net typed as the trailer", "gross-tare-net", "tickets.csv", "trailer_alone,,2.48,t,,calculated,NET", "trailer_alone,all,2.48,t,,yes,NET", "footnote: looks_calculated"},
	{"a line pasted twice", "planetarium", "tickets.csv", "50114,2026-03-14 09:58,depot,trailer_alone,all,2480,kg,\n", "50114,2026-03-14 09:58,depot,trailer_alone,all,2480,kg,\n50114,2026-03-14 09:58,depot,trailer_alone,all,2480,kg,\n", "refused: "},
	{"pads without a class: taken as IIII, the coarser", "wheels-on-pads", "scales.csv", "IIII", "", "unseen: 0"},
	{"the driver got out unsaid, people stated", "planetarium", "tickets.csv", "vehicle,2760,kg,2", "vehicle,2680,kg,1", "refused: people"},
	{"the driver got out unsaid, people blank", "three-tickets", "tickets.csv", "vehicle_alone,vehicle,2760", "vehicle_alone,vehicle,2680", "footnote: people_not_stated"},
	{"interval 20 with readings in t", "gross-tare-net", "scales.csv", "III,20,kg", "III,20,t", "refused: interval"},
	{"interval 0.02 with readings in kg", "planetarium", "scales.csv", "III,20,kg,60000", "III,0.02,kg,60000", "refused: more than 10000 intervals"},
	{"readings in t typed as kg, no interval stated", "three-tickets", "tickets.csv", "2760,kg\n2,coupled,vehicle,2980,kg\n3,coupled,all,5240,kg", "2.76,kg\n2,coupled,vehicle,2.98,kg\n3,coupled,all,5.24,kg", "refused: is less than 5 kg"},
	{"a rating in kg typed as t", "planetarium", "ratings.csv", "rear,1950,kg", "rear,1950,t", "refused: more than any rating"},
	{"a spare wheel counted in fitted", "governs-tyre", "ratings.csv", "95,,,4", "95,,,5", "refused: fitted"},
	{"reading in kg typed as t", "planetarium", "tickets.csv", "all,2480,kg", "all,2480,t", "refused: more than 10000 intervals"},
	{"two digits swapped, cross-checked", "planetarium", "tickets.csv", "all,2480", "all,2840", "conflict"},
	{"two digits swapped, nothing cross-checks", "three-tickets", "tickets.csv", "vehicle,2980", "vehicle,2890", "unseen: 90"},
}

// TestMistypedForms does each to a sound job: refused, noted, or unseen with
// the size of the error. The table is in the contributor's guide.
func TestMistypedForms(t *testing.T) {
	for _, m := range mistypedForms {
		t.Run(m.name, func(t *testing.T) {
			f := openJob(t, m.job)
			changed := false
			for i := range f.Forms {
				if f.Forms[i].Name == m.form {
					b := strings.ReplaceAll(string(f.Forms[i].Bytes), m.old, m.new)
					changed = b != string(f.Forms[i].Bytes)
					f.Forms[i].Bytes = []byte(b)
				}
			}
			if !changed {
				t.Fatalf("%s of %s has no %q", m.form, m.job, m.old)
			}
			got := outcomeOf(t, m, f)
			t.Logf("%-62s %s", m.name, got)
			if kind, words, _ := strings.Cut(m.outcome, ": "); !strings.HasPrefix(got, kind) || !strings.Contains(got, words) {
				t.Errorf("%s (want %s)", got, m.outcome)
			}
		})
	}
}

// outcomeOf says what comes of a changed job.
func outcomeOf(t *testing.T, m mistyped, f Folder) string {
	t.Helper()
	o := Options{Program: testProgram}
	jobs, faults := Read(f, o, true).All()
	if len(faults) > 0 {
		return "refused: " + faultWith(faults, m.outcome)
	}
	r, err := resultOf(jobs[0], f, o)
	if err != nil {
		t.Fatal(err)
	}
	kind, code, _ := strings.Cut(m.outcome, ": ")
	switch {
	case r.Record.Verdict == "conflict":
		return "conflict"
	case kind == "footnote":
		for _, n := range r.Record.Footnotes {
			if n.Code == code {
				return "footnote: " + code
			}
		}
	case kind == "caution":
		for _, c := range r.Record.Cautions {
			if c.Code == code {
				return "caution: " + code
			}
		}
	}
	sound := recordsOf(t, m.job)[0].Record.Quantities.Get("download")
	return fmt.Sprintf("unseen: %.0f", math.Abs(r.Record.Quantities.Get("download").Value-sound.Value))
}

func faultWith(faults []tickets.Fault, outcome string) string {
	_, words, _ := strings.Cut(outcome, ": ")
	for _, f := range faults {
		if strings.Contains(f.What, words) {
			return f.What
		}
	}
	return "for something else"
}
