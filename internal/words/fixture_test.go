package words

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"reconcile/internal/record"
)

func ptr[T any](v T) *T { return &v }

// outfit is one variant of words: where, what, and in which unit.
type outfit struct{ region, kind, travels, unit string }

// outfits are all regions, trailer kinds, ways to travel and units; a semi or
// drawbar trailer has no load-distribution hitch.
func outfits() []outfit {
	var all []outfit
	for _, region := range []string{"", "au", "nz", "uk", "eu", "us"} {
		for _, kind := range []string{"centre_axle", "drawbar", "semi"} {
			for _, travels := range []string{"plain", "slack", "tensioned"} {
				if kind != "centre_axle" && travels == "tensioned" {
					continue
				}
				for _, unit := range []string{"kg", "lb"} {
					all = append(all, outfit{region, kind, travels, unit})
				}
			}
		}
	}
	return all
}

// base is a record of a weighing that is within: made up, only its words count.
func base(o outfit) *record.Record {
	r := &record.Record{
		Verdict: "within", Agreement: "agree",
		Outfit: record.Outfit{Travels: o.travels, TravelsStated: true, TrailerKind: o.kind, RearAxles: ptr(1), TrailerAxles: ptr(2)},
		Readings: []record.Reading{
			{Line: 2, Ticket: "1", Setup: "vehicle_alone", OnDeck: "front+rear", Use: "yes", Reading: "3240", ReadingKg: "3240", Unit: "kg", Scale: "north", IntervalKg: "20", WeighedAt: "2026-03-14 09:20", With: []string{"projector"}},
			{Line: 7, Ticket: "3", Setup: "coupled", Hitch: "slack", OnDeck: "rear", Use: "yes", Reading: "4220", ReadingKg: "4220", Unit: "kg", Scale: "north", IntervalKg: "20", WeighedAt: "2026-03-14 10:05"},
			{Line: 8, Ticket: "3", Setup: "coupled", Hitch: "slack", OnDeck: "trailer", Use: "yes", Reading: "2260", ReadingKg: "2260", Unit: "kg", Scale: "north", IntervalKg: "20", WeighedAt: "2026-03-14 10:05"},
		},
		Checks: []record.Check{
			{Rating: "gvm", State: "coupled_slack", Line: ptr(2), LimitKg: ptr("3500"), ValueKg: ptr(3090.0), UKg: ptr(12.0), MarginKg: ptr(410.0), POver: ptr(0.0), Verdict: "within", Decides: true, Checked: true, MistakeEffectKg: ptr(42.0), HeldOn: []string{"vehicle"}},
			{Rating: "axle", On: "rear", State: "coupled_slack", Line: ptr(3), LimitKg: ptr("1950"), ValueKg: ptr(1890.0), UKg: ptr(12.0), MarginKg: ptr(60.0), POver: ptr(0.0), Verdict: "within", Decides: true, Checked: true, MistakeEffectKg: ptr(31.0), HeldOn: []string{"rear"}},
		},
		Do: []record.Do{{Code: "drive", Args: &record.Args{Number: ptr(2)}}},
	}
	r.Options.Rule, r.Options.Region, r.Options.Unit = "guarded", o.region, o.unit
	addMass(r, "vehicle_alone.vehicle", 2940, 12)
	addMass(r, "coupled_slack.front", 1200, 9)
	addMass(r, "coupled_slack.rear", 1890, 12)
	addMass(r, "trailer_mass", 2500, 14)
	addMass(r, "combination", 5440, 15)
	addMass(r, "download", 240.4, 10.9)
	addMass(r, "front_lift", 150, 8)
	addRatio(r, "download_share", 0.0961, 0.0044)
	governs := made(&r.Governs)
	governs.Rating, governs.On, governs.State = "axle", "rear", "coupled_slack"
	gvm := add(&r.Ratings)
	gvm.Line, gvm.Rating, gvm.Value, gvm.Unit, gvm.Source, gvm.Status = 2, "gvm", "3500", "kg", "plate", "held"
	axle := add(&r.Ratings)
	axle.Line, axle.Rating, axle.On, axle.Value, axle.Unit, axle.Status = 3, "axle", "rear", "1950", "kg", "held"
	r.Fit.Observations, r.Fit.DOF, r.Fit.ChiSquare, r.Fit.PValue = 12, 3, 1.93, ptr(0.587)
	bare := &r.Fit.WithoutTies
	bare.DOF, bare.ChiSquare, bare.PValue = 1, 0.4, ptr(0.53)
	load, away := add(&r.Loads), add(&r.Declared)
	load.Load, load.DeclaredKg = "projector", "300"
	away.Load, away.AwayKg = "projector", "300"
	return r
}

