package record

import (
	"fmt"
	"strings"
	"testing"
)

// TestRoute: what cross-checks is among the stops of its drive, in the order in
// which the wheels roll over the deck.
func TestRoute(t *testing.T) {
	drive := func(setup, hitch string, gauge bool, stops ...string) visitDrive {
		d := visitDrive{Setup: setup, Hitch: hitch, Gauge: gauge}
		for _, on := range stops {
			d.Stops = append(d.Stops, visitStop{OnDeck: strings.Fields(on)})
		}
		return d
	}
	got := ""
	for _, d := range routeOf([]visitDrive{
		drive("coupled", "tensioned", false, "front", "trailer"),
		drive("coupled", "slack", false, "front", "front+rear+trailer"),
		drive("trailer_alone", "", false, "trailer+nose"),
		drive("vehicle_alone", "", false, "front+rear"),
	}, []visitDrive{
		drive("coupled", "slack", false, "front+rear"),
		drive("trailer_alone", "", true, "coupling"),
	}) {
		got += fmt.Sprint(d.Setup, " ", d.Hitch, d.Gauge, ":")
		for _, s := range d.Stops {
			got += fmt.Sprintf(" %v%v", s.OnDeck, s.CrossCheck)
		}
		got += "\n"
	}
	want := "coupled tensionedfalse: [front]false [trailer]false\ncoupled slackfalse: [front]false [front+rear]true [front+rear+trailer]false\n" +
		"trailer_alone false: [trailer+nose]false\nvehicle_alone false: [front+rear]false\ntrailer_alone true: [coupling]true\n"
	if got != want {
		t.Errorf("route\n%s\nwant\n%s", got, want)
	}
}
