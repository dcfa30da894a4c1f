package record

import "strings"

// The ways in which a guide's figures are printed.
const (
	asKg      = "kg"
	asPercent = "%"
	asTimes   = "times"
)

// guideWords names each guide and how its figures are printed; a D stands for
// the region's download. A guide that is not here is kilograms, under its own name.
var guideWords = map[string]struct{ name, unit string }{
	"download_share":     {"D, share of the whole trailer", asPercent},
	"trailer_to_vehicle": {"ratio of the whole trailer to the vehicle alone", asTimes},
	"trailer_brakes":     {"trailer mass for its brakes", asKg},
	"towing_default":     {"whole trailer, where no rating says what may be towed", asKg},
	"unbraked_share":     {"whole trailer, without brakes", asKg},
	"minimum_download":   {"least D on the road", asKg},
	"tyres_together":     {"tyres of an axle together", asKg},
}

// GuideLabel says a guide's name in words, with what it is on where the guide
// names that: "tyres of an axle together, rear".
func (r *Record) GuideLabel(g Guide) string {
	guide, on, _ := strings.Cut(g.Guide, " ")
	name := strings.ReplaceAll(guide, "_", " ")
	if words, known := guideWords[guide]; known {
		name = strings.ReplaceAll(" "+words.name, " D", " "+r.DownloadLabel())[1:]
	}
	if on != "" {
		name += ", " + OnWord(on)
	}
	return name
}

// ValueText prints a guide's value with its U where it has one: "9.6 ± 0.9 %".
func (g Guide) ValueText() string {
	if g.Value == nil {
		return notDetermined
	}
	text := g.figure(*g.Value)
	if g.U != nil && *g.U > 0 {
		switch g.unit() {
		case asKg:
			text = KgU(*g.Value, *g.U)
		case asPercent:
			text += " ± " + g.figure(max(2**g.U, 0.001))
		default:
			text += " ± " + g.figure(max(2**g.U, 0.01))
		}
	}
	return text + " " + g.unit()
}

// UsualText prints what is usual: "8.0 to 15.0 %", "at most 750 kg"; blank
// where the guide has no bound.
func (g Guide) UsualText() string {
	switch {
	case g.Low != nil && g.High != nil:
		return g.figure(*g.Low) + " to " + g.figure(*g.High) + " " + g.unit()
	case g.Low != nil:
		return "at least " + g.figure(*g.Low) + " " + g.unit()
	case g.High != nil:
		return "at most " + g.figure(*g.High) + " " + g.unit()
	}
	return ""
}

// KeptText says whether a guide is kept: "kept", "not kept", "not known".
func (g Guide) KeptText() string {
	switch {
	case g.Kept == nil:
		return "not known"
	case *g.Kept:
		return "kept"
	}
	return "not kept"
}

func (g Guide) unit() string {
	guide, _, _ := strings.Cut(g.Guide, " ")
	if words, known := guideWords[guide]; known {
		return words.unit
	}
	return asKg
}

func (g Guide) figure(v float64) string {
	switch g.unit() {
	case asPercent:
		return tenths(100 * v)
	case asTimes:
		return kn(v) // two decimals
	}
	return Kg(v)
}
