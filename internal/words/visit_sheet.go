package words

import "reconcile/internal/record"

// OfSheet says the plan of a visit as a sheet to take along, for its outfit: its
// drives are those of the route.
func OfSheet(v *record.Visit, program, paper, unit string) *Visit {
	r := record.Record{Job: v.Job, Program: program, Outfit: v.Outfit}
	r.Options.Region, r.Options.Unit, r.Options.Paper = v.Region, unit, paper
	w := Of(&r, nil)
	out := w.visit(v)
	for i := range v.Route {
		out.Drives = append(out.Drives, w.sheetDrive(v, i))
	}
	out.Title = say(visitTitle(v, out.Drives))
	// Nobody is to take it for a summary.
	out.Note = say("This is not a weighing summary: nothing on this sheet has been weighed or compared.")
	out.Made = say("Made with " + paired("reconcile", w.Record.Program, " ") + ". Nothing is attached to this file.")
	return out
}

// sheetDrive says the i-th drive of the route with every figure that is read on it.
func (w *Words) sheetDrive(v *record.Visit, i int) drive {
	d := &v.Route[i]
	said := drive{Name: say(w.driveName(d.Setup, d.Hitch, d.Gauge)), Conditions: sayAll(w.conditions(d.Setup, d.Hitch, d.Gauge))}
	for _, s := range d.Stops {
		stop := visitStop{Name: say(w.stopName(s.OnDeck))}
		for _, on := range s.OnDeck {
			name := stop.Name
			if len(s.OnDeck) > 1 {
				name = say(w.supportWord(on))
			}
			stop.Figures = append(stop.Figures, stopFigure{name, say(w.typedLine(d.Setup, d.Hitch, on))})
		}
		said.Stops = append(said.Stops, stop)
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
