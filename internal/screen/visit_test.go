package screen

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"reconcile/internal/record"
)

func aVisit() *record.Visit {
	return read[record.Visit](`{
		"job": "dome", "region": "au", "travels": "slack", "travels_stated": true, "trailer_kind": "centre_axle", "rated": true, "deck": "single",
		"drives": [{"setup": "coupled", "hitch": "slack", "stops": [{"on_deck": ["front"]}, {"on_deck": ["rear.left", "rear.right"]}]}],
		"cross_checks": [{"setup": "vehicle_alone", "stops": [{"on_deck": ["rear"]}]}],
		"checks": [{"rating": "gvm", "state": "coupled_slack", "u_kg": 13.5, "checked": true}],
		"mind": [{"code": "ticket"}]
	}`)
}

// The layout is ours; every part of the plan is on it, within 80 columns.
func TestVisit(t *testing.T) {
	var b bytes.Buffer
	if err := Visit(&b, aVisit(), "kg"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"job: dome\n", "drive 1: coupled, hitch slack (setup: coupled)\n", "  - the front axle (on_deck: front)\n", "  - all of it at once, each read separately: rear axle, left; rear axle, right\n",
		"\nalso, so that a mistake would show:\nvehicle uncoupled (setup: vehicle_alone)\n  - the rear axle (on_deck: rear)\n",
		"\neach rated load is then known:\n  - GVM (coupled, hitch slack): to ± 27 kg\n", "\nbefore you go:\n  - ask the operator to write",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
	for _, line := range strings.Split(b.String(), "\n") {
		if cells(line) > columns {
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
	if Visit(full{}, aVisit(), "kg") == nil {
		t.Error("the writer's error is lost")
	}
}
