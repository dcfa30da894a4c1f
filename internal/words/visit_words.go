package words

import (
	"slices"
	"strings"

	"reconcile/internal/record"
)

// Visit is the plan of a visit in words, as it is listed and, on a sheet to take
// along, as it is driven.
type Visit struct {
	Words       *Words // the labels of its region and unit
	Title       string
	Drives      []drive
	CrossChecks []drive  // on a sheet among its drives
	Known       []string // how well each rated load is then known
	Mind        []string // what to see to before going
	Sheet       visitSheet
}

// drive is how the outfit is on a drive, how that is typed, and its stops.
type drive struct {
	Name, Typed string
	Stops       []visitStop
}

// visitStop is what is on the deck, and how it is typed where it is one figure.
type visitStop struct{ Name, Typed string }

// OfVisit says the plan of a visit, which has no record; unit is kg or lb, and
// shown is as for [Of].
func OfVisit(v *record.Visit, unit string, shown places) *Visit {
	r := record.Record{Job: v.Job, Program: v.Program, Outfit: record.Outfit{Travels: v.Travels, TravelsStated: v.Stated, TrailerKind: v.TrailerKind}}
	r.Options.Region, r.Options.Unit = v.Region, unit
	out := Of(&r, shown).visit(v)
	r.Outfit = v.Outfit // the sheet alone knows its axles and who is on board
	out.Sheet = out.Words.visitSheet(v)
	return out
}

func (w *Words) visit(v *record.Visit) *Visit {
	out := &Visit{Words: w}
	for _, d := range slices.Concat(v.Drives, v.CrossChecks) {
		said := drive{Name: say(w.driveName(d.Setup, d.Hitch, d.Gauge)), Typed: w.Head("setup") + ": " + d.Setup}
		for _, s := range d.Stops {
			stop := visitStop{Name: say(w.stopName(s.OnDeck))}
			if len(s.OnDeck) == 1 {
				stop.Typed = w.Head("on_deck") + ": " + s.OnDeck[0]
			}
			said.Stops = append(said.Stops, stop)
		}
		out.Drives = append(out.Drives, said)
	}
	out.Drives, out.CrossChecks = out.Drives[:len(v.Drives)], out.Drives[len(v.Drives):]
	stops := 0
	for _, d := range out.Drives {
		stops += len(d.Stops)
	}
	out.Title = say(visitTitle(v, len(out.Drives), stops))
	for i := range v.Checks {
		out.Known = append(out.Known, say(w.visitCheck(v, i)))
	}
	for _, m := range v.Mind {
		out.Mind = append(out.Mind, say(w.mind(v, m.Code)))
	}
	return out
}

// deckWords says a kind of deck.
var deckWords = map[string]string{
	"single": "a weighbridge with a single deck", "multi": "a weighbridge with a deck for each axle group",
	"pads": "pads under every wheel", "pads_in_turn": "pads under some wheels in turn", "gauge": "a gauge under the coupling",
}

// visitTitle heads the plan of a visit: how many drives and stops there are.
func visitTitle(v *record.Visit, drives, stops int) string {
	if stops == 0 {
		return visitWhat(v) + ": none"
	}
	return visitWhat(v) + ", on " + deckWords[v.Deck] + ": " + counted(drives, "drive") + ", " + counted(stops, "stop")
}

// visitWhat says what the weighings of a plan are for.
func visitWhat(v *record.Visit) string {
	what := "the weighings that these ratings need"
	if !v.Rated {
		what = "no ratings yet: the weighings that the usual ones need"
	}
	if v.Taken > 0 {
		what += ", in addition to the " + counted(v.Taken, "reading") + " taken"
	}
	return what
}

// driveName says how the outfit is on a drive.
func (w *Words) driveName(setup, hitch string, gauge bool) string {
	switch {
	case gauge:
		return "trailer uncoupled, a gauge under the coupling at towing height"
	case setup == "trailer_alone" && w.drawbar():
		return "trailer uncoupled"
	case setup == "trailer_alone":
		return "trailer uncoupled, on its " + w.noseWord()
	case setup == "vehicle_alone":
		return "vehicle uncoupled"
	}
	return w.setupWord(setup, hitch)
}

