package words

import (
	"strings"

	"reconcile/internal/record"
)

// OfVisit gives the words of the plan of a visit, which has no record; unit is
// kg or lb.
func OfVisit(v *record.Visit, unit string) *Words {
	return Of(&record.Record{
		Job: v.Job, Options: record.Options{Region: v.Region, Unit: unit},
		Outfit: record.Outfit{Travels: v.Travels, TravelsStated: v.Stated, TrailerKind: v.TrailerKind},
	})
}

// OfSheet gives the words of the sheet of a plan, for its outfit.
func OfSheet(v *record.Visit, program, paper, unit string) *Words {
	return Of(&record.Record{Job: v.Job, Program: program, Options: record.Options{Region: v.Region, Unit: unit, Paper: paper}, Outfit: v.Outfit})
}

// deckWords says a kind of deck.
var deckWords = map[string]string{
	"single": "a weighbridge with a single deck", "multi": "a weighbridge with a deck for each axle group",
	"pads": "pads under every wheel", "pads_in_turn": "pads under some wheels in turn", "gauge": "a gauge under the coupling",
}

// DeckWord says a kind of deck.
func DeckWord(deck string) string {
	if words, known := deckWords[deck]; known {
		return say(words)
	}
	return say(codeWord(deck))
}

// VisitTitle heads the plan of a visit.
func (w *Words) VisitTitle(v *record.Visit) string {
	stops := 0
	for _, d := range v.Drives {
		stops += len(d.Stops)
	}
	if stops == 0 {
		return say(visitWhat(v) + ": none")
	}
	return say(visitWhat(v) + ", on " + deckWords[v.Deck] + ": " + counted(len(v.Drives), "drive") + ", " + counted(stops, "stop"))
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

// VisitDrive says how the outfit is on a drive.
func (w *Words) VisitDrive(d record.VisitDrive) string {
	switch {
	case d.Gauge:
		return say("trailer uncoupled, a gauge under the coupling at towing height")
	case d.Setup == "trailer_alone" && w.drawbar():
		return say("trailer uncoupled")
	case d.Setup == "trailer_alone":
		return say("trailer uncoupled, on its " + w.noseWord())
	case d.Setup == "vehicle_alone":
		return say("vehicle uncoupled")
	}
	return say(w.setupWord(d.Setup, d.Hitch))
}

// VisitStop says what is on the deck, and what is read where that is more than
// one figure.
func (w *Words) VisitStop(s record.VisitStop) string {
	if len(s.OnDeck) == 1 {
		return say(w.deckNouns(s.OnDeck[0]))
	}
	var words []string
	for _, on := range s.OnDeck {
		words = append(words, w.supportWord(on))
	}
	return say("all of it at once, each read by itself: " + strings.Join(words, "; "))
}

// VisitCheck says how well the plan would weigh a rated load.
func (w *Words) VisitCheck(c record.VisitCheck) string {
	text := w.keyLabel(c.Rating, c.On) + w.inState(c.State)
	switch {
	case c.UKN != nil:
		return say(text + ": to ± " + kn(max(expanded(*c.UKN), 0.01)) + " kN")
	case c.UKg == nil:
		return say(text + ": none of these readings gives it")
	}
	text += ": to " + w.PlusMinus(*c.UKg) + " " + w.UnitWord()
	switch {
	case c.MistakeEffectKg != nil:
		text += "; cross-checked, a mistake worth more than " + w.MassUp(*c.MistakeEffectKg) + " " + w.UnitWord() + " would show"
	case !c.Checked:
		text += "; not cross-checked"
	}
	return say(text)
}

// mindCodes are what to mind before going.
var mindCodes = []string{"ratings", "lengths", "load", "deck", "pads", "brakes", "hitch", "nose", "gauge", "ticket"}

// VisitMind says one thing to mind before going.
func (w *Words) VisitMind(v *record.Visit, code string) string { return say(w.mind(v, code)) }

func (w *Words) mind(v *record.Visit, code string) string {
	switch code {
	case "ratings":
		return "find these on the plate or in the handbook, or write none where there is none: " + listed(w.ratingNouns(v.NotGiven))
	case "lengths":
		if w.drawbar() {
			return "measure wheelbase and rear axle to coupling: with them the weighings check each other further"
		}
		return "measure wheelbase, rear axle to coupling, coupling to trailer axle and nose support to trailer axle: with them the weighings check each other further"
	case "load":
		return "load it as it travels: fuel and water filled as usual, everything in its place, the same people on board in every weighing, or note who was not"
	case "deck":
		return "ask before going: is the deck long enough, does it weigh in parts, are its approaches level with it?"
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
			"how many people were on board, and what the display showed with nothing on the deck; and once: ticket number, place, date and time, " + w.interval() + ", both registration numbers; boxes not used say NOT WEIGHED"
	}
	return codeWord(code)
}

func (w *Words) hitchMind() string {
	if w.semi() || w.drawbar() {
		return "coupled: note how the coupling was set (its height, the pin in use)"
	}
	if w.r.Outfit.Travels == "tensioned" {
		return "hitch bars: tensioned as on the road where it says tensioned, and slack or off where it says slack; note the link or pin in use"
	}
	return "if the hitch has bars that share the load: weigh with them slack or off, and again tensioned as on the road, and say so in outfit.csv (travels)"
}

func (w *Words) hitchOnTicket() string {
	if w.r.Outfit.Travels == "tensioned" {
		return "hitch slack or tensioned, "
	}
	return ""
}
