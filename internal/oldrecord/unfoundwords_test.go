package record

import (
	"strings"
	"testing"
)

// TestNotFound says why there is no number, a row a way of weighing. The
// sentences are ours; what each way of weighing can give is the algebra of the
// download: what the vehicle weighs more coupled, hitch slack, than alone.
func TestNotFound(t *testing.T) {
	reading := func(setup, hitch, deck, kg string) Reading {
		return Reading{Line: 2, Setup: setup, Hitch: hitch, OnDeck: deck, Use: "yes", ReadingKg: kg}
	}
	slack := func(deck string) Reading { return reading("coupled", "slack", deck, "1000") }
	tense := func(deck string) Reading { return reading("coupled", "tensioned", deck, "1000") }
	alone, trailer := reading("vehicle_alone", "", "vehicle", "2960"), reading("trailer_alone", "", "all", "2880")
	of := func(known string, readings ...Reading) *Record {
		r := &Record{Readings: readings, Quantities: map[string]*Quantity{}}
		r.Outfit.Travels = "plain"
		for _, q := range strings.Fields(known) {
			r.Quantities[q] = &Quantity{}
		}
		return r
	}
	long := of("trailer_mass", tense("front"), tense("rear"), tense("trailer"), trailer)
	mm := 3000.0
	long.Outfit.LengthsMm = Lengths{Wheelbase: &mm, RearAxleToCoupling: &mm, CouplingToTrailerAxle: &mm}
	const coupledAlone = "and it is what the vehicle weighs more coupled than alone: weigh "
	cases := []struct {
		name string
		r    *Record
		want []string
	}{
		{"jockey wheel off the deck", of("download", reading("trailer_alone", "", "trailer", "2580")),
			[]string{"whole trailer: the jockey wheel stood off the deck: 2,580 kg is what the axles carry, not the trailer's mass; weigh the whole trailer uncoupled, its jockey wheel on the deck too"}},
		{"nose weighed apart", of("download", reading("trailer_alone", "", "trailer", "2580"), reading("trailer_alone", "", "nose", "300")), nil},
		{"not used", of("download", Reading{Setup: "trailer_alone", OnDeck: "trailer", Use: "no"}), nil},
		{"nothing coupled", of("trailer_mass", trailer), []string{"nothing was weighed coupled, " + coupledAlone + "the trailer's axles coupled, or"}},
		{"wholes", of("vehicle_alone.vehicle trailer_mass", alone, trailer, slack("all")),
			[]string{"only wholes were weighed: the vehicle, the trailer and the outfit alone cannot give it: weigh the trailer's axles coupled or the vehicle's axles coupled, or use a gauge under the coupling"}},
		{"the outfit on the deck by its terms", of("", slack("front+rear+trailer"), slack("vehicle+trailer")), []string{"only wholes were weighed"}},
		{"coupled only", of("coupled_slack.vehicle coupled_slack.trailer", slack("front"), slack("rear"), slack("trailer")),
			[]string{"weighed coupled only, " + coupledAlone + "the vehicle alone or the whole trailer alone, or use a gauge"}},
		{"the trailer's axles only", of("coupled_slack.trailer", slack("trailer")), []string{"weigh the whole trailer alone, or use a gauge"}},
		{"one side of all", of("", slack("front.left+rear.left+trailer.left")), []string{"weighed coupled only"}},
		{"vehicle alone, trailer's axles coupled", of("vehicle_alone.vehicle coupled_slack.trailer", alone, slack("trailer")),
			[]string{"these readings leave it open, " + coupledAlone + "the whole trailer alone or the vehicle's axles coupled, or"}},
		{"tensioned without lengths", of("", tense("front.left"), tense("trailer.1.left")),
			[]string{"the axles were weighed with the hitch tensioned only, and the tension shifts load between them: without lengths these give no download: give the lengths in outfit.csv and weigh the vehicle alone by axles and the whole trailer, or weigh the whole trailer alone and its axles coupled, or use a gauge under the coupling"}},
		{"tensioned, a slack whole beside it", of("vehicle_alone.front vehicle_alone.vehicle trailer_mass", tense("front"), slack("all"), alone, trailer),
			[]string{"with the hitch tensioned only", "give the lengths in outfit.csv, or weigh the trailer's axles coupled or the vehicle's axles coupled, or use"}},
		{"tensioned with lengths", long, []string{"these give no download: weigh the trailer's axles coupled, or use a gauge"}},
		{"found", of("download trailer_mass"), nil},
	}
	for _, c := range cases {
		got := strings.Join(c.r.NotFound(), "\n")
		if c.want == nil && got != "" {
			t.Errorf("%s: %q, want nothing", c.name, got)
		}
		for _, want := range c.want {
			if !strings.Contains(got, want) {
				t.Errorf("%s: %q, want %q", c.name, got, want)
			}
		}
	}
	long.Outfit.Travels = "tensioned"
	if got := strings.Join(long.NotFound(), "\n"); !strings.Contains(got, "the trailer's axles coupled with the hitch slack") {
		t.Errorf("a hitch with bars: %q", got)
	}
}
