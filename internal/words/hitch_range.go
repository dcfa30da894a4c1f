package words

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// HitchRangeText says how tight the bars may be: what the front axle must show
// on a deck, and how much of the lift that puts back. Blank where the record
// has no range.
func (w *Words) HitchRangeText() string {
	h := w.r.HitchRange
	if h == nil {
		return ""
	}
	if w.r.Verdict == "conflict" {
		return say("how tight the bars may be is not to be relied on: the readings disagree")
	}
	if h.LowKg == nil || h.HighKg == nil {
		return say("no tension of the bars keeps every limit: " + w.endNoun(h.LowBy) + " and " + w.endNoun(h.HighBy) + " exclude each other")
	}
	text := "the bars are right where the front axle, coupled with the hitch tensioned, shows " + w.HitchRangeFront() + " on a deck"
	if share := w.hitchShare(); share != "" {
		text += ": " + share + " % of what the trailer lifts off it"
	}
	return say(text + "; looser is limited by " + w.endNoun(h.LowBy) + ", tighter by " + w.endNoun(h.HighBy))
}

// HitchRangeFront is what the front axle must show: "1,268 to 1,339 kg"; the
// lower end is rounded up, the upper one down. Blank where there is no range.
func (w *Words) HitchRangeFront() string {
	h, front := w.r.HitchRange, w.r.Quantities.Get("coupled_slack.front")
	if h == nil || h.LowKg == nil || h.HighKg == nil || front == nil {
		return ""
	}
	f := decimal.NewFromFloat(front.Value)
	low := w.inUnit(f.Add(decimal.NewFromFloat(*h.LowKg))).Sub(noise).Ceil()
	high := w.inUnit(f.Add(decimal.NewFromFloat(*h.HighKg))).Add(noise).Floor()
	return say(grouped(low.String()) + " to " + grouped(decimal.Max(low, high).String()) + " " + w.UnitWord())
}

// hitchShare is the range in percent of the lift: "25 to 60".
func (w *Words) hitchShare() string {
	h, lift := w.r.HitchRange, w.r.Quantities.Get("front_lift")
	if lift == nil || lift.Value <= 0 {
		return ""
	}
	return wholePercent(*h.LowKg/lift.Value) + " to " + wholePercent(*h.HighKg/lift.Value)
}

// endNoun says what limits one end of the range.
func (w *Words) endNoun(k *record.RatingKey) string {
	switch {
	case k == nil:
		return "no limit"
	case k.Rating == "slack":
		return "the bars being slack"
	case k.Rating == "front_lift":
		return "the front axle carrying as much as uncoupled"
	case k.Rating == "axle":
		return "the rating of " + w.axleNoun(k.On)
	}
	return w.loadNoun(k.Rating, k.On)
}

// RestoredText says a tension of the table: "half of the lift put back".
func RestoredText(restored float64) string {
	switch restored {
	case 0:
		return say("slack")
	case 1:
		return say("all of the lift put back")
	}
	return say(wholePercent(restored) + " % put back")
}
