package words

import (
	"github.com/shopspring/decimal"

	"reconcile/internal/record"
)

// bars is how tight the bars of a load-distribution hitch may be; blank where
// the record has no range.
type bars struct {
	Text         string     // what the front axle must show on a deck, and how much of the lift that puts back
	Front        string     // what the front axle must show: "1,268 to 1,339 kg"
	Slack, Tight string     // the ends of the scale of the front axle's load, as a drawing names them
	Alt          string     // what the drawing shows, for whoever does not see it
	Tensions     [][]string // in the record's order: how much is put back, the loads of front, rear and trailer axle, the verdict
}

func (w *Words) bars() bars {
	h := w.Record.HitchRange
	if h == nil {
		return bars{}
	}
	out := bars{Text: say(w.barsText()), Front: say(w.barsFront())}
	for _, e := range h.Table {
		out.Tensions = append(out.Tensions, []string{say(restoredText(e.Restored)), w.massU(e.FrontKg, e.UFrontKg), w.massU(e.RearKg, e.URearKg), w.massU(e.TrailerKg, e.UTrailerKg), say(w.rowVerdict(e.Verdict))})
	}
	if n := len(h.Table); n > 0 {
		slack, tight := w.mass(h.Table[0].FrontKg), w.mass(h.Table[n-1].FrontKg)
		out.Slack, out.Tight = say("slack "+slack), say("tight "+tight)
		out.Alt = say("Scale of the front axle's load, from slack, " + slack + ", to as much as uncoupled, " + tight + " " + w.Unit)
		if h.LowKg != nil && h.HighKg != nil {
			out.Alt += say("; allowed: " + out.Front)
		}
		out.Alt += "."
	}
	return out
}

// barsText says how tight the bars may be.
func (w *Words) barsText() string {
	h := w.Record.HitchRange
	if w.Record.Verdict == "conflict" {
		return "how tight the bars may be is not to be relied on: the readings disagree"
	}
	if h.LowKg == nil || h.HighKg == nil {
		return "no tension of the bars keeps every limit: " + w.endNoun(h.LowBy) + " and " + w.endNoun(h.HighBy) + " exclude each other"
	}
	text := "the bars are right where the front axle, coupled with the hitch tensioned, shows " + w.barsFront() + " on a deck"
	if share := w.hitchShare(); share != "" {
		text += ": " + share + " % of what the trailer lifts off it"
	}
	return text + "; the low end is set by " + w.endNoun(h.LowBy) + ", the high end by " + w.endNoun(h.HighBy)
}

// barsFront is what the front axle must show; the lower end is rounded up, the
// upper one down. Blank where there is no range.
func (w *Words) barsFront() string {
	h, front := w.Record.HitchRange, w.Record.Quantities.Get("coupled_slack.front")
	if h.LowKg == nil || h.HighKg == nil || front == nil {
		return ""
	}
	f := decimal.NewFromFloat(front.Value)
	low := w.inUnit(f.Add(decimal.NewFromFloat(*h.LowKg))).Sub(noise).Ceil()
	high := w.inUnit(f.Add(decimal.NewFromFloat(*h.HighKg))).Add(noise).Floor()
	return grouped(low.String()) + " to " + grouped(decimal.Max(low, high).String()) + " " + w.Unit
}

// hitchShare is the range in percent of the lift: "25 to 60".
func (w *Words) hitchShare() string {
	h, lift := w.Record.HitchRange, w.Record.Quantities.Get("front_lift")
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

// restoredText says a tension of the table: "half of the lift put back".
func restoredText(restored float64) string {
	switch restored {
	case 0:
		return "slack"
	case 1:
		return "all of the lift put back"
	}
	return wholePercent(restored) + " % put back"
}
