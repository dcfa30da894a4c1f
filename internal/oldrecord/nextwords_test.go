package record

import (
	"strings"
	"testing"
)

func TestNext(t *testing.T) {
	missing := func(rating, on, state string) Check { return held(rating, on, state, "3000", 0, 0, "not_weighed") }
	advised := au("incomplete", missing("axle", "rear", "coupled_slack"))
	advised.Advice = []Advice{{Kind: "weigh", Text: "weigh the rear axle, coupled"}}
	advised.NotGiven = []string{"gcm"}
	open := held("gvm", "", "coupled_slack", "3350", 3000, 14, "within")
	open.Checked = false
	eu := au("incomplete", missing("towing", "", "coupled_slack"))
	eu.Options.Region = "eu"
	const find = " on the plate or in the handbook; a line with value none says that there is none"
	cases := []struct {
		name string
		r    *Record
		want string
	}{
		{"axle", au("incomplete", missing("axle", "rear", "coupled_slack")), "weigh the rear axle alone on the deck, coupled"},
		{"vehicle", au("incomplete", missing("gvm", "", "coupled_slack")), "weigh the vehicle's axles alone on the deck, coupled"},
		{"trailer axles", au("incomplete", missing("gtm", "", "coupled_slack")), "weigh the trailer's axles alone on the deck, coupled"},
		{"one weighing for two", au("incomplete", missing("atm", "", ""), missing("towing", "", "")), "weigh the whole trailer uncoupled, its jockey wheel on the deck"},
		{"towing in eu", eu, "weigh the trailer's axles alone on the deck, coupled"},
		{"outfit", au("incomplete", missing("gcm", "", "")), "weigh the whole outfit on the deck, coupled"},
		{"download", au("incomplete", missing("download_max", "towbar", "")), "for the towball download, weigh the whole trailer and then its axles coupled, or use a gauge under the coupling"},
		{"advice stands, a rating is added", advised, "weigh the rear axle, coupled|find the GCM" + find},
		{"not cross-checked", au("within", open), "one further weighing of the same loads in another way would cross-check these"},
		{"within", au("within", held("gvm", "", "coupled_slack", "3350", 3000, 14, "within")), ""},
		{"over", au("over"), "take load off or move it, then weigh again"},
		{"conflict", au("conflict"), "compare every line of tickets.csv with its ticket, and weigh again what that does not clear up"},
	}
	for _, c := range cases {
		if got := strings.Join(c.r.Next(), "|"); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestQuantityText(t *testing.T) {
	r := &Record{Quantities: map[string]*Quantity{
		"download":       {Unit: InKg, Value: 240.41, U: 10.9},
		"download_share": {Unit: InRatio, Value: 0.0961, U: 0.0044},
		"hitch_moment":   {Unit: InKgM, Value: 212.2, U: 14.1},
		"vehicle_cg":     {Unit: InMm, Value: 1532.4, U: 8.2},
		"restoration":    nil,
	}}
	for name, want := range map[string]string{
		"download": "240 ± 22 kg", "download_share": "9.6 ± 0.9 %", "hitch_moment": "212 ± 28 kg·m",
		"vehicle_cg": "1,532 ± 16 mm", "restoration": "not determined", "front_lift": "not determined",
	} {
		if got := r.QuantityText(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