// read makes a part of a document from its JSON.
func read[T any](text string) *T {
	v := new(T)
	if err := json.Unmarshal([]byte(text), v); err != nil {
		panic(err)
	}
	return v
}

// add adds an entry to a list, to be filled in.
func add[S ~[]T, T any](list *S) *T {
	*list = append(*list, *new(T))
	return &(*list)[len(*list)-1]
}

// made puts a new one in place, to be filled in.
func made[T any](at **T) *T {
	*at = new(T)
	return *at
}

// addMass adds a mass, found by difference.
func addMass(r *record.Record, name string, kg, u float64) {
	addRatio(r, name, kg, u)
	q := r.Quantities.Get(name)
	q.Unit, q.Basis = "kg", "difference"
}

// addRatio adds a quantity that has no unit.
func addRatio(r *record.Record, name string, value, u float64) {
	at := add(&r.Quantities)
	at.Name = name
	q := made(&at.Value)
	q.Value, q.U = value, u
}

// au is the usual outfit of the tables of expected sentences.
var au = outfit{"au", "centre_axle", "plain", "kg"}

// leaks are codes with an underscore that an owner is meant to read: columns of
// forms, and words to write.
var leaks = strings.Split("on_deck rear_axles trailer_axles trailer_brakes rear_axle_to_coupling download_max download_min d_value running_order split_uncertainty", " ")

var (
	codeLike = regexp.MustCompile(`[a-z]+(_[a-z0-9]+)+`)
	trailing = regexp.MustCompile(`[ ,;:]$`)
)

// sane fails where a sentence is not one: blank, with what fmt or a template
// leaves behind, a code, doubled or stray spaces.
func sane(t *testing.T, what, s string) {
	t.Helper()
	s = strings.ToLower(s) // the build of other words is in capitals
	if strings.TrimSpace(s) == "" {
		t.Errorf("%s: no sentence", what)
		return
	}
	for _, bad := range []string{"%!", "  ", " ,", " ;", " .", "()", "{", "}", "[", "]", "<nil>", "not determined", "..", "(_)", "? .", "?."} {
		if strings.Contains(s, bad) {
			t.Errorf("%s: %q is in %q", what, bad, s)
		}
	}
	if strings.TrimSpace(s) != s || trailing.MatchString(s) {
		t.Errorf("%s: begins or ends badly: %q", what, s)
	}
	for _, code := range codeLike.FindAllString(s, -1) {
		if !contains(leaks, code) {
			t.Errorf("%s: code %q leaks into %q", what, code, s)
		}
	}
}

func contains(all []string, s string) bool {
	for _, a := range all {
		if a == s {
			return true
		}
	}
	return false
}

// want compares sentences, whichever words are built in.
func want(t *testing.T, what, got, sentence string) {
	t.Helper()
	if got != say(sentence) {
		t.Errorf("%s:\n got %q\nwant %q", what, got, say(sentence))
	}
}

// saidCannotBe says what cannot be at a line of tickets.csv.
func (w *Words) saidCannotBe(code, file, on, state string, args *record.Args) string {
	w.Record.CannotBe = nil
	c := add(&w.Record.CannotBe)
	c.Code, c.File, c.Line, c.On, c.State, c.Args = code, file, 7, on, state, args
	return w.headline().CannotBe[0]
}

func (w *Words) saidCaution(c record.Note) string { return say(w.caution(c)) }

func (w *Words) saidMistake(m record.Mistake) string { return say(w.mistake(&m)) }