// stopName says what is on the deck, and what is read where that is more than
// one figure.
func (w *Words) stopName(onDeck []string) string {
	if len(onDeck) == 1 {
		return w.deckNouns(onDeck[0])
	}
	var words []string
	for _, on := range onDeck {
		words = append(words, w.supportWord(on))
	}
	return "all of it at once, each read separately: " + strings.Join(words, "; ")
}

// visitCheck says how well the plan would weigh the i-th rated load.
func (w *Words) visitCheck(v *record.Visit, i int) string {
	c := &v.Checks[i]
	text := w.keyLabel(c.Rating, c.On) + w.inState(c.State)
	switch {
	case c.UKN != nil:
		return text + ": to ± " + kn(max(expanded(*c.UKN), 0.01)) + " kN"
	case c.UKg == nil:
		return text + ": none of these readings gives it"
	}
	text += ": to " + w.plusMinus(*c.UKg) + " " + w.Unit
	switch {
	case c.MistakeEffectKg != nil:
		text += "; cross-checked, a mistake worth more than " + w.massUp(*c.MistakeEffectKg) + " " + w.Unit + " would show"
	case !c.Checked:
		text += "; not cross-checked"
	}
	return text
}

// mindCodes are what to see to before going.
var mindCodes = []string{"ratings", "lengths", "load", "deck", "pads", "brakes", "hitch", "nose", "gauge", "ticket"}

// mind says one thing to see to before going.
func (w *Words) mind(v *record.Visit, code string) string {
	switch code {
	case "ratings":
		return "find these on the plate or in the handbook, or " + w.reader("write none", "tick "+button("there_is_none")) + " where there is none: " + listed(w.ratingNouns(v.NotGiven))
	case "lengths":
		if w.drawbar() {
			return "measure wheelbase and rear axle to coupling: with them the weighings check each other further"
		}
		return "measure wheelbase, rear axle to coupling, coupling to trailer axle and nose support to trailer axle: with them the weighings check each other further"
	case "load":
		return "load it as it travels: fuel and water filled as usual, everything in its place, the same people on board in every weighing, or note who was not"
	case "deck":
		return "ask the weighbridge first: is the deck long enough, can you weigh axle by axle, are its approaches level with it?"
	case "pads":
		return "every wheel rests on a pad or on a dummy of equal height; straight wheels, level ground"
	case "brakes":
		return "brakes off and gear in neutral whenever a part is read (a braked wheel carries a wrong load), chocks at hand; nobody leans on the outfit"
	case "hitch":
		return w.hitchMind()
	case "nose":
		if w.drawbar() {
			return "with the trailer uncoupled, all its axles are on the deck and nothing else carries its drawbar"
		}
		return w.noseWord() + ": up when coupled; with the trailer uncoupled it rests on the deck too"
	case "gauge":
		return "the gauge is under the coupling at the height it has when towing, trailer level, its wheels chocked"
	case "ticket":
		return "ask the operator to write on the ticket, for each figure: what was on the deck, coupled or not, " + w.hitchOnTicket() +
			"how many people were on board, and what the display showed with nothing on the deck; and once: ticket number, place, date and time, " + w.interval() + ", both registration numbers, and NOT WEIGHED in the boxes not used"
	}
	return codeWord(code)
}

func (w *Words) hitchMind() string {
	if w.semi() || w.drawbar() {
		return "coupled: note how the coupling was set (its height, the pin in use)"
	}
	if w.Record.Outfit.Travels == "tensioned" {
		return "hitch bars: tensioned as on the road where it says tensioned, and slack or off where it says slack; note the link or pin in use"
	}
	return "if the hitch has bars that share the load: weigh with them slack or off, and again tensioned as on the road, and say so " + w.reader("in outfit.csv (travels)", "under "+button("load_distribution_bars_on_the"))
}

func (w *Words) hitchOnTicket() string {
	if w.Record.Outfit.Travels == "tensioned" {
		return "hitch slack or tensioned, "
	}
	return ""
}
