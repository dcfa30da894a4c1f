package record

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"reconcile/internal/adjust"
	"reconcile/internal/tickets"
)

// visitOf plans the visit of the planetarium with nothing weighed yet.
func visitOf(t *testing.T, change func(*tickets.Job)) *Visit {
	t.Helper()
	_, job, _, _ := toldOf(t, "planetarium", nil)
	unweighed := *job
	unweighed.Readings, unweighed.Scales = nil, slices.Clone(job.Scales)
	if change != nil {
		change(&unweighed)
	}
	p, err := adjust.Visit(&unweighed)
	if err != nil {
		t.Fatal(err)
	}
	return VisitOf(&unweighed, p)
}

// The words of a plan are ours; the stops are those that adjust's tests expect.
func TestVisitInWords(t *testing.T) {
	v := visitOf(t, nil)
	if v.Title != "the weighings that these ratings need, on a weighbridge with a single deck: 2 drives, 4 stops" {
		t.Errorf("title %q", v.Title)
	}
	var got []string
	for _, d := range v.Drives {
		got = append(got, d.Text)
		for _, s := range d.Stops {
			got = append(got, "- "+s.Text+" "+strings.Join(s.OnDeck, ","))
		}
	}
	want := []string{
		"coupled", "- the front axle front", "- the whole vehicle front+rear", "- the whole outfit front+rear+trailer",
		"vehicle uncoupled", "- the whole vehicle front+rear",
	}
	if !slices.Equal(got, want) {
		t.Errorf("drives %q\nwant   %q", got, want)
	}
	if c := v.Checks[0]; !strings.HasPrefix(c.Text, "GVM (coupled): to ± 27 kg; cross-checked, a mistake worth more than ") || c.UKg == nil || *c.UKg < 13 || *c.UKg > 14 {
		t.Errorf("%+v", c)
	}
}

func TestVisitOnPadsInWords(t *testing.T) {
	v := visitOf(t, func(j *tickets.Job) {
		j.Scales = []tickets.Scale{{Name: "pads", Class: tickets.ClassIIII, Deck: tickets.DeckPads}}
		j.Outfit.Travels = tickets.TravelsTensioned
		j.Ratings = append(slices.Clone(j.Ratings[:2]), j.Ratings[3:]...)
	})
	if v.Deck != "pads" || v.Drives[0].Text != "coupled, hitch tensioned" ||
		!strings.HasPrefix(v.Drives[0].Stops[0].Text, "all of it at once, each read on its own: front axle, left; front axle, right; ") {
		t.Errorf("%s %+v", v.Deck, v.Drives[0])
	}
	texts := ""
	for _, m := range v.Mind {
		texts += m.Code + ": " + m.Text + "\n"
	}
	for _, want := range []string{"fuel", "people aboard", "jockey wheel", "brakes off", "hitch bars: tensioned as on the road", "slack", "ask the operator to write on the ticket", "pad or on a dummy"} {
		if !strings.Contains(texts, want) {
			t.Errorf("nothing on %q in what to mind:\n%s", want, texts)
		}
	}
}

// Without ratings nothing is shown of the limits that the plan assumes.
func TestVisitWithoutRatings(t *testing.T) {
	v := visitOf(t, func(j *tickets.Job) { j.Ratings = nil })
	if len(v.Checks) != 0 || !strings.HasPrefix(v.Title, "no ratings yet: ") || len(v.NotGiven) == 0 || v.Mind[0].Code != "ratings" {
		t.Errorf("%s, %d checks, %v", v.Title, len(v.Checks), v.Mind[0])
	}
}

func TestVisitLine(t *testing.T) {
	line, err := visitOf(t, nil).Line()
	if err != nil {
		t.Fatal(err)
	}
	var back map[string]any
	if err := json.Unmarshal(line, &back); err != nil || back["schema"] != "reconcile-visit/1" || line[len(line)-1] != '\n' || strings.Count(string(line), "\n") != 1 {
		t.Errorf("%v: %s", err, line)
	}
	if strings.Contains(string(line), "null,\"stops\"") || strings.Contains(string(line), `"drives":null`) || strings.Contains(string(line), "\x01") || strings.Contains(string(line), `\u0001`) {
		t.Errorf("null list or a name of ours in %s", line)
	}
}
