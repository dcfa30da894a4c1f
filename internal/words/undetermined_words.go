package words

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// notFound says, one reason a line, why the whole trailer's mass and the
// download have no number, where they have none, and what would give it.
func (w *Words) notFound() []string {
	var why []string
	if !w.known("trailer_mass") {
		if kg, off := w.weighedNoseOff(); off {
			why = append(why, w.quantityLabel("trailer_mass")+": "+w.noseOffText(kg)+"; weigh the whole trailer uncoupled, its "+w.noseWord()+" on the deck too")
		}
	}
	if !w.known("download") && !w.drawbar() {
		why = append(why, w.download()+": "+w.whyNoDownload())
	}
	return why
}

// noseOffText says what a trailer weighed with its jockey wheel off the deck is not.
func (w *Words) noseOffText(kg decimal.Decimal) string {
	return w.noseWas() + " off the deck: " + w.massText(kg.String()) + " " + w.Unit + " is what the axles carry, not the trailer's mass"
}

// weighedNoseOff gives the reading of the trailer's axles alone, uncoupled, and
// whether there is one while the jockey wheel was not weighed. A drawbar
// trailer has no nose to weigh.
func (w *Words) weighedNoseOff() (kg decimal.Decimal, off bool) {
	for _, g := range w.used("trailer_alone", "") {
		switch {
		case onDeck(g, "nose") || onDeck(g, "all") || w.drawbar():
			return decimal.Zero, false
		case g.OnDeck == "trailer":
			kg, _ = decimalOf(g.ReadingKg)
			off = true
		}
	}
	return kg, off
}

// whyNoDownload says why these readings give no download and which would.
func (w *Words) whyNoDownload() string {
	slack, tensioned := w.used("coupled", "slack"), w.used("coupled", "tensioned")
	tensioned = append(tensioned, w.used("coupled", "unknown")...)
	const more = ", and it is how much heavier the vehicle is coupled than alone: "
	var why string
	switch {
	case len(slack)+len(tensioned) == 0:
		why = "nothing was weighed coupled" + more
	case !slices.ContainsFunc(slack, isPart) && slices.ContainsFunc(tensioned, isPart):
		why = w.whyNotTensioned()
	case !slices.ContainsFunc(slack, isPart):
		why = "weighing only the complete vehicle, trailer or outfit cannot give it: "
	case !w.known("vehicle_alone.vehicle") && !w.known("trailer_mass"):
		why = "weighed coupled only" + more
	default:
		why = "these readings leave it open" + more
	}
	return why + "weigh " + w.wayToDownload() + ", or use a gauge under the coupling"
}

// whyNotTensioned says why axles weighed with the hitch tensioned alone give no
// download, and what the lengths would do.
func (w *Words) whyNotTensioned() string {
	text := "the axles were weighed with the hitch tensioned only, and the tension shifts load between them"
	without := ", so without lengths these readings give no download: " + w.reader("give the lengths in outfit.csv", "type the lengths on the plates")
	l := w.Record.Outfit.LengthsMm
	switch {
	case l.Wheelbase != nil && l.RearAxleToCoupling != nil && l.CouplingToTrailerAxle != nil:
		return text + ", so these readings give no download: "
	case w.known("vehicle_alone.front") && w.known("trailer_mass"):
		return text + without + ", or "
	}
	return text + without + " and weigh the vehicle alone by axles and the whole trailer, or "
}

// wayToDownload names the single weighings that would give the download; two,
// where none would.
func (w *Words) wayToDownload() string {
	var ways []string
	for _, way := range []struct{ known, missing, weigh string }{
		{"coupled_slack.vehicle", "vehicle_alone.vehicle", "the vehicle alone"},
		{"coupled_slack.trailer", "trailer_mass", "the whole trailer alone"},
		{"trailer_mass", "coupled_slack.trailer", "the trailer's axles coupled" + w.slackWord()},
		{"vehicle_alone.vehicle", "coupled_slack.vehicle", "the vehicle's axles coupled" + w.slackWord()},
	} {
		if w.known(way.known) && !w.known(way.missing) {
			ways = append(ways, way.weigh)
		}
	}
	if len(ways) == 0 {
		return "the whole trailer alone and its axles coupled" + w.slackWord()
	}
	return either(ways)
}

// known says whether a quantity has a number.
func (w *Words) known(quantity string) bool { return w.Record.Quantities.Get(quantity) != nil }

// slackWord says how the hitch has to be, where the outfit has one.
func (w *Words) slackWord() string {
	if w.plain() || w.semi() || w.drawbar() {
		return ""
	}
	return " with the hitch slack"
}

// used gives the used readings of a setup, of one hitch state where it is said.
func (w *Words) used(setup, hitch string) []record.Reading {
	var readings []record.Reading
	for _, g := range w.Record.Readings {
		if g.Use == "yes" && g.Setup == setup && (hitch == "" || g.Hitch == hitch) {
			readings = append(readings, g)
		}
	}
	return readings
}

// onDeck says whether a term, or a part of it, was on the deck.
func onDeck(g record.Reading, group string) bool {
	return slices.ContainsFunc(strings.Split(g.OnDeck, "+"), func(term string) bool {
		word, _, _ := strings.Cut(strings.TrimSpace(term), ".")
		return word == group
	})
}

// isPart says whether a coupled reading is less than the whole outfit.
func isPart(g record.Reading) bool {
	whole := onDeck(g, "all") || onDeck(g, "trailer") && (onDeck(g, "vehicle") || onDeck(g, "front") && onDeck(g, "rear"))
	return !whole || strings.Contains(g.OnDeck, ".")
}
