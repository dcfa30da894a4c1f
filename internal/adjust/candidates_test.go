package adjust

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"reconcile/internal/tickets"
)

// weighedSo is a job of one reading of a vehicle on the scale of each name.
func weighedSo(scales ...tickets.Scale) *tickets.Job {
	job := &tickets.Job{Scales: scales}
	for _, s := range scales {
		job.Readings = append(job.Readings, tickets.Reading{
			State: tickets.VehicleAlone, Terms: terms([]tickets.Group{tickets.Front, tickets.Rear}), Scale: s.Name,
			Kg: decimal.NewFromInt(2760), IntervalKg: decimal.NewFromInt(20), Used: true,
		})
	}
	return job
}

// spellCandidates is what each candidate weighs.
func spellCandidates(all []candidate) (names []string) {
	for _, c := range all {
		names = append(names, string(c.Reading.State)+" "+c.Reading.OnDeck)
	}
	return names
}

func TestCandidates(t *testing.T) {
	want := []string{
		"vehicle_alone front", "vehicle_alone rear", "vehicle_alone front+rear",
		"trailer_alone trailer", "trailer_alone nose", "trailer_alone trailer+nose",
		"coupled_slack front", "coupled_slack rear", "coupled_slack trailer", "coupled_slack front+rear", "coupled_slack rear+trailer", "coupled_slack front+rear+trailer",
		"trailer_alone coupling",
	}
	if names := spellCandidates(candidates(weighedSo(tickets.Scale{Class: "III"}))); !slices.Equal(names, want) {
		t.Errorf("candidates\n%v\nwant\n%v", names, want)
	}
	c := candidates(&tickets.Job{})[0]
	if c.Scale.Name != anyWeighbridge.Name || c.Scale.Multi || c.Scale.Pads || c.Scale.Gauge || !c.Reading.IntervalKg.Equal(anyWeighbridge.IntervalKg.Decimal) {
		t.Errorf("without readings, on %+v", c.Scale)
	}
}

// One deck of each kind that was used, each with an interval; a hitch that is
// tensioned on the road is weighed so too, and slack.
func TestDecksAtHand(t *testing.T) {
	job := weighedSo(tickets.Scale{Name: "first", Class: "III"}, tickets.Scale{Name: "second", Class: "III"},
		tickets.Scale{Name: "pads", Pads: true, Class: "IIII"})
	job.Scales = append(job.Scales, tickets.Scale{Name: "unused", Multi: true})
	job.Outfit.Travels = tickets.CoupledTensioned
	var names []string
	tensioned := 0
	for _, d := range decksAtHand(job) {
		names = append(names, d.Name)
		if !d.IntervalKg.Valid {
			t.Errorf("%q has no interval", d.Name)
		}
	}
	for _, c := range candidates(job) {
		if c.Reading.State == tickets.CoupledTensioned {
			tensioned++
		}
		if !c.Reading.IntervalKg.IsPositive() {
			t.Errorf("%s %s has no interval", c.Reading.State, c.Reading.OnDeck)
		}
	}
	if !slices.Equal(names, []string{"first", "pads"}) || tensioned != 2*6 {
		t.Errorf("decks %q, %d tensioned (want the first single and the pads, 12)", names, tensioned)
	}
}

// Bars that were weighed tensioned are weighed so again, however the outfit travels; a
// scale that only ever was a gauge is no deck.
func TestCandidatesAsWeighed(t *testing.T) {
	job := weighedSo(tickets.Scale{Name: "gauge", Class: "III"})
	r := &job.Readings[0]
	r.State = tickets.CoupledTensioned
	if !slices.ContainsFunc(candidates(job), func(c candidate) bool { return c.Reading.State == tickets.CoupledTensioned }) {
		t.Error("bars weighed tensioned are not weighed so again")
	}
	r.State, r.Terms = tickets.TrailerAlone, terms([]tickets.Group{tickets.Coupling})
	if d := decksAtHand(job); len(d) != 1 || d[0].Name != anyWeighbridge.Name {
		t.Errorf("a gauge is taken for a deck: %v", d)
	}
}

// Axles of a group that has several are candidates of their own.
func TestCandidateAxles(t *testing.T) {
	job := weighedSo(tickets.Scale{Class: "III"})
	job.Outfit.TrailerAxles = 2
	var names []string
	for _, c := range candidates(job) {
		if c.Reading.Terms[0].Axle > 0 {
			names = append(names, string(c.Reading.State)+" "+c.Reading.OnDeck)
		}
	}
	want := []string{"trailer_alone trailer.1", "trailer_alone trailer.2", "coupled_slack trailer.1", "coupled_slack trailer.2"}
	if !slices.Equal(names, want) {
		t.Errorf("%q (want %q)", names, want)
	}
}

// A hinged drawbar has neither nose nor coupling that a scale could be under.
func TestNoCandidateUnderADrawbar(t *testing.T) {
	job := weighedSo(tickets.Scale{Class: "III"})
	job.Outfit.Drawbar = true
	for _, c := range candidates(job) {
		if strings.Contains(c.Reading.OnDeck, "nose") || strings.Contains(c.Reading.OnDeck, "coupling") {
			t.Errorf("advises %s under a drawbar trailer", c.Reading.OnDeck)
		}
	}
}
