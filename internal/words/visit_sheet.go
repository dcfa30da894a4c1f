package words

import "reconcile/internal/record"

// SheetNote says what a sheet to take along is, so that nobody takes it for a
// summary.
func (w *Words) SheetNote() string {
	return say("This is not a weighing summary: nothing on this sheet has been weighed or compared.")
}

// SheetMade says what made the sheet.
func (w *Words) SheetMade() string {
	return say("Made with " + paired("reconcile", w.r.Program, " ") + ". Nothing is attached to this file.")
}

// SheetConditions are what has to be so during a drive, a box to tick each: who
// is on board, bars, jockey wheel, brakes.
func (w *Words) SheetConditions(d record.VisitDrive) []string {
	var all []string
	switch {
	case d.Gauge:
		all = []string{"trailer level, wheels chocked", "nothing but the gauge carries the coupling", "nobody inside"}
	case d.Setup == "trailer_alone":
		all = append(all, w.noseCondition(d)...)
		all = append(all, "brakes off, wheels chocked", "nobody inside or leaning on it")
	default:
		all = append(all, w.boardCondition())
		all = append(all, w.barsCondition(d)...)
		all = append(all, w.noseCondition(d)...)
		all = append(all, "brakes off and rolled to a stop")
	}
	return sayAll(all)
}

// boardCondition says who is on board: as many as outfit.csv has, else to be
// filled in.
func (w *Words) boardCondition() string {
	if p := w.r.Outfit.People; p != nil {
		if *p == 1 {
			return "1 person on board"
		}
		return itoa(*p) + " people on board"
	}
	return "people on board: ____"
}

func (w *Words) barsCondition(d record.VisitDrive) []string {
	o := w.r.Outfit
	switch {
	case d.Setup != "coupled" || w.semi() || w.drawbar():
		return nil
	case d.Hitch == "tensioned":
		return []string{"bars tensioned as on the road, link or pin: ____"}
	case o.TravelsStated && o.Travels == "plain":
		return nil
	case o.TravelsStated:
		return []string{"bars slack or off"}
	}
	return []string{"bars, if there are any: slack or off"}
}

func (w *Words) noseCondition(d record.VisitDrive) []string {
	switch {
	case w.drawbar():
		return nil
	case d.Setup == "coupled":
		return []string{w.noseWord() + " up"}
	case d.Setup == "trailer_alone":
		return []string{w.noseWord() + " down, on the deck"}
	}
	return nil
}

// SheetTitle heads the sheet: how many drives and stops there are, those that
// cross-check among them.
func (w *Words) SheetTitle(v *record.Visit) string {
	route, stops := v.Route(), 0
	for _, d := range route {
		stops += len(d.Stops)
	}
	if stops == 0 {
		return say(visitWhat(v) + ": none")
	}
	return say(visitWhat(v) + ", on " + deckWords[v.Deck] + ": " + counted(len(route), "drive") + ", " + counted(stops, "stop"))
}

// SheetCross says what a stop is for that only cross-checks the others.
func SheetCross() string { return say("cross-check: with it a mistake would show") }

// SheetFigure names one of several figures of a stop.
func (w *Words) SheetFigure(onDeck string) string { return say(w.supportWord(onDeck)) }

// SheetTyped says how a figure is written in tickets.csv.
func (w *Words) SheetTyped(d record.VisitDrive, onDeck string) string {
	text := "tickets.csv: setup " + d.Setup
	if d.Setup == "coupled" && w.r.Outfit.TravelsStated && w.r.Outfit.Travels != "plain" {
		text += ", hitch " + d.Hitch
	}
	if onDeck != "" {
		text += ", on_deck " + onDeck
	}
	return say(text)
}
