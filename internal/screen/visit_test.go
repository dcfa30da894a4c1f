package screen

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	record "reconcile/internal/oldrecord"
)

func aVisit() *record.Visit {
	kg := 13.5
	return &record.Visit{
		Title: "the weighings that these ratings need, on a weighbridge with a single deck: 1 drive, 2 stops", Job: "dome",
		Drives: []record.VisitDrive{{Setup: "coupled", Hitch: "slack", Text: "coupled, hitch slack", Stops: []record.VisitStop{
			{OnDeck: []string{"front"}, Text: "the front axle"}, {OnDeck: []string{"rear.left", "rear.right"}, Text: "all of it at once"},
		}}},
		CrossChecks: []record.VisitDrive{{Setup: "vehicle_alone", Text: "vehicle uncoupled", Stops: []record.VisitStop{{OnDeck: []string{"rear"}, Text: "the rear axle"}}}},
		Checks:      []record.VisitCheck{{Rating: "gvm", UKg: &kg, Text: "GVM (coupled): to ± 27 kg; " + strings.Repeat("cross-checked ", 8)}},
		Mind:        []record.VisitMind{{Code: "ticket", Text: "ask the operator"}},
	}
}

// The layout is ours; every part of the plan is on it, within 80 columns.
func TestVisit(t *testing.T) {
	var b bytes.Buffer
	if err := Visit(&b, aVisit()); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"job: dome\n", "drive 1: coupled, hitch slack (setup: coupled)\n", "  - the front axle (on_deck: front)\n", "  - all of it at once\n",
		"\nso that a mistake would show, also:\nvehicle uncoupled (setup: vehicle_alone)\n  - the rear axle (on_deck: rear)\n",
		"\neach rated load is then known:\n  - GVM (coupled): to ± 27 kg;", "\nmind before going:\n  - ask the operator\n",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
	for _, line := range strings.Split(b.String(), "\n") {
		if cells(line) > Columns {
			t.Errorf("%d columns: %s", cells(line), line)
		}
	}
	if strings.Contains(b.String(), "drive 2") {
		t.Error("a cross-check counts as a drive")
	}
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestVisitOnAFullDisk(t *testing.T) {
	if Visit(full{}, aVisit()) == nil {
		t.Error("the writer's error is lost")
	}
}
