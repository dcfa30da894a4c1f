package record

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"
)

// NotFound says in words why the whole trailer's mass and the download have no
// number, where they have none, and what would give it: a jockey wheel off the
// deck, a tensioned hitch, wholes alone. It reads the readings, quantities and
// lengths of the record.
func (r *Record) NotFound() []string {
	var why []string
	if !r.known("trailer_mass") {
		if kg, off := r.weighedNoseOff(); off {
			why = append(why, r.QuantityLabel("trailer_mass")+": "+noseOffText(kg)+"; weigh the whole trailer uncoupled, its jockey wheel on the deck too")
		}
	}
	if !r.known("download") {
		why = append(why, r.DownloadLabel()+": "+r.whyNoDownload())
	}
	return why
}

// noseOffText says what a trailer weighed with its jockey wheel off the deck is not.
func noseOffText(kg decimal.Decimal) string {
	return "the jockey wheel stood off the deck: " + grouped(kg.Round(0).String()) + " kg is what the axles carry, not the trailer's mass"
}

// weighedNoseOff gives the reading of the trailer's axles alone, uncoupled, and
// whether there is one while the jockey wheel was not weighed.
func (r *Record) weighedNoseOff() (kg decimal.Decimal, off bool) {
	for _, g := range r.used("trailer_alone", "") {
		switch {
		case standsOn(g, "nose") || standsOn(g, "all"):
			return decimal.Zero, false
		case g.OnDeck == "trailer":
			kg, off = decimalOf(g.ReadingKg), true
		}
	}
	return kg, off
}

// lineKg adds up the readings of a line: what the wheels of one weighing
// carried together.
func (r *Record) lineKg(line int) decimal.Decimal {
	sum := decimal.Zero
	for _, g := range r.Readings {
		if g.Line == line {
			sum = sum.Add(decimalOf(g.ReadingKg))
		}
	}
	return sum
}

func decimalOf(text string) decimal.Decimal {
	d, err := decimal.NewFromString(text)
	if err != nil {
		return decimal.Zero
	}
	return d
}

// whyNoDownload says why these readings give no download and which would.
func (r *Record) whyNoDownload() string {
	slack, tensioned := r.used("coupled", "slack"), r.used("coupled", "tensioned")
	const more = ", and it is what the vehicle weighs more coupled than alone: "
	var why string
	switch {
	case len(slack)+len(tensioned) == 0:
		why = "nothing was weighed coupled" + more
	case !slices.ContainsFunc(slack, isPart) && slices.ContainsFunc(tensioned, isPart):
		why = r.whyNotTensioned()
	case !slices.ContainsFunc(slack, isPart):
		why = "only wholes were weighed: the vehicle, the trailer and the outfit alone cannot give it: "
	case !r.known("vehicle_alone.vehicle") && !r.known("trailer_mass"):
		why = "weighed coupled only" + more
	default:
		why = "these readings leave it open" + more
	}
	return why + "weigh " + r.wayToDownload() + ", or use a gauge under the coupling"
}

// whyNotTensioned says why axles weighed with the hitch tensioned alone give no
// download, and what the lengths would do.
func (r *Record) whyNotTensioned() string {
	text := "the axles were weighed with the hitch tensioned only, and the tension shifts load between them: "
	l := r.Outfit.LengthsMm
	switch {
	case l.Wheelbase != nil && l.RearAxleToCoupling != nil && l.CouplingToTrailerAxle != nil:
		return text + "these give no download: "
	case r.known("vehicle_alone.front") && r.known("trailer_mass"):
		return text + "without lengths these give no download: give the lengths in outfit.csv, or "
	}
	return text + "without lengths these give no download: give the lengths in outfit.csv and weigh the vehicle alone by axles and the whole trailer, or "
}

// wayToDownload names the single weighings that would give the download; two,
// where none would.
func (r *Record) wayToDownload() string {
	var ways []string
	for _, w := range []struct{ known, missing, weigh string }{
		{"coupled_slack.vehicle", "vehicle_alone.vehicle", "the vehicle alone"},
		{"coupled_slack.trailer", "trailer_mass", "the whole trailer alone"},
		{"trailer_mass", "coupled_slack.trailer", "the trailer's axles coupled" + r.slackWord()},
		{"vehicle_alone.vehicle", "coupled_slack.vehicle", "the vehicle's axles coupled" + r.slackWord()},
	} {
		if r.known(w.known) && !r.known(w.missing) {
			ways = append(ways, w.weigh)
		}
	}
	if len(ways) == 0 {
		return "the whole trailer alone and its axles coupled" + r.slackWord()
	}
	return strings.Join(ways, " or ")
}

// known says whether a quantity has a number.
func (r *Record) known(quantity string) bool { return r.Quantities[quantity] != nil }

// slackWord says how the hitch has to be, where the outfit has one.
func (r *Record) slackWord() string {
	if r.Outfit.Travels == "plain" {
		return ""
	}
	return " with the hitch slack"
}

// used gives the used readings of a setup, of one hitch state where it is said.
func (r *Record) used(setup, hitch string) []Reading {
	var readings []Reading
	for _, g := range r.Readings {
		if g.Use == "yes" && g.Setup == setup && (hitch == "" || g.Hitch == hitch) {
			readings = append(readings, g)
		}
	}
	return readings
}

// standsOn says whether a term, or a part of it, stood on the deck.
func standsOn(g Reading, group string) bool {
	return slices.ContainsFunc(strings.Split(g.OnDeck, "+"), func(term string) bool {
		word, _, _ := strings.Cut(strings.TrimSpace(term), ".")
		return word == group
	})
}

// isPart says whether a coupled reading is less than the whole outfit.
func isPart(g Reading) bool {
	whole := standsOn(g, "all") || standsOn(g, "trailer") && (standsOn(g, "vehicle") || standsOn(g, "front") && standsOn(g, "rear"))
	return !whole || strings.Contains(g.OnDeck, ".")
}
