package words

import "reconcile/internal/record"

// visitSheet is a plan as a sheet to take along, for its outfit.
type visitSheet struct {
	Title      string
	Drives     []sheetDrive // those of the route
	Note, Made string       // what it is not, and what made it
}

// sheetDrive is how the outfit is on a drive, what has to be so, a box to tick
// each, and what is read at its stops.
type sheetDrive struct {
	Name       string
	Conditions []string
	Stops      [][]stopFigure
}

// stopFigure is a figure of a stop: what it is, and how its line is typed.
type stopFigure struct{ Name, Typed string }

func (w *Words) visitSheet(v *record.Visit) visitSheet {
	// Nobody is to take it for a summary.
	out := visitSheet{Note: say("This is not a weighing summary: nothing on this sheet has been weighed or compared.")}
	out.Made = say("Made with " + paired("reconcile", v.Program, " ") + ". Nothing is attached to this file.")
	stops := 0
	for i := range v.Route {
		out.Drives, stops = append(out.Drives, w.sheetDrive(v, i)), stops+len(v.Route[i].Stops)
	}
	out.Title = say(visitTitle(v, len(out.Drives), stops))
	return out
}

// sheetDrive says the i-th drive of the route with every figure that is read on it.
func (w *Words) sheetDrive(v *record.Visit, i int) sheetDrive {
	d := &v.Route[i]
	said := sheetDrive{Name: say(w.driveName(d.Setup, d.Hitch, d.Gauge)), Conditions: sayAll(w.conditions(d.Setup, d.Hitch, d.Gauge))}
	for _, s := range d.Stops {
		var figures []stopFigure
		for _, on := range s.OnDeck {
			name := w.supportWord(on)
			if len(s.OnDeck) == 1 {
				name = w.stopName(s.OnDeck)
			}
			figures = append(figures, stopFigure{say(name), say(w.typedLine(d.Setup, d.Hitch, on))})
		}
		said.Stops = append(said.Stops, figures)
	}
	return said
}

// conditions are what has to be so during a drive: who is on board, bars,
// jockey wheel, brakes.
func (w *Words) conditions(setup, hitch string, gauge bool) []string {
	var all []string
	switch {
	case gauge:
		all = []string{"trailer level, wheels chocked", "nothing but the gauge carries the coupling", "nobody inside"}
	case setup == "trailer_alone":
		all = append(all, w.noseCondition(setup)...)
		all = append(all, "brakes off, wheels chocked", "nobody inside or leaning on it")
	default:
		all = append(all, w.boardCondition())
		all = append(all, w.barsCondition(setup, hitch)...)
		all = append(all, w.noseCondition(setup)...)
		all = append(all, "brakes off and rolled to a stop")
	}
	return all
}

// boardCondition says who is on board: as many as outfit.csv has, else to be
// filled in.
func (w *Words) boardCondition() string {
	if p := w.Record.Outfit.People; p != nil {
		if *p == 1 {
			return "1 person on board"
		}
		return itoa(*p) + " people on board"
	}
	return "people on board: ____"
}

func (w *Words) barsCondition(setup, hitch string) []string {
	o := w.Record.Outfit
	switch {
	case setup != "coupled" || w.semi() || w.drawbar():
		return nil
	case hitch == "tensioned":
		return []string{"bars tensioned as on the road, link or pin: ____"}
	case o.TravelsStated && o.Travels == "plain":
		return nil
	case o.TravelsStated:
		return []string{"bars slack or off"}
	}
	return []string{"bars, if there are any: slack or off"}
}

func (w *Words) noseCondition(setup string) []string {
	switch {
	case w.drawbar():
		return nil
	case setup == "coupled":
		return []string{w.noseWord() + " up"}
	case setup == "trailer_alone":
		return []string{w.noseWord() + " down, on the deck"}
	}
	return nil
}

// typedLine says how a figure is written in tickets.csv.
func (w *Words) typedLine(setup, hitch, onDeck string) string {
	text := "tickets.csv: setup " + setup
	if setup == "coupled" && w.Record.Outfit.TravelsStated && w.Record.Outfit.Travels != "plain" {
		text += ", hitch " + hitch
	}
	if onDeck != "" {
		text += ", on_deck " + onDeck
	}
	return text
}
