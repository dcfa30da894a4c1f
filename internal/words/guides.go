package words

import "github.com/shopspring/decimal"

// The ways in which a guide's figures are printed.
const (
	asMass    = "mass"
	asPercent = "%"
	asTimes   = "times"
)

// guideWords names each guide and how its figures are printed. A guide that is
// not here is a mass, under its own name.
var guideWords = map[string]struct{ name, as string }{
	"download_share":     {"[download], share of the whole trailer", asPercent},
	"trailer_to_vehicle": {"ratio of the whole trailer to the vehicle alone", asTimes},
	"trailer_brakes":     {"trailer mass for its brakes", asMass},
	"towing_default":     {"whole trailer, where no rating says what may be towed", asMass},
	"unbraked_share":     {"whole trailer, without brakes", asMass},
	"minimum_download":   {"least [download] on the road", asMass},
	"tyres_together":     {"tyres of an axle together", asMass},
}

// guideLabel says a guide's name, with what it is on where the guide names
// that: "tyres of an axle together, rear".
func (w *Words) guideLabel(guide, on string) string {
	name := codeWord(guide)
	if words, known := guideWords[guide]; known {
		name = w.put(words.name)
	}
	if on != "" {
		name += ", " + onWord(on)
	}
	return name
}

// guideValue prints a guide's value with its U where it has one: "9.6 ± 0.9 %".
func (w *Words) guideValue(guide string, value, u *float64) string {
	if value == nil {
		return notDetermined
	}
	if u == nil || *u <= 0 {
		return w.guideFigure(guide, *value) + " " + w.guideUnit(guide)
	}
	switch guideAs(guide) {
	case asPercent:
		return percentU(*value, *u)
	case asTimes:
		return timesU(*value, *u)
	}
	return w.massU(*value, *u) + " " + w.Unit
}

// timesU is "0.93 ± 0.02 times".
func timesU(value, u float64) string {
	least := decimal.RequireFromString("0.01")
	return fixed(value, 2) + " ± " + decimal.Max(decimal.NewFromFloat(expanded(u)).Round(2), least).StringFixed(2) + " times"
}

// guideUsual prints what is usual: "8.0 to 15.0 %", "at most 750 kg"; blank
// where the guide has no bound.
func (w *Words) guideUsual(guide string, low, high *float64) string {
	unit := " " + w.guideUnit(guide)
	switch {
	case low != nil && high != nil:
		return w.guideFigure(guide, *low) + " to " + w.guideFigure(guide, *high) + unit
	case low != nil:
		return "at least " + w.guideFigure(guide, *low) + unit
	case high != nil:
		return "at most " + w.guideFigure(guide, *high) + unit
	}
	return ""
}

// guideKept says whether a guide is kept: "kept", "not kept", "not known".
func guideKept(kept *bool) string {
	switch {
	case kept == nil:
		return "not known"
	case *kept:
		return "kept"
	}
	return "not kept"
}

func guideAs(guide string) string {
	if words, known := guideWords[guide]; known {
		return words.as
	}
	return asMass
}

func (w *Words) guideUnit(guide string) string {
	if as := guideAs(guide); as != asMass {
		return as
	}
	return w.Unit
}

func (w *Words) guideFigure(guide string, v float64) string {
	switch guideAs(guide) {
	case asPercent:
		return percent(v)
	case asTimes:
		return fixed(v, 2)
	}
	return w.mass(v)
}
